"""``runs.csv``: rows to a run log, and a new entry to a row."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import cast

from skimwright.base import Finding, InputError, Kind, MissingError, SkimwrightError, Where, parse_quantity
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.trials import (
    ENDING_LETTERS,
    ENDINGS,
    NO,
    SKIP,
    UNDO,
    YES,
    Book,
    Event,
    Result,
    Run,
    doubts,
    merge,
    usual,
    write_down,
)
from skimwright.trials import Kind as EntryKind

FILE = "runs.csv"
RUN_COLUMNS = (
    "boat", "run", "time", "phone", "entry", "device", "batch", "mass_g", "distance_m", "gate_time_s", "drift_m",
    "ending", "wind_m_s", "wind_from_deg", "change", "guess", "reason", "try", "key",
)  # fmt: skip
MUST = ("boat",)
ENTRIES = ("run", "guess", "correction", "undo")
PAPER = "paper"

# What is measured: name in Result, kind, unit, least and most in that unit.
_FIGURES: dict[str, tuple[str, Kind, str, float, float]] = {
    "mass_g": ("mass", "mass", "g", 1, 20_000),
    "distance_m": ("distance", "length", "m", 0, 1000),
    "gate_time_s": ("gate_time", "time", "s", 0.1, 600),
    "drift_m": ("drift", "length", "m", -200, 200),
    "wind_m_s": ("wind_speed", "speed", "m/s", 0, 30),
    "wind_from_deg": ("wind_from", "angle", "deg", 0, 360),
}
_WORDS = ("device", "batch", "change")


@dataclass(frozen=True, kw_only=True)
class RunLog:
    """The run log of a season, and the questions it leaves open."""

    book: Book  # doubtful figures left out
    typed: Book  # as written
    findings: tuple[Finding, ...] = ()

    def findings_of(self, boat: int) -> tuple[Finding, ...]:
        """Those that speak of one boat."""
        mark = re.compile(rf"\bboat 0*{boat}\b")
        return tuple(f for f in self.findings if mark.search(f.where))


def read_runs(rows: Rows | None, season: Season) -> RunLog:
    """The run log that ``runs.csv`` tells of.

    A row that cannot be read is named in a finding and the rest is taken; a figure that looks wrong is left out
    until someone says.

    Parameters
    ----------
    rows : Rows, optional
        The list as read; None if there is no such file.
    season : Season

    Raises
    ------
    InputError
        A column is unknown or missing.
    """
    if rows is None:
        return RunLog(book=Book(), typed=Book())
    _check_columns(rows)
    found: list[Finding] = []
    events: list[Event] = []
    sure: dict[Event, tuple[str, ...]] = {}
    last: dict[int, int] = defaultdict(int)
    for row in rows.rows:
        try:
            event = _event(row, rows.file, season, last)
        except SkimwrightError as error:
            found.append(_bad_row(error, row))
            continue
        last[event.boat] = max(last[event.boat], event.run)
        events.append(event)
        sure[event] = tuple(_FIGURES[name][0] for name in _FIGURES if _has_unit(row.cells.get(name, "")))
    return _judged(frozenset(events), sure, season, tuple(found))


def _judged(
    events: frozenset[Event],
    sure: Mapping[Event, tuple[str, ...]],
    season: Season,
    found: tuple[Finding, ...],
) -> RunLog:
    kinds: dict[tuple[str, str | None], list[Result]] = defaultdict(list)
    entry_of = {entry.number: entry for entry in season.boats}
    for event in events:
        if event.kind == "run":
            kinds[entry_of[event.boat].kit, event.result.device].append(event.result)
    middles = {key: usual(results) for key, results in kinds.items()}
    kept: list[Event] = []
    asked: list[Finding] = []
    for event in sorted(events, key=lambda e: (e.boat, e.run, e.place)):
        if event.kind != "run":
            kept.append(event)
            continue
        entry = entry_of[event.boat]
        result, questions = doubts(
            event.result,
            known=middles[entry.kit, event.result.device],
            gate=season.groups[entry.group].qualifying_distance,
            where=f"boat {event.boat:02d}, run {event.run}",
            sure=sure.get(event, ()),
        )
        kept.append(replace(event, result=result))
        asked += questions
    book = Book(frozenset(kept))
    settled = {(run.boat, run.run, change.field) for run in book.runs for change in run.corrected}
    open_ones = [f for f in asked if not _is_settled(f, settled)]
    return RunLog(book=book, typed=Book(events), findings=(*found, *open_ones, *book.findings))


def _is_settled(finding: Finding, settled: set[tuple[int, int, str]]) -> bool:
    """A correction has answered it."""
    numbers = [int(n) for n in re.findall(r"\d+", finding.where)]
    field = {"time": "gate_time", "distance": "distance", "drift": "drift", "wind": "wind_speed"}
    return (numbers[0], numbers[1], field[finding.code.split("-")[0]]) in settled


def _check_columns(rows: Rows) -> None:
    for name in rows.columns:
        if name not in RUN_COLUMNS:
            raise InputError(
                what="unknown column", allowed=", ".join(RUN_COLUMNS), do=nearest(name, RUN_COLUMNS),
                where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip
    for name in MUST:
        if name not in rows.columns:
            raise InputError(
                what="this column is missing", allowed=", ".join(RUN_COLUMNS),
                do=f"Add a column headed {name}.", where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip


def _bad_row(error: SkimwrightError, row: Row) -> Finding:
    return Finding(
        code="row-left-out", severity="warning", what=error.sentence(),
        why="The row was left out and the rest taken.", do="Correct it.",
        where=f"boat {row.cells.get('boat', '?')}, row {row.number}",
    )  # fmt: skip


def _has_unit(cell: str) -> bool:
    return bool(re.search(r"[^\d\s.,+\-−eE]", cell))


def _event(row: Row, file: str, season: Season, last: Mapping[int, int]) -> Event:
    cells = row.cells

    def at(name: str) -> Where:
        return Where(file=file, row=row.number, field=name)

    boat = _whole(cells.get("boat", ""), at("boat"), "the number painted on the boat")
    _known_boat(season, boat, at("boat"))
    entry = cells.get("entry", "") or "run"
    if entry not in ENTRIES:
        raise InputError(what="not such an entry", got=f'"{entry}"', allowed=", ".join(ENTRIES),
                         do=nearest(entry, ENTRIES), where=at("entry"))  # fmt: skip
    run = _whole(cells["run"], at("run"), "1 or more") if cells.get("run") else last[boat] + 1
    return Event(
        boat=boat,
        run=run,
        kind=cast(EntryKind, entry),
        phone=cells.get("phone", ""),
        tap=row.number if not cells.get("time") else 0,
        time=cells.get("time", ""),
        result=read_result(cells, season, boat=boat, at=at, usual_device=entry == "run"),
        guess=cells.get("guess") or None,
        reason=cells.get("reason", ""),
        key=cells.get("key", ""),
    )


def _whole(text: str, where: Where, allowed: str) -> int:
    if not re.fullmatch(r"\d{1,4}", text) or int(text) == 0:
        raise InputError(what="not such a number", got=f'"{text}"', allowed=allowed, do="Write it in figures.",
                         where=where)  # fmt: skip
    return int(text)


def _known_boat(season: Season, boat: int, where: Where) -> None:
    numbers = [entry.number for entry in season.boats]
    if boat not in numbers:
        raise MissingError(
            what=f"no boat {boat} in this season", allowed=f"boats {min(numbers)} to {max(numbers)}",
            do="Which boat was it? Write its number.", where=where,
        )  # fmt: skip


def read_result(
    cells: Mapping[str, str], season: Season, *, boat: int, at: object, usual_device: bool = True
) -> Result:
    """The figures and words of one row.

    ``at`` names the place of a column; ``usual_device`` takes the boat's own where none is written.

    Raises
    ------
    InputError
        A cell cannot be read, or no run could be so.
    """
    values: dict[str, float | str | None] = {}
    for column, (name, kind, unit, low, high) in _FIGURES.items():
        if text := cells.get(column, ""):
            where = at(column)  # type: ignore[operator]
            value = parse_quantity(text, kind, default_unit=unit, where=where)
            ends = [parse_quantity(end, kind, default_unit=unit) for end in (low, high)]
            if not ends[0] <= value <= ends[1]:
                raise InputError(
                    what="out of range", got=text if _has_unit(text) else f"{text} {unit}",
                    allowed=f"{low:g} to {high:g} {unit}, or blank if it was not recorded",
                    do="Check the number.", where=where,
                )  # fmt: skip
            values[name] = value
    for name in _WORDS:
        values[name] = cells.get(name) or None
    if text := cells.get("try", ""):
        values["as_try"] = _named(text, (YES, NO), at("try"))  # type: ignore[operator]
    if ending := cells.get("ending"):
        whole = ENDING_LETTERS.get(ending.strip().casefold(), ending)
        values["ending"] = _named(whole, ENDINGS, at("ending"))  # type: ignore[operator]
    if values["device"]:
        values["device"] = _named(str(values["device"]), tuple(season.devices), at("device"))  # type: ignore[operator]
    elif usual_device:
        values["device"] = next(entry.device for entry in season.boats if entry.number == boat)
    return replace(Result(), **values)  # type: ignore[arg-type]


def _named(text: str, known: tuple[str, ...], where: Where) -> str:
    for each in known:
        if each.casefold() == " ".join(text.split()).casefold():
            return each
    near = nearest(text, known)
    raise InputError(what="no such word here", got=f'"{text}"', allowed=", ".join(known), where=where,
                     do=near if near.startswith("Did") else "Write one of these.")  # fmt: skip


# ---------------------------------------------------------------------------------------------- a new entry


@dataclass(frozen=True, kw_only=True)
class Logged:
    """An entry taken into the log, and the row to add; no row if it was in it already."""

    log: RunLog
    event: Event
    row: Mapping[str, str] | None
    runs: int  # of this boat, now

    @property
    def run(self) -> Run | None:
        """The run as it now stands."""
        return next((r for r in self.log.book.of(self.event.boat) if r.run == self.event.run), None)


def log_run(cells: Mapping[str, str], log: RunLog, season: Season, *, now: str, phone: str) -> Logged:
    """Take one entry into the log: a guess, a run, a correction, or a run taken back.

    Parameters
    ----------
    cells : mapping
        By column of ``runs.csv``, as typed; blank is not recorded.  An entry whose key is in the log already is
        counted once: a phone may send it again.
    log : RunLog
    season : Season
    now : str
        The clock, such as 2027-03-20T10:05:00.
    phone : str
        Who writes.

    Raises
    ------
    InputError
        A cell cannot be read, a figure can hardly be so, or a run has no guess before it.
    ConflictError
        The guess is locked, or the run is logged with other figures.
    MissingError
        No such boat, or no run to correct.
    """

    def at(name: str) -> Where:
        return Where(field=name)

    key = cells.get("key", "")
    sent_before = next((event for event in log.typed.events if key and event.key == key), None)
    if sent_before is not None:
        return Logged(log=log, event=sent_before, row=None, runs=len(log.typed.of(sent_before.boat)))
    boat = _whole(cells.get("boat", ""), at("boat"), "the number painted on the boat")
    _known_boat(season, boat, at("boat"))
    entry = cells.get("entry") or "run"
    waiting = log.typed.waiting(boat)
    usual_run = waiting.run if waiting else log.typed.last(boat) + 1
    number = _whole(cells["run"], at("run"), "1 or more") if cells.get("run") else usual_run
    result = read_result(cells, season, boat=boat, at=at, usual_device=entry == "run")
    event = Event(
        boat=boat, run=number, kind=cast(EntryKind, entry), phone=phone, time=now, result=result,
        guess=cells.get("guess") or None, reason=cells.get("reason", ""), key=key,
    )  # fmt: skip
    before = {run.run: run for run in log.typed.of(boat)}
    if (
        entry == "run"
        and event.guess is None
        and number not in before
        and (waiting is None or waiting.run != number)
    ):
        raise InputError(
            what=f"no guess was made for boat {boat}, run {number}",
            allowed=f'what the crew thinks will happen, or "{SKIP}"',
            do="Ask the crew first: add --guess WORDS.",
            where=Where(field="--guess"),
        )
    if entry in ("run", "correction"):
        _refuse_doubtful(event, cells, log, season)
    book = write_down(log.typed, event)
    if book == log.typed:
        return Logged(log=log, event=event, row=None, runs=len(log.typed.of(boat)))
    written = RunLog(book=merge(log.book, Book(frozenset({event}))), typed=book, findings=log.findings)
    return Logged(log=written, event=event, row=as_row(event), runs=len(book.of(boat)))


def take_back(key: str, log: RunLog, season: Season, *, now: str, phone: str) -> Logged:
    """Take back a run that was tapped wrongly; both rows stay, and its number is free again.

    Parameters
    ----------
    key : str
        Of the run's own entry.
    log, season, now, phone : as in :func:`log_run`

    Raises
    ------
    MissingError
        No run of that key counts.
    ConflictError
        The run has been corrected since.
    """
    run = next((e for e in log.typed.events if key and e.kind == "run" and e.key == key), None)
    if run is None:
        raise MissingError(
            what="this run is not in the log", do="Look at the last runs; nothing was changed."
        )
    cells = {
        "boat": str(run.boat), "run": str(run.run), "entry": "undo", "key": UNDO + key, "reason": "tapped wrongly",
    }  # fmt: skip
    return log_run(cells, log, season, now=now, phone=phone)


def _refuse_doubtful(event: Event, cells: Mapping[str, str], log: RunLog, season: Season) -> None:
    """Ask at the keyboard, before it is written."""
    entry = next(each for each in season.boats if each.number == event.boat)
    kin = {each.number for each in season.boats if each.kit == entry.kit}
    device = event.result.device or entry.device
    known = usual(r.result for r in log.book.runs if r.boat in kin and r.result.device == device)
    sure = tuple(_FIGURES[name][0] for name in _FIGURES if _has_unit(cells.get(name, "")))
    _, asked = doubts(
        event.result, known=known, gate=season.groups[entry.group].qualifying_distance,
        where=f"boat {event.boat:02d}, run {event.run}",
    )  # fmt: skip
    field = {"time": "gate_time", "distance": "distance", "drift": "drift", "wind": "wind_speed"}
    for finding in asked:
        if field[finding.code.split("-")[0]] not in sure:
            raise InputError(
                what=f"{finding.where}: {finding.what.rstrip('.')}",
                do=f"{finding.why} If it is right as it stands write its unit behind it: 50.5s, 157m.",
            )


def as_row(event: Event) -> dict[str, str]:
    """An event as a row of ``runs.csv``."""
    result = event.result
    row = {
        "boat": f"{event.boat:02d}", "run": str(event.run), "time": event.time, "phone": event.phone,
        "entry": "" if event.kind == "run" else event.kind, "guess": event.guess or "", "reason": event.reason,
        "ending": result.ending or "", "try": result.as_try or "", "key": event.key,
    }  # fmt: skip
    row |= {name: str(getattr(result, name) or "") for name in _WORDS}
    for column, (name, kind, unit, _, _) in _FIGURES.items():
        value = getattr(result, name)
        if value is not None:
            row[column] = f"{value / parse_quantity(1, kind, default_unit=unit):.6g}"
    return {name: row.get(name, "") for name in RUN_COLUMNS}


def log_paper(
    rows: Rows, log: RunLog, season: Season, *, phone: str = PAPER
) -> tuple[RunLog, tuple[dict[str, str], ...]]:
    """Rows of a paper form typed back in, or another phone's log; and those that are new.

    Rows already in the log are passed over, so the same file may be put in twice.  A row that cannot be read is
    named in a finding.  A cell with ``?`` could not be read on the paper: it stays blank and the run counts.

    Raises
    ------
    InputError
        A column is unknown or missing.
    """
    other = read_runs(replace(rows, rows=tuple(_without_gaps(row) for row in rows.rows)), season)
    gaps = tuple(_gap(row) for row in rows.rows if _without_gaps(row) != row)
    named = frozenset(e if e.phone else replace(e, phone=phone) for e in other.typed.events)
    known = {(e.boat, e.run, e.kind, e.result, e.guess, e.reason, e.key) for e in log.typed.events}
    fresh = [
        e
        for e in sorted(named, key=lambda e: (e.boat, e.run, e.place))
        if (e.boat, e.run, e.kind, e.result, e.guess, e.reason, e.key) not in known
    ]
    typed = merge(log.typed, Book(frozenset(fresh)))
    unread = tuple(f for f in other.findings if f.code == "row-left-out")
    again = _judged(typed.events, {}, season, (*unread, *gaps))
    return again, tuple(as_row(event) for event in fresh)


def _without_gaps(row: Row) -> Row:
    return replace(row, cells={name: "" if cell.strip() == "?" else cell for name, cell in row.cells.items()})


def _gap(row: Row) -> Finding:
    lost = ", ".join(name for name, cell in row.cells.items() if cell.strip() == "?")
    return Finding(
        code="gap", severity="note", what=f"{lost} could not be read on the paper.",
        why="The run is kept without it.", do="Keep the sheet or a photo of it; a correction can fill the gap.",
        where=f"boat {row.cells.get('boat', '?')}, row {row.number}",
    )  # fmt: skip

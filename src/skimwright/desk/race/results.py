"""``results.csv``: every line a part of one event of the day's log, in the order in which they happened."""

from __future__ import annotations

import contextlib
import datetime
import math
import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from skimwright.base import Finding, InputError, SkimwrightError, Where
from skimwright.desk.race.lots import read_boat_number
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.regatta import KINDS, NEEDS_BOAT, NEEDS_HEAT, Event, Kind, Outcome, read_outcome

COLUMNS = ("time", "phone", "who", "event", "group", "heat", "boat", "old", "new", "seconds", "reason", "key")
ALIASES = {"place": "new", "lane": ""}  # a plain list of heat, boat, place is a log too
REPORTS = ("finish", "result", "decision")


@dataclass(frozen=True, kw_only=True)
class _Line:
    """One row, read."""

    kind: Kind
    heat: int | None
    boat: int | None
    group: str
    time: str
    when: float | None
    phone: str
    who: str
    reason: str
    said: str
    key: str
    old: Outcome | None
    new: Outcome
    where: Where

    def goes_with(self, other: _Line) -> bool:
        """Whether two rows are parts of one report."""
        return (self.kind, self.heat, self.phone, self.who, self.time, self.key) == (
            other.kind,
            other.heat,
            other.phone,
            other.who,
            other.time,
            other.key,
        )


def read_results(rows: Rows, *, entered: Collection[int] = ()) -> tuple[Event, ...]:
    """The day's log.

    Rows of one report (same event, heat, phone, person and time, one below the other) become one event.

    Parameters
    ----------
    rows : Rows
        The list as read.
    entered : collection of int
        Boats that may stand in it; any if empty.

    Raises
    ------
    InputError
        A column is missing or unknown, a cell cannot be read, a boat is not entered, a reason is missing.
    """
    _check_columns(rows)
    events = _grouped([_read_line(row, rows.file, entered) for row in rows.rows])
    if not events:
        raise InputError(
            what="no results below the heading",
            allowed="one row for each boat of a heat",
            do="Write a row.",
            where=Where(file=rows.file),
        )
    return tuple(events)


def read_log(rows: Rows, *, entered: Collection[int] = ()) -> tuple[tuple[Event, ...], tuple[Finding, ...]]:
    """The day's log as far as it can be read, so that one spoilt row does not stop the day.

    A place that cannot be read leaves its heat waiting for it; a time that cannot be read is left out; a row of which
    boat, heat or event cannot be read is left out.  Each is named in a finding.

    Raises
    ------
    InputError
        A column is missing or unknown.
    """
    _check_columns(rows)
    lines: list[_Line] = []
    findings: list[Finding] = []
    for row in rows.rows:
        line, finding = _read_what_can_be(row, rows.file, entered)
        lines += [line] if line else []
        findings += [finding] if finding else []
    events: list[Event] = []
    for report in _reports(lines):
        try:
            events.append(_event(report))
        except SkimwrightError as error:
            findings.append(_left_out(error))
    return tuple(events), tuple(findings)


def _read_what_can_be(row: Row, file: str, entered: Collection[int]) -> tuple[_Line | None, Finding | None]:
    try:
        return _read_line(row, file, entered), None
    except SkimwrightError as error:
        name = error.where.field
        blank = {column: "" for column in row.cells if ALIASES.get(column, column) == name}
        if name in ("time", "seconds", "new", "old"):
            with contextlib.suppress(SkimwrightError):
                line = _read_line(Row(number=row.number, cells={**row.cells, **blank}), file, entered)
                return line, _blanked(error)
        return None, _left_out(error)


def _blanked(error: SkimwrightError) -> Finding:
    return Finding(
        code="cell-not-read", severity="stop" if error.where.field == "new" else "warning",
        what=f"{error.where.field} cannot be read: {error.what}, {error.got}.",
        why="It is taken as left blank.", do="Add a decision or a correction if it matters.",
        where=f"{error.where.file}, row {error.where.row}",
    )  # fmt: skip


def _left_out(error: SkimwrightError) -> Finding:
    return Finding(
        code="row-left-out", severity="stop", what=f"This row cannot be read and is left out: {error.sentence()}",
        do="Put it right, or report it again.", where=f"{error.where.file}, row {error.where.row}",
    )  # fmt: skip


def _grouped(lines: Sequence[_Line]) -> list[Event]:
    return [_event(report) for report in _reports(lines)]


def _reports(lines: Sequence[_Line]) -> Iterator[list[_Line]]:
    """Rows of one report, one below the other."""
    report: list[_Line] = []
    for line in lines:
        if report and not (
            line.kind in REPORTS
            and line.goes_with(report[-1])
            and line.boat not in {part.boat for part in report}
        ):
            yield report
            report = []
        report.append(line)
    if report:
        yield report


def _check_columns(rows: Rows) -> None:
    columns = [ALIASES.get(name, name) for name in rows.columns]
    for needed in ("heat", "boat", "new"):
        if needed not in columns:
            raise InputError(
                what="this column is missing",
                allowed=f"heat, boat and new (or place); if wanted {', '.join(c for c in COLUMNS if c)}",
                do=f"Add a column headed {needed}.",
                where=Where(file=rows.file, row=1, field=needed),
            )
    for name in rows.columns:
        if name not in COLUMNS and name not in ALIASES:
            raise InputError(
                what="unknown column",
                allowed=", ".join(COLUMNS),
                do=nearest(name, COLUMNS),
                where=Where(file=rows.file, row=1, field=name),
            )


def _read_line(row: Row, file: str, entered: Collection[int]) -> _Line:
    cells = {ALIASES.get(name, name): text for name, text in row.cells.items()}
    where = Where(file=file, row=row.number)
    kind = _kind(cells.get("event", ""), where)
    has_outcomes = kind in (*REPORTS, "correction")
    boat = None
    if cells["boat"] or has_outcomes or kind in NEEDS_BOAT:
        boat = read_boat_number(cells["boat"], _at(where, "boat"))
    if boat is not None and entered and boat not in entered:
        raise InputError(
            what=f"boat {boat} is not entered",
            allowed="a boat of the list of entries",
            do="Look at the heat sheet; it may be another boat's number.",
            where=_at(where, "boat"),
        )
    return _Line(
        kind=kind,
        heat=_heat(cells["heat"], kind, _at(where, "heat")),
        boat=boat,
        group=cells.get("group", ""),
        time=cells.get("time", ""),
        when=_time(cells.get("time", ""), _at(where, "time")),
        phone=cells.get("phone", ""),
        who=cells.get("who", ""),
        reason=cells.get("reason", ""),
        said="" if has_outcomes else " ".join(cells["new"].split()),
        key=cells.get("key", ""),
        old=_outcome(cells["old"], "", _at(where, "old")) if cells.get("old") and has_outcomes else None,
        new=_outcome(cells["new"], cells.get("seconds", ""), _at(where, "new"))
        if has_outcomes
        else Outcome(),
        where=where,
    )


def _at(where: Where, field: str) -> Where:
    return Where(file=where.file, row=where.row, field=field)


def _kind(text: str, where: Where) -> Kind:
    said = text.casefold().replace("-", "").replace(" ", "") or "result"
    for kind in KINDS:
        if kind == said:
            return kind
    raise InputError(
        what="no such event",
        got=f'"{text}"',
        allowed=", ".join(KINDS),
        do=nearest(text, KINDS),
        where=_at(where, "event"),
    )


def _heat(text: str, kind: Kind, where: Where) -> int | None:
    if not text and kind not in NEEDS_HEAT and kind not in ("protest", "ruling"):
        return None
    if not re.fullmatch(r"[0-9]{1,4}", text) or int(text) == 0:
        raise InputError(
            what="not the number of a heat",
            got=f'"{text}"',
            allowed="a whole number from 1 to 9999",
            do="Write the number on the heat sheet.",
            where=where,
        )
    return int(text)


def _time(text: str, where: Where) -> float | None:
    """Seconds since midnight by that clock; a date before the time is passed over. [s]"""
    if not text:
        return None
    try:
        if re.fullmatch(r"[0-9]:[0-9]{2}.*", text):
            text = f"0{text}"
        clock = (
            datetime.datetime.fromisoformat(text).time()
            if len(text) > 8
            else datetime.time.fromisoformat(text)
        )
    except ValueError:
        raise InputError(
            what="not a time of day",
            got=f'"{text}"',
            allowed="hours and minutes such as 10:24, or 10:24:30",
            do="Write it so, or leave it blank: heats are put in order by their numbers.",
            where=where,
        ) from None
    return clock.hour * 3600 + clock.minute * 60 + clock.second + clock.microsecond / 1e6


def _outcome(text: str, seconds: str, where: Where) -> Outcome:
    try:
        outcome = read_outcome(text)
    except SkimwrightError as error:
        raise error.at(where) from error
    if not seconds:
        return outcome
    try:
        value = float(seconds)
    except ValueError:
        value = math.nan
    if not 0 < value <= 3600:
        raise InputError(
            what="not an elapsed time",
            got=f'"{seconds}"',
            allowed="seconds, more than 0 and up to 3600, with a full stop",
            do="Write it so, or leave it blank.",
            where=_at(where, "seconds"),
        )
    return Outcome(
        place=outcome.place, code=outcome.code, points=outcome.points, is_tie=outcome.is_tie, seconds=value
    )


def _event(report: list[_Line]) -> Event:
    first = report[0]
    has_outcomes = first.kind in (*REPORTS, "correction")
    outcomes = {line.boat: line.new for line in report if line.boat is not None and has_outcomes}
    try:
        return Event(
            kind=first.kind,
            heat=first.heat,
            group=first.group,
            outcomes=outcomes,
            was={first.boat: first.old} if first.boat is not None and first.old is not None else {},
            boat=None if has_outcomes else first.boat,
            who=first.who,
            when=first.when,
            phone=first.phone,
            reason="; ".join(dict.fromkeys(line.reason for line in report if line.reason)),
            said=first.said,
            key=first.key,
            row=first.where.row,
        )
    except SkimwrightError as error:
        raise error.at(first.where) from error

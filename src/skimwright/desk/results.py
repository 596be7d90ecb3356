"""``results.csv``: every line a part of one event of the day's log, in the order in which they happened."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Collection
from dataclasses import dataclass

from skimwright.base import InputError, SkimwrightError, Where
from skimwright.desk.fields import nearest
from skimwright.desk.lots import read_boat_number
from skimwright.desk.tables import Row, Rows
from skimwright.regatta import KINDS, Event, Kind, Outcome, read_outcome

COLUMNS = ("time", "phone", "who", "event", "group", "heat", "boat", "old", "new", "seconds", "reason")
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
    old: Outcome | None
    new: Outcome
    where: Where

    def goes_with(self, other: _Line) -> bool:
        """Whether two rows are parts of one report."""
        return (self.kind, self.heat, self.phone, self.who, self.time) == (
            other.kind,
            other.heat,
            other.phone,
            other.who,
            other.time,
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
    events: list[Event] = []
    report: list[_Line] = []
    for row in rows.rows:
        line = _read_line(row, rows.file, entered)
        if report and not (
            line.kind in REPORTS
            and line.goes_with(report[-1])
            and line.boat not in {part.boat for part in report}
        ):
            events.append(_event(report))
            report = []
        report.append(line)
    if report:
        events.append(_event(report))
    if not events:
        raise InputError(
            what="no results below the heading",
            allowed="one row for each boat of a heat",
            do="Write a row.",
            where=Where(file=rows.file),
        )
    return tuple(events)


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
    boat = None
    if cells["boat"] or kind in (*REPORTS, "correction", "withdrawal"):
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
        old=_outcome(cells["old"], "", _at(where, "old")) if cells.get("old") else None,
        new=_outcome(cells["new"], cells.get("seconds", ""), _at(where, "new")),
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
    if not text and kind in ("hold", "clear", "withdrawal"):
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
            row=first.where.row,
        )
    except SkimwrightError as error:
        raise error.at(first.where) from error

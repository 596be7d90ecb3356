"""Heat sheets typed back in: one line a heat, lanes in the order of finish, nothing guessed.

``315246`` is lane 3 first, then 1, 5, 2, 4, 6; ``31=5246`` has 1 and 5 together; ``-6`` did not start, ``/6`` did not
finish, ``x6`` is disqualified (with a reason), ``?`` is a place that cannot be read.  With ten lanes or more, and in
a column ``boats``, numbers stand apart: ``3 1=5 24``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from skimwright.base import Finding, InputError, SkimwrightError, Where
from skimwright.desk.race.race_day import RaceDay
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.regatta import Event, Outcome, replay

COLUMNS = ("heat", "lanes", "boats", "group", "planned", "reason")
MARKS = {"-": "DNS", "/": "DNF", "x": "DSQ"}
PAPER = "paper"
Says = Literal["new", "the same", "not alike", "a gap"]


class Seated(Protocol):
    """A heat of the plan: who is in which lane."""

    @property
    def number(self) -> int:
        """From 1, over the whole day."""

    @property
    def group(self) -> str:
        """Who races."""

    @property
    def lanes(self) -> tuple[int | None, ...]:
        """The boat in each lane."""


@dataclass(frozen=True, kw_only=True)
class TypedHeat:
    """One line, read, and how it stands to what was known."""

    event: Event
    typed: str  # as it was typed
    says: Says
    beside: str = ""  # everything reported of this heat, side by side, where it is not alike
    gaps: tuple[int, ...] = ()  # boats whose place is not known

    @property
    def heat(self) -> int:
        """Its number."""
        return self.event.heat or 0


@dataclass(frozen=True, kw_only=True)
class TypedBack:
    """All lines of the file."""

    heats: tuple[TypedHeat, ...]
    not_raced: tuple[int, ...] = ()  # lines left blank
    findings: tuple[Finding, ...] = ()

    @property
    def events(self) -> tuple[Event, ...]:
        """What the log gains: those that say something new."""
        return tuple(typed.event for typed in self.heats if typed.says != "the same")


def read_sheets(rows: Rows, day: RaceDay) -> TypedBack:
    """Heat sheets typed back in on a day in progress; as `read_typed`.

    A boat that has withdrawn is no gap; one that is written down as not started need not be typed.

    Raises
    ------
    InputError
        A line cannot be read.
    """
    started = {heat.number: set(day.followed.so_far(heat.number).not_started) for heat in day.heats}
    out = {heat.number: {boat: boat in started[heat.number] for boat in heat.out} for heat in day.heats}
    return read_typed(rows, day.heats, log=day.events, out=out)


def read_typed(
    rows: Rows,
    heats: Sequence[Seated],
    *,
    log: Sequence[Event] = (),
    out: Mapping[int, Mapping[int, bool]] | None = None,
) -> TypedBack:
    """Heat sheets typed back in, beside what the log says already.

    Parameters
    ----------
    rows : Rows
        Columns heat and lanes (or boats), and if wanted reason.
    heats : sequence of Seated
        The plan: a boat of it that a line does not name stays a gap.
    log : sequence of Event
        What is known already, from phones and from earlier typing.
    out : mapping of int to mapping of int to bool
        By heat, boats that need not be named, and whether they are not started.

    Raises
    ------
    InputError
        A line cannot be read; nothing of the file is taken then, and the message names every such line.
    """
    column = _column(rows)
    seats = {heat.number: heat for heat in heats}
    events, said, blank, wrong = [], [], [], []
    for row in rows.rows:
        try:
            event = _event(row, rows.file, column, seats, out or {})
        except InputError as error:
            wrong.append(error)
            continue
        if event is None:
            blank.append(int(row.cells["heat"]))
        else:
            events.append(event)
            said.append(row.cells[column])
    if wrong:
        raise _all_of(wrong)
    typed = tuple(_compared(events, said, log))
    return TypedBack(heats=typed, not_raced=tuple(blank), findings=tuple(_findings(typed)))


def typed_rows(typed: TypedBack, *, time: str = "", who: str = "scorer") -> tuple[dict[str, str], ...]:
    """Rows for ``results.csv``, to be added behind the others."""
    return tuple(
        {
            "time": time,
            "phone": PAPER,
            "who": who,
            "event": "result",
            "group": event.group,
            "heat": str(event.heat),
            "boat": f"{boat:02d}",
            "new": _cell(outcome),
            "reason": event.reason,
        }
        for event in typed.events
        for boat, outcome in event.outcomes.items()
    )


def blank_lines(heats: Sequence[Seated], planned: Mapping[int, str] | None = None) -> str:
    """A file ready to be typed into: a line a heat, and only the order missing."""
    times = planned or {}
    lines = [f"{heat.number},,{heat.group},{times.get(heat.number, '')}," for heat in heats]
    return "\n".join(["heat,lanes,group,planned,reason", *lines]) + "\n"


def _cell(outcome: Outcome) -> str:
    return "?" if outcome.is_unreadable else outcome.words()


# the file


def _column(rows: Rows) -> str:
    where = Where(file=rows.file, row=1)
    for name in rows.columns:
        if name not in COLUMNS:
            raise InputError(
                what="unknown column",
                allowed=", ".join(COLUMNS),
                do=nearest(name, COLUMNS),
                where=Where(file=rows.file, row=1, field=name),
            )
    found = [name for name in ("lanes", "boats") if name in rows.columns]
    if "heat" not in rows.columns or len(found) != 1:
        raise InputError(
            what="the heading does not say what is typed",
            got=", ".join(rows.columns),
            allowed="heat, and either lanes (numbers of lanes) or boats (numbers of boats); reason if wanted",
            do="Head the columns heat,lanes,reason.",
            where=where,
        )
    return found[0]


def _all_of(wrong: Sequence[InputError]) -> InputError:
    first = wrong[0]
    if len(wrong) == 1:
        return first
    more = ", ".join(str(error.where.row) for error in wrong[1:] if error.where)
    return InputError(
        what=first.what,
        got=first.got,
        allowed=first.allowed,
        do=f"{first.do} Look at row{'' if len(wrong) == 2 else 's'} {more} too; nothing was taken in.",
        where=first.where,
    )


def _event(
    row: Row, file: str, column: str, seats: Mapping[int, Seated], out: Mapping[int, Mapping[int, bool]]
) -> Event | None:
    """One line as an event; None if the heat was not raced."""
    number = row.cells["heat"]
    if not (number.isascii() and number.isdigit()) or int(number) not in seats:
        raise InputError(
            what="no heat of the day's plan has this number",
            got=f'"{number}"',
            allowed=f"1 to {max(seats, default=0)}",
            do="Look at the top of the heat sheet.",
            where=Where(file=file, row=row.number, field="heat"),
        )
    seat, where = seats[int(number)], Where(file=file, row=row.number, field=column)
    if not row.cells[column]:
        return None
    try:
        named = _order(row.cells[column], seat, column == "boats", where)
    except InputError as error:
        raise _if_a_date(row.cells[column], where) or error from error
    absent = out.get(seat.number, {})
    rest = [boat for boat in seat.lanes if boat is not None and boat not in named]
    gaps = {boat: Outcome() for boat in rest if boat not in absent}
    gaps |= {boat: Outcome(code="DNS") for boat in rest if absent.get(boat)}
    try:
        return Event(
            kind="result",
            heat=seat.number,
            group=seat.group,
            outcomes={**named, **gaps},
            who="scorer",
            phone=PAPER,
            reason=row.cells.get("reason", ""),
            row=row.number,
        )
    except SkimwrightError as error:
        raise InputError(
            what=error.what, got=error.got, allowed=error.allowed, do=error.do,
            where=Where(file=file, row=row.number, field="reason"),
        ) from error  # fmt: skip


# one line


def _order(text: str, seat: Seated, is_boats: bool, where: Where) -> dict[int, Outcome]:
    """Places and codes by boat."""
    outcomes: dict[int, Outcome] = {}
    ranks: list[list[int | None]] = []  # boats that share a place; None: cannot be read
    before = ""
    for sign, who in _items(text, apart=is_boats or len(seat.lanes) > 9, where=where):
        boat = None if who == "?" else _boat(int(who), seat, is_boats, where)
        if boat is not None and (boat in outcomes or any(boat in rank for rank in ranks)):
            raise _wrong(f"{'boat' if is_boats else 'lane'} {who} stands there twice", text, where)
        if (sign == "=" and (before in MARKS or not ranks)) or (sign in MARKS and boat is None):
            raise _wrong(f'"{sign}{who}" cannot stand there', text, where)
        if sign in MARKS and boat is not None:
            outcomes[boat] = Outcome(code=MARKS[sign])
        elif sign == "=":
            ranks[-1].append(boat)
        else:
            ranks.append([boat])
        before = sign
    return outcomes | _places(ranks)


def _items(text: str, *, apart: bool, where: Where) -> Iterator[tuple[str, str]]:
    """Sign and number, one after the other: ``("", "3"), ("=", "1"), ("-", "6")``."""
    item = re.compile(rf"[\s,]*([-/x=]?)\s*([0-9]{'+' if apart else ''}|\?)[\s,]*")
    said, at = text.casefold(), 0
    while at < len(said):
        found = item.match(said, at)
        if found is None:
            raise _wrong(f'"{said[at:].split()[0]}" cannot stand there', text, where)
        yield found[1], found[2]
        at = found.end()


def _places(ranks: Sequence[Sequence[int | None]]) -> dict[int, Outcome]:
    """Who shares a place takes up as many as there are boats."""
    outcomes, ahead = {}, 0
    for rank in ranks:
        for boat in rank:
            if boat is not None:
                outcomes[boat] = Outcome(place=ahead + 1, is_tie=len(rank) > 1)
        ahead += len(rank)
    return outcomes


def _boat(number: int, seat: Seated, is_boats: bool, where: Where) -> int:
    if is_boats:
        if number not in seat.lanes:
            raise InputError(
                what=f"boat {number} is not in heat {seat.number}",
                allowed=", ".join(f"{boat:02d}" for boat in seat.lanes if boat is not None),
                do="Look at the sheet; if it was let in by hand, add its result with the reason.",
                where=where,
            )
        return number
    boat = seat.lanes[number - 1] if 1 <= number <= len(seat.lanes) else None
    if boat is None:
        raise InputError(
            what=f"nobody is in lane {number} of heat {seat.number}",
            allowed="lanes " + ", ".join(str(n) for n, b in enumerate(seat.lanes, 1) if b is not None),
            do="Look at the sheet again.",
            where=where,
        )
    return boat


def _if_a_date(text: str, where: Where) -> InputError | None:
    """A spreadsheet takes 12-3 for a day in December."""
    if not re.fullmatch(r"[0-9]{1,4}([-/.])[0-9]{1,2}\1[0-9]{1,4}|[0-9]{1,2}[-. /]?[^\W\d]{3,}.*", text):
        return None
    return InputError(
        what="a spreadsheet seems to have made a date of this", got=f'"{text}"', allowed="the order as on the sheet",
        do="Set the column to text, or put a space before each mark, such as 12 -3; then type it again.", where=where,
    )  # fmt: skip


def _wrong(what: str, text: str, where: Where) -> InputError:
    return InputError(
        what=what,
        got=f'"{text}"',
        allowed="numbers first to last, = between two that came together, - / or x before one that has no place, ? for "
        "a place that cannot be read",
        do="Write it as on the sheet, such as 31=52/4-6.",
        where=where,
    )


# beside what is known


def _compared(events: Sequence[Event], said: Sequence[str], log: Sequence[Event]) -> list[TypedHeat]:
    """Each line beside the phones and the lines before it."""
    found = []
    for n, (event, text) in enumerate(zip(events, said, strict=True)):
        earlier = [*(e for e in log if e.kind != "hold"), *events[:n]]
        gaps = tuple(boat for boat, outcome in event.outcomes.items() if outcome.is_unreadable)
        says, beside = _beside(event, earlier)
        gaps = () if says == "the same" else gaps  # somebody else could read it
        found.append(
            TypedHeat(
                event=event,
                typed=text,
                says="a gap" if gaps and says == "new" else says,
                beside=beside,
                gaps=gaps,
            )
        )
    return found


def _beside(event: Event, earlier: Sequence[Event]) -> tuple[Says, str]:
    state = replay([e for e in earlier if e.heat == event.heat]).heats.get(event.heat or 0)
    if state is None or not state.reports:
        return "new", ""
    if any(report.phone == PAPER and report.outcomes == event.outcomes for report in state.reports):
        return "the same", ""  # typed before
    stands = state.outcomes
    reports = [report.outcomes for report in state.reports]
    agreed = [stands] if stands else reports
    if any(_alike(event.outcomes, other) for other in agreed) and (stands or len(reports) > 1):
        return "the same", ""
    if all(_alike(event.outcomes, other) for other in agreed):
        return "new", ""  # a second report that settles what one phone said
    shown = [(report.phone or report.who or "log", report.outcomes) for report in state.reports]
    return "not alike", "; ".join(
        f"{who}: {_in_order(out)}" for who, out in [*shown, (PAPER, event.outcomes)]
    )


def _alike(paper: Mapping[int, Outcome], other: Mapping[int, Outcome]) -> bool:
    """Whether they say the same wherever the paper can be read."""
    return set(paper) == set(other) and all(
        outcome.is_unreadable or outcome.same_as(other[boat]) for boat, outcome in paper.items()
    )


def _in_order(outcomes: Mapping[int, Outcome]) -> str:
    best_first = sorted(outcomes.items(), key=lambda item: (item[1].place or 999, item[1].code, item[0]))
    return ", ".join(f"{boat:02d} {outcome.words()}" for boat, outcome in best_first)


def _findings(typed: Sequence[TypedHeat]) -> list[Finding]:
    found = []
    for heat in typed:
        if heat.gaps:
            boats = ", ".join(f"{boat:02d}" for boat in heat.gaps)
            found.append(
                Finding(
                    code="typed-gap",
                    severity="warning",
                    what=f"The place of {boats} is not known, and is left open: the heat waits.",
                    do="Ask the finish judges; then add a decision with its reason.",
                    where=f"heat {heat.heat}",
                )
            )
        if heat.says == "not alike":
            found.append(
                Finding(
                    code="typed-differs",
                    severity="warning",
                    what=f"Not alike, side by side: {heat.beside}.",
                    why="Both stay in the log; what stood before stands.",
                    do="The marshal decides; add the decision with its reason.",
                    where=f"heat {heat.heat}",
                )
            )
    return found

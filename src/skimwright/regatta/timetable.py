"""The day as it is meant to go: sessions, one count of heats over all groups, when each should start."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from typing import Literal

from skimwright.base import ConflictError, Finding, InputError, MissingError
from skimwright.regatta.draw import Draw, Heat

SessionKind = Literal["heats", "qualifying", "pause"]
TIGHT = 600.0  # less slack than this is worth a word [s]


@dataclass(frozen=True, kw_only=True)
class Session:
    """One stretch of the day; it may begin late, never early."""

    name: str
    kind: SessionKind
    start: float  # not before, since midnight [s]
    end: float | None = None  # of a pause or of qualifying; heats end when they are done [s]
    pace: float = 540.0  # from one heat to the next, or what one try takes [s]
    groups: tuple[str, ...] = ()  # in the order in which they take turns
    rounds: int = 0
    seed: int = 1  # of the lots of its groups
    ramps: int = 1  # of qualifying


@dataclass(frozen=True, kw_only=True)
class DayPlan:
    """What ``day.toml`` says."""

    opens: float  # nobody on the water before [s]
    clear: float  # everybody has gone by [s]
    lanes: int
    sessions: tuple[Session, ...]
    limits: Mapping[str, float] = field(default_factory=dict)  # name: no heat starts after [s]
    ask_after: float = 60.0  # the marshal is asked when one finish phone waits this long for the other [s]

    def session_of(self, group: str) -> Session:
        """The session in which a group races.

        Raises
        ------
        MissingError
            It races in none.
        """
        for session in self.sessions:
            if group in session.groups:
                return session
        known = [name for session in self.sessions for name in session.groups]
        raise MissingError(
            what="this group races in no session", got=f'"{group}"', allowed=", ".join(known),
            do="Name it in a session of day.toml.",
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class PlannedHeat:
    """One heat of the day."""

    number: int  # from 1, over all groups
    group: str
    round: int  # of that group
    lanes: tuple[int | None, ...]  # the boat in each lane
    session: str
    start: float  # as planned, since midnight [s]

    @property
    def boats(self) -> tuple[int, ...]:
        """Those who race, from lane 1 on."""
        return tuple(boat for boat in self.lanes if boat is not None)


@dataclass(frozen=True, kw_only=True)
class Slot:
    """One line of the timetable."""

    session: Session
    start: float  # as planned: later than its session's own if what is before it takes longer [s]
    end: float  # [s]
    first: int | None = None  # of its heats
    last: int | None = None
    slack: float = 0.0  # until the next line begins, or until the water must be clear [s]


@dataclass(frozen=True, kw_only=True)
class Timetable:
    """The planned day."""

    plan: DayPlan
    heats: tuple[PlannedHeat, ...]
    slots: tuple[Slot, ...]
    last_before: Mapping[str, int | None]  # limit: the last heat that starts before it; None: not one
    findings: tuple[Finding, ...] = ()

    def heat(self, number: int) -> PlannedHeat:
        """The heat of that number.

        Raises
        ------
        MissingError
            There is none.
        """
        for heat in self.heats:
            if heat.number == number:
                return heat
        raise MissingError(
            what=f"there is no heat {number} today", allowed=f"1 to {len(self.heats)}",
            do="Look at the number on the heat card.",
        )  # fmt: skip

    @property
    def slack(self) -> float:
        """From the last line's end until the water must be clear. [s]"""
        return self.plan.clear - self.slots[-1].end


def check_plan(plan: DayPlan, *, sunset: float | None = None) -> DayPlan:
    """The same plan, with sunset among its limits if it is known.

    Raises
    ------
    InputError
        An end before its start, a start outside the day, a session after sunset, a group in two sessions.
    """
    _in_order("the day", plan.opens, plan.clear)
    taken: dict[str, str] = {}
    for session in plan.sessions:
        if session.end is not None:
            _in_order(session.name, session.start, session.end)
        if sunset is not None and session.start >= sunset:
            raise InputError(
                what=f"{session.name} starts after sunset", got=clock(session.start),
                allowed=f"before {clock(sunset)}", do="Start earlier, or on a longer day.",
            )  # fmt: skip
        if not plan.opens <= session.start < plan.clear:
            raise InputError(
                what=f"{session.name} starts outside the day", got=clock(session.start),
                allowed=f"{clock(plan.opens)} to {clock(plan.clear)}", do="Change one of the two.",
            )  # fmt: skip
        for group in session.groups:
            if group in taken:
                raise ConflictError(
                    what=f"{group} races in {taken[group]} and in {session.name}",
                    allowed="each group in one session",
                    do="Give the second race a group of its own in entries.csv, under also.",
                )
            taken[group] = session.name
    starts = [session.start for session in plan.sessions]
    if starts != sorted(starts):
        raise InputError(
            what="the sessions are not in the order of their times", do="Put the earliest first.",
        )  # fmt: skip
    limits = dict(plan.limits) | ({} if sunset is None else {"sunset": sunset})
    return replace(plan, limits=limits)


def _in_order(what: str, start: float, end: float) -> None:
    if end <= start:
        raise InputError(
            what=f"{what} ends before it starts", got=f"{clock(start)} to {clock(end)}",
            allowed="an end after the start", do="Correct one of the two.",
        )  # fmt: skip


def timetable(plan: DayPlan, draws: Mapping[str, Draw]) -> Timetable:
    """Number the heats of all groups in one count, and say when each should start.

    Within a session round follows round; in a round the groups take turns, a heat each.

    Parameters
    ----------
    plan : DayPlan
        From `check_plan`.
    draws : mapping of str to Draw
        By group; groups without one are left out.
    """
    heats: list[PlannedHeat] = []
    slots: list[Slot] = []
    end = plan.opens
    for session in plan.sessions:
        start = max(session.start, end)
        turn = list(_in_turn([draws[group] for group in session.groups if group in draws], session, draws))
        first = len(heats) + 1
        for place, (group, heat) in enumerate(turn):
            heats.append(
                PlannedHeat(
                    number=first + place, group=group, round=heat.round, lanes=heat.lanes,
                    session=session.name, start=start + place * session.pace,
                )
            )  # fmt: skip
        end = start + len(turn) * session.pace
        if session.end is not None:
            end = max(session.end, start)
        has_heats = len(turn) > 0
        slots.append(
            Slot(
                session=session, start=start, end=end, first=first if has_heats else None,
                last=len(heats) if has_heats else None,
            )
        )  # fmt: skip
    made = Timetable(
        plan=plan, heats=tuple(heats), slots=tuple(_with_slack(slots, plan)),
        last_before=last_before(plan, heats),
    )  # fmt: skip
    return replace(made, findings=tuple(_plan_findings(made)))


def _in_turn(
    draws: Sequence[Draw], session: Session, by_group: Mapping[str, Draw]
) -> Iterator[tuple[str, Heat]]:
    groups = [group for group in session.groups if group in by_group]
    for turn in range(1, max((draw.rounds for draw in draws), default=0) + 1):
        for row in zip_longest(*(by_group[group].of_round(turn) for group in groups)):
            for group, heat in zip(groups, row, strict=True):
                if heat is not None:
                    yield group, heat


def _with_slack(slots: Sequence[Slot], plan: DayPlan) -> Iterator[Slot]:
    for place, slot in enumerate(slots):
        until = slots[place + 1].session.start if place + 1 < len(slots) else plan.clear
        yield replace(slot, slack=until - slot.end)


def last_before(plan: DayPlan, heats: Sequence[PlannedHeat]) -> dict[str, int | None]:
    """For each limit the last heat that is started and done before it."""
    found: dict[str, int | None] = {}
    for name, limit in plan.limits.items():
        in_time = [h.number for h in heats if h.start + plan.session_of(h.group).pace <= limit]
        found[name] = max(in_time, default=None)
    return found


def _plan_findings(made: Timetable) -> Iterator[Finding]:
    for slot in made.slots:
        late = slot.start - slot.session.start
        if late > 0:
            yield Finding(
                code="session-late",
                severity="warning",
                what=f"It cannot start before {clock(slot.start)}, {late / 60:.0f} min late: what is before it "
                "takes longer.",
                do="Start earlier, take a round out, or shorten the pause.",
                where=slot.session.name,
            )
    over = -made.slack
    if over > 0:
        yield Finding(
            code="day-too-long",
            severity="stop",
            what=f"The day ends {over / 60:.0f} min after {clock(made.plan.clear)}, when the water must be clear.",
            do="Take a round out, or start earlier.",
        )
    elif -over < TIGHT:
        yield Finding(
            code="day-tight",
            severity="warning",
            what=f"{-over / 60:.0f} min are left at the end of the day.",
            why="One hold or one re-run uses that up.",
            do="Think of a round that could be left out.",
        )
    for name, number in made.last_before.items():
        if made.heats and number != made.heats[-1].number:
            told = "No heat is" if number is None else f"Heat {number} is the last heat"
            yield Finding(
                code="limit-before-end",
                severity="warning",
                what=f"{told} over before {clock(made.plan.limits[name])}, the limit for {name}.",
                do="Race the others before it, or leave them out.",
            )


def clock(seconds: float) -> str:
    """``10:15`` of seconds since midnight, to the minute at hand.

    Examples
    --------
    >>> clock(36900)
    '10:15'
    """
    minutes = int(seconds // 60)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"

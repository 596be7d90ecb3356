"""When the racing will be over, from the heats really run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median

from skimwright.regatta.events import Event
from skimwright.regatta.following import Followed
from skimwright.regatta.timetable import DayPlan, Session, clock

WEIGHT = 3  # the planned pace counts as so many heats run [choice]
MOST = 1.8  # of the planned pace a gap counts at most: one freak is no pace [choice]
LONGEST = 1800.0  # a longer gap is a pause or a wrong clock, not a pace [s]
FRESH = 3600.0  # a start longer ago says nothing about the next one [s]


@dataclass(frozen=True, kw_only=True)
class Expected:
    """When what is to come will be."""

    finish: float | None  # the last heat is over; None while nobody can say [s]
    says: str
    gap: float  # from heat to heat, as it goes today [s]
    gaps: int  # so many were measured
    starts: Mapping[int, float] = field(default_factory=dict)  # by heat to come, in their order [s]


def expected(
    followed: Followed, events: Iterable[Event], plan: DayPlan, *, now: float, not_before: float | None = None,
    is_held: bool = False,
) -> Expected:  # fmt: skip
    """When the heats to come will start, and the last one end.

    The mean gap between heats run one after the other, each phone by its own clock, so that a wrong clock does no
    harm; a re-run is part of its gap, a gap counts for 1.8 planned ones at most, and the planned pace for three
    heats.  Sessions begin no earlier than planned.

    Parameters
    ----------
    followed : Followed
    events : iterable of Event
        The log, each key once.
    plan : DayPlan
    now : float
        Since midnight. [s]
    not_before : float, optional
        A clock of thunder or misfire runs until then. [s]
    is_held : bool
        Somebody holds: nobody knows for how long.
    """
    gaps = measured_gaps(events, followed)
    starts: dict[int, float] = {}
    sessions = [plan.session_of(followed.timetable.heat(number).group) for number in followed.ahead]
    usual = next((s for s in (*sessions, *plan.sessions) if s.kind == "heats"), plan.sessions[0])
    gap = _pace(usual, gaps)
    end = max(now, not_before or 0.0, _last_start(followed, now) + gap)
    for number, session in zip(followed.ahead, sessions, strict=True):
        starts[number] = max(end, session.start)
        end = starts[number] + _pace(session, gaps)
    if not followed.ahead:
        return Expected(finish=None, says="All heats have been raced.", gap=gap, gaps=len(gaps))
    if is_held:
        return Expected(finish=None, says="No estimate while held.", gap=gap, gaps=len(gaps))
    return Expected(
        finish=end,
        says=f"The last heat is over at about {clock(end)}.",
        gap=gap,
        gaps=len(gaps),
        starts=starts,
    )


def _pace(session: Session, gaps: Sequence[float]) -> float:
    """Between the plan and what is seen; a share of the plan, so that sessions may differ. [s]"""
    return session.pace * (WEIGHT + sum(min(gap, MOST) for gap in gaps)) / (WEIGHT + len(gaps))


def measured_gaps(events: Iterable[Event], followed: Followed) -> list[float]:
    """From one heat to the next as shares of the planned pace, where nothing held between them. [-]"""
    table, plan = followed.timetable, followed.timetable.plan
    groups = {heat.number: heat.group for heat in table.heats}
    last: dict[str, tuple[int, float]] = {}
    found: dict[tuple[int, int], list[float]] = {}
    for event in events:
        if event.kind == "hold":
            last.clear()
        if event.kind not in ("start", "finish", "result") or event.when is None or event.heat not in groups:
            continue
        clock_of = f"{event.kind} {event.phone or event.who}"
        before = last.get(clock_of)
        if before and before[0] == event.heat:
            continue  # run again: its first start counts, so that the re-run is part of its gap
        last[clock_of] = (event.heat, event.when)
        if before is None:
            continue
        mine, theirs = plan.session_of(groups[event.heat]), plan.session_of(groups[before[0]])
        gap = event.when - before[1]
        if mine is theirs and abs(event.heat - before[0]) == 1 and 0 < gap < LONGEST:
            found.setdefault((before[0], event.heat), []).append(gap / mine.pace)
    return [median(each) for each in found.values()]


def _last_start(followed: Followed, now: float) -> float:
    """The latest start that can be so by the clock at hand; long ago if none. [s]"""
    times = [h.started_at for h in followed.heats.values() if h.started_at is not None]
    return max((t for t in times if now - FRESH <= t <= now + 60.0), default=-FRESH)

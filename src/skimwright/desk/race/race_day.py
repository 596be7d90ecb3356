"""The race day at one moment: everything a screen, a card or a call board shows, from the plan and the log."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from skimwright.base import Finding, SkimwrightError
from skimwright.desk.race.day_plan import DayLots, draw_day, read_day_plan
from skimwright.desk.race.lots import Entries, read_entries
from skimwright.desk.race.results import read_log
from skimwright.desk.seasons.season import regatta_date
from skimwright.desk.seasons.tables import Rows
from skimwright.desk.water.hold import read_holds
from skimwright.desk.water.pond_map import read_pond
from skimwright.pond import Event as Hold
from skimwright.pond import Place, state_at
from skimwright.regatta import (
    Day,
    DayPlan,
    Event,
    Expected,
    Fitness,
    Followed,
    HeatSoFar,
    LotsChange,
    Outcome,
    PlannedHeat,
    Queue,
    Timetable,
    clock,
    expected,
    fitness,
    follow,
    once,
    qualifying,
    replay,
)

State = Literal["to come", "called", "called again", "on the water", "waits", "done", "to be run again"]
USUAL_TRIES = 3
SECOND_PHONE = "waits for the second finish phone"


@dataclass(frozen=True, kw_only=True)
class DayTables:
    """The files a race day needs, as parsed; nothing of boats, kits or the model."""

    season: Mapping[str, Any]  # season.toml
    day: Mapping[str, Any]  # day.toml
    entries: Rows
    results: Rows | None = None  # None: nothing has happened yet
    holds: Sequence[Sequence[str]] | None = None
    pond: Mapping[str, Any] | None = None


@dataclass(frozen=True, kw_only=True)
class DayHeat:
    """One heat as it stands now."""

    number: int
    group: str
    round: int
    lanes: tuple[int | None, ...]  # the boat in each lane; those in `out` do not race
    session: str
    planned: float  # start, since midnight [s]
    expected: float | None  # start, as the day goes; None: raced, or nobody can say while held [s]
    state: State
    waits_for: str = ""  # why its result does not count yet, in words
    calls: int = 0
    called_at: float | None = None  # [s]
    outcomes: Mapping[int, Outcome]  # what counts so far; empty while nothing does
    reports: tuple[Event, ...] = ()  # of phones, scorer and marshal since it was last to be raced
    protests: tuple[Event, ...] = ()  # open ones
    corrected: tuple[Event, ...] = ()  # a table with this heat says "corrected"
    out: tuple[int, ...] = ()  # withdrawn, or written down as not started
    missing: tuple[int, ...] = ()  # crews that have not come, about whom the director must choose
    unticked: tuple[
        int, ...
    ] = ()  # boats without a tick: no card, no call, unless the director lets them race
    unweighed: tuple[int, ...] = ()  # boats marked so on the card
    allowed: tuple[int, ...] = ()  # boats that race without a tick because the director said so

    @property
    def boats(self) -> tuple[int, ...]:
        """Those who race, from lane 1 on."""
        return tuple(boat for boat in self.lanes if boat is not None and boat not in self.out)

    @property
    def counts(self) -> bool:
        """Whether its result is in the points."""
        return bool(self.outcomes) and not self.waits_for

    def lane_of(self, boat: int) -> int:
        """From 1."""
        return self.lanes.index(boat) + 1


@dataclass(frozen=True, kw_only=True)
class RaceDay:
    """The whole day at one moment."""

    now: datetime.datetime
    date: datetime.date  # of the regatta
    plan: DayPlan
    entries: Entries
    events: tuple[Event, ...]  # the log, each key once
    log: tuple[Event, ...]  # the log as it stands
    published: DayLots  # the lots before anything happened
    timetable: Timetable  # the heats as they now stand
    followed: Followed
    results: Day  # for the points: desk.day_points(day.events, table)
    heats: tuple[DayHeat, ...]
    on_water: tuple[int, ...]  # started, and not both phones in
    ahead: tuple[int, ...]  # heats to come in the order in which they will be raced
    word: Literal["go", "hold", "stop"]  # may boats run
    says: str  # the same in a sentence
    not_before: float | None  # a clock of thunder or misfire runs until then [s]
    fitness: Mapping[int, Fitness]
    queue: Queue
    queue_ends: float | None  # at the latest; None: nobody waits [s]
    expected: Expected
    changes: tuple[LotsChange, ...]  # since the lots were published
    last_before: Mapping[
        str, int | None
    ]  # limit: the last heat over by then, as the day goes; None: not one to come
    findings: tuple[Finding, ...]

    @property
    def clock(self) -> float:
        """Since midnight. [s]"""
        return seconds_of(self.now)

    def heat(self, number: int) -> DayHeat:
        """The heat of that number.

        Raises
        ------
        MissingError
            There is none.
        """
        self.timetable.heat(number)
        return self.heats[number - 1]

    def label(self, boat: int) -> str:
        """``07 Gravel``; number and boat name, and nothing else."""
        return f"{boat:02d} {self.names.get(boat, '')}".strip()

    @property
    def names(self) -> Mapping[int, str]:
        """Boat names by number."""
        return self.entries.names()

    def next_heats(self, count: int = 3) -> tuple[DayHeat, ...]:
        """The next heats to be raced, for the call board."""
        return tuple(self.heat(number) for number in self.ahead[:count])


def seconds_of(moment: datetime.datetime) -> float:
    """Since midnight by the clock of that moment. [s]"""
    return moment.hour * 3600.0 + moment.minute * 60.0 + moment.second + moment.microsecond / 1e6


def read_day(tables: DayTables, *, now: datetime.datetime, tries: Mapping[str, int] | None = None) -> RaceDay:
    """The race day from its files, at one moment.

    Parameters
    ----------
    tables : DayTables
        The files as parsed.
    now : datetime
        By the clock at hand, with its difference from UTC.
    tries : mapping of str to int, optional
        Tries at qualifying by group; 3 unless given.

    Raises
    ------
    InputError, MissingError, ConflictError
        The plan or the entries cannot be read.  A row of the log that cannot be read is named in a finding, and the
        day goes on.
    """
    date, place = regatta_date(tables.season), _place(tables.pond)
    now = at_pond(now, place)
    plan = read_day_plan(tables.day, date=date, place=place)
    entries = read_entries(tables.entries)
    log, unread = read_log(tables.results, entered=entries.names()) if tables.results else ((), ())
    holds, hold_findings = _holds(tables.holds)
    made = day_at(plan, entries, log, holds, now=now, date=date, tries=tries)
    return replace(made, findings=(*unread, *hold_findings, *made.findings))


def pond_clock(pond: Mapping[str, Any] | None, now: datetime.datetime) -> datetime.datetime:
    """The moment by the clocks at the pond, if its file says how they stand; else as it is."""
    return at_pond(now, _place(pond))


def at_pond(now: datetime.datetime, place: Place | None) -> datetime.datetime:
    """The same moment by the clocks of a place."""
    if place is None:
        return now
    return now.astimezone(datetime.timezone(datetime.timedelta(hours=place.utc_offset)))


def _place(pond: Mapping[str, Any] | None) -> Place | None:
    """Where the pond is, if its file can be read: a race day must not fall over a survey."""
    try:
        return None if pond is None else read_pond(pond).place
    except SkimwrightError:
        return None


def _holds(grid: Sequence[Sequence[str]] | None) -> tuple[tuple[Hold, ...] | None, list[Finding]]:
    """The log of holds; None if it cannot be read, which holds everything."""
    try:
        return read_holds(grid or ()), []
    except SkimwrightError as error:
        return None, [
            Finding(
                code="holds-unread", severity="stop", what=f"The log of holds cannot be read: {error.sentence()}",
                do="Put it right; until then racing is on hold.", where="holds.csv",
            )
        ]  # fmt: skip


def day_at(
    plan: DayPlan,
    entries: Entries,
    log: Sequence[Event],
    holds: Sequence[Hold] | None,
    *,
    now: datetime.datetime,
    date: datetime.date,
    tries: Mapping[str, int] | None = None,
) -> RaceDay:
    """The race day from what is already read; `holds` None: their log cannot be read."""
    events = tuple(once(log)[0])
    late = frozenset(event.boat for event in events if event.kind == "late" and event.boat is not None)
    published_plan, lots_findings = _as_published(plan, events)
    published = draw_day(published_plan, entries, without=late)
    results = replay(log)
    groups = {row.boat: row.groups for row in entries.rows}
    followed = follow(published_plan, published.draws, events, groups)
    fit = fitness(events, groups)
    word, says, not_before, held = _may_run(holds, results, now)
    at = seconds_of(now)
    queue = qualifying(events, lambda boat: _tries(boat, groups, tries))
    soon = expected(followed, events, published_plan, now=at, not_before=not_before, is_held=held)
    heats = tuple(_heat(h, followed, results, fit, soon) for h in followed.timetable.heats)
    last = _last_before(followed, soon, published_plan)
    findings = (
        *(finding for finding in published.findings if finding not in published.timetable.findings),
        *followed.timetable.findings,
        *lots_findings,
        *_marks(published, events),
        *(
            f for f in results.findings if not _is_second_phone(f)
        ),  # that is told below, when its minute is over
        *followed.findings,
        *_one_phone(heats, followed, plan, at),
        *_pending(heats, fit, followed),
        *_limits_ahead(followed, soon, published_plan, last),
    )
    return RaceDay(
        now=now, date=date, plan=published_plan, entries=entries, events=events, log=tuple(log),
        published=published, timetable=followed.timetable, followed=followed, results=results, heats=heats,
        on_water=tuple(h.number for h in heats if h.state == "on the water"), ahead=followed.ahead, word=word,
        says=says, not_before=not_before, fitness=fit, queue=queue, queue_ends=_queue_ends(queue, plan, at),
        expected=soon, changes=followed.changes, last_before=last,
        findings=findings,
    )  # fmt: skip


def _tries(boat: int, groups: Mapping[int, tuple[str, ...]], tries: Mapping[str, int] | None) -> int:
    own = groups.get(boat, ())[:1]
    return (tries or {}).get(own[0], USUAL_TRIES) if own else USUAL_TRIES


def _queue_ends(queue: Queue, plan: DayPlan, at: float) -> float | None:
    session = next((s for s in plan.sessions if s.kind == "qualifying"), None)
    if not queue.waiting or session is None:
        return None
    return queue.ends(now=max(at, session.start), ramps=session.ramps, pace=session.pace)


def _may_run(
    holds: Sequence[Hold] | None, results: Day, now: datetime.datetime
) -> tuple[Literal["go", "hold", "stop"], str, float | None, bool]:
    """The word, a sentence, a clock that runs, and whether nobody knows for how long."""
    if holds is None:
        return "hold", "Hold. The log of holds cannot be read.", None, True
    try:
        state = state_at(holds, now)
    except SkimwrightError as error:
        return "hold", f"Hold. {error.sentence()}", None, True
    not_before = None if state.not_before is None else seconds_of(state.not_before.astimezone(now.tzinfo))
    if results.holds and state.word != "stop":
        reasons = "; ".join(hold.reason.rstrip(".") for hold in results.holds)
        more = f" {state.says}" if state.word == "hold" else ""
        return "hold", f"Hold, from paper: {reasons}.{more}", not_before, True
    return (
        state.word,
        state.says,
        not_before,
        state.word != "go" and (bool(state.holds) or not_before is None),
    )


def _heat(
    planned: PlannedHeat, followed: Followed, results: Day, fit: Mapping[int, Fitness], soon: Expected
) -> DayHeat:
    so_far = followed.so_far(planned.number)
    result = results.heats.get(planned.number)
    gone = [b for b in planned.boats if planned.number >= results.gone.get(b, planned.number + 1)]
    out = tuple(sorted({*gone, *(b for b in so_far.not_started if b in planned.boats)}))
    racing = [boat for boat in planned.boats if boat not in out]
    counts = result is not None and result.counts
    allowed = tuple(boat for boat in racing if boat in so_far.allowed)
    unticked = () if so_far.is_run else tuple(b for b in racing if not fit[b].is_fit and b not in allowed)
    return DayHeat(
        number=planned.number, group=planned.group, round=planned.round, lanes=planned.lanes,
        session=planned.session, planned=planned.start, expected=soon.starts.get(planned.number),
        state=_state(so_far, counts=counts),
        waits_for=result.waits_for if result and so_far.is_reported else "",
        calls=so_far.calls, called_at=so_far.called_at,
        outcomes=result.outcomes if result else {}, reports=result.reports if result else (),
        protests=result.protests if result else (), corrected=result.corrected if result else (), out=out,
        missing=tuple(b for b, choice in so_far.missing.items() if not choice and b in racing),
        unticked=unticked, unweighed=tuple(b for b in racing if fit[b].is_unweighed), allowed=allowed,
    )  # fmt: skip


def _state(so_far: HeatSoFar, *, counts: bool) -> State:
    if counts:
        return "done"
    if so_far.is_reported:
        return "waits"
    if so_far.is_started:
        return "on the water"
    if so_far.calls:
        return "called" if so_far.calls == 1 else "called again"
    return "to be run again" if so_far.is_again else "to come"


# what somebody should know or decide


def _as_published(plan: DayPlan, events: Sequence[Event]) -> tuple[DayPlan, list[Finding]]:
    """The plan with the seeds that were published, and where the file now says another."""
    seeds = {event.group: int(event.said.split()[0]) for event in events if event.kind == "lots"}
    findings, sessions = [], []
    for session in plan.sessions:
        theirs = {seeds[group] for group in session.groups if group in seeds}
        for seed in sorted(theirs - {session.seed}):
            findings.append(
                Finding(
                    code="seed-changed", severity="stop",
                    what=f"The lots were published with seed {seed}; day.toml now says {session.seed}.",
                    why=f"The published ones stand: seed {seed}.",
                    do="Write the published seed back, or publish new lots before the first heat, with a reason.",
                    where=session.name,
                )
            )  # fmt: skip
        sessions.append(replace(session, seed=theirs.pop()) if len(theirs) == 1 else session)
    return replace(plan, sessions=tuple(sessions)), findings


def _marks(published: DayLots, events: Sequence[Event]) -> list[Finding]:
    """Published lots that these files no longer give."""
    marks = {event.group: event.said.split()[1] for event in events if event.kind == "lots"}
    return [
        Finding(
            code="lots-differ", severity="stop",
            what=f"These are not the published lots: their mark is {published.draws[group].mark}, not {mark}.",
            why="The entries, the rounds or the lanes have been changed since.",
            do="Put them back. A boat that came late is told with `skimwright call --late N`.",
            where=group,
        )
        for group, mark in marks.items()
        if group in published.draws and published.draws[group].mark != mark
    ]  # fmt: skip


def _is_second_phone(finding: Finding) -> bool:
    return finding.code == "heat-held" and SECOND_PHONE in finding.what


def _one_phone(heats: Sequence[DayHeat], followed: Followed, plan: DayPlan, at: float) -> list[Finding]:
    """Heats that one finish phone has reported and the other not, for longer than the site waits."""
    found = []
    for heat in heats:
        phones = followed.so_far(heat.number).phones
        if heat.counts or len(phones) != 1 or heat.state != "waits":
            continue
        phone, when = next(iter(phones.items()))
        waited = None if when is None else at - when
        if waited is None or not 0 <= waited < plan.ask_after:
            told = "" if waited is None or waited < 0 else f", {_long(waited)} ago"
            found.append(
                Finding(
                    code="one-phone", severity="stop", what=f"Only {phone} has reported it{told}.",
                    do="Marshal: ask the other phone, or decide.", where=f"heat {heat.number}",
                )
            )  # fmt: skip
    return found


def _last_before(followed: Followed, soon: Expected, plan: DayPlan) -> dict[str, int | None]:
    """For each limit the last heat over by then: by today's pace, or by the plan while nobody can say."""
    starts = soon.starts or {n: followed.timetable.heat(n).start for n in followed.ahead}
    ends = {n: at + (soon.gap if soon.starts else plan.session_of(followed.timetable.heat(n).group).pace)
            for n, at in starts.items()}  # fmt: skip
    return {
        name: next((n for n in reversed(followed.ahead) if ends[n] <= limit), None)
        for name, limit in plan.limits.items()
    }


def _limits_ahead(
    followed: Followed, soon: Expected, plan: DayPlan, last: Mapping[str, int | None]
) -> list[Finding]:
    """Limits that today's pace will not keep, where the plan would have."""
    found = []
    for name, number in last.items():
        if soon.gaps and soon.finish is not None and followed.ahead and number != followed.ahead[-1]:
            told = "No heat" if number is None else f"Heat {number} is the last heat that"
            found.append(
                Finding(
                    code="limit-by-pace", severity="warning",
                    what=f"{told} will be over before {clock(plan.limits[name])}, the limit for {name}.",
                    why=f"As it goes today, the last one is over at about {clock(soon.finish)}.",
                    do="Think of a round that could be left out, or of a shorter pause.",
                )
            )  # fmt: skip
    return found


def _long(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def _pending(heats: Sequence[DayHeat], fit: Mapping[int, Fitness], followed: Followed) -> list[Finding]:
    """What stands in the way of the next three heats."""
    found: list[Finding] = []
    soon = followed.ahead[:3]
    for heat in heats:
        where = f"heat {heat.number}"
        found += [
            Finding(
                code="crew-missing", severity="stop", what=f"The crew of boat {boat:02d} has not come.",
                do="Director: wait, skip the heat, or write it down as not started.", where=where,
            )
            for boat in heat.missing
            if not followed.so_far(heat.number).is_run
        ]  # fmt: skip
        if heat.number in soon and heat.unticked:
            told = "; ".join(f"{boat:02d} ({fit[boat].why_not})" for boat in heat.unticked)
            found.append(
                Finding(
                    code="no-tick", severity="warning", what=f"May not race yet: {told}.",
                    do="Pit steward: look at them. The director may let one race, with a reason.", where=where,
                )
            )  # fmt: skip
    return found


__all__ = ["DayHeat", "DayTables", "RaceDay", "clock", "day_at", "pond_clock", "read_day", "seconds_of"]

"""The day rehearsed: many invented days of one plan, with late crews, slow boats on the water and thunder.

A heat passes through two places.  In the pit its boats are checked while the heat before is on the water.  On the water
they are called, armed, run and fetched; nobody starts before the water is clear.  What several people do in
parallel goes to whoever is free first.  The same chances are dealt to every what-if, so that a difference of two
means is that of the change and not of luck.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError
from skimwright.regatta.timetable import Timetable

Array = NDArray[np.float64]

Job = Literal["inspector", "armer", "timer", "boat crew", "ramp"]
JOBS: tuple[Job, ...] = ("inspector", "armer", "timer", "boat crew", "ramp")
MOST_HOLDS = 4  # in one day
MOST_STRIKES = 60  # in one hold


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """One part of the day: heats by the boats in each, tries at a ramp, or a pause."""

    name: str
    start: float  # never before [s]
    heats: tuple[int, ...] = ()  # boats in each
    tries: int = 0
    each: float = 0.0  # what one try takes [s]
    ramps: int = 1
    until: float | None = None  # of a pause [s]


@dataclass(frozen=True, kw_only=True)
class Guesses:
    """How long things take and what goes wrong; each time is a mean."""

    source: str  # where these come from, in words
    call: float  # to the line, once a heat [s]
    check: float  # in the pit, a boat [s]
    arm: float  # a boat [s]
    run: float  # until the last has stopped [s]
    fetch: float  # a boat [s]
    spread: float  # of each time, as a share of it [-]
    missing: float  # chance that a boat's crew is not there [-]
    missing_wait: float  # [s]
    rerun: float  # chance that a heat is raced again [-]
    slow: float  # chance that a boat is hard to fetch [-]
    slow_fetch: float  # what that takes more [s]
    misread: float  # chance that a timer's order is wrong [-]
    marshal: float  # to decide between two orders [s]
    thunder: float  # holds a day [-]
    strikes: float  # while a storm lasts, in a second [1/s]
    all_clear: float  # without thunder before racing goes on [s]
    least_pause: float  # a late day eats no more of a pause [s]


Helpers = Mapping[Job, int]


@dataclass(frozen=True, kw_only=True)
class Days:
    """How many days ended."""

    finish: Array  # (days,) since midnight [s]
    by: float  # planned [s]

    @property
    def on_time(self) -> float:
        """Share of days done by then."""
        return float((self.finish <= self.by + 0.5).mean())

    @property
    def on_time_range(self) -> tuple[float, float]:
        """95 % range of that share, from the days being so few (Wilson's interval)."""
        n, p, z = len(self.finish), self.on_time, 1.959964
        middle = (p + z * z / (2 * n)) / (1 + z * z / n)
        half = z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n)
        return max(0.0, middle - half), min(1.0, middle + half)

    @property
    def mean(self) -> float:
        """Mean end. [s]"""
        return float(self.finish.mean())

    @property
    def usual(self) -> tuple[float, float]:
        """Nine days of ten end between these. [s]"""
        return float(np.quantile(self.finish, 0.05)), float(np.quantile(self.finish, 0.95))


@dataclass(frozen=True, kw_only=True)
class WhatIf:
    """The same days with one thing changed."""

    what: str
    gains: float  # mean minutes earlier, in seconds [s]
    gains_error: float  # half a 95 % range of that [s]
    on_time: float  # share of days done in time [-]


@dataclass(frozen=True, kw_only=True)
class Rehearsal:
    """A day rehearsed."""

    days: Days
    racing: Array  # (days,) when the last heat is off the water [s]
    planned: float  # the end if all goes as planned [s]
    steady: float  # the end if nothing goes wrong and every time is its mean [s]
    costs: tuple[WhatIf, ...]  # without this trouble; dearest first
    helpers: tuple[WhatIf, ...]  # with one more of these; most valuable first


def stretches(made: Timetable) -> tuple[Stretch, ...]:
    """The plan as the rehearsal takes it."""
    found = []
    for slot in made.slots:
        session = slot.session
        boats = tuple(
            len(h.boats) for h in made.heats if slot.first and slot.first <= h.number <= (slot.last or 0)
        )
        if session.kind == "qualifying":
            tries = round(((session.end or slot.end) - session.start) * session.ramps / session.pace)
            found.append(
                Stretch(
                    name=session.name,
                    start=session.start,
                    tries=tries,
                    each=session.pace,
                    ramps=session.ramps,
                )
            )
        elif session.kind == "pause":
            found.append(Stretch(name=session.name, start=session.start, until=session.end))
        else:
            found.append(Stretch(name=session.name, start=session.start, heats=boats))
    return tuple(found)


def rehearse(
    plan: Sequence[Stretch],
    guesses: Guesses,
    helpers: Helpers,
    *,
    by: float,
    opens: float,
    planned: float,
    days: int = 1000,
    seed: int = 1,
) -> Rehearsal:
    """Many days of one plan, what costs most, and who would help most.

    Parameters
    ----------
    plan : sequence of Stretch
        In the order of the day.
    guesses : Guesses
    helpers : mapping
        How many of each job; one boat crew is two people.
    by : float
        When the day should be over. [s]
    opens : float
        When thunder begins to matter. [s]
    planned : float
        When it ends by the plan. [s]
    days : int
    seed : int
        Same seed, same days.

    Raises
    ------
    InputError
        A job has nobody, or a chance is not one.

    Checked
        tests/unit/regatta/test_rehearsal.py: without spread the plan; closed forms for the greatest of several
        times, for two places in a row, and for the wait until a gap in the thunder.
    """
    _check(guesses, helpers, days)
    heats = [boats for stretch in plan for boats in stretch.heats]
    tries = sum(stretch.tries for stretch in plan)

    def run(changed: Guesses, crew: Helpers, more_ramps: int = 0, number: int = days) -> tuple[Array, Array]:
        luck = _Luck(heats, tries, changed, days=number, opens=opens, by=by, seed=seed)
        return _run_through(plan, changed, crew, luck, more_ramps)

    def ends(changed: Guesses, crew: Helpers, more_ramps: int = 0) -> Array:
        return run(changed, crew, more_ramps)[0]

    usual, racing = run(guesses, helpers)
    base = Days(finish=usual, by=by)
    steady, _ = run(_without_trouble(guesses), helpers, number=1)
    costs = [_what_if(what, base, ends(changed, helpers)) for what, changed in _troubles(guesses).items()]
    more = []
    for job in JOBS:
        if job == "ramp":
            if tries:
                more.append(_what_if("a second pair at the ramp", base, ends(guesses, helpers, 1)))
        elif heats:
            more.append(_what_if(f"one more {job}", base, ends(guesses, {**helpers, job: helpers[job] + 1})))
    return Rehearsal(
        days=base, racing=racing, planned=planned, steady=float(steady[0]),
        costs=tuple(sorted(costs, key=lambda c: -c.gains)), helpers=tuple(sorted(more, key=lambda c: -c.gains)),
    )  # fmt: skip


def _check(guesses: Guesses, helpers: Helpers, days: int) -> None:
    for job in JOBS[:-1]:
        if helpers.get(job, 0) < 1:
            raise InputError(what=f"nobody is {job}", allowed="at least one", do="Fill the job first.")
    for name in ("missing", "rerun", "slow", "misread"):
        if not 0.0 <= getattr(guesses, name) <= 0.9:
            raise InputError(what=f"{name} is not a chance", got=f"{getattr(guesses, name):g}", allowed="0 to 0.9",
                             do="Write a share: 0.04 is 4 in a hundred.")  # fmt: skip
    if days < 1:
        raise InputError(what="no days to rehearse", got=str(days), allowed="1 or more", do="Give more.")


def _without_trouble(guesses: Guesses) -> Guesses:
    return replace(guesses, spread=0.0, missing=0.0, rerun=0.0, slow=0.0, misread=0.0, thunder=0.0)


def _troubles(guesses: Guesses) -> dict[str, Guesses]:
    return {
        "times that vary": replace(guesses, spread=0.0),
        "crews not there at the call": replace(guesses, missing=0.0),
        "heats raced again": replace(guesses, rerun=0.0),
        "boats hard to fetch": replace(guesses, slow=0.0),
        "finish orders that differ": replace(guesses, misread=0.0),
        "thunder": replace(guesses, thunder=0.0),
    }


def _what_if(what: str, base: Days, finish: Array) -> WhatIf:
    gained = base.finish - finish
    error = 1.96 * float(gained.std(ddof=1)) / math.sqrt(len(gained)) if len(gained) > 1 else math.inf
    return WhatIf(
        what=what,
        gains=float(gained.mean()),
        gains_error=error,
        on_time=Days(finish=finish, by=base.by).on_time,
    )


class _Luck:
    """Every chance of every day, dealt before anything happens."""

    def __init__(
        self, heats: Sequence[int], tries: int, g: Guesses, *, days: int, opens: float, by: float, seed: int
    ) -> None:
        rng = np.random.default_rng(seed)
        most, count = max(heats, default=1), max(len(heats), 1)
        boats = (count, most, days)
        self.check, self.arm, self.fetch, self.again_arm, self.again_fetch = (
            mean * _varied(rng, boats, g.spread) for mean in (g.check, g.arm, g.fetch, g.arm, g.fetch)
        )
        self.fetch = self.fetch + g.slow_fetch * (rng.random(boats) < g.slow)
        self.call, self.run, self.again_run = (
            mean * _varied(rng, (count, days), g.spread) for mean in (g.call, g.run, g.run)
        )
        self.missing = rng.random(boats) < g.missing
        self.rerun = rng.random((count, days)) < g.rerun
        self.misread = rng.random((count, days))
        self.tries = _varied(rng, (max(tries, 1), days), g.spread)
        begins = rng.uniform(opens, by, (MOST_HOLDS, days))
        number = np.searchsorted(np.cumsum(_poisson(g.thunder)), rng.random(days))
        there = np.arange(MOST_HOLDS)[:, None] < number
        order = np.argsort(np.where(there, begins, np.inf), axis=0)
        self.hold_from = np.take_along_axis(np.where(there, begins, np.inf), order, axis=0)
        self.hold_long = hold_lengths(rng, (MOST_HOLDS, days), strikes=g.strikes, all_clear=g.all_clear)


def _varied(rng: np.random.Generator, shape: tuple[int, ...], spread: float) -> Array:
    """Factors with mean one that are never negative."""
    wide = math.sqrt(math.log1p(spread**2))
    return np.asarray(np.exp(wide * rng.standard_normal(shape) - 0.5 * wide**2))


def _poisson(mean: float) -> Array:
    return np.array([math.exp(-mean) * mean**k / math.factorial(k) for k in range(MOST_HOLDS)])


def hold_lengths(
    rng: np.random.Generator, shape: tuple[int, ...], *, strikes: float, all_clear: float
) -> Array:
    """How long holds last: from a first thunder until none is heard for so long; each thunder begins it anew. [s]"""
    waits = rng.exponential(1.0, (MOST_STRIKES, *shape)) / max(strikes, 1e-12)
    going = np.cumprod(waits < all_clear, axis=0)
    return np.asarray((waits * going).sum(axis=0) + all_clear)


def shared_out(times: Array, hands: int) -> Array:
    """When the last of several things is done, if each goes to whoever is free first.

    Parameters
    ----------
    times : float array (things, days)
        In the order in which they come. [s]
    hands : int
        How many work at once.

    Returns
    -------
    float array (days,)
        [s]

    Examples
    --------
    >>> float(shared_out(np.array([[4.0], [3.0], [2.0]]), 2)[0])
    5.0
    """
    if hands == 1:
        return np.asarray(times.sum(axis=0))
    free = np.zeros((min(hands, len(times)), times.shape[1]))
    every = np.arange(times.shape[1])
    for each in times:
        first = free.argmin(axis=0)
        free[first, every] += each
    return np.asarray(free.max(axis=0))


def marshal_share(timers: int, misread: float) -> float:
    """Chance that the marshal must decide: no order has more than half of the timers behind it.

    Examples
    --------
    >>> round(marshal_share(2, 0.1), 4), round(marshal_share(3, 0.1), 4)
    (0.19, 0.028)
    """
    if timers == 1:
        return 1.0
    enough = timers // 2 + 1
    right = sum(
        math.comb(timers, k) * (1 - misread) ** k * misread ** (timers - k) for k in range(enough, timers + 1)
    )
    return 1.0 - right


def _run_through(
    plan: Sequence[Stretch], g: Guesses, helpers: Helpers, luck: _Luck, more_ramps: int
) -> tuple[Array, Array]:
    """When each day ends, and when its last heat is off the water."""
    now = racing = np.full(luck.call.shape[1], 0.0)
    heat = done = 0
    for stretch in plan:
        now = np.maximum(now, stretch.start)
        if stretch.until is not None:
            now = np.maximum(stretch.until, now + min(g.least_pause, stretch.until - stretch.start))
        elif stretch.tries:
            now = _held(now, luck)
            tries = stretch.each * luck.tries[done : done + stretch.tries]
            now, done = now + shared_out(tries, stretch.ramps + more_ramps), done + stretch.tries
        ready = now  # the first heat was checked before
        for boats in stretch.heats:
            begins = _held(np.maximum(now, ready), luck)
            ready = begins + shared_out(luck.check[heat, :boats], helpers["inspector"])  # the next one's
            now = racing = _on_the_water(begins, heat, boats, g, helpers, luck)
            heat += 1
    return now, racing


def _held(now: Array, luck: _Luck) -> Array:
    """Nothing begins during a hold."""
    for begins, long in zip(luck.hold_from, luck.hold_long, strict=True):
        now = np.where((now >= begins) & (now < begins + long), begins + long, now)
    return now


def _on_the_water(begins: Array, heat: int, boats: int, g: Guesses, helpers: Helpers, luck: _Luck) -> Array:
    """When the water is clear again."""
    wait = g.missing_wait * luck.missing[heat, :boats].any(axis=0)
    armed = shared_out(luck.arm[heat, :boats], helpers["armer"])
    asked = luck.misread[heat] < marshal_share(helpers["timer"], g.misread)
    fetched = shared_out(luck.fetch[heat, :boats], helpers["boat crew"])
    clear = begins + luck.call[heat] + wait + armed + luck.run[heat] + np.maximum(fetched, g.marshal * asked)
    again = (
        shared_out(luck.again_arm[heat, :boats], helpers["armer"])
        + luck.again_run[heat]
        + shared_out(luck.again_fetch[heat, :boats], helpers["boat crew"])
    )
    clear = clear + again * luck.rerun[heat]
    for from_, long in zip(luck.hold_from, luck.hold_long, strict=True):
        caught = (from_ > begins) & (
            from_ < clear
        )  # thunder clears the water, and the heat is raced after it
        clear = np.where(caught, from_ + long + again, clear)
    return np.asarray(clear)

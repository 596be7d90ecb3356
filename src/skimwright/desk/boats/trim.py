"""Trim advice: one next change, ranked by what it is worth over build and wind, with what else it does.

What was measured outside the card's allowance is mended first; then comes trim.  A rough answer comes in a few
seconds and is sharpened by more runs of the changes still in the race.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from skimwright.base import ConflictError, Finding
from skimwright.boat import AsBuilt, Kit, board_mass, printed_at, with_measured
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.check import CARD, NOSE_CARE, allowed, drawn_value, linear_share
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.boats.trim_changes import (
    LEAVE_IT,
    Candidate,
    ballast_cells,
    candidates,
    print_again,
    side,
    to_target,
    within_class,
)
from skimwright.desk.seasons.season import Group, Season
from skimwright.run import LEFT_ALONE, MassSlope, Outcome, Question, Trials, difference, mass_slope

Says = Literal["lighter", "heavier", "cannot tell", "leave it"]

ROUGH_RUNS, MAP_RUNS, FULL_RUNS = (
    32,
    96,
    240,
)  # of each change; of each place of the map; of those in the race
IN_RACE = 6  # changes that are sharpened
BOATS, RUNS_EACH = 32, 24  # boats that could be this one, and runs of each, for the mass verdict
TRUST = (
    0.5  # of a gain that sets one thing against another: the model is surer of signs than of sizes [choice]
)
MINUTE = 0.05  # points that a minute of a crew's time is worth [choice]
WORTH_IT = 1.0  # points below which a change is not worth making [choice]
NOSE_STEP = (
    0.03  # more chance of a lifting nose than this, ending beyond NOSE_CARE, is never advised [choice]
)
FLIP_STEP = 0.01  # nor more flips than this in the day's own wind [choice]
MEND_LOSS = 3.0  # points a mend may lose today: faults that cancel are no trim [choice]
SMALL = 0.5  # points per 10 g within which mass does not matter [choice]
Z80 = 1.2816  # half of an 80 % interval, in standard errors


@dataclass(frozen=True, kw_only=True)
class Prospects:
    """A boat's prospects, aimed off for the wind, over an afternoon of runs."""

    through: float  # chance through the gate [-]
    nose: float  # chance that the nose lifts, the day's wind straight ahead [-]
    flips: float  # share of runs that ended upside down in the day's own wind [-]
    distance: float  # [m]
    gate_time: float | None  # [s]
    drift: float | None  # at the gate's line, to starboard + [m]
    mass: float  # [kg]
    balance_x: float  # [m]
    balance_y: float  # [m]


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change with what it is worth and what else it does."""

    candidate: Candidate
    gain: float  # points: a hundredth of a run through the gate [-]; nan when it cannot be worked out
    low: float  # 80 % of the chance of the draw lies between
    high: float
    before: Prospects
    after: Prospects | None
    side_effects: tuple[str, ...]
    mends: tuple[str, ...] = ()  # lines of the card outside their allowance that it puts right
    value: float = 0.0  # gain as trusted, less the crew's time


@dataclass(frozen=True, kw_only=True)
class MassVerdict:
    """Does it want to be lighter or heavier?"""

    says: Says
    interval: tuple[float, float]  # points per 10 g more, 80 % [-]
    why: str
    slope: MassSlope


@dataclass(frozen=True, kw_only=True)
class Advice:
    """What to change next on one boat."""

    name: str
    question: Question
    rough: bool  # the quick answer; more runs follow
    changes: tuple[Change, ...]  # best first; "leave it" among them
    map: tuple[Change, ...]  # ballast at every place
    mass: MassVerdict | None  # None in the rough answer
    before: Prospects
    aim: float  # turn of the launch line for the wind, to starboard + [rad]
    asked: Change | None = None  # ballast to the target somebody gave
    measure_first: str = ""  # the line nobody measured that hides most of the drift
    findings: tuple[Finding, ...] = ()

    @property
    def first(self) -> Change:
        """The one next change."""
        return self.changes[0]


def trim_boat(
    season: Season,
    entry: Entry,
    *,
    target: float | None = None,
    seed: int = 30480,
    quick: bool = False,
    rough: Callable[[Advice], None] | None = None,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Advice:
    """Find the one next change for a boat.

    Parameters
    ----------
    season : Season
    entry : Entry
    target : float, optional
        Balance point somebody wants, from the bow. [m]
    seed : int
    quick : bool
        Stop at the rough answer.
    rough : called with the rough answer as soon as it is there
    progress : called with (runs made, runs in all)
    stop : asked now and then; when it says yes the best answer so far comes back

    Raises
    ------
    InputError
        The boat cannot float, its kit cannot run, or the target cannot be reached.
    ConflictError
        The target needs more ballast than the class allows; the rule is quoted.

    Holds
        As the forecast, on the season's day, launch line aimed off for the wind.
    Trust
        The order of changes more than their points; everything rests on a model no run has tested yet.
    """
    work = _Work(season, entry, target, seed)
    return work.advise(quick=quick, rough=rough, progress=progress, stop=stop)


class _Work:
    """The runs of one boat's advice, and what has been learnt from them so far."""

    def __init__(self, season: Season, entry: Entry, target: float | None, seed: int) -> None:
        self.entry, self.kit, self.group = entry, season.kit_of(entry), season.groups[entry.group]
        self.built = entry.built
        self.asked = None if target is None else to_target(self.kit, self.built, self.group, target)
        self.question = question_about(season, entry, runs=FULL_RUNS, seed=seed)
        self.trials = Trials(self.question)
        self.single = candidates(self.kit, self.built, self.group)
        self.cells = ballast_cells(self.kit, self.built, self.group)
        room = allowed(self.kit, self.group)
        self.faults = {
            key: ratio for key, ratio in _ratios(self.kit, self.built, room).items() if ratio > 1.0
        }
        self._made = 0
        extra = 1 if self.asked else 0
        self._rough_cost = ROUGH_RUNS * (1 + len(self.single) + len(self.cells) + extra)
        self._full_cost = (FULL_RUNS - ROUGH_RUNS) * (1 + IN_RACE + extra) + (MAP_RUNS - ROUGH_RUNS) * len(
            self.cells
        )

    def advise(
        self,
        *,
        quick: bool,
        rough: Callable[[Advice], None] | None,
        progress: Callable[[int, int], None] | None,
        stop: Callable[[], bool] | None,
    ) -> Advice:
        mass_cost = 2 * BOATS * RUNS_EACH
        total = self._rough_cost if quick else self._rough_cost + self._full_cost + mass_cost

        def told(made: int, _: int) -> None:
            self._made += made
            if progress:
                progress(min(self._made, total), total)

        wanted = [self.asked] if self.asked else []
        everything = [LEAVE_IT, *self.single, *self.cells, *wanted]
        self.trials.make([c.move for c in everything], runs=ROUGH_RUNS, progress=told)
        answer = self._answer(rough=True, mass=None)
        if rough:
            rough(answer)
        if quick or (stop and stop()):
            return answer
        race = [c.candidate for c in self._ranked(self.single, self.cells)][:IN_RACE]
        steps: tuple[tuple[list[Candidate], int], ...] = (
            ([LEAVE_IT, *race, *wanted], FULL_RUNS),
            (list(self.cells), MAP_RUNS),
        )
        for batch, runs in steps:
            if not self.trials.make([c.move for c in batch], runs=runs, progress=told, stop=stop):
                return self._answer(rough=True, mass=None)
        self.trials.make([c.move for c in self._still_open()], runs=FULL_RUNS, progress=told, stop=stop)
        verdict = self._mass_verdict(told, stop)
        return self._answer(rough=verdict is None, mass=verdict)

    def _still_open(self) -> list[Candidate]:
        """The leaders after the map was sharpened, which may have few runs yet."""
        return [c.candidate for c in self._ranked(self.single, self.cells)][:3]

    def _answer(self, *, rough: bool, mass: MassVerdict | None) -> Advice:
        left = self.trials.outcome(LEFT_ALONE)
        printed = print_again(self.kit, self.built)
        ranked = self._ranked(self.single, self.cells)
        good = [change for change in ranked if self._is_good(change)]
        leave = self._change(LEAVE_IT)
        first = [self._printed(printed)] if printed else []
        return Advice(
            name=self.entry.label,
            question=self.question,
            rough=rough,
            changes=(*first, *good[:5], leave),
            map=tuple(self._change(cell) for cell in self.cells),
            mass=mass,
            before=leave.before,
            aim=self.trials.aim,
            asked=self._change(self.asked) if self.asked else None,
            measure_first=self._measure_first(left),
            findings=self.entry.findings,
        )

    def _ranked(self, *groups: Iterable[Candidate]) -> list[Change]:
        """Mends of what is outside the card first, then by value."""
        every = [self._change(candidate) for group in groups for candidate in group]
        every = _one_ballast_a_place(every)
        return sorted(every, key=lambda change: (not self._is_mend_first(change), -change.value))

    def _is_mend_first(self, change: Change) -> bool:
        return bool(change.mends) and change.high > -MEND_LOSS and self._is_safe(change)

    def _is_safe(self, change: Change) -> bool:
        """It never brings a boat near a blow-over, nor turns more of the day's runs over."""
        before, after = change.before, change.after
        if after is None:
            return True
        lifts = after.nose - before.nose > NOSE_STEP and after.nose > NOSE_CARE
        return not lifts and after.flips - before.flips <= FLIP_STEP

    def _is_good(self, change: Change) -> bool:
        if self._is_mend_first(change):
            return True
        return self._is_safe(change) and change.low > 0.0 and change.value >= WORTH_IT

    def _change(self, candidate: Candidate) -> Change:
        left, after = self.trials.outcome(LEFT_ALONE), self.trials.outcome(candidate.move)
        n = after.runs
        gain, error = difference(after, left)
        before_state = self._state(_first(left, n), LEAVE_IT)
        after_state = self._state(after, candidate)
        mends = tuple(key for key in candidate.mends if key in self.faults)
        trust = 1.0 if candidate.mends else TRUST
        error = 0.0 if math.isnan(error) else error
        return Change(
            candidate=candidate,
            gain=gain,
            low=gain - Z80 * error,
            high=gain + Z80 * error,
            before=before_state,
            after=after_state,
            side_effects=_side_effects(before_state, after_state, candidate),
            mends=mends,
            value=trust * gain - MINUTE * candidate.minutes,
        )

    def _printed(self, candidate: Candidate) -> Change:
        """Printed again at actual size: the boat on the water is the drawing shrunk, whatever its card says."""
        said = ("everything else on this page is for the boat as drawn: decide this first",)
        state = self._state(self.trials.outcome(LEFT_ALONE), LEAVE_IT)
        nothing = Change(
            candidate=candidate, gain=math.nan, low=math.nan, high=math.nan, before=state, after=None,
            mends=candidate.mends, side_effects=said,
        )  # fmt: skip
        pair = self._shrunk_and_again()
        if pair is None:
            return nothing
        shrunk, again, mass, place = pair
        gain, error = difference(again, shrunk)
        before = self._state(shrunk, LEAVE_IT)
        after = replace(self._state(again, LEAVE_IT), mass=mass, balance_x=place)
        return replace(
            nothing, gain=gain, low=gain - Z80 * error, high=gain + Z80 * error, before=before, after=after,
            side_effects=(*_side_effects(before, after, candidate), *said),
        )  # fmt: skip

    def _shrunk_and_again(self) -> tuple[Outcome, Outcome, float, float] | None:
        """The same builder's boat as it came from the printer, and at actual size with the board it then has."""
        share = (self.built.deck_length or self.kit.length) / self.kit.length
        try:
            small = printed_at(self.kit, share)
        except ConflictError:
            return None
        body = with_measured(self.kit, self.built)
        mass = body.mass + board_mass(self.kit).mass - board_mass(small).mass
        place = float(body.centre[0]) / share
        runs = FULL_RUNS if self.trials.runs_of(LEFT_ALONE) >= FULL_RUNS else ROUGH_RUNS
        again_built = replace(self.built, mass=mass, balance_x=place, deck_length=None)
        found = []
        for kit, built in ((small, self.built), (self.kit, again_built)):
            trials = Trials(replace(self.question, kit=kit, built=built, runs=runs))
            trials.make([LEFT_ALONE], runs=runs)
            found.append(trials.outcome(LEFT_ALONE))
        return found[0], found[1], mass, place

    def _state(self, outcome: Outcome, candidate: Candidate) -> Prospects:
        body = with_measured(self.kit, self.built)
        x, y, _ = (float(v) for v in body.centre)
        move = candidate.move
        mass = body.mass + move.mass
        if move.place is not None and move.mass:
            x, y = (
                (body.mass * own + move.mass * at) / mass
                for own, at in ((x, move.place[0]), (y, move.place[1]))
            )
        time, drift = outcome.mean("gate_time"), outcome.mean("drift")
        return Prospects(
            through=outcome.mean("through"),
            nose=outcome.mean("nose"),
            flips=outcome.mean("flipped"),
            distance=outcome.mean("distance"),
            gate_time=None if math.isnan(time) else time,
            drift=None if math.isnan(drift) else drift,
            mass=mass,
            balance_x=x,
            balance_y=y + move.shift.get("balance_y", 0.0),
        )

    def _measure_first(self, left: Outcome) -> str:
        shares = {
            key: linear_share(self.trials.drawn[key][1 : left.runs + 1], left.drift)
            for key in CARD
            if key != "deck_length" and not self.trials.spreads[key].measured
        }
        best = max(shares, key=lambda key: shares[key], default=None)
        return CARD[best][0] if best and left.runs >= 100 and shares[best] >= 0.05 else ""

    def _mass_verdict(
        self, told: Callable[[int, int], None], stop: Callable[[], bool] | None
    ) -> MassVerdict | None:
        """At the best place of the map, for the boat with nothing crooked: what is crooked is mended, not weighed."""
        lengthwise = [cell for cell in self.cells if cell.move.place and abs(cell.move.place[1]) < 1e-9]
        if not lengthwise:
            lengthwise = list(ballast_cells(self.kit, self.built, replace(self.group, mass_max=None)))
            best = lengthwise[0].move.place
        else:
            best = max((self._change(cell) for cell in lengthwise), key=lambda c: c.gain).candidate.move.place
        assert best is not None
        question = replace(self.question, built=straightened(self.built))
        body = with_measured(self.kit, self.built)
        slope = mass_slope(
            question, place=best, step=0.08 * body.mass, boats=BOATS, runs_each=RUNS_EACH,
            progress=told, stop=stop,
        )  # fmt: skip
        return None if slope is None else verdict_of(slope, group=self.group, mass=body.mass)


def straightened(built: AsBuilt) -> AsBuilt:
    """The boat with everything measured crooked put straight."""
    crooked: dict[str, Any] = {key: 0.0 for key in built.measured if key.startswith(_CROOKED)}
    return replace(built, **crooked)


_CROOKED = ("balance_y", "device_y", "blade_yaw", "floor_twist", "pad_angle", "pad_toe", "pad_cant")


def verdict_of(slope: MassSlope, *, group: Group, mass: float) -> MassVerdict:
    """Lighter, heavier, cannot tell, or leave it, from how the worth of a run changes with mass."""
    points = slope.points
    where = f"{slope.place[0] * 1e3:.0f} mm from the bow"
    each = (
        f"10 g more at {where}: gate chance {100 * slope.through.mean:+.1f} points, {slope.distance.mean:+.2f} m, "
        f"nose lifting in a headwind {100 * slope.nose.mean:+.1f} points"
    )
    says: Says
    if points.low > -SMALL and points.high < SMALL:
        says, why = "leave it", f"Its mass hardly matters. {each}."
    elif slope.sign == 0:
        says, why = "cannot tell", f"The 80 % interval covers nought. {each}."
    elif slope.sign > 0 and not within_class(group, mass + 0.005):
        says, why = "leave it", f"Heavier would help, but it is at the most its class allows. {each}."
    elif slope.sign < 0 and not within_class(group, mass - 0.005):
        says, why = "leave it", f"Lighter would help, but it is at the least its class allows. {each}."
    else:
        says, why = ("heavier" if slope.sign > 0 else "lighter"), f"{each}."
    return MassVerdict(says=says, interval=(points.low, points.high), why=why, slope=slope)


def _first(outcome: Outcome, n: int) -> Outcome:
    """The first runs of an outcome only: pairs stay pairs."""
    if outcome.runs <= n:
        return outcome
    names = ("through", "nose", "flipped", "distance", "gate_time", "drift", "points")
    cut: dict[str, Any] = {name: np.asarray(getattr(outcome, name))[:n] for name in names}
    return replace(outcome, **cut)


def _one_ballast_a_place(changes: list[Change]) -> list[Change]:
    """Of several masses at one place, the best."""
    best: dict[object, Change] = {}
    for change in changes:
        move = change.candidate.move
        key: object = move.key if change.candidate.kind != "ballast" else move.place
        if key not in best or change.value > best[key].value:
            best[key] = change
    return list(best.values())


def _ratios(kit: Kit, built: AsBuilt, room: dict[str, float]) -> dict[str, float]:
    """How many times its allowance each measured line of the card is off."""
    found = {}
    for key in built.measured:
        if key in room:
            off = getattr(built, key) - drawn_value(kit, key)
            found[key] = (max(off, 0.0) if key == "water_gain" else abs(off)) / room[key]
    return found


def _side_effects(before: Prospects, after: Prospects, candidate: Candidate) -> tuple[str, ...]:
    """What else changes, worst first, in words."""
    if candidate.kind == "leave it":
        return ()
    said = []
    nose = after.nose - before.nose
    if abs(nose) >= 0.003:
        more = "more" if nose > 0 else "less"
        said.append(
            (nose, f"its nose lifts in a headwind {more} often: {_of(before.nose)} to {_of(after.nose)}")
        )
    if before.gate_time is not None and after.gate_time is not None:
        late = after.gate_time - before.gate_time
        if abs(late) >= 0.02:
            said.append((late / 5, f"{abs(late):.2f} s {'later' if late > 0 else 'sooner'} at the gate"))
    far = after.distance - before.distance
    if abs(far) >= 0.3:
        said.append((-far / 50, f"stops {abs(far):.1f} m {'farther' if far > 0 else 'shorter'}"))
    if before.drift is not None and after.drift is not None:
        step = after.drift - before.drift
        if abs(step) >= 0.1:
            said.append((0.0, f"{abs(step):.1f} m more to {side(step)} at the gate"))
    grams = 1e3 * (after.mass - before.mass)
    if abs(grams) >= 0.5:
        said.append((0.0, f"weighs {after.mass * 1e3:.0f} g, {grams:+.0f} g"))
    place = 1e3 * (after.balance_x - before.balance_x)
    if abs(place) >= 0.5:
        said.append((0.0, f"balances {abs(place):.0f} mm further {'aft' if place > 0 else 'forward'}"))
    return tuple(words for _, words in sorted(said, key=lambda pair: -pair[0]))


def _of(chance: float) -> str:
    return f"{100 * chance:.1f} %"

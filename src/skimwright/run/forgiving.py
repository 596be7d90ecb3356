"""A drawing that forgives its builders: pad angle, blade, tunnel and balance set for the worst tenth of them.

Every drawing is built by the same builders, each a little wrong in their own way, and run by each of them several
times.  What counts is how often the worst tenth miss the gate.  The best drawing of the search is then built by
builders the search never saw: only what is left of the gain there is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError, SkimwrightError
from skimwright.boat import redrawn, total_mass
from skimwright.run.forecast import Question
from skimwright.run.moves import Move, Trials, lasting_draw

Array = NDArray[np.float64]
DEGREE = math.pi / 180.0
Progress = Callable[[int, int], None]
Stop = Callable[[], bool]

WORST = 0.1  # share of builders that counts
FIRST, FIRST_BUILDERS, FIRST_RUNS = 32, 40, 12  # drawings tried, and how often
NEAR, NEAR_BUILDERS, NEAR_RUNS = 8, 80, 12  # round the best of them
NEW_BUILDERS, NEW_RUNS = 240, 16  # builders the search never saw
NEAR_SHARE = 0.3  # of the box, round the best [choice]
NOSE_ROOM = 0.01  # more chance of a lifting nose than this is no gain [choice]
MEAN_ROOM = 0.01  # nor are more misses of all builders together than this [choice]
BOOT = 2000  # redraws of builders for the range


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """The four numbers that may change, SI."""

    pad_angle: float  # [rad]
    blade_depth: float  # below the floor; its area goes with it [m]
    floor_front: float  # height of the tunnel where the sponsons begin [m]
    balance: float  # where it shall balance, from the bow [m]


NUMBERS = tuple(item.name for item in fields(Drawing))


@dataclass(frozen=True, kw_only=True)
class Built:
    """One drawing in many hands."""

    drawing: Drawing
    misses: Array  # (builders,) share of each builder's runs that miss the gate [-]
    nose: float  # chance that a nose lifts, the day's wind straight ahead [-]

    @property
    def tail(self) -> float:
        """How often the worst tenth of builders miss. [-]"""
        return tail_mean(self.misses)

    @property
    def mean(self) -> float:
        """How often all of them miss. [-]"""
        return float(self.misses.mean())


@dataclass(frozen=True, kw_only=True)
class Forgiven:
    """What the search found, on builders it never saw."""

    before: Built
    after: Built
    gain: float  # fewer misses of the worst tenth [-]
    low: float  # 90 % range of it over builders
    high: float
    mean_gain: float  # fewer misses of all builders [-]
    tried: int  # drawings
    seen_gain: float  # what the search itself promised, too good by its own choosing [-]
    is_whole: bool  # it was not stopped early

    @property
    def is_better(self) -> bool:
        """The gain stands out of the chance of the draw."""
        return self.low > 0.0


def tail_mean(misses: Array, *, share: float = WORST) -> float:
    """Mean of the worst share: conditional tail expectation of a sample. [-]

    Examples
    --------
    >>> tail_mean(np.arange(20.0) / 20)
    0.925
    """
    worst = max(1, round(share * len(misses)))
    return float(np.sort(misses)[-worst:].mean())


def drawing_of(question: Question) -> Drawing:
    """The kit as it is drawn.

    Raises
    ------
    InputError
        It is not drawn from a design.
    """
    design = question.kit.design
    if design is None:
        raise InputError(
            what=f"{question.kit.name} is not drawn from a design", allowed="a three-point kit",
            do="Ask it of a kit with a [design] table.",
        )  # fmt: skip
    return Drawing(
        pad_angle=design.pad_angle, blade_depth=design.blade_depth, floor_front=design.floor_front,
        balance=float(total_mass(question.kit).centre[0]),
    )  # fmt: skip


def box_round(drawing: Drawing, *, length: float) -> tuple[Drawing, Drawing]:
    """How far each number may go: 1.5 deg, 0.4 of the blade, 0.2 of the tunnel, 0.03 of the length [choice]."""
    wide = Drawing(
        pad_angle=1.5 * DEGREE, blade_depth=0.4 * drawing.blade_depth, floor_front=0.2 * drawing.floor_front,
        balance=0.03 * length,
    )  # fmt: skip
    low, high = (
        Drawing(**{n: getattr(drawing, n) + way * getattr(wide, n) for n in NUMBERS}) for way in (-1.0, 1.0)
    )
    return low, high


def build(
    question: Question, drawing: Drawing, *, builders: int, runs_each: int, seed: int,
    progress: Progress | None = None, stop: Stop | None = None,
) -> Built | None:  # fmt: skip
    """Let many builders build one drawing, and run each boat several times; None when it was stopped.

    Raises
    ------
    InputError
        The drawing cannot float or run.
    """
    numbers = {name: getattr(drawing, name) for name in NUMBERS if name != "balance"}
    kit = redrawn(question.kit, **numbers)
    asked = replace(question, kit=kit, runs=max(20, builders * runs_each), seed=seed)
    drawn = lasting_draw(asked, boats=builders, runs_each=runs_each, lasting=("build",))
    trials = Trials(asked, drawn=drawn)
    move = Move(key="balanced", shift={"balance_x": drawing.balance - float(total_mass(kit).centre[0])})
    if not trials.make([move], runs=builders * runs_each, progress=progress, stop=stop):
        return None
    outcome = trials.outcome(move)
    misses = 1.0 - np.nan_to_num(outcome.through).reshape(builders, runs_each).mean(axis=1)
    return Built(drawing=drawing, misses=misses, nose=outcome.mean("nose"))


def forgive(
    question: Question, *, progress: Progress | None = None, stop: Stop | None = None, effort: float = 1.0
) -> Forgiven:
    """Look for a drawing whose worst tenth of builders miss the gate less often.

    Parameters
    ----------
    question : Question
        The kit as drawn, on the day, through the gate; nothing measured.
    progress, stop : as in :meth:`skimwright.run.moves.Trials.make`
        Stopped, the best so far is set against builders it never saw.
    effort : float
        Times the usual number of builders.

    Returns
    -------
    Forgiven
        ``is_better`` only if the gain stands out of the chance of the draw on new builders.

    Raises
    ------
    InputError
        The kit is not drawn from a design, or cannot run.

    Holds
        Gate chance as the model has it, launch line aimed off for the wind, the launch's own error averaged out.  A
        nose that lifts oftener, or all builders missing oftener, by more than a hundredth is no gain.
    Trust
        No builder has built it.  The spread is the class's, from its cards; model doubt is averaged within a builder.
    Source
        Conditional tail expectation of a sample; its range by redrawing builders (bootstrap) (derived).
    Checked
        tests/unit/run/test_forgiving.py.
    """
    search = _Search(question, progress, stop, effort)
    return search.run()


class _Search:
    """Drawings tried so far."""

    def __init__(
        self, question: Question, progress: Progress | None, stop: Stop | None, effort: float
    ) -> None:
        self.question, self.told, self.stop = question, progress, stop
        self.start = drawing_of(question)
        self.low, self.high = box_round(self.start, length=question.kit.length)
        self.builders = [max(10, round(effort * n)) for n in (FIRST_BUILDERS, NEAR_BUILDERS, NEW_BUILDERS)]
        first, near, new = self.builders
        self.total = (FIRST + 1) * first * FIRST_RUNS + (NEAR + 2) * near * NEAR_RUNS + 2 * new * NEW_RUNS
        self.tried = 0

    def run(self) -> Forgiven:
        """Search, then hold out."""
        first, near, _ = self.builders
        found = self._try([self.start, *self._box(FIRST, self.low, self.high)], first, FIRST_RUNS, 1)
        best = self._best(found)
        if not self._stopped():
            round_it = self._box(NEAR, *self._near(best.drawing))
            closer = self._try([self.start, best.drawing, *round_it], near, NEAR_RUNS, 2)
            if closer:
                found, best = closer, self._best(closer)
        whole = not self._stopped()
        return self._held_out(best.drawing, found[0].tail - best.tail, whole=whole)

    def _stopped(self) -> bool:
        return bool(self.stop and self.stop())

    def _box(self, count: int, low: Drawing, high: Drawing) -> list[Drawing]:
        from scipy.stats import qmc  # forty megabytes that nothing else needs

        points = qmc.Sobol(len(NUMBERS), seed=self.question.seed).random(count)
        ends = np.array(astuple(low)), np.array(astuple(high))
        return [
            Drawing(**dict(zip(NUMBERS, map(float, row), strict=True)))
            for row in ends[0] + points * (ends[1] - ends[0])
        ]

    def _near(self, best: Drawing) -> tuple[Drawing, Drawing]:
        ends = []
        for way in (-1.0, 1.0):
            values = {}
            for name in NUMBERS:
                low, high = getattr(self.low, name), getattr(self.high, name)
                values[name] = min(
                    high, max(low, getattr(best, name) + way * NEAR_SHARE * 0.5 * (high - low))
                )
            ends.append(Drawing(**values))
        return ends[0], ends[1]

    def _try(self, drawings: Sequence[Drawing], builders: int, runs_each: int, round_: int) -> list[Built]:
        """The first drawing is always tried; others that cannot float or be drawn are passed over."""
        found: list[Built] = []
        for number, drawing in enumerate(drawings):
            if number and self._stopped():
                break
            try:
                built = build(
                    self.question, drawing, builders=builders, runs_each=runs_each,
                    seed=self.question.seed + 1000 * round_, progress=self._tell,
                )  # fmt: skip
            except SkimwrightError:
                if not number:
                    raise
                continue
            self.tried += 1
            if built:
                found.append(built)
        return found

    def _tell(self, made: int, _: int) -> None:
        if self.told:
            self.told(made, self.total)

    def _best(self, found: Sequence[Built]) -> Built:
        base = found[0]
        return min((each for each in found if _is_fair(each, base)), key=lambda each: (each.tail, each.mean))

    def _held_out(self, drawing: Drawing, seen: float, *, whole: bool) -> Forgiven:
        seed = self.question.seed + 77_000
        sides = [
            build(
                self.question,
                each,
                builders=self.builders[2],
                runs_each=NEW_RUNS,
                seed=seed,
                progress=self._tell,
            )
            for each in (self.start, drawing)
        ]
        before, after = sides
        assert before is not None  # nothing stops these two
        assert after is not None
        low, high = _range_of_gain(before.misses, after.misses, seed=self.question.seed)
        unfair = not _is_fair(after, before)
        return Forgiven(
            before=before, after=after, gain=before.tail - after.tail, low=min(low, 0.0) if unfair else low,
            high=high, mean_gain=before.mean - after.mean, tried=self.tried, seen_gain=seen, is_whole=whole,
        )  # fmt: skip


def _is_fair(each: Built, base: Built) -> bool:
    """Neither noses nor the other builders pay for it."""
    return each.nose <= base.nose + NOSE_ROOM and each.mean <= base.mean + MEAN_ROOM


def _range_of_gain(before: Array, after: Array, *, seed: int) -> tuple[float, float]:
    """90 % of the gain in the worst tenth when the same builders are drawn again."""
    rng = np.random.Generator(np.random.PCG64([seed, 5]))
    gains = []
    for _ in range(BOOT):
        pick = rng.integers(len(before), size=len(before))
        gains.append(tail_mean(before[pick]) - tail_mean(after[pick]))
    low, high = np.quantile(gains, [0.05, 0.95])
    return float(low), float(high)

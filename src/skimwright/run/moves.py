"""What one change does to a boat: the same runs made again with something put on, taken off, turned or sealed.

Every change meets the very same launches, gusts and ripples as the boat left alone (common random numbers), so a
small difference shows in few runs.  A run is worth its chance through the gate, less what it risks and the time it
takes; all worths are averages over build, device, launch and weather, never one nominal run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from skimwright.base import InputError, ModelError
from skimwright.boat import MassProperties, RunningForm, running_form, spread, with_measured
from skimwright.run import stepping
from skimwright.run.forces import RUN_ROWS, Scene
from skimwright.run.forecast import CHUNK, PERIOD, PIECE, Question, at_rest
from skimwright.run.limits import critical_speeds
from skimwright.run.setup import run_rows, scene, strip_names, strip_rows
from skimwright.run.spread import causes, draw
from skimwright.run.stepping import HISTORY, RESULT_ROWS, RESULTS

Array = NDArray[np.float64]
Place = tuple[float, float, float]
Progress = Callable[[int, int], None]

AFTERNOON = 4  # runs between two dryings: water soaked up counts over all of them [choice]
NOSE_WORTH = 100.0  # points that a nose lifting off costs: as much as a missed gate [choice]
TIME_WORTH = 20.0  # points a second to the gate is worth [choice]
NOSE_SOFT = 0.10  # the model's flip speed is not sharp: one standard deviation of its logarithm [choice]
LASTING = ("build", "model")  # causes that stay with a boat from run to run
SIDEWAYS = ("balance_y", "device_y", "blade_yaw", "floor_twist", "pad_angle", "pad_toe", "pad_cant")


@dataclass(frozen=True, kw_only=True)
class Move:
    """One change.  Mass taken off is negative; without a place it lies all over the boat, as glue does."""

    key: str
    mass: float = 0.0  # [kg]
    place: Place | None = None  # boat axes [m]
    shift: Mapping[str, float] = field(default_factory=dict)  # added to a cause, SI
    factor: Mapping[str, float] = field(default_factory=dict)  # times a cause


LEFT_ALONE = Move(key="leave it")


def moved(drawn: Mapping[str, Array], move: Move) -> dict[str, Array]:
    """The causes of every run with a change made.

    Examples
    --------
    >>> one = np.ones(1)
    >>> boat = {"mass": 0.2 * one, "balance_x": 0.3 * one, "balance_y": 0 * one, "balance_z": 0.05 * one}
    >>> heavier = moved(boat, Move(key="lead", mass=0.05, place=(0.1, 0.0, 0.05)))
    >>> float(heavier["mass"][0]), round(float(heavier["balance_x"][0]), 3)
    (0.25, 0.26)
    """
    out = dict(drawn)
    for key, step in move.shift.items():
        out[key] = out[key] + step
    for key, factor in move.factor.items():
        out[key] = out[key] * factor
    if move.mass:
        before, after = out["mass"], out["mass"] + move.mass
        if move.place is not None:
            for axis, at in zip(("balance_x", "balance_y", "balance_z"), move.place, strict=True):
                out[axis] = (before * out[axis] + move.mass * at) / after
        out["mass"] = after
    return out


@dataclass(frozen=True, kw_only=True, eq=False)
class Outcome:
    """One change over the runs made so far, run by run."""

    move: Move
    through: Array  # chance through the gate, the launch's own heading error averaged out [-]
    nose: Array  # chance that the nose lifts if the wind comes straight against it [-]
    flipped: Array  # 1 where the run itself ended upside down
    distance: Array  # [m]
    gate_time: Array  # nan where the gate was not reached [s]
    drift: Array  # at the gate's line, nan likewise [m]
    points: Array  # worth of each run

    @property
    def runs(self) -> int:
        """Runs made."""
        return len(self.points)

    def mean(self, name: str) -> float:
        """Average over the runs that have it; nan when none has."""
        values = np.asarray(getattr(self, name))
        known = values[np.isfinite(values)]
        return float(known.mean()) if len(known) else math.nan


def difference(after: Outcome, before: Outcome, name: str = "points") -> tuple[float, float]:
    """Average of after less before over the runs both have, and its standard error; nan when there are none."""
    n = min(after.runs, before.runs)
    steps = np.asarray(getattr(after, name))[:n] - np.asarray(getattr(before, name))[:n]
    steps = steps[np.isfinite(steps)]
    if len(steps) < 2:
        return math.nan, math.nan
    return float(steps.mean()), float(steps.std(ddof=1) / math.sqrt(len(steps)))


class Trials:
    """One boat's runs, ready to be made again with something changed.

    Parameters
    ----------
    question : Question
        Its runs are the most that can be made of each change.
    drawn : mapping, optional
        Causes of every run in place of the question's own draw, entry 0 the middle.
    aimed : bool
        Turn the launch line so that a boat of this weight with nothing crooked meets the middle of the gate in
        this wind; otherwise every advice only fights the wind.

    Raises
    ------
    InputError
        The kit cannot run, or the boat cannot float.
    """

    def __init__(
        self, question: Question, *, drawn: Mapping[str, Array] | None = None, aimed: bool = True
    ) -> None:
        self.question = question
        kit = question.kit
        self.form: RunningForm = running_form(kit)
        self.body: MassProperties = with_measured(kit, question.built)
        self.rest, _ = at_rest(question, self.body.mass, self.body.centre)
        self.spreads = spread(question.built, kit=kit)
        all_causes = causes(self.spreads, question.device)
        self._yaw_wide = next(cause.wide for cause in all_causes if cause.key == "start_yaw")
        values = dict(drawn or draw(all_causes, runs=question.runs, seed=question.seed))
        values["water_gain"] = values["water_gain"] * AFTERNOON
        self._launch = values["start_yaw"]
        self.drawn: dict[str, Array] = values
        self.scene: Scene = scene(
            self.form, device=question.device, conditions=question.conditions,
            gate_distance=question.gate.distance,
        )  # fmt: skip
        self._done: dict[str, list[Array]] = {}
        self._critical: dict[str, list[Array]] = {}
        self._moves: dict[str, Move] = {}
        self._usual_time = math.nan
        self.aim = self._aim() if aimed else 0.0
        self.drawn["start_yaw"] = self._launch + self.aim

    @property
    def total(self) -> int:
        """The most runs of each change."""
        return len(self._launch) - 1

    def runs_of(self, move: Move) -> int:
        """Runs of this change made so far."""
        return sum(len(block) for block in self._done.get(move.key, []))

    def cost(self, moves: Iterable[Move], *, runs: int) -> int:
        """Runs still to make until each change has so many."""
        return sum(max(0, min(runs, self.total) - self.runs_of(move)) for move in moves)

    def make(
        self,
        moves: Iterable[Move],
        *,
        runs: int,
        progress: Progress | None = None,
        stop: Callable[[], bool] | None = None,
    ) -> bool:
        """Make runs of every change until each has so many; False when it was stopped before that.

        Changes made together are all made, or none of this call's runs counts: pairs stay pairs.
        """
        jobs = [(move, self.runs_of(move), min(runs, self.total)) for move in moves]
        jobs = [job for job in jobs if job[1] < job[2]]
        if not jobs:
            return True
        blocks = [self._rows(move, first, last) for move, first, last in jobs]
        rows = np.concatenate([block[0] for block in blocks])
        strips = np.concatenate([block[1] for block in blocks])
        results = self._run(rows, strips, progress, stop)
        if results is None:
            return False
        at = 0
        for move, first, last in jobs:
            mine = slice(at, at + last - first)
            at += last - first
            self._moves[move.key] = move
            top = results[mine, RESULT_ROWS.index("top_speed")]
            limit = critical_speeds(np.ascontiguousarray(rows[mine]), self.scene, self.form, top)[0]
            self._done.setdefault(move.key, []).append(results[mine])
            self._critical.setdefault(move.key, []).append(limit)
        return True

    def outcome(self, move: Move) -> Outcome:
        """What a change brought about in the runs made so far.

        Raises
        ------
        ModelError
            No run of it was made, or a run broke down.
        """
        if move.key not in self._done:
            raise ModelError(what=f"No run was made of the change: {move.key}", do="Make its runs first.")
        results = np.concatenate(self._done[move.key])
        if (results[:, RESULT_ROWS.index("ending")] == stepping.BROKE_DOWN).any():
            raise ModelError(
                what=f"A run broke down in the sum after the change: {move.key}",
                do="Please keep this season's files and tell the people who look after the program.",
            )
        return self._sum_up(move, results, np.concatenate(self._critical[move.key]))

    def _sum_up(self, move: Move, results: Array, critical: Array) -> Outcome:
        def take(name: str) -> Array:
            return np.asarray(results[:, RESULT_ROWS.index(name)])

        n, gate = len(results), self.question.gate
        drift, gate_time = take("gate_drift"), take("gate_time")
        straight = drift - gate.distance * np.tan(self._launch[1 : n + 1])
        wide = gate.distance * self._yaw_wide
        inside = ndtr((0.5 * gate.width - straight) / wide) - ndtr((-0.5 * gate.width - straight) / wide)
        flipped = np.isin(take("ending"), [stepping.BLEW_OVER, stepping.ROLLED])
        through = np.where(np.isfinite(gate_time), np.nan_to_num(inside), 0.0)
        met = take("top_speed") + self._headwind(n)
        nose = ndtr(-np.log(np.maximum(critical, 0.1) / np.maximum(met, 0.1)) / NOSE_SOFT)
        if math.isnan(self._usual_time) and np.isfinite(gate_time).any():
            self._usual_time = float(np.nanmedian(gate_time))
        late = np.where(np.isfinite(gate_time), gate_time - self._usual_time, 0.0)
        return Outcome(
            move=move,
            through=through,
            nose=nose,
            flipped=flipped.astype(np.float64),
            distance=np.hypot(take("x"), take("y")),
            gate_time=gate_time,
            drift=drift,
            points=100.0 * through - NOSE_WORTH * nose - TIME_WORTH * late,
        )

    def _headwind(self, n: int) -> Array:
        """Air speed that the day's wind adds when it comes straight against the boat, gusts in. [m/s]"""
        day, at = self.question.conditions, slice(1, n + 1)
        low = day.wind_speed * self.drawn["wind_factor"][at] * self.drawn["wind_low"][at]
        return np.asarray(low * (1.0 + day.gust_ratio * self.drawn["gust_share"][at]))

    def _rows(self, move: Move, first: int, last: int) -> tuple[Array, Array]:
        """Kernel rows and strips of runs ``first`` to ``last`` (run 0, the middle, not counted)."""
        own = {key: values[first + 1 : last + 1] for key, values in self.drawn.items()}
        soak = ((np.arange(self.total) + 0.5) / self.total)[first:last]
        soaked = {**own, "water_gain": np.zeros(last - first)}
        changed = moved(own, move)
        dry = {**moved(soaked, move), "water_gain": np.zeros(last - first)}
        dry["mass"] = dry["mass"] + changed["water_gain"] * soak
        before = {**soaked, "mass": own["mass"] + changed["water_gain"] * soak}
        rest = self._rest_after(move)
        rows = self._kernel_rows(dry, rest)
        if move.mass and move.place is not None:
            self._set_inertia(rows, before, move)
        return rows, strip_rows(self.form, dry)

    def _kernel_rows(self, drawn: Mapping[str, Array], rest: tuple[float, float, float]) -> Array:
        question = self.question
        return run_rows(
            drawn, body=self.body, line=question.kit.thrust, conditions=question.conditions, rest=rest
        )

    def _rest_after(self, move: Move) -> tuple[float, float, float]:
        if not move.mass:
            return self.rest
        one = {
            "mass": np.array([self.body.mass]),
            **{f"balance_{axis}": self.body.centre[i : i + 1] for i, axis in enumerate("xyz")},
        }
        after = moved(one, Move(key=move.key, mass=move.mass, place=move.place))
        centre = np.array([after[f"balance_{axis}"][0] for axis in "xyz"])
        return at_rest(self.question, float(after["mass"][0]), centre)[0]

    def _set_inertia(self, rows: Array, before: Mapping[str, Array], move: Move) -> None:
        """The boat's own turning inertia and a lump at a place, in place of a boat scaled up."""
        assert move.place is not None
        scale, mass = before["mass"] / self.body.mass, before["mass"]
        lump = mass * move.mass / (mass + move.mass)
        dx, dy, dz = (at - before[f"balance_{axis}"] for at, axis in zip(move.place, "xyz", strict=True))
        own = self.body.inertia
        for name, value in (
            ("ixx", own[0, 0] * scale + lump * (dy**2 + dz**2)),
            ("iyy", own[1, 1] * scale + lump * (dx**2 + dz**2)),
            ("izz", own[2, 2] * scale + lump * (dx**2 + dy**2)),
            ("ixz", -own[0, 2] * scale + lump * dx * dz),
        ):
            rows[:, RUN_ROWS.index(name)] = value

    def _run(
        self, rows: Array, strips: Array, progress: Progress | None, stop: Callable[[], bool] | None
    ) -> Array | None:
        rows, strips = np.ascontiguousarray(rows), np.ascontiguousarray(strips)
        results = np.full((len(rows), RESULTS), np.nan)
        for first in range(0, len(rows), CHUNK):
            if stop and stop():
                return None
            last = min(first + CHUNK, len(rows))
            stepping.run_all(
                rows[first:last], strips[first:last], len(strip_names(self.form)), self.scene,
                results[first:last], np.zeros((0, 1, HISTORY)), np.zeros(0, dtype=np.int64), PERIOD, PIECE,
            )  # fmt: skip
            if progress:
                progress(last - first, len(rows))
        return results

    def _aim(self) -> float:
        """Turn of the launch line for a boat with nothing crooked, from its median bearing. [rad]"""
        if self.question.conditions.wind_speed == 0.0:
            return 0.0
        true = Move(key="nothing crooked", shift={
            key: -value.mean for key, value in self.spreads.items() if key.startswith(SIDEWAYS)
        })  # fmt: skip
        turn = 0.0
        for runs in (48, 128):
            runs = min(runs, self.total)
            self.drawn["start_yaw"] = self._launch + turn
            results = self._run(*self._rows(true, 0, runs), None, None)
            assert results is not None
            turn += self._best_turn(results)
        return turn

    def _best_turn(self, results: Array) -> float:
        """Turn of all these runs that brings most of them through the gate. [rad]"""
        x, y = (results[:, RESULT_ROWS.index(name)] for name in ("x", "y"))
        drift = results[:, RESULT_ROWS.index("gate_drift")]
        gate = self.question.gate
        bearing = np.where(np.isfinite(drift), np.arctan2(drift, gate.distance), np.arctan2(y, np.abs(x)))
        tries = np.linspace(bearing.min(), bearing.max(), 81)
        wide, half = self._yaw_wide, math.atan2(0.5 * gate.width, gate.distance)
        off = bearing[:, None] - tries
        chance = (ndtr((half - off) / wide) - ndtr((-half - off) / wide)).mean(axis=0)
        near = chance >= chance.max() - 0.002  # a flat top: its middle
        return -float(tries[near].mean())


def lasting_draw(
    question: Question, *, boats: int, runs_each: int, lasting: tuple[str, ...] = LASTING
) -> dict[str, Array]:
    """Causes for several boats that could be this one, each run several times.

    What stays with a boat (its build, and what the model does not know, unless ``lasting`` says otherwise) is drawn
    once a boat; launch, weather and device anew for every run.

    Returns
    -------
    dict of float array (1 + boats x runs_each,)
        Entry 0 is the middle.
    """
    every = causes(spread(question.built, kit=question.kit), question.device)
    own = draw(every, runs=boats, seed=question.seed + 1)
    out = draw(every, runs=boats * runs_each, seed=question.seed + 2)
    for cause in every:
        if cause.group in lasting:
            out[cause.key] = np.concatenate([own[cause.key][:1], np.repeat(own[cause.key][1:], runs_each)])
    return out


@dataclass(frozen=True, kw_only=True)
class Slope:
    """How something changes with ten grams, over the boats that could be this one."""

    mean: float
    low: float  # 10 of a hundred such boats lie below
    high: float  # 10 lie above


@dataclass(frozen=True, kw_only=True)
class MassSlope:
    """What ten grams more at one place do to this boat."""

    place: Place
    step: float  # mass put on and taken off to find it [kg]
    points: Slope
    through: Slope  # of the chance through the gate [-]
    distance: Slope  # [m]
    nose: Slope  # of the chance that the nose lifts in a headwind [-]

    @property
    def sign(self) -> int:
        """+1 heavier is better, -1 lighter, 0 the 80 % interval covers nought."""
        return 1 if self.points.low > 0.0 else -1 if self.points.high < 0.0 else 0


def slope_of_boats(steps: Array, *, runs_each: int) -> Slope:
    """Mean over boats and the 80 % interval for one boat.

    The scatter of a boat's few runs is left in: rather a little too wide than too sure.

    Parameters
    ----------
    steps : float array (boats x runs_each,)
        Paired differences, boat by boat.
    runs_each : int, > 1

    Raises
    ------
    InputError
        Not whole boats.

    Source
        Predictive interval of one more boat's mean (derived); z(0.9) = 1.2816.
    """
    if runs_each < 2 or len(steps) % runs_each or len(steps) < 2 * runs_each:
        raise InputError(
            what="not a table of boats by runs",
            got=f"{len(steps)} differences, {runs_each} a boat",
            allowed="two or more runs each of two or more boats",
            do="Make the same number of runs for each boat.",
        )
    means = steps.reshape(-1, runs_each).mean(axis=1)
    middle = float(means.mean())
    wide = 1.2816 * math.sqrt(float(means.var(ddof=1)) * (1.0 + 1.0 / len(means)))
    return Slope(mean=middle, low=middle - wide, high=middle + wide)


def mass_slope(
    question: Question,
    *,
    place: Place,
    step: float,
    boats: int = 32,
    runs_each: int = 24,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
) -> MassSlope | None:
    """Does this boat want to be lighter or heavier, at one place?

    Parameters
    ----------
    question : Question
    place : Place
        Where mass is put on and taken off. [m]
    step : float, > 0
        How much. [kg]
    boats, runs_each : int
        Boats that could be this one, and runs of each.
    progress, stop : as in :meth:`Trials.make`

    Returns
    -------
    MassSlope or None
        None when it was stopped.

    Holds
        As the forecast; the step must show above the scale's grams.
    Trust
        The sign where the interval does not cover nought, within the spread of the model's own causes.
    Source
        Central difference over paired runs (derived).
    Checked
        tests/unit/run/test_moves.py, against large ensembles.
    """
    asked = replace(question, runs=max(20, boats * runs_each))
    trials = Trials(asked, drawn=lasting_draw(asked, boats=boats, runs_each=runs_each))
    more = Move(key="more", mass=step, place=place)
    less = Move(key="less", mass=-step, place=place)
    if not trials.make([more, less], runs=boats * runs_each, progress=progress, stop=stop):
        return None
    after, before = trials.outcome(more), trials.outcome(less)
    per = 0.010 / (2.0 * step)

    def slope(name: str) -> Slope:
        steps = (np.asarray(getattr(after, name)) - np.asarray(getattr(before, name))) * per
        return slope_of_boats(np.nan_to_num(steps), runs_each=runs_each)

    return MassSlope(
        place=place,
        step=step,
        points=slope("points"),
        through=slope("through"),
        distance=slope("distance"),
        nose=slope("nose"),
    )

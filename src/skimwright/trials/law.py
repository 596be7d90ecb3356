"""The run model in short: how distance, time and drift follow from the causes, fitted to the runs of a forecast.

A thousand runs of the full model stand behind one law, so that learning can ask it a hundred thousand times.
What the law leaves over is kept as spread.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from skimwright.base import ModelError
from skimwright.run import Question, ensemble, forces, stepping

Array = NDArray[np.float64]

OUTPUTS = ("distance", "gate_time", "drift")  # logarithm of the first two [log m, log s]; drift [m]
DIRECTIONS = 3  # as many as there are outputs: runs can teach no more
# Causes that come anew with every run; all others stay with the boat.
EACH_RUN = frozenset(
    {
        "start_yaw", "start_yaw_rate", "start_speed", "start_trim", "start_heel", "burn_time", "gust_share",
        "gust_period", "gust_phase", "ripple_factor", "ripple_length", "ripple_turn", "ripple_phase",
        "push_of_the_run",
    }
)  # fmt: skip
WIND = ("wind_factor", "wind_turn", "wind_low")  # enter the law as wind along and across
PUSH, PUSH_OF_THE_RUN = "thrust_factor", "push_of_the_run"
WIND_LOW = 0.6  # wind left down at the boat, the middle of its range
ANEW = 0.5  # share of the device's variance that comes anew with every run or battery [choice]
FEWEST = 40  # runs beyond the unknowns that a law needs


@dataclass(frozen=True, kw_only=True)
class Study:
    """Runs of the full model with the causes that made them."""

    question: Question
    keys: tuple[str, ...]  # causes
    words: tuple[str, ...]
    groups: tuple[str, ...]
    causes: Array  # (runs, causes), each with mean 0 and standard deviation 1
    wind: Array  # (runs, 2): along and to starboard [m/s]
    results: Array  # (runs, 3): OUTPUTS; nan where the run did not get so far
    ordinary: NDArray[np.bool_]  # (runs,) ended neither upside down nor in a hook


def study(question: Question) -> Study:
    """Make a question's runs and keep their causes.

    Raises
    ------
    InputError
        The kit cannot run, or the boat cannot float.
    """
    ready = ensemble(question)
    found = np.full((len(ready.rows), stepping.RESULTS), np.nan)
    stepping.run_all(
        ready.rows, ready.strips, ready.count, ready.scene, found,
        np.zeros((0, 1, stepping.HISTORY)), np.zeros(0, dtype=np.int64), 1.0, 32,
    )  # fmt: skip

    def take(name: str) -> Array:
        return np.asarray(found[1:, stepping.RESULT_ROWS.index(name)])

    columns = []
    for cause in ready.causes:
        values = ready.drawn[cause.key][1:]
        if cause.shape == "factor":
            columns.append(np.log(values / cause.middle) / max(cause.wide, 1e-12))
        else:
            sd = cause.wide / 3.0**0.5 if cause.shape == "even" else cause.wide
            columns.append((values - cause.middle) / max(sd, 1e-12))
    keys = [cause.key for cause in ready.causes]
    at = keys.index(PUSH)
    columns[at], of_the_run = _split(columns[at], seed=question.seed)
    columns.append(of_the_run)
    wind = [ready.rows[1:, forces.RUN_ROWS.index("wind_x")], ready.rows[1:, forces.RUN_ROWS.index("wind_y")]]
    distance = np.hypot(take("x"), take("y"))
    return Study(
        question=question,
        keys=(*keys, PUSH_OF_THE_RUN),
        words=(*(cause.words for cause in ready.causes), "the device's push on the day"),
        groups=(*(cause.group for cause in ready.causes), "device"),
        causes=np.stack(columns, axis=1),
        wind=np.stack(wind, axis=1),
        results=np.stack(
            [np.log(np.maximum(distance, 0.1)), np.log(take("gate_time")), take("gate_drift")], axis=1
        ),
        ordinary=np.isin(take("ending"), [stepping.STOPPED, stepping.TIMED_OUT]),
    )


def _split(push: Array, *, seed: int) -> tuple[Array, Array]:
    """A normal cause as two independent ones that add up to it: of this device, and of this run."""
    other = np.random.Generator(np.random.PCG64([seed, 99])).standard_normal(len(push))
    a, b = (1.0 - ANEW) ** 0.5, ANEW**0.5
    return a * push + b * other, b * push - a * other


@dataclass(frozen=True, kw_only=True)
class Law:
    """Outputs from what stays with the boat, the wind, and chance.

    ``result = middle + slope z + bend z z + windy w + chance``: z are the few directions of the lasting causes
    that runs can see, w the wind's departure from the day's own.
    """

    keys: tuple[str, ...]  # lasting causes
    words: tuple[str, ...]
    groups: tuple[str, ...]
    turn: Array  # (causes, DIRECTIONS): the directions, of unit length
    middle: Array  # (3,)
    slope: Array  # (3, DIRECTIONS)
    bend: Array  # (3, pairs of directions)
    windy: Array  # (3, 2) per m/s
    wind_middle: Array  # (2,) [m/s]
    wind_sd: Array  # (2,) [m/s]
    chance: Array  # (3, 3) covariance from run to run at a known wind
    known: NDArray[np.bool_]  # (3,) outputs that enough runs had
    explained: Array = field(repr=False)  # (3,) share of the variance between runs that the law holds [-]
    moved: Array = field(repr=False)  # (runs, DIRECTIONS): z of the runs it was fitted to

    def results(self, z: Array) -> Array:
        """Outputs (..., 3) at lasting causes z (..., DIRECTIONS), in the day's own wind."""
        pairs = np.stack([z[..., i] * z[..., j] for i, j in _PAIRS], axis=-1)
        return np.asarray(self.middle + z @ self.slope.T + pairs @ self.bend.T)

    def wind_shift(self, wind: tuple[float, float] | None) -> Array:
        """How far a logged wind moves the results (3,) off those of the day's own wind.

        ``wind`` is at head height, along the launch line and to starboard. [m/s]
        """
        if wind is None:
            return np.zeros(3)
        return np.asarray(self.windy @ (WIND_LOW * np.array(wind) - self.wind_middle))

    @property
    def run_sd(self) -> Array:
        """Standard deviation from run to run at a known wind (3,)."""
        return np.asarray(np.sqrt(np.diag(self.chance)))


_PAIRS = [(i, j) for i in range(DIRECTIONS) for j in range(i, DIRECTIONS)]


def fit_law(made: Study) -> Law:
    """Fit the law to a study.

    Raises
    ------
    ModelError
        Too few of its runs ended in an ordinary way.

    Holds
        Small departures: one straight line and a gentle bend; hooks and flips are left out.
    Trust
        ``explained`` says how much of the variance it holds; the rest is kept as chance.
    Source
        Least squares, docs/physics/learning.md (derived).
    Checked
        tests/unit/trials/test_law.py: a law known beforehand comes back.
    """
    lasting = [i for i, key in enumerate(made.keys) if key not in EACH_RUN and key not in WIND]
    passing = [i for i, key in enumerate(made.keys) if key in EACH_RUN]
    wind_middle, wind_sd = made.wind.mean(axis=0), np.maximum(made.wind.std(axis=0), 1e-9)
    w = (made.wind - wind_middle) / wind_sd
    x = np.concatenate([made.causes[:, lasting], w, made.causes[:, passing]], axis=1)
    enough = x.shape[1] + 1 + len(_PAIRS) + FEWEST
    good = made.ordinary[:, None] & np.isfinite(made.results)
    known = good.sum(axis=0) >= enough
    if not known[0]:
        raise ModelError(
            what="Too few runs of the model end in an ordinary way to learn from",
            got=f"{int(good[:, 0].sum())} runs",
            allowed=f"{enough} or more",
            do="Mend what makes it hook or blow over first; then ask again.",
        )
    first = np.zeros((3, x.shape[1]))
    for k in np.flatnonzero(known):
        rows = good[:, k]
        solved = np.linalg.lstsq(_with_one(x[rows]), made.results[rows, k], rcond=None)[0]
        first[k] = solved[1:]
    turn = _directions(first[:, : len(lasting)], made, known)
    z = made.causes[:, lasting] @ turn
    return _second_fit(
        made, lasting, turn, z, w, x[:, len(lasting) + 2 :], good, known, wind_middle, wind_sd, first
    )


def _with_one(x: Array) -> Array:
    return np.concatenate([np.ones((len(x), 1)), x], axis=1)


def _directions(slopes: Array, made: Study, known: NDArray[np.bool_]) -> Array:
    """The directions of the lasting causes that move the outputs, each output weighed by its own spread."""
    spread = np.nanstd(made.results, axis=0)
    weighed = np.where(known[:, None], slopes / np.maximum(spread, 1e-9)[:, None], 0.0)
    return np.asarray(np.linalg.svd(weighed, full_matrices=False)[2][:DIRECTIONS].T)


def _second_fit(
    made: Study,
    lasting: list[int],
    turn: Array,
    z: Array,
    w: Array,
    passing: Array,
    good: NDArray[np.bool_],
    known: NDArray[np.bool_],
    wind_middle: Array,
    wind_sd: Array,
    first: Array,
) -> Law:
    pairs = np.stack([z[:, i] * z[:, j] for i, j in _PAIRS], axis=1)
    x = _with_one(np.concatenate([z, pairs, w, passing], axis=1))
    held = 1 + DIRECTIONS + len(_PAIRS)
    middle, slope, bend = np.zeros(3), np.zeros((3, DIRECTIONS)), np.zeros((3, len(_PAIRS)))
    windy, explained = np.zeros((3, 2)), np.zeros(3)
    left = np.full(made.results.shape, np.nan)
    for k in np.flatnonzero(known):
        rows = good[:, k]
        solved = np.linalg.lstsq(x[rows], made.results[rows, k], rcond=None)[0]
        middle[k], slope[k], bend[k] = solved[0], solved[1 : 1 + DIRECTIONS], solved[1 + DIRECTIONS : held]
        windy[k] = solved[held : held + 2] / wind_sd
        over = made.results[rows, k] - x[rows] @ solved
        explained[k] = 1.0 - over.var() / made.results[rows, k].var()
        left[rows, k] = made.results[rows, k] - x[rows][:, : held + 2] @ solved[: held + 2]
    names = [(made.keys[i], made.words[i], made.groups[i]) for i in lasting]
    return Law(
        keys=tuple(n[0] for n in names),
        words=tuple(n[1] for n in names),
        groups=tuple(n[2] for n in names),
        turn=turn,
        middle=middle,
        slope=slope,
        bend=bend,
        windy=windy,
        wind_middle=wind_middle,
        wind_sd=wind_sd,
        chance=_covariance(left, known),
        known=known,
        explained=explained,
        moved=z,
    )


def _covariance(left: Array, known: NDArray[np.bool_]) -> Array:
    """Covariance of what is left over; outputs nobody had get a spread of their own that tells nothing."""
    sd = np.ones(3)
    whole = left[np.isfinite(left).all(axis=1)] if known.all() else np.zeros((0, 3))
    for k in np.flatnonzero(known):
        sd[k] = np.nanstd(left[:, k])
    if len(whole) < FEWEST:
        return np.asarray(np.diag(sd**2))
    like = np.corrcoef(whole, rowvar=False)
    return np.asarray(0.98 * like + 0.02 * np.eye(3)) * np.outer(sd, sd)

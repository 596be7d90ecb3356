"""How fast boats are, how much their runs differ and how often they fail, from the times of their trials.

All is said of the logarithm of the speed: a spread of 0.07 is 7 %.  Boats of one group learn from each other, so
that a boat with one run is taken for a usual boat that ran once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Array = NDArray[np.float64]

APART = 0.08  # how far boats are apart before any has run: 0.5 m/s of about 6 [choice]
SPREAD = 0.07  # from run to run, before any has run [choice]
FAILS = 0.10  # chance not to finish, before any has run [choice]
WORTH = 4.0  # how many runs each of these guesses counts for [choice]
WORTH_APART = 2.0  # the guess of how far boats are apart counts for fewer: there are few boats [choice]
LEAST = 0.3  # of a run's timed spread that is the boat's own, however bad the clock [choice]
FEW = 3  # runs below which a boat's own speed is mostly a guess


@dataclass(frozen=True, kw_only=True)
class Pace:
    """What is known of how one boat runs a race."""

    mean: float  # natural logarithm of its usual speed, from a level common to its group [-]
    doubt: float  # standard deviation of that [-]
    spread: float  # of one run about it [-]
    fails: float  # chance not to finish [-]
    runs: int = 0  # of its own, failures too

    @property
    def is_guess(self) -> bool:
        """It rests on its group more than on its own runs."""
        return self.runs < FEW


@dataclass(frozen=True, kw_only=True)
class Trials:
    """Trial times of a group as its learning takes them, boat by boat; arrays (boats,) or (chains, boats)."""

    runs: Array  # how many got there
    mean: Array  # of their logarithms of speed; nought without runs
    squares: Array  # of their differences from it, summed
    wider: float  # variance of a run as timed over its own, for the clock's error


def trials_of(runs: Mapping[int, Sequence[float | None]], *, clock: float = 0.0) -> Trials:
    """Trial times of a group, boats in the order of the mapping.

    Parameters
    ----------
    runs, clock
        As for `paces`.
    """
    logs = _logs(runs)
    wide, reading = _spreads(logs, clock)
    own = [log if len(log) else np.zeros(1) for log in logs.values()]
    return Trials(
        runs=np.array([float(len(log)) for log in logs.values()]),
        mean=np.array([float(log.mean()) for log in own]),
        squares=np.array([float(((log - log.mean()) ** 2).sum()) for log in own]),
        wider=wide**2 / max(wide**2 - reading**2, (LEAST * wide) ** 2),
    )


def _logs(runs: Mapping[int, Sequence[float | None]]) -> dict[int, Array]:
    return {boat: np.array([-math.log(t) for t in times if t is not None]) for boat, times in runs.items()}


def _spreads(logs: Mapping[int, Array], clock: float) -> tuple[float, float]:
    """From run to run as timed by hand, and the clock's part in it."""
    every = np.concatenate(list(logs.values())) if logs else np.array([])
    reading = clock * math.exp(float(every.mean())) if len(every) else 0.0
    return _run_spread(list(logs.values())), reading


def paces(
    runs: Mapping[int, Sequence[float | None]], *, best_half: bool = False, clock: float = 0.0
) -> dict[int, Pace]:
    """What trial times over one distance say of each boat.

    Parameters
    ----------
    runs : mapping
        By boat: the time of each run over the same distance [s]; None for one that did not get there.
    best_half : bool
        Judge a boat by the faster half of its runs alone, worked back to where the middle of an honest crew's
        runs would be.  Whoever dawdles through the other half gains nothing by it.
    clock : float
        Reading error of the times; it widens trials, not races. [s]

    Returns
    -------
    dict
        For every boat named, also one without runs: it is taken for any boat of the group.

    Examples
    --------
    >>> known = paces({7: [5.0, 5.1, 4.9], 8: [6.0, 6.1, None], 9: []})
    >>> known[7].mean > known[9].mean > known[8].mean, known[9].is_guess
    (True, True)
    """
    logs = _logs(runs)
    wide, reading = _spreads(logs, clock)
    spread = math.sqrt(max(wide**2 - reading**2, (LEAST * wide) ** 2))
    seen = {boat: _level(log, wide, best_half=best_half) for boat, log in logs.items() if len(log)}
    level, doubt_of_level, apart = _fleet(list(seen.values()))
    total = sum(len(times) for times in runs.values())
    failed = sum(time is None for times in runs.values() for time in times)
    usual_fails = (failed + FAILS * 2 * WORTH) / (total + 2 * WORTH)
    found = {}
    for boat, times in runs.items():
        mean, variance = level, apart**2 + doubt_of_level**2
        if boat in seen:
            own, error = seen[boat]
            share = apart**2 / (apart**2 + error)
            mean = level + share * (own - level)
            variance = share * error + ((1 - share) * doubt_of_level) ** 2
        own_fails = sum(time is None for time in times)
        found[boat] = Pace(
            mean=mean,
            doubt=math.sqrt(variance),
            spread=spread,
            fails=(own_fails + WORTH * usual_fails) / (len(times) + WORTH),
            runs=len(times),
        )
    return found


def _run_spread(logs: Sequence[Array]) -> float:
    """Spread from run to run, pooled over the boats and drawn to the guess while runs are few."""
    squares = sum(float(((log - log.mean()) ** 2).sum()) for log in logs if len(log) > 1)
    free = sum(len(log) - 1 for log in logs if len(log) > 1)
    return math.sqrt((squares + WORTH * SPREAD**2) / (free + WORTH))


def _level(log: Array, spread: float, *, best_half: bool) -> tuple[float, float]:
    """One boat's own level and the variance of its error."""
    if not best_half:
        return float(log.mean()), spread**2 / len(log)
    keep = math.ceil(len(log) / 2)
    best = np.sort(log)[-keep:]
    return float(best.mean()) - spread * ahead(len(log), keep), spread**2 / keep


@cache
def ahead(runs: int, best: int) -> float:
    """How far the mean of the best few of so many normal values stands over their middle, in their spread.

    Examples
    --------
    >>> round(ahead(2, 1) * math.sqrt(math.pi), 9)
    1.0
    """
    z = np.linspace(-9.0, 9.0, 3601)
    below = ndtr(z)
    density = np.exp(-0.5 * z**2) / math.sqrt(2.0 * math.pi)
    total = 0.0
    for rank in range(runs - best + 1, runs + 1):  # 1 is the slowest
        ways = math.comb(runs, rank) * rank
        total += (
            ways * float((z * density * below ** (rank - 1) * (1 - below) ** (runs - rank)).sum()) * 0.005
        )
    return total / best


def _fleet(seen: Sequence[tuple[float, float]]) -> tuple[float, float, float]:
    """The group's level, its doubt, and how far its boats are apart."""
    if not seen:
        return 0.0, 0.0, APART
    own, error = (np.array(values) for values in zip(*seen, strict=True))
    apart = APART**2
    for _ in range(30):  # the spread between boats and the level each wait for the other
        weight = 1.0 / (apart + error)
        level = float((weight * own).sum() / weight.sum())
        share = apart / (apart + error)
        squares = float(((share * (own - level)) ** 2 + share * error).sum())
        apart = (squares + WORTH_APART * APART**2) / (len(own) - 1 + WORTH_APART)  # one is spent on the level
    return level, math.sqrt(1.0 / float(weight.sum())), math.sqrt(apart)

"""How far, how wide, and how sure: shares of runs stated so that they hold, whatever law the runs follow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, bdtrik, betaincinv

from skimwright.course.paths import Fleet

Array = NDArray[np.float64]

CONFIDENCE = 0.95


@dataclass(frozen=True, kw_only=True)
class LoggedRun:
    """One run that somebody saw and wrote down."""

    boat: int
    distance: float | None  # [m]
    drift: float | None  # at the gate, to starboard + [m]
    ending: str = ""

    def is_stray(self, half_width: float) -> bool:
        """Whether it left its ribbon or did not end as a run should."""
        odd = any(word in self.ending.casefold() for word in ("hook", "blew", "roll", "hit", "nose", "stray"))
        return odd or (self.drift is not None and abs(self.drift) > half_width)


@dataclass(frozen=True, kw_only=True)
class Tail:
    """What so many runs can say of strays."""

    runs: int
    strays: int
    limit: float  # upper limit of the chance of a stray, 95 of a hundred times [-]


@dataclass(frozen=True, kw_only=True)
class Reach:
    """Distances that a share of runs stays within; None where too few runs can say. [m]"""

    share: float  # [-]
    distance: float | None  # from the start, to where it lies at last
    sideways: float | None  # off the launch line, farthest on its way
    behind: float | None  # behind the start line; 0: none came back


def stated_reach(values: Array, share: float, *, confidence: float = CONFIDENCE) -> float | None:
    """A distance that at least this share of all runs to come stays within, so often right.

    Parameters
    ----------
    values : float array (runs,)
        Of independent runs. [m]
    share : float, 0 to 1
    confidence : float, 0 to 1

    Returns
    -------
    float or None
        The k-th smallest value, k the least rank that is sure enough; None when even the greatest is not.

    Holds
        Any law of the runs, as long as those to come follow it too.
    Source
        S. S. Wilks 1941, tolerance limits from order statistics (memory; derived anew from the binomial law).
    Checked
        tests/unit/course/test_reach.py: 299 runs for 99 %, and seasons drawn from three other laws.

    Examples
    --------
    >>> stated_reach(np.arange(1.0, 300.0), 0.99)
    299.0
    """
    n = len(values)
    if n == 0:
        return None
    rank = _fewest(confidence, n, share) + 1
    return float(np.sort(values)[rank - 1]) if rank <= n else None


def runs_for_share(*, share: float, confidence: float = CONFIDENCE) -> int:
    """Runs without a stray needed before one may say that strays are rarer than this.

    Source
        n >= ln(1 - confidence) / ln(1 - share), and its shorthand 3/n (derived).
    Checked
        tests/unit/course/test_reach.py: 29 and 299.

    Examples
    --------
    >>> runs_for_share(share=0.1), runs_for_share(share=0.01)
    (29, 299)
    """
    return math.ceil(math.log(1.0 - confidence) / math.log(1.0 - share))


def tail_of(runs: int, strays: int) -> Tail:
    """Upper limit of the chance of a stray: 3/n when none was seen, else the exact binomial limit.

    Examples
    --------
    >>> tail_of(30, 0).limit
    0.1
    """
    if runs <= 0:
        limit = 1.0
    elif strays == 0:
        limit = min(1.0, 3.0 / runs)
    elif strays >= runs:
        limit = 1.0
    else:
        limit = float(betaincinv(strays + 1, runs - strays, CONFIDENCE))
    return Tail(runs=runs, strays=strays, limit=limit)


def reach_of(fleet: Fleet, shares: Sequence[float] = (0.9, 0.99)) -> tuple[Reach, ...]:
    """How far the fleet's runs go, any boat taken alike."""
    distance = np.hypot(fleet.ends[:, 0], fleet.ends[:, 1])
    sideways = np.abs(fleet.spots[:, :, 1]).max(axis=1)
    behind = np.maximum(-fleet.spots[:, :, 0].min(axis=1), 0.0)
    return tuple(
        Reach(
            share=share,
            distance=stated_reach(distance, share),
            sideways=stated_reach(sideways, share),
            behind=stated_reach(behind, share),
        )
        for share in shares
    )


def _fewest(confidence: float, n: int, share: float) -> int:
    """The fewest of `n` tries, each with this share, that so much of the chance lies at or below.  [-]"""
    found = max(int(np.ceil(bdtrik(confidence, n, share))), 0)
    below = max(found - 1, 0)
    return below if bdtr(below, n, share) >= confidence - 1e-12 else found

"""How good were the forecasts?  Closeness of a whole range to what came, and how often ranges held."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError

Array = NDArray[np.float64]


def crps_normal(*, mean: float, sd: float, came: float) -> float:
    """Continuous ranked probability score of a normal forecast; 0 is perfect, in the unit of what was forecast.

    Parameters
    ----------
    mean, sd, came : float
        Forecast mean, standard deviation (above nought), and what came.

    Raises
    ------
    InputError
        The standard deviation is not above nought.

    Source
        Gneiting and Raftery (2007), J. Am. Stat. Assoc. 102:359-378, as other people's code has it.
    Checked
        tests/published/statistics.csv: crps_normal_m3; tests/unit/trials/test_scores.py: the integral that defines it.
    """
    if not sd > 0.0:
        raise InputError(
            what="A forecast without spread", got=f"{sd:g}", allowed="more than 0", do="Give its spread."
        )
    z = (came - mean) / sd
    below = 0.5 * (1.0 + math.erf(z / math.sqrt(2.0)))
    height = math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    return sd * (z * (2.0 * below - 1.0) + 2.0 * height - 1.0 / math.sqrt(math.pi))


def crps_draws(draws: Sequence[float] | Array, came: float, *, fair: bool = False) -> float:
    """The same score of a forecast given as draws.

    ``fair`` takes off what few draws alone would cost.

    Examples
    --------
    >>> round(crps_draws([0.0, 1.0, 2.0], 1.0), 6), crps_draws([0.0, 1.0, 2.0], 1.0, fair=True)
    (0.222222, 0.0)
    """
    x = np.sort(np.asarray(draws, dtype=float))
    n = len(x)
    apart = 2.0 * float(((2.0 * np.arange(1, n + 1) - n - 1.0) * x).sum())  # sum of |xi - xj| over all pairs
    return float(np.abs(x - came).mean()) - apart / (2.0 * n * (n - 1 if fair else n))


def held(draws: Array, came: float, *, share: float = 0.9) -> bool:
    """Whether the middle ``share`` of the draws held what came."""
    low, high = np.quantile(draws, [0.5 - 0.5 * share, 0.5 + 0.5 * share])
    return bool(low <= came <= high)


def rank_of(truth: float, draws: Sequence[float] | Array) -> int:
    """How many of the draws lie below the truth: uniform from 0 to their number if the engine is right.

    Source
        Simulation-based calibration, Talts et al. (2018), arXiv 1804.06788.
    Checked
        tests/published/statistics.csv: sbc_rank.

    Examples
    --------
    >>> rank_of(0.23, [0.33, 0.14, 0.26, 0.31])
    1
    """
    return int((np.asarray(draws) < truth).sum())


def bin_of(*, rank: int, most: int, bins: int) -> int:
    """The bin of a rank, counted from 1, when ranks run from 0 to ``most`` and ``bins`` divides most + 1.

    Raises
    ------
    InputError
        The rank is outside, or the bins are unequal.

    Source
        bin = 1 + floor(rank / ((most + 1) / bins)); Talts et al. (2018).
    Checked
        tests/published/statistics.csv: sbc_bin.

    Examples
    --------
    >>> bin_of(rank=49, most=999, bins=20), bin_of(rank=999, most=999, bins=20)
    (1, 20)
    """
    if not 0 <= rank <= most or (most + 1) % bins:
        raise InputError(
            what="This rank has no bin",
            got=f"rank {rank} of {most}, {bins} bins",
            allowed="a rank from 0 to the most; bins that divide the ranks evenly",
            do="Choose another number of bins.",
        )
    return 1 + rank // ((most + 1) // bins)


def unevenness(counts: Sequence[int] | Array) -> float:
    """Chi-square of bins that should hold the same: the sum of (found - expected)^2 / expected.

    Examples
    --------
    >>> unevenness([5, 5, 5, 5])
    0.0
    """
    found = np.asarray(counts, dtype=float)
    expected = found.mean()
    return float(((found - expected) ** 2 / expected).sum())

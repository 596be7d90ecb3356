"""Uncertainty carried by the published rules: the Guide to the Expression of Uncertainty (JCGM 100:2008)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skimwright.base import InputError


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A value with its standard uncertainty, in one unit."""

    value: float
    uncertainty: float

    @property
    def within(self) -> float:
        """Half the range that holds the value with about 95 %: twice the standard uncertainty."""
        return 2.0 * self.uncertainty


def even(half_width: float) -> float:
    """Standard uncertainty of a value that lies evenly within ``half_width`` either way.

    Source
        JCGM 100:2008, 4.3.7.

    Examples
    --------
    >>> round(even(1.0), 4)
    0.5774
    """
    return half_width / math.sqrt(3.0)


def combined(
    slopes: Sequence[float],
    uncertainties: Sequence[float],
    correlations: Mapping[tuple[int, int], float] | None = None,
) -> float:
    """Standard uncertainty of a result from those of its inputs.

    Parameters
    ----------
    slopes : sequence of float
        Change of the result with each input.
    uncertainties : sequence of float, >= 0
        Standard uncertainty of each input.
    correlations : mapping, optional
        (i, j) to the correlation of inputs i and j, from -1 to 1; 0 where none is given.

    Raises
    ------
    InputError
        Lists of two lengths, or a negative uncertainty.

    Source
        JCGM 100:2008, 5.1.2 and 5.2.2 (eq. 10 and 16).
    Checked
        tests/published/weigh.csv: gum_h1, gum_h2.

    Examples
    --------
    >>> combined([1.0, 1.0], [3.0, 4.0])
    5.0
    """
    if len(slopes) != len(uncertainties) or any(u < 0.0 for u in uncertainties):
        raise InputError(
            what="Uncertainties cannot be combined",
            got=f"{len(slopes)} slopes, {len(uncertainties)} uncertainties",
            allowed="one standard uncertainty, not negative, for each slope",
            do="Give both lists in the same order.",
        )
    parts = [slope * u for slope, u in zip(slopes, uncertainties, strict=True)]
    total = sum(part * part for part in parts)
    for (i, j), together in (correlations or {}).items():
        total += 2.0 * parts[i] * parts[j] * together
    return math.sqrt(max(total, 0.0))


def effective_freedom(parts: Sequence[float], freedom: Sequence[float]) -> float:
    """Effective degrees of freedom of a combined uncertainty.

    Parameters
    ----------
    parts : sequence of float
        Each input's own part of the combined uncertainty.
    freedom : sequence of float, > 0
        Degrees of freedom of each; ``math.inf`` where it is known exactly.

    Source
        Welch-Satterthwaite, JCGM 100:2008, G.4.1 (eq. G.2b).
    Checked
        tests/published/weigh.csv: gum_h1_freedom.

    Examples
    --------
    >>> effective_freedom([1.0, 1.0], [4.0, 4.0])
    8.0
    """
    whole = sum(part**2 for part in parts) ** 2
    return whole / sum(part**4 / own for part, own in zip(parts, freedom, strict=True))

"""A handicap by start distance: who is slower starts nearer, so that each boat has the same chance to be first.

Not by mean speeds: a boat whose runs differ much wins more often than its mean says, one that often fails less
often.  The chance to be first is a sum over all times at which a boat may cross: that it crosses then, and that every
other boat either fails or crosses later.  It is worked out on a grid, not by chance, and the distances are
moved until it is the same for all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from skimwright.base import InputError, ModelError
from skimwright.regatta.pace import Pace

Array = NDArray[np.float64]

POINTS = 1501  # of the grid of times
REACH = 7.0  # how far the grid goes beyond the boats, in their spreads
CLOSE = 1e-7  # chances that differ by less are equal
MOST_TURNS = 5000
TAPE_MARK = 0.1  # start places are laid out to this [m] [choice]


@dataclass(frozen=True, kw_only=True)
class Allowance:
    """Where one boat starts, and its chances to be first."""

    boat: int
    distance: float  # to run [m]
    ahead: float  # of the boat that starts farthest back [m]
    fair: tuple[
        float, float
    ]  # 90 % range of its own fair distance, from how little is known of its speed [m]
    chance: float  # from these places
    one_line: float  # if all started from one line
    by_means: float  # if mean speeds alone set the places
    is_capped: bool  # it would need more than is allowed
    is_held: bool  # it would have moved by more than one step since last time
    is_wide: bool  # too few runs of its own


@dataclass(frozen=True, kw_only=True)
class Handicap:
    """A handicap race laid out."""

    allowances: tuple[Allowance, ...]
    full: float  # farthest start [m]
    nobody: float  # chance that no boat finishes
    equal: float  # the chance each would have if all were equal

    @property
    def apart(self) -> float:
        """How far the chances of boats that nothing holds back are from each other."""
        free = [a.chance for a in self.allowances if not (a.is_capped or a.is_held)]
        return max(free) - min(free) if free else 0.0


def chances_to_be_first(known: Sequence[Pace], shift: Array) -> Array:
    """Chance of each boat to cross the line first.

    Parameters
    ----------
    known : sequence of Pace
    shift : float array (boats,)
        Logarithm of the time each needs, over the time it would need from the farthest start. [-]

    Examples
    --------
    >>> same = [Pace(mean=0.0, doubt=0.0, spread=0.07, fails=0.1)] * 4
    >>> [round(float(p), 6) for p in chances_to_be_first(same, np.zeros(4))]
    [0.249975, 0.249975, 0.249975, 0.249975]
    """
    middle = np.asarray(shift) - np.array([pace.mean for pace in known])
    wide = np.array([math.hypot(pace.doubt, pace.spread) for pace in known])
    fails = np.array([pace.fails for pace in known])
    low, high = float((middle - REACH * wide).min()), float((middle + REACH * wide).max())
    edges = np.linspace(low, high, POINTS)
    before = (1 - fails) * ndtr((edges[:, None] - middle) / wide)  # (points, boats) crossed by then
    not_yet = 1.0 - before
    others = np.stack([np.delete(not_yet, n, axis=1).prod(axis=1) for n in range(len(known))], axis=1)
    return np.asarray((np.diff(before, axis=0) * 0.5 * (others[1:] + others[:-1])).sum(axis=0))


def lay_out_handicap(
    known: Mapping[int, Pace],
    *,
    full: float,
    most: float = 0.25,
    step: float = 0.5,
    last: Mapping[int, float] | None = None,
    late: Mapping[int, float] | None = None,
) -> Handicap:
    """Start distances that give each boat the same chance to be first.

    Parameters
    ----------
    known : mapping
        By boat: how it runs.
    full : float, > 0
        Distance of the boat that starts farthest back. [m]
    most : float, 0 to 0.6
        No boat starts nearer than this share of the full distance. [-]
    step : float, > 0
        How far a boat's start may move from one race to the next. [m]
    last : mapping, optional
        Distances of the last race, by boat; who is not in it is laid out freely. [m]
    late : mapping, optional
        By boat: its mean speed from the start over its speed near the line, at most 1: a metre off the start saves
        less time than one metre's share of the whole.  1 where it is not known. [-]

    Raises
    ------
    InputError
        Fewer than two boats, or a number out of its range.
    ModelError
        The distances did not come to rest.

    Holds
        Log-normal times, and failing has nothing to do with the distance.
    Checked
        tests/unit/regatta/test_handicap.py: chances by drawing races; equal to 0.2 points of 100; symmetric fields.
    """
    _check(known, full=full, most=most, step=step)
    boats, fields = tuple(known), list(known.values())
    slow = np.array([(late or {}).get(boat, 1.0) for boat in boats])
    low = np.log(1.0 - most * slow)
    means = np.array([pace.mean for pace in fields])
    shift = _solved(fields, low)
    wanted = full * (1.0 - (1.0 - np.exp(shift)) / slow)
    laid = np.round(np.clip(wanted, full * (1.0 - most), full) / TAPE_MARK) * TAPE_MARK
    held = np.zeros(len(boats), dtype=bool)
    for n, boat in enumerate(boats):
        if last and boat in last and abs(laid[n] - last[boat]) > step + 1e-9:
            laid[n] = last[boat] + math.copysign(step, laid[n] - last[boat])
            held[n] = True
    by_means = full * (1.0 - (1.0 - np.exp(means - means.max())) / slow)

    unsure = 1.645 * np.array([pace.doubt for pace in fields])
    fair = [
        np.clip(full * (1.0 - (1.0 - np.exp(shift + side * unsure)) / slow), full * (1.0 - most), full)
        for side in (-1, 1)
    ]

    def chances(distance: Array) -> Array:
        return chances_to_be_first(fields, np.log(1.0 - (1.0 - distance / full) * slow))

    now, one_line = chances(laid), chances(np.full(len(boats), full))
    mean_based = chances(np.clip(by_means, 0.05 * full, full))
    nobody = math.prod(pace.fails for pace in fields)
    return Handicap(
        allowances=tuple(
            Allowance(
                boat=boat, distance=round(float(laid[n]), 3), ahead=round(float(laid.max() - laid[n]), 3),
                fair=(float(fair[0][n]), float(fair[1][n])), chance=float(now[n]),
                one_line=float(one_line[n]), by_means=float(mean_based[n]),
                is_capped=bool(shift[n] <= low[n] + 1e-9), is_held=bool(held[n]), is_wide=known[boat].is_guess,
            )
            for n, boat in enumerate(boats)
        ),
        full=full, nobody=nobody, equal=(1.0 - nobody) / len(boats),
    )  # fmt: skip


def _check(known: Mapping[int, Pace], *, full: float, most: float, step: float) -> None:
    if len(known) < 2:
        raise InputError(
            what="a race needs two boats", got=str(len(known)), allowed="2 or more", do="Name more boats."
        )
    for what, value, low, high in (
        ("the full distance", full, 1.0, 1000.0),
        ("the largest allowance, as a share of the distance,", most, 0.0, 0.6),
        ("the agreed step", step, TAPE_MARK, 100.0),
    ):
        if not low <= value <= high:
            raise InputError(
                what=f"{what} is out of range",
                got=f"{value:g}",
                allowed=f"{low:g} to {high:g}",
                do="Give another.",
            )


def _solved(fields: Sequence[Pace], low: Array) -> Array:
    """Shifts at which all have one chance; a boat at its bound is left there and the others are made equal."""
    pull = 0.3 * min(math.hypot(pace.doubt, pace.spread) for pace in fields)
    means = np.array([pace.mean for pace in fields])
    shift = np.maximum(means - means.max(), low)
    for _ in range(MOST_TURNS):
        chance = chances_to_be_first(fields, shift)
        free = shift > low + 1e-12
        if chance[free].max() - chance[free].min() < CLOSE and np.all(
            chance[~free] <= chance[free].max() + CLOSE
        ):
            return np.asarray(shift)
        log_chance = np.log(np.maximum(chance, 1e-12))
        shift = shift + np.clip(pull * (log_chance - log_chance[free].mean()), -pull, pull)
        shift = np.maximum(shift - shift.max(), low)
    raise ModelError(
        what="the start distances did not come to rest",
        do="Leave out the boat that fails most, and try again.",
    )

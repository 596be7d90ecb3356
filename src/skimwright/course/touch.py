"""Do two boats of a heat touch?  Paths of one heat side by side in time."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from skimwright.course.paths import Fleet

Array = NDArray[np.float64]

HEATS = 2000


def touching(fleet: Fleet, *, lanes: int, spacing: float, seed: int, heats: int = HEATS) -> float:
    """Chance that any two boats of a heat touch.

    Parameters
    ----------
    fleet : Fleet
        Heats are drawn within a group where it has enough boats, else from all.
    lanes : int, 1 to 6
        Boats in a heat.
    spacing : float
        Between lanes. [m]
    seed : int
        Of the draw.
    heats : int
        How many are drawn.

    Returns
    -------
    float
        [-]; a chance of nought means fewer than 3 / heats.

    Holds
        All start at one moment and none is steered.  Two boats touch when their middles come as near as the mean
        of their lengths: a little early rather than late.
    Checked
        tests/unit/course/test_touch.py: straight runs never, crossing runs always, and a wide lane less often.
    """
    rng = np.random.default_rng(seed)
    by_group = {
        group: [i for i, g in enumerate(fleet.groups) if g == group] for group in dict.fromkeys(fleet.groups)
    }
    pools = [boats for boats in by_group.values() if len(boats) >= lanes] or [list(range(len(fleet.labels)))]
    runs_of = [np.flatnonzero(fleet.boat == number) for number in range(len(fleet.labels))]
    chosen = np.zeros((heats, lanes), dtype=np.int64)
    for heat in range(heats):
        pool = pools[heat % len(pools)]
        boats = rng.choice(pool, size=lanes, replace=len(pool) < lanes)
        chosen[heat] = [rng.choice(runs_of[boat]) for boat in boats]
    lane = (np.arange(lanes) - 0.5 * (lanes - 1)) * spacing
    met = np.zeros(heats, dtype=bool)
    for a, b in combinations(range(lanes), 2):
        one, two = chosen[:, a], chosen[:, b]
        apart = fleet.spots[two] - fleet.spots[one]
        apart[:, :, 1] += lane[b] - lane[a]
        near = 0.5 * (fleet.lengths[fleet.boat[one]] + fleet.lengths[fleet.boat[two]])
        met |= _least(apart) < near
    return float(met.mean())


def _least(apart: Array) -> Array:
    """Least distance of two boats that go straight between moments, for each heat. [m]"""
    begin, step = apart[:, :-1], np.diff(apart, axis=1)
    square = np.maximum((step**2).sum(axis=2), 1e-12)
    part = np.clip(-(begin * step).sum(axis=2) / square, 0.0, 1.0)
    nearest = begin + part[:, :, None] * step
    return np.asarray(np.hypot(nearest[:, :, 0], nearest[:, :, 1]).min(axis=1))

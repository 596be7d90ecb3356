"""Do two boats of a heat touch?  Paths of one heat side by side in time."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from skimwright.course.paths import Fleet

HEATS = 1000


def touching(
    fleet: Fleet, *, lanes: int, spacings: Sequence[float], seed: int, heats: int = HEATS
) -> tuple[float, ...]:
    """Chance that any two boats of a heat touch, for each lane spacing.

    Parameters
    ----------
    fleet : Fleet
        Heats are drawn within a group where it has enough boats, else from all.
    lanes : int, 1 to 6
        Boats in a heat.
    spacings : sequence of float
        Between lanes; the same heats are tried at each. [m]
    seed : int
        Of the draw.
    heats : int
        How many are drawn.

    Returns
    -------
    tuple of float
        [-]; a chance of nought means fewer than 3 / heats.

    Holds
        All start at one moment and none is steered.  Two boats touch when their middles come as near as the mean
        of their lengths: a little early rather than late.
    Checked
        tests/unit/course/test_touch.py: straight runs never, crossing runs always, and a wide lane less often.
    """
    chosen = _heats(fleet, lanes=lanes, seed=seed, heats=heats)
    spots = fleet.spots.astype(np.float32)
    met = np.zeros((len(spacings), heats), dtype=bool)
    for a, b in combinations(range(lanes), 2):
        one, two = chosen[:, a], chosen[:, b]
        near = 0.5 * (fleet.lengths[fleet.boat[one]] + fleet.lengths[fleet.boat[two]])
        apart = spots[two] - spots[one]
        step = np.array([0.0, b - a], dtype=np.float32)
        for row, spacing in enumerate(spacings):
            met[row] |= _least(np.asarray(apart + step * np.float32(spacing))) < near
    return tuple(float(each.mean()) for each in met)


def _heats(fleet: Fleet, *, lanes: int, seed: int, heats: int) -> NDArray[np.int64]:
    """Runs of each heat, lane by lane: boats of one group, a run of each. (heats, lanes)"""
    rng = np.random.default_rng(seed)
    groups = dict.fromkeys(fleet.groups)
    pools = [np.flatnonzero(np.array(fleet.groups) == group) for group in groups]
    pools = [pool for pool in pools if len(pool) >= lanes] or [np.arange(len(fleet.labels))]
    drawn = [
        rng.permuted(np.tile(pool, (heats, 1)), axis=1)[:, :lanes]
        if len(pool) >= lanes
        else rng.choice(pool, size=(heats, lanes))
        for pool in pools
    ]
    boats = np.stack(drawn)[np.arange(heats) % len(pools), np.arange(heats)]
    runs = np.bincount(fleet.boat, minlength=len(fleet.labels))
    first = np.concatenate([[0], np.cumsum(runs)[:-1]])  # a boat's runs stand together
    return np.asarray(first[boats] + np.floor(rng.random(boats.shape) * runs[boats]).astype(np.int64))


def _least(apart: NDArray[np.float32]) -> NDArray[np.float32]:
    """Least distance of two boats that go straight between moments, for each heat. [m]"""
    x, y = apart[:, :-1, 0], apart[:, :-1, 1]
    dx, dy = np.diff(apart[:, :, 0], axis=1), np.diff(apart[:, :, 1], axis=1)
    part = np.clip(-(x * dx + y * dy) / np.maximum(dx * dx + dy * dy, 1e-12), 0.0, 1.0)
    nearest = (x + part * dx) ** 2 + (y + part * dy) ** 2
    return np.asarray(np.sqrt(nearest.min(axis=1)))

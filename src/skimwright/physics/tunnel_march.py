"""The compiled march behind `tunnel`: air followed from the roof's rear edge forward to its front.

With w = air speed / boat speed and h the gap, the flow w h grows toward the bow by what leaks out
under the side walls further aft:  d(w h)/ds = 2 Cc side_gap sqrt(1 - w^2) / width,  Cp = 1 - w^2.
"""

from __future__ import annotations

from math import cos, sin, sqrt

import numba
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SMALLEST_GAP = 0.0015  # nearer than this, the gap is held here [m]
DEEPEST_SUCTION = -0.5  # the air lets go of a roof that opens faster [choice]
STEPS = 200  # over the whole roof
FASTEST = sqrt(1.0 - DEEPEST_SUCTION)


@numba.njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def march(
    stations: Array, gap: Array, side_gap: Array, width: float, contraction: float, pressures: Array
) -> tuple[float, float]:
    """Fill ``pressures`` at the stations; lift area and its moment about x = 0. [m2], [m3]"""
    last = len(stations) - 1
    length = stations[last] - stations[0]
    leak_scale = 2.0 * contraction / width
    h = max(gap[last], SMALLEST_GAP)
    side = leak_scale * max(side_gap[last], 0.0)
    flow, cp = h, 0.0
    pressures[last] = 0.0
    area, moment = 0.0, 0.0
    for i in range(last, 0, -1):
        span = stations[i] - stations[i - 1]
        n = max(4, int(STEPS * span / length + 0.5))
        done = 0.0
        front_gap = max(gap[i - 1], SMALLEST_GAP)
        rear_gap = max(gap[i], SMALLEST_GAP)
        front_side = leak_scale * max(side_gap[i - 1], 0.0)
        rear_side = leak_scale * max(side_gap[i], 0.0)
        for k in range(n):
            part = (k + 1.0) / n
            if i == last:  # at the exit the leak starts like a square root: short steps there
                part *= part
            ds = (part - done) * span
            h_next = rear_gap + part * (front_gap - rear_gap)
            side_next = rear_side + part * (front_side - rear_side)
            # half the step's leak from its rear end, half from its front end; the first step all from its front
            share = 1.0 if i == last and k == 0 else 0.5
            known = (flow + (1.0 - share) * ds * side * sqrt(max(cp, 0.0))) / h_next
            lean = share * ds * side_next / h_next
            if known < 1.0:  # w = known + lean sqrt(1 - w^2), solved
                w = (known + lean * sqrt(1.0 + lean * lean - known * known)) / (1.0 + lean * lean)
            else:
                w = known
            flow = w * h_next
            flow = min(flow, FASTEST * h_next)
            cp_next = 1.0 - (flow / h_next) ** 2
            middle = stations[i] - 0.5 * (done + part) * span
            step_area = 0.5 * (cp + cp_next) * ds * width
            area += step_area
            moment += step_area * middle
            h, side, cp, done = h_next, side_next, cp_next, part
        pressures[i - 1] = cp
    return area, moment


@numba.njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def march_poses(
    stations: Array,
    roof: Array,
    wall: Array,
    width: float,
    contraction: float,
    rear_gaps: Array,
    trims: Array,
) -> tuple[Array, Array, Array]:
    """`march` for every rear gap and trim: lift areas, moments, mean gaps, each (n_gaps, n_trims)."""
    n, last = len(stations), len(stations) - 1
    area = np.empty((len(rear_gaps), len(trims)))
    moment = np.empty_like(area)
    mean_gap = np.empty_like(area)
    gap, side, pressures = np.empty(n), np.empty(n), np.empty(n)
    for j in range(len(trims)):
        rise, level = sin(trims[j]), cos(trims[j])
        for i in range(len(rear_gaps)):
            for k in range(n):
                lift_off = rear_gaps[i] + (stations[last] - stations[k]) * rise
                gap[k] = lift_off + (roof[k] - roof[last]) * level
                side[k] = min(lift_off + (wall[k] - roof[last]) * level, gap[k])
            area[i, j], moment[i, j] = march(stations, gap, side, width, contraction, pressures)
            mean_gap[i, j] = 0.5 * (max(gap[0], 0.0) + max(gap[last], 0.0))
    return area, moment, mean_gap

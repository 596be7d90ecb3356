"""Finding rest: downhill in height, trim and heel to where weight and water together lie lowest.

The energy, over the weight, is the height of the balance point above the surface less the height moment
of the wet part over the volume to be displaced.  Its slopes are the misfit of volume and the two arms; their
slopes come from the cut at the surface, all exact, so damped Newton steps end in a true bottom, never on a
ridge.  Worked out in docs/physics/flotation.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numba import njit

from skimwright.base import InputError
from skimwright.boat import Shell
from skimwright.physics.guard import require_positive
from skimwright.physics.hydrostatics import N_SUMS, Array, Indices, clip, require_closed


@dataclass(frozen=True, kw_only=True, eq=False)
class Found:
    """A rest, or a balance at a held heel."""

    state: Array  # height of the origin over the water, trim, heel
    arm: float
    slope: float  # of the arm with heel, free to rise and trim
    is_stable: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Problem:
    """A shell and a weight, laid out for the compiled part."""

    vertices: Array
    triangles: Indices
    centre: Array
    volume: float  # to be displaced [m3]
    whole: float  # inside the shell [m3]
    length: float  # x of the rear end [m]
    size: Array  # (3,) extent along each axis [m]
    room: Array

    @classmethod
    def of(cls, shell: Shell, *, mass: float, centre: Array, water_density: float) -> Problem:
        require_positive(mass=mass, water_density=water_density)
        point = np.ascontiguousarray(centre, dtype=np.float64)
        if point.shape != (3,) or not np.isfinite(point).all():
            raise InputError(
                what="The balance point",
                got=f"{centre}",
                allowed="three lengths: from the bow, to starboard, up from the pads",
                do="Weigh the boat on its balance edge again.",
            )
        require_closed(shell)
        vertices = np.ascontiguousarray(shell.vertices, dtype=np.float64)
        triangles = np.ascontiguousarray(shell.triangles, dtype=np.int64)
        low, high = vertices.min(axis=0), vertices.max(axis=0)
        sums, room = np.empty(N_SUMS), np.empty_like(vertices)
        clip(vertices, triangles, -high[2] - 1.0, 0.0, 0.0, room, sums)
        return cls(
            vertices=vertices,
            triangles=triangles,
            centre=point,
            volume=mass / water_density,
            whole=float(sums[0]),
            length=float(high[0]),
            size=high - low,
            room=room,
        )

    def settle(self, start: tuple[float, float, float], *, free_to_heel: bool) -> Found | None:
        """The rest downhill from a start (height nan: water half way up); None if there is none."""
        state, answer = np.array(start), np.empty(2)
        verdict = _settle(
            self.vertices,
            self.triangles,
            self.centre,
            self.volume,
            self.size,
            free_to_heel,
            state,
            answer,
            self.room,
        )
        if verdict == 0:
            return None
        return Found(state=state, arm=float(answer[0]), slope=float(answer[1]), is_stable=verdict == 2)


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _settle(
    vertices: Array,
    triangles: Indices,
    centre: Array,
    volume: float,
    size: Array,
    free_to_heel: bool,
    state: Array,
    answer: Array,
    room: Array,
) -> int:
    """Walk `state` (height, trim, heel) downhill to rest; fill `answer` with arm and slope.

    Gives 0 if no rest was found, 1 if it is one only by a hair (neutral), 2 if it is stable.
    """
    length = max(size[0], size[1], size[2])
    g, h, step = np.empty(3), np.empty((3, 3)), np.empty(3)
    trial, sums = np.empty(3), np.empty(N_SUMS)
    if math.isnan(state[0]):
        state[0] = _half_way(vertices, state[1], state[2])
    energy = _slopes(vertices, triangles, centre, volume, free_to_heel, state, room, sums, g, h)
    damping, nudges = 0.0, 0
    for _ in range(200):
        if abs(g[0]) < 1e-12 and abs(g[1]) < 1e-12 * length and abs(g[2]) < 1e-12 * length:
            is_stable = _solve(g, h, 0.0, size, step)
            if is_stable or nudges == 3:
                _fill(answer, state, g, h, centre, sums, volume)
                return 2 if is_stable else 1
            # Balanced on a ridge: lean off it.
            nudges += 1
            state[1] += 0.01
            if free_to_heel:
                state[2] += 0.03
            energy = _slopes(vertices, triangles, centre, volume, free_to_heel, state, room, sums, g, h)
        settled = False
        while damping < 1e12:
            if _solve(g, h, damping, size, step):
                _shorten(step, length)
                for i in range(3):
                    trial[i] = state[i] + step[i]
                _wrap(trial, free_to_heel)
                before = abs(g[0]) * length + abs(g[1]) + abs(g[2])
                lower = _slopes(vertices, triangles, centre, volume, free_to_heel, trial, room, sums, g, h)
                after = abs(g[0]) * length + abs(g[1]) + abs(g[2])
                if lower < energy or (after < 0.9 * before and lower <= energy + 1e-13 * length):
                    state[:], energy, settled = trial, lower, True
                    damping = 0.0 if damping < 1e-6 else 0.1 * damping
                    break
                energy = _slopes(vertices, triangles, centre, volume, free_to_heel, state, room, sums, g, h)
            damping = max(1e-4, 10.0 * damping)
        if not settled:
            return 0
    return 0


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _half_way(vertices: Array, trim: float, heel: float) -> float:
    """The height that puts the surface half way up a shell."""
    low, high = np.inf, -np.inf
    for i in range(vertices.shape[0]):
        up = vertices[i, 2] * math.cos(heel) - vertices[i, 1] * math.sin(heel)
        up = up * math.cos(trim) - vertices[i, 0] * math.sin(trim)
        low, high = min(low, up), max(high, up)
    return -0.5 * (low + high)


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _slopes(
    vertices: Array,
    triangles: Indices,
    centre: Array,
    volume: float,
    free_to_heel: bool,
    state: Array,
    room: Array,
    sums: Array,
    g: Array,
    h: Array,
) -> float:
    """Energy over weight, its slopes `g` and their slopes `h`, in height, trim and heel."""
    height, trim, heel = state[0], state[1], state[2]
    clip(vertices, triangles, height, trim, heel, room, sums)
    st, ct, sh, ch = math.sin(trim), math.cos(trim), math.sin(heel), math.cos(heel)
    up = centre[2] * ch - centre[1] * sh
    gx, gy, gz = centre[0] * ct + up * st, centre[1] * ch + centre[2] * sh, up * ct - centre[0] * st
    wet, mx, my = sums[0] / volume, sums[1] / volume, sums[2] / volume
    lift = sums[3] / volume - height * wet  # moment of the wet part above the boat's own origin
    g[0], g[1], g[2] = 1.0 - wet, mx - gx, ct * (my - gy)
    h[0, 0], h[0, 1], h[0, 2] = sums[4] / volume, -sums[5] / volume, -ct * sums[6] / volume
    h[1, 1] = sums[7] / volume + lift - gz
    h[1, 2] = ct * sums[8] / volume - st * (my - gy)
    h[2, 2] = ct * (ct * (sums[9] / volume + lift - gz) + st * (mx - gx))
    if not free_to_heel:
        g[2], h[0, 2], h[1, 2], h[2, 2] = 0.0, 0.0, 0.0, 1.0
    h[1, 0], h[2, 0], h[2, 1] = h[0, 1], h[0, 2], h[1, 2]
    energy: float = gz + height - sums[3] / volume
    return energy


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _solve(g: Array, h: Array, damping: float, size: Array, step: Array) -> bool:
    """Newton's step by Cholesky's factors; False if the bowl, with this damping, is no bowl."""
    stiff = 0.1 / max(size[0], size[1], size[2])  # of the order of plane area over volume
    a00 = h[0, 0] + damping * stiff * 10.0
    a11 = h[1, 1] + damping * stiff * size[0] ** 2
    a22 = h[2, 2] + damping * stiff * max(size[1], size[2]) ** 2
    if not a00 > 0.0:
        return False
    l10, l20 = h[1, 0] / a00, h[2, 0] / a00
    d1 = a11 - l10 * l10 * a00
    if not d1 > 1e-12 * abs(a11):
        return False
    l21 = (h[2, 1] - l20 * l10 * a00) / d1
    d2 = a22 - l20 * l20 * a00 - l21 * l21 * d1
    if not d2 > 1e-9 * stiff * size[1] ** 2:
        return False
    y0 = -g[0]
    y1 = -g[1] - l10 * y0
    y2 = -g[2] - l20 * y0 - l21 * y1
    step[2] = y2 / d2
    step[1] = y1 / d1 - l21 * step[2]
    step[0] = y0 / a00 - l10 * step[1] - l20 * step[2]
    return True


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _shorten(step: Array, length: float) -> None:
    """No step turns the boat by more than 0.3 rad or moves it by more than a third of its length."""
    most = max(abs(step[1]) / 0.3, abs(step[2]) / 0.3, 3.0 * abs(step[0]) / length, 1.0)
    for i in range(3):
        step[i] /= most


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _wrap(state: Array, free_to_heel: bool) -> None:
    """Past the vertical, name the same attitude by a trim within a right angle."""
    if free_to_heel:
        if abs(state[1]) > 0.5 * math.pi:
            state[1] = math.copysign(math.pi, state[1]) - state[1]
            state[2] += math.pi
        state[2] -= 2.0 * math.pi * math.floor(state[2] / (2.0 * math.pi) + 0.5)


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def _fill(answer: Array, state: Array, g: Array, h: Array, centre: Array, sums: Array, volume: float) -> None:
    """The arm, and its slope when height and trim follow the heel."""
    st, ct, sh, ch = math.sin(state[1]), math.cos(state[1]), math.sin(state[2]), math.cos(state[2])
    up = centre[2] * ch - centre[1] * sh
    answer[0] = sums[2] / volume - (centre[1] * ch + centre[2] * sh)
    lift = (sums[3] - state[0] * sums[0]) / volume
    # Rows: height and trim balances, arm.  Columns: height, trim, heel.
    h02, h12 = -ct * sums[6] / volume, ct * sums[8] / volume - st * answer[0]
    a0, a1 = -sums[6] / volume, sums[8] / volume
    a2 = ct * (sums[9] / volume + lift - (up * ct - centre[0] * st)) + st * g[1]
    det = h[0, 0] * h[1, 1] - h[0, 1] * h[0, 1]
    dh = -(h02 * h[1, 1] - h12 * h[0, 1]) / det
    dt = -(h12 * h[0, 0] - h02 * h[0, 1]) / det
    answer[1] = a2 + a0 * dh + a1 * dt

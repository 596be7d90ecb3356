"""Buoyancy of any closed shell at any sinkage, trim and heel, exact to rounding.

The origin is put on the water plane, every triangle is clipped there (nothing, three or four points stay
wet), and signed tetrahedra from the origin are summed.  The flat lid that would close the wet part passes
through the origin, so its tetrahedra have no volume and it need not be built.

Boat axes: x from the bow aft, y to starboard, z up from the pad plane.  Water axes: the boat's, after
heeling about x (starboard down is +) and then trimming (bow up is +), with their origin on the water
straight above or below the boat's own origin.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from skimwright.base import InputError
from skimwright.boat import Shell

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

# Places in the sums that `clip` fills.
VOLUME, MOMENT_X, MOMENT_Y, MOMENT_Z, AREA, AREA_X, AREA_Y, AREA_XX, AREA_XY, AREA_YY, SKIN = range(11)
N_SUMS = 11


def joined(shells: Iterable[Shell]) -> Shell:
    """Several bodies as one shell: pass only those that keep water out.

    A flooded space gives no buoyancy, so its shell is left out.  Bodies may touch; where they overlap they
    count twice.

    Raises
    ------
    InputError
        There is no body at all.

    Examples
    --------
    >>> from skimwright.boat import Shell
    >>> corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> one = Shell(vertices=corners, triangles=np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]))
    >>> two = Shell(vertices=corners + 2.0, triangles=one.triangles)
    >>> round(joined([one, two]).volume, 6)
    0.333333
    """
    bodies = tuple(shells)
    if not bodies:
        raise InputError(
            what="Nothing keeps the water out",
            got="no sealed body",
            allowed="one or more",
            do="Seal at least one space, or give the hull's outer shell.",
        )
    starts = np.cumsum([0, *(len(body.vertices) for body in bodies[:-1])])
    return Shell(
        vertices=np.concatenate([body.vertices for body in bodies]),
        triangles=np.concatenate(
            [body.triangles + start for body, start in zip(bodies, starts, strict=True)]
        ),
    )


def require_closed(shell: Shell) -> None:
    """Refuse a skin with a hole, or one that is inside out.

    Raises
    ------
    InputError
        An edge is not shared by two faces, or the enclosed volume is not positive.

    Examples
    --------
    >>> from skimwright.boat import Shell
    >>> corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> require_closed(Shell(vertices=corners, triangles=np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2]])))
    Traceback (most recent call last):
    ...
    skimwright.base.errors.InputError: The hull's skin does not close: got 3 loose edges; ...
    """
    _, same = np.unique(np.round(shell.vertices, 9), axis=0, return_inverse=True)
    corners = same.reshape(-1)[shell.triangles]
    corners = corners[(corners != np.roll(corners, 1, axis=1)).all(axis=1)]
    ends = np.stack([corners, np.roll(corners, -1, axis=1)], axis=-1).reshape(-1, 2)
    there, back = (np.sort(ends @ (len(shell.vertices), 1)), np.sort(ends @ (1, len(shell.vertices))))
    if not np.array_equal(there, back):
        loose = max(len(np.setdiff1d(there, back)), 1)
        raise InputError(
            what="The hull's skin does not close",
            got=f"{loose} loose edge" + ("s" if loose > 1 else ""),
            allowed="every edge shared by two faces",
            do="Close the gap in the drawing, or leave the open part out of the shell.",
        )
    if not shell.volume > 0:
        raise InputError(
            what="The hull's skin encloses no space",
            got=f"{shell.volume * 1e6:.1f} cm3",
            allowed="more than 0 cm3, faces seen anticlockwise from outside",
            do="Turn the faces the other way round.",
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Displacement:
    """The wet part of a shell."""

    volume: float  # water pushed aside [m3]
    centre: Array  # (3,) centre of buoyancy, boat axes; nan when dry [m]
    centre_water: Array  # (3,) the same, water axes [m]
    plane_area: float  # area of the cut at the water's surface [m2]
    plane_centre: Array  # (2,) its centre, water axes; nan when there is no cut [m]
    plane_inertia: Array  # (2, 2) its second moments about that centre: [[∫xx, ∫xy], [∫xy, ∫yy]] dA [m4]
    wet_area: float  # skin under water [m2]


def displacement(shell: Shell, *, sinkage: float, trim: float, heel: float) -> Displacement:
    """What a closed shell displaces, by clipping it exactly at still water.

    Parameters
    ----------
    shell : Shell
        Closed skin of everything that keeps water out.
    sinkage : float
        How deep the boat's origin lies under the surface; negative above it. [m]
    trim : float
        Bow up is positive. [rad]
    heel : float
        Starboard down is positive; turned before the trim. [rad]

    Returns
    -------
    Displacement
        Volume, centre of buoyancy, the cut at the surface, wet skin.

    Raises
    ------
    InputError
        A number is not finite.

    Holds
        Still water, any attitude, upside down too, any closed shape.  A corner exactly at the surface
        counts as dry.
    Trust
        Exact to rounding for the shape as drawn (about 1e-17 m3 on a 0.6 m hull).
    Source
        Sum of signed tetrahedra (divergence theorem), worked out in docs/physics/hydrostatics.md (derived).
    Checked
        tests/published/hydro.csv; tests/physics/test_hydrostatics_against_mesh_library.py.
    """
    if not all(map(math.isfinite, (sinkage, trim, heel))):
        raise InputError(
            what="The boat's attitude",
            got=f"sinkage {sinkage} m, trim {trim} rad, heel {heel} rad",
            allowed="finite numbers",
            do="Give all three.",
        )
    sums = np.empty(N_SUMS)
    vertices = np.ascontiguousarray(shell.vertices, dtype=np.float64)
    triangles = np.ascontiguousarray(shell.triangles, dtype=np.int64)
    clip(vertices, triangles, -sinkage, trim, heel, np.empty_like(vertices), sums)
    volume, area = float(sums[VOLUME]), float(sums[AREA])
    wet = sums[MOMENT_X : MOMENT_Z + 1] / volume if volume > 0 else np.full(3, np.nan)
    middle = sums[AREA_X : AREA_Y + 1] / area if area > 0 else np.full(2, np.nan)
    second = np.array([[sums[AREA_XX], sums[AREA_XY]], [sums[AREA_XY], sums[AREA_YY]]])
    return Displacement(
        volume=volume,
        centre=water_axes(trim=trim, heel=heel).T @ (wet + np.array((0.0, 0.0, sinkage))),
        centre_water=wet,
        plane_area=area,
        plane_centre=middle,
        plane_inertia=second - area * np.outer(middle, middle) if area > 0 else np.zeros((2, 2)),
        wet_area=float(sums[SKIN]),
    )


def water_axes(*, trim: float, heel: float) -> Array:
    """Rows: the water axes aft, starboard and up, in boat axes.

    Parameters
    ----------
    trim : float
        Bow up is positive. [rad]
    heel : float
        Starboard down is positive. [rad]

    Returns
    -------
    float array (3, 3)
        Turns a boat-axes vector into water axes. [-]

    Holds
        Any angles.
    Trust
        Exact.
    Source
        Two rotations, heel then trim (derived).
    Checked
        tests/unit/physics/test_hydrostatics.py.
    """
    st, ct, sh, ch = math.sin(trim), math.cos(trim), math.sin(heel), math.cos(heel)
    return np.array([[ct, -st * sh, st * ch], [0.0, ch, sh], [-st, -ct * sh, ct * ch]])


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def clip(
    vertices: Array, triangles: Indices, height: float, trim: float, heel: float, placed: Array, sums: Array
) -> None:
    """Fill `sums` (see the names above), water axes, from a shell whose origin is `height` over the water.

    `placed` is room for the corners in water axes.
    """
    st, ct, sh, ch = math.sin(trim), math.cos(trim), math.sin(heel), math.cos(heel)
    for i in range(vertices.shape[0]):
        x, y, z = vertices[i, 0], vertices[i, 1], vertices[i, 2]
        up = z * ch - y * sh
        placed[i, 0] = x * ct + up * st
        placed[i, 1] = y * ch + z * sh
        placed[i, 2] = up * ct - x * st + height
    v = mx = my = mz = skin = 0.0
    a = ax = ay = axx = axy = ayy = 0.0
    for t in range(triangles.shape[0]):
        i, j, k = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        wi, wj, wk = placed[i, 2] < 0.0, placed[j, 2] < 0.0, placed[k, 2] < 0.0
        n_wet = int(wi) + int(wj) + int(wk)
        if n_wet == 0:
            continue
        # Turn the triangle so that its first corner is the odd one out.
        if n_wet == 1:
            if wj:
                i, j, k = j, k, i
            elif wk:
                i, j, k = k, i, j
        elif n_wet == 2:
            if not wj:
                i, j, k = j, k, i
            elif not wk:
                i, j, k = k, i, j
        x0, y0, z0 = placed[i, 0], placed[i, 1], placed[i, 2]
        x1, y1, z1 = placed[j, 0], placed[j, 1], placed[j, 2]
        x2, y2, z2 = placed[k, 0], placed[k, 1], placed[k, 2]
        if n_wet < 3:
            # Where the edges from the odd corner meet the surface: p on 0-1, q on 0-2.  Reckoned from the
            # wet end, so that the neighbour that shares the edge finds the very same point.
            if n_wet == 1:
                s, r = z0 / (z0 - z1), z0 / (z0 - z2)
                px, py = x0 + s * (x1 - x0), y0 + s * (y1 - y0)
                qx, qy = x0 + r * (x2 - x0), y0 + r * (y2 - y0)
                x1, y1, z1 = px, py, 0.0
                x2, y2, z2 = qx, qy, 0.0
            else:
                s, r = z1 / (z1 - z0), z2 / (z2 - z0)
                qx, qy = x1 + s * (x0 - x1), y1 + s * (y0 - y1)
                px, py = x2 + r * (x0 - x2), y2 + r * (y0 - y2)
                # The four-sided rest is q 1 2 p: take q 1 2 here, and leave q 2 p for below.
                tx, ty = y2 * 0.0 - z2 * py, z2 * px - x2 * 0.0
                w = (qx * tx + qy * ty) / 6.0
                v += w
                mx += 0.25 * w * (qx + x2 + px)
                my += 0.25 * w * (qy + y2 + py)
                mz += 0.25 * w * z2
                ux, uy, uz = x2 - qx, y2 - qy, z2
                nx, ny = px - qx, py - qy
                skin += 0.5 * math.sqrt((uz * ny) ** 2 + (uz * nx) ** 2 + (ux * ny - uy * nx) ** 2)
                x0, y0, z0 = qx, qy, 0.0
            # The lid's edge runs from q to p, anticlockwise seen from above.
            c = qx * py - px * qy
            a += c
            ax += c * (qx + px)
            ay += c * (qy + py)
            axx += c * (qx * qx + qx * px + px * px)
            axy += c * (qx * py + 2.0 * qx * qy + 2.0 * px * py + px * qy)
            ayy += c * (qy * qy + qy * py + py * py)
        nx, ny, nz = y1 * z2 - z1 * y2, z1 * x2 - x1 * z2, x1 * y2 - y1 * x2
        w = (x0 * nx + y0 * ny + z0 * nz) / 6.0
        v += w
        mx += 0.25 * w * (x0 + x1 + x2)
        my += 0.25 * w * (y0 + y1 + y2)
        mz += 0.25 * w * (z0 + z1 + z2)
        ux, uy, uz = x1 - x0, y1 - y0, z1 - z0
        tx, ty, tz = x2 - x0, y2 - y0, z2 - z0
        nx, ny, nz = uy * tz - uz * ty, uz * tx - ux * tz, ux * ty - uy * tx
        skin += 0.5 * math.sqrt(nx * nx + ny * ny + nz * nz)
    sums[0], sums[1], sums[2], sums[3] = v, mx, my, mz
    sums[4], sums[5], sums[6] = a / 2.0, ax / 6.0, ay / 6.0
    sums[7], sums[8], sums[9] = axx / 12.0, axy / 24.0, ayy / 12.0
    sums[10] = skin

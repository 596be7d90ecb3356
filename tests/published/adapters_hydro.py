"""Printed stability figures, worked through our own clipping: box vessels are meshes, in the book's units.

Lengths are feet or metres as printed, and the water's density is 1 where no weight is asked for: none of
these figures depends on the choice.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar

from skimwright.boat import Shell
from skimwright.physics.flotation import rest_attitude, righting_lever
from skimwright.physics.hydrostatics import Displacement, displacement, joined

_FACES = np.array(
    [
        *([0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4]),
        *([1, 2, 6], [1, 6, 5], [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]),
    ]
)


def box(*, length: float, beam: float, depth: float, front: float = 0.0) -> Shell:
    """A box on the pad plane, x from `front` aft."""
    x, y = (front, front + length), beam / 2
    rim = [(x[0], -y), (x[1], -y), (x[1], y), (x[0], y)]
    corners = [(*point, z) for z in (0.0, depth) for point in rim]
    return Shell(vertices=np.array(corners), triangles=_FACES)


def round_bar(*, radius: float, length: float, sides: int = 512) -> Shell:
    """A round bar along x with its keel at z = 0: its metacentre stays on its middle at any heel."""
    turn = 2 * math.pi * np.arange(sides) / sides
    ring = np.column_stack([radius * np.sin(turn), radius - radius * np.cos(turn)])
    ends = [np.column_stack([np.full(sides, x), ring]) for x in (0.0, length)]
    middles = [[0.0, 0.0, radius], [length, 0.0, radius]]
    i = np.arange(sides)
    j = (i + 1) % sides
    first, last = np.full(sides, 2 * sides), np.full(sides, 2 * sides + 1)
    faces = [(i, j, i + sides), (j, j + sides, i + sides), (first, j, i), (last, i + sides, j + sides)]
    return Shell(
        vertices=np.vstack([*ends, middles]), triangles=np.vstack([np.column_stack(face) for face in faces])
    )


def _point(x: float, y: float, z: float) -> NDArray[np.float64]:
    return np.array([x, y, z])


def _level(shell: Shell, draft: float) -> Displacement:
    return displacement(shell, sinkage=draft, trim=0.0, heel=0.0)


def _keel_to_metacentre(wet: Displacement) -> float:
    return float(wet.centre[2] + wet.plane_inertia[1, 1] / wet.volume)


def box_bm(*, B: float, d: float) -> float:
    wet = _level(box(length=7 * B, beam=B, depth=2 * d), d)
    return float(wet.plane_inertia[1, 1] / wet.volume)


def box_bm_ft(*, B_ft: float, d_ft: float) -> float:
    return box_bm(B=B_ft, d=d_ft)


def box_km_ft(*, B_ft: float, d_ft: float) -> float:
    return _keel_to_metacentre(_level(box(length=7 * B_ft, beam=B_ft, depth=2 * d_ft), d_ft))


def box_vessel_bm(*, L: float, B: float, d: float) -> float:
    wet = _level(box(length=L, beam=B, depth=2 * d), d)
    return float(wet.plane_inertia[1, 1] / wet.volume)


def righting_moment_ft_ton(*, KM_ft: float, KG_ft: float, W_t: float, heel_deg: float) -> float:
    """The printed vessel is known by its KM only: a round bar of that radius has it at every heel."""
    bar = round_bar(radius=KM_ft, length=10 * KM_ft)
    lever = righting_lever(
        bar,
        mass=0.4 * bar.volume,
        centre=_point(5 * KM_ft, 0.0, KG_ft),
        water_density=1.0,
        heel=math.radians(heel_deg),
    )
    return W_t * lever.arm


def inclining_gm_ft(*, w_t: float, d_ft: float, W_t: float, L_ft: float, defl_in: float) -> float:
    """Heel a box of that weight by the plumb line's angle; where the weight must then be gives GM."""
    beam, draft = 40.0, 15.0
    vessel = box(length=W_t * 35.0 / (beam * draft), beam=beam, depth=2 * draft)  # 35 cu ft of sea to a ton
    heel = math.atan(defl_in / 12 / L_ft)
    wet = displacement(vessel, sinkage=draft * math.cos(heel), trim=0.0, heel=heel)
    aside = w_t * d_ft / W_t
    height = (wet.centre_water[1] - aside * math.cos(heel)) / math.sin(heel)
    return _keel_to_metacentre(_level(vessel, draft)) - float(height)


def least_km(*, B: float) -> float:
    def km(draft: float) -> float:
        return _keel_to_metacentre(_level(box(length=5 * B, beam=B, depth=2 * B), draft))

    return float(minimize_scalar(km, bounds=(0.1 * B, B), method="bounded").fun)


def box_displacement_t(*, L: float, B: float, d: float, rho: float) -> float:
    return rho * _level(box(length=L, beam=B, depth=2 * d), d).volume


def tonnes_a_cm(*, L: float, B: float, rho: float) -> float:
    return rho * _level(box(length=L, beam=B, depth=B), 0.3 * B).plane_area / 100


def small_angle_moment_t_m(*, L: float, B: float, d: float, KG: float, heel_deg: float) -> float:
    """GM from our righting curve's slope at rest; then the book's own step, W GM sin."""
    vessel, mass = box(length=L, beam=B, depth=4 * d), 1.025 * L * B * d
    rest = rest_attitude(vessel, mass=mass, centre=_point(L / 2, 0.0, KG), water_density=1.025)
    return mass * rest.metacentric_height * math.sin(math.radians(heel_deg))


def wall_sided_moment_t_m(*, L: float, B: float, d: float, KG: float, heel_deg: float) -> float:
    mass = 1.025 * L * B * d
    lever = righting_lever(
        box(length=L, beam=B, depth=4 * d),
        mass=mass,
        centre=_point(L / 2, 0.0, KG),
        water_density=1.025,
        heel=math.radians(heel_deg),
    )
    return mass * lever.arm


def bilged_gm(*, L: float, B: float, d: float, comp: float, GM0: float) -> float:
    """The compartment amidships is open to the sea: only the two ends are passed as shells."""
    end = (L - comp) / 2
    kg = _keel_to_metacentre(_level(box(length=L, beam=B, depth=4 * d), d)) - GM0
    ends = [box(length=end, beam=B, depth=4 * d, front=front) for front in (0.0, end + comp)]
    rest = rest_attitude(joined(ends), mass=L * B * d, centre=_point(L / 2, 0.0, kg), water_density=1.0)
    return rest.metacentric_height


def loll_deg(*, GM: float, BM: float) -> float:
    """A box of beam 12 with that BM and GM, let go upright."""
    beam = 12.0
    draft = beam**2 / (12 * BM)
    rest = rest_attitude(
        box(length=65.0, beam=beam, depth=3 * draft),
        mass=65.0 * beam * draft,
        centre=_point(32.5, 0.0, draft / 2 + BM - GM),
        water_density=1.0,
    )
    return abs(math.degrees(rest.heel))


def foam_draft(*, L: float, B: float, m: float, rho: float) -> float:
    rest = rest_attitude(
        box(length=L, beam=B, depth=0.08), mass=m, centre=_point(L / 2, 0.0, 0.02), water_density=rho
    )
    return rest.draft_bow


def foam_bm(*, L: float, B: float, m: float, rho: float) -> float:
    return box_vessel_bm(L=L, B=B, d=foam_draft(L=L, B=B, m=m, rho=rho))


def foam_limit_deg(*, L: float, B: float, m: float, rho: float) -> float:
    """Heel until the high bottom corner comes level with the water."""

    def corner_height(heel: float) -> float:
        lever = _foam_lever(L=L, B=B, m=m, KG=0.05, rho=rho, heel=heel)
        return B / 2 * math.sin(heel) - lever.sinkage

    return math.degrees(brentq(corner_height, 0.001, 0.2, xtol=1e-14))


def foam_gz(*, L: float, B: float, m: float, KG: float, rho: float, heel_deg: float) -> float:
    return _foam_lever(L=L, B=B, m=m, KG=KG, rho=rho, heel=math.radians(heel_deg)).arm


def _foam_lever(*, L: float, B: float, m: float, KG: float, rho: float, heel: float):  # type: ignore[no-untyped-def]
    return righting_lever(
        box(length=L, beam=B, depth=0.08),
        mass=m,
        centre=_point(L / 2, 0.0, KG),
        water_density=rho,
        heel=heel,
    )

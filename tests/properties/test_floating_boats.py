"""True of every boat that floats the right way up."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from skimwright.boat import Shell
from skimwright.physics.flotation import Flotation, rest_attitude
from skimwright.physics.hydrostatics import displacement, water_axes

WATER = 999.1


@dataclass(frozen=True, kw_only=True)
class Boat:
    """A punt with a raked bow and flared sides, and its weight."""

    shell: Shell
    mass: float
    centre: np.ndarray


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def boats(draw: st.DrawFn, *, lopsided: bool = True) -> Boat:
    length, beam, depth = draw(numbers(0.4, 0.8)), draw(numbers(0.2, 0.35)), draw(numbers(0.06, 0.1))
    rake, flare = draw(numbers(0.0, 0.2)) * length, draw(numbers(0.7, 1.0))
    rim = [(x, side * beam / 2, depth) for x in (0.0, length) for side in (-1, 1)]
    floor = [(x, side * flare * beam / 2, 0.0) for x in (rake, length) for side in (-1, 1)]
    mesh = trimesh.convex.convex_hull(np.array(rim + floor))
    shell = Shell(vertices=mesh.vertices, triangles=mesh.faces.astype(np.int64))
    aside = draw(numbers(-0.08, 0.08)) * beam if lopsided else 0.0
    return Boat(
        shell=shell,
        mass=draw(numbers(0.1, 0.5)) * shell.volume * WATER,
        centre=np.array([draw(numbers(0.45, 0.6)) * length, aside, draw(numbers(0.0, 0.5)) * depth]),
    )


def at_rest(boat: Boat) -> Flotation:
    return rest_attitude(boat.shell, mass=boat.mass, centre=boat.centre, water_density=WATER, heels=())


def turned(boat: Boat, *, by: np.ndarray) -> Boat:
    flips = np.linalg.det(by) < 0
    triangles = boat.shell.triangles[:, ::-1] if flips else boat.shell.triangles
    shell = Shell(vertices=boat.shell.vertices @ by.T, triangles=triangles)
    return Boat(shell=shell, mass=boat.mass, centre=by @ boat.centre)


@settings(max_examples=60, deadline=None)
@given(boats())
def test_the_water_pushed_aside_weighs_as_much_as_the_boat(boat: Boat) -> None:
    rest = at_rest(boat)
    wet = displacement(boat.shell, sinkage=rest.draft_bow, trim=rest.trim, heel=rest.heel)
    assert wet.volume * WATER == pytest.approx(boat.mass, rel=1e-9)
    assert rest.displaced * WATER == pytest.approx(boat.mass, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(boats())
def test_buoyancy_stands_straight_under_or_over_the_weight(boat: Boat) -> None:
    for rest in at_rest(boat).attitudes:
        wet = displacement(boat.shell, sinkage=rest.sinkage, trim=rest.trim, heel=rest.heel)
        weight = water_axes(trim=rest.trim, heel=rest.heel) @ boat.centre
        assert wet.centre_water[:2] == pytest.approx(weight[:2], abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(boats())
def test_a_mirrored_boat_mirrors_its_heel(boat: Boat) -> None:
    here, there = at_rest(boat), at_rest(turned(boat, by=np.diag([1.0, -1.0, 1.0])))
    assert there.heel == pytest.approx(-here.heel, abs=1e-8)
    assert there.trim == pytest.approx(here.trim, abs=1e-8)
    assert there.draft_bow == pytest.approx(here.draft_bow, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(boats())
def test_a_boat_drawn_end_for_end_trims_and_heels_the_other_way(boat: Boat) -> None:
    here, there = at_rest(boat), at_rest(turned(boat, by=np.diag([-1.0, -1.0, 1.0])))
    assert there.trim == pytest.approx(-here.trim, abs=1e-8)
    assert there.heel == pytest.approx(-here.heel, abs=1e-8)
    assert there.metacentric_height == pytest.approx(here.metacentric_height, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(boats(lopsided=False), numbers(0.01, 0.2), numbers(0.05, 0.3))
def test_moving_lead_forward_never_raises_the_bow(boat: Boat, share: float, forward: float) -> None:
    before = at_rest(boat)
    moved = Boat(shell=boat.shell, mass=boat.mass, centre=boat.centre - np.array([share * forward, 0.0, 0.0]))
    after = at_rest(moved)
    assert after.draft_bow >= before.draft_bow - 1e-10
    assert after.trim <= before.trim + 1e-10


@settings(max_examples=60, deadline=None)
@given(boats(), numbers(0.01, 0.3), numbers(0.0, 1.0))
def test_adding_mass_never_lifts_the_place_where_it_is_put(boat: Boat, share: float, along: float) -> None:
    place = np.array([along * boat.shell.vertices[:, 0].max(), 0.0, 0.01])
    heavier = Boat(
        shell=boat.shell,
        mass=boat.mass * (1 + share),
        centre=(boat.centre + share * place) / (1 + share),
    )
    assert _depth(at_rest(heavier), place) >= _depth(at_rest(boat), place) - 1e-10


@settings(max_examples=60, deadline=None)
@given(boats(), numbers(-0.3, 0.3), numbers(-3.0, 3.0), numbers(0.0, 0.06))
def test_turning_the_axes_changes_nothing(boat: Boat, trim: float, heel: float, sinkage: float) -> None:
    there = displacement(boat.shell, sinkage=sinkage, trim=trim, heel=heel)
    turned_boat = turned(boat, by=water_axes(trim=trim, heel=heel))
    here = displacement(turned_boat.shell, sinkage=sinkage, trim=0.0, heel=0.0)
    assert here.volume == pytest.approx(there.volume, rel=1e-9, abs=1e-15)
    assert here.wet_area == pytest.approx(there.wet_area, rel=1e-9, abs=1e-12)
    if there.volume > 1e-9:
        assert here.centre_water == pytest.approx(there.centre_water, abs=1e-9)


def _depth(rest: Flotation, place: np.ndarray) -> float:
    up = water_axes(trim=rest.trim, heel=rest.heel)[2]
    assert abs(rest.heel) < math.radians(45)
    return rest.draft_bow - float(up @ place)

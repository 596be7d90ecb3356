"""Forces of whole pieces of a boat, read from the compiled model, beside the documented functions."""

import math

import numpy as np
import pytest

from factories import LEFT_ALONE, ROW, ask, forces_on, held, middle_row
from skimwright.boat import running_form
from skimwright.physics import blade, crosswind, friction
from skimwright.run import ensemble, stepping

DEGREE = math.pi / 180.0
CLEAR = {"sinkage": -0.5, "trim": 0.0}  # half a metre over the water: air alone, and no tunnel to speak of


@pytest.fixture
def boat(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"])  # nothing of it burns away
    return running_form(kits["fold-62"]), ensemble(question), middle_row(question, **LEFT_ALONE)


def read(ready, row, state, *, scene=None):
    rate, seen = stepping.rates(state, row, ready.strips[0], ready.count, scene or ready.scene, 5.0)
    force, moment = forces_on(row, rate)
    return force, moment, seen


def of_the_blade(ready, row, state):
    """With the blade less without it."""
    bare = row.copy()
    bare[ROW["blade_factor"]] = 0.0
    return [a - b for a, b in zip(read(ready, row, state)[:2], read(ready, bare, state)[:2], strict=True)]


@pytest.mark.parametrize("angle", [-12.0, -5.0, -1.0, 0.5, 3.0, 8.0, 12.0])
@pytest.mark.parametrize("speed", [2.0, 8.0])
def test_the_blade_pushes_as_documented(boat, angle, speed):
    _, ready, row = boat
    row[ROW["blade_yaw"]] = angle * DEGREE
    state = held(row, sinkage=0.0, trim=0.0, speed=speed)
    force, moment = of_the_blade(ready, row, state)
    depth = -ready.scene.blade_tip  # the pads at the water's level, the blade wet up to there
    expected = blade.side_coefficient(angle=angle * DEGREE, aspect=depth / ready.scene.blade_chord)
    push = 0.5 * ready.scene.water_density * speed**2 * depth * ready.scene.blade_chord
    # The short form leaves out a cosine of the cross-flow part: half a per cent at 12 degrees.
    assert force[1] == pytest.approx(-push * expected, rel=0.01)
    assert moment[2] == pytest.approx(-force[1] * (ready.scene.blade_x - row[ROW["xg"]]), rel=0.01)
    # its own drag, without the friction that is there with or without grip
    back = blade.drag_coefficient(angle=abs(angle) * DEGREE, side=abs(expected), friction=0.0)
    assert -force[0] == pytest.approx(push * back, rel=0.03)


@pytest.mark.parametrize("speed, can", [(0.4, False), (3.0, True)])
def test_air_can_stay_on_a_blade_only_above_a_depth_froude_number_of_three(boat, speed, can):
    _, ready, row = boat
    row[ROW["blade_yaw"]] = 10.0 * DEGREE
    _, _, seen = read(ready, row, held(row, sinkage=0.0, trim=0.0, speed=speed))
    depth = -ready.scene.blade_tip
    assert (speed / math.sqrt(9.80665 * depth) > blade.staying_froude(side=1.0)) == can
    assert seen[ready.count + 1, 0] == pytest.approx(10.0 * DEGREE if can else 0.0, rel=1e-6)


@pytest.mark.parametrize("across", [-3.0, -1.0, 0.5, 2.0])
@pytest.mark.parametrize("speed", [0.0, 4.0, 10.0])
def test_a_crosswind_pushes_hull_and_fin_as_documented(boat, across, speed):
    form, ready, row = boat
    row[ROW["wind_y"]] = across
    scene = ready.scene
    force, moment, _ = read(ready, row, held(row, **CLEAR, speed=speed))
    hull = crosswind.side_force(
        forward_speed=speed, cross_speed=across, side_area=form.side_area, slope=scene.side_slope,
        air_density=scene.air_density,
    )  # fmt: skip
    fin = crosswind.fin_force(
        forward_speed=speed, cross_speed=across, area=form.air_fin.area, height=form.air_fin.span,
        air_density=scene.air_density,
    )  # fmt: skip
    assert force[1] == pytest.approx(hull + fin, rel=0.02)
    turn = crosswind.yaw_moment(force=hull, force_x=form.side_centre[0], balance_x=row[ROW["xg"]])
    turn += crosswind.yaw_moment(force=fin, force_x=form.air_fin.centre[0], balance_x=row[ROW["xg"]])
    assert moment[2] == pytest.approx(turn, rel=0.03, abs=1e-4)


def test_blunt_ends_drag_with_the_square_of_the_air_speed(boat):
    _, ready, row = boat
    row[ROW["deck_factor"]] = row[ROW["tunnel_factor"]] = 0.0
    drags = [-read(ready, row, held(row, **CLEAR, speed=v))[0][0] for v in (5.0, 10.0)]
    assert drags[1] == pytest.approx(4.0 * drags[0], rel=1e-9)
    expected = 0.5 * ready.scene.air_density * 25.0 * ready.scene.front_area * row[ROW["drag_factor"]]
    assert drags[0] == pytest.approx(expected, rel=1e-9)


def test_a_surface_in_the_air_carries_nothing(boat):
    _, ready, row = boat
    _, _, seen = read(ready, row, held(row, **CLEAR, speed=8.0))
    assert (seen[: ready.count] == 0.0).all()


def test_weight_is_weight(boat):
    _, ready, row = boat
    force, _, _ = read(ready, row, held(row, **CLEAR), scene=ready.scene._replace(air_density=1e-30))
    np.testing.assert_allclose(force, [0, 0, row[ROW["mass"]] * 9.80665], atol=1e-12)


@pytest.mark.parametrize("speed", [4.0, 6.0, 10.0])
def test_a_skimming_floor_drags_its_load_times_its_slope_and_its_friction(boat, speed):
    # Savitsky's W tan(trim), and friction no more than a plate wholly turbulent at the full speed would have.
    _, ready, row = boat
    row[ROW["drag_factor"]] = row[ROW["tunnel_factor"]] = row[ROW["deck_factor"]] = row[
        ROW["blade_factor"]
    ] = 0.0
    force, _, seen = read(
        ready, row, held(row, sinkage=0.001, trim=2.0 * DEGREE, speed=speed),
        scene=ready.scene._replace(blade_chord=0.0),
    )  # fmt: skip
    loads = seen[: ready.count, 0]
    slopes = np.array([math.tan(math.asin(-c)) for c in ready.strips[0].reshape(ready.count, -1)[:, 5]])
    turned = (slopes + math.tan(2.0 * DEGREE)) / (1 - slopes * math.tan(2.0 * DEGREE))
    pressure = float(loads @ turned)
    left = -force[0] - pressure
    worst = friction.ittc(reynolds=1e4) * 0.5 * ready.scene.water_density * speed**2 * 0.62 * 0.35
    assert 0.0 < left < worst

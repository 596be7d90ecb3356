"""From a drawn hull to what the stepping reads: strips, device, scene, rows."""

import math

import numpy as np
import pytest

from factories import LEFT_ALONE, ROW, ask, attitude, forces_on, held, middle_row
from skimwright.base import InputError
from skimwright.boat import outer_shell, read_kit_table, running_form, with_measured
from skimwright.physics import hydrostatics, water
from skimwright.physics.thrust import thrust_table
from skimwright.pond import Conditions
from skimwright.run import ensemble, setup, stepping
from skimwright.run.forces import BY_LINE, BY_SPEED, BY_TIME, PER_STRIP, STRIP_ROWS
from skimwright.run.forecast import at_rest

STRIP = {name: place for place, name in enumerate(STRIP_ROWS)}
DEGREE = math.pi / 180.0


@pytest.fixture(params=["fold-50", "fold-62", "fold-74"])
def afloat(request, kits, devices):
    """A question, its runs, row 0 with nothing pushing, and its rest by the exact clipping."""
    question = ask(kits[request.param], devices["whirr-5"])
    ready = ensemble(question)
    row = middle_row(question, **LEFT_ALONE)
    body = with_measured(question.kit, question.built)
    rest, _ = at_rest(question, float(row[ROW["mass"]]), body.centre)
    return question, ready, row, rest


def strip_forces(ready, row, *, sinkage, trim, heel=0.0):
    rate, seen = stepping.rates(
        held(row, sinkage=sinkage, trim=trim, heel=heel), row, ready.strips[0], ready.count, ready.scene, 0.0
    )
    return seen[: ready.count, 0].sum(), forces_on(row, rate)[1]


def shell_forces(question, ready, row, *, sinkage, trim, heel=0.0):
    """Buoyancy, and its moments about the balance point's vertical: to heel starboard, to lift the bow."""
    wet = hydrostatics.displacement(outer_shell(question.kit), sinkage=sinkage, trim=trim, heel=heel)
    up = ready.scene.water_density * ready.scene.gravity * wet.volume
    axes = hydrostatics.water_axes(trim=trim, heel=heel)
    centre = axes @ np.array([row[ROW[name]] for name in ("xg", "yg", "zg")])
    aft, right = (wet.centre_water - centre)[:2]
    return up, -up * right, -up * aft


@pytest.mark.parametrize("deeper", [-0.004, 0.0, 0.004])
@pytest.mark.parametrize("more_trim", [-0.01, 0.0, 0.01])
def test_strips_carry_what_the_exact_clipping_says_within_one_per_cent(afloat, deeper, more_trim):
    question, ready, row, (sinkage, trim, _) = afloat
    pose = {"sinkage": sinkage + deeper, "trim": trim + more_trim}
    carried, moments = strip_forces(ready, row, **pose)
    up, _, lifts_bow = shell_forces(question, ready, row, **pose)
    assert carried == pytest.approx(up, rel=0.01)
    assert moments[1] == pytest.approx(lifts_bow, abs=0.01 * up * 0.1)


@pytest.mark.parametrize("heel", [-0.1, -0.03, 0.02, 0.1])
def test_a_heeled_boat_is_pushed_back_as_hard_as_the_clipping_says(afloat, heel):
    # Two strips for a floor and one for each foot, side by side: 4 % of the righting moment up to 6 degrees.
    question, ready, row, (sinkage, trim, _) = afloat
    carried, moments = strip_forces(ready, row, sinkage=sinkage, trim=trim, heel=heel)
    up, heels, _ = shell_forces(question, ready, row, sinkage=sinkage, trim=trim, heel=heel)
    assert carried == pytest.approx(up, rel=0.01)
    assert moments[0] == pytest.approx(heels, rel=0.04)


@pytest.mark.parametrize("dropped_from", [0.0, 0.005])
def test_left_alone_the_run_model_settles_where_the_boat_floats(afloat, dropped_from):
    _, ready, row, (sinkage, trim, _) = afloat
    row[ROW["start_z"]] -= dropped_from
    state = stepping.state_after(row, ready.strips[0], ready.count, ready.scene, 8.0)[:, 0]
    found_trim, found_heel, _ = attitude(state)
    xg, zg = row[ROW["xg"]], row[ROW["zg"]]
    found_sinkage = state[2] - xg * math.sin(found_trim) + zg * math.cos(found_trim)
    assert found_sinkage == pytest.approx(sinkage, abs=0.00015)  # an eighth of a millimetre
    assert found_trim == pytest.approx(trim, abs=0.02 * DEGREE)
    assert found_heel == pytest.approx(0.0, abs=1e-9)
    assert np.abs(state[7:]).max() < 1e-4


# ------------------------------------------------------------------------------------------------- strip geometry


def drawn_strips(
    form, *, pad_angle=(0, 0), pad_toe=(0, 0), pad_cant=(0, 0), floor_twist=0.0, centre=(0.3, 0, 0.05)
):
    flat = setup.strips(
        form, centre=np.array([centre], float), pad_angle=np.array([pad_angle], float),
        pad_toe=np.array([pad_toe], float), pad_cant=np.array([pad_cant], float),
        floor_twist=np.array([floor_twist], float),
    )  # fmt: skip
    names = setup.strip_names(form)
    return dict(zip(names, flat.reshape(len(names), PER_STRIP), strict=True))


@pytest.fixture(scope="module")
def form(kits):
    return running_form(kits["fold-62"])


def test_the_two_pads_come_first(form):
    assert setup.strip_names(form)[:2] == ("pad-left", "pad-right")


def test_strips_together_have_the_area_of_the_drawn_bottom(form):
    strips = drawn_strips(form)
    area = sum(row[STRIP["length"]] * row[STRIP["width"]] for row in strips.values())
    drawn = sum(np.linalg.norm(p.front - p.rear) * p.beam for p in form.plates)
    assert area == pytest.approx(drawn, rel=1e-12)


def test_every_strip_has_unit_directions_at_right_angles_and_a_normal_into_the_hull(form):
    tricky = drawn_strips(
        form, pad_angle=(0.02, -0.01), pad_toe=(0.03, 0.01), pad_cant=(0.02, -0.03), floor_twist=0.02
    )
    for row in tricky.values():
        chord, normal = row[3:6], row[6:9]
        assert np.linalg.norm(chord) == pytest.approx(1.0, rel=1e-12)
        assert np.linalg.norm(normal) == pytest.approx(1.0, rel=1e-12)
        assert chord @ normal == pytest.approx(0.0, abs=1e-12)
        assert normal[2] < 0.0  # z points down


def test_places_are_counted_from_the_balance_point_forward_starboard_and_down(form):
    row = drawn_strips(form, centre=(0.3, 0.01, 0.05))["pad-right"]
    pad = next(p for p in form.plates if p.name == "pad-right")
    expected = (0.3 - pad.rear[0], pad.rear[1] - 0.01, 0.05 - pad.rear[2])
    np.testing.assert_allclose(row[:3], expected, atol=1e-12)


def test_a_nose_up_pad_meets_the_water_more_steeply_by_just_that_angle(form):
    straight, up = drawn_strips(form)["pad-left"], drawn_strips(form, pad_angle=(0.01, 0))["pad-left"]

    def steepness(row):
        return math.asin(-row[STRIP["cz"]])

    assert steepness(up) - steepness(straight) == pytest.approx(0.01, rel=0.01)
    assert drawn_strips(form, pad_angle=(0.01, 0))["pad-right"] == pytest.approx(
        drawn_strips(form)["pad-right"]
    )


def test_a_pad_toed_to_starboard_points_its_front_there(form):
    row = drawn_strips(form, pad_toe=(0, 0.02))["pad-right"]
    assert math.atan2(row[STRIP["cy"]], row[STRIP["cx"]]) == pytest.approx(0.02, rel=0.01)


@pytest.mark.parametrize("side, pushed", [(0, 1.0), (1, -1.0)])
def test_a_pad_with_its_outer_edge_high_leans_its_push_toward_the_middle(form, side, pushed):
    cant = [0.0, 0.0]
    cant[side] = 0.05
    name = ("pad-left", "pad-right")[side]
    ny = drawn_strips(form, pad_cant=cant)[name][STRIP["ny"]]
    # The outer edge is raised, so the face looks down and outward; the water's push, into the hull, leans inward.
    assert ny == pytest.approx(pushed * math.sin(0.05), rel=0.02)


def test_a_twisted_floor_is_steeper_to_starboard(form):
    # floor_twist + means starboard's angle of attack is the greater
    twisted = drawn_strips(form, floor_twist=0.03)
    left, right = sorted(
        (row for name, row in twisted.items() if name.startswith("floor")), key=lambda r: r[1]
    )
    assert -right[STRIP["cz"]] > -left[STRIP["cz"]]


def test_swapping_left_and_right_mirrors_every_strip(form):
    one = drawn_strips(form, pad_angle=(0.01, 0.02), pad_toe=(0.03, -0.01), pad_cant=(0.02, 0.01),
                       floor_twist=0.02, centre=(0.3, 0.004, 0.05))  # fmt: skip
    two = drawn_strips(form, pad_angle=(0.02, 0.01), pad_toe=(0.01, -0.03), pad_cant=(0.01, 0.02),
                       floor_twist=-0.02, centre=(0.3, -0.004, 0.05))  # fmt: skip
    swap = {"left": "right", "right": "left", "0": "1", "1": "0"}
    sign = np.array([-1.0 if name in ("ay", "cy", "ny") else 1.0 for name in STRIP_ROWS])
    for name, row in one.items():
        start, _, end = name.replace("/", "-").rpartition("-")
        other = name[: len(start) + 1] + swap[end]
        np.testing.assert_allclose(two[other], row * sign, atol=1e-13, err_msg=name)


# ------------------------------------------------------------------------------------------------- scene and device


def made_scene(kit, device, **conditions):
    return setup.scene(
        running_form(kit), device=device, conditions=Conditions(**conditions), gate_distance=30.48
    )


def test_water_and_air_are_those_of_the_day(kits, devices):
    cold = made_scene(kits["fold-62"], devices["whirr-5"], water_temperature=278.15, air_temperature=278.15)
    warm = made_scene(kits["fold-62"], devices["whirr-5"], water_temperature=298.15, air_temperature=298.15)
    assert cold.water_density == water.density(temperature=278.15)
    assert cold.viscosity == pytest.approx(1.5182e-6, rel=1e-3)  # at 5 C, IAPWS 2008 as in ITTC 7.5-02-01-03
    assert cold.viscosity > warm.viscosity
    assert cold.air_density > warm.air_density


def test_each_kind_of_device_arrives_with_its_push(kits, devices):
    by = {
        stem: made_scene(kits["fold-62"], devices[stem]) for stem in ("whirr-5", "lantern-2", "hiss", "tug")
    }
    assert [s.device for s in by.values()] == [BY_SPEED, BY_TIME, BY_TIME, BY_LINE]
    assert (by["whirr-5"].thrust, by["whirr-5"].thrust_slope, by["whirr-5"].thrust_end) == (1.9, 0.045, 6.0)
    assert by["tug"].line_length == pytest.approx(6.0)  # 3 x 2.0 m of drop
    assert by["tug"].line_mass == pytest.approx(0.270 / 9)


@pytest.mark.parametrize("stem", ["lantern-1", "lantern-2", "lantern-4", "hiss"])
def test_a_timed_device_keeps_its_impulse_and_its_mass(kits, devices, stem):
    device, scene = devices[stem], made_scene(kits["fold-62"], devices[stem])
    impulse = float(np.trapezoid(scene.table, dx=scene.table_step))
    assert impulse == pytest.approx(device.law.total_impulse, rel=2e-3)
    assert scene.propellant == pytest.approx(device.charge)
    assert (scene.table_mass[0], scene.table_mass[-1]) == (0.0, pytest.approx(1.0))
    assert (np.diff(scene.table_mass) >= -1e-12).all()
    assert scene.table[-1] == 0.0
    assert len(scene.table) == len(thrust_table(device, scene.table_step).force) + 1


def test_a_boat_without_running_surfaces_is_told_so(kits, devices):
    table = {
        "name": "A lid on edge", "form": "own",
        "board": {"thickness_mm": 5, "areal_density_g_m2": 450},
        "thrust": {"place_mm": [50, 0, 20]},
        "parts": [{"name": "SIDE", "outline_mm": [[0, 0], [100, 0], [100, 50], [0, 50]], "turn_deg": [90, 0, 0]}],
    }  # fmt: skip
    kit = read_kit_table(table, file="lid.toml")
    with pytest.raises(InputError, match="no running surfaces"):
        made_scene(kit, devices["whirr-5"])


def test_rows_carry_half_the_water_soaked_up_and_inertia_that_follows_the_mass(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"], runs=200, mass=0.300, water_gain=0.004)
    rows, body = ensemble(question).rows, with_measured(question.kit, question.built)
    mass = rows[:, ROW["mass"]]
    assert mass[0] == pytest.approx(0.302)
    assert mass[1:].mean() == pytest.approx(0.302, abs=2e-4)
    np.testing.assert_allclose(rows[:, ROW["iyy"]] / mass, body.inertia[1, 1] / 0.300, rtol=1e-12)
    # the product of inertia changes sign with the axes: x and z both turn round, so it does not; the matrix
    # holds minus the product
    assert rows[0, ROW["ixz"]] * 0.300 / 0.302 == pytest.approx(-body.inertia[0, 2])

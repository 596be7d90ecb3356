"""What is true of every run, whatever the boat: mirrors, headings, energy, momentum, steps."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from factories import CALM, LEFT_ALONE, RESULT, ROW, ask, middle_row, runs_of
from skimwright.boat import running_form
from skimwright.physics import towline
from skimwright.pond import Conditions
from skimwright.run import ensemble, setup, stepping
from skimwright.run.forces import PER_STRIP, STRIP_ROWS

FEW = settings(max_examples=8, deadline=None, derandomize=True)
SIDEWAYS = (
    "yg", "thrust_y", "line_y", "blade_yaw", "wind_y", "ripple_y", "start_yaw", "start_yaw_rate", "start_heel"
)  # fmt: skip
DEGREE = math.pi / 180.0


def results_of(ready, rows, strips, scene=None):
    results = np.full((len(rows), len(RESULT)), np.nan)
    stepping.run_all(
        np.ascontiguousarray(rows), np.ascontiguousarray(strips), ready.count, scene or ready.scene, results,
        np.zeros((0, 1, 12)), np.zeros(0, dtype=np.int64), 0.1, 32,
    )  # fmt: skip
    return results


# -------------------------------------------------------------------------------------------------------- mirror


def mirrored(form, rows, strips):
    """Left for right: everything that points sideways changes its sign, every strip its side."""
    names = setup.strip_names(form)
    other = {"left": "right", "right": "left", "0": "1", "1": "0"}
    ends = [name.replace("/", "-").rpartition("-")[2] for name in names]
    places = [names.index(n[: -len(end)] + other[end]) for n, end in zip(names, ends, strict=True)]
    sign = np.array([-1.0 if name in ("ay", "cy", "ny") else 1.0 for name in STRIP_ROWS])
    rows = rows.copy()
    rows[:, [ROW[name] for name in SIDEWAYS]] *= -1.0
    table = strips.reshape(len(strips), len(names), PER_STRIP)[:, places] * sign
    return rows, table.reshape(strips.shape)


@pytest.mark.parametrize("kit, device", [("fold-74", "hiss"), ("fold-62", "tug"), ("fold-74", "lantern-1")])
def test_mirrored_boats_in_a_mirrored_wind_drift_the_same_way_mirrored(kits, devices, kit, device):
    # Gusts and ripples are on.  The sums run in another order, so the last digits may differ.
    question = ask(kits[kit], devices[device], runs=40, wind=2.0, wind_from=-60)
    ready = ensemble(question)
    one = results_of(ready, ready.rows, ready.strips)
    two = results_of(ready, *mirrored(running_form(kits[kit]), ready.rows, ready.strips))
    np.testing.assert_array_equal(one[:, 0], two[:, 0])
    off = np.abs(one[:, RESULT["y"]] + two[:, RESULT["y"]])
    assert np.quantile(off, 0.9) < 1e-12
    assert off.max() < 1e-6
    np.testing.assert_allclose(one[:, RESULT["x"]], two[:, RESULT["x"]], atol=1e-6)


def test_hopping_runs_mirror_too_until_chance_takes_over(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"], runs=60, wind=2.0, wind_from=-60)
    ready = ensemble(question)
    one = results_of(ready, ready.rows, ready.strips)
    two = results_of(ready, *mirrored(running_form(kits["fold-62"]), ready.rows, ready.strips))
    off = np.abs(one[:, RESULT["gate_drift"]] + two[:, RESULT["gate_drift"]])
    assert np.nanmedian(off) < 1e-9  # a hop makes a rounding error grow; most runs still keep nine digits
    assert np.nanmax(off) < 0.05


def test_a_boat_with_nothing_sideways_about_it_runs_dead_straight(kits, devices):
    row = middle_row(ask(kits["fold-62"], devices["whirr-5"]), **CALM)
    results, _ = runs_of(ask(kits["fold-62"], devices["whirr-5"]), row)
    assert abs(results[0, RESULT["y"]]) < 1e-6 * results[0, RESULT["x"]]


# ------------------------------------------------------------------------------------------------------- heading


@FEW
@given(turn=st.floats(-3.0, 3.0), wind_from=st.floats(-3.0, 3.0))
def test_turning_launch_line_and_wind_together_changes_nothing(kits, devices, turn, wind_from):
    question = ask(kits["fold-74"], devices["tug"], runs=20)
    day = Conditions(wind_speed=2.0, wind_from=wind_from)
    turned = Conditions(wind_speed=2.0, wind_from=wind_from + turn, heading=turn)
    one, two = (ensemble(replace(question, conditions=c)) for c in (day, turned))
    np.testing.assert_allclose(two.rows, one.rows, atol=1e-12)
    ends = [results_of(ready, ready.rows, ready.strips)[:, RESULT["y"]] for ready in (one, two)]
    np.testing.assert_allclose(*ends, atol=1e-6)


@FEW
@given(turn=st.floats(-3.1, 3.1), place=st.integers(0, 20))
def test_a_launch_turned_with_its_wind_and_ripples_takes_the_same_path_turned(kits, devices, turn, place):
    ready = ensemble(ask(kits["fold-62"], devices["hiss"], wind=2.0, wind_from=-60))
    row = ready.rows[place].copy()
    c, s = math.cos(turn), math.sin(turn)
    other = row.copy()
    for kind in ("wind", "ripple"):
        x, y = row[ROW[f"{kind}_x"]], row[ROW[f"{kind}_y"]]
        other[ROW[f"{kind}_x"]], other[ROW[f"{kind}_y"]] = c * x - s * y, s * x + c * y
    other[ROW["start_yaw"]] += turn
    one, two = (
        stepping.state_after(r, ready.strips[place], ready.count, ready.scene, 1.5)[:, 0]
        for r in (row, other)
    )
    expected = [c * one[0] - s * one[1], s * one[0] + c * one[1], one[2]]
    np.testing.assert_allclose(two[:3], expected, atol=1e-6)
    np.testing.assert_allclose(two[10:], one[10:], atol=1e-4)


# -------------------------------------------------------------------------------------- energy, ballistic flight


def body_of(row):
    ixx, iyy, izz, ixz = (row[ROW[name]] for name in ("ixx", "iyy", "izz", "ixz"))
    return row[ROW["mass"]], np.array([[ixx, 0, -ixz], [0, iyy, 0], [-ixz, 0, izz]])


def energy(row, state, gravity=9.80665):
    """Of moving, of turning, and of height over the water (z points down). [J]"""
    mass, inertia = body_of(row)
    turning = state[10:13] @ inertia @ state[10:13]
    return 0.5 * mass * state[7:10] @ state[7:10] + 0.5 * turning - mass * gravity * state[2]


def angular_momentum(row, state):
    _, inertia = body_of(row)
    e0, e1, e2, e3 = state[3:7]
    return Rotation.from_quat([e1, e2, e3, e0]).apply(inertia @ state[10:13])


@FEW
@given(
    speed=st.floats(2.0, 15.0),
    spin=st.floats(-25.0, 25.0),
    trim=st.floats(-1.2, 1.2),
    heel=st.floats(-3.0, 3.0),
)
def test_thrown_high_without_air_a_boat_keeps_its_energy_and_its_spin(kits, devices, speed, spin, trim, heel):
    question = ask(kits["fold-62"], devices["hiss"])
    ready = ensemble(question)
    empty = ready.scene._replace(air_density=1e-30, propellant=0.0)
    row = middle_row(
        question, **CALM, thrust_scale=0.0, start_speed=speed, start_yaw_rate=spin, start_trim=trim,
        start_heel=heel, start_z=-40.0,
    )  # fmt: skip
    # a little twist of the inertia, so that it tumbles in all three directions
    row[ROW["ixz"]] = 0.3 * row[ROW["ixx"]]
    states = [
        stepping.state_after(row, ready.strips[0], ready.count, empty, t)[:, 0] for t in (0.0, 0.7, 1.4)
    ]
    drop = 0.5 * 9.80665 * 1.4**2
    assert states[2][2] == pytest.approx(-40.0 + drop, abs=1e-9)
    assert states[2][0] == pytest.approx(speed * 1.4, rel=1e-9)
    # About 0.001 s a step; the fourth order's share of a spin of 25 rad/s is (0.03)^5 a step.
    for later in states[1:]:
        assert energy(row, later) == pytest.approx(energy(row, states[0]), rel=1e-7)
        np.testing.assert_allclose(
            angular_momentum(row, later),
            angular_momentum(row, states[0]),
            atol=1e-6 * abs(spin) * 0.01 + 1e-12,
        )


@FEW
@given(
    speed=st.floats(1.0, 12.0),
    trim=st.floats(-0.02, 0.05),
    yaw=st.floats(-0.1, 0.1),
    kit=st.sampled_from([50, 62, 74]),
)
def test_without_thrust_energy_never_grows_by_more_than_the_water_had_stored(
    kits, devices, speed, trim, yaw, kit
):
    # Calm air, level water.  The water pushed aside at the start is itself lifted: it can give back at most
    # the weight times the draft.  Everything else may only be lost.
    question = ask(kits[f"fold-{kit}"], devices["whirr-5"])
    ready = ensemble(question)
    row = middle_row(question, **LEFT_ALONE)
    row[ROW["start_speed"]] = speed
    row[ROW["start_trim"]] += trim
    row[ROW["start_yaw"]] = yaw
    stored = row[ROW["mass"]] * 9.80665 * 0.025
    past = [
        energy(row, stepping.state_after(row, ready.strips[0], ready.count, ready.scene, t)[:, 0])
        for t in np.concatenate([np.linspace(0.0, 1.0, 21), [1.5, 2.0, 3.0, 5.0]])
    ]
    least_so_far = np.minimum.accumulate(past)
    assert (np.array(past) - least_so_far).max() < stored
    assert past[-1] < past[0]


# ------------------------------------------------------------------------------------------- pushes and momentum


def empty_world(ready):
    """No water, no air, no weight to speak of: only the device is left."""
    return ready.scene._replace(water_density=1e-30, air_density=1e-30, gravity=1e-9)


def pushed(kits, devices, stem, time, **changed):
    question = ask(kits["fold-62"], devices[stem])
    ready = ensemble(question)
    row = middle_row(
        question, **CALM, start_speed=0.0, start_trim=0.0, start_heel=0.0, start_z=-0.05, thrust_y=0.0,
        thrust_z=0.0, thrust_x=0.0, line_x=1.0, line_y=0.0, line_z=0.0, **changed,
    )  # fmt: skip
    state = stepping.state_after(row, ready.strips[0], ready.count, empty_world(ready), time)[:, 0]
    return row[ROW["mass"]], state, ready.scene


@pytest.mark.parametrize("stem", ["lantern-1", "lantern-3", "hiss"])
@pytest.mark.parametrize("strength", [0.7, 1.0, 1.3])
def test_a_timed_push_gives_the_speed_its_impulse_pays_for(kits, devices, stem, strength):
    device = devices[stem]
    mass, state, scene = pushed(kits, devices, stem, 3.5, thrust_scale=strength)
    times = np.arange(len(scene.table)) * scene.table_step
    growing = np.trapezoid(scene.table / (mass - scene.propellant * scene.table_mass), times)
    assert state[7] == pytest.approx(strength * growing, rel=2e-3)
    low, high = (strength * device.law.total_impulse / m for m in (mass, mass - device.charge))
    assert low < state[7] < high


def test_a_push_that_lasts_longer_gives_more_in_proportion(kits, devices):
    plain, longer = (pushed(kits, devices, "lantern-2", 3.0, time_scale=f)[1][7] for f in (1.0, 1.2))
    assert longer / plain == pytest.approx(1.2, rel=1e-3)


def test_a_propeller_that_fades_with_speed_follows_its_exponential(kits, devices):
    # m dv/dt = T - k v: v = T/k (1 - exp(-k t/m)), until the timer
    mass, state, _ = pushed(kits, devices, "whirr-5", 2.0)
    assert state[7] == pytest.approx(1.9 / 0.045 * (1 - math.exp(-0.045 * 2.0 / mass)), rel=1e-6)
    after = [pushed(kits, devices, "whirr-5", t)[1][7] for t in (6.05, 7.0)]
    assert after[0] == pytest.approx(after[1], rel=1e-9)


def test_a_line_pulls_boat_and_weight_together(kits, devices):
    mass, state, scene = pushed(kits, devices, "tug", 0.6)
    pull = towline.boat_acceleration(law=devices["tug"].law, mass=float(mass), drag=0.0)
    assert state[7] == pytest.approx(pull * 0.6, rel=1e-4)
    assert state[0] < scene.line_length
    _, over, _ = pushed(kits, devices, "tug", 3.0)
    assert over[7] == pytest.approx(math.sqrt(2 * pull * scene.line_length), rel=5e-3)


@pytest.mark.parametrize("place", [0, 5, 11])
def test_forces_read_along_the_way_add_up_to_the_momentum_gained(kits, devices, place):
    ready = ensemble(ask(kits["fold-74"], devices["whirr-5"], wind=1.0, wind_from=-20))
    row, strip = ready.rows[place].copy(), ready.strips[place]
    row[ROW["ripple_size"]] = 0.0
    times = np.linspace(0.5, 1.5, 251)
    states = [stepping.state_after(row, strip, ready.count, ready.scene, t) for t in times]
    rates = [
        stepping.rates(s, row, strip, ready.count, ready.scene, t)[0]
        for s, t in zip(states, times, strict=True)
    ]
    summed = np.trapezoid([rate[7:13, 0] for rate in rates], times, axis=0)
    np.testing.assert_allclose(summed[:3], states[-1][7:10, 0] - states[0][7:10, 0], atol=5e-3)
    np.testing.assert_allclose(summed[3:], states[-1][10:13, 0] - states[0][10:13, 0], atol=0.05)


# -------------------------------------------------------------------------------------------------- steps, paths


@pytest.mark.parametrize(
    "kit, device, half, nearly_all",
    [("fold-74", "hiss", 0.002, 0.006), ("fold-62", "tug", 0.004, 0.012), ("fold-62", "whirr-5", 0.06, 0.6)],
)
def test_halving_the_step_moves_the_end_by_less_than_the_spread_by_far(
    kits, devices, kit, device, half, nearly_all
):
    # metres; half of the runs and 90 of a hundred.  The ranges these runs span are metres wide.
    ready, finer = (
        ensemble(ask(kits[kit], devices[device], runs=40, wind=1.0, wind_from=-60), finer=f) for f in (1, 2)
    )
    one, two = (results_of(r, r.rows, r.strips) for r in (ready, finer))
    moved = np.hypot(*(one[:, RESULT[c]] - two[:, RESULT[c]] for c in ("x", "y")))
    assert np.median(moved) < half
    assert np.quantile(moved, 0.9) < nearly_all


@pytest.mark.parametrize(
    "kit, device", [("fold-50", "whirr-7"), ("fold-62", "lantern-2"), ("fold-74", "tug")]
)
def test_a_boat_left_to_itself_in_calm_air_never_runs_backwards(kits, devices, kit, device):
    question = ask(kits[kit], devices[device])
    _, path = runs_of(question, middle_row(question, **CALM), lines=2000, period=0.01)
    assert (np.diff(path[:, 1]) > -1e-6).all()
    assert (path[:, 3] < 0.25).all()  # height of the balance point: it runs on the water, not over it

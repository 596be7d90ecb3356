"""What pushes: curves keep their impulse, devices read back, and wrong units are asked about."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from skimwright.base import InputError
from skimwright.physics import thrust

DEVICES = Path(thrust.__file__).parents[1] / "demo_season" / "devices"
WHIRR = {
    "name": "Whirr 5",
    "kind": "propeller",
    "loaded_mass_g": 62,
    "law": {"static_thrust_n": 1.9, "thrust_lost_n_s_per_m": 0.045, "timer_s": 6},
}
MOTOR = {
    "name": "Lamp",
    "kind": "motor",
    "loaded_mass_g": 19,
    "spent_mass_g": 12.4,
    "law": {"total_impulse_n_s": 4.6, "burn_time_s": 1.2, "peak_thrust_n": 9},
}


def read(name):
    return thrust.read_device_table(tomllib.loads((DEVICES / name).read_text("utf8")), file=name)


# Curves


def test_test_curve_is_class_b():
    """The published-table row curve_class."""
    times, forces = np.array([0, 0.10, 0.25, 0.60, 0.70]), np.array([0, 12.0, 6, 5, 0])
    assert thrust.measure_curve(times, forces).letter_class == "B"


@pytest.mark.parametrize(
    "impulse, letter",
    [
        (0.5, "quarter A"),
        (1.25, "half A"),
        (2.5, "A"),
        (2.504, "A"),
        (2.51, "B"),
        (160.0, "G"),
        (200.0, "above G"),
    ],
)
def test_letters_meet_at_their_printed_limits(impulse, letter):
    assert thrust.letter_class(total_impulse=impulse) == letter


@pytest.mark.parametrize(
    "impulse, burn, peak", [(2.3, 0.75, 7), (4.6, 1.2, 9), (9.0, 2.1, 11), (17, 2.6, 16)]
)
def test_stand_in_motor_gives_its_three_figures_back(impulse, burn, peak):
    curve = thrust.motor_curve(total_impulse=impulse, burn_time=burn, peak_thrust=peak)
    found = thrust.measure_curve(np.array(curve.times), np.array(curve.forces))
    assert found.total_impulse == pytest.approx(impulse)
    assert found.burn_time == pytest.approx(burn)
    assert found.peak_thrust == peak


def test_figures_that_do_not_fit_together_are_refused():
    with pytest.raises(InputError, match=r"a peak from 3\.8 N"):
        thrust.motor_curve(total_impulse=4.6, burn_time=1.2, peak_thrust=2.0)
    with pytest.raises(InputError, match="do not fit together"):
        thrust.motor_curve(total_impulse=4.6, burn_time=1.2, peak_thrust=40.0)


@given(dt=st.floats(0.001, 0.5), burn=st.floats(0.2, 4.0), impulse=st.floats(0.5, 20.0))
def test_resampling_keeps_the_impulse_whatever_the_step(dt, burn, impulse):
    curve = thrust.motor_curve(total_impulse=impulse, burn_time=burn, peak_thrust=2 * impulse / burn)
    forces = thrust.resample(curve, dt)
    assert np.trapezoid(forces, dx=dt) == pytest.approx(impulse, rel=1e-9)
    assert forces[-1] == pytest.approx(0.0, abs=1e-9)
    assert (forces >= -1e-9).all()


def test_impulse_until_now_is_the_area_so_far():
    curve = thrust.Curve(times=(0.0, 1.0, 1.0, 3.0), forces=(4.0, 4.0, 1.0, 0.0))
    assert curve.impulse_until(np.array([-1.0, 0.5, 1.0, 2.0, 9.0])).tolist() == pytest.approx(
        [0.0, 2.0, 4.0, 4.75, 5.0]
    )


def test_fading_push_gives_its_impulse_back():
    curve = thrust.fading_curve(start_thrust=2.6, duration=2.4, total_impulse=2.0)
    assert curve.total_impulse == pytest.approx(2.0)
    assert curve.forces[0] == pytest.approx(2.6, rel=0.01)
    assert thrust.fading_curve(start_thrust=2.0, duration=1.0, total_impulse=2.0).total_impulse == 2.0
    with pytest.raises(InputError, match=r"up to 6\.24 N s"):
        thrust.fading_curve(start_thrust=2.6, duration=2.4, total_impulse=7.0)


def test_times_that_go_back_are_refused():
    with pytest.raises(InputError, match="do not go back"):
        thrust.Curve(times=(0.0, 1.0, 0.5), forces=(0.0, 1.0, 0.0))


# Recordings


def rows(*lines, heading="time_s,force_n"):
    return [line.split(",") for line in (heading, *lines)]


def test_a_recording_is_read_with_columns_in_any_order_and_blank_rows():
    curve = thrust.read_thrust_recording(
        rows("0,2.0", "", "4,2.5", "0,3.0", heading="force_n,time_s"), file="s"
    )
    assert curve.times == (0.0, 0.5, 1.0)
    assert curve.total_impulse == pytest.approx(2.0)


def test_unknown_units_are_refused_with_the_greatest_value_shown():
    with pytest.raises(InputError, match=r"force_gf \(greatest value 900\)"):
        thrust.read_thrust_recording(rows("0,0", "1,900", heading="time_s,force_gf"), file="stand.csv")


def test_gram_force_under_a_newton_heading_is_asked_about():
    with pytest.raises(InputError, match=r"got 900 N.*8\.83 N"):
        thrust.read_thrust_recording(rows("0,0", "1,900", "2,0"), file="stand.csv")
    with pytest.raises(InputError, match="kilonewtons"):
        thrust.read_thrust_recording(rows("0,0", "1,0.009", "2,0"), file="stand.csv")


@pytest.mark.parametrize(
    "lines, words",
    [
        (("0,0", "1;5,3", "2,0"), 'row 3, time_s: Not a number: got "1;5"'),
        (("0,0", "1,", "2,0"), "row 3, force_n: Not a number: got an empty cell"),
        (("0,0", "2,3", "1,0"), "row 4, time_s: Time goes back: got 1 s after 2 s"),
        (("0,0",), "two rows or more"),
        (("0,0", "1,nan", "2,0"), "Not a number"),
    ],
)
def test_bad_rows_are_named(lines, words):
    with pytest.raises(InputError) as caught:
        thrust.read_thrust_recording(rows(*lines), file="stand.csv")
    assert words in str(caught.value)


def test_a_stand_that_pushes_the_wrong_way_round_is_refused():
    with pytest.raises(InputError, match="right way round"):
        thrust.measure_curve(np.array([0.0, 1.0, 2.0]), np.array([0.0, -3.0, 0.0]))


# Gas, propeller, towline


def test_cartridge_push_stays_under_its_ceiling():
    curve = thrust.cartridge_curve(charge=0.012, start_thrust=2.6)
    assert curve.total_impulse < thrust.ceiling_impulse(charge=0.012)
    assert curve.forces[0] == pytest.approx(2.6)


def test_warm_cartridges_push_harder_also_outside_the_table():
    pressures = [thrust.saturation_pressure(temperature=t) for t in (263.15, 273.15, 288.15, 303.15, 308.15)]
    assert pressures == sorted(pressures)
    assert thrust.gas_envelope(temperature=308.15)[0].code == "gas-warmth"


def test_propeller_thrust_falls_to_nothing_and_stops_with_its_timer():
    law = thrust.PropellerLaw(static_thrust=1.9, thrust_lost=0.045, timer=6.0)
    assert thrust.propeller_thrust(law=law, time=0.0, speed=0.0) == 1.9
    assert thrust.propeller_thrust(law=law, time=0.0, speed=100.0) == 0.0
    assert thrust.propeller_thrust(law=law, time=6.0, speed=0.0) == 0.0


def test_disc_at_rest_and_disc_hardly_moving_agree():
    still = thrust.static_thrust(diameter=0.127, power=30.0, merit=1.0, air_density=1.225)
    power = thrust.shaft_power(thrust=still, speed=1e-6, diameter=0.127, efficiency=1.0, air_density=1.225)
    assert power == pytest.approx(30.0, rel=1e-5)


def test_pulleys_cost_a_tenth_a_pair():
    law = thrust.TowlineLaw(falling_mass=0.27, ratio=3.0, drop=2.0)
    assert law.steady_tension == pytest.approx(0.9 * 0.27 * 9.80665 / 3)
    assert law.steady_tension == pytest.approx(0.80, abs=0.006)  # the demonstration's Tug
    assert law.reach == 6.0


def test_a_boat_held_back_by_the_steady_tension_does_not_speed_up():
    law = thrust.TowlineLaw(falling_mass=0.27, ratio=3.0, drop=2.0)
    assert thrust.boat_acceleration(law=law, mass=0.17, drag=law.steady_tension) == pytest.approx(0.0)
    assert thrust.line_tension(law=law, mass=0.17, drag=-50.0) == 0.0  # blown along


def test_speed_is_the_slope_of_distance():
    case = {"thrust": 6.0, "drag_factor": 0.05, "mass": 0.30}
    ahead, behind = (thrust.run_distance(**case, time=0.5 + s) for s in (1e-5, -1e-5))
    assert (ahead - behind) / 2e-5 == pytest.approx(thrust.run_speed(**case, time=0.5), rel=1e-8)
    assert thrust.run_distance(**case, time=400.0) == pytest.approx(
        thrust.run_distance(**case, time=399.0) + thrust.run_speed(**case, time=400.0), rel=1e-9
    )


# Devices


def test_demonstration_devices_are_as_drawn():
    assert {path.stem for path in DEVICES.glob("*.toml")} == {
        "tug", "whirr-5", "whirr-7", "hiss", "lantern-1", "lantern-2", "lantern-3", "lantern-4",
    }  # fmt: skip
    for number, letter in enumerate("ABCD", start=1):
        lantern = read(f"lantern-{number}.toml")
        assert lantern.letter_class == letter
        assert lantern.needs_permission
        assert thrust.permission_is_needed(lantern)
    assert read("hiss.toml").law.total_impulse == pytest.approx(3.1)
    assert read("hiss.toml").charge == pytest.approx(0.012)
    assert not thrust.envelope(read("hiss.toml"))
    assert read("whirr-7.toml").peak_thrust == 2.7
    assert read("tug.toml").peak_thrust == pytest.approx(0.80, abs=0.006)


@pytest.mark.parametrize("name", sorted(path.name for path in DEVICES.glob("*.toml")))
def test_every_device_reads_back_from_its_own_table(name):
    device = read(name)
    assert thrust.read_device_table(thrust.device_table(device), file=name) == device


@pytest.mark.parametrize("name", ["hiss.toml", "lantern-3.toml"])
def test_device_mass_runs_from_loaded_to_spent(name):
    device = read(name)
    table = thrust.thrust_table(device, 0.001)
    assert table.mass[0] == pytest.approx(device.loaded_mass)
    assert table.mass[-1] == pytest.approx(device.spent_mass)
    assert (np.diff(table.mass) <= 1e-15).all()
    assert np.trapezoid(table.force, dx=0.001) == pytest.approx(device.law.total_impulse)


def test_devices_that_follow_the_boat_have_no_table():
    with pytest.raises(InputError, match="depends on the boat"):
        thrust.thrust_table(read("tug.toml"), 0.001)


@pytest.mark.parametrize(
    "change, words",
    [
        ({"kind": "rocket"}, 'whirr.toml, kind: The kind of device: got "rocket"; allowed: motor'),
        ({"kind": ["motor"]}, "whirr.toml, kind"),
        ({"name": " "}, "whirr.toml, name"),
        ({"loaded_mass_g": "62"}, "loaded_mass_g: A number is needed: got 62"),
        ({"loaded_mass_g": True}, "loaded_mass_g"),
        ({"loaded_mass_g": -1}, "got -1; allowed: a number, 0 or more up to 2000"),
        ({"spent_mass_g": 70}, "a spent device cannot weigh more"),
        ({"thrust_gf": 190}, "gram-force x 0.00981"),
        ({"colour": "red"}, "Correct the spelling"),
        ({"law": 3}, "a part headed [law]"),
        ({"law": {"static_thrust_n": 1.9}}, "[law] thrust_lost_n_s_per_m: A number is needed: got nothing"),
        ({"law": {**WHIRR["law"], "static_thrust_n": 190}}, "hard to believe: got 190 N"),
        ({"law": {**WHIRR["law"], "timer_s": 0}}, "Timer: got 0"),
        ({"law": {**WHIRR["law"], "timer_s": float("nan")}}, "got nan"),
        ({"needs_permission": "no"}, "true or false"),
        ({"spread": {"impulse": 10}}, "[spread] impulse"),
    ],
)
def test_a_wrong_device_file_says_where_and_what(change, words):
    with pytest.raises(InputError) as caught:
        thrust.read_device_table({**WHIRR, **change}, file="whirr.toml")
    assert words in str(caught.value)


def test_a_motor_cannot_be_let_off_permission():
    assert thrust.read_device_table(MOTOR, file="lamp.toml").needs_permission
    with pytest.raises(InputError, match="true for every solid motor"):
        thrust.read_device_table({**MOTOR, "needs_permission": False}, file="lamp.toml")


def test_gram_force_in_a_motor_file_is_asked_about_before_anything_else():
    law = {**MOTOR["law"], "peak_thrust_n": 917}
    with pytest.raises(InputError, match=r"\[law\] peak_thrust_n.*8\.99 N"):
        thrust.read_device_table({**MOTOR, "law": law}, file="lamp.toml")


def test_a_motor_may_be_given_by_its_recording():
    law = {"times_s": [0, 0.1, 1.0], "thrust_n": [0, 9, 0]}
    device = thrust.read_device_table({**MOTOR, "law": law}, file="lamp.toml")
    assert device.law.total_impulse == pytest.approx(4.5)
    with pytest.raises(InputError, match=r"\[law\]: Thrust curve: got 3 times and 2 thrusts"):
        thrust.read_device_table({**MOTOR, "law": {**law, "thrust_n": [0, 9]}}, file="lamp.toml")
    with pytest.raises(InputError, match="A list of numbers"):
        thrust.read_device_table({**MOTOR, "law": {**law, "thrust_n": "9"}}, file="lamp.toml")


def test_gas_that_claims_more_than_its_charge_is_named():
    table = {
        "name": "Puff",
        "kind": "gas",
        "loaded_mass_g": 30,
        "spent_mass_g": 28,
        "law": {"start_thrust_n": 2.6, "duration_s": 2.4},
    }
    (found,) = thrust.envelope(thrust.read_device_table(table, file="puff.toml"))
    assert found.code == "gas-too-good"

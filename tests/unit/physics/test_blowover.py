"""Blowing over: the levers pull the right way, and speed goes with the root of mass."""

from dataclasses import replace
from math import inf, pi, radians, sqrt

import pytest

from skimwright.base import InputError
from skimwright.physics import blowover

BOAT = blowover.AirForm(
    mass=0.30,
    balance_x=0.42,
    balance_z=0.04,
    contact_x=0.68,
    deck_area=0.21,
    deck_beam=0.30,
    deck_length=0.70,
    tunnel_width=0.20,
    tunnel_length=0.30,
    tunnel_front=0.10,
    exit_gap=0.030,
    leak=0.5,
)
CASE = {
    "mass": 0.3,
    "cg_ahead": 0.26,
    "cg_height": 0.04,
    "lift_area": 0.03,
    "lift_ahead": 0.46,
    "drag_area": 0.01,
    "drag_height": 0.05,
    "thrust": 6.0,
    "thrust_height": 0.09,
    "water_drag": 0.8,
    "boat_speed": 8.0,
    "headwind": 1.0,
    "gust": 2.0,
    "air_density": 1.225,
}


def speed(boat, degrees=4.0):
    return blowover.critical_speed(boat, trim=radians(degrees), air_density=1.225)


def test_margin_is_nothing_at_the_unload_speed():
    found = blowover.unload_speed(mass=0.3, cg_ahead=0.26, lift_area=0.03, lift_ahead=0.46, air_density=1.2)
    lift = 0.5 * 1.2 * found**2 * 0.03
    left = blowover.margin(weight=0.3 * blowover.GRAVITY, cg_ahead=0.26, lift=lift, lift_ahead=0.46)
    assert left == pytest.approx(0.0, abs=1e-12)


def test_margin_at_the_critical_speed_of_the_model_is_nothing():
    left = blowover.form_margin(BOAT, trim=radians(4.0), air_speed=speed(BOAT), air_density=1.225)
    assert left == pytest.approx(0.0, abs=1e-12)


def test_critical_speed_goes_with_the_root_of_mass():
    assert speed(replace(BOAT, mass=0.60)) == pytest.approx(sqrt(2) * speed(BOAT))


def test_what_a_crew_can_do_helps():
    assert speed(replace(BOAT, balance_x=0.40)) > speed(BOAT)  # balance forward
    assert speed(BOAT, 3.0) > speed(BOAT, 4.0)  # less trim
    assert speed(replace(BOAT, leak=1.0)) > speed(BOAT)  # leakier tunnel


def test_high_thrust_line_holds_the_bow_down_and_a_gust_costs_margin():
    found = blowover.margins(**CASE)
    assert found.thrust_on > found.thrust_off > found.gust == found.worst


def test_low_tow_line_lifts_the_bow():
    found = blowover.margins(**{**CASE, "thrust_height": 0.01})
    assert found.thrust_on < found.thrust_off


def test_no_lift_means_no_limit():
    found = blowover.unload_speed(mass=0.3, cg_ahead=0.26, lift_area=-0.01, lift_ahead=0.46, air_density=1.2)
    assert found == inf
    assert blowover.margin(weight=3.0, cg_ahead=0.26, lift=0.0, lift_ahead=0.46) == inf


def test_slow_air_flips_nothing_and_faster_air_flips_sooner():
    def angle(v):
        return blowover.flip_angle(
            air_speed=v,
            mass=0.30,
            deck_area=0.21,
            deck_beam=0.30,
            deck_length=0.70,
            contact_x=0.68,
            cg_ahead=0.26,
            cg_height=-0.05,
            air_density=1.225,
        )

    assert angle(0.5) == pi / 2
    assert angle(7.0) > angle(9.0) > angle(12.0)


@pytest.mark.parametrize(
    "margin, degrees, colour",
    [(0.6, 7, "green"), (0.6, 5, "amber"), (0.2, 9, "amber"), (0.1, 9, "red")],
)
def test_lamp(margin, degrees, colour):
    assert blowover.lamp(margin=margin, angle_left=radians(degrees)) == colour


def test_impossible_boats_are_refused():
    with pytest.raises(InputError, match="Mass"):
        blowover.margins(**{**CASE, "mass": 0.0})
    with pytest.raises(InputError, match="Balance point ahead of the rear contact"):
        blowover.unload_speed(mass=0.3, cg_ahead=-0.1, lift_area=0.03, lift_ahead=0.46, air_density=1.2)


def test_envelope_warns_within_a_fifth_of_the_limit():
    near = blowover.envelope(trim=0.07, air_speed=8.5, critical_air_speed=10.0)
    assert near[0].code == "blowover-near"
    assert "8.5 m/s" in near[0].what
    assert "10.0 m/s" in near[0].what
    assert (
        blowover.envelope(trim=radians(20.0), air_speed=5.0, critical_air_speed=10.0)[0].code
        == "blowover-trim"
    )


def test_braking_by_the_water_holds_the_bow_down_through_inertia():
    """Water drags at z = 0 and has no lever; the slowing mass above it has."""
    hard, soft = (blowover.margins(**{**CASE, "water_drag": d}).thrust_off for d in (1.6, 0.8))
    lift = 0.5 * 1.225 * 9.0**2 * CASE["lift_area"] * CASE["lift_ahead"]
    assert hard - soft == pytest.approx(0.8 * CASE["cg_height"] / lift, rel=1e-9)

"""Crosswind: mirror, levers, and why the straight term must be there."""

import pytest

from skimwright.base import InputError
from skimwright.physics import crosswind

SIDE = {"side_area": 0.05, "slope": 0.4, "air_density": 1.225}


def test_mirrored_wind_gives_mirrored_force():
    for speed in (0.3, 2.0, 6.0):
        right = crosswind.side_force(forward_speed=8.0, cross_speed=speed, **SIDE)
        left = crosswind.side_force(forward_speed=8.0, cross_speed=-speed, **SIDE)
        assert right == -left > 0


def test_a_light_breeze_on_a_fast_boat_is_felt_in_proportion():
    weak, twice = (crosswind.side_force(forward_speed=8.0, cross_speed=v, **SIDE) for v in (0.01, 0.02))
    assert twice == pytest.approx(2 * weak, rel=0.01)


def test_fin_and_hull_push_the_way_the_wind_blows():
    fin = crosswind.fin_force(
        forward_speed=8.0, cross_speed=-1.0, area=0.0064, height=0.08, air_density=1.225
    )
    assert fin < 0


def test_fin_force_is_zero_in_still_air():
    assert crosswind.fin_force(
        forward_speed=0.0, cross_speed=0.0, area=0.0064, height=0.08, air_density=1.2
    ) == pytest.approx(0.0)


def test_a_fin_behind_the_balance_point_turns_the_bow_into_the_wind():
    wind_to_starboard = 1.0  # so the wind comes from port
    moment = crosswind.yaw_moment(force=wind_to_starboard, force_x=0.6, balance_x=0.35)
    assert moment < 0  # bow to port, into it


def test_a_push_above_the_pads_heels_away_from_the_wind():
    assert crosswind.roll_moment(force=1.0, force_z=0.06) > 0
    assert crosswind.roll_moment(force=1.0, force_z=0.06, pivot_z=0.06) == 0.0


def test_hull_slope_grows_with_height():
    low, high = (crosswind.hull_slope(side_height=h, side_area=0.05) for h in (0.05, 0.10))
    assert high > low > 0


def test_impossible_sides_are_refused():
    with pytest.raises(InputError, match="Side area"):
        crosswind.side_force(forward_speed=1.0, cross_speed=1.0, side_area=-0.1, slope=0.4, air_density=1.2)


def test_envelope_speaks_of_slip_only_when_the_boat_runs():
    assert crosswind.envelope(forward_speed=1.0, cross_speed=3.0) == ()
    assert crosswind.envelope(forward_speed=5.0, cross_speed=3.0)[0].code == "crosswind-slip"

"""The hump: limits and blends.  No outside evidence exists for its strength, and none is claimed."""

from itertools import pairwise
from math import radians, tan

import pytest

from skimwright.base import InputError
from skimwright.physics import hump


@pytest.mark.parametrize(
    "froude, expected",
    [((0.39, 0.49, 0.99), "floating"), ((0.4, 0.5, 1.0), "hump"), ((1.0, 1.5, 3.0), "planing")],
)
def test_regimes_turn_at_the_printed_limits(froude, expected):
    """rad14_*: Radojcic et al. 2014, introduction: 0.4, 0.5, 1 and 1, 1.5, 3."""
    length, beam, volume = froude
    assert hump.regime(length_froude=length, beam_froude=beam, volume_froude=volume) == expected


def test_two_rules_outvote_the_third():
    assert hump.regime(length_froude=1.2, beam_froude=1.6, volume_froude=2.0) == "planing"
    assert hump.regime(length_froude=0.3, beam_froude=0.4, volume_froude=1.5) == "floating"


def test_waves_as_long_as_the_boat_travel_at_hull_speed():
    """A wave of 0.6 m runs at sqrt(9.80665 x 0.6/(2 pi)) = 0.968 m/s: any book on waves."""
    assert hump.wave_froude(wave_ratio=1.0) * (9.80665 * 0.6) ** 0.5 == pytest.approx(0.968, abs=0.0005)


def test_the_guess_is_half_grown_at_its_mark_and_never_falls():
    assert hump.residuary_ratio(length_froude=0.45, strength=0.2) == pytest.approx(0.1)
    grown = [hump.residuary_ratio(length_froude=0.01 * n) for n in range(300)]
    assert all(a <= b for a, b in pairwise(grown))
    assert grown[0] == 0.0
    assert grown[-1] < hump.STRENGTH


@pytest.mark.parametrize("share, low, high", [("length_froude", 0.4, 1.0), ("speed_coefficient", 0.6, 1.0)])
def test_blends_run_from_nought_to_one_without_corner(share, low, high):
    law = hump.planing_share if share == "length_froude" else hump.lift_share
    values = [law(**{share: low + (high - low) * n / 100}) for n in range(-20, 121)]
    assert values[:21] == [0.0] * 21
    assert values[120:] == pytest.approx([1.0] * 21)
    slopes = [b - a for a, b in pairwise(values)]
    assert min(slopes) >= 0
    assert max(abs(b - a) for a, b in pairwise(slopes)) < 1e-3


def test_lift_is_never_the_sum_of_buoyancy_and_planing():
    for cv in (0.0, 0.7, 0.8, 0.95, 3.0):
        force = hump.blended_lift(buoyancy=2.0, planing_lift=1.6, speed_coefficient=cv)
        assert 1.6 <= force <= 2.0
    assert hump.blended_lift(buoyancy=2.0, planing_lift=1.6, speed_coefficient=0.5) == 2.0
    assert hump.blended_lift(buoyancy=2.0, planing_lift=1.6, speed_coefficient=1.0) == pytest.approx(1.6)


def test_drag_is_waves_below_the_hump_and_slope_above():
    boat = {"load": 3.0, "trim": 0.07, "friction_drag": 0.1}
    slow = hump.blended_drag(**boat, floating_load=3.0, length_froude=0.4)
    assert slow == pytest.approx(0.1 + 3.0 * hump.residuary_ratio(length_froude=0.4))
    fast = hump.blended_drag(**boat, floating_load=3.0, length_froude=1.0)
    assert fast == pytest.approx(0.1 + 3.0 * tan(0.07))


def test_the_weakest_and_strongest_guess_are_a_wide_band():
    low, high = (
        hump.blended_drag(
            load=3.0, trim=0.07, friction_drag=0.1, floating_load=3.0, length_froude=0.5, strength=k
        )
        for k in (hump.WEAKEST, hump.STRONGEST)
    )
    assert high > 2 * low


def test_below_two_degrees_and_above_four_the_inception_is_held():
    assert hump.inception_froude(trim=radians(1)) == 2.0
    assert hump.inception_froude(trim=radians(9)) == 1.0


@pytest.mark.parametrize("law", [hump.residuary_ratio, hump.planing_share])
def test_running_backwards_is_refused(law):
    with pytest.raises(InputError, match="0 or more"):
        law(length_froude=-0.1)


def test_a_boat_on_the_hump_is_told_that_its_drag_is_a_guess():
    assert "guess" in hump.envelope(length_froude=0.6)[0].why
    assert hump.envelope(length_froude=1.5) == ()


@pytest.mark.parametrize("law, low", [(hump.planing_share, 0.4), (hump.lift_share, 0.6)])
def test_a_blend_is_half_way_in_the_middle(law, low):
    name = "length_froude" if law is hump.planing_share else "speed_coefficient"
    assert law(**{name: (low + 1.0) / 2}) == pytest.approx(0.5, abs=1e-12)
    assert law(**{name: low + 0.01}) > 0.0


def test_inception_goes_straight_from_two_degrees_to_four():
    assert hump.inception_froude(trim=radians(3)) == pytest.approx(1.5)

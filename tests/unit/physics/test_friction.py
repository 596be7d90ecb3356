"""Friction: limits, order and refusals; values stand in tests/published/water.csv."""

from math import log10

import pytest

from skimwright.base import InputError
from skimwright.physics import friction

PADS = (1e4, 5e4, 1e5, 2e5, 4e5)


@pytest.mark.parametrize("reynolds", [1e4, 3e5, 1e7, 1e9])
def test_schoenherrs_number_solves_schoenherrs_equation(reynolds):
    c = friction.schoenherr(reynolds=reynolds)
    assert 0.242 / c**0.5 == pytest.approx(log10(reynolds * c), rel=1e-12)


def test_the_two_turbulent_lines_agree_for_ships():
    for reynolds in (1e7, 1e8, 1e9):
        assert friction.ittc(reynolds=reynolds) == pytest.approx(
            friction.schoenherr(reynolds=reynolds), rel=0.025
        )


def test_laminar_and_turbulent_part_by_the_factor_the_reference_names():
    for reynolds, factor in ((5e4, 1.7), (2e5, 2.3)):
        ratio = friction.ittc(reynolds=reynolds) / friction.blasius(reynolds=reynolds)
        assert ratio == pytest.approx(factor, abs=0.05)


def test_the_two_transitional_lines_agree_within_five_per_cent():
    for reynolds in (1e6, 3e6, 1e7):
        assert friction.transitional_old(reynolds=reynolds) == pytest.approx(
            friction.transitional(reynolds=reynolds), rel=0.05
        )


def test_a_short_plate_has_not_turned_turbulent():
    for law in (friction.transitional, friction.transitional_old):
        assert law(reynolds=1e5) == friction.blasius(reynolds=1e5)


@pytest.mark.parametrize("reynolds", PADS)
def test_the_mixture_lies_between_its_two_lines(reynolds):
    ends = [friction.mixed(reynolds=reynolds, turbulence=k) for k in (0.0, 0.5, 1.0)]
    assert ends[0] == friction.blasius(reynolds=reynolds)
    assert ends[2] == friction.ittc(reynolds=reynolds)
    assert ends[1] == pytest.approx((ends[0] + ends[2]) / 2)


def test_below_the_floors_the_value_is_held():
    assert friction.blasius(reynolds=1.0) == friction.blasius(reynolds=1e3)
    assert friction.ittc(reynolds=99.0) == friction.ittc(reynolds=1e4)
    assert friction.schoenherr(reynolds=10.0) == friction.schoenherr(reynolds=1e4)


@pytest.mark.parametrize("law", [friction.blasius, friction.ittc, friction.schoenherr, friction.transitional])
def test_no_reynolds_number_no_friction(law):
    with pytest.raises(InputError, match="Reynolds"):
        law(reynolds=0.0)


@pytest.mark.parametrize("turbulence", [-0.1, 1.1, float("nan")])
def test_a_mixture_of_more_than_all_is_refused(turbulence):
    with pytest.raises(InputError, match=r"0 \(smooth"):
        friction.mixed(reynolds=1e5, turbulence=turbulence)


def test_only_a_slow_start_is_a_finding():
    assert friction.envelope(reynolds=2e5) == ()
    assert friction.envelope(reynolds=2e3)[0].code == "friction-reynolds"


def test_before_any_trial_a_pad_is_half_way():
    middle = friction.mixed(reynolds=1e5, turbulence=0.5)
    assert friction.mixed(reynolds=1e5) == middle
    assert friction.mixed(reynolds=1e5, turbulence=1.0) == friction.ittc(reynolds=1e5)

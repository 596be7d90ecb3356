"""Weighing: statics there and back."""

import pytest

from skimwright.base import InputError
from skimwright.physics import weighing


def test_ballast_found_puts_the_balance_where_wanted():
    """The demonstration's sum: 235.2 g at 321.6 mm, lead at 600 mm, 345 mm wanted, 21.6 g."""
    ballast = weighing.ballast_for_balance(mass=0.2352, balance=0.3216, wanted=0.345, ballast_place=0.6)
    assert ballast == pytest.approx(0.0216, abs=5e-5)
    back = weighing.balance_with_ballast(mass=0.2352, balance=0.3216, ballast=ballast, ballast_place=0.6)
    assert back == pytest.approx(0.345, abs=1e-12)


def test_ballast_on_the_wrong_side_is_refused_in_millimetres():
    with pytest.raises(InputError, match="wanted 345 mm, ballast at 300 mm"):
        weighing.ballast_for_balance(mass=0.2352, balance=0.3216, wanted=0.345, ballast_place=0.3)


def test_nothing_to_move_needs_no_ballast():
    assert weighing.ballast_for_balance(mass=0.2, balance=0.3, wanted=0.3, ballast_place=0.6) == 0.0


def test_equal_scales_mean_the_middle():
    assert weighing.balance_from_two_scales(front=0.1, rear=0.1, spacing=0.5) == pytest.approx(0.25)
    assert weighing.side_offset(port=0.1, starboard=0.1, spacing=0.3) == pytest.approx(0.0)


def test_heavier_starboard_scale_means_balance_to_starboard():
    assert weighing.side_offset(port=0.1, starboard=0.12, spacing=0.3) > 0


def test_bar_swung_on_two_strings_gives_its_textbook_inertia():
    """A uniform bar's period from energy, then the sum back to m L^2 / 12."""
    mass, length, spacing, string = 0.2, 0.7, 0.4, 1.1
    inertia = mass * length**2 / 12
    stiffness = mass * weighing.GRAVITY * spacing**2 / (4 * string)  # restoring moment per radian of twist
    period = 2 * 3.141592653589793 * (inertia / stiffness) ** 0.5
    found = weighing.swing_inertia(mass=mass, string_spacing=spacing, string_length=string, period=period)
    assert found == pytest.approx(inertia, rel=1e-12)


def test_empty_scales_are_refused():
    with pytest.raises(InputError, match="Both loads"):
        weighing.balance_from_two_scales(front=0.0, rear=0.0, spacing=0.5)


def test_a_hasty_swing_is_named():
    assert weighing.envelope(swing_period=0.3)[0].code == "swing-quick"

"""Plates: limits, signs and the two-term force."""

from math import pi, radians, tan

import pytest

from skimwright.base import InputError
from skimwright.physics import plate


def test_slender_plate_tends_to_half_pi_times_aspect_ratio():
    assert plate.lift_slope(aspect_ratio=1e-4) == pytest.approx(pi / 2 * 1e-4, rel=1e-3)


def test_endless_plate_tends_to_two_pi():
    assert plate.lift_slope(aspect_ratio=1e6) == pytest.approx(2 * pi, rel=1e-5)


def test_force_changes_sign_with_the_angle():
    up, down = (plate.normal_force(angle=a, aspect_ratio=0.43) for a in (0.2, -0.2))
    assert up == -down


def test_force_is_square_to_the_plate_at_every_angle():
    for angle in (0.05, 0.3, 0.8, 1.3):
        lift, drag = plate.lift_and_drag(angle=angle, aspect_ratio=1.0)
        assert drag == pytest.approx(lift * tan(angle), rel=1e-12)
        assert plate.lift_to_drag(angle=angle) == pytest.approx(lift / drag, rel=1e-12)


def test_face_on_the_force_acts_in_the_middle_and_at_small_angles_ahead_of_it():
    assert plate.centre_of_pressure(angle=pi / 2) == pytest.approx(0.5)
    assert plate.centre_of_pressure(angle=0.0) == pytest.approx(0.3125)


def test_a_square_fin_on_a_deck_counts_double():
    assert plate.mirrored_aspect_ratio(height=0.05, area=0.0025) == pytest.approx(2.0)


def test_turbulent_skin_drags_more_at_our_size():
    assert plate.friction(reynolds=4.8e5, turbulent=True) > 2 * plate.friction(
        reynolds=4.8e5, turbulent=False
    )


def test_impossible_plates_are_refused():
    with pytest.raises(InputError, match="Aspect ratio"):
        plate.lift_slope(aspect_ratio=0.0)


def test_envelope_names_steep_angles_and_odd_shapes():
    found = plate.envelope(angle=radians(40.0), aspect_ratio=9.0)
    assert [finding.code for finding in found] == ["plate-angle", "plate-shape"]
    assert "40 degrees" in found[0].what
    assert "25 degrees" in found[0].what

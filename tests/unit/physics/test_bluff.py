"""Blunt shapes: tables between and beyond their points."""

import pytest

from skimwright.base import InputError
from skimwright.physics import bluff


def test_every_entry_says_where_it_stands():
    for shape, entry in bluff.DRAG_COEFFICIENTS.items():
        assert all((entry.source, entry.place, entry.status == "seen")), shape


def test_two_sources_agree_on_the_square_plate_within_ten_per_cent():
    first = bluff.DRAG_COEFFICIENTS["square plate"].coefficient
    second = bluff.DRAG_COEFFICIENTS["flat plate (lesson)"].coefficient
    assert second == pytest.approx(first, rel=0.10)


def test_tubes_between_printed_points_lie_between_them():
    assert 0.74 < bluff.cylinder_across(length_ratio=7.0) < 0.82
    assert 0.98 < bluff.cylinder_across(length_ratio=100.0) < 1.20
    assert bluff.cylinder_across(length_ratio=1e9) == pytest.approx(1.20, abs=1e-6)
    assert bluff.cylinder_along(length_ratio=0.5) == 0.91


def test_hull_drag_adds_up_and_scales():
    parts = {"frontal_area": 0.02, "frontal_coefficient": 0.5, "skin_area": 0.3, "skin_coefficient": 0.005}
    once = bluff.body_drag(dynamic_pressure=50.0, **parts)
    assert once == pytest.approx(50 * 0.01 + 50 * 0.0015)
    assert bluff.body_drag(dynamic_pressure=100.0, **parts) == pytest.approx(2 * once)


def test_negative_sizes_are_refused():
    with pytest.raises(InputError, match="Frontal area"):
        bluff.drag(shape="square plate", dynamic_pressure=1.0, frontal_area=-1.0)
    assert bluff.envelope(reynolds=2e3)[0].code == "bluff-small"

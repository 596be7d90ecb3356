"""Blades: limits, signs and the loop of ventilation; values stand in tests/published/water.csv."""

from math import pi, radians

import pytest

from skimwright.base import InputError
from skimwright.physics import blade


def test_a_very_long_blade_approaches_the_section_limit():
    """1.8 x pi: nine tenths of the 2 pi of an ideal endless wing; and pi A/2 of a slender one."""
    assert blade.lift_slope(aspect=1e4) == pytest.approx(1.8 * pi, rel=1e-3)
    assert blade.lift_slope(aspect=0.01) == pytest.approx(0.5 * pi * 0.01 * 1.8 / 1.9, rel=1e-3)


def test_sweep_costs_slope():
    assert blade.lift_slope(aspect=3.0, sweep=radians(45)) < blade.lift_slope(aspect=3.0)


def test_turning_the_blade_the_other_way_pushes_the_other_way():
    for ventilated in (False, True):
        there, back = (
            blade.side_coefficient(angle=radians(a), aspect=1.2, ventilated=ventilated) for a in (7, -7)
        )
        assert there == -back > 0


def test_air_takes_more_than_half_of_the_grip():
    wet, airy = (blade.side_coefficient(angle=0.1, aspect=1.0, ventilated=v) for v in (False, True))
    assert 0.3 <= airy / wet <= 0.5  # Breslin & Skalak 1959: loss up to 70 %


def test_the_wetted_law_stays_above_the_dead_wake_plate():
    for degrees in (5, 10, 15):
        wet = blade.side_coefficient(angle=radians(degrees), aspect=1.5)
        assert wet > blade.separated_normal(angle=radians(degrees))


def test_a_strut_stays_ventilated_above_the_printed_floor():
    """vent_fn_0.800: Breslin & Skalak 1959, quoted second-hand: never below 3."""
    assert blade.staying_froude(side=0.8) == 3.0
    assert blade.staying_froude(side=-0.05) == pytest.approx(10.0)
    assert blade.staying_froude(side=5 / 9 - 1e-9) == pytest.approx(3.0)


def test_once_round_the_loop_of_ventilation():
    aspect, airy = 1.0, False
    states = []
    for degrees in (0, 4, 8, 11, 8, 4, 3, 2, 4, 9):
        angle = radians(degrees)
        side = blade.side_coefficient(angle=angle, aspect=aspect, ventilated=airy)
        airy = blade.ventilates(angle=angle, side=side, depth_froude=25.0, was_ventilated=airy)
        states.append(airy)
    assert states == [False, False, False, True, True, True, False, False, False, False]


def test_a_slow_blade_keeps_its_grip_at_any_angle():
    assert not blade.ventilates(angle=radians(18), side=0.5, depth_froude=2.9, was_ventilated=False)
    assert not blade.ventilates(angle=radians(18), side=0.5, depth_froude=2.9, was_ventilated=True)


def test_a_straight_blade_holds_no_air():
    assert not blade.ventilates(angle=0.0, side=0.0, depth_froude=30.0, was_ventilated=True)


def test_the_force_moves_back_when_air_comes():
    assert blade.force_centre(ventilated_share=0.0) == 0.25
    assert blade.force_centre(ventilated_share=1.0) < 0.25


def test_a_sharp_plate_drags_what_its_force_leans_back():
    """A force square to the plate: drag over side force is the tangent of the angle."""
    angle = radians(12)
    side = blade.side_coefficient(angle=angle, aspect=1.0)
    rub = blade.drag_coefficient(angle=0.0, side=0.0, friction=0.004)
    assert rub == 0.008
    leaning = blade.drag_coefficient(angle=angle, side=side, friction=0.004) - rub
    assert leaning / side == pytest.approx(0.2126, abs=1e-4)  # tan 12 deg, from a table


def test_a_blade_that_cannot_be_is_refused():
    with pytest.raises(InputError, match="Aspect"):
        blade.lift_slope(aspect=0.0)
    with pytest.raises(InputError, match="under 90 deg"):
        blade.lift_slope(aspect=1.0, sweep=pi / 2)
    with pytest.raises(InputError, match="Side force"):
        blade.staying_froude(side=0.0)


def test_a_hard_over_stubby_blade_is_a_finding():
    assert [f.code for f in blade.envelope(angle=radians(-18), aspect=0.3)] == ["blade-angle", "blade-aspect"]
    assert blade.envelope(angle=radians(5), aspect=1.0) == ()


def test_cross_flow_adds_what_hoerners_plate_says():
    """0.85 sin|sin| cos on top of the slope (Hoerner, quoted second-hand): 0.1840 at 30 deg."""
    angle = radians(30)
    extra = blade.side_coefficient(angle=angle, aspect=1.0) - blade.lift_slope(aspect=1.0) * angle
    assert extra == pytest.approx(0.1840, abs=0.00005)

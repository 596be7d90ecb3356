"""Porpoising: the chart's edges, springs done by hand, and motions solved by hand."""

from dataclasses import replace
from math import pi, radians, sin, sqrt

import numpy as np
import pytest

from skimwright.base import InputError
from skimwright.physics import planing, porpoising
from skimwright.physics.porpoising import Support

PAD = {"trim": radians(4), "wetted_ratio": 0.8, "beam": 0.025, "speed": 10.0, "density": 999.1}


def test_the_chart_falls_with_load_off_and_rises_with_deadrise():
    limits = [porpoising.chart_limit(lift_root=x / 100) for x in range(10, 36)]
    assert limits == sorted(limits)
    flat, vee = (porpoising.chart_limit(lift_root=0.17, deadrise=radians(b)) for b in (0, 15))
    assert flat < vee


def test_off_the_charts_end_the_limit_is_never_below_level():
    assert porpoising.chart_limit(lift_root=0.05) == 0.0


def test_the_chart_is_a_straight_line_between_its_marks():
    ends = [porpoising.chart_limit(lift_root=x, deadrise=radians(10)) for x in (0.20, 0.25)]
    middle = porpoising.chart_limit(lift_root=0.225, deadrise=radians(10))
    assert middle == pytest.approx(sum(ends) / 2)


def test_a_long_pads_spring_is_the_slope_of_its_laws():
    """By hand, away from gravity: L = k sqrt(ratio), ratio = s (1.6 - 0.3 s), s = depth/(beam sin trim)."""
    trim, beam = PAD["trim"], PAD["beam"]
    spring = porpoising.pad_support(ahead=0.0, **PAD, gravity=1e-6)
    load = 0.5 * PAD["density"] * PAD["speed"] ** 2 * beam**2
    load *= planing.dynamic_lift(trim=trim, wetted_ratio=0.8)
    s = planing.still_ratio(wetted_ratio=0.8)
    by_hand = load / (2 * 0.8) * (1.6 - 0.6 * s) / (beam * sin(trim))
    assert spring.lift_per_rise == pytest.approx(-by_hand, rel=1e-6)
    assert spring.lift_per_incidence == pytest.approx(1.1 * load / trim, rel=1e-6)


def test_more_trim_lifts_more_even_when_the_pad_gets_shorter_for_it():
    spring = porpoising.pad_support(ahead=0.0, **PAD)
    assert spring.lift_per_trim > 0
    assert spring.lift_per_rise < 0


def _pair(**changes):
    one = Support(ahead=0.15, lift_per_rise=-400.0, lift_per_trim=0.0, lift_per_incidence=12.0)
    return [replace(one, ahead=x, **changes) for x in (0.15, -0.15)]


def test_two_equal_supports_bob_and_rock_as_worked_by_hand():
    """Heave: m l^2 + 2 I/V l + 2 k = 0; pitch the same with a^2 and the moment of inertia."""
    mass, inertia, speed = 0.27, 0.004, 8.0
    found = porpoising.bobbing(mass=mass, pitch_inertia=inertia, speed=speed, supports=_pair())
    heave = np.roots([mass, 2 * 12.0 / speed, 2 * 400.0])
    pitch = np.roots([inertia, 2 * 12.0 * 0.15**2 / speed, 2 * 400.0 * 0.15**2])
    assert sorted(found.roots, key=lambda r: (r.real, r.imag)) == pytest.approx(
        sorted([*heave, *pitch], key=lambda r: (r.real, r.imag)), rel=1e-9
    )
    assert found.dies_away
    damping = 12.0 / speed / mass
    assert found.growth == pytest.approx(max(-damping, -12.0 * 0.15**2 / speed / inertia))
    fastest = sqrt(2 * 400.0 / mass - damping**2) / (2 * pi)
    assert fastest == pytest.approx(8.66, abs=0.05)
    assert abs(found.frequency) > 8


def test_without_damping_a_bob_neither_dies_nor_grows():
    found = porpoising.bobbing(
        mass=0.27, pitch_inertia=0.004, speed=8.0, supports=_pair(lift_per_incidence=0.0)
    )
    assert found.growth == pytest.approx(0.0, abs=1e-9)


def test_a_wing_ahead_of_the_balance_upsets_the_boat_once_it_beats_the_pads():
    """Bow up brings lift ahead, which brings bow up: unstable when a T exceeds the pads' 2 k a^2."""
    limit = 2 * 400.0 * 0.15**2 / 0.2
    for share, steady in ((0.5, True), (1.5, False)):
        wing = Support(
            ahead=0.2, lift_per_rise=0.0, lift_per_trim=share * limit, lift_per_incidence=share * limit
        )
        found = porpoising.bobbing(
            mass=0.27, pitch_inertia=0.004, speed=8.0, supports=[*_pair(lift_per_incidence=200.0), wing]
        )
        assert found.dies_away is steady


def test_lift_that_comes_with_trim_far_from_the_balance_makes_heave_and_pitch_feed_each_other():
    """One support alone, behind the balance: the classical porpoising of a boat on one surface."""
    behind = Support(ahead=-0.02, lift_per_rise=-400.0, lift_per_trim=60.0, lift_per_incidence=1.0)
    found = porpoising.bobbing(mass=0.27, pitch_inertia=0.004, speed=8.0, supports=[behind])
    assert not found.dies_away


def test_weight_and_inertia_set_the_pace():
    slow, fast = (
        porpoising.bobbing(mass=m, pitch_inertia=0.004 * m / 0.27, speed=8.0, supports=_pair()).frequency
        for m in (1.08, 0.27)
    )
    assert fast == pytest.approx(2 * slow, rel=0.05)


def test_a_boat_on_nothing_is_refused():
    with pytest.raises(InputError, match="pads that are wet"):
        porpoising.bobbing(mass=0.3, pitch_inertia=0.004, speed=8.0, supports=[])


def test_a_boat_on_three_points_is_told_to_leave_the_chart():
    found = porpoising.envelope(lift_root=0.2, wet_surfaces=3)
    assert [f.code for f in found] == ["porpoising-surfaces"]
    assert porpoising.envelope(lift_root=0.2, deadrise=radians(10)) == ()


@pytest.mark.parametrize(
    "deadrise, limits",
    [(0, (1.1, 1.8, 3.8, 6.2, 9.1)), (10, (2.7, 3.3, 4.9, 7.0, 9.5)), (20, (3.4, 4.0, 5.7, 7.9, 10.3))],
)
def test_every_mark_of_the_chart_is_as_it_was_read(deadrise, limits):
    """Savitsky 1964, Fig. 18, after Day and Haag 1952; read by machine, +-0.4 deg."""
    for root, limit in zip((0.13, 0.15, 0.20, 0.25, 0.30), limits, strict=True):
        found = porpoising.chart_limit(lift_root=root, deadrise=radians(deadrise))
        assert found == pytest.approx(radians(limit), abs=1e-9)


def test_findings_start_at_the_edges_of_the_chart():
    for root in (0.1301, 0.2999):
        assert porpoising.envelope(lift_root=root) == ()
    for root in (0.1299, 0.3001):
        assert porpoising.envelope(lift_root=root) != ()

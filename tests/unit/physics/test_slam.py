"""Slams: identities, bounds and the worked pad; values stand in tests/published/water.csv."""

from math import pi, radians, tan

import pytest

from skimwright.base import InputError
from skimwright.physics import slam

DROP = {"density": 999.1, "speed": 1.5, "immersion": 0.002, "deadrise": radians(12)}


def test_piled_up_water_wets_pi_half_times_as_wide_as_level_water_would():
    assert slam.wedge_half_width(immersion=0.002, deadrise=radians(12)) * tan(radians(12)) == pytest.approx(
        0.002 * pi / 2
    )


def test_force_is_the_growth_of_the_added_mass():
    """F = V^2 d(ma)/dd with ma = (pi/2) density c^2: by a small difference."""

    def added(depth):
        half = slam.wedge_half_width(immersion=depth, deadrise=DROP["deadrise"])
        return 0.5 * pi * DROP["density"] * half**2

    step = 1e-7
    growth = (added(0.002 + step) - added(0.002 - step)) / (2 * step)
    assert slam.wagner_force(**DROP) == pytest.approx(DROP["speed"] ** 2 * growth, rel=1e-7)


def test_without_pile_up_the_force_is_two_fifths():
    assert slam.karman_force(**DROP) / slam.wagner_force(**DROP) == pytest.approx(0.405, abs=0.0005)


def test_mean_pressure_is_force_over_width_at_every_depth():
    for depth in (1e-4, 2e-3):
        force = slam.wagner_force(**{**DROP, "immersion": depth})
        width = 2 * slam.wedge_half_width(immersion=depth, deadrise=DROP["deadrise"])
        mean = slam.mean_pressure(density=999.1, speed=1.5, deadrise=DROP["deadrise"])
        assert mean == pytest.approx(force / width)


def test_the_peak_is_worse_than_the_mean():
    peak = slam.peak_pressure_coefficient(deadrise=radians(10)) * 0.5 * 999.1
    assert peak > slam.mean_pressure(density=999.1, speed=1.0, deadrise=radians(10))


def test_a_steeper_vee_lands_softer():
    forces = [slam.wagner_force(**{**DROP, "deadrise": radians(b)}) for b in (5, 10, 20, 45)]
    assert forces == sorted(forces, reverse=True)


def test_the_worked_pad_loses_six_per_cent_of_its_drop():
    """25 mm square over a share of 100 g falling at 1 m/s: 6.1 g of water, 6 % (docs/physics/slam.md)."""
    water = slam.added_mass(density=999.1026, beam=0.025, length=0.025)
    assert water == pytest.approx(6.1e-3, abs=0.05e-3)
    lost = slam.landing_impulse(mass=0.1, speed=1.0, added_mass=water) / 0.1
    assert lost == pytest.approx(0.06, abs=0.005)


def test_landing_keeps_momentum():
    impulse = slam.landing_impulse(mass=0.1, speed=2.0, added_mass=0.05)
    after = 2.0 - impulse / 0.1
    assert after * (0.1 + 0.05) == pytest.approx(0.1 * 2.0)


def test_a_level_landing_counts_as_four_degrees():
    for trim in (0.0, radians(3), radians(-2)):
        assert slam.effective_angle(trim=trim) == slam.LEAST_ANGLE
    assert slam.effective_angle(trim=radians(-9)) == pytest.approx(radians(9))


def test_a_ripple_is_as_steep_as_a_sine_is():
    assert tan(slam.ripple_slope(height=0.01, length=1.0)) == pytest.approx(0.01 * pi)


@pytest.mark.parametrize("deadrise", [0.0, -0.1, pi / 2, float("nan")])
def test_a_wedge_without_an_angle_is_refused(deadrise):
    with pytest.raises(InputError, match="more than 0 and under 90 deg"):
        slam.wagner_force(**{**DROP, "deadrise": deadrise})


def test_a_board_that_dents_is_a_finding_with_both_pressures():
    assert slam.envelope(deadrise=radians(6), pressure=30e3, strength=120e3) == ()
    found = slam.envelope(deadrise=radians(6), pressure=150e3, strength=120e3)
    assert "150 kPa" in found[0].what
    assert "120 kPa" in found[0].what


def test_board_use_needs_a_board():
    assert slam.board_use(pressure=60e3, strength=120e3) == 0.5
    with pytest.raises(InputError, match="Strength"):
        slam.board_use(pressure=1.0, strength=0.0)


@pytest.mark.parametrize("degrees, findings", [(3.9, 1), (4.1, 0), (44.9, 0), (45.5, 1)])
def test_findings_start_at_the_edges_of_the_wedge_laws(degrees, findings):
    assert len(slam.envelope(deadrise=radians(degrees))) == findings

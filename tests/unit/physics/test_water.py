"""Water: limits and refusals; values stand in tests/published/water.csv."""

import pytest

from skimwright.base import InputError
from skimwright.physics import water

CELSIUS = 273.15


def test_water_is_heaviest_at_four_degrees():
    weights = {t: water.density(temperature=CELSIUS + t / 10) for t in range(0, 101)}
    assert max(weights, key=weights.get) / 10 == pytest.approx(3.98, abs=0.05)  # every physics book


def test_water_boils_under_one_atmosphere_where_thermometers_say():
    assert water.vapour_pressure(temperature=373.124) == pytest.approx(101325.0, rel=1e-4)


def test_ice_water_and_steam_meet_at_the_triple_point():
    assert water.vapour_pressure(temperature=273.16) == pytest.approx(611.657, rel=1e-5)


def test_viscosity_at_twenty_degrees_is_the_viscometers_standard():
    # ISO/TR 3666: 1.0016 mPa s, the value every viscometer is set by
    assert water.viscosity(temperature=293.15) == pytest.approx(1.0016e-3, rel=2e-4)


def test_warm_water_is_runnier_and_its_skin_weaker():
    for law in (water.viscosity, water.kinematic_viscosity, water.surface_tension):
        assert law(temperature=303.15) < law(temperature=278.15)


@pytest.mark.parametrize("temperature", [0.0, -5.0, float("nan"), float("inf")])
@pytest.mark.parametrize(
    "law", [water.density, water.viscosity, water.surface_tension, water.vapour_pressure]
)
def test_water_that_cannot_be_is_refused(law, temperature):
    with pytest.raises(InputError, match="more than 0"):
        law(temperature=temperature)


def test_ratios_keep_their_value_when_the_ruler_changes():
    feet = 1 / 0.3048
    assert water.froude_number(speed=5.0, length=0.6) == pytest.approx(
        water.froude_number(speed=5.0 * feet, length=0.6 * feet, gravity=9.80665 * feet)
    )
    assert water.reynolds_number(speed=5.0, length=0.6, kinematic_viscosity=1e-6) == pytest.approx(
        water.reynolds_number(speed=5.0 * feet, length=0.6 * feet, kinematic_viscosity=1e-6 * feet**2)
    )


def test_weber_number_of_the_pad_at_five_metres_per_second():
    # worked by hand: 999.1 x 25 x 0.025 / 0.0735
    assert water.weber_number(speed=5, length=0.025, density=999.1, surface_tension=0.0735) == pytest.approx(
        8496, abs=1
    )


def test_a_ratio_without_a_length_is_refused():
    with pytest.raises(InputError, match="Length"):
        water.froude_number(speed=3.0, length=0.0)


def test_a_frozen_pond_and_a_slow_pad_are_findings():
    codes = {f.code for f in water.envelope(temperature=270.0, beam_weber=500.0, sheet_weber=6.0)}
    assert codes == {"water-temperature", "water-skin-pad", "water-skin-spray"}
    assert water.envelope(temperature=288.15, beam_weber=8500.0, sheet_weber=90.0) == ()


@pytest.mark.parametrize("celsius, findings", [(-0.5, 1), (0.5, 0), (39.5, 0), (40.5, 1)])
def test_findings_start_at_freezing_and_at_forty_degrees(celsius, findings):
    assert len(water.envelope(temperature=CELSIUS + celsius)) == findings

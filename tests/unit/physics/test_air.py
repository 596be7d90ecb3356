"""Air: limits and refusals; values stand in tests/published/air.csv."""

import pytest

from skimwright.base import InputError
from skimwright.physics import air


def test_dry_air_by_the_moist_form_is_the_ideal_gas():
    dry = air.dry_density(temperature=293.15, pressure=101325.0)
    moist = air.moist_density(temperature=293.15, pressure=101325.0, humidity=0.0)
    assert moist == pytest.approx(dry, rel=4e-4)  # the moist form counts carbon dioxide


def test_damp_air_is_lighter():
    damp, dry = (
        air.moist_density(temperature=303.15, pressure=1e5, humidity=humidity) for humidity in (1.0, 0.0)
    )
    assert 0.97 * dry < damp < dry


def test_warm_air_is_lighter_and_stickier():
    assert air.dry_density(temperature=305.0, pressure=1e5) < air.dry_density(temperature=275.0, pressure=1e5)
    assert air.viscosity(temperature=305.0) > air.viscosity(temperature=275.0)


def test_standard_density_follows_from_standard_temperature_and_pressure():
    expected = air.dry_density(
        temperature=air.standard_temperature(altitude=700.0), pressure=air.standard_pressure(altitude=700.0)
    )
    assert air.standard_density(altitude=700.0) == expected


@pytest.mark.parametrize(
    "temperature, pressure", [(0.0, 1e5), (-3.0, 1e5), (290.0, 0.0), (float("nan"), 1e5)]
)
def test_air_that_cannot_be_is_refused(temperature, pressure):
    with pytest.raises(InputError, match="more than 0"):
        air.dry_density(temperature=temperature, pressure=pressure)


def test_strange_weather_is_named_with_its_range():
    found = air.envelope(temperature=315.0, pressure=80000.0, humidity=1.2)
    assert [finding.code for finding in found] == ["air-temperature", "air-pressure", "air-humidity"]
    assert "0 to 35 °C" in found[0].what
    assert "41.9" in found[0].what

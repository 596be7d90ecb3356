"""Air: how dense and how sticky it is at the pond.  One page of words: docs/physics/air.md."""

from __future__ import annotations

from math import exp

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_not_negative, require_positive

SEA_LEVEL_TEMPERATURE = 288.15  # [K]
SEA_LEVEL_PRESSURE = 101325.0  # [Pa]
EARTH_RADIUS = 6356766.0  # the one the standard uses [m]
DRY_GAS_CONSTANT = 287.0528  # 8.31432 / 0.0289644 in the standard [J/(kg K)]
FREEZING = 273.15  # [K]


def standard_temperature(*, altitude: float) -> float:
    """Temperature of the standard atmosphere above the sea.

    Parameters
    ----------
    altitude : float
        Height of the pond above the sea. [m]

    Returns
    -------
    float
        Temperature. [K]

    Raises
    ------
    InputError
        Never; any height gives a number.

    Holds
        0 to 11 000 m, the lowest layer of the standard.
    Trust
        Exact for the standard; a real day differs by tens of kelvin.
    Source
        [Icao7488; seen], the same in [MechHandbook, Table 6; seen].
    Checked
        tests/published/air.csv: isa_T_500, isa_T_1000, isa_T_2000.

    Examples
    --------
    >>> round(standard_temperature(altitude=1000.0), 3)
    281.651
    """
    geopotential = EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)
    return SEA_LEVEL_TEMPERATURE - 0.0065 * geopotential


def standard_pressure(*, altitude: float) -> float:
    """Pressure of the standard atmosphere above the sea.

    Parameters
    ----------
    altitude : float
        Height of the pond above the sea. [m]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        Never; any height gives a number.

    Holds
        0 to 11 000 m, the lowest layer of the standard.
    Trust
        Exact for the standard; weather moves it by about 3 %.
    Source
        [Icao7488; seen].
    Checked
        tests/published/air.csv: isa_p_2000.

    Examples
    --------
    >>> round(standard_pressure(altitude=2000.0), 0)
    79501.0
    """
    ratio = standard_temperature(altitude=altitude) / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * float(ratio**5.25588)


def standard_density(*, altitude: float) -> float:
    """Density of the standard atmosphere above the sea.

    Parameters
    ----------
    altitude : float
        Height of the pond above the sea. [m]

    Returns
    -------
    float
        Density. [kg/m3]

    Raises
    ------
    InputError
        Never; any height gives a number.

    Holds
        0 to 11 000 m, the lowest layer of the standard.
    Trust
        Exact for the standard.  Use `moist_density` when a thermometer is at hand.
    Source
        [Icao7488; seen], the same in [MechHandbook, Table 6; seen].
    Checked
        tests/published/air.csv: isa_rho_500 … isa_hb_2000.

    Examples
    --------
    >>> round(standard_density(altitude=500.0), 5)
    1.16727
    """
    return dry_density(
        temperature=standard_temperature(altitude=altitude), pressure=standard_pressure(altitude=altitude)
    )


def dry_density(*, temperature: float, pressure: float) -> float:
    """Density of dry air as an ideal gas.

    Parameters
    ----------
    temperature : float, > 0
        Air temperature. [K]
    pressure : float, > 0
        Air pressure. [Pa]

    Returns
    -------
    float
        Density. [kg/m3]

    Raises
    ------
    InputError
        The temperature or the pressure is not above zero.

    Holds
        Everywhere a boat floats.
    Trust
        Within 0.1 % of real dry air.
    Source
        Ideal gas with the gas constant of [Icao7488; seen].
    Checked
        tests/published/air.csv: isa_rho_0, isa_hb_0.

    Examples
    --------
    >>> round(dry_density(temperature=288.15, pressure=101325.0), 4)
    1.225
    """
    require_positive(temperature=temperature, pressure=pressure)
    return pressure / (DRY_GAS_CONSTANT * temperature)


def moist_density(*, temperature: float, pressure: float, humidity: float) -> float:
    """Density of real, damp air, from thermometer, barometer and hygrometer.

    Damp air is the lighter one: a water molecule weighs less than the air it replaces.

    Parameters
    ----------
    temperature : float, > 0
        Air temperature. [K]
    pressure : float, > 0
        Air pressure at the pond, not reduced to sea level. [Pa]
    humidity : float, 0 to 1
        Relative humidity. [-]

    Returns
    -------
    float
        Density. [kg/m3]

    Raises
    ------
    InputError
        The temperature or the pressure is not above zero, or the humidity is below zero.

    Holds
        0 to 35 °C and 900 to 1050 hPa; outside, `envelope` says so and the number still comes.
    Trust
        Within 0.06 % of two open libraries at the rows below.
    Source
        One-line form of [OimlR111; memory for its constants], held by [MoistAir2026; seen].
    Checked
        tests/published/air.csv: moist_20_50, moist_30_80, moist_5_90, moist_0_50.

    Examples
    --------
    >>> round(moist_density(temperature=293.15, pressure=101325.0, humidity=0.5), 3)
    1.199
    """
    require_positive(temperature=temperature, pressure=pressure)
    require_not_negative(humidity=humidity)
    celsius = temperature - FREEZING
    vapour = 0.009 * 100.0 * humidity * exp(0.061 * celsius)
    return (0.34848 * pressure / 100.0 - vapour) / temperature


def viscosity(*, temperature: float) -> float:
    """How sticky air is (dynamic viscosity, Sutherland's law).

    Parameters
    ----------
    temperature : float, > 0
        Air temperature. [K]

    Returns
    -------
    float
        Dynamic viscosity. [Pa s]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        Any weather.
    Trust
        About 1 %.
    Source
        [Icao7488; seen].
    Checked
        tests/published/air.csv: isa_mu_0, isa_mu_500.

    Examples
    --------
    >>> round(viscosity(temperature=288.15) * 1e5, 4)
    1.7894
    """
    require_positive(temperature=temperature)
    return 1.458e-6 * float(temperature**1.5) / (temperature + 110.4)


def envelope(*, temperature: float, pressure: float, humidity: float) -> tuple[Finding, ...]:
    """What lies outside the weather the density form was checked for.

    Examples
    --------
    >>> envelope(temperature=290.0, pressure=101325.0, humidity=0.6)
    ()
    """
    again = "Read the instrument once more."
    return (
        *outside("air-temperature", "Air temperature", value=temperature - FREEZING, low=0.0, high=35.0,
                 unit="°C", why="Density was compared with two libraries only there.", do=again),
        *outside("air-pressure", "Air pressure", value=pressure / 100.0, low=900.0, high=1050.0,
                 unit="hPa", why="Density was compared with two libraries only there.", do=again),
        *outside("air-humidity", "Relative humidity", value=100.0 * humidity, low=0.0, high=100.0,
                 unit="%", why="Air cannot hold more than 100 %.", do=again),
    )  # fmt: skip

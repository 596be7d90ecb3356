"""Fresh water: how heavy, how sticky, how tight its skin; and the ratios that scale a boat.

One page of words: docs/physics/water.md.
"""

from __future__ import annotations

from math import exp, sqrt

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_positive

GRAVITY = 9.80665  # standard [m/s2]
FREEZING = 273.15  # [K]
COMPRESSIBILITY = 4.6e-10  # of the water, to come from 0.1 MPa to one atmosphere [1/Pa]

# SR6-08: volume of water at 0.1 MPa, powers of 10 K/(593 K - T) and of 10 K/(T - 232 K).
_WARM_END = ((4, 6.74458446e3), (5, -2.22521604e5), (7, 1.00231247e8), (8, -1.63552118e9), (9, 8.32299658e9))
_COLD_END = (
    (1, 5.78545292e-3),
    (2, -1.53195665e-2),
    (3, 3.11337859e-2),
    (4, -4.23546241e-2),
    (5, 3.38713507e-2),
    (6, -1.19946761e-2),
)
_STICKINESS = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
_BOILING = (
    (1.0, -7.85951783),
    (1.5, 1.84408259),
    (3.0, -11.7866497),
    (3.5, 22.6807411),
    (4.0, -15.9618719),
    (7.5, 1.80122502),
)
_CRITICAL_TEMPERATURE, _CRITICAL_PRESSURE = 647.096, 22.064e6  # [K], [Pa]


def density(*, temperature: float) -> float:
    """How heavy fresh water is.

    Parameters
    ----------
    temperature : float, > 0
        Water temperature. [K]

    Returns
    -------
    float
        Density at one atmosphere. [kg/m3]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        0 to 40 °C.  Outside: `envelope` returns a Finding, the number still comes.
    Trust
        Within 0.001 kg/m3 of two tables; a muddy pond differs by more.
    Source
        [IapwsSR6, Table 5; memory], held by the rows below; brought to one atmosphere by compressibility.
    Checked
        tests/published/water.csv: water_rho_0.1 … water_rho_30, ittc_rho_15, ittc_rho_18p5, ittc_rho_30.

    Examples
    --------
    >>> round(density(temperature=288.15), 3)
    999.103
    """
    require_positive(temperature=temperature)
    warm, cold = 10.0 / (593.0 - temperature), 10.0 / (temperature - 232.0)
    volume = 1.93763157e-2 + sum(a * warm**n for n, a in _WARM_END) + sum(b * cold**n for n, b in _COLD_END)
    return (1.0 + COMPRESSIBILITY * 1325.0) / (461.51805 * 10.0 / 1e5 * volume)


def viscosity(*, temperature: float) -> float:
    """How sticky fresh water is (dynamic viscosity).

    Parameters
    ----------
    temperature : float, > 0
        Water temperature. [K]

    Returns
    -------
    float
        Dynamic viscosity. [Pa s]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        0 to 40 °C.
    Trust
        1 %, and within 0.1 % of the table rows.
    Source
        [IapwsSR6, eq. 10; memory], held by the rows below.
    Checked
        tests/published/water.csv: through `kinematic_viscosity`.

    Examples
    --------
    >>> round(viscosity(temperature=293.15) * 1e3, 3)
    1.002
    """
    require_positive(temperature=temperature)
    total: float = sum(a * (temperature / 300.0) ** b for a, b in _STICKINESS)
    return 1e-6 * total


def kinematic_viscosity(*, temperature: float) -> float:
    """Stickiness over density: what the Reynolds number asks for.

    Parameters
    ----------
    temperature : float, > 0
        Water temperature. [K]

    Returns
    -------
    float
        Kinematic viscosity. [m2/s]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        0 to 40 °C.
    Trust
        1 %, and within 0.1 % of the table rows.
    Source
        [IapwsSR6; memory], held by [Ittc7502; second-hand] and the rows below.
    Checked
        tests/published/water.csv: water_nu_0.1 … water_nu_15, ittc_nu_15, ittc_nu_30.

    Examples
    --------
    >>> round(kinematic_viscosity(temperature=288.15) * 1e6, 3)
    1.139
    """
    return viscosity(temperature=temperature) / density(temperature=temperature)


def surface_tension(*, temperature: float) -> float:
    """How tight the skin of clean water is.

    Parameters
    ----------
    temperature : float, > 0
        Water temperature. [K]

    Returns
    -------
    float
        Surface tension. [N/m]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        0 to 40 °C, clean water.
    Trust
        0.5 % if clean.  A pond's film or a drop of detergent can halve it.
    Source
        [IapwsR1; memory], held by the rows below.
    Checked
        tests/published/water.csv: water_sigma_5 … water_sigma_25.

    Examples
    --------
    >>> round(surface_tension(temperature=293.15), 4)
    0.0727
    """
    require_positive(temperature=temperature)
    below = 1.0 - temperature / _CRITICAL_TEMPERATURE
    return float(0.2358 * below**1.256 * (1.0 - 0.625 * below))


def vapour_pressure(*, temperature: float) -> float:
    """Pressure at which this water would boil: no place under a boat comes near it at our speeds.

    Parameters
    ----------
    temperature : float, > 0
        Water temperature. [K]

    Returns
    -------
    float
        Saturation pressure. [Pa]

    Raises
    ------
    InputError
        The temperature is not above zero.

    Holds
        0 to 100 °C.
    Trust
        0.1 %.
    Source
        [IapwsSR1; memory], held by the triple point and the boiling point.
    Checked
        tests/unit/physics/test_water.py: triple point 611.66 Pa, boiling at 373.124 K under one atmosphere.

    Examples
    --------
    >>> round(vapour_pressure(temperature=293.15))
    2339
    """
    require_positive(temperature=temperature)
    below = 1.0 - temperature / _CRITICAL_TEMPERATURE
    power = sum(a * below**n for n, a in _BOILING) * _CRITICAL_TEMPERATURE / temperature
    return _CRITICAL_PRESSURE * exp(power)


def froude_number(*, speed: float, length: float, gravity: float = GRAVITY) -> float:
    """Speed over the speed of a wave as long as this length; with the beam it is the speed coefficient Cv.

    Parameters
    ----------
    speed : float
        Speed through the water. [m/s]
    length : float, > 0
        Length, beam, depth or cube root of displaced volume: say which. [m]
    gravity : float, > 0
        Gravity. [m/s2]

    Returns
    -------
    float
        Froude number. [-]

    Raises
    ------
    InputError
        The length or gravity is not above zero.

    Holds
        Always: a definition.
    Trust
        Exact.
    Source
        Definition; the values in docs/physics/water.md were worked out by hand.
    Checked
        tests/published/water.csv: pad_cv_5, pad_cv_10.

    Examples
    --------
    >>> round(froude_number(speed=5.0, length=0.025), 2)
    10.1
    """
    require_positive(length=length, gravity=gravity)
    return speed / sqrt(gravity * length)


def reynolds_number(*, speed: float, length: float, kinematic_viscosity: float) -> float:
    """How far inertia outweighs stickiness.

    Parameters
    ----------
    speed : float
        Speed along the wetted surface. [m/s]
    length : float, > 0
        Wetted length. [m]
    kinematic_viscosity : float, > 0
        Kinematic viscosity. [m2/s]

    Returns
    -------
    float
        Reynolds number. [-]

    Raises
    ------
    InputError
        The length or the viscosity is not above zero.

    Holds
        Always: a definition.
    Trust
        Exact.
    Source
        Definition.
    Checked
        tests/published/water.csv: pad_re_5, pad_re_20, sav64_t1_r06_tau3, sav64_t1_r06_tau4.

    Examples
    --------
    >>> round(reynolds_number(speed=5.0, length=0.025, kinematic_viscosity=1.138589e-6))
    109785
    """
    require_positive(length=length, kinematic_viscosity=kinematic_viscosity)
    return speed * length / kinematic_viscosity


def weber_number(*, speed: float, length: float, density: float, surface_tension: float) -> float:
    """How far inertia outweighs the skin of the water.

    Parameters
    ----------
    speed : float
        Speed. [m/s]
    length : float, > 0
        Beam of the pad, or thickness of its spray sheet: say which. [m]
    density : float, > 0
        Density of the water. [kg/m3]
    surface_tension : float, > 0
        Surface tension. [N/m]

    Returns
    -------
    float
        Weber number. [-]

    Raises
    ------
    InputError
        Length, density or surface tension is not above zero.

    Holds
        Always: a definition.  No least Weber number for planing plates was ever published.
    Trust
        Exact.
    Source
        Definition.
    Checked
        tests/published/water.csv: pad_we_20.

    Examples
    --------
    >>> round(weber_number(speed=20.0, length=0.025, density=999.1026, surface_tension=0.073486))
    135958
    """
    require_positive(length=length, density=density, surface_tension=surface_tension)
    return density * speed**2 * length / surface_tension


def envelope(
    *, temperature: float, beam_weber: float | None = None, sheet_weber: float | None = None
) -> tuple[Finding, ...]:
    """Where the water leaves what was checked: its temperature, and skin against inertia under a pad.

    Examples
    --------
    >>> envelope(temperature=320.0)[0].what
    'Water temperature is 46.9 °C; the model was checked from 0 to 40 °C.'
    """
    skin = "At this size the skin of the water holds part of the load, and no law here knows it."
    return (
        *outside("water-temperature", "Water temperature", value=temperature - FREEZING, low=0.0, high=40.0,
                 unit="°C", why="The water's figures were compared with tables only there.",
                 do="Read the thermometer once more."),
        *(() if beam_weber is None else outside(
            "water-skin-pad", "Weber number of the pad", value=beam_weber, low=1000.0, why=skin,
            do="Read the forecast of lift-off with care, or try a wider pad.")),
        *(() if sheet_weber is None else outside(
            "water-skin-spray", "Weber number of the spray sheet", value=sheet_weber, low=30.0, why=skin,
            do="Do not expect the spray of a big boat.")),
    )  # fmt: skip

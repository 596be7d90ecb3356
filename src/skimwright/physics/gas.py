"""Carbon dioxide cartridges: an upper bound and a fading push.

Words and cautions: docs/physics/thrust.md.
"""

from __future__ import annotations

from math import exp, log, pi, sqrt

import numpy as np

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_positive
from skimwright.physics.thrust_curve import Curve, fading_curve

GAMMA = 1.30  # ratio of specific heats near room temperature [-]
GAS_CONSTANT = 188.92  # [J/(kg K)]
CRITICAL_TEMPERATURE = 304.13  # [K]

_SATURATION = ((273.15, 34.85e5), (283.15, 45.02e5), (293.15, 57.29e5), (303.15, 72.14e5))  # [K], [Pa]


def saturation_pressure(*, temperature: float) -> float:
    """Pressure inside a cartridge that still holds liquid: it depends on warmth alone.

    Parameters
    ----------
    temperature : float, > 0
        Temperature of the liquid. [K]

    Returns
    -------
    float
        Absolute pressure. [Pa]

    Raises
    ------
    InputError
        The temperature is not positive.

    Holds
        0 to 30 °C.  Above 31 °C no liquid is left and pressure soars: keep cartridges cool.
    Trust
        0.3 %.
    Source
        Points from [CoolProp; seen], joined straight in log pressure over 1/temperature.
    Checked
        tests/published/air.csv: co2_psat_10, co2_psat_20, co2_psat_30, co2_psat_25.

    Examples
    --------
    >>> round(saturation_pressure(temperature=293.15) / 1e5, 2)
    57.29
    """
    require_positive(temperature=temperature)
    inverse = np.array([1.0 / t for t, _ in _SATURATION])[::-1]
    logs = np.array([log(p) for _, p in _SATURATION])[::-1]
    x = 1.0 / temperature
    if inverse[0] <= x <= inverse[-1]:
        return exp(float(np.interp(x, inverse, logs)))
    end = slice(0, 2) if x < inverse[0] else slice(-2, None)
    slope = np.diff(logs[end])[0] / np.diff(inverse[end])[0]
    return exp(float(logs[end][0] + slope * (x - inverse[end][0])))


def throat_pressure(*, pressure: float, gamma: float = GAMMA) -> float:
    """Pressure in the hole when the gas leaves as fast as sound there.

    Parameters
    ----------
    pressure : float, > 0
        Absolute pressure in the cartridge. [Pa]
    gamma : float, > 1, optional
        Ratio of specific heats. [-]

    Returns
    -------
    float
        Absolute pressure in the throat. [Pa]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Ideal gas, cartridge pressure above about twice the air's.
    Trust
        Near the liquid line carbon dioxide is far from ideal: 10 % or worse.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: co2_text_p.

    Examples
    --------
    >>> round(throat_pressure(pressure=35e6, gamma=1.29) / 1e6, 2)
    19.16
    """
    require_positive(pressure=pressure, gamma=gamma - 1.0)
    return pressure * float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def throat_speed(*, temperature: float, gamma: float = GAMMA, gas_constant: float = GAS_CONSTANT) -> float:
    """Speed of the gas in the hole: the speed of sound there.

    Parameters
    ----------
    temperature : float, > 0
        Gas temperature in the cartridge. [K]
    gamma : float, > 1, optional
        Ratio of specific heats. [-]
    gas_constant : float, > 0, optional
        Gas constant. [J/(kg K)]

    Returns
    -------
    float
        Speed. [m/s]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `throat_pressure`.
    Trust
        As `throat_pressure`.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: co2_vspec, co2_text_md.

    Examples
    --------
    >>> round(throat_speed(temperature=293.15))
    250
    """
    require_positive(temperature=temperature, gas_constant=gas_constant, gamma=gamma - 1.0)
    return sqrt(gamma * gas_constant * 2.0 * temperature / (gamma + 1.0))


def mass_flow(
    *,
    pressure: float,
    temperature: float,
    diameter: float,
    gamma: float = GAMMA,
    gas_constant: float = GAS_CONSTANT,
) -> float:
    """Gas leaving per second through a round hole.

    Parameters
    ----------
    pressure : float, > 0
        Absolute pressure in the cartridge. [Pa]
    temperature : float, > 0
        Gas temperature in the cartridge. [K]
    diameter : float, > 0
        Diameter of the hole. [m]
    gamma : float, > 1, optional
        Ratio of specific heats. [-]
    gas_constant : float, > 0, optional
        Gas constant. [J/(kg K)]

    Returns
    -------
    float
        Mass flow. [kg/s]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `throat_pressure`; a hole that gas fills, no liquid thrown out.
    Trust
        As `throat_pressure`; a pierced hole is ragged, 20 % more.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: co2_text_md.

    Examples
    --------
    >>> flow = mass_flow(pressure=35e6, temperature=293.15, diameter=0.0005, gamma=1.29, gas_constant=188.9)
    >>> round(1000 * flow, 1)
    19.4
    """
    require_positive(diameter=diameter)
    speed = throat_speed(temperature=temperature, gamma=gamma, gas_constant=gas_constant)
    throat_temperature = 2.0 * temperature / (gamma + 1.0)
    density = throat_pressure(pressure=pressure, gamma=gamma) / (gas_constant * throat_temperature)
    return density * speed * pi * diameter**2 / 4.0


def thrust_per_flow(
    *,
    pressure: float,
    temperature: float,
    ambient: float = 101325.0,
    gamma: float = GAMMA,
    gas_constant: float = GAS_CONSTANT,
) -> float:
    """Push for each kilogram a second that leaves through a plain hole.

    Parameters
    ----------
    pressure : float, > 0
        Absolute pressure in the cartridge. [Pa]
    temperature : float, > 0
        Gas temperature in the cartridge. [K]
    ambient : float, > 0, optional
        Air pressure outside. [Pa]
    gamma : float, > 1, optional
        Ratio of specific heats. [-]
    gas_constant : float, > 0, optional
        Gas constant. [J/(kg K)]

    Returns
    -------
    float
        Thrust over mass flow. [m/s]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `throat_pressure`.
    Trust
        An upper bound: the gas chills as it leaves.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: co2_vspec, co2_text_F.

    Examples
    --------
    >>> round(thrust_per_flow(pressure=5.73e6, temperature=293.15))
    436
    """
    require_positive(ambient=ambient)
    speed = throat_speed(temperature=temperature, gamma=gamma, gas_constant=gas_constant)
    throat_temperature = 2.0 * temperature / (gamma + 1.0)
    over = 1.0 - ambient / throat_pressure(pressure=pressure, gamma=gamma)
    return speed + gas_constant * throat_temperature / speed * over


def ceiling_impulse(*, charge: float, thrust_per_flow: float = 436.44) -> float:
    """Most impulse a cartridge could ever give; a real one gives half to three quarters (choice).

    Parameters
    ----------
    charge : float, > 0
        Mass of carbon dioxide. [kg]
    thrust_per_flow : float, > 0, optional
        See `thrust_per_flow`; the value at 20 °C if not given. [m/s]

    Returns
    -------
    float
        Impulse. [N s]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        All gas, none thrown out as liquid, no chilling.
    Trust
        Upper bound.  No measured cartridge curve was found.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: co2_Imax_8, co2_Imax_16.

    Examples
    --------
    >>> round(ceiling_impulse(charge=0.012), 2)
    5.24
    """
    require_positive(charge=charge, thrust_per_flow=thrust_per_flow)
    return charge * thrust_per_flow


def cartridge_curve(*, charge: float, start_thrust: float, share: float = 0.6) -> Curve:
    """A fading push from a cartridge known by its charge and its first thrust.

    Parameters
    ----------
    charge : float, > 0
        Mass of carbon dioxide. [kg]
    start_thrust : float, > 0
        Thrust at the start. [N]
    share : float, 0 to 1, optional
        Share of the ceiling impulse that it really gives. [-]

    Returns
    -------
    Curve
        Thrust against time, falling straight to nothing.

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Planning, until a stand recording is at hand.
    Trust
        The share is a choice, 0.5 to 0.75.
    Source
        Ours (choice) under `ceiling_impulse` (derived).
    Checked
        tests/unit/physics/test_thrust.py.

    Examples
    --------
    >>> round(cartridge_curve(charge=0.012, start_thrust=2.6).total_impulse, 2)
    3.14
    """
    require_positive(share=share)
    impulse = share * ceiling_impulse(charge=charge)
    return fading_curve(start_thrust=start_thrust, duration=2.0 * impulse / start_thrust)


def gas_envelope(*, temperature: float) -> tuple[Finding, ...]:
    """What lies outside the warmth a cartridge may have.

    Examples
    --------
    >>> gas_envelope(temperature=305.0)[0].severity
    'warning'
    """
    return outside(
        "gas-warmth", "Cartridge temperature", value=temperature - 273.15, low=0.0, high=30.0, unit="°C",
        why="Above 31 °C no liquid is left and the pressure soars; in the cold the push is weak.",
        do="Keep cartridges in the shade, never in the sun or indoors in use.",
    )  # fmt: skip

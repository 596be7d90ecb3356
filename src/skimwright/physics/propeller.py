"""Air propellers: thrust that falls with speed.  Words: docs/physics/thrust.md."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from skimwright.physics.guard import require_not_negative, require_positive


@dataclass(frozen=True, kw_only=True)
class PropellerLaw:
    """Thrust T0 - k V down to nothing, until the timer stops it."""

    static_thrust: float  # standing still [N]
    thrust_lost: float  # per metre a second of air speed [N s/m]
    timer: float  # seconds from release to stop [s]

    def __post_init__(self) -> None:
        require_positive(static_thrust=self.static_thrust, timer=self.timer)
        require_not_negative(thrust_lost=self.thrust_lost)


def propeller_thrust(*, law: PropellerLaw, time: float, speed: float) -> float:
    """Thrust of a propeller boat at one moment.

    Parameters
    ----------
    law : PropellerLaw
        The propeller.
    time : float
        Since release. [s]
    speed : float
        Air speed along the boat. [m/s]

    Returns
    -------
    float, >= 0
        Thrust. [N]

    Raises
    ------
    InputError
        Never; the law was checked when it was made.

    Holds
        From standing still to where thrust ends; a propeller driven by the wind brakes, which this
        leaves out.
    Trust
        15 % with T0 from a spring scale; the fall with speed is a guess until a timed run.
    Source
        Straight-line law (choice).
    Checked
        tests/unit/physics/test_thrust.py.

    Examples
    --------
    >>> law = PropellerLaw(static_thrust=1.9, thrust_lost=0.045, timer=6.0)
    >>> round(propeller_thrust(law=law, time=1.0, speed=8.0), 2)
    1.54
    """
    if not 0.0 <= time < law.timer:
        return 0.0
    return max(law.static_thrust - law.thrust_lost * max(speed, 0.0), 0.0)


def static_thrust(*, diameter: float, power: float, merit: float, air_density: float) -> float:
    """Thrust of a propeller standing still, from its size and the power at its shaft.

    Parameters
    ----------
    diameter : float, > 0
        Of the propeller. [m]
    power : float, >= 0
        At the shaft. [W]
    merit : float, > 0
        Share of the power that an ideal disc would need; 0.4 to 0.65 small (common practice). [-]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Thrust. [N]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        Standing still in free air.
    Trust
        15 %.
    Source
        [MitUnified, node 86; second-hand].
    Checked
        tests/published/air.csv: prop_static.

    Examples
    --------
    >>> round(static_thrust(diameter=0.127, power=30.0, merit=0.6, air_density=1.225), 2)
    2.16
    """
    require_positive(diameter=diameter, merit=merit, air_density=air_density)
    require_not_negative(power=power)
    disc = pi * diameter**2 / 4.0
    return float((2.0 * air_density * disc * (merit * power) ** 2) ** (1.0 / 3.0))


def shaft_power(
    *, thrust: float, speed: float, diameter: float, efficiency: float, air_density: float
) -> float:
    """Power at the shaft for a thrust at a speed.

    Parameters
    ----------
    thrust : float, >= 0
        Thrust. [N]
    speed : float, > 0
        Air speed. [m/s]
    diameter : float, > 0
        Of the propeller. [m]
    efficiency : float, > 0
        Against an ideal disc. [-]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Power. [W]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        Moving ahead; small propellers gain some 10 % with size and speed [Deters2014; seen].
    Trust
        15 %.
    Source
        [MitUnified, node 86; second-hand].
    Checked
        tests/published/air.csv: prop_power.

    Examples
    --------
    >>> round(shaft_power(thrust=2.0, speed=8.0, diameter=0.127, efficiency=0.8, air_density=1.225), 1)
    32.4
    """
    require_not_negative(thrust=thrust)
    require_positive(speed=speed, diameter=diameter, efficiency=efficiency, air_density=air_density)
    disc = pi * diameter**2 / 4.0
    return (
        0.5 * thrust * speed * (1.0 + sqrt(1.0 + 2.0 * thrust / (air_density * disc * speed**2))) / efficiency
    )

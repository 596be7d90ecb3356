"""Slamming: what a drop onto the water does to a bottom, and to the board it is made of.

One page of words: docs/physics/slam.md.
"""

from __future__ import annotations

from math import atan, degrees, pi, radians, tan

from skimwright.base import Finding, InputError
from skimwright.physics.guard import outside, require_not_negative, require_positive

LEAST_ANGLE = radians(4.0)  # below it trapped air softens the blow and the wedge laws blow up [rad]


def effective_angle(*, trim: float, water_slope: float = 0.0) -> float:
    """Angle between a flat bottom and the water it hits, never under 4 degrees.

    Parameters
    ----------
    trim : float
        Trim of the surface, bow up. [rad]
    water_slope : float
        Slope of the ripple it lands on; it counts the worse way. [rad]

    Returns
    -------
    float
        The angle for the wedge laws. [rad]

    Raises
    ------
    InputError
        Never; any angle gives a number.

    Holds
        Air is trapped below about 3 deg.
    Trust
        The floor is a choice, for loads only.
    Source
        Ours; trapped air after [Wagner1932; second-hand] and later tests.
    Checked
        tests/unit/physics/test_slam.py.

    Examples
    --------
    >>> round(degrees(effective_angle(trim=radians(6), water_slope=radians(1))), 6)
    5.0
    """
    return max(LEAST_ANGLE, abs(trim) - abs(water_slope))


def wedge_half_width(*, immersion: float, deadrise: float) -> float:
    """How far to each side a dropping wedge is wet, pile-up and all.

    Parameters
    ----------
    immersion : float, >= 0
        Depth of the keel below the undisturbed level. [m]
    deadrise : float, > 0
        Angle of its sides from level. [rad]

    Returns
    -------
    float
        Half width. [m]

    Raises
    ------
    InputError
        The immersion is below zero, or the deadrise is not above 0 and under 90 deg.

    Holds
        Deadrise 4 to about 30 deg, while the chines are dry.
    Trust
        A few per cent at 10 deg.
    Source
        [Wagner1932; second-hand].
    Checked
        tests/unit/physics/test_slam.py: pi/2 times the wedge's own width.

    Examples
    --------
    >>> round(wedge_half_width(immersion=0.001, deadrise=radians(10)) * 1e3, 2)
    8.91
    """
    require_not_negative(immersion=immersion)
    return 0.5 * pi * immersion / _tangent(deadrise)


def wagner_force(*, density: float, speed: float, immersion: float, deadrise: float) -> float:
    """Upper bound of the force on a wedge that drops into water.

    Parameters
    ----------
    density : float, > 0
        Density of the water. [kg/m3]
    speed : float
        Speed of the drop. [m/s]
    immersion : float, >= 0
        Depth of the keel below the undisturbed level. [m]
    deadrise : float, > 0
        Angle of its sides from level. [rad]

    Returns
    -------
    float
        Force on each metre of length. [N/m]

    Raises
    ------
    InputError
        Density is not above zero, the immersion is below zero, or the deadrise is not above 0 and under 90 deg.

    Holds
        Deadrise 4 to 45 deg, steady speed, chines dry.
    Trust
        Too high: about 17 % at 10 deg, 64 % at 30 deg.
    Source
        [Wagner1932; second-hand].
    Checked
        tests/published/water.csv: wag_dm_10 … wag_dm_45.

    Examples
    --------
    >>> round(wagner_force(density=1.0, speed=1.0, immersion=1.0, deadrise=radians(10)), 1)
    249.3
    """
    require_positive(density=density)
    require_not_negative(immersion=immersion)
    return pi**3 * density * speed**2 * immersion / (4.0 * _tangent(deadrise) ** 2)


def karman_force(*, density: float, speed: float, immersion: float, deadrise: float) -> float:
    """Lower bound of that force: the water does not pile up.

    Parameters
    ----------
    density : float, > 0
        Density of the water. [kg/m3]
    speed : float
        Speed of the drop. [m/s]
    immersion : float, >= 0
        Depth of the keel below the undisturbed level. [m]
    deadrise : float, > 0
        Angle of its sides from level. [rad]

    Returns
    -------
    float
        Force on each metre of length. [N/m]

    Raises
    ------
    InputError
        Density is not above zero, the immersion is below zero, or the deadrise is not above 0 and under 90 deg.

    Holds
        As `wagner_force`.
    Trust
        Too low; 0.405 of `wagner_force` always.
    Source
        [Karman1929; derived].
    Checked
        tests/published/water.csv: vk_dm_5 … vk_dm_45.

    Examples
    --------
    >>> round(karman_force(density=1.0, speed=1.0, immersion=1.0, deadrise=radians(10)), 1)
    101.0
    """
    return (2.0 / pi) ** 2 * wagner_force(
        density=density, speed=speed, immersion=immersion, deadrise=deadrise
    )


def peak_pressure_coefficient(*, deadrise: float) -> float:
    """Highest pressure anywhere on a dropping wedge.

    Parameters
    ----------
    deadrise : float, > 0
        Angle of its sides from level. [rad]

    Returns
    -------
    float
        Pressure over (half density x drop speed squared). [-]

    Raises
    ------
    InputError
        The deadrise is not above 0 and under 90 deg.

    Holds
        As `wagner_force`.
    Trust
        An upper bound, and on a strip thinner than a hair: compare `mean_pressure` with the board's strength.
    Source
        [Wagner1932; second-hand].
    Checked
        tests/published/water.csv: wag_cpmax_10 … wag_cpmax_30.

    Examples
    --------
    >>> round(peak_pressure_coefficient(deadrise=radians(10)), 1)
    79.4
    """
    return (0.5 * pi / _tangent(deadrise)) ** 2


def mean_pressure(*, density: float, speed: float, deadrise: float) -> float:
    """Pressure averaged over the wet part of a dropping wedge; it stays the same as the wedge goes in.

    Parameters
    ----------
    density : float, > 0
        Density of the water. [kg/m3]
    speed : float
        Speed of the drop. [m/s]
    deadrise : float, > 0
        Angle of its sides from level. [rad]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        Density is not above zero, or the deadrise is not above 0 and under 90 deg.

    Holds
        As `wagner_force`.
    Trust
        As `wagner_force`: an upper bound.
    Source
        [Wagner1932; second-hand], force over width.
    Checked
        tests/unit/physics/test_slam.py: force over width.

    Examples
    --------
    >>> round(mean_pressure(density=999.1, speed=1.0, deadrise=radians(4)))
    35254
    """
    require_positive(density=density)
    return 0.25 * pi**2 * density * speed**2 / _tangent(deadrise)


def added_mass(*, density: float, beam: float, length: float) -> float:
    """Mass of the water that a flat bottom must get moving when it lands level.

    Parameters
    ----------
    density : float, > 0
        Density of the water. [kg/m3]
    beam, length : float, > 0
        Size of the bottom. [m]

    Returns
    -------
    float
        Mass. [kg]

    Raises
    ------
    InputError
        An input is not above zero.

    Holds
        Bottoms longer than wide; on a square pad it is too much.
    Trust
        +-50 % on a square pad.
    Source
        Half the water around a long plate, pi/8 density beam^2, after [Karman1929; derived]; a choice for pads.
    Checked
        tests/unit/physics/test_slam.py: the worked pad, 6.1 g.

    Examples
    --------
    >>> round(added_mass(density=999.1, beam=0.025, length=0.025) * 1e3, 1)
    6.1
    """
    require_positive(density=density, beam=beam, length=length)
    return 0.125 * pi * density * beam**2 * length


def landing_impulse(*, mass: float, speed: float, added_mass: float) -> float:
    """Push a flat pad gets as it lands: it and the water go on together.

    Parameters
    ----------
    mass : float, > 0
        Share of the boat's mass over the pad. [kg]
    speed : float
        Speed of the drop. [m/s]
    added_mass : float, > 0
        Water it must get moving. [kg]

    Returns
    -------
    float
        Impulse. [N s]

    Raises
    ------
    InputError
        A mass is not above zero.

    Holds
        A landing so quick that nothing else acts.
    Trust
        As `added_mass`.
    Source
        Momentum is kept (derived), after [Karman1929; derived].
    Checked
        tests/unit/physics/test_slam.py: the worked pad loses 6 % of its drop.

    Examples
    --------
    >>> round(landing_impulse(mass=0.1, speed=1.0, added_mass=0.0061), 4)
    0.0057
    """
    require_positive(mass=mass, added_mass=added_mass)
    return mass * speed * added_mass / (mass + added_mass)


def board_use(*, pressure: float, strength: float) -> float:
    """How much of the board's strength a slam uses; above 1 it dents.

    Parameters
    ----------
    pressure : float, >= 0
        Mean pressure of the slam. [Pa]
    strength : float, > 0
        Crushing strength of the board, from its sheet or a thumb test. [Pa]

    Returns
    -------
    float
        Pressure over strength. [-]

    Raises
    ------
    InputError
        The pressure is below zero or the strength is not above zero.

    Holds
        Bare board; a tape skin spreads the load and helps.
    Trust
        A factor 2: boards differ, and paper edges go first.
    Source
        Definition, with the pressure of [Wagner1932; second-hand].
    Checked
        tests/unit/physics/test_slam.py.

    Examples
    --------
    >>> board_use(pressure=30e3, strength=120e3)
    0.25
    """
    require_not_negative(pressure=pressure)
    require_positive(strength=strength)
    return pressure / strength


def ripple_slope(*, height: float, length: float) -> float:
    """Steepest slope of a ripple with rounded crests.

    Parameters
    ----------
    height : float, >= 0
        Trough to crest. [m]
    length : float, > 0
        Crest to crest. [m]

    Returns
    -------
    float
        Slope. [rad]

    Raises
    ------
    InputError
        The height is below zero or the length is not above zero.

    Holds
        Gentle ripples, a sine.
    Trust
        +-30 % on a windy pond.
    Source
        Slope of a sine, pi height/length (derived); used with [Wagner1932; second-hand].
    Checked
        tests/unit/physics/test_slam.py.

    Examples
    --------
    >>> round(degrees(ripple_slope(height=0.002, length=0.1)), 1)
    3.6
    """
    require_not_negative(height=height)
    require_positive(length=length)
    return atan(pi * height / length)


def envelope(
    *, deadrise: float, pressure: float | None = None, strength: float | None = None
) -> tuple[Finding, ...]:
    """Where the wedge laws stop, and where the board dents.

    Examples
    --------
    >>> envelope(deadrise=radians(2))[0].what
    'Angle between bottom and water is 2 deg; the model was checked from 4 to 45 deg.'
    """
    angle = outside(
        "slam-angle",
        "Angle between bottom and water",
        value=degrees(deadrise),
        low=4.0,
        high=45.0,
        unit="deg",
        why="Flatter than that, trapped air softens the blow and the law says far too much.",
        do="Use the law at 4 deg as the worst case.",
    )
    if pressure is None or strength is None or board_use(pressure=pressure, strength=strength) <= 1.0:
        return angle
    dent = Finding(
        code="slam-dents-board",
        severity="warning",
        what=f"A slam presses with {pressure / 1e3:.0f} kPa; the board bears {strength / 1e3:.0f} kPa.",
        why="The bottom will dent where it lands, and a dented pad no longer runs true.",
        do="Cover the pads with a strip of tape or a second layer of board.",
    )
    return (*angle, dent)


def _tangent(deadrise: float) -> float:
    """Tangent of an angle that must be a wedge's."""
    if not 0.0 < deadrise < 0.5 * pi:
        raise InputError(
            what="Angle between bottom and water",
            got=f"{degrees(deadrise):.3g} deg",
            allowed="more than 0 and under 90 deg",
            do="For a level landing use the flat-pad impulse, or the angle of effective_angle.",
        )
    return tan(deadrise)

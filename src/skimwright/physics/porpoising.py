"""Porpoising: does a small bob die away or grow?

Two answers.  The chart is for a boat on ONE planing surface.  A three-point boat gets the second: the heave and
pitch it answers with, from the springs of its own pads.  One page of words: docs/physics/porpoising.md.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees, pi, radians, sin, sqrt

import numpy as np

from skimwright.base import Finding, InputError
from skimwright.physics import planing
from skimwright.physics.guard import outside, require_not_negative, require_positive

_ROOTS = (0.13, 0.15, 0.20, 0.25, 0.30)  # sqrt(CL/2)
_DEADRISES = (0.0, 10.0, 20.0)  # [deg]
_LIMITS = (  # trim above which the bob grows [deg]; read off the chart by machine, +-0.4
    (1.1, 1.8, 3.8, 6.2, 9.1),
    (2.7, 3.3, 4.9, 7.0, 9.5),
    (3.4, 4.0, 5.7, 7.9, 10.3),
)


def chart_limit(*, lift_root: float, deadrise: float = 0.0) -> float:
    """Steepest trim at which a boat on one planing surface runs without porpoising.

    Parameters
    ----------
    lift_root : float, > 0
        Square root of half the lift coefficient, sqrt(CL/2). [-]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Limit of trim, at least 0. [rad]

    Raises
    ------
    InputError
        The root is not above zero or the deadrise is below zero.

    Holds
        Root 0.13 to 0.30, deadrise 0 to 20 deg, ONE surface carrying the whole boat.  A running pad is at 0.12 and
        less, off the chart; straight lines run on past its edges.
    Trust
        +-0.4 deg, the reading.  Never a pass or fail for a boat on three points.
    Source
        [Savitsky1964, Fig. 18, after Day and Haag 1952; seen].
    Checked
        tests/published/water.csv: porp_0_13 … porp_20_25, sav64_t1_porp.

    Examples
    --------
    >>> round(degrees(chart_limit(lift_root=0.186, deadrise=radians(10))), 2)
    4.45
    """
    require_positive(lift_root=lift_root)
    require_not_negative(deadrise=deadrise)
    i, along = _cell(lift_root, _ROOTS)
    j, across = _cell(degrees(deadrise), _DEADRISES)
    low, high = (_LIMITS[k][i] + along * (_LIMITS[k][i + 1] - _LIMITS[k][i]) for k in (j, j + 1))
    return radians(max(0.0, low + across * (high - low)))


def _cell(value: float, marks: tuple[float, ...]) -> tuple[int, float]:
    """The pair of marks to interpolate between, and how far along; the end pairs run on."""
    i = min(max(bisect_right(marks, value) - 1, 0), len(marks) - 2)
    return i, (value - marks[i]) / (marks[i + 1] - marks[i])


@dataclass(frozen=True, kw_only=True)
class Support:
    """One surface that holds the boat up, as a spring."""

    ahead: float  # place of its lift, ahead of the centre of gravity [m]
    lift_per_rise: float  # lift gained when the surface rises, below zero for a pad [N/m]
    lift_per_trim: float  # lift gained when the boat turns bow up about that place [N/rad]
    lift_per_incidence: (
        float  # lift gained when the flow comes from further below, at the same wetting [N/rad]
    )


@dataclass(frozen=True, kw_only=True)
class Bobbing:
    """How a small bob goes on."""

    roots: tuple[complex, ...]  # of heave and pitch together [1/s]
    growth: float  # of the liveliest; above zero it grows [1/s]
    frequency: float  # of that one [Hz]

    @property
    def dies_away(self) -> bool:
        """True if every bob gets smaller."""
        return self.growth < 0.0


def pad_support(
    *, ahead: float, trim: float, wetted_ratio: float, beam: float, speed: float, density: float,
    gravity: float = planing.GRAVITY,
) -> Support:  # fmt: skip
    """A running pad as a spring, at the attitude it runs in.

    Parameters
    ----------
    ahead : float
        Place of its lift, ahead of the centre of gravity. [m]
    trim : float, > 0
        Trim of the pad, bow up. [rad]
    wetted_ratio : float, > 0
        Mean wetted length over beam. [-]
    beam : float, > 0
        Width of the pad. [m]
    speed : float, > 0
        Speed. [m/s]
    density : float, > 0
        Density of the water. [kg/m3]
    gravity : float, > 0
        Gravity. [m/s2]

    Returns
    -------
    Support
        Slopes of `planing.pad_lift` with wave rise, by small differences.

    Raises
    ------
    InputError
        An input other than `ahead` is not above zero.

    Holds
        As `planing.pad_lift`; bobs slow beside the time a pad takes to pass its own length.
    Trust
        +-30 %.
    Source
        Slopes of [Savitsky1964, eqs 1 and 15; seen] and [PlaningPlate; derived].
    Checked
        tests/unit/physics/test_porpoising.py: against the slope of eqs 1 and 15 done by hand.

    Examples
    --------
    >>> pad_support(ahead=0.1, trim=0.07, wetted_ratio=0.6, beam=0.025, speed=10, density=999.1).lift_per_rise < 0
    True
    """
    require_positive(trim=trim, wetted_ratio=wetted_ratio, beam=beam, speed=speed, density=density)
    cv = speed / sqrt(gravity * beam)
    per_lift = 0.5 * density * speed**2 * beam**2
    deep = planing.still_ratio(wetted_ratio=wetted_ratio) * beam * sin(trim)
    reach = (
        planing.pad_centre(trim=trim, wetted_ratio=wetted_ratio, speed_coefficient=cv) * wetted_ratio * beam
    )

    def lift(angle: float, ratio: float) -> float:
        return per_lift * planing.pad_lift(trim=angle, wetted_ratio=ratio, speed_coefficient=cv)

    def sunk(angle: float, immersion: float) -> float:
        return lift(angle, planing.wave_rise(still_ratio=immersion / (beam * sin(angle))))

    def turned(angle: float) -> float:
        return sunk(angle, deep + reach * (sin(angle) - sin(trim)))

    step, turn = 1e-4 * deep, 1e-4 * trim
    return Support(
        ahead=ahead,
        lift_per_rise=(sunk(trim, deep - step) - sunk(trim, deep + step)) / (2.0 * step),
        lift_per_trim=(turned(trim + turn) - turned(trim - turn)) / (2.0 * turn),
        lift_per_incidence=(lift(trim + turn, wetted_ratio) - lift(trim - turn, wetted_ratio)) / (2.0 * turn),
    )


def bobbing(*, mass: float, pitch_inertia: float, speed: float, supports: Sequence[Support]) -> Bobbing:
    """How a small bob of a boat on several supports goes on.

    Each support answers at once to its height, to the boat's trim, and to the flow its own rising makes.

    Parameters
    ----------
    mass : float, > 0
        Mass of the boat. [kg]
    pitch_inertia : float, > 0
        Moment of inertia about the athwartships axis through the centre of gravity. [kg m2]
    speed : float, > 0
        Speed. [m/s]
    supports : sequence of Support
        Pads that are wet, and the tunnel or deck if the air carries some of the weight.

    Returns
    -------
    Bobbing
        Four roots, and the liveliest of them.

    Raises
    ------
    InputError
        Mass, inertia or speed is not above zero, or there is no support.

    Holds
        Small bobs on flat water, while the same surfaces stay wet.
    Trust
        The sign, where it is clear; a growth within +-2 per second of nought says nothing.
    Source
        The idea of [PerringGlauert1933; second-hand]; the equations are ours (docs/physics/porpoising.md).
    Checked
        tests/unit/physics/test_porpoising.py: two equal supports solved by hand; a wing ahead upsets the boat.

    Examples
    --------
    >>> pads = [Support(ahead=x, lift_per_rise=-400.0, lift_per_trim=10.0, lift_per_incidence=12.0)
    ...         for x in (0.15, -0.15)]
    >>> bobbing(mass=0.27, pitch_inertia=0.004, speed=8.0, supports=pads).dies_away
    True
    """
    require_positive(mass=mass, pitch_inertia=pitch_inertia, speed=speed)
    if not supports:
        raise InputError(
            what="Supports of the boat", got="none", allowed="one or more", do="Name the pads that are wet."
        )
    motion = np.zeros((4, 4))  # heave, pitch and their rates; up and bow up
    motion[0, 2] = motion[1, 3] = 1.0
    for one in supports:
        slopes = np.array(
            [
                one.lift_per_rise,
                one.lift_per_rise * one.ahead + one.lift_per_trim,
                -one.lift_per_incidence / speed,
                -one.lift_per_incidence * one.ahead / speed,
            ]
        )
        motion[2] += slopes / mass
        motion[3] += slopes * one.ahead / pitch_inertia
    roots = sorted((complex(root) for root in np.linalg.eigvals(motion)), key=lambda r: (-r.real, r.imag))
    return Bobbing(roots=tuple(roots), growth=roots[0].real, frequency=abs(roots[0].imag) / (2.0 * pi))


def envelope(*, lift_root: float, deadrise: float = 0.0, wet_surfaces: int = 1) -> tuple[Finding, ...]:
    """Where the chart has nothing to say.

    Examples
    --------
    >>> envelope(lift_root=0.12)[0].what
    'Chart root sqrt(CL/2) is 0.12; the model was checked from 0.13 to 0.3.'
    """
    why = "The chart stops there; its lines are drawn on by ruler."
    do = "Watch the first slow runs from the side."
    return (
        *outside("porpoising-root", "Chart root sqrt(CL/2)", value=lift_root, low=0.13, high=0.30, why=why, do=do),
        *outside("porpoising-deadrise", "Deadrise", value=degrees(deadrise), low=0.0, high=20.0, unit="deg",
                 why=why, do=do),
        *outside("porpoising-surfaces", "Number of wet surfaces", value=float(wet_surfaces), low=1.0, high=1.0,
                 why="The chart knows boats on one surface only.", do="Use the heave and pitch test instead."),
    )  # fmt: skip

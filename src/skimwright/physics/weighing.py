"""Finding mass, balance and turning inertia with a kitchen scale, a ruler and two strings.

Words and picture: docs/physics/board.md, section 5.
"""

from __future__ import annotations

from math import pi

from skimwright.base import Finding, InputError
from skimwright.physics.guard import outside, require_not_negative, require_positive

GRAVITY = 9.80665  # [m/s2]


def balance_from_two_scales(*, front: float, rear: float, spacing: float) -> float:
    """Balance point behind the front support, from what two scales show.

    Parameters
    ----------
    front : float, >= 0
        Load on the front support; mass or weight, the same for both. [kg or N]
    rear : float, >= 0
        Load on the rear support. [kg or N]
    spacing : float, > 0
        Between the supports. [m]

    Returns
    -------
    float
        Balance point from the front support. [m]

    Raises
    ------
    InputError
        A load is negative, both are zero, or the spacing is not positive.

    Holds
        A level boat on two narrow supports.
    Trust
        As the scales; a knife edge finds it to about 2 mm (common practice).
    Source
        Statics (derived).
    Checked
        tests/published/air.csv: cg_2scale.

    Examples
    --------
    >>> round(balance_from_two_scales(front=1.2, rear=1.8, spacing=0.50), 6)
    0.3
    """
    require_not_negative(front_load=front, rear_load=rear)
    require_positive(both_loads=front + rear, spacing=spacing)
    return rear * spacing / (front + rear)


def balance_with_ballast(*, mass: float, balance: float, ballast: float, ballast_place: float) -> float:
    """Where the balance point goes when ballast is added.

    Parameters
    ----------
    mass : float, > 0
        Mass before. [kg]
    balance : float
        Balance point before. [m]
    ballast : float, >= 0
        Mass added. [kg]
    ballast_place : float
        Where it is put. [m]

    Returns
    -------
    float
        Balance point after. [m]

    Raises
    ------
    InputError
        The mass is not positive or the ballast is negative.

    Holds
        Along any one axis.
    Trust
        Exact.
    Source
        Statics (derived).
    Checked
        tests/published/air.csv: cg_shift.

    Examples
    --------
    >>> round(balance_with_ballast(mass=0.28, balance=0.40, ballast=0.02, ballast_place=0.10), 6)
    0.38
    """
    require_positive(mass=mass)
    require_not_negative(ballast=ballast)
    return (mass * balance + ballast * ballast_place) / (mass + ballast)


def ballast_for_balance(*, mass: float, balance: float, wanted: float, ballast_place: float) -> float:
    """How much ballast at a given place brings the balance point where it is wanted.

    Parameters
    ----------
    mass : float, > 0
        Mass before. [kg]
    balance : float
        Balance point before. [m]
    wanted : float
        Balance point wanted. [m]
    ballast_place : float
        Where the ballast can go. [m]

    Returns
    -------
    float
        Ballast. [kg]

    Raises
    ------
    InputError
        The mass is not positive, or ballast at that place cannot move the balance point that way.

    Holds
        Along any one axis.
    Trust
        Exact.
    Source
        `balance_with_ballast` solved for the ballast (derived).
    Checked
        tests/unit/physics/test_weighing.py: there and back, and the Fold 62 case.

    Examples
    --------
    >>> round(1000 * ballast_for_balance(mass=0.2352, balance=0.3216, wanted=0.345, ballast_place=0.600), 1)
    21.6
    """
    require_positive(mass=mass)
    shift, reach = wanted - balance, ballast_place - wanted
    if shift == 0.0:
        return 0.0
    if shift * reach <= 0:
        places = (balance, wanted, ballast_place)
        raise InputError(
            what="Ballast there cannot do it",
            got="balance {:.0f} mm, wanted {:.0f} mm, ballast at {:.0f} mm".format(
                *(1e3 * x for x in places)
            ),
            allowed="a place beyond the wanted balance point",
            do="Put the ballast further out, on the side the balance point should move to.",
        )
    return mass * shift / reach


def swing_inertia(*, mass: float, string_spacing: float, string_length: float, period: float) -> float:
    """Turning inertia from a slow twist on two equal strings.

    Parameters
    ----------
    mass : float, > 0
        Mass of the boat. [kg]
    string_spacing : float, > 0
        Between the two strings, the balance point midway. [m]
    string_length : float, > 0
        Length of each string. [m]
    period : float, > 0
        Time for one full twist there and back. [s]

    Returns
    -------
    float
        Inertia about the upright line through the balance point. [kg m2]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Small twists.  Hang the boat so that the deck turns in its own plane; broadside, air moving
        with the deck adds a few per cent.
    Trust
        Twice the relative error of period and spacing: time ten twists.
    Source
        [JardinMueller2007; seen], linear form (derived).
    Checked
        tests/published/air.csv: bifilar.

    Examples
    --------
    >>> round(swing_inertia(mass=0.40, string_spacing=0.50, string_length=1.00, period=1.20), 5)
    0.00894
    """
    require_positive(mass=mass, string_spacing=string_spacing, string_length=string_length, period=period)
    return mass * GRAVITY * string_spacing**2 * period**2 / (16.0 * pi**2 * string_length)


def side_offset(*, port: float, starboard: float, spacing: float) -> float:
    """Balance point to starboard of the centre line, from a scale under each side.

    Parameters
    ----------
    port : float, >= 0
        Load under the port support. [kg or N]
    starboard : float, >= 0
        Load under the starboard support. [kg or N]
    spacing : float, > 0
        Between the supports, equally far from the centre line. [m]

    Returns
    -------
    float
        Offset, + to starboard. [m]

    Raises
    ------
    InputError
        A load is negative, both are zero, or the spacing is not positive.

    Holds
        A level boat on two narrow supports.
    Trust
        As the scales.
    Source
        Statics (derived).
    Checked
        tests/unit/physics/test_weighing.py, against `balance_from_two_scales`.

    Examples
    --------
    >>> round(1000 * side_offset(port=0.130, starboard=0.134, spacing=0.24), 1)
    1.8
    """
    return balance_from_two_scales(front=port, rear=starboard, spacing=spacing) - 0.5 * spacing


def envelope(*, swing_period: float) -> tuple[Finding, ...]:
    """What makes a swing test doubtful.

    Examples
    --------
    >>> envelope(swing_period=1.2)
    ()
    """
    return outside(
        "swing-quick", "Twist period", value=swing_period, low=0.5, high=10.0, unit="s",
        why="Too quick to time by hand, or so slow that draughts disturb it.",
        do="Change the string length or spacing.",
    )  # fmt: skip

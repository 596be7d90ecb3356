"""A straight run under constant thrust with drag k V^2: the sum a pupil can do.

Words: docs/physics/thrust.md.
"""

from __future__ import annotations

from math import cosh, log, sqrt, tanh

from skimwright.physics.guard import require_not_negative, require_positive


def speed_ceiling(*, total_impulse: float, mass: float) -> float:
    """Speed a push would give with no drag at all: nothing real goes faster.

    Parameters
    ----------
    total_impulse : float, >= 0
        Total impulse. [N s]
    mass : float, > 0
        Mass of the boat. [kg]

    Returns
    -------
    float
        Speed. [m/s]

    Raises
    ------
    InputError
        The impulse is negative or the mass not positive.

    Holds
        Always, as a ceiling; real boats stay 20 to 60 % under it (choice).
    Trust
        Exact as a bound.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: dv_A, dv_B, dv_D.

    Examples
    --------
    >>> round(speed_ceiling(total_impulse=2.5, mass=0.30), 1)
    8.3
    """
    require_not_negative(total_impulse=total_impulse)
    require_positive(mass=mass)
    return total_impulse / mass


def run_speed(*, thrust: float, drag_factor: float, mass: float, time: float) -> float:
    """Speed after a time of constant thrust from rest.

    Parameters
    ----------
    thrust : float, > 0
        Thrust. [N]
    drag_factor : float, > 0
        k in drag = k V^2. [N s2/m2]
    mass : float, > 0
        Mass of the boat. [kg]
    time : float, >= 0
        Since the start. [s]

    Returns
    -------
    float
        Speed. [m/s]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        Drag that grows with speed squared: air, and water well above planing speed.
    Trust
        A classroom sum; the run model knows more.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: acc_V.

    Examples
    --------
    >>> round(run_speed(thrust=6.0, drag_factor=0.05, mass=0.30, time=0.683), 2)
    9.28
    """
    require_positive(thrust=thrust, drag_factor=drag_factor, mass=mass)
    require_not_negative(time=time)
    return sqrt(thrust / drag_factor) * tanh(time * sqrt(thrust * drag_factor) / mass)


def run_distance(*, thrust: float, drag_factor: float, mass: float, time: float) -> float:
    """Distance after a time of constant thrust from rest.

    Parameters
    ----------
    thrust : float, > 0
        Thrust. [N]
    drag_factor : float, > 0
        k in drag = k V^2. [N s2/m2]
    mass : float, > 0
        Mass of the boat. [kg]
    time : float, >= 0
        Since the start. [s]

    Returns
    -------
    float
        Distance. [m]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        As `run_speed`.
    Trust
        As `run_speed`.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: acc_x.

    Examples
    --------
    >>> round(run_distance(thrust=6.0, drag_factor=0.05, mass=0.30, time=0.683), 2)
    3.8
    """
    require_positive(thrust=thrust, drag_factor=drag_factor, mass=mass)
    require_not_negative(time=time)
    turns = time * sqrt(thrust * drag_factor) / mass
    grown = log(cosh(turns)) if turns < 300 else turns - log(2.0)
    return mass / drag_factor * grown


def coast_distance(*, start_speed: float, end_speed: float, drag_factor: float, mass: float) -> float:
    """Distance coasted while drag slows the boat from one speed to another.

    Parameters
    ----------
    start_speed : float, > 0
        Speed when thrust ends. [m/s]
    end_speed : float, > 0
        Speed to slow down to. [m/s]
    drag_factor : float, > 0
        k in drag = k V^2. [N s2/m2]
    mass : float, > 0
        Mass of the boat. [kg]

    Returns
    -------
    float
        Distance. [m]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `run_speed`; not down to rest, where this drag never stops a boat.
    Trust
        As `run_speed`.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: coast_x.

    Examples
    --------
    >>> round(coast_distance(start_speed=9.0, end_speed=3.0, drag_factor=0.05, mass=0.30), 2)
    6.59
    """
    require_positive(start_speed=start_speed, end_speed=end_speed, drag_factor=drag_factor, mass=mass)
    return mass / drag_factor * log(start_speed / end_speed)

"""Wind from the side: what it pushes, turns and tips.  Words and picture: docs/physics/crosswind.md.

Boat axes: x from the bow aft, y to starboard, z up.  Yaw moment + turns the bow to starboard;
roll moment + heels to starboard.  ``cross_speed`` is the air's own speed across the boat, + when
it blows toward starboard.
"""

from __future__ import annotations

from math import atan2, degrees, hypot

from skimwright.base import Finding
from skimwright.physics import plate
from skimwright.physics.guard import outside, require_not_negative, require_positive

STANDING_PLATE = 1.2  # a plate that stands on the surface, four to nine times as long as high [memory]


def side_force(
    *,
    forward_speed: float,
    cross_speed: float,
    side_area: float,
    slope: float,
    air_density: float,
    crossflow: float = STANDING_PLATE,
) -> float:
    """Side force of the air on a hull side.

    Two terms: the hull works as a stubby wing (grows straight with the cross wind while the boat
    runs), and as a wall (grows with its square).  Without the first a light breeze on a fast boat
    would do nothing, which is wrong.

    Parameters
    ----------
    forward_speed : float
        Air speed along the boat. [m/s]
    cross_speed : float
        Air speed across the boat, + toward starboard. [m/s]
    side_area : float, >= 0
        Area seen from the side. [m2]
    slope : float, >= 0
        Side-force slope of the hull as a wing, see `hull_slope`. [1/rad]
    air_density : float, > 0
        Density of the air. [kg/m3]
    crossflow : float, optional
        Drag coefficient of the side as a wall. [-]

    Returns
    -------
    float
        Side force, + to starboard. [N]

    Raises
    ------
    InputError
        An area, slope or density is negative.

    Holds
        Up to 8 m/s of wind on boats under 1 m.
    Trust
        25 % (judgement); the wall coefficient is from memory.
    Source
        docs/physics/crosswind.md (derived); the wing term as in `plate.normal_force`.
    Checked
        tests/published/air.csv: xwind; mirror in tests/unit/physics/test_crosswind.py.

    Examples
    --------
    >>> round(side_force(forward_speed=0.0, cross_speed=4.0, side_area=0.05, slope=0.4, air_density=1.225), 3)
    0.588
    """
    require_not_negative(side_area=side_area, slope=slope, crossflow=crossflow)
    require_positive(air_density=air_density)
    wing = slope * abs(forward_speed) * cross_speed
    wall = crossflow * cross_speed * abs(cross_speed)
    return 0.5 * air_density * side_area * (wing + wall)


def hull_slope(*, side_height: float, side_area: float) -> float:
    """Side-force slope of the hull as a low wing that the water mirrors.

    Parameters
    ----------
    side_height : float, > 0
        Mean height of the side above the water. [m]
    side_area : float, > 0
        Area seen from the side. [m2]

    Returns
    -------
    float
        Side-force coefficient on side area per radian of sideslip. [1/rad]

    Raises
    ------
    InputError
        Height or area is not positive.

    Holds
        Sides shut down to the water.
    Trust
        A guess by likeness to plates.
    Source
        `plate.lift_slope` at the mirrored aspect ratio (choice).
    Checked
        tests/unit/physics/test_crosswind.py.

    Examples
    --------
    >>> round(hull_slope(side_height=0.08, side_area=0.05), 2)
    0.4
    """
    aspect = plate.mirrored_aspect_ratio(height=side_height, area=side_area)
    return plate.lift_slope(aspect_ratio=aspect)


def fin_force(
    *, forward_speed: float, cross_speed: float, area: float, height: float, air_density: float
) -> float:
    """Side force of a fin that stands on the deck.

    Parameters
    ----------
    forward_speed : float
        Air speed along the boat. [m/s]
    cross_speed : float
        Air speed across the boat, + toward starboard. [m/s]
    area : float, > 0
        Exposed area, one side. [m2]
    height : float, > 0
        Exposed height. [m]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Side force, + to starboard. [N]

    Raises
    ------
    InputError
        Area, height or density is not positive.

    Holds
        Sideslip to about 12 degrees (memory); rougher beyond.
    Trust
        20 % to 12 degrees, 40 % beyond (judgement).
    Source
        `plate.normal_force` at the mirrored aspect ratio (derived, with its choice).
    Checked
        tests/published/air.csv: fin_side.

    Examples
    --------
    >>> from math import cos, radians, sin
    >>> beta = radians(5.0)
    >>> force = fin_force(forward_speed=8 * cos(beta), cross_speed=8 * sin(beta), area=0.0064, height=0.08,
    ...                   air_density=1.225)
    >>> round(force, 4)
    0.0589
    """
    require_positive(air_density=air_density)
    aspect = plate.mirrored_aspect_ratio(height=height, area=area)
    slip = atan2(cross_speed, abs(forward_speed))
    pressure = 0.5 * air_density * hypot(forward_speed, cross_speed) ** 2
    return pressure * area * plate.normal_force(angle=slip, aspect_ratio=aspect)


def yaw_moment(*, force: float, force_x: float, balance_x: float) -> float:
    """Turning moment of a side force: a push behind the balance point swings the bow into the wind.

    Parameters
    ----------
    force : float
        Side force, + to starboard. [N]
    force_x : float
        Where it acts, from the bow. [m]
    balance_x : float
        Balance point, from the bow. [m]

    Returns
    -------
    float
        Moment, + turns the bow to starboard. [N m]

    Raises
    ------
    InputError
        Never.

    Holds
        Always: a lever.
    Trust
        Exact.
    Source
        Statics (derived).
    Checked
        tests/unit/physics/test_crosswind.py.

    Examples
    --------
    >>> round(yaw_moment(force=1.0, force_x=0.30, balance_x=0.35), 6)
    0.05
    """
    return force * (balance_x - force_x)


def roll_moment(*, force: float, force_z: float, pivot_z: float = 0.0) -> float:
    """Heeling moment of a side force about a level, by default the pad plane.

    Parameters
    ----------
    force : float
        Side force, + to starboard. [N]
    force_z : float
        Height where it acts above the pad plane. [m]
    pivot_z : float, optional
        Height of the level the moment is taken about. [m]

    Returns
    -------
    float
        Moment, + heels to starboard. [N m]

    Raises
    ------
    InputError
        Never.

    Holds
        Always: a lever.
    Trust
        Exact.
    Source
        Statics (derived).
    Checked
        tests/unit/physics/test_crosswind.py.

    Examples
    --------
    >>> round(roll_moment(force=0.5, force_z=0.06), 6)
    0.03
    """
    return force * (force_z - pivot_z)


def envelope(*, forward_speed: float, cross_speed: float) -> tuple[Finding, ...]:
    """What lies outside the range of the crosswind forms.

    Examples
    --------
    >>> envelope(forward_speed=8.0, cross_speed=2.0)
    ()
    >>> envelope(forward_speed=2.0, cross_speed=9.0)[0].code
    'crosswind-strong'
    """
    slip = degrees(atan2(abs(cross_speed), max(abs(forward_speed), 1e-9)))
    return (
        *outside("crosswind-strong", "Wind across the boat", value=abs(cross_speed), high=8.0, unit="m/s",
                 why="No small boat was ever compared there.", do="Wait for a quieter quarter of an hour."),
        *outside("crosswind-slip", "Air angle at the bow", value=slip if forward_speed > 3.0 else 0.0,
                 high=20.0, unit="degrees", why="Past it fins stall and the tunnel loses its air.",
                 do="Turn the launch line nearer to the wind."),
    )  # fmt: skip

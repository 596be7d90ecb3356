"""Blowing over: when the air lifts the bow for good.  Words and picture: docs/physics/blowover.md.

All moments are about the rear contact, the place where the stern still touches the water.
Speeds are AIR speeds: boat speed plus headwind.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, degrees, inf, pi, radians, sin, sqrt

from scipy.optimize import brentq

from skimwright.base import Finding, InputError
from skimwright.physics import plate, tunnel
from skimwright.physics.guard import outside, require_not_negative, require_positive

GRAVITY = 9.80665  # [m/s2]


def margin(
    *,
    weight: float,
    cg_ahead: float,
    lift: float,
    lift_ahead: float,
    thrust: float = 0.0,
    thrust_height: float = 0.0,
    drag: float = 0.0,
    drag_height: float = 0.0,
    inertia_force: float = 0.0,
    cg_height: float = 0.0,
) -> float:
    """How much more holds the bow down than lifts it; at 0 the front pads carry nothing.

    Thrust above the water holds the bow down, so the margin drops when thrust ends.

    Parameters
    ----------
    weight : float, > 0
        Weight of the boat. [N]
    cg_ahead : float, > 0
        Balance point ahead of the rear contact. [m]
    lift : float
        Air lift. [N]
    lift_ahead : float
        Where it acts, ahead of the rear contact. [m]
    thrust : float, optional
        Thrust forward. [N]
    thrust_height : float, optional
        Thrust line above the water. [m]
    drag : float, optional
        Air drag. [N]
    drag_height : float, optional
        Where it acts above the water. [m]
    inertia_force : float, optional
        Mass x forward acceleration. [N]
    cg_height : float, optional
        Balance point above the water. [m]

    Returns
    -------
    float
        Holding moment over lifting moment, less 1; infinity if nothing lifts. [-]

    Raises
    ------
    InputError
        The weight is not positive.

    Holds
        Slow enough nose-up motion to count as still.
    Trust
        As good as the lift: half its relative error in speed.
    Source
        [BlowOverMoments; derived].
    Checked
        tests/published/air.csv: blow_margin.

    Examples
    --------
    >>> round(margin(weight=2.94, cg_ahead=0.26, lift=1.2, lift_ahead=0.46), 2)
    0.38
    """
    require_positive(weight=weight)
    holding = weight * cg_ahead + thrust * thrust_height - drag * drag_height - inertia_force * cg_height
    lifting = lift * lift_ahead
    return holding / lifting - 1.0 if lifting > 0 else inf


def unload_speed(
    *, mass: float, cg_ahead: float, lift_area: float, lift_ahead: float, air_density: float
) -> float:
    """Air speed at which the front pads carry nothing, with no thrust and no braking.

    Parameters
    ----------
    mass : float, > 0
        Mass of the boat. [kg]
    cg_ahead : float, > 0
        Balance point ahead of the rear contact. [m]
    lift_area : float
        Lift over dynamic pressure: coefficient x area. [m2]
    lift_ahead : float
        Where the lift acts, ahead of the rear contact. [m]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Air speed; infinity if the air does not lift the bow. [m/s]

    Raises
    ------
    InputError
        Mass, lever or density is not positive.

    Holds
        One attitude: trim and ride height do not change on the way there.
    Trust
        15 to 25 % (judgement); the side leak alone moves it by 30 %.
    Source
        [BlowOverMoments; derived].
    Checked
        tests/published/air.csv: blow_V_noleak, blow_V_leak1.

    Examples
    --------
    >>> speed = unload_speed(mass=0.30, cg_ahead=0.26, lift_area=0.03, lift_ahead=0.464112, air_density=1.225)
    >>> round(speed, 2)
    9.47
    """
    require_positive(mass=mass, balance_point_ahead_of_the_rear_contact=cg_ahead, air_density=air_density)
    lifting = lift_area * lift_ahead
    return sqrt(2.0 * mass * GRAVITY * cg_ahead / (air_density * lifting)) if lifting > 0 else inf


@dataclass(frozen=True, kw_only=True)
class AirForm:
    """A boat as the one-page air model sees it; x from the bow, z above the pad plane."""

    mass: float  # [kg]
    balance_x: float  # [m]
    balance_z: float  # [m]
    contact_x: float  # rear contact [m]
    deck_area: float  # [m2]
    deck_beam: float  # [m]
    deck_length: float  # [m]
    deck_front: float = 0.0  # [m]
    tunnel_width: float  # [m]
    tunnel_length: float  # [m]
    tunnel_front: float  # [m]
    exit_gap: float  # [m]
    leak: float  # leak parameter, see tunnel.leak_parameter [-]


@dataclass(frozen=True, kw_only=True)
class AirLift:
    """Air forces square to the boat, over dynamic pressure, and where they act."""

    tunnel_area: float  # tunnel force over q [m2]
    tunnel_x: float  # [m]
    deck_area: float  # deck force over q [m2]
    deck_x: float  # [m]


def air_lift(form: AirForm, *, trim: float) -> AirLift:
    """Tunnel and deck forces of the one-page model at one trim, roof and deck both at that angle.

    Parameters
    ----------
    form : AirForm
        The boat.
    trim : float, > 0
        Bow-up trim. [rad]

    Returns
    -------
    AirLift
        Forces over dynamic pressure [m2] and their places [m].

    Raises
    ------
    InputError
        The trim is not positive, or a size is not.

    Holds
        Exit gap under 0.1 of the roof; 0 to 15 degrees.
    Trust
        Tunnel 30 %, deck 25 % (judgement).
    Source
        Tunnel and plate forms (derived) joined by `tunnel.ground_weight` (choice): near the water the
        tunnel counts, far from it the plate; each area once.
    Checked
        tests/published/air.csv: model_Nd_8_4.

    Examples
    --------
    >>> boat = AirForm(mass=0.3, balance_x=0.42, balance_z=0.04, contact_x=0.68,
    ...                deck_area=0.21, deck_beam=0.3, deck_length=0.7,
    ...                tunnel_width=0.2, tunnel_length=0.3, tunnel_front=0.1, exit_gap=0.03, leak=0.5)
    >>> lift = air_lift(boat, trim=radians(4.0))
    >>> round(39.2 * lift.tunnel_area, 3), round(39.2 * lift.deck_area, 3)
    (0.775, 0.367)
    """
    require_positive(trim=trim, tunnel_length=form.tunnel_length, deck_area=form.deck_area)
    entry_gap = form.exit_gap + form.tunnel_length * sin(trim)
    ratio = form.exit_gap / entry_gap
    left = tunnel.leak_factor(gap_ratio=ratio, leak=form.leak)
    ram = left * tunnel.roof_lift(exit_gap=form.exit_gap, entry_gap=entry_gap)
    centre = 0.5 - (0.5 - tunnel.roof_centre(exit_gap=form.exit_gap, entry_gap=entry_gap)) * sqrt(left)
    near = tunnel.ground_weight(mean_gap=0.5 * (form.exit_gap + entry_gap), roof_length=form.tunnel_length)
    half_plate = 0.5 * plate.normal_force(angle=trim, aspect_ratio=form.deck_beam**2 / form.deck_area)
    roof_area = form.tunnel_width * form.tunnel_length
    return AirLift(
        tunnel_area=roof_area * (near * ram + (1.0 - near) * half_plate),
        tunnel_x=form.tunnel_front + form.tunnel_length * centre,
        deck_area=half_plate * (2.0 * form.deck_area - roof_area),
        deck_x=form.deck_front + form.deck_length * plate.centre_of_pressure(angle=trim),
    )


def form_margin(form: AirForm, *, trim: float, air_speed: float, air_density: float) -> float:
    """Blow-over margin of the one-page model, with no thrust and no braking.

    Parameters
    ----------
    form : AirForm
        The boat.
    trim : float, > 0
        Bow-up trim. [rad]
    air_speed : float, > 0
        Boat speed plus headwind. [m/s]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Holding over lifting moment, less 1. [-]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `air_lift`.
    Trust
        30 % of 1 + margin (judgement).
    Source
        [BlowOverMoments; derived, with its choices].
    Checked
        tests/published/air.csv: model_B_8_4.

    Examples
    --------
    See `air_lift`, whose boat has a margin of 0.43 at 8 m/s and 4 degrees.
    """
    require_positive(air_speed=air_speed, air_density=air_density)
    lift = air_lift(form, trim=trim)
    lever = (form.contact_x - form.balance_x) * cos(trim) - form.balance_z * sin(trim)
    turning = lift.tunnel_area * (form.contact_x - lift.tunnel_x) + lift.deck_area * (
        form.contact_x - lift.deck_x
    )
    pressure = 0.5 * air_density * air_speed**2
    return form.mass * GRAVITY * lever / (pressure * turning) - 1.0


def critical_speed(form: AirForm, *, trim: float, air_density: float) -> float:
    """Air speed at which the one-page model's margin is gone.

    Parameters
    ----------
    form : AirForm
        The boat.
    trim : float, > 0
        Bow-up trim. [rad]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Air speed; show it with 20 % either way. [m/s]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        As `air_lift`.
    Trust
        15 to 25 % (judgement).
    Source
        [BlowOverMoments; derived, with its choices].
    Checked
        tests/published/air.csv: model_Vcrit_trim2 … model_Vcrit_trim8.

    Examples
    --------
    See docs/physics/blowover.md: 12.3, 9.6, 8.3 and 7.6 m/s at 2, 4, 6 and 8 degrees.
    """
    left = 1.0 + form_margin(form, trim=trim, air_speed=1.0, air_density=air_density)
    return sqrt(max(left, 0.0))


def flip_angle(
    *,
    air_speed: float,
    mass: float,
    deck_area: float,
    deck_beam: float,
    deck_length: float,
    contact_x: float,
    cg_ahead: float,
    cg_height: float,
    air_density: float,
) -> float:
    """Nose-up angle past which the deck, as a free plate, carries the boat right over.

    Parameters
    ----------
    air_speed : float, > 0
        Boat speed plus headwind. [m/s]
    mass : float, > 0
        Mass of the boat. [kg]
    deck_area : float, > 0
        Plan area of the deck. [m2]
    deck_beam : float, > 0
        Greatest width. [m]
    deck_length : float, > 0
        Length of the deck, from the bow. [m]
    contact_x : float, > 0
        Rear contact, from the bow. [m]
    cg_ahead : float, > 0
        Balance point ahead of the rear contact. [m]
    cg_height : float
        Balance point above the water. [m]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    float
        Angle; pi/2 when the air is too slow to flip the boat at any angle. [rad]

    Raises
    ------
    InputError
        A size, mass, speed or density is not positive.

    Holds
        The pivot far aft, so that the tunnel's share hardly changes as the bow rises.
    Trust
        25 % of the deck force, and a centre of pressure from memory.
    Source
        [BlowOverMoments; derived, with its choices].
    Checked
        tests/published/air.csv: flip_angle_6, flip_angle_8, flip_angle_10.

    Examples
    --------
    >>> angle = flip_angle(air_speed=8.0, mass=0.30, deck_area=0.21, deck_beam=0.30, deck_length=0.70,
    ...                    contact_x=0.68, cg_ahead=0.26, cg_height=0.04, air_density=1.225)
    >>> round(degrees(angle), 1)
    12.7
    """
    require_positive(air_speed=air_speed, mass=mass, deck_area=deck_area, deck_beam=deck_beam)
    require_positive(deck_length=deck_length, contact_x=contact_x, air_density=air_density)
    require_positive(balance_point_ahead_of_the_rear_contact=cg_ahead)
    aspect, push = deck_beam**2 / deck_area, 0.5 * air_density * air_speed**2 * deck_area

    def excess(angle: float) -> float:
        lever = contact_x - deck_length * plate.centre_of_pressure(angle=angle)
        holding = mass * GRAVITY * (cg_ahead * cos(angle) - cg_height * sin(angle))
        return push * plate.normal_force(angle=angle, aspect_ratio=aspect) * lever - holding

    steps = [k * pi / 360.0 for k in range(181)]
    for low, high in pairwise(steps):
        if excess(high) >= 0.0:
            return float(brentq(excess, low, high, xtol=1e-12))
    return pi / 2


@dataclass(frozen=True, kw_only=True)
class Margins:
    """Blow-over margins of one boat in the three moments that matter."""

    thrust_on: float  # end of the push [-]
    thrust_off: float  # just after it, at the same speed [-]
    gust: float  # thrust off, with the gust on top [-]

    @property
    def worst(self) -> float:
        """The least of the three. [-]"""
        return min(self.thrust_on, self.thrust_off, self.gust)


def margins(
    *,
    mass: float,
    cg_ahead: float,
    cg_height: float,
    lift_area: float,
    lift_ahead: float,
    drag_area: float,
    drag_height: float,
    thrust: float,
    thrust_height: float,
    water_drag: float,
    boat_speed: float,
    headwind: float,
    gust: float,
    air_density: float,
) -> Margins:
    """Margins with thrust on, thrust off, and thrust off in a gust, at one attitude.

    Parameters
    ----------
    mass : float, > 0
        Mass of the boat. [kg]
    cg_ahead : float
        Balance point ahead of the rear contact. [m]
    cg_height : float
        Balance point above the water. [m]
    lift_area : float
        Air lift over dynamic pressure. [m2]
    lift_ahead : float
        Where it acts, ahead of the rear contact. [m]
    drag_area : float, >= 0
        Air drag over dynamic pressure. [m2]
    drag_height : float
        Where it acts above the water. [m]
    thrust : float, >= 0
        Thrust at the end of the push. [N]
    thrust_height : float
        Thrust line above the water; below the balance point for a tow line. [m]
    water_drag : float, >= 0
        Drag of the water, at water level. [N]
    boat_speed : float
        Speed over the water. [m/s]
    headwind : float
        Steady wind from ahead; below zero from astern. [m/s]
    gust : float, >= 0
        What a gust adds to the headwind. [m/s]
    air_density : float, > 0
        Density of the air. [kg/m3]

    Returns
    -------
    Margins
        Three margins. [-]

    Raises
    ------
    InputError
        Mass or density is not positive, or thrust, drag or gust is negative.

    Holds
        As `margin`; acceleration is what thrust less drag leaves.
    Trust
        As `margin`.
    Source
        [BlowOverMoments; derived].
    Checked
        tests/unit/physics/test_blowover.py: a high thrust line holds the bow down, a gust costs margin.

    Examples
    --------
    >>> found = margins(mass=0.3, cg_ahead=0.26, cg_height=0.04, lift_area=0.03, lift_ahead=0.46,
    ...                 drag_area=0.01, drag_height=0.05, thrust=6.0, thrust_height=0.09,
    ...                 water_drag=0.8, boat_speed=8.0, headwind=0.0, gust=2.0, air_density=1.225)
    >>> found.thrust_on > found.thrust_off > found.gust
    True
    """
    require_positive(mass=mass, air_density=air_density)
    require_not_negative(thrust=thrust, water_drag=water_drag, drag_area=drag_area, gust=gust)

    def one(push: float, air_speed: float) -> float:
        pressure = 0.5 * air_density * max(air_speed, 0.0) ** 2
        drag = pressure * drag_area
        return margin(
            weight=mass * GRAVITY,
            cg_ahead=cg_ahead,
            lift=pressure * lift_area,
            lift_ahead=lift_ahead,
            thrust=push,
            thrust_height=thrust_height,
            drag=drag,
            drag_height=drag_height,
            inertia_force=push - drag - water_drag,
            cg_height=cg_height,
        )

    steady = boat_speed + headwind
    return Margins(thrust_on=one(thrust, steady), thrust_off=one(0.0, steady), gust=one(0.0, steady + gust))


def lamp(*, margin: float, angle_left: float) -> str:
    """Green, amber or red for a margin and the angle left to the flip angle.

    Parameters
    ----------
    margin : float
        Blow-over margin. [-]
    angle_left : float
        Flip angle less running trim. [rad]

    Returns
    -------
    str
        ``green``, ``amber`` or ``red``.

    Raises
    ------
    InputError
        Never.

    Holds
        A colour to talk about, not a permission.
    Trust
        Limits are a choice: 0.5 and 6 degrees, then 0.15.
    Source
        Ours (choice).
    Checked
        tests/unit/physics/test_blowover.py.

    Examples
    --------
    >>> lamp(margin=0.4, angle_left=radians(8.0))
    'amber'
    """
    if margin >= 0.5 and angle_left >= radians(6.0):
        return "green"
    return "amber" if margin >= 0.15 else "red"


def envelope(*, trim: float, air_speed: float, critical_air_speed: float) -> tuple[Finding, ...]:
    """What lies outside the range of the one-page model, and how near the edge the boat runs.

    Examples
    --------
    >>> envelope(trim=0.07, air_speed=5.0, critical_air_speed=10.0)
    ()
    """
    if critical_air_speed <= 0:
        raise InputError(
            what="Critical air speed", got=f"{critical_air_speed:g} m/s", allowed="more than 0",
            do="Work it out again with `critical_speed`.",
        )  # fmt: skip
    findings = outside(
        "blowover-trim", "Trim", value=degrees(trim), low=0.0, high=15.0, unit="degrees",
        why="The air model was built for small bow-up angles.", do="Level the boat first.",
    )  # fmt: skip
    if air_speed > 0.8 * critical_air_speed:
        what = (
            f"Air speed {air_speed:.1f} m/s is within 20 % of blowing over at {critical_air_speed:.1f} m/s."
        )
        why = "The limit itself is only known to about 20 %."
        do = "Bring the balance point forward, lower the trim, or wait for less wind."
        findings += (Finding(code="blowover-near", severity="warning", what=what, why=why, do=do),)
    return findings

"""The lift law of a running pad: Savitsky where he holds, the exact short plate where he gives too much.

The words are in docs/physics/planing.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, exp, pi, radians, sin, sqrt, tan
from typing import Literal

from scipy.optimize import brentq

from skimwright.base import ModelError
from skimwright.physics import friction
from skimwright.physics.guard import require_not_negative, require_positive
from skimwright.physics.planing_flat import (
    GRAVITY,
    bottom_speed_ratio,
    dynamic_lift,
    flat_centre,
    flat_lift,
    friction_drag,
    gravity_lift,
    still_ratio,
)
from skimwright.physics.planing_sheet import two_dimensional_centre, two_dimensional_lift

STEEPEST = radians(15.0)  # trim above which the pad's lift law is held [rad]
SHORT, LONG = 0.5, 1.0  # wetted ratios between which the short-plate limit lets go

Law = Literal["flat", "pad", "second"]


def second_lift(
    *, trim: float, wetted_ratio: float, speed_coefficient: float, deadrise: float = 0.0
) -> float:
    """A second published lift law, used only to show how far two laws part.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Lift over (dynamic pressure x beam squared). [-]

    Raises
    ------
    InputError
        An angle or the ratio is below zero, or the speed coefficient is not above zero.

    Holds
        Sharp chines; trim 8 to 34 deg and speed coefficient 9 to 18.7 were tested.
    Trust
        Within 16 % of `flat_lift` for wetted ratios 0.5 to 4; the band's edge, not evidence.
    Source
        [Shuford1958; memory].  The copy read prints lam^2/(1+lam) and sin^2 trim; that gives twice Savitsky's
        lift, so ours has lam/(1+lam) and sin(2 trim).
    Checked
        tests/published/water.csv: sb_cl_2_0.5_20 … (memory, not counted); tests/unit/physics/test_planing.py.

    Examples
    --------
    >>> round(second_lift(trim=radians(4), wetted_ratio=1.0, speed_coefficient=20.0), 4)
    0.0611
    """
    require_not_negative(trim=trim, wetted_ratio=wetted_ratio, deadrise=deadrise)
    require_positive(speed_coefficient=speed_coefficient)
    turn = sin(2.0 * trim)
    long = (1.0 - sin(deadrise)) * wetted_ratio / (1.0 + wetted_ratio)
    cross = 4.0 / 3.0 / pi * wetted_ratio * turn * cos(deadrise)
    weight = 0.4 / cos(trim) * (wetted_ratio / speed_coefficient) ** 2
    return 0.25 * pi * turn * cos(trim) * (long + cross + weight)


def pad_dynamic_lift(*, trim: float, wetted_ratio: float) -> float:
    """Dynamic lift of a running pad: Savitsky's where it holds, the short plate's where that is too much.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the pad, bow up. [rad]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]

    Returns
    -------
    float
        Lift over (dynamic pressure x beam squared). [-]

    Raises
    ------
    InputError
        The trim or the ratio is below zero.

    Holds
        Trim 2 to 8 deg, wetted ratio 0.5 to 1.  Above 15 deg of trim the value at 15 is held.
    Trust
        Lift at a given attitude +-15 % (ratio 0.5 up), +-30 % (0.1 to 0.5), a factor 1.6 below.
    Source
        [Savitsky1964, eq. 15; seen] and [PlaningPlate; derived] times 1/(1 + 2 ratio), a choice for water
        escaping sideways.  The limit lets go smoothly between ratios 0.5 and 1, so the law never
        jumps; up to 8 deg it moves nothing there by more than 0.1 %.
    Checked
        tests/unit/physics/test_planing.py: never above the exact limit, no jump, equal to eq. 15
        from ratio 0.5 up to 8 deg.

    Examples
    --------
    >>> round(pad_dynamic_lift(trim=radians(4), wetted_ratio=0.02), 5)
    0.00377
    """
    require_not_negative(trim=trim, wetted_ratio=wetted_ratio)
    held = min(trim, STEEPEST)
    long = dynamic_lift(trim=held, wetted_ratio=wetted_ratio)
    short = wetted_ratio * two_dimensional_lift(trim=held) / (1.0 + 2.0 * wetted_ratio)
    share = min(1.0, max(0.0, (wetted_ratio - SHORT) / (LONG - SHORT)))
    free = share * share * (3.0 - 2.0 * share)
    return long - (1.0 - free) * max(0.0, long - short)


def pad_lift(*, trim: float, wetted_ratio: float, speed_coefficient: float) -> float:
    """Lift of a running pad; this is the law the runs use.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the pad, bow up. [rad]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    float
        Lift over (dynamic pressure x beam squared). [-]

    Raises
    ------
    InputError
        The trim or the ratio is below zero, or the speed coefficient is not above zero.

    Holds
        As `pad_dynamic_lift`, speed coefficient 4 to 25.
    Trust
        As `pad_dynamic_lift`.  At a given load drag hardly feels the lift law: pressure drag is
        load x tan(trim).
    Source
        `pad_dynamic_lift` + second term of [Savitsky1964, eq. 15; seen].
    Checked
        tests/published/water.csv: sav_cl0_4_0.5_20 and sav_cl0_2_1_10 through this law too:
        pad_as_sav_4_0.5_20, pad_as_sav_2_1_10.

    Examples
    --------
    >>> round(pad_lift(trim=radians(4), wetted_ratio=0.5, speed_coefficient=20.0), 6)
    0.038999
    """
    held = min(trim, STEEPEST)
    return pad_dynamic_lift(trim=trim, wetted_ratio=wetted_ratio) + gravity_lift(
        trim=held, wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient
    )


def pad_centre(*, trim: float, wetted_ratio: float, speed_coefficient: float) -> float:
    """Where a running pad's lift acts: Savitsky's place, drawn back to the short plate's as the pad dries.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the pad, bow up. [rad]
    wetted_ratio : float, > 0
        Mean wetted length over beam. [-]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    float
        Distance forward of the rear edge over the mean wetted length. [-]

    Raises
    ------
    InputError
        The trim is below zero, or the ratio or the speed coefficient is not above zero.

    Holds
        As `pad_lift`.
    Trust
        +-0.05.
    Source
        [Savitsky1964, eq. 28; seen], [PlaningPlate; derived]; between ratio 0 and 0.5
        on a straight line, a choice.
    Checked
        tests/unit/physics/test_planing.py: both ends; tests on plates gave 0.71
        (tn2981_cp), 0.04 under eq. 28.

    Examples
    --------
    >>> round(pad_centre(trim=radians(4), wetted_ratio=0.25, speed_coefficient=20.0), 3)
    0.736
    """
    long = flat_centre(wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient)
    short = two_dimensional_centre(trim=min(trim, STEEPEST))
    if long <= short:
        return long
    return short + min(1.0, wetted_ratio / SHORT) * (long - short)


def lift_band(*, trim: float, wetted_ratio: float, speed_coefficient: float) -> tuple[float, float]:
    """Lowest and highest lift a careful person would allow for a pad at this attitude.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the pad, bow up. [rad]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    tuple of two floats
        Lift over (dynamic pressure x beam squared). [-]

    Raises
    ------
    InputError
        The trim or the ratio is below zero, or the speed coefficient is not above zero.

    Holds
        Wherever `pad_lift` gives a number.
    Trust
        A judgement, not a measured spread.
    Source
        Ours: the error stated under `pad_dynamic_lift`, widened to hold [Shuford1958; memory].
    Checked
        tests/unit/physics/test_planing.py: holds both laws.

    Examples
    --------
    >>> low, high = lift_band(trim=radians(4), wetted_ratio=1.0, speed_coefficient=20.0)
    >>> (round(low, 3), round(high, 3))
    (0.047, 0.063)
    """
    best = pad_lift(trim=trim, wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient)
    other = second_lift(trim=trim, wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient)
    factor = 1.15 if wetted_ratio >= SHORT else 1.30 if wetted_ratio >= 0.1 else 1.60
    return min(best * (2.0 - factor), other), max(best * factor, other)


def wetted_ratio_for(*, lift: float, trim: float, speed_coefficient: float, law: Law = "pad") -> float:
    """How long a plate must be wet, in beams, to carry this lift.

    Parameters
    ----------
    lift : float, >= 0
        Lift over (dynamic pressure x beam squared). [-]
    trim : float, > 0
        Trim of the surface, bow up. [rad]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]
    law : "pad", "flat" or "second"
        Which lift law is turned round.

    Returns
    -------
    float
        Mean wetted length over beam. [-]

    Raises
    ------
    InputError
        Trim or speed coefficient is not above zero, or lift is below zero.
    ModelError
        No plate shorter than ten thousand beams carries it.

    Holds
        As the law that is turned round.
    Trust
        As the law; short plates turn 30 % of lift into 50 % of length.
    Source
        [Savitsky1964, eq. 15 solved; seen], `pad_lift`, or [Shuford1958; memory].
    Checked
        tests/published/water.csv: pad_lamS_5_0.3_4 … pad_lamS_10_0.9_2, sav64_t1_r04_tau4.

    Examples
    --------
    >>> round(wetted_ratio_for(lift=0.0389993, trim=radians(4), speed_coefficient=20.0, law="flat"), 4)
    0.5
    """
    require_not_negative(lift=lift)
    require_positive(trim=trim, speed_coefficient=speed_coefficient)
    if lift == 0.0:
        return 0.0
    chosen = {"flat": flat_lift, "pad": pad_lift, "second": second_lift}[law]

    def excess(log_ratio: float) -> float:
        return chosen(trim=trim, wetted_ratio=exp(log_ratio), speed_coefficient=speed_coefficient) - lift

    if excess(9.2) < 0.0:
        raise ModelError(
            what="No wetted length carries this load",
            got=f"a lift coefficient of {lift:.3g} at {degrees(trim):.2g} deg",
            do="Give the surface more trim, more width or more speed.",
        )
    root: float = brentq(excess, -60.0, 9.2, xtol=1e-14, rtol=1e-13)
    return exp(root)


@dataclass(frozen=True, kw_only=True)
class PadRide:
    """A pad carrying its load at a steady speed."""

    wetted_ratio: float  # mean wetted length over beam [-]
    wetted_length: float  # [m]
    immersion: float  # of the rear edge below the undisturbed level [m]
    centre: float  # of lift, forward of the rear edge [m]
    carried: float  # load the pad carries [N]
    spilled: float  # load left over for the bottom behind or above it [N]
    pressure_drag: float  # [N]
    friction_drag: float  # along the travel [N]


def pad_ride(
    *,
    load: float,
    trim: float,
    beam: float,
    length: float,
    speed: float,
    density: float,
    kinematic_viscosity: float,
    turbulence: float = 0.5,
    gravity: float = GRAVITY,
) -> PadRide:
    """How a pad rides under its load: how long it is wet, how deep it sits, what it drags.

    Parameters
    ----------
    load : float, > 0
        Upward force asked of the pad. [N]
    trim : float, > 0
        Trim of the pad, bow up. [rad]
    beam, length : float, > 0
        Size of the pad. [m]
    speed : float, > 0
        Speed through the water. [m/s]
    density : float, > 0
        Density of the water. [kg/m3]
    kinematic_viscosity : float, > 0
        Kinematic viscosity. [m2/s]
    turbulence : float, 0 to 1
        As in `friction.mixed`. [-]
    gravity : float, > 0
        Gravity. [m/s2]

    Returns
    -------
    PadRide
        A pad never gets wetter than it is long: the load it cannot carry is `spilled`.

    Raises
    ------
    InputError
        A size, speed, load or property is not above zero.

    Holds
        As `pad_lift`.
    Trust
        Drag +-20 %, +-10 % once turbulence is learned; ride height +-0.5 mm at 4 deg, +-1 mm at 8 deg.
    Source
        [Savitsky1964, eqs 1, 18, 19, 24; seen] with `pad_lift` and `friction.mixed`.
    Checked
        tests/unit/physics/test_planing.py: the worked pad of docs/physics/planing.md.

    Examples
    --------
    >>> ride = pad_ride(load=0.9, trim=radians(4), beam=0.025, length=0.025, speed=10.0, density=999.1,
    ...                 kinematic_viscosity=1.139e-6)
    >>> (round(ride.wetted_ratio, 2), round(ride.pressure_drag + ride.friction_drag, 3))
    (0.27, 0.122)
    """
    require_positive(load=load, beam=beam, length=length, speed=speed, density=density)
    per_lift = 0.5 * density * speed**2 * beam**2
    cv = speed / sqrt(gravity * beam)
    longest = length / beam
    most = per_lift * pad_lift(trim=trim, wetted_ratio=longest, speed_coefficient=cv)
    carried = min(load, most)
    ratio = (
        longest if most <= load else wetted_ratio_for(lift=load / per_lift, trim=trim, speed_coefficient=cv)
    )
    along = speed * bottom_speed_ratio(trim=trim, wetted_ratio=ratio)
    reynolds = along * ratio * beam / kinematic_viscosity
    rub = friction_drag(
        density=density,
        bottom_speed=along,
        coefficient=friction.mixed(reynolds=reynolds, turbulence=turbulence),
        wetted_ratio=ratio,
        beam=beam,
    )
    return PadRide(
        wetted_ratio=ratio,
        wetted_length=ratio * beam,
        immersion=still_ratio(wetted_ratio=ratio) * beam * sin(trim),
        centre=pad_centre(trim=trim, wetted_ratio=ratio, speed_coefficient=cv) * ratio * beam,
        carried=carried,
        spilled=load - carried,
        pressure_drag=carried * tan(trim),
        friction_drag=rub / cos(trim),
    )

"""Savitsky's laws for one flat or shallow-vee bottom: lift, place of lift, wetted lengths, drag.

The words are in docs/physics/planing.md.
"""

from __future__ import annotations

from math import atan, cos, degrees, pi, sin, sqrt, tan

from scipy.optimize import brentq

from skimwright.base import InputError
from skimwright.physics.guard import require_not_negative, require_positive

GRAVITY = 9.80665  # standard [m/s2]


def wave_rise(*, still_ratio: float) -> float:
    """How far the water piles up ahead of a flat plate, so that more of it is wet than the pond's level says.

    Parameters
    ----------
    still_ratio : float, >= 0
        Length under the level of the undisturbed pond over the beam: immersion/(beam x sin trim). [-]

    Returns
    -------
    float
        Running mean wetted length over beam. [-]

    Raises
    ------
    InputError
        The ratio is below zero.

    Holds
        Trim 2 to 24 deg, wetted ratio up to 4, speed coefficient 0.60 to 25.
    Trust
        A few per cent; below 0.5 the tests themselves were called marginal.
    Source
        [Savitsky1964, eq. 1; seen].
    Checked
        tests/published/water.csv: sav_waverise_0.1 … sav_waverise_3.0.

    Examples
    --------
    >>> round(wave_rise(still_ratio=0.5), 3)
    0.725
    """
    require_not_negative(still_ratio=still_ratio)
    if still_ratio < 1.0:
        return still_ratio * (1.60 - 0.30 * still_ratio)
    return still_ratio + 0.30


def still_ratio(*, wetted_ratio: float) -> float:
    """Wave rise backwards: from what is wet to how deep the rear edge sits.

    Parameters
    ----------
    wetted_ratio : float, >= 0
        Running mean wetted length over beam. [-]

    Returns
    -------
    float
        Length under the undisturbed level over beam. [-]

    Raises
    ------
    InputError
        The ratio is below zero.

    Holds
        As `wave_rise`.
    Trust
        As `wave_rise`.
    Source
        [Savitsky1964, eq. 1 solved; seen].
    Checked
        tests/unit/physics/test_planing.py: there and back again.

    Examples
    --------
    >>> round(still_ratio(wetted_ratio=0.725), 6)
    0.5
    """
    require_not_negative(wetted_ratio=wetted_ratio)
    if wetted_ratio < 1.30:
        return (1.60 - sqrt(2.56 - 1.20 * wetted_ratio)) / 0.60
    return wetted_ratio - 0.30


def dynamic_lift(*, trim: float, wetted_ratio: float) -> float:
    """The part of a flat plate's lift that comes from pushing water down.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
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
        Trim 2 to 15 deg, wetted ratio 0.5 to 4.  Infinitely steep at ratio 0: use `pad_dynamic_lift` there.
    Trust
        +-15 % beside another published law.
    Source
        [Savitsky1964, eq. 15, first term; seen].
    Checked
        tests/published/water.csv: through `flat_lift`, at a speed coefficient where the second term is small.

    Examples
    --------
    >>> from math import radians
    >>> round(dynamic_lift(trim=radians(4), wetted_ratio=1.0), 4)
    0.0551
    """
    require_not_negative(trim=trim, wetted_ratio=wetted_ratio)
    return float(0.0120 * degrees(trim) ** 1.1 * sqrt(wetted_ratio))


def gravity_lift(*, trim: float, wetted_ratio: float, speed_coefficient: float) -> float:
    """The part of a flat plate's lift that comes from the weight of water; buoyancy is already in it.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
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
        As `flat_lift`.
    Trust
        As `flat_lift`.  Gone above a speed coefficient of about 10.
    Source
        [Savitsky1964, eq. 15, second term; seen].
    Checked
        tests/published/water.csv: sav_cl0_4_1_0.6, through `flat_lift`.

    Examples
    --------
    >>> from math import radians
    >>> round(gravity_lift(trim=radians(4), wetted_ratio=1.0, speed_coefficient=0.6), 4)
    0.0702
    """
    require_not_negative(trim=trim, wetted_ratio=wetted_ratio)
    require_positive(speed_coefficient=speed_coefficient)
    return float(0.0055 * degrees(trim) ** 1.1 * wetted_ratio**2.5 / speed_coefficient**2)


def flat_lift(*, trim: float, wetted_ratio: float, speed_coefficient: float) -> float:
    """Lift of a flat planing plate.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
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
        Trim 2 to 15 deg, wetted ratio up to 4, speed coefficient 0.60 to 13; above about 10
        speed drops out, so faster is no worry.
    Trust
        +-15 % in lift (wetted ratio 0.5 up).  Never tested on a plate as small as a pad.
    Source
        [Savitsky1964, eq. 15; seen].
    Checked
        tests/published/water.csv: sav_cl0_4_0.5_20, sav_cl0_2_1_10, sav_cl0_4_1_0.6, sav64_t1_r03_tau2 …

    Examples
    --------
    >>> from math import radians
    >>> round(flat_lift(trim=radians(4), wetted_ratio=0.5, speed_coefficient=20.0), 6)
    0.038999
    """
    return dynamic_lift(trim=trim, wetted_ratio=wetted_ratio) + gravity_lift(
        trim=trim, wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient
    )


def vee_lift(*, flat_lift: float, deadrise: float) -> float:
    """What a vee bottom keeps of a flat plate's lift.

    Parameters
    ----------
    flat_lift : float, >= 0
        Lift coefficient of the flat plate with the same trim, wetted ratio and speed. [-]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Lift over (dynamic pressure x beam squared), at least 0. [-]

    Raises
    ------
    InputError
        Lift or deadrise is below zero.

    Holds
        Deadrise 0 to 30 deg.  For very small lifts the law turns negative; 0 is given there.
    Trust
        +-15 %.
    Source
        [Savitsky1964, eq. 16; seen].
    Checked
        tests/published/water.csv: sav_clb_0.085_10, sav_clb_0.05_10, sav_clb_0.1_30.

    Examples
    --------
    >>> from math import radians
    >>> round(vee_lift(flat_lift=0.085, deadrise=radians(10)), 4)
    0.0702
    """
    require_not_negative(flat_lift=flat_lift, deadrise=deadrise)
    return max(0.0, float(flat_lift - 0.0065 * degrees(deadrise) * flat_lift**0.60))


def flat_lift_under_vee(*, vee_lift: float, deadrise: float) -> float:
    """The flat plate's lift that gives this lift on a vee: `vee_lift` backwards.

    Parameters
    ----------
    vee_lift : float, > 0
        Lift coefficient of the vee. [-]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Lift coefficient of the flat plate. [-]

    Raises
    ------
    InputError
        Lift is not above zero or deadrise is below zero.

    Holds
        As `vee_lift`.
    Trust
        As `vee_lift`.
    Source
        [Savitsky1964, eq. 16 solved; seen].
    Checked
        tests/published/water.csv: sav64_t1_r02_tau2, sav64_t2_cl0.

    Examples
    --------
    >>> from math import radians
    >>> round(flat_lift_under_vee(vee_lift=0.069, deadrise=radians(10)), 4)
    0.0837
    """
    require_positive(vee_lift=vee_lift)
    require_not_negative(deadrise=deadrise)
    loss = 0.0065 * degrees(deadrise)
    if loss >= 1.0:
        raise InputError(
            what="Deadrise",
            got=f"{degrees(deadrise):.0f} deg",
            allowed="0 to 30 deg",
            do="Use a flatter vee.",
        )
    root: float = brentq(
        lambda flat: flat - loss * flat**0.60 - vee_lift,
        vee_lift,
        (vee_lift + 1.0) / (1.0 - loss),
        xtol=1e-15,
        rtol=1e-13,
    )
    return root


def keel_and_chine(*, trim: float, deadrise: float, beam: float, wetted_ratio: float) -> tuple[float, float]:
    """How long a vee bottom is wet along its keel and along its chines.

    Parameters
    ----------
    trim : float, > 0
        Trim of the surface, bow up. [rad]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]
    beam : float, > 0
        Width. [m]
    wetted_ratio : float, > 0
        Mean wetted length over beam. [-]

    Returns
    -------
    tuple of two floats
        Wetted keel length, wetted chine length; the second is below zero when the chines are dry. [m]

    Raises
    ------
    InputError
        Trim, beam or ratio is not above zero, or deadrise is below zero.

    Holds
        Speed coefficient above 2; above 1 if the deadrise is 10 deg or less.
    Trust
        A few per cent.
    Source
        [Savitsky1964, eqs 3 to 5; seen].
    Checked
        tests/published/water.csv: sav_lklc_10_2.3, sav_lklc_10_4, sav64_t1_Lk, sav64_t1_d.

    Examples
    --------
    >>> from math import radians
    >>> keel, chine = keel_and_chine(trim=radians(4), deadrise=radians(10), beam=1.0, wetted_ratio=2.0)
    >>> round(keel - chine, 4)
    0.8026
    """
    require_positive(trim=trim, beam=beam, wetted_ratio=wetted_ratio)
    require_not_negative(deadrise=deadrise)
    half = 0.5 * beam / pi * tan(deadrise) / tan(trim)
    return wetted_ratio * beam + half, wetted_ratio * beam - half


def spray_root_angle(*, trim: float, deadrise: float) -> float:
    """Angle, seen from below, between the keel and the line where a vee meets the risen water.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
    deadrise : float, > 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        The angle. [rad]

    Raises
    ------
    InputError
        Trim is below zero, or deadrise is not above zero: a flat plate's line runs straight across.

    Holds
        Speed coefficient above 1 when the angle is over 17 deg, else above 2.
    Trust
        A degree or two.
    Source
        [Savitsky1964, p. 77 and Fig. 7; seen].  Printed: tan = tan(trim)/(2 tan(deadrise)); ours carries
        pi in place of 1, for only that gives the 17 deg of the paper's own caption (trim 4, deadrise 20).
    Checked
        tests/published/water.csv: sav_gamma_20_4, whisk_alpha_20_4.

    Examples
    --------
    >>> from math import radians
    >>> round(degrees(spray_root_angle(trim=radians(4), deadrise=radians(20))), 1)
    16.8
    """
    require_not_negative(trim=trim)
    require_positive(deadrise=deadrise)
    return atan(0.5 * pi * tan(trim) / tan(deadrise))


def added_spray_ratio(*, trim: float, deadrise: float) -> float:
    """Extra wetted length, over beam, that the thin whisker spray ahead of a vee adds.

    Parameters
    ----------
    trim : float, > 0
        Trim of the surface, bow up. [rad]
    deadrise : float, > 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Added wetted length over beam; below zero the spray pulls the boat forward. [-]

    Raises
    ------
    InputError
        Trim or deadrise is not above zero: a flat pad has no whisker spray.

    Holds
        Vee bottoms over 50 mm wide at trims under 4 deg.  Leave it out elsewhere.
    Trust
        Never tested at our size.
    Source
        [Whisker2007; second-hand].
    Checked
        tests/published/water.csv: whisk_dlam_20_4.

    Examples
    --------
    >>> from math import radians
    >>> round(added_spray_ratio(trim=radians(4), deadrise=radians(20)), 4)
    0.3904
    """
    require_positive(trim=trim)
    root = spray_root_angle(trim=trim, deadrise=deadrise)
    thrown = 2.0 * root / cos(deadrise)
    return cos(thrown) / (4.0 * sin(2.0 * root) * cos(deadrise))


def bottom_speed_ratio(*, trim: float, wetted_ratio: float, deadrise: float = 0.0) -> float:
    """Mean speed of the water along the bottom over the boat's: pressed water is slowed water.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
    wetted_ratio : float, > 0
        Mean wetted length over beam. [-]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float, 0 to 1
        The ratio. [-]

    Raises
    ------
    InputError
        The wetted ratio is not above zero, or an angle is below zero.

    Holds
        Trim 2 to 15 deg, wetted ratio 0.5 to 4.  For very short plates the law would leave no speed at all;
        half the boat's speed is the least it gives.
    Trust
        A few per cent; it enters friction only.
    Source
        [Savitsky1964, eq. 24; seen]; with deadrise the dynamic term is put through eq. 16.
    Checked
        tests/published/water.csv: sav_v1_2_1 … sav_v1_15_1, sav64_t1_r05_tau2, sav64_t1_r05_tau3.

    Examples
    --------
    >>> from math import radians
    >>> round(bottom_speed_ratio(trim=radians(4), wetted_ratio=1.0), 4)
    0.972
    """
    require_positive(wetted_ratio=wetted_ratio)
    pushed = vee_lift(flat_lift=dynamic_lift(trim=trim, wetted_ratio=wetted_ratio), deadrise=deadrise)
    return sqrt(max(0.25, 1.0 - pushed / (wetted_ratio * cos(trim))))


def friction_drag(
    *,
    density: float,
    bottom_speed: float,
    coefficient: float,
    wetted_ratio: float,
    beam: float,
    deadrise: float = 0.0,
) -> float:
    """Drag of the water rubbing along the wetted bottom.

    Parameters
    ----------
    density : float, > 0
        Density of the water. [kg/m3]
    bottom_speed : float
        Mean speed along the bottom. [m/s]
    coefficient : float, >= 0
        Friction coefficient, from `friction`. [-]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]
    beam : float, > 0
        Width. [m]
    deadrise : float, >= 0
        Angle of the vee's sides from level. [rad]

    Returns
    -------
    float
        Force along the bottom. [N]

    Raises
    ------
    InputError
        Density or beam is not above zero, or the rest is below zero.

    Holds
        Wherever the friction coefficient does.
    Trust
        +-20 % at a pad, for the coefficient's sake.
    Source
        [Savitsky1964, eq. 19; seen].
    Checked
        tests/published/water.csv: sav64_t1_r10_tau2 … sav64_t1_r10_tau4, sav64_t2_Df.

    Examples
    --------
    >>> round(friction_drag(density=1000, bottom_speed=10, coefficient=0.005, wetted_ratio=0.5, beam=0.03), 4)
    0.1125
    """
    require_positive(density=density, beam=beam)
    require_not_negative(coefficient=coefficient, wetted_ratio=wetted_ratio, deadrise=deadrise)
    return 0.5 * density * bottom_speed**2 * coefficient * wetted_ratio * beam**2 / cos(deadrise)


def drag(*, load: float, trim: float, friction_drag: float) -> float:
    """Whole drag of a planing surface under a load.

    Parameters
    ----------
    load : float
        Upward force it carries. [N]
    trim : float
        Trim of the surface, bow up. [rad]
    friction_drag : float
        Friction along the bottom. [N]

    Returns
    -------
    float
        Force against the motion. [N]

    Raises
    ------
    InputError
        Never; the laws before it refuse.

    Holds
        Clean transom and chines: planing proper.  Nothing of spray or of waves is in it.
    Trust
        +-15 % for a big surface, +-20 % for a pad.
    Source
        [Savitsky1964, eqs 18 and 25; seen].
    Checked
        tests/published/water.csv: sav64_t1_r14_tau2, sav64_t1_r16_tau3, sav64_t1_D, sav64_t2_D.

    Examples
    --------
    >>> from math import radians
    >>> round(drag(load=0.9, trim=radians(4), friction_drag=0.045), 3)
    0.108
    """
    return load * tan(trim) + friction_drag / cos(trim)


def flat_centre(*, wetted_ratio: float, speed_coefficient: float) -> float:
    """Where the lift of a planing plate acts.

    Parameters
    ----------
    wetted_ratio : float, > 0
        Mean wetted length over beam. [-]
    speed_coefficient : float, > 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    float, 1/3 to 3/4
        Distance forward of the rear edge over the mean wetted length. [-]

    Raises
    ------
    InputError
        The ratio or the speed coefficient is not above zero.

    Holds
        Trim 2 to 15 deg, wetted ratio up to 4, speed coefficient 0.60 to 13.
    Trust
        +-0.05.
    Source
        [Savitsky1964, eq. 28; seen].
    Checked
        tests/published/water.csv: sav_cp_1_4 … sav_cp_1.86_3.18, sav64_t1_r17_tau2, sav64_t1_r17_tau4.

    Examples
    --------
    >>> round(flat_centre(wetted_ratio=1.0, speed_coefficient=4.0), 4)
    0.7383
    """
    require_positive(wetted_ratio=wetted_ratio, speed_coefficient=speed_coefficient)
    return 0.75 - 1.0 / (5.21 * (speed_coefficient / wetted_ratio) ** 2 + 2.39)


def static_lift(
    *, trim: float, wetted_ratio: float, beam: float, density: float, gravity: float = GRAVITY
) -> float:
    """Buoyancy of the wedge of water a planing plate pushes aside; for comparing, never for adding.

    Parameters
    ----------
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
    wetted_ratio : float, >= 0
        Mean wetted length over beam. [-]
    beam : float, > 0
        Width. [m]
    density : float, > 0
        Density of the water. [kg/m3]
    gravity : float, > 0
        Gravity. [m/s2]

    Returns
    -------
    float
        Force. [N]

    Raises
    ------
    InputError
        Beam, density or gravity is not above zero, or the rest is below zero.

    Holds
        Wetted ratio 1.3 and more, where the water has risen by 0.30 beam.
    Trust
        Exact for that wedge.
    Source
        [Savitsky1964, eq. 11; seen].
    Checked
        tests/unit/physics/test_planing.py: about the whole lift at a speed
        coefficient of 1, as the paper says.

    Examples
    --------
    >>> from math import radians
    >>> round(static_lift(trim=radians(4), wetted_ratio=2.3, beam=0.1, density=1000.0), 3)
    1.371
    """
    require_positive(beam=beam, density=density, gravity=gravity)
    require_not_negative(trim=trim, wetted_ratio=wetted_ratio)
    return 0.5 * density * gravity * beam**3 * max(0.0, wetted_ratio - 0.30) ** 2 * tan(trim)

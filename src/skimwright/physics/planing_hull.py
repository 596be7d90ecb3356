"""A whole boat running on one bottom: the attitude at which weight, thrust, lift and friction are even.

This is Savitsky's own procedure, kept because the paper works two boats through it to the last pound.  Our
three-point boats run on several surfaces at once and use the laws one by one instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

from scipy.optimize import brentq

from skimwright.base import ModelError
from skimwright.physics import friction
from skimwright.physics.guard import require_not_negative, require_positive
from skimwright.physics.planing_flat import (
    GRAVITY,
    bottom_speed_ratio,
    drag,
    flat_centre,
    flat_lift,
    flat_lift_under_vee,
    friction_drag,
    keel_and_chine,
)
from skimwright.physics.planing_pad import wetted_ratio_for


@dataclass(frozen=True, kw_only=True)
class Hull:
    """A prismatic bottom with its weight."""

    weight: float  # [N]
    beam: float  # [m]
    deadrise: float  # angle of the vee's sides from level [rad]
    balance: float  # centre of gravity, forward of the transom [m]
    height: float  # centre of gravity, above the keel [m]


@dataclass(frozen=True, kw_only=True)
class Water:
    """What it runs in, and how fast."""

    speed: float  # [m/s]
    density: float  # [kg/m3]
    kinematic_viscosity: float  # [m2/s]
    gravity: float = GRAVITY  # [m/s2]
    roughness: float = 0.0  # added to the friction coefficient; 0.0004 for full-size hulls only [-]


@dataclass(frozen=True, kw_only=True)
class Thrust:
    """The line of the thrust."""

    arm: float = 0.0  # the line passes this far below the centre of gravity [m]
    rise: float = 0.0  # angle of the line above the keel, pushing up at the stern [rad]


@dataclass(frozen=True, kw_only=True)
class Running:
    """One running attitude and all that follows from it."""

    trim: float  # [rad]
    flat_lift: float  # lift coefficient of the flat plate behind it [-]
    wetted_ratio: float  # [-]
    bottom_speed: float  # [m/s]
    reynolds: float  # [-]
    friction_coefficient: float  # smooth, before roughness [-]
    friction_drag: float  # along the bottom [N]
    drag: float  # [N]
    power: float  # to tow it [W]
    centre: float  # of pressure, forward of the transom [m]
    keel_length: float  # wetted [m]
    chine_length: float  # wetted [m]
    draft: float  # of the keel at the transom [m]


def running_at(*, trim: float, hull: Hull, water: Water) -> Running:
    """The boat held at a trim, its lift equal to its weight; nothing said yet of pitching.

    Parameters
    ----------
    trim : float, > 0
        Trim of the keel, bow up. [rad]
    hull : Hull
    water : Water

    Returns
    -------
    Running
        Wetted length, friction, drag and place of the pressure at that trim.

    Raises
    ------
    InputError
        A size, weight, speed or property is not above zero.
    ModelError
        No wetted length carries the weight at this trim.

    Holds
        Speed coefficient 0.60 to 13, trim 2 to 15 deg, wetted ratio up to 4, chines wet.
    Trust
        +-15 % in drag for big boats; untested on boats the length of a forearm.
    Source
        [Savitsky1964, Table 1; seen]: eqs 16, 15, 24, 19, 25, 28, 3 to 5 one after the other.
    Checked
        tests/published/water.csv: sav64_t1_r02_tau2 … sav64_t1_r18_tau4.

    Examples
    --------
    >>> hull = Hull(weight=266893.0, beam=4.267, deadrise=radians(10), balance=8.839, height=0.61)
    >>> sea = Water(speed=20.574, density=999.8, kinematic_viscosity=9.29e-7, roughness=0.0004)
    >>> round(running_at(trim=radians(3), hull=hull, water=sea).wetted_ratio, 1)
    2.6
    """
    require_positive(trim=trim, weight=hull.weight, beam=hull.beam, speed=water.speed, density=water.density)
    lift = hull.weight / (0.5 * water.density * water.speed**2 * hull.beam**2)
    cv = water.speed / sqrt(water.gravity * hull.beam)
    flat = flat_lift_under_vee(vee_lift=lift, deadrise=hull.deadrise)
    ratio = wetted_ratio_for(lift=flat, trim=trim, speed_coefficient=cv, law="flat")
    return _running(trim=trim, flat=flat, ratio=ratio, cv=cv, hull=hull, water=water)


def _running(*, trim: float, flat: float, ratio: float, cv: float, hull: Hull, water: Water) -> Running:
    """Everything that follows from trim and wetted ratio."""
    along = water.speed * bottom_speed_ratio(trim=trim, wetted_ratio=ratio, deadrise=hull.deadrise)
    reynolds = along * ratio * hull.beam / water.kinematic_viscosity
    smooth = friction.schoenherr(reynolds=reynolds)
    rub = friction_drag(
        density=water.density,
        bottom_speed=along,
        coefficient=smooth + water.roughness,
        wetted_ratio=ratio,
        beam=hull.beam,
        deadrise=hull.deadrise,
    )
    whole = drag(load=hull.weight, trim=trim, friction_drag=rub)
    keel, chine = keel_and_chine(trim=trim, deadrise=hull.deadrise, beam=hull.beam, wetted_ratio=ratio)
    return Running(
        trim=trim,
        flat_lift=flat,
        wetted_ratio=ratio,
        bottom_speed=along,
        reynolds=reynolds,
        friction_coefficient=smooth,
        friction_drag=rub,
        drag=whole,
        power=whole * water.speed,
        centre=flat_centre(wetted_ratio=ratio, speed_coefficient=cv) * ratio * hull.beam,
        keel_length=keel,
        chine_length=chine,
        draft=keel * sin(trim),
    )


def pitch_residual(*, running: Running, hull: Hull, thrust: Thrust) -> float:
    """Moment left over at this trim; even keel runs where it is nought.

    Parameters
    ----------
    running : Running
        The boat at some trim.
    hull : Hull
    thrust : Thrust

    Returns
    -------
    float
        Moment, bow down where it is above zero. [N m]

    Raises
    ------
    InputError
        Never; `running_at` refuses.

    Holds
        As `running_at`.
    Trust
        As `running_at`.
    Source
        [Savitsky1964, eq. 35; seen].  Printed once as b sin(trim): the arm f of the thrust belongs there, as
        the tables of the paper show.
    Checked
        tests/published/water.csv: sav64_t1_r30_tau2, sav64_t1_r30_tau3, sav64_t1_r30_tau4;
        tests/unit/physics/test_planing.py: equal to the three equations it was made from, 29 to 31.

    Examples
    --------
    >>> hull = Hull(weight=266893.0, beam=4.267, deadrise=radians(10), balance=8.839, height=0.61)
    >>> sea = Water(speed=20.574, density=999.8, kinematic_viscosity=9.29e-7, roughness=0.0004)
    >>> low, high = (running_at(trim=radians(t), hull=hull, water=sea) for t in (2, 3))
    >>> line = Thrust(arm=0.152, rise=radians(4))
    >>> pitch_residual(running=low, hull=hull, thrust=line) < 0 < pitch_residual(
    ...     running=high, hull=hull, thrust=line)
    True
    """
    tau, f = running.trim, thrust.arm
    a = hull.height - 0.25 * hull.beam * tan(hull.deadrise)
    c = hull.balance - running.centre
    weight = (1.0 - sin(tau) * sin(tau + thrust.rise)) * c / cos(tau) - f * sin(tau)
    return hull.weight * weight + running.friction_drag * (a - f)


def equilibrium(*, hull: Hull, water: Water, thrust: Thrust) -> Running:
    """The trim at which the boat runs by itself.

    Parameters
    ----------
    hull : Hull
    water : Water
    thrust : Thrust

    Returns
    -------
    Running
        The lowest trim from 0.5 to 20 deg at which nothing is left over.

    Raises
    ------
    InputError
        A size, weight, speed or property is not above zero.
    ModelError
        No trim from 0.5 to 20 deg is even.

    Holds
        As `running_at`.
    Trust
        As `running_at`; trim +-0.3 deg beside the paper's chart readings.
    Source
        [Savitsky1964, eqs 29 to 36; seen].
    Checked
        tests/published/water.csv: sav64_t1_taue, sav64_t1_D, sav64_t1_EHP, sav64_t1_Lk, sav64_t1_d.

    Examples
    --------
    >>> from math import degrees
    >>> hull = Hull(weight=266893.0, beam=4.267, deadrise=radians(10), balance=8.839, height=0.61)
    >>> sea = Water(speed=20.574, density=999.8, kinematic_viscosity=9.29e-7, roughness=0.0004)
    >>> round(degrees(equilibrium(hull=hull, water=sea, thrust=Thrust(arm=0.152, rise=radians(4))).trim), 1)
    2.3
    """

    def left_over(trim: float) -> float:
        return pitch_residual(running=running_at(trim=trim, hull=hull, water=water), hull=hull, thrust=thrust)

    steps = [radians(0.5 * n) for n in range(1, 41)]
    low = steps[0]
    before = left_over(low)
    for high in steps[1:]:
        after = left_over(high)
        if before * after <= 0.0:
            return running_at(trim=brentq(left_over, low, high, xtol=1e-12), hull=hull, water=water)
        low, before = high, after
    raise ModelError(
        what="No even trim from 0.5 to 20 deg",
        got=f"a balance point {hull.balance:.3g} m ahead of the transom",
        do="Move the weight: forward if the bow rises without end, aft if it digs in.",
    )


def balance_through_centre(*, hull: Hull, water: Water) -> Running:
    """The shortcut when thrust, friction and pressure all pass through the centre of gravity.

    Parameters
    ----------
    hull : Hull
        Its height does not count here.
    water : Water

    Returns
    -------
    Running
        The attitude at which the pressure acts right under the balance point.

    Raises
    ------
    InputError
        A size, weight, speed or property is not above zero.
    ModelError
        The balance point is too far forward for any wetted length.

    Holds
        As `running_at`.
    Trust
        Beside the paper's nomogram: wetted ratio 1 %, trim 3 %.
    Source
        [Savitsky1964, Table 2; seen]: eq. 28 for the wetted ratio, then eq. 15 for the trim.
    Checked
        tests/published/water.csv: sav64_t2_lam … sav64_t2_EHP.

    Examples
    --------
    >>> hull = Hull(weight=266893.0, beam=4.267, deadrise=radians(10), balance=8.839, height=0.61)
    >>> sea = Water(speed=20.574, density=999.8, kinematic_viscosity=9.29e-7, roughness=0.0004)
    >>> round(balance_through_centre(hull=hull, water=sea).wetted_ratio, 2)
    3.43
    """
    require_positive(weight=hull.weight, beam=hull.beam, balance=hull.balance, speed=water.speed)
    require_not_negative(deadrise=hull.deadrise)
    cv = water.speed / sqrt(water.gravity * hull.beam)
    wanted = hull.balance / hull.beam

    def off(ratio: float) -> float:
        return flat_centre(wetted_ratio=ratio, speed_coefficient=cv) * ratio - wanted

    ratio: float = brentq(off, 1e-6, 4.0 * wanted + 1.0, xtol=1e-12)
    lift = hull.weight / (0.5 * water.density * water.speed**2 * hull.beam**2)
    flat = flat_lift_under_vee(vee_lift=lift, deadrise=hull.deadrise)
    at_one_degree = flat_lift(trim=radians(1.0), wetted_ratio=ratio, speed_coefficient=cv)
    trim = radians((flat / at_one_degree) ** (1.0 / 1.1))
    return _running(trim=trim, flat=flat, ratio=ratio, cv=cv, hull=hull, water=water)

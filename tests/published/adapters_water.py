"""Rows of water.csv whose source prints other units, or asks one number of a call that gives several.

Names end in the printed unit; a bare name has none.  Inputs carry the source's own letters.
"""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians, sqrt

from skimwright.physics import blade, friction, hump, planing, porpoising, slam, water

FOOT, POUND_FORCE, SLUG_PER_CUBIC_FOOT = 0.3048, 4.4482216152605, 515.378818
HORSEPOWER = 550.0 * FOOT * POUND_FORCE  # [W]

# The worked boat of Savitsky 1964


def _boat(
    *, W_lb: float, b_ft: float, beta_deg: float, LCG_ft: float = 29.0, VCG_ft: float = 2.0
) -> planing.Hull:
    return planing.Hull(
        weight=W_lb * POUND_FORCE,
        beam=b_ft * FOOT,
        deadrise=radians(beta_deg),
        balance=LCG_ft * FOOT,
        height=VCG_ft * FOOT,
    )


def _sea(*, V_fps: float, half_rho: float = 0.97) -> planing.Water:
    return planing.Water(
        speed=V_fps * FOOT,
        density=2.0 * half_rho * SLUG_PER_CUBIC_FOOT,
        kinematic_viscosity=1.0e-5 * FOOT**2,
        gravity=32.2 * FOOT,
        roughness=0.0004,
    )


def _line(*, f_ft: float, eps_deg: float) -> planing.Thrust:
    return planing.Thrust(arm=f_ft * FOOT, rise=radians(eps_deg))


def _held(
    *, tau_deg: float, W_lb: float, b_ft: float, beta_deg: float, V_fps: float, half_rho: float = 0.97
) -> planing.Running:
    hull = _boat(W_lb=W_lb, b_ft=b_ft, beta_deg=beta_deg)
    return planing.running_at(trim=radians(tau_deg), hull=hull, water=_sea(V_fps=V_fps, half_rho=half_rho))


def load_coefficient(**inputs: float) -> float:
    flat = _held(tau_deg=3.0, **inputs).flat_lift
    return planing.vee_lift(flat_lift=flat, deadrise=radians(inputs["beta_deg"]))


def chart_root(**inputs: float) -> float:
    return sqrt(0.5 * load_coefficient(**inputs))


def implied_viscosity_ft2s(*, Re: float, Vm: float, lam: float, b_ft: float) -> float:
    return water.reynolds_number(speed=Vm, length=lam * b_ft, kinematic_viscosity=1.0) / Re


def trim_power(*, tau_deg: float) -> float:
    there, one = (planing.dynamic_lift(trim=radians(t), wetted_ratio=1.0) for t in (tau_deg, 1.0))
    return there / one


def lift_over_trim_power(*, CL0: float, tau_deg: float) -> float:
    return CL0 / trim_power(tau_deg=tau_deg)


def held_flat_lift(**inputs: float) -> float:
    return _held(**inputs).flat_lift


def held_bottom_speed_fps(**inputs: float) -> float:
    return _held(**inputs).bottom_speed / FOOT


def wetted_ratio(*, CL0: float, tau_deg: float, Cv: float) -> float:
    return planing.wetted_ratio_for(lift=CL0, trim=radians(tau_deg), speed_coefficient=Cv, law="flat")


def _bottom_fps(*, tau_deg: float, lam: float, beta_deg: float, V_fps: float) -> float:
    return V_fps * planing.bottom_speed_ratio(
        trim=radians(tau_deg), wetted_ratio=lam, deadrise=radians(beta_deg)
    )


def bottom_reynolds(*, tau_deg: float, lam: float, b_ft: float, beta_deg: float, V_fps: float) -> float:
    along = _bottom_fps(tau_deg=tau_deg, lam=lam, beta_deg=beta_deg, V_fps=V_fps)
    return water.reynolds_number(speed=along, length=lam * b_ft, kinematic_viscosity=1.0e-5)


def printed_reynolds(*, V1_fps: float, lam: float, b_ft: float, nu_ft2s: float) -> float:
    return water.reynolds_number(speed=V1_fps, length=lam * b_ft, kinematic_viscosity=nu_ft2s)


def rub_lb(
    *, tau_deg: float, lam: float, b_ft: float, beta_deg: float, V_fps: float, half_rho: float
) -> float:
    reynolds = bottom_reynolds(tau_deg=tau_deg, lam=lam, b_ft=b_ft, beta_deg=beta_deg, V_fps=V_fps)
    along = _bottom_fps(tau_deg=tau_deg, lam=lam, beta_deg=beta_deg, V_fps=V_fps)
    return planing.friction_drag(
        density=2.0 * half_rho,
        bottom_speed=along,
        coefficient=friction.schoenherr(reynolds=reynolds) + 0.0004,
        wetted_ratio=lam,
        beam=b_ft,
        deadrise=radians(beta_deg),
    )


def pressure_drag_lb(*, W_lb: float, tau_deg: float) -> float:
    return planing.drag(load=W_lb, trim=radians(tau_deg), friction_drag=0.0)


def drag_lb(*, W_lb: float, tau_deg: float, **inputs: float) -> float:
    return planing.drag(load=W_lb, trim=radians(tau_deg), friction_drag=rub_lb(tau_deg=tau_deg, **inputs))


def centre_ft(*, lam: float, Cv: float, b_ft: float) -> float:
    return planing.flat_centre(wetted_ratio=lam, speed_coefficient=Cv) * lam * b_ft


def centre_behind_balance_ft(*, LCG_ft: float, lam: float, Cv: float, b_ft: float) -> float:
    return LCG_ft - centre_ft(lam=lam, Cv=Cv, b_ft=b_ft)


def friction_arm_ft(*, VCG_ft: float, b_ft: float, beta_deg: float) -> float:
    """The moment of one newton of friction and nothing else."""
    hull = _boat(W_lb=60000.0, b_ft=b_ft, beta_deg=beta_deg, VCG_ft=VCG_ft)
    running = planing.running_at(trim=radians(3.0), hull=hull, water=_sea(V_fps=67.5))
    moment = planing.pitch_residual(
        running=replace(running, friction_drag=1.0), hull=replace(hull, weight=0.0), thrust=planing.Thrust()
    )
    return moment / FOOT


def residual_ft_lb(
    *,
    tau_deg: float,
    lam: float,
    W_lb: float,
    LCG_ft: float,
    VCG_ft: float,
    b_ft: float,
    beta_deg: float,
    V_fps: float,
    half_rho: float,
    f_ft: float,
    eps_deg: float,
) -> float:
    """From the printed, chart-read wetted ratio on."""
    hull = _boat(W_lb=W_lb, b_ft=b_ft, beta_deg=beta_deg, LCG_ft=LCG_ft, VCG_ft=VCG_ft)
    sea = _sea(V_fps=V_fps)
    rub = rub_lb(tau_deg=tau_deg, lam=lam, b_ft=b_ft, beta_deg=beta_deg, V_fps=V_fps, half_rho=half_rho)
    cv = water.froude_number(speed=sea.speed, length=hull.beam, gravity=sea.gravity)
    running = replace(
        planing.running_at(trim=radians(tau_deg), hull=hull, water=sea),
        centre=centre_ft(lam=lam, Cv=cv, b_ft=b_ft) * FOOT,
        friction_drag=rub * POUND_FORCE,
    )
    moment = planing.pitch_residual(running=running, hull=hull, thrust=_line(f_ft=f_ft, eps_deg=eps_deg))
    return moment / (FOOT * POUND_FORCE)


def _even(
    *,
    W_lb: float,
    LCG_ft: float,
    VCG_ft: float,
    b_ft: float,
    beta_deg: float,
    V_fps: float,
    half_rho: float,
    f_ft: float,
    eps_deg: float,
) -> planing.Running:
    hull = _boat(W_lb=W_lb, b_ft=b_ft, beta_deg=beta_deg, LCG_ft=LCG_ft, VCG_ft=VCG_ft)
    return planing.equilibrium(
        hull=hull, water=_sea(V_fps=V_fps, half_rho=half_rho), thrust=_line(f_ft=f_ft, eps_deg=eps_deg)
    )


def even_trim_deg(**inputs: float) -> float:
    return degrees(_even(**inputs).trim)


def even_drag_lb(**inputs: float) -> float:
    return _even(**inputs).drag / POUND_FORCE


def even_power_hp(**inputs: float) -> float:
    return _even(**inputs).power / HORSEPOWER


def even_keel_ft(**inputs: float) -> float:
    return _even(**inputs).keel_length / FOOT


def even_draft_ft(**inputs: float) -> float:
    return _even(**inputs).draft / FOOT


def _through(
    *, W_lb: float, LCG_ft: float, b_ft: float, beta_deg: float, V_fps: float, half_rho: float
) -> planing.Running:
    hull = _boat(W_lb=W_lb, b_ft=b_ft, beta_deg=beta_deg, LCG_ft=LCG_ft)
    return planing.balance_through_centre(hull=hull, water=_sea(V_fps=V_fps, half_rho=half_rho))


def through_flat_lift(**inputs: float) -> float:
    return _through(**inputs).flat_lift


def through_centre_beams(**inputs: float) -> float:
    return _through(**inputs).centre / (inputs["b_ft"] * FOOT)


def through_wetted_ratio(**inputs: float) -> float:
    return _through(**inputs).wetted_ratio


def through_trim_deg(**inputs: float) -> float:
    return degrees(_through(**inputs).trim)


def through_friction(**inputs: float) -> float:
    return _through(**inputs).friction_coefficient


def through_rub_lb(**inputs: float) -> float:
    return _through(**inputs).friction_drag / POUND_FORCE


def through_drag_lb(**inputs: float) -> float:
    return _through(**inputs).drag / POUND_FORCE


def through_power_hp(**inputs: float) -> float:
    return _through(**inputs).power / HORSEPOWER


# Laws one by one, angles in degrees


def flat_lift(*, tau_deg: float, lam: float, Cv: float) -> float:
    return planing.flat_lift(trim=radians(tau_deg), wetted_ratio=lam, speed_coefficient=Cv)


def pad_lift(*, tau_deg: float, lam: float, Cv: float) -> float:
    return planing.pad_lift(trim=radians(tau_deg), wetted_ratio=lam, speed_coefficient=Cv)


def second_lift(*, tau_deg: float, lam: float, Cv: float, beta_deg: float) -> float:
    return planing.second_lift(
        trim=radians(tau_deg), wetted_ratio=lam, speed_coefficient=Cv, deadrise=radians(beta_deg)
    )


def second_over_first(*, tau_deg: float, lam: float, Cv: float) -> float:
    return second_lift(tau_deg=tau_deg, lam=lam, Cv=Cv, beta_deg=0.0) / flat_lift(
        tau_deg=tau_deg, lam=lam, Cv=Cv
    )


def vee_lift(*, CL0: float, beta_deg: float) -> float:
    return planing.vee_lift(flat_lift=CL0, deadrise=radians(beta_deg))


def keel_less_chine(*, beta_deg: float, tau_deg: float) -> float:
    keel, chine = planing.keel_and_chine(
        trim=radians(tau_deg), deadrise=radians(beta_deg), beam=1.0, wetted_ratio=2.0
    )
    return keel - chine


def spray_root_deg(*, beta_deg: float, tau_deg: float) -> float:
    return degrees(planing.spray_root_angle(trim=radians(tau_deg), deadrise=radians(beta_deg)))


def added_spray(*, beta_deg: float, tau_deg: float) -> float:
    return planing.added_spray_ratio(trim=radians(tau_deg), deadrise=radians(beta_deg))


def bottom_speed(*, tau_deg: float, lam: float) -> float:
    return planing.bottom_speed_ratio(trim=radians(tau_deg), wetted_ratio=lam)


def short_plate_lift(*, tau_deg: float) -> float:
    return planing.two_dimensional_lift(trim=radians(tau_deg))


def short_plate_spray(*, tau_deg: float) -> float:
    return planing.spray_thickness_ratio(trim=radians(tau_deg))


def short_plate_centre(*, tau_deg: float) -> float:
    return planing.two_dimensional_centre(trim=radians(tau_deg))


def _pad_ratio(
    law: planing.Law, *, V: float, W_N: float, tau_deg: float, b: float, rho: float, g: float
) -> float:
    return planing.wetted_ratio_for(
        lift=W_N / (0.5 * rho * V**2 * b**2),
        trim=radians(tau_deg),
        speed_coefficient=water.froude_number(speed=V, length=b, gravity=g),
        law=law,
    )


def pad_ratio(**inputs: float) -> float:
    return _pad_ratio("flat", **inputs)


def pad_ratio_second(**inputs: float) -> float:
    return _pad_ratio("second", **inputs)


def porpoising_limit_deg(*, sqrt_CL_half: float, beta_deg: float) -> float:
    return degrees(porpoising.chart_limit(lift_root=sqrt_CL_half, deadrise=radians(beta_deg)))


def inception(*, tau_deg: float) -> float:
    return hump.inception_froude(trim=radians(tau_deg))


def plate_side(*, alpha_deg: float, aspect: float) -> float:
    return blade.side_coefficient(angle=radians(alpha_deg), aspect=aspect)


def plate_drag(*, alpha_deg: float, aspect: float) -> float:
    """With the laminar friction of Re 1.4e5 on each side."""
    side = plate_side(alpha_deg=alpha_deg, aspect=aspect)
    rub = friction.blasius(reynolds=1.4e5)
    return blade.drag_coefficient(angle=radians(alpha_deg), side=side, friction=rub)


def plate_drag_from_side(*, alpha_deg: float, CL: float) -> float:
    rub = friction.blasius(reynolds=1.4e5)
    return blade.drag_coefficient(angle=radians(alpha_deg), side=CL, friction=rub)


def separated(*, alpha_deg: float) -> float:
    return blade.separated_normal(angle=radians(alpha_deg))


def wagner(*, beta_deg: float) -> float:
    return slam.wagner_force(density=1.0, speed=1.0, immersion=1.0, deadrise=radians(beta_deg))


def karman(*, beta_deg: float) -> float:
    return slam.karman_force(density=1.0, speed=1.0, immersion=1.0, deadrise=radians(beta_deg))


def wagner_peak(*, beta_deg: float) -> float:
    return slam.peak_pressure_coefficient(deadrise=radians(beta_deg))

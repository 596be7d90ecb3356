"""Rows of air.csv whose source prints other units, or asks one number of a call that gives several.

Names end in the printed unit; a bare name is in SI or has none.
"""

from __future__ import annotations

from math import cos, degrees, pi, radians, sin

import numpy as np

from skimwright.physics import air, blowover, bluff, board, crosswind, plate, thrust, tunnel

AIR = 1.225  # [kg/m3]
PSI = 6894.757  # [Pa]
INCH = 0.0254  # [m]


# Air


def moist_density(*, t_C: float, p_hPa: float, RH_percent: float) -> float:
    return air.moist_density(temperature=t_C + 273.15, pressure=100 * p_hPa, humidity=RH_percent / 100)


def standard_viscosity(*, altitude: float) -> float:
    return air.viscosity(temperature=air.standard_temperature(altitude=altitude))


# Tunnel


def leaky_lift(*, r: float, lam: float) -> float:
    return tunnel.leaky_roof(exit_gap=0.06 * r, entry_gap=0.06, leak=lam)[0]


def leaky_centre(*, r: float, lam: float) -> float:
    return tunnel.leaky_roof(exit_gap=0.06 * r, entry_gap=0.06, leak=lam)[1]


def roof_force(
    *, air_density: float, speed: float, width: float, length: float, exit_gap: float, entry_gap: float
) -> float:
    stations, gaps = np.array([0.0, length]), np.array([entry_gap, exit_gap])
    area, _ = tunnel.channel_lift(stations=stations, gap=gaps, side_gap=0 * gaps, width=width)
    return 0.5 * air_density * speed**2 * area


def induced_drag_factor(*, h_over_b: float) -> float:
    return tunnel.induced_drag_factor(height=h_over_b, span=1.0)


def water_dent_mm(*, speed: float, air_density: float, water_density: float) -> float:
    return 1000 * tunnel.water_dent(speed=speed, air_density=air_density, water_density=water_density)


# Plate and fins


def plate_force(*, aspect_ratio: float, angle_deg: float) -> float:
    return plate.normal_force(angle=radians(angle_deg), aspect_ratio=aspect_ratio)


def drag_over_lift(*, angle_deg: float, aspect_ratio: float) -> float:
    lift, drag = plate.lift_and_drag(angle=radians(angle_deg), aspect_ratio=aspect_ratio)
    return drag / lift


def laminar_friction(*, reynolds: float) -> float:
    return plate.friction(reynolds=reynolds, turbulent=False)


def turbulent_friction(*, reynolds: float) -> float:
    return plate.friction(reynolds=reynolds, turbulent=True)


def fin_force(*, height: float, area: float, beta_deg: float, speed: float) -> float:
    beta = radians(beta_deg)
    return crosswind.fin_force(
        forward_speed=speed * cos(beta),
        cross_speed=speed * sin(beta),
        area=area,
        height=height,
        air_density=AIR,
    )


def beam_wind(*, speed: float, side_area: float, coefficient: float) -> float:
    return crosswind.side_force(
        forward_speed=0.0,
        cross_speed=speed,
        side_area=side_area,
        slope=0.4,
        air_density=AIR,
        crossflow=coefficient,
    )


# Blunt shapes: drag at unit pressure and area is the printed coefficient


def _drag(shape: bluff.Shape, pressure: float, area: float) -> float:
    return bluff.drag(shape=shape, dynamic_pressure=pressure, frontal_area=area)


def square_plate(*, pressure: float, area: float) -> float:
    return _drag("square plate", pressure, area)


def long_plate(*, pressure: float, area: float) -> float:
    return _drag("long plate", pressure, area)


def plate_strip(*, pressure: float, area: float) -> float:
    return _drag("plate strip", pressure, area)


def bowl_away(*, pressure: float, area: float) -> float:
    return _drag("open bowl, back to the wind", pressure, area)


def bowl_facing(*, pressure: float, area: float) -> float:
    return _drag("open bowl, facing the wind", pressure, area)


def cone_60(*, pressure: float, area: float) -> float:
    return _drag("cone 60 degrees", pressure, area)


def cone_30(*, pressure: float, area: float) -> float:
    return _drag("cone 30 degrees", pressure, area)


def lesson_plate(*, pressure: float, area: float) -> float:
    return _drag("flat plate (lesson)", pressure, area)


def lesson_wedge(*, pressure: float, area: float) -> float:
    return _drag("wedge (lesson)", pressure, area)


def lesson_bullet(*, pressure: float, area: float) -> float:
    return _drag("bullet (lesson)", pressure, area)


def lesson_aerofoil(*, pressure: float, area: float) -> float:
    return _drag("aerofoil (lesson)", pressure, area)


def rod_drag(*, length_ratio: float, pressure: float) -> float:
    return bluff.cylinder_across(length_ratio=length_ratio) * pressure


def endless_rod(*, pressure: float, area: float) -> float:
    return bluff.cylinder_across(length_ratio=float("inf")) * pressure * area


# Blowing over


def flip_angle_deg(*, speed: float, mass: float, cg_ahead: float) -> float:
    angle = blowover.flip_angle(
        air_speed=speed,
        mass=mass,
        deck_area=0.21,
        deck_beam=0.30,
        deck_length=0.70,
        contact_x=0.68,
        cg_ahead=cg_ahead,
        cg_height=0.04,
        air_density=AIR,
    )
    return degrees(angle)


def unload_speed(
    *, mass: float, cg_ahead: float, roof_area: float, coefficient: float, lift_ahead: float
) -> float:
    return blowover.unload_speed(
        mass=mass,
        cg_ahead=cg_ahead,
        lift_area=roof_area * coefficient,
        lift_ahead=lift_ahead,
        air_density=AIR,
    )


def margin(*, speed: float, weight: float, thrust_N: float, drag_N: float, inertia_N: float) -> float:
    return blowover.margin(
        weight=weight,
        cg_ahead=0.26,
        lift=0.5 * AIR * speed**2 * 0.5 * 0.06,
        lift_ahead=0.464112,
        thrust=thrust_N,
        thrust_height=0.06,
        drag=drag_N,
        drag_height=0.05,
        inertia_force=inertia_N,
        cg_height=0.04,
    )


def _regression_boat(mass: float, leak: float) -> blowover.AirForm:
    return blowover.AirForm(
        mass=mass,
        balance_x=0.42,
        balance_z=0.04,
        contact_x=0.68,
        deck_area=0.21,
        deck_beam=0.30,
        deck_length=0.70,
        tunnel_width=0.20,
        tunnel_length=0.30,
        tunnel_front=0.10,
        exit_gap=0.030,
        leak=leak,
    )


def model_critical_speed(*, trim_deg: float, mass: float, leak: float) -> float:
    boat = _regression_boat(mass, leak)
    return blowover.critical_speed(boat, trim=radians(trim_deg), air_density=AIR)


def model_margin(*, trim_deg: float, speed: float, mass: float, leak: float) -> float:
    boat = _regression_boat(mass, leak)
    return blowover.form_margin(boat, trim=radians(trim_deg), air_speed=speed, air_density=AIR)


def model_deck_force(*, trim_deg: float, speed: float) -> float:
    lift = blowover.air_lift(_regression_boat(0.30, 0.5), trim=radians(trim_deg))
    return 0.5 * AIR * speed**2 * lift.deck_area


def model_tunnel_force(*, trim_deg: float, speed: float) -> float:
    lift = blowover.air_lift(_regression_boat(0.30, 0.5), trim=radians(trim_deg))
    return 0.5 * AIR * speed**2 * lift.tunnel_area


# Thrust


def class_least(*, total_impulse: float) -> float:
    return thrust.class_limits(total_impulse=total_impulse)[0]


def class_most(*, total_impulse: float) -> float:
    return thrust.class_limits(total_impulse=total_impulse)[1]


def _figures(
    t1: float, f1: float, t2: float, f2: float, t3: float, f3: float, t4: float
) -> thrust.CurveFigures:
    return thrust.measure_curve(np.array([0.0, t1, t2, t3, t4]), np.array([0.0, f1, f2, f3, 0.0]))


def curve_impulse(*, t1: float, f1: float, t2: float, f2: float, t3: float, f3: float, t4: float) -> float:
    return _figures(t1, f1, t2, f2, t3, f3, t4).total_impulse


def curve_burn_time(*, t1: float, f1: float, t2: float, f2: float, t3: float, f3: float, t4: float) -> float:
    return _figures(t1, f1, t2, f2, t3, f3, t4).burn_time


def curve_average(*, t1: float, f1: float, t2: float, f2: float, t3: float, f3: float, t4: float) -> float:
    return _figures(t1, f1, t2, f2, t3, f3, t4).average_thrust


def saturation_bar(*, t_C: float) -> float:
    return thrust.saturation_pressure(temperature=t_C + 273.15) / 1e5


def throat_MPa(*, pressure_MPa: float, gamma: float) -> float:
    return thrust.throat_pressure(pressure=1e6 * pressure_MPa, gamma=gamma) / 1e6


def cartridge_push(*, pressure: float, temperature: float, diameter: float) -> float:
    gas = {"pressure": pressure, "temperature": temperature, "gamma": 1.29, "gas_constant": 188.9}
    return thrust.mass_flow(diameter=diameter, **gas) * thrust.thrust_per_flow(**gas)


def _tackle(falling_mass: float, ratio: float) -> thrust.TowlineLaw:
    return thrust.TowlineLaw(falling_mass=falling_mass, ratio=ratio, drop=2.0, pulley_pairs=0.0)


def tow_acceleration(*, falling_mass: float, ratio: float, mass: float, drag: float) -> float:
    return thrust.boat_acceleration(law=_tackle(falling_mass, ratio), mass=mass, drag=drag)


def tow_tension(*, falling_mass: float, ratio: float, mass: float, drag: float) -> float:
    return thrust.line_tension(law=_tackle(falling_mass, ratio), mass=mass, drag=drag)


def tow_steady(*, falling_mass: float, ratio: float) -> float:
    return _tackle(falling_mass, ratio).steady_tension


# Board


def sheet_density(*, mass_g: float, length_in: float, width_in: float) -> float:
    return board.areal_density(mass=mass_g / 1000, area=length_in * width_in * INCH**2)


def extruded_squash_kPa(*, density: float) -> float:
    return board.core_strength(density=density, extruded=True)[0] / 1e3


def extruded_bend_kPa(*, density: float) -> float:
    return board.core_strength(density=density, extruded=True)[1] / 1e3


def bead_squash_kPa(*, density: float) -> float:
    return board.core_strength(density=density, extruded=False)[0] / 1e3


def bead_bend_kPa(*, density: float) -> float:
    return board.core_strength(density=density, extruded=False)[1] / 1e3


def _bead_psi(density: float, quantity: board.Modulus, end: int) -> float:
    return board.bead_foam_range(density=density, quantity=quantity)[end] / PSI


def bead_shear_modulus_least_psi(*, density: float) -> float:
    return _bead_psi(density, "shear modulus", 0)


def bead_shear_modulus_most_psi(*, density: float) -> float:
    return _bead_psi(density, "shear modulus", 1)


def bead_young_modulus_least_psi(*, density: float) -> float:
    return _bead_psi(density, "young modulus", 0)


def bead_young_modulus_most_psi(*, density: float) -> float:
    return _bead_psi(density, "young modulus", 1)


def bead_shear_strength_least_psi(*, density: float) -> float:
    return _bead_psi(density, "shear strength", 0)


def bead_shear_strength_most_psi(*, density: float) -> float:
    return _bead_psi(density, "shear strength", 1)


def glue_g_per_m(*, diameter: float, density: float) -> float:
    return 1000 * board.glue_stick_mass(length=1.0, diameter=diameter, density=density)


def wedge_slam(*, speed: float, deadrise_deg: float, water_density: float) -> float:
    return board.wedge_slam_pressure(
        speed=speed, deadrise=deadrise_deg * pi / 180, water_density=water_density
    )


def slap_ceiling_MPa(*, speed: float, water_density: float, sound_speed: float) -> float:
    return board.acoustic_ceiling(speed=speed, water_density=water_density, sound_speed=sound_speed) / 1e6

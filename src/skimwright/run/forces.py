"""Everything that pushes a boat, eight runs at a time: water, air, device, and what they make it do next.

Axes here are the usual ones of ship motion: pond axes x along the launch line, y to starboard, z down, with the
still water at z = 0; body axes x forward, y to starboard, z down through the centre of gravity.  Trim bow-up, heel
to starboard and yaw to starboard are positive in both this and the boat's own drawing axes.

Every surface has its own force from its own depth, angle and speed.  Forces of the water are summed in pond axes,
forces of the air in body axes.
"""
# mypy: disable-error-code="no-untyped-def"

from __future__ import annotations

import math
from typing import Any, NamedTuple

from numba import njit

from skimwright.run.lanes import (
    FAST,
    anywhere,
    arctan,
    fabs,
    floor,
    gather,
    law,
    least,
    load,
    most,
    pick,
    sine,
    smooth,
    sqrt,
    store,
    within,
)
from skimwright.run.laws import (
    blade_slope,
    friction_coefficient,
    hump_share,
    lift_coefficient,
    plate_centre,
    plate_normal,
    pressure_centre,
    wave_drag_ratio,
    wave_rise,
    wet_chord,
)

# --- rows of the state: position, attitude (quaternion), velocity in pond axes, turning rates in body axes
X, Y, Z, E0, E1, E2, E3, VX, VY, VZ, P, Q, R = range(13)
STATES = 13

# --- rows of what differs from run to run
RUN_ROWS = (
    "mass", "ixx", "iyy", "izz", "ixz", "xg", "yg", "zg",
    "thrust_scale", "time_scale", "thrust_x", "thrust_y", "thrust_z",
    "line_x", "line_y", "line_z",
    "blade_yaw", "blade_factor", "vent_angle", "vent_factor",
    "wind_x", "wind_y", "gust_size", "gust_rate", "gust_phase",
    "ripple_size", "ripple_x", "ripple_y", "ripple_rate", "ripple_phase",
    "friction_mix", "lift_factor", "hump_strength", "tunnel_factor", "deck_factor", "drag_factor",
    "side_air_factor", "side_water_factor", "heave_damping",
    "start_speed", "start_yaw", "start_yaw_rate", "start_trim", "start_heel", "start_z",
)  # fmt: skip
(
    MASS, IXX, IYY, IZZ, IXZ, XG, YG, ZG,
    T_SCALE, T_TIME, T_X, T_Y, T_Z,
    LINE_X, LINE_Y, LINE_Z,
    BLADE_YAW, BLADE_F, VENT_ANGLE, VENT_F,
    WIND_X, WIND_Y, GUST, GUST_RATE, GUST_PHASE,
    RIPPLE, RIPPLE_X, RIPPLE_Y, RIPPLE_RATE, RIPPLE_PHASE,
    MIX, LIFT_F, HUMP, TUNNEL_F, DECK_F, DRAG_F,
    SIDE_AIR_F, SIDE_WATER_F, HEAVE_C,
    START_V, START_YAW, START_R, START_TRIM, START_HEEL, START_Z,
) = range(len(RUN_ROWS))  # fmt: skip

# --- rows of one strip of bottom: rear edge, direction to its front edge, normal into the hull; body axes from the CG
STRIP_ROWS = (
    "ax", "ay", "az", "cx", "cy", "cz", "nx", "ny", "nz", "length", "beam", "width", "walls",
)  # fmt: skip
AX, AY, AZ, CX, CY, CZ, NX, NY, NZ, LENGTH, BEAM, BROAD, WALLS = range(len(STRIP_ROWS))
PER_STRIP = len(STRIP_ROWS)

# --- device kinds
BY_SPEED, BY_TIME, BY_LINE = range(3)


class Scene(NamedTuple):
    """What all runs of one forecast share."""

    water_density: float  # [kg/m3]
    viscosity: float  # kinematic, of the water [m2/s]
    air_density: float  # [kg/m3]
    gravity: float  # [m/s2]
    # device
    device: int  # BY_SPEED, BY_TIME, BY_LINE
    thrust: float  # at rest [N]; for a line the steady pull M g / k
    thrust_slope: float  # loss of thrust with speed [N s/m]
    thrust_end: float  # time at which a speed-driven device is switched off [s]
    table: Any  # (n,) thrust of a time-driven device at equal steps [N]
    table_mass: Any  # (n,) share of the propellant gone [-]
    table_step: float  # [s]
    propellant: float  # mass that leaves [kg]
    line_length: float  # run over which a line pulls [m]
    line_mass: float  # weight's share of the inertia, M / k^2 [kg]
    # blade in the water
    blade_x: float  # drawing axes [m]
    blade_tip: float
    blade_root: float
    blade_chord: float
    # fin in the air
    fin_area: float
    fin_slope: float
    fin_x: float
    fin_z: float
    # deck and hull in the air
    deck_area: float
    deck_slope: float
    deck_length: float
    deck_beam: float
    deck_front: float
    deck_z: float
    front_area: float
    front_z: float
    side_area: float
    side_slope: float
    side_x: float
    side_z: float
    # tunnel: lift area and arm over rear gap and trim
    roof_area: float
    roof_length: float
    roof_sine: float
    roof_rear: float
    roof_rear_z: float
    roof_mid_z: float
    roof_mid_x: float
    tunnel_lift: Any  # flat (gaps x trims) lift over dynamic pressure [m2]
    tunnel_arm: Any  # flat, distance of that lift ahead of the roof's rear edge [m]
    gap_first: float
    gap_step: float
    gaps: int
    trim_first: float
    trim_step: float
    trims: int
    # course and limits
    gate: float  # distance of the gate [m]
    stop_speed: float  # below this, with the thrust over, a run has ended [m/s]
    time_limit: float  # [s]
    travel_step: float  # distance covered in one time step [m]
    shortest_step: float  # [s]
    longest_step: float  # [s]


AIR_ACROSS = 1.2  # plate standing on the surface, from memory
WATER_ACROSS = 1.0  # sponson side in cross flow, choice
BLADE_ACROSS = 0.85  # square-edged plate in cross flow, quoted second-hand


@law
def _strip(s, strips, run, rot, pos, vel, spin, time, scene):
    """Force (pond axes) and moment about the CG (pond axes) of the water on one strip; and the load it carries."""
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = rot
    o = s * PER_STRIP
    ax, ay, az = load(strips, o + AX), load(strips, o + AY), load(strips, o + AZ)
    cx, cy, cz = load(strips, o + CX), load(strips, o + CY), load(strips, o + CZ)
    nx, ny, nz = load(strips, o + NX), load(strips, o + NY), load(strips, o + NZ)
    length, beam, width = load(strips, o + LENGTH), load(strips, o + BEAM), load(strips, o + BROAD)
    # rear edge and chord in pond axes
    px = r11 * ax + r12 * ay + r13 * az
    py = r21 * ax + r22 * ay + r23 * az
    pz = r31 * ax + r32 * ay + r33 * az
    dx = r11 * cx + r12 * cy + r13 * cz
    dy = r21 * cx + r22 * cy + r23 * cz
    dz = r31 * cx + r32 * cy + r33 * cz
    # ripples lift or drop the water under the rear edge; they do not matter to a surface that floats
    phase = (
        load(run, RIPPLE_X) * (pos[0] + px)
        + load(run, RIPPLE_Y) * (pos[1] + py)
        - load(run, RIPPLE_RATE) * time
        + load(run, RIPPLE_PHASE)
    )
    ripple = load(run, RIPPLE) * sine(phase)
    speed_rear = (vel[0] + spin[1] * pz - spin[2] * py) * dx + (vel[1] + spin[2] * px - spin[0] * pz) * dy
    ahead = most(speed_rear, 0.0)
    cv = ahead / sqrt(scene.gravity * beam)
    fast = smooth(cv, 0.6, 1.0)
    rear = pos[2] + pz + fast * ripple
    front = rear + dz * length
    wet, start, area, moment = wet_chord(rear, front, length)
    middle = start + 0.5 * wet
    # velocity of the wet middle over the water
    mx, my, mz = px + dx * middle, py + dy * middle, pz + dz * middle
    ux = vel[0] + spin[1] * mz - spin[2] * my
    uy = vel[1] + spin[2] * mx - spin[0] * mz
    uz = vel[2] + spin[0] * my - spin[1] * mx
    trim = -dz * (1.0 + dz * dz / 6.0)
    angle = within(trim + uz / most(ahead, 0.5), 0.0, 0.6)
    rising = smooth(trim, 0.0, 0.01)  # a surface that is level or nose-down floats, it does not plane
    share = fast * rising
    lam = least(wave_rise(pick(rear > 0.0, wet, 0.0) / beam), length / beam)
    dynamic, gravity = lift_coefficient(angle, trim, lam, cv)
    pressure = 0.5 * scene.water_density * ahead * ahead
    weight = scene.water_density * scene.gravity
    lift = load(run, LIFT_F) * pressure * beam * width * (dynamic + gravity)
    lift = lift + 0.7 * weight * width * length * most(front, 0.0)
    afloat = weight * width * area
    slow = 1.0 - share
    up = share * lift + slow * afloat
    at_lift = lam * beam * pressure_centre(angle, lam, cv)
    at = (share * lift * at_lift + slow * weight * width * moment) / most(up, 1e-9)
    up = up + slow * load(run, HEAVE_C) * scene.water_density * width * wet * sqrt(scene.gravity * beam) * uz
    up = most(up, 0.0)
    # pressure drag, wave drag, friction
    run_wet = least(slow * wet + share * lam * beam, length)
    froude = ahead / sqrt(scene.gravity * most(run_wet, 1e-3))
    planing = hump_share(froude)
    nix = r11 * nx + r12 * ny + r13 * nz
    niy = r21 * nx + r22 * ny + r23 * nz
    nup = most(-(r31 * nx + r32 * ny + r33 * nz), 0.2)
    tilt = up * planing * rising / nup
    speed = sqrt(ux * ux + uy * uy + 1e-8)
    way = most(ahead, slow * speed)  # a floating bottom is held back whichever way it goes
    drop = within(1.0 - dynamic / most(lam, 1e-3), 0.25, 1.0)
    bottom = slow * way * way + share * drop * ahead * ahead
    reynolds = sqrt(bottom) * run_wet / scene.viscosity
    skin = friction_coefficient(reynolds, load(run, MIX))
    walls = load(strips, o + WALLS)
    soaked = width * run_wet + 2.0 * walls * area
    back = 0.5 * scene.water_density * skin * soaked * bottom
    waves = wave_drag_ratio(way / sqrt(scene.gravity * most(run_wet, 1e-3)), load(run, HUMP))
    back = back + up * (1.0 - planing) * waves
    fx = tilt * nix - back * ux / speed
    fy = tilt * niy - back * uy / speed
    # the wet sides: they hold a floating boat, and hardly a skimming one
    across = uy * dx - ux * dy
    deep = most(most(rear, front), 0.0)
    side = (
        -load(run, SIDE_WATER_F)
        * walls
        * scene.water_density
        * (0.5 * WATER_ACROSS * across * fabs(across) * area + 0.25 * math.pi * ahead * across * deep * deep)
    )
    fx = fx - side * dy
    fy = fy + side * dx
    fz = -up
    gx, gy, gz = px + dx * at, py + dy * at, pz + dz * at
    return fx, fy, fz, gy * fz - gz * fy, gz * fx - gx * fz, gx * fy - gy * fx, up


@law
def _deepest(s, strips, run, rot, pos):
    """Depth of the deeper end of a strip, ripples at their highest."""
    o = s * PER_STRIP
    rear = rot[6] * load(strips, o + AX) + rot[7] * load(strips, o + AY) + rot[8] * load(strips, o + AZ)
    rise = rot[6] * load(strips, o + CX) + rot[7] * load(strips, o + CY) + rot[8] * load(strips, o + CZ)
    return pos[2] + rear + most(rise * load(strips, o + LENGTH), 0.0) + fabs(load(run, RIPPLE))


@law
def _blade(run, rot, pos, vel, spin, vent, scene):
    """Force (pond axes), moment (pond axes) of the blade, and its angle to the flow."""
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = rot
    bx = load(run, XG) - scene.blade_x
    by = -load(run, YG)
    tip = load(run, ZG) - scene.blade_tip
    span = scene.blade_root - scene.blade_tip
    depth = within(pos[2] + r31 * bx + r32 * by + r33 * tip, 0.0, span)
    bz = tip - 0.5 * depth
    px = r11 * bx + r12 * by + r13 * bz
    py = r21 * bx + r22 * by + r23 * bz
    pz = r31 * bx + r32 * by + r33 * bz
    ux = vel[0] + spin[1] * pz - spin[2] * py
    uy = vel[1] + spin[2] * px - spin[0] * pz
    ahead = r11 * ux + r21 * uy
    across = r12 * ux + r22 * uy
    q = 0.5 * scene.water_density * (ahead * ahead + across * across)
    angle = arctan(across / most(fabs(ahead), 0.05)) + load(run, BLADE_YAW)
    aspect = depth / scene.blade_chord
    sa = sine(angle)
    area = depth * scene.blade_chord
    # the wetted lift stops growing at the angle where air comes down the blade
    held = within(angle, -0.35, 0.35)
    lift = blade_slope(aspect) * held + BLADE_ACROSS * sa * fabs(sa)
    hold = pick(vent > 0.5, load(run, VENT_F), 1.0) * load(run, BLADE_F)
    reynolds = sqrt(2.0 * q / scene.water_density) * scene.blade_chord / scene.viscosity
    skin = 2.0 * friction_coefficient(reynolds, load(run, MIX)) + 0.02
    sideways = -q * area * lift * hold
    back = -q * area * (skin + fabs(sa * lift) * hold) * pick(ahead > 0.0, 1.0, -1.0)
    fx = r11 * back + r12 * sideways
    fy = r21 * back + r22 * sideways
    # air stays on a blade only above a depth Froude number of 3 (``blade.staying_froude``)
    keeps_air = (depth > 0.0) & (q > 4.5 * scene.water_density * scene.gravity * depth)
    return fx, fy, -pz * fy, pz * fx, px * fy - py * fx, pick(keeps_air, angle, 0.0)


@law
def _tunnel_at(table, gap, trim, scene):
    """Look up a tunnel table by rear gap and trim, in between linearly."""
    g = within((gap - scene.gap_first) / scene.gap_step, 0.0, scene.gaps - 1.001)
    t = within((trim - scene.trim_first) / scene.trim_step, 0.0, scene.trims - 1.001)
    gi, ti = floor(g), floor(t)
    gf, tf = g - gi, t - ti
    i = gi * scene.trims + ti
    low = gather(table, i) * (1.0 - tf) + gather(table, i + 1.0) * tf
    high = gather(table, i + scene.trims) * (1.0 - tf) + gather(table, i + scene.trims + 1.0) * tf
    return low * (1.0 - gf) + high * gf


@law
def _air(run, rot, pos, vel, rolling, pitching, wind_x, wind_y, trim, scene):
    """Force (body axes) and moment (body axes) of the air; and its lift."""
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = rot
    wx, wy, wz = vel[0] - wind_x, vel[1] - wind_y, vel[2]
    u = r11 * wx + r21 * wy + r31 * wz
    v = r12 * wx + r22 * wy + r32 * wz
    w = r13 * wx + r23 * wy + r33 * wz
    flat = most(u * u + w * w, 1e-6)
    speed = sqrt(flat)
    q = 0.5 * scene.air_density * flat
    # body coordinates of the drawing's stations: forward of the CG, below the CG
    xg, yg, zg = load(run, XG), load(run, YG), load(run, ZG)
    sa, ca = w / speed, u / speed
    cn = plate_normal(sa, ca, scene.deck_slope)
    # tunnel roof: ram lift near the water, half a free plate away from it
    rear_height = -(pos[2] + r31 * (xg - scene.roof_rear) - r32 * yg + r33 * (zg - scene.roof_rear_z))
    mid_height = -(pos[2] + r31 * (xg - scene.roof_mid_x) - r32 * yg + r33 * (zg - scene.roof_mid_z))
    clearance = most(mid_height, 0.0) / (0.5 * scene.roof_length)
    near = 1.0 / (1.0 + clearance * clearance)
    onward = 0.5 * scene.air_density * pick(u > 0.0, u * u, 0.0)
    ram = load(run, TUNNEL_F) * near * onward * _tunnel_at(scene.tunnel_lift, rear_height, trim, scene)
    arm = _tunnel_at(scene.tunnel_arm, rear_height, trim, scene)
    away = load(run, DECK_F) * q * cn
    at_plate = xg - scene.deck_front - scene.deck_length * plate_centre(sa, ca)
    plates = away * (scene.deck_area - 0.5 * near * scene.roof_area)
    fz = -(ram + plates)
    ram_x = xg - scene.roof_rear + arm
    fx = -ram * scene.roof_sine
    my = ram * ram_x + plates * at_plate - ram * scene.roof_sine * (zg - scene.roof_mid_z)
    # a plate that turns meets more air on one side: roll and pitch die away
    still = load(run, DECK_F) * 0.5 * scene.air_density * speed * scene.deck_slope * scene.deck_area / 12.0
    mx = -still * scene.deck_beam * scene.deck_beam * rolling
    my = my - still * scene.deck_length * scene.deck_length * pitching
    # blunt ends
    drag = load(run, DRAG_F) * 0.5 * scene.air_density * scene.front_area * u * fabs(u)
    fx = fx - drag
    my = my - drag * (zg - scene.front_z)
    # sides and the fin
    side_f = load(run, SIDE_AIR_F) * 0.5 * scene.air_density
    hull = -side_f * scene.side_area * (AIR_ACROSS * v * fabs(v) + scene.side_slope * fabs(u) * v)
    fin = -side_f * scene.fin_area * (scene.fin_slope * fabs(u) * v + 1.17 * v * fabs(v))
    fy = hull + fin
    mx = mx - (hull * (zg - scene.side_z) + fin * (zg - scene.fin_z))
    mz = hull * (xg - scene.side_x) + fin * (xg - scene.fin_x)
    # sideways offset of the CG: forces on the centre line act at y = -yg
    mx = mx - yg * fz
    mz = mz + yg * fx
    return fx, fy, fz, mx, my, mz, ram + plates


@law
def _thrust(run, rot, pos, vel, fx, fy, fz, mass, time, scene):
    """Thrust along its line (pond axes) for the three kinds of device."""
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = rot
    lx, ly, lz = load(run, LINE_X), load(run, LINE_Y), load(run, LINE_Z)
    jx = r11 * lx + r12 * ly + r13 * lz
    jy = r21 * lx + r22 * ly + r23 * lz
    jz = r31 * lx + r32 * ly + r33 * lz
    if scene.device == BY_SPEED:
        ahead = vel[0] * jx + vel[1] * jy
        size = most(load(run, T_SCALE) * scene.thrust - scene.thrust_slope * most(ahead, 0.0), 0.0)
        size = pick(time < scene.thrust_end * load(run, T_TIME), size, 0.0)
    elif scene.device == BY_TIME:
        last = len(scene.table) - 1.001
        step = within(time / (load(run, T_TIME) * scene.table_step), 0.0, last)
        whole = floor(step)
        part = step - whole
        size = gather(scene.table, whole) * (1.0 - part) + gather(scene.table, whole + 1.0) * part
        size = size * load(run, T_SCALE)
    else:
        # a weight on a line ahead: part of the pull goes into the weight's own motion
        ox = most(scene.line_length + 1.0 - pos[0], 0.2)
        oy = -pos[1]
        oz = -0.05 - pos[2]
        far = 1.0 / sqrt(ox * ox + oy * oy + oz * oz)
        jx, jy, jz = ox * far, oy * far, oz * far
        other = fx * jx + fy * jy + fz * jz
        size = (mass * load(run, T_SCALE) * scene.thrust - scene.line_mass * other) / (mass + scene.line_mass)
        size = pick(pos[0] < scene.line_length, most(size, 0.0), 0.0)
    return size * jx, size * jy, size * jz


@law
def _burnt(run, time, scene):
    """Mass that has left the device."""
    last = len(scene.table_mass) - 1.001
    step = within(time / (load(run, T_TIME) * scene.table_step), 0.0, last)
    return scene.propellant * gather(scene.table_mass, floor(step + 0.5))


@njit(fastmath=FAST, error_model="numpy", cache=True)
def derivative(state, rate, run, strips, count, time_row, vent_row, seen, scene):
    """Fill ``rate`` (13, 8) for ``state`` (13, 8); ``seen`` gets air lift, loads of the feet and the blade's angle."""
    e0, e1, e2, e3 = load(state, E0), load(state, E1), load(state, E2), load(state, E3)
    r11 = e0 * e0 + e1 * e1 - e2 * e2 - e3 * e3
    r12 = 2.0 * (e1 * e2 - e0 * e3)
    r13 = 2.0 * (e1 * e3 + e0 * e2)
    r21 = 2.0 * (e1 * e2 + e0 * e3)
    r22 = e0 * e0 - e1 * e1 + e2 * e2 - e3 * e3
    r23 = 2.0 * (e2 * e3 - e0 * e1)
    r31 = 2.0 * (e1 * e3 - e0 * e2)
    r32 = 2.0 * (e2 * e3 + e0 * e1)
    r33 = e0 * e0 - e1 * e1 - e2 * e2 + e3 * e3
    rot = (r11, r12, r13, r21, r22, r23, r31, r32, r33)
    p, q, r = load(state, P), load(state, Q), load(state, R)
    pos = (load(state, X), load(state, Y), load(state, Z))
    vel = (load(state, VX), load(state, VY), load(state, VZ))
    spin = (r11 * p + r12 * q + r13 * r, r21 * p + r22 * q + r23 * r, r31 * p + r32 * q + r33 * r)
    time, vent = load(time_row, 0), load(vent_row, 0)
    mass = load(run, MASS) - _burnt(run, time, scene)
    # water, in pond axes
    zero = time * 0.0
    fx, fy, fz, kx, ky, kz = zero, zero, mass * scene.gravity, zero, zero, zero
    for s in range(count):
        wet = pick(
            _deepest(s, strips, run, rot, pos) <= 0.0, 0.0, 1.0
        )  # not a number counts as wet: it must be seen
        if not anywhere(wet > 0.0):
            store(seen, s, zero)
            continue
        a, b, c, d, e, f, up = _strip(s, strips, run, rot, pos, vel, spin, time, scene)
        fx, fy, fz, kx, ky, kz = fx + a, fy + b, fz + c, kx + d, ky + e, kz + f
        store(seen, s, up)
    if scene.blade_chord > 0.0:
        a, b, d, e, f, angle = _blade(run, rot, pos, vel, spin, vent, scene)
        fx, fy, kx, ky, kz = fx + a, fy + b, kx + d, ky + e, kz + f
        store(seen, count + 1, angle)
    # air, in body axes
    turn = load(run, GUST_RATE) * time + load(run, GUST_PHASE)
    blow = 1.0 + load(run, GUST) * sine(turn)
    trim = -r31 * (1.0 + r31 * r31 / 6.0)
    ax, ay, az, mx, my, mz, lift = _air(
        run, rot, pos, vel, p, q, load(run, WIND_X) * blow, load(run, WIND_Y) * blow, trim, scene
    )
    store(seen, count, lift)
    fx = fx + r11 * ax + r12 * ay + r13 * az
    fy = fy + r21 * ax + r22 * ay + r23 * az
    fz = fz + r31 * ax + r32 * ay + r33 * az
    # thrust
    tx, ty, tz = _thrust(run, rot, pos, vel, fx, fy, fz, mass, time, scene)
    hx, hy, hz = load(run, T_X), load(run, T_Y), load(run, T_Z)
    gx = r11 * hx + r12 * hy + r13 * hz
    gy = r21 * hx + r22 * hy + r23 * hz
    gz = r31 * hx + r32 * hy + r33 * hz
    fx, fy, fz = fx + tx, fy + ty, fz + tz
    kx = kx + gy * tz - gz * ty
    ky = ky + gz * tx - gx * tz
    kz = kz + gx * ty - gy * tx
    # moments to body axes, then Euler's equations
    mx = mx + r11 * kx + r21 * ky + r31 * kz
    my = my + r12 * kx + r22 * ky + r32 * kz
    mz = mz + r13 * kx + r23 * ky + r33 * kz
    ixx, iyy, izz, ixz = load(run, IXX), load(run, IYY), load(run, IZZ), load(run, IXZ)
    hx, hy, hz = ixx * p - ixz * r, iyy * q, izz * r - ixz * p
    mx = mx - (q * hz - r * hy)
    my = my - (r * hx - p * hz)
    mz = mz - (p * hy - q * hx)
    det = 1.0 / (ixx * izz - ixz * ixz)
    over = 1.0 / mass
    store(rate, X, vel[0])
    store(rate, Y, vel[1])
    store(rate, Z, vel[2])
    store(rate, E0, -0.5 * (e1 * p + e2 * q + e3 * r))
    store(rate, E1, 0.5 * (e0 * p + e2 * r - e3 * q))
    store(rate, E2, 0.5 * (e0 * q - e1 * r + e3 * p))
    store(rate, E3, 0.5 * (e0 * r + e1 * q - e2 * p))
    store(rate, VX, fx * over)
    store(rate, VY, fy * over)
    store(rate, VZ, fz * over)
    store(rate, P, (izz * mx + ixz * mz) * det)
    store(rate, Q, my / iyy)
    store(rate, R, (ixz * mx + ixx * mz) * det)

/* Everything that pushes a boat, eight runs at a time: src/skimwright/run/forces.py in C.
 *
 * rows.h is written by bench/forecast.py from the program's own lists, so that rows and scene are the same:
 * enum R_... (run), S_... (strip), and struct scene.
 */
#ifndef FORCES_H
#define FORCES_H

#include "laws.h"
#include "rows.h"

enum { X, Y, Z, E0, E1, E2, E3, VX, VY, VZ, P, Q, R, STATES };
enum { BY_SPEED, BY_TIME, BY_LINE };

#define AIR_ACROSS 1.2
#define WATER_ACROSS 1.0
#define BLADE_ACROSS 0.85

typedef struct { v8 x, y, z; } v3;
typedef struct { v3 force, moment; } load;
typedef struct { v8 r11, r12, r13, r21, r22, r23, r31, r32, r33; } turn;

LAW v3 plus(v3 a, v3 b) { return (v3){a.x + b.x, a.y + b.y, a.z + b.z}; }
LAW v3 cross(v3 a, v3 b) { return (v3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }

/* Body axes to pond axes, and back. */
LAW v3 to_pond(turn r, v3 a) {
    return (v3){r.r11 * a.x + r.r12 * a.y + r.r13 * a.z, r.r21 * a.x + r.r22 * a.y + r.r23 * a.z,
                r.r31 * a.x + r.r32 * a.y + r.r33 * a.z};
}
LAW v3 to_body(turn r, v3 a) {
    return (v3){r.r11 * a.x + r.r21 * a.y + r.r31 * a.z, r.r12 * a.x + r.r22 * a.y + r.r32 * a.z,
                r.r13 * a.x + r.r23 * a.y + r.r33 * a.z};
}

/* The water on one strip of bottom; the load it carries goes to *carried. */
LAW load on_strip(const v8 *strip, const v8 *run, turn r, v3 pos, v3 vel, v3 spin, v8 time,
                  const struct scene *sc, v8 *carried) {
    v8 zero = all(0.0), length = strip[S_LENGTH], beam = strip[S_BEAM], width = strip[S_WIDTH];
    v3 p = to_pond(r, (v3){strip[S_AX], strip[S_AY], strip[S_AZ]});
    v3 d = to_pond(r, (v3){strip[S_CX], strip[S_CY], strip[S_CZ]});
    v3 n = to_pond(r, (v3){strip[S_NX], strip[S_NY], strip[S_NZ]});
    v8 phase = run[R_RIPPLE_X] * (pos.x + p.x) + run[R_RIPPLE_Y] * (pos.y + p.y) - run[R_RIPPLE_RATE] * time +
               run[R_RIPPLE_PHASE];
    v8 ripple = run[R_RIPPLE_SIZE] * sine(phase);
    v8 speed_rear = (vel.x + spin.y * p.z - spin.z * p.y) * d.x + (vel.y + spin.z * p.x - spin.x * p.z) * d.y;
    v8 ahead = most(speed_rear, zero);
    v8 cv = ahead / root(sc->gravity * beam);
    v8 fast = smooth(cv, 0.6, 1.0);
    v8 rear = pos.z + p.z + fast * ripple, front = rear + d.z * length;
    chord c = wet_chord(rear, front, length);
    v8 middle = c.start + 0.5 * c.wet;
    v3 m = {p.x + d.x * middle, p.y + d.y * middle, p.z + d.z * middle};
    v3 u = plus(vel, cross(spin, m));
    v8 trim = -d.z * (1.0 + d.z * d.z / 6.0);
    v8 angle = within(trim + u.z / most(ahead, all(0.5)), 0.0, 0.6);
    v8 rising = smooth(trim, 0.0, 0.01), share = fast * rising, slow = 1.0 - share;
    v8 lam = least(wave_rise(pick(above(rear, zero), c.wet, zero) / beam), length / beam);
    v8 dynamic, gravity;
    lift_coefficient(angle, trim, lam, cv, &dynamic, &gravity);
    v8 pressure = 0.5 * sc->water_density * ahead * ahead;
    double weight = sc->water_density * sc->gravity;
    v8 lift = run[R_LIFT_FACTOR] * pressure * beam * width * (dynamic + gravity);
    lift += 0.7 * weight * width * length * most(front, zero);
    v8 afloat = weight * width * c.area;
    v8 up = share * lift + slow * afloat;
    v8 at_lift = lam * beam * pressure_centre(angle, lam, cv);
    v8 at = (share * lift * at_lift + slow * weight * width * c.moment) / most(up, all(1e-9));
    up += slow * run[R_HEAVE_DAMPING] * sc->water_density * width * c.wet * root(sc->gravity * beam) * u.z;
    up = most(up, zero);
    v8 run_wet = least(slow * c.wet + share * lam * beam, length);
    v8 froude = ahead / root(sc->gravity * most(run_wet, all(1e-3)));
    v8 planing = hump_share(froude);
    v8 tilt = up * planing * rising / most(-n.z, all(0.2));
    v8 speed = root(u.x * u.x + u.y * u.y + 1e-8);
    v8 drop = within(1.0 - dynamic / most(lam, all(1e-3)), 0.25, 1.0);
    v8 way = most(ahead, slow * speed); /* a floating bottom is held back whichever way it goes */
    v8 bottom = slow * way * way + share * drop * ahead * ahead;
    v8 reynolds = root(bottom) * run_wet / sc->viscosity;
    v8 skin = friction_coefficient(reynolds, run[R_FRICTION_MIX]);
    v8 soaked = width * run_wet + 2.0 * strip[S_WALLS] * c.area;
    v8 back = 0.5 * sc->water_density * skin * soaked * bottom;
    v8 waves = wave_drag_ratio(way / root(sc->gravity * most(run_wet, all(1e-3))), run[R_HUMP_STRENGTH]);
    back += up * (1.0 - planing) * waves;
    v8 across = u.y * d.x - u.x * d.y, deep = most(most(rear, front), zero);
    v8 side = -run[R_SIDE_WATER_FACTOR] * strip[S_WALLS] * sc->water_density *
              (0.5 * WATER_ACROSS * across * size(across) * c.area + 0.25 * M_PI * ahead * across * deep * deep);
    v3 f = {tilt * n.x - back * u.x / speed - side * d.y, tilt * n.y - back * u.y / speed + side * d.x, -up};
    *carried = up;
    return (load){f, cross((v3){p.x + d.x * at, p.y + d.y * at, p.z + d.z * at}, f)};
}

/* Depth of the deeper end of a strip, ripples at their highest. */
LAW v8 deepest(const v8 *strip, const v8 *run, turn r, v3 pos) {
    v8 rear = r.r31 * strip[S_AX] + r.r32 * strip[S_AY] + r.r33 * strip[S_AZ];
    v8 rise = r.r31 * strip[S_CX] + r.r32 * strip[S_CY] + r.r33 * strip[S_CZ];
    return pos.z + rear + most(rise * strip[S_LENGTH], all(0.0)) + size(run[R_RIPPLE_SIZE]);
}

/* The blade, in pond axes; its angle to the flow goes to *seen. */
LAW load on_blade(const v8 *run, turn r, v3 pos, v3 vel, v3 spin, v8 vent, const struct scene *sc, v8 *seen) {
    v8 tip = run[R_ZG] - sc->blade_tip;
    v3 b = {run[R_XG] - sc->blade_x, -run[R_YG], tip};
    v8 depth = within(pos.z + to_pond(r, b).z, 0.0, sc->blade_root - sc->blade_tip);
    b.z = tip - 0.5 * depth;
    v3 p = to_pond(r, b), u = plus(vel, cross(spin, p));
    v8 ahead = r.r11 * u.x + r.r21 * u.y, across = r.r12 * u.x + r.r22 * u.y;
    v8 q = 0.5 * sc->water_density * (ahead * ahead + across * across);
    v8 angle = arctan(across / most(size(ahead), all(0.05))) + run[R_BLADE_YAW];
    v8 sa = sine(angle), area = depth * sc->blade_chord;
    v8 lift = blade_slope(depth / sc->blade_chord) * within(angle, -0.35, 0.35) + BLADE_ACROSS * sa * size(sa);
    v8 hold = pick(above(vent, all(0.5)), run[R_VENT_FACTOR], all(1.0)) * run[R_BLADE_FACTOR];
    v8 reynolds = root(2.0 * q / sc->water_density) * sc->blade_chord / sc->viscosity;
    v8 skin = 2.0 * friction_coefficient(reynolds, run[R_FRICTION_MIX]) + 0.02;
    v8 sideways = -q * area * lift * hold;
    v8 back = -q * area * (skin + size(sa * lift) * hold) * pick(above(ahead, all(0.0)), all(1.0), all(-1.0));
    v3 f = {r.r11 * back + r.r12 * sideways, r.r21 * back + r.r22 * sideways, all(0.0)};
    /* air stays on a blade only above a depth Froude number of 3 */
    v8 least_q = 4.5 * sc->water_density * sc->gravity * depth;
    *seen = pick(above(depth, all(0.0)), pick(above(q, least_q), angle, all(0.0)), all(0.0));
    return (load){f, cross(p, f)};
}

/* A tunnel table by rear gap and trim, in between linearly. */
LAW v8 tunnel_at(const double *table, v8 gap, v8 trim, const struct scene *sc) {
    v8 g = within((gap - sc->gap_first) / sc->gap_step, 0.0, sc->gaps - 1.001);
    v8 t = within((trim - sc->trim_first) / sc->trim_step, 0.0, sc->trims - 1.001);
    v8 gi = whole(g), ti = whole(t), gf = g - gi, tf = t - ti, i = gi * (double)sc->trims + ti;
    v8 low = gather(table, i) * (1.0 - tf) + gather(table, i + 1.0) * tf;
    i += (double)sc->trims;
    v8 high = gather(table, i) * (1.0 - tf) + gather(table, i + 1.0) * tf;
    return low * (1.0 - gf) + high * gf;
}

/* The air, in body axes; its lift goes to *lifted. */
LAW load in_air(const v8 *run, turn r, v3 pos, v3 vel, v8 rolling, v8 pitching, v8 wind_x, v8 wind_y, v8 trim,
                const struct scene *sc, v8 *lifted) {
    v3 v = to_body(r, (v3){vel.x - wind_x, vel.y - wind_y, vel.z});
    v8 flat = most(v.x * v.x + v.z * v.z, all(1e-6)), speed = root(flat);
    v8 q = 0.5 * sc->air_density * flat, xg = run[R_XG], yg = run[R_YG], zg = run[R_ZG];
    v8 sa = v.z / speed, ca = v.x / speed, cn = plate_normal(sa, ca, sc->deck_slope);
    v8 rear = -(pos.z + r.r31 * (xg - sc->roof_rear) - r.r32 * yg + r.r33 * (zg - sc->roof_rear_z));
    v8 mid = -(pos.z + r.r31 * (xg - sc->roof_mid_x) - r.r32 * yg + r.r33 * (zg - sc->roof_mid_z));
    v8 clearance = most(mid, all(0.0)) / (0.5 * sc->roof_length), near = 1.0 / (1.0 + clearance * clearance);
    v8 onward = 0.5 * sc->air_density * pick(above(v.x, all(0.0)), v.x * v.x, all(0.0));
    v8 ram = run[R_TUNNEL_FACTOR] * near * onward * tunnel_at(sc->tunnel_lift, rear, trim, sc);
    v8 arm = tunnel_at(sc->tunnel_arm, rear, trim, sc);
    v8 plates = run[R_DECK_FACTOR] * q * cn * (sc->deck_area - 0.5 * near * sc->roof_area);
    v8 at_plate = xg - sc->deck_front - sc->deck_length * plate_centre(sa, ca);
    v8 still = run[R_DECK_FACTOR] * 0.5 * sc->air_density * speed * sc->deck_slope * sc->deck_area / 12.0;
    v8 drag = run[R_DRAG_FACTOR] * 0.5 * sc->air_density * sc->front_area * v.x * size(v.x);
    v8 side = run[R_SIDE_AIR_FACTOR] * 0.5 * sc->air_density;
    v8 hull = -side * sc->side_area * (AIR_ACROSS * v.y * size(v.y) + sc->side_slope * size(v.x) * v.y);
    v8 fin = -side * sc->fin_area * (sc->fin_slope * size(v.x) * v.y + 1.17 * v.y * size(v.y));
    v3 f = {-ram * sc->roof_sine - drag, hull + fin, -(ram + plates)};
    v3 m;
    m.x = -still * sc->deck_beam * sc->deck_beam * rolling - (hull * (zg - sc->side_z) + fin * (zg - sc->fin_z)) -
          yg * f.z;
    m.y = ram * (xg - sc->roof_rear + arm) + plates * at_plate - ram * sc->roof_sine * (zg - sc->roof_mid_z) -
          still * sc->deck_length * sc->deck_length * pitching - drag * (zg - sc->front_z);
    m.z = hull * (xg - sc->side_x) + fin * (xg - sc->fin_x) + yg * f.x;
    *lifted = ram + plates;
    return (load){f, m};
}

/* Thrust along its line, in pond axes. */
LAW v3 pushed(const v8 *run, turn r, v3 pos, v3 vel, v3 other, v8 mass, v8 time, const struct scene *sc) {
    v3 j = to_pond(r, (v3){run[R_LINE_X], run[R_LINE_Y], run[R_LINE_Z]});
    v8 zero = all(0.0), push;
    if (sc->device == BY_SPEED) {
        v8 ahead = vel.x * j.x + vel.y * j.y;
        push = most(run[R_THRUST_SCALE] * sc->thrust - sc->thrust_slope * most(ahead, zero), zero);
        push = pick(above(sc->thrust_end * run[R_TIME_SCALE], time), push, zero);
    } else if (sc->device == BY_TIME) {
        v8 step = within(time / (run[R_TIME_SCALE] * sc->table_step), 0.0, sc->table_len - 1.001);
        v8 i = whole(step), part = step - i;
        push = gather(sc->table, i) * (1.0 - part) + gather(sc->table, i + 1.0) * part;
        push *= run[R_THRUST_SCALE];
    } else { /* a weight on a line ahead */
        v3 o = {most(sc->line_length + 1.0 - pos.x, all(0.2)), -pos.y, -0.05 - pos.z};
        v8 far = 1.0 / root(o.x * o.x + o.y * o.y + o.z * o.z);
        j = (v3){o.x * far, o.y * far, o.z * far};
        v8 along = other.x * j.x + other.y * j.y + other.z * j.z;
        push = (mass * run[R_THRUST_SCALE] * sc->thrust - sc->line_mass * along) / (mass + sc->line_mass);
        push = pick(above(all(sc->line_length), pos.x), most(push, zero), zero);
    }
    return (v3){push * j.x, push * j.y, push * j.z};
}

LAW v8 burnt(const v8 *run, v8 time, const struct scene *sc) {
    v8 step = within(time / (run[R_TIME_SCALE] * sc->table_step), 0.0, sc->table_mass_len - 1.001);
    return sc->propellant * gather(sc->table_mass, whole(step + 0.5));
}

/* Rates of change of the state; seen gets the loads of the strips, the air's lift and the blade's angle. */
static void derivative(const v8 *state, v8 *rate, const v8 *run, const v8 *strips, int count, v8 time, v8 vent,
                       v8 *seen, const struct scene *sc) {
    v8 e0 = state[E0], e1 = state[E1], e2 = state[E2], e3 = state[E3];
    turn r = {e0 * e0 + e1 * e1 - e2 * e2 - e3 * e3, 2.0 * (e1 * e2 - e0 * e3), 2.0 * (e1 * e3 + e0 * e2),
              2.0 * (e1 * e2 + e0 * e3), e0 * e0 - e1 * e1 + e2 * e2 - e3 * e3, 2.0 * (e2 * e3 - e0 * e1),
              2.0 * (e1 * e3 - e0 * e2), 2.0 * (e2 * e3 + e0 * e1), e0 * e0 - e1 * e1 - e2 * e2 + e3 * e3};
    v8 p = state[P], q = state[Q], w = state[R];
    v3 pos = {state[X], state[Y], state[Z]}, vel = {state[VX], state[VY], state[VZ]};
    v3 spin = to_pond(r, (v3){p, q, w});
    v8 mass = run[R_MASS] - burnt(run, time, sc);
    v3 f = {all(0.0), all(0.0), mass * sc->gravity}, k = {all(0.0), all(0.0), all(0.0)};
    for (int s = 0; s < count; s++) {
        if (!anywhere(above(deepest(strips + s * PER_STRIP, run, r, pos), all(0.0)))) {
            seen[s] = all(0.0); /* dry in all eight runs */
            continue;
        }
        load water = on_strip(strips + s * PER_STRIP, run, r, pos, vel, spin, time, sc, seen + s);
        f = plus(f, water.force), k = plus(k, water.moment);
    }
    if (sc->blade_chord > 0.0) {
        load blade = on_blade(run, r, pos, vel, spin, vent, sc, seen + count + 1);
        f = plus(f, blade.force), k = plus(k, blade.moment);
    }
    v8 blow = 1.0 + run[R_GUST_SIZE] * sine(run[R_GUST_RATE] * time + run[R_GUST_PHASE]);
    v8 trim = -r.r31 * (1.0 + r.r31 * r.r31 / 6.0);
    load air = in_air(run, r, pos, vel, p, q, run[R_WIND_X] * blow, run[R_WIND_Y] * blow, trim, sc, seen + count);
    f = plus(f, to_pond(r, air.force));
    v3 t = pushed(run, r, pos, vel, f, mass, time, sc);
    f = plus(f, t);
    k = plus(k, cross(to_pond(r, (v3){run[R_THRUST_X], run[R_THRUST_Y], run[R_THRUST_Z]}), t));
    v8 ixx = run[R_IXX], iyy = run[R_IYY], izz = run[R_IZZ], ixz = run[R_IXZ];
    v3 spun = cross((v3){p, q, w}, (v3){ixx * p - ixz * w, iyy * q, izz * w - ixz * p});
    v3 m = plus(air.moment, to_body(r, k));
    m = (v3){m.x - spun.x, m.y - spun.y, m.z - spun.z};
    v8 det = 1.0 / (ixx * izz - ixz * ixz), over = 1.0 / mass;
    rate[X] = vel.x, rate[Y] = vel.y, rate[Z] = vel.z;
    rate[E0] = -0.5 * (e1 * p + e2 * q + e3 * w);
    rate[E1] = 0.5 * (e0 * p + e2 * w - e3 * q);
    rate[E2] = 0.5 * (e0 * q - e1 * w + e3 * p);
    rate[E3] = 0.5 * (e0 * w + e1 * q - e2 * p);
    rate[VX] = f.x * over, rate[VY] = f.y * over, rate[VZ] = f.z * over;
    rate[P] = (izz * m.x + ixz * m.z) * det;
    rate[Q] = m.y / iyy;
    rate[R] = (ixz * m.x + ixx * m.z) * det;
}

#endif

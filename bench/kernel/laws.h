/* The laws of the water and the air: src/skimwright/run/laws.py in C. */
#ifndef LAWS_H
#define LAWS_H

#include "lanes.h"

#define DEGREE (M_PI / 180.0)
#define STEEP 15.0 /* trim above which the lift law is held at its last supported value [deg] */

typedef struct { v8 wet, start, area, moment; } chord;

/* Where a straight chord with ends at these depths is under water. */
LAW chord wet_chord(v8 rear, v8 front, v8 length) {
    v8 zero = all(0.0), slope = rear - front;
    flags rear_wet = above(rear, zero), front_wet = above(front, zero);
    v8 safe = pick(above(size(slope), all(1e-12)), slope, all(1e-12));
    v8 crossing = between(length * rear / safe, 0.0, length);
    v8 start = pick(rear_wet, zero, pick(front_wet, crossing, length));
    v8 stop = pick(front_wet, length, pick(rear_wet, crossing, zero));
    v8 wet = most(stop - start, zero), a = most(rear, zero), f = most(front, zero);
    v8 area = 0.5 * wet * (a + f);
    return (chord){wet, start, area, start * area + wet * wet * (a + 2.0 * f) / 6.0};
}

LAW v8 wave_rise(v8 still) { return pick(above(all(1.0), still), still * (1.6 - 0.3 * still), still + 0.3); }
LAW v8 two_dimensional_lift(v8 tau) { return M_PI * tau / (1.0 + tau * (1.6 + 1.6 * tau)); }
LAW v8 two_dimensional_centre(v8 tau) { return 0.7495 - tau * (0.41 - 0.35 * tau); }
LAW v8 steepness(v8 tau) { return power(within(tau / DEGREE, 1e-3, STEEP), 1.1); }

/* Lift over (dynamic pressure x beam squared): dynamic part and gravity part. */
LAW void lift_coefficient(v8 angle, v8 trim, v8 lam, v8 speed, v8 *dynamic, v8 *gravity) {
    v8 safe = most(lam, all(1e-6)), low = root(safe);
    v8 brief = safe * two_dimensional_lift(least(angle, all(STEEP * DEGREE))) / (1.0 + 2.0 * safe);
    v8 lasting = 0.0120 * low * steepness(angle);
    v8 lift = lasting - (1.0 - smooth(safe, 0.5, 1.0)) * most(lasting - brief, all(0.0));
    v8 still = 0.0055 * safe * safe * low * steepness(trim) / most(speed * speed, all(0.1));
    flags wet = above(lam, all(0.0));
    *dynamic = pick(wet, lift, all(0.0));
    *gravity = pick(wet, still, all(0.0));
}

LAW v8 pressure_centre(v8 tau, v8 lam, v8 speed) {
    v8 ratio = speed / most(lam, all(1e-3));
    v8 lasting = 0.75 - 1.0 / (5.21 * ratio * ratio + 2.39);
    v8 brief = two_dimensional_centre(least(tau, all(STEEP * DEGREE)));
    v8 share = least(2.0 * lam, all(1.0));
    return pick(above(lasting, brief), brief + share * (lasting - brief), lasting);
}

LAW v8 friction_coefficient(v8 reynolds, v8 mix) {
    v8 laminar = 1.328 / root(most(reynolds, all(1e3)));
    v8 lines = 0.30102999566398120 * log_2(most(reynolds, all(1e4))) - 2.0;
    return laminar + mix * (0.075 / (lines * lines) - laminar);
}

LAW v8 hump_share(v8 froude) { return smooth(froude, 0.4, 1.0); }

LAW v8 wave_drag_ratio(v8 froude, v8 strength) {
    v8 f2 = froude * froude, f4 = f2 * f2;
    return strength * f4 / (f4 + 0.04100625);
}

LAW v8 blade_slope(v8 aspect) { return 1.8 * M_PI * aspect / (1.8 + root(aspect * aspect + 4.0)); }
LAW v8 plate_normal(v8 sa, v8 ca, double slope) { return slope * sa * ca + 1.17 * sa * size(sa); }
LAW v8 plate_centre(v8 sa, v8 ca) { return 0.5 - 0.75 * ca / (4.0 + M_PI * size(sa)); }

#endif

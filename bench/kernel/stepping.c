/* From launch to the end of each run, eight at a time: src/skimwright/run/stepping.py in C. */
#include <stdlib.h>
#include <string.h>

#include "forces.h"

enum { ENDING, TIME, AT_X, AT_Y, GATE_TIME, GATE_DRIFT, GATE_SPEED, TOP_SPEED, TOP_AIR, MOST_TRIM, LEAST_TRIM,
       MOST_HEEL, HEADING, AIRBORNE, VENTILATED, HUMP_TIME, RESULTS };
enum { STOPPED, TIMED_OUT, HOOKED, BLEW_OVER, ROLLED, NOSED_IN, BROKE_DOWN, GOING = -1 };
#define MOST_STRIPS 32

typedef struct {
    v8 state[STATES], run[RUN_ROWS], strips[MOST_STRIPS * PER_STRIP], seen[MOST_STRIPS + 2], now, vent;
    double out[WIDTH][RESULTS], before[WIDTH][2];
    int owner[WIDTH];
} deck;

/* One Runge-Kutta step of fourth order with its own time step in each lane. */
static void step(deck *d, int count, v8 h, const struct scene *sc) {
    v8 k1[STATES], k2[STATES], k3[STATES], k4[STATES], trial[STATES], *s = d->state;
    derivative(s, k1, d->run, d->strips, count, d->now, d->vent, d->seen, sc);
    for (int i = 0; i < STATES; i++) trial[i] = s[i] + 0.5 * h * k1[i];
    derivative(trial, k2, d->run, d->strips, count, d->now + 0.5 * h, d->vent, d->seen, sc);
    for (int i = 0; i < STATES; i++) trial[i] = s[i] + 0.5 * h * k2[i];
    derivative(trial, k3, d->run, d->strips, count, d->now + 0.5 * h, d->vent, d->seen, sc);
    for (int i = 0; i < STATES; i++) trial[i] = s[i] + h * k3[i];
    derivative(trial, k4, d->run, d->strips, count, d->now + h, d->vent, d->seen, sc);
    for (int i = 0; i < STATES; i++) s[i] += h / 6.0 * (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i]);
    v8 unit = 1.0 / root(s[E0] * s[E0] + s[E1] * s[E1] + s[E2] * s[E2] + s[E3] * s[E3]);
    for (int i = E0; i <= E3; i++) s[i] *= unit;
    d->now += h;
}

static void launch(deck *d, int l) {
    v8 *s = d->state, *run = d->run;
    double trim = run[R_START_TRIM][l], heel = run[R_START_HEEL][l], yaw = run[R_START_YAW][l];
    double ch = cos(0.5 * heel), sh = sin(0.5 * heel), ct = cos(0.5 * trim), st = sin(0.5 * trim);
    double cy = cos(0.5 * yaw), sy = sin(0.5 * yaw);
    s[X][l] = s[Y][l] = 0.0, s[Z][l] = run[R_START_Z][l];
    s[E0][l] = ch * ct * cy + sh * st * sy, s[E1][l] = sh * ct * cy - ch * st * sy;
    s[E2][l] = ch * st * cy + sh * ct * sy, s[E3][l] = ch * ct * sy - sh * st * cy;
    s[VX][l] = run[R_START_SPEED][l] * cos(yaw), s[VY][l] = run[R_START_SPEED][l] * sin(yaw), s[VZ][l] = 0.0;
    s[P][l] = s[Q][l] = 0.0, s[R][l] = run[R_START_YAW_RATE][l];
    d->now[l] = d->vent[l] = 0.0;
    memset(d->out[l], 0, sizeof d->out[l]);
    d->out[l][GATE_TIME] = d->out[l][GATE_DRIFT] = d->out[l][GATE_SPEED] = d->out[l][HUMP_TIME] = __builtin_nan("");
}

static int thrust_over(const v8 *run, int l, const struct scene *sc, double x, double t) {
    if (sc->device == BY_SPEED) return t >= sc->thrust_end * run[R_TIME_SCALE][l];
    if (sc->device == BY_TIME) return t >= (sc->table_len - 1) * sc->table_step * run[R_TIME_SCALE][l];
    return x >= sc->line_length || t > 12.0;
}

/* Whether a number is one: fast-math may not be trusted with isnan. */
static int known(double x) {
    unsigned long long bits;
    memcpy(&bits, &x, 8);
    return (bits & 0x7FF0000000000000ULL) != 0x7FF0000000000000ULL;
}

/* Note gate, extremes and the end of the run. */
static int watch(deck *d, int l, int count, double h, const struct scene *sc) {
    const v8 *s = d->state, *run = d->run;
    double *out = d->out[l], x = s[X][l], y = s[Y][l], vx = s[VX][l], vy = s[VY][l], t = d->now[l];
    if (!known(x) || !known(s[Q][l])) return BROKE_DOWN;
    double e0 = s[E0][l], e1 = s[E1][l], e2 = s[E2][l], e3 = s[E3][l];
    double trim = asin(fmin(1.0, fmax(-1.0, 2.0 * (e0 * e2 - e1 * e3))));
    double heel = atan2(2.0 * (e0 * e1 + e2 * e3), 1.0 - 2.0 * (e1 * e1 + e2 * e2));
    double yaw = atan2(2.0 * (e0 * e3 + e1 * e2), 1.0 - 2.0 * (e2 * e2 + e3 * e3));
    double speed = sqrt(vx * vx + vy * vy), wx = vx - run[R_WIND_X][l], wy = vy - run[R_WIND_Y][l];
    out[TOP_SPEED] = fmax(out[TOP_SPEED], speed);
    out[TOP_AIR] = fmax(out[TOP_AIR], sqrt(wx * wx + wy * wy));
    out[MOST_TRIM] = fmax(out[MOST_TRIM], trim);
    out[LEAST_TRIM] = fmin(out[LEAST_TRIM], trim);
    out[MOST_HEEL] = fmax(out[MOST_HEEL], fabs(heel));
    double carried = 0.0;
    for (int i = 0; i < count; i++) carried += d->seen[i][l];
    if (carried < 0.02 * run[R_MASS][l] * sc->gravity) out[AIRBORNE] += h;
    if (d->vent[l] > 0.5) out[VENTILATED] += h;
    if (!known(out[HUMP_TIME]) && speed > 2.0) out[HUMP_TIME] = t;
    if (!known(out[GATE_TIME]) && x >= sc->gate) {
        double part = (sc->gate - d->before[l][0]) / fmax(x - d->before[l][0], 1e-9);
        out[GATE_TIME] = t - h + part * h;
        out[GATE_DRIFT] = d->before[l][1] + part * (y - d->before[l][1]);
        out[GATE_SPEED] = speed;
    }
    out[HEADING] = speed > 0.1 ? atan2(vy, vx) : yaw;
    if (trim > 1.05 || (trim < -1.3 && s[Z][l] < 0.0)) return BLEW_OVER;
    if (fabs(heel) > 1.3) return ROLLED;
    if (trim < -0.6) return NOSED_IN;
    if (fabs(out[HEADING]) > 1.05 && speed > 2.0) return HOOKED;
    if (speed < sc->stop_speed && thrust_over(run, l, sc, x, t)) return STOPPED;
    return t > sc->time_limit ? TIMED_OUT : GOING;
}

static void fill(deck *d, int l, const double *runs, const double *strips, int count, int source) {
    for (int i = 0; i < RUN_ROWS; i++) d->run[i][l] = runs[(long)source * RUN_ROWS + i];
    for (int i = 0; i < count * PER_STRIP; i++) d->strips[i][l] = strips[(long)source * count * PER_STRIP + i];
}

/* Runs first to last: each lane takes the next run when its own has ended. */
static void block(const double *runs, const double *strips, int count, int first, int last,
                  const struct scene *sc, double *results) {
    deck *d = aligned_alloc(64, sizeof(deck));
    int waiting = first, alive = 0;
    memset(d, 0, sizeof *d);
    for (int l = 0; l < WIDTH; l++) {
        fill(d, l, runs, strips, count, waiting < last ? waiting : last - 1);
        launch(d, l);
        d->owner[l] = waiting < last ? waiting++ : -1;
        alive += d->owner[l] >= 0;
    }
    while (alive > 0) {
        v8 h;
        for (int l = 0; l < WIDTH; l++) {
            double vx = d->state[VX][l], vy = d->state[VY][l];
            double want = sc->travel_step / fmax(sqrt(vx * vx + vy * vy), 0.1);
            h[l] = fmin(sc->longest_step, fmax(sc->shortest_step, want));
            d->before[l][0] = d->state[X][l], d->before[l][1] = d->state[Y][l];
        }
        step(d, count, h, sc);
        for (int l = 0; l < WIDTH; l++) {
            if (d->owner[l] < 0) continue;
            double angle = fabs(d->seen[count + 1][l]), limit = d->run[R_VENT_ANGLE][l];
            if (angle > limit) d->vent[l] = 1.0;
            else if (angle < limit / 3.0) d->vent[l] = 0.0;
            int ending = watch(d, l, count, h[l], sc);
            if (ending == GOING) continue;
            double *out = d->out[l];
            out[ENDING] = ending, out[TIME] = d->now[l], out[AT_X] = d->state[X][l], out[AT_Y] = d->state[Y][l];
            memcpy(results + (long)d->owner[l] * RESULTS, out, sizeof d->out[l]);
            if (waiting < last) {
                fill(d, l, runs, strips, count, waiting);
                d->owner[l] = waiting++;
            } else {
                d->owner[l] = -1, alive--;
            }
            launch(d, l);
        }
    }
    free(d);
}

/* Every run, in pieces, on so many threads.  Returns 0, or 1 when there are more strips than room for them. */
int run_all(const double *runs, const double *strips, int count, const struct scene *sc, double *results,
            int total, int piece, int threads) {
    if (count > MOST_STRIPS) return 1;
    int pieces = (total + piece - 1) / piece;
#pragma omp parallel for schedule(dynamic) num_threads(threads)
    for (int i = 0; i < pieces; i++) {
        int last = (i + 1) * piece;
        block(runs, strips, count, i * piece, last < total ? last : total, sc, results);
    }
    return 0;
}

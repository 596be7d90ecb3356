"""Six degrees of freedom, eight runs at a time, from launch to the end of the run.

Axes are those of :mod:`skimwright.run.forces`.  Each lane has its own time step, about one centimetre of travel,
and takes the next waiting run when its own has ended.
"""
# mypy: disable-error-code="no-untyped-def"

from __future__ import annotations

import math

import numpy as np
from numba import njit, prange

from skimwright.run.forces import (
    BY_SPEED,
    BY_TIME,
    E0,
    E1,
    E2,
    E3,
    MASS,
    START_HEEL,
    START_R,
    START_TRIM,
    START_V,
    START_YAW,
    START_Z,
    STATES,
    T_TIME,
    VENT_ANGLE,
    VX,
    VY,
    VZ,
    WIND_X,
    WIND_Y,
    XG,
    ZG,
    P,
    Q,
    R,
    X,
    Y,
    Z,
    _air,
    derivative,
)
from skimwright.run.lanes import FAST, WIDTH, load, sqrt, store

# --- what a run leaves behind
RESULT_ROWS = (
    "ending", "time", "x", "y", "gate_time", "gate_drift", "gate_speed", "top_speed", "top_air_speed",
    "most_trim", "least_trim", "most_heel", "heading", "airborne_time", "ventilated_time", "hump_time",
)  # fmt: skip
RESULTS = len(RESULT_ROWS)
STOPPED, TIMED_OUT, HOOKED, BLEW_OVER, ROLLED, NOSED_IN, BROKE_DOWN = range(7)


HISTORY_ROWS = (
    "time", "x", "y", "height", "speed", "trim", "heel", "yaw", "air_lift", "pad_left", "pad_right", "stern",
)  # fmt: skip
HISTORY = len(HISTORY_ROWS)


@njit(fastmath=FAST, error_model="numpy", cache=True)
def _step(state, trial, k1, k2, k3, k4, run, strips, count, now, when, span, vent, seen, scene):
    """One Runge-Kutta step of fourth order with its own time step in each lane."""
    h = load(span, 0)
    t = load(now, 0)
    derivative(state, k1, run, strips, count, now, vent, seen, scene)
    for i in range(STATES):
        store(trial, i, load(state, i) + 0.5 * h * load(k1, i))
    store(when, 0, t + 0.5 * h)
    derivative(trial, k2, run, strips, count, when, vent, seen, scene)
    for i in range(STATES):
        store(trial, i, load(state, i) + 0.5 * h * load(k2, i))
    derivative(trial, k3, run, strips, count, when, vent, seen, scene)
    for i in range(STATES):
        store(trial, i, load(state, i) + h * load(k3, i))
    store(when, 0, t + h)
    derivative(trial, k4, run, strips, count, when, vent, seen, scene)
    for i in range(STATES):
        slope = load(k1, i) + 2.0 * (load(k2, i) + load(k3, i)) + load(k4, i)
        store(state, i, load(state, i) + h / 6.0 * slope)
    e0, e1, e2, e3 = load(state, E0), load(state, E1), load(state, E2), load(state, E3)
    size = 1.0 / sqrt(e0 * e0 + e1 * e1 + e2 * e2 + e3 * e3)
    store(state, E0, e0 * size)
    store(state, E1, e1 * size)
    store(state, E2, e2 * size)
    store(state, E3, e3 * size)
    store(now, 0, t + h)


@njit(error_model="numpy", cache=True)
def _launch(state, lane, run):
    """Put one lane at its start."""
    trim, heel, yaw = run[START_TRIM, lane], run[START_HEEL, lane], run[START_YAW, lane]
    ch, sh = math.cos(0.5 * heel), math.sin(0.5 * heel)
    ct, st = math.cos(0.5 * trim), math.sin(0.5 * trim)
    cy, sy = math.cos(0.5 * yaw), math.sin(0.5 * yaw)
    state[X, lane], state[Y, lane], state[Z, lane] = 0.0, 0.0, run[START_Z, lane]
    state[E0, lane] = ch * ct * cy + sh * st * sy
    state[E1, lane] = sh * ct * cy - ch * st * sy
    state[E2, lane] = ch * st * cy + sh * ct * sy
    state[E3, lane] = ch * ct * sy - sh * st * cy
    state[VX, lane] = run[START_V, lane] * math.cos(yaw)
    state[VY, lane] = run[START_V, lane] * math.sin(yaw)
    state[VZ, lane] = 0.0
    state[P, lane], state[Q, lane], state[R, lane] = 0.0, 0.0, run[START_R, lane]


@njit(error_model="numpy", cache=True)
def _attitude(state, lane):
    """Trim, heel and yaw of one lane [rad]."""
    e0, e1, e2, e3 = state[E0, lane], state[E1, lane], state[E2, lane], state[E3, lane]
    s = 2.0 * (e0 * e2 - e1 * e3)
    trim = math.asin(min(1.0, max(-1.0, s)))
    heel = math.atan2(2.0 * (e0 * e1 + e2 * e3), 1.0 - 2.0 * (e1 * e1 + e2 * e2))
    yaw = math.atan2(2.0 * (e0 * e3 + e1 * e2), 1.0 - 2.0 * (e2 * e2 + e3 * e3))
    return trim, heel, yaw


@njit(error_model="numpy", cache=True)
def _thrust_over(run, lane, scene, x, t):
    if scene.device == BY_SPEED:
        return t >= scene.thrust_end * run[T_TIME, lane]
    if scene.device == BY_TIME:
        return t >= (len(scene.table) - 1) * scene.table_step * run[T_TIME, lane]
    return x >= scene.line_length or t > 12.0


@njit(error_model="numpy", cache=True)
def _watch(state, lane, run, scene, out, before, t, h, vent, seen, count):
    """Note gate, extremes and the end of the run; returns the ending code or -1."""
    x, y = state[X, lane], state[Y, lane]
    vx, vy = state[VX, lane], state[VY, lane]
    if not (math.isfinite(x) and math.isfinite(state[Q, lane])):
        return BROKE_DOWN
    speed = math.hypot(vx, vy)
    trim, heel, yaw = _attitude(state, lane)
    air = math.hypot(vx - run[WIND_X, lane], vy - run[WIND_Y, lane])
    out[7] = max(out[7], speed)
    out[8] = max(out[8], air)
    out[9] = max(out[9], trim)
    out[10] = min(out[10], trim)
    out[11] = max(out[11], abs(heel))
    load_on_water = 0.0
    for s in range(count):
        load_on_water += seen[s, lane]
    if load_on_water < 0.02 * run[MASS, lane] * scene.gravity:
        out[13] += h
    if vent > 0.5:
        out[14] += h
    if math.isnan(out[15]) and speed > 2.0:
        out[15] = t
    if math.isnan(out[4]) and x >= scene.gate:
        part = (scene.gate - before[0]) / max(x - before[0], 1e-9)
        out[4] = t - h + part * h
        out[5] = before[1] + part * (y - before[1])
        out[6] = speed
    out[12] = math.atan2(vy, vx) if speed > 0.1 else yaw
    if trim > 1.05 or (trim < -1.3 and state[Z, lane] < 0.0):
        return BLEW_OVER
    if abs(heel) > 1.3:
        return ROLLED
    if trim < -0.6:
        return NOSED_IN
    if abs(out[12]) > 1.05 and speed > 2.0:  # a slow boat that turns is not a hook
        return HOOKED
    if speed < scene.stop_speed and _thrust_over(run, lane, scene, x, t):
        return STOPPED
    if t > scene.time_limit:
        return TIMED_OUT
    return -1


@njit(error_model="numpy", cache=True)
def _record(page, row, state, lane, t, seen, count):
    """One line of a run's history."""
    trim, heel, yaw = _attitude(state, lane)
    page[row, 0], page[row, 1], page[row, 2], page[row, 3] = (
        t,
        state[X, lane],
        state[Y, lane],
        -state[Z, lane],
    )
    page[row, 4] = math.hypot(state[VX, lane], state[VY, lane])
    page[row, 5], page[row, 6], page[row, 7] = trim, heel, yaw
    page[row, 8] = seen[count, lane]
    page[row, 9], page[row, 10] = seen[0, lane], seen[1, lane]
    rest = 0.0
    for s in range(2, count):
        rest += seen[s, lane]
    page[row, 11] = rest


@njit(error_model="numpy", cache=True)
def _fill(runs, strips, run, strip, source, lane):
    for i in range(run.shape[0]):
        run[i, lane] = runs[source, i]
    for i in range(strip.shape[0]):
        strip[i, lane] = strips[source, i]


@njit(error_model="numpy", cache=True)
def _block(runs, strips, count, first, last, scene, results, history, lines, period):
    """Runs ``first`` to ``last``: eight lanes, each taking the next run when its own has ended."""
    state, trial = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    k1, k2 = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    k3, k4 = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    run = np.zeros((runs.shape[1], WIDTH))
    strip = np.zeros((strips.shape[1], WIDTH))
    seen = np.zeros((count + 2, WIDTH))
    now, when = np.zeros((1, WIDTH)), np.zeros((1, WIDTH))
    span, vent = np.zeros((1, WIDTH)), np.zeros((1, WIDTH))
    out = np.zeros((WIDTH, RESULTS))
    before = np.zeros((WIDTH, 2))
    owner = np.full(WIDTH, -1)
    written = np.zeros(WIDTH, dtype=np.int64)
    waiting = first
    alive = 0
    for lane in range(WIDTH):
        _fill(runs, strips, run, strip, min(waiting, last - 1), lane)
        _launch(state, lane, run)
        if waiting < last:
            owner[lane] = waiting
            alive += 1
            waiting += 1
        _clear(out, lane)
    while alive > 0:
        for lane in range(WIDTH):
            speed = math.hypot(state[VX, lane], state[VY, lane])
            h = scene.travel_step / max(speed, 0.1)
            span[0, lane] = min(scene.longest_step, max(scene.shortest_step, h))
            before[lane, 0], before[lane, 1] = state[X, lane], state[Y, lane]
        _step(state, trial, k1, k2, k3, k4, run, strip, count, now, when, span, vent, seen, scene)
        for lane in range(WIDTH):
            if owner[lane] < 0:
                continue
            angle = abs(seen[count + 1, lane])
            if angle > run[VENT_ANGLE, lane]:
                vent[0, lane] = 1.0
            elif angle < run[VENT_ANGLE, lane] / 3.0:
                vent[0, lane] = 0.0
            t = now[0, lane]
            me = owner[lane]
            if me < history.shape[0] and written[lane] < history.shape[1] and t >= written[lane] * period:
                _record(history[me], written[lane], state, lane, t, seen, count)
                written[lane] += 1
                lines[me] = written[lane]
            ending = _watch(
                state, lane, run, scene, out[lane], before[lane], t, span[0, lane], vent[0, lane], seen, count
            )
            if ending < 0:
                continue
            out[lane, 0], out[lane, 1] = ending, t
            out[lane, 2], out[lane, 3] = state[X, lane], state[Y, lane]
            for i in range(RESULTS):
                results[me, i] = out[lane, i]
            alive -= 1
            owner[lane] = -1
            now[0, lane], vent[0, lane] = 0.0, 0.0
            written[lane] = 0
            _clear(out, lane)
            if waiting < last:
                _fill(runs, strips, run, strip, waiting, lane)
                owner[lane] = waiting
                waiting += 1
                alive += 1
            _launch(state, lane, run)


@njit(error_model="numpy", cache=True)
def _clear(out, lane):
    for i in range(RESULTS):
        out[lane, i] = 0.0
    out[lane, 4] = out[lane, 5] = out[lane, 6] = out[lane, 15] = math.nan


@njit(error_model="numpy", cache=True, parallel=True, nogil=True)
def run_all(runs, strips, count, scene, results, history, lines, period, piece):
    """Every run, on every core.

    Parameters
    ----------
    runs : float array (runs, len(RUN_ROWS))
    strips : float array (runs, count * PER_STRIP)
    count : strips of bottom
    scene : Scene
    results : float array (runs, RESULTS), filled here
    history : float array (recorded runs, lines, HISTORY), filled here for the first runs
    lines : int array (recorded runs,), lines filled
    period : time between lines of history [s]
    piece : runs handed to one core at a time
    """
    total = runs.shape[0]
    pieces = (total + piece - 1) // piece
    for i in prange(pieces):
        _block(
            runs,
            strips,
            count,
            i * piece,
            min(total, (i + 1) * piece),
            scene,
            results,
            history,
            lines,
            period,
        )


@njit(error_model="numpy", cache=True)
def state_after(row, strip_row, count, scene, duration):
    """Attitude and speed of one run after ``duration`` seconds: state (13, 8), every lane alike."""
    state, trial = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    k1, k2 = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    k3, k4 = np.zeros((STATES, WIDTH)), np.zeros((STATES, WIDTH))
    run, strip = np.zeros((len(row), WIDTH)), np.zeros((len(strip_row), WIDTH))
    seen = np.zeros((count + 2, WIDTH))
    now, when = np.zeros((1, WIDTH)), np.zeros((1, WIDTH))
    span, vent = np.zeros((1, WIDTH)), np.zeros((1, WIDTH))
    for lane in range(WIDTH):
        run[:, lane] = row
        strip[:, lane] = strip_row
        _launch(state, lane, run)
    while now[0, 0] < duration - 1e-9:
        speed = math.hypot(state[VX, 0], state[VY, 0])
        h = min(scene.longest_step, max(scene.shortest_step, scene.travel_step / max(speed, 0.1)))
        span[0, :] = min(h, duration - now[0, 0])
        _step(state, trial, k1, k2, k3, k4, run, strip, count, now, when, span, vent, seen, scene)
    return state


@njit(error_model="numpy", cache=True)
def rates(states, row, strip_row, count, scene, time):
    """Rates of change (13, 8) and what the surfaces carry, for eight states of one run at one time."""
    run, strip = np.zeros((len(row), WIDTH)), np.zeros((len(strip_row), WIDTH))
    for lane in range(WIDTH):
        run[:, lane] = row
        strip[:, lane] = strip_row
    rate = np.zeros((STATES, WIDTH))
    seen = np.zeros((count + 2, WIDTH))
    now, vent = np.full((1, WIDTH), time), np.zeros((1, WIDTH))
    derivative(states, rate, run, strip, count, now, vent, seen, scene)
    return rate, seen


@njit(fastmath=FAST, error_model="numpy", cache=True)
def air_loads(run, scene, speed, trim, height, out):
    """Air force and pitching moment of eight boats held at one attitude in still surroundings.

    ``run`` (rows, 8); ``speed`` of the air [m/s]; ``trim`` [rad]; ``height`` of the boat's origin over the water [m].
    ``out`` (4, 8) gets the force forward, the force down [N], the moment bow-up about the CG [N m] and the lift [N].
    """
    ct, st = math.cos(trim), math.sin(trim)
    zero = load(run, MASS) * 0.0
    rot = (zero + ct, zero, zero + st, zero, zero + 1.0, zero, zero - st, zero, zero + ct)
    xg, zg = load(run, XG), load(run, ZG)
    pos = (zero, zero, xg * st - zg * ct - height)
    vel = (zero + speed, zero, zero)
    fx, _, fz, _, my, _, lift = _air(run, rot, pos, vel, zero, zero, zero, zero, zero + trim, scene)
    store(out, 0, fx)
    store(out, 1, fz)
    store(out, 2, my)
    store(out, 3, lift)

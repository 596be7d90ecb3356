"""Short ways to a question, to one run of it with something changed, and to a boat held at an attitude."""

import math

import numpy as np

from skimwright.boat import AsBuilt
from skimwright.physics.hydrostatics import water_axes
from skimwright.pond import Conditions, Gate
from skimwright.run import Question, ensemble, stepping
from skimwright.run.forces import RUN_ROWS, STATES, P, Q, R
from skimwright.run.stepping import HISTORY_ROWS, RESULT_ROWS

ROW = {name: place for place, name in enumerate(RUN_ROWS)}
RESULT = {name: place for place, name in enumerate(RESULT_ROWS)}
LINE = {name: place for place, name in enumerate(HISTORY_ROWS)}
CALM = {"wind_x": 0.0, "wind_y": 0.0, "gust_size": 0.0, "ripple_size": 0.0}  # no air moves, no water moves
LEFT_ALONE = CALM | {"thrust_scale": 0.0, "start_speed": 0.0}


def ask(kit, device, *, runs=20, seed=30480, gate=None, wind=0.0, wind_from=0.0, heading=0.0, **built):
    """A question with few runs; measured deviations by name, in SI; angles of wind and heading in degrees."""
    return Question(
        kit=kit,
        device=device,
        built=AsBuilt(boat="07", **built),
        conditions=Conditions(
            wind_speed=wind, wind_from=math.radians(wind_from), heading=math.radians(heading)
        ),
        gate=gate or Gate(),
        runs=runs,
        seed=seed,
    )


def runs_of(question, rows, *, finer=1.0, scene=None, strips=None, lines=1, period=0.02):
    """Results (runs, RESULTS) and history of the first run, for rows made from a question's."""
    ready = ensemble(question, finer=finer)
    rows = np.ascontiguousarray(np.atleast_2d(rows))
    bottom = np.ascontiguousarray(
        np.repeat(ready.strips[:1], len(rows), axis=0) if strips is None else strips
    )
    results = np.full((len(rows), len(RESULT_ROWS)), np.nan)
    history, written = np.zeros((1, lines, len(HISTORY_ROWS))), np.zeros(1, dtype=np.int64)
    stepping.run_all(rows, bottom, ready.count, scene or ready.scene, results, history, written, period, 8)
    return results, history[0, : written[0]]


def middle_row(question, **changed):
    """Row 0, every cause at its middle, with some of its entries changed."""
    row = ensemble(question).rows[0].copy()
    for name, value in changed.items():
        row[ROW[name]] = value
    return row


def middle_run(question, *, finer=1.0, **changed):
    """What the middle run did, by name, with some entries of its row changed."""
    results, _ = runs_of(question, middle_row(question, **changed), finer=finer)
    return {name: float(results[0, place]) for name, place in RESULT.items()}


def held(row, *, sinkage, trim, heel=0.0, speed=0.0):
    """State of eight equal lanes: the boat held with its origin so deep, moving straight on."""
    centre = np.array([row[ROW[name]] for name in ("xg", "yg", "zg")])
    state = np.zeros((STATES, 8))
    ch, sh, ct, st = math.cos(heel / 2), math.sin(heel / 2), math.cos(trim / 2), math.sin(trim / 2)
    state[2] = sinkage - (water_axes(trim=trim, heel=heel) @ centre)[2]
    state[3:7] = np.array([ch * ct, sh * ct, ch * st, -sh * st])[:, None]
    state[7] = speed
    return state


def forces_on(row, rate):
    """Force [N] and moment about the balance point [N m] that a rate of change means; no turning assumed."""
    ixx, iyy, izz, ixz = (row[ROW[name]] for name in ("ixx", "iyy", "izz", "ixz"))
    p, q, r = rate[P, 0], rate[Q, 0], rate[R, 0]
    moment = np.array([ixx * p - ixz * r, iyy * q, izz * r - ixz * p])
    return row[ROW["mass"]] * rate[7:10, 0], moment


def attitude(state):
    """Trim, heel and yaw of one state (13,) [rad]."""
    e0, e1, e2, e3 = state[3:7]
    return (
        math.asin(2 * (e0 * e2 - e1 * e3)),
        math.atan2(2 * (e0 * e1 + e2 * e3), 1 - 2 * (e1**2 + e2**2)),
        math.atan2(2 * (e0 * e3 + e1 * e2), 1 - 2 * (e2**2 + e3**2)),
    )

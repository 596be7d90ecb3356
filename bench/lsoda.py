"""One run by SciPy's LSODA on our own right-hand side: what a general solver takes, and what it answers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from skimwright.run import Ensemble, stepping
from skimwright.run.forces import BY_SPEED, T_TIME, VX, VY, X
from skimwright.run.lanes import WIDTH

Array = NDArray[np.float64]
RELATIVE = 1e-6  # asked of LSODA; ours is about as close [-]


@dataclass(frozen=True, kw_only=True)
class Solved:
    """A run until ``time``; the blade stays wet throughout."""

    x: float  # at the end [m]
    speed: float  # at the end [m/s]
    gate_time: float  # nan: did not get there [s]


def solve(ready: Ensemble, run: int, *, time: float) -> Solved:
    """Run ``run`` from its launch to ``time`` [s]; where a timer ends the push, a new solution begins."""
    row, strips, scene = ready.rows[run], ready.strips[run], ready.scene
    switch = scene.thrust_end * row[T_TIME] if scene.device == BY_SPEED else math.inf

    def gate(t: float, y: Array) -> float:
        return float(y[X] - scene.gate)

    begin, gate_time = 0.0, math.nan
    state = stepping.state_after(row, strips, ready.count, scene, 0.0)[:, 0]
    for end in sorted({min(switch, time), time}):

        def rates(t: float, y: Array, last: float = end - 1e-9 if end == switch else end) -> Array:
            eight = np.repeat(y[:, None], WIDTH, axis=1)
            return np.asarray(stepping.rates(eight, row, strips, ready.count, scene, min(t, last))[0][:, 0])

        found = solve_ivp(
            rates, (begin, end), state, method="LSODA", rtol=RELATIVE, atol=1e-3 * RELATIVE, events=gate
        )
        if len(found.t_events[0]):
            gate_time = float(found.t_events[0][0])
        begin, state = end, found.y[:, -1]
    return Solved(x=float(state[X]), speed=math.hypot(state[VX], state[VY]), gate_time=gate_time)

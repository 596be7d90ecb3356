"""Our stepping beside SciPy's LSODA, a general solver that chooses its own steps and order, in calm water.

Source of every expected state here: SciPy LSODA (a general-purpose library) at a relative tolerance of 1e-10.  Both
use our right-hand side, so this checks the stepping, not the physics.  Water is without ripples, because a boat
that hops off ripples is chaotic and no two methods agree on its path.

Halving the step brings the answer about 4 times closer, not the 16 of a fourth-order method: the laws have corners
(a pad leaving the water, friction laws meeting), and a step across a corner is of second order.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from skimwright.boat import AsBuilt, read_kit_table
from skimwright.physics import device_file
from skimwright.pond import Conditions
from skimwright.run import Ensemble, Question, ensemble, forces, stepping
from skimwright.run.forces import E0, MASS, T_SCALE, T_TIME, VX, VY, X, Y

Array = NDArray[np.float64]
SEASON = Path(stepping.__file__).parents[1] / "demo_season"
SMALL_TRIM = 2e-4  # a hundredth of a degree, a tenth of what a pupil can set [rad]
RUNS = (0, 1, 3)  # the one with every cause at its middle, and two drawn ones


@dataclass(frozen=True, kw_only=True)
class Boat:
    kit: str
    device: str
    pushed: tuple[float, ...]  # times while every run is still pushed [s]
    coasting: tuple[float, ...]  # times when none is [s]


BOATS = (
    Boat(kit="fold-62", device="whirr-5", pushed=(0.5, 2.0, 5.0), coasting=(6.5, 8.0)),
    Boat(kit="fold-50", device="tug", pushed=(0.5, 1.0, 1.9), coasting=(3.0, 3.5)),
)


def _ready(boat: Boat, finer: float = 1.0) -> Ensemble:
    kit = tomllib.loads((SEASON / f"kits/{boat.kit}.toml").read_text("utf8"))
    device = tomllib.loads((SEASON / f"devices/{boat.device}.toml").read_text("utf8"))
    question = Question(
        kit=read_kit_table(kit, file=boat.kit),
        device=device_file.read_device_table(device, file=boat.device),
        built=AsBuilt(boat="07"),
        conditions=Conditions(ripple=0.0),
        runs=20,
    )
    return ensemble(question, finer=finer)


def _stepped(ready: Ensemble, run: int, times: tuple[float, ...]) -> Array:
    """States (13, times) by our stepping."""
    row, strips = ready.rows[run], ready.strips[run]
    states = [stepping.state_after(row, strips, ready.count, ready.scene, t)[:, 0] for t in times]
    return np.stack(states, axis=1)


def _solved(ready: Ensemble, run: int, times: tuple[float, ...]) -> Array:
    """States (13, times) by LSODA, in two pieces where a timer ends the push: solvers do not see jumps coming."""
    row, strips, scene = ready.rows[run], ready.strips[run], ready.scene
    switch = scene.thrust_end * row[T_TIME] if scene.device == forces.BY_SPEED else math.inf
    state = stepping.state_after(row, strips, ready.count, scene, 0.0)[:, 0]
    begin, found = 0.0, []
    for end in sorted({min(switch, times[-1]), times[-1]}):

        def rates(t: float, y: Array, last: float = end - 1e-9 if end == switch else end) -> Array:
            eight = np.repeat(y[:, None], 8, axis=1)
            rate, _ = stepping.rates(eight, row, strips, ready.count, scene, min(t, last))
            return np.asarray(rate[:, 0])

        inside = [t for t in times if begin < t < end]
        solution = solve_ivp(
            rates, (begin, end), state, method="LSODA", rtol=1e-10, atol=1e-13, t_eval=[*inside, end]
        )
        assert solution.success
        found += list(solution.y.T[: len(inside)])
        begin, state = end, solution.y[:, -1]
    return np.stack([*found, state], axis=1)


def _speed(states: Array) -> Array:
    return np.hypot(states[VX], states[VY])


def _trim(states: Array) -> Array:
    e0, e1, e2, e3 = states[E0 : E0 + 4]
    return np.arcsin(2.0 * (e0 * e2 - e1 * e3))


def _apart(a: Array, b: Array) -> Array:
    return np.hypot(a[X] - b[X], a[Y] - b[Y])


@pytest.fixture(scope="module", params=BOATS, ids=lambda boat: f"{boat.kit} with {boat.device}")
def boat(request: pytest.FixtureRequest) -> Boat:
    return request.param


@pytest.fixture(scope="module")
def by_lsoda(boat: Boat) -> dict[int, Array]:
    ready = _ready(boat)
    return {run: _solved(ready, run, boat.pushed + boat.coasting) for run in RUNS}


@pytest.mark.parametrize("run", RUNS)
def test_a_pushed_boat_is_where_a_general_solver_puts_it(
    boat: Boat, by_lsoda: dict[int, Array], run: int
) -> None:
    """Within a twentieth of one step: of its travel, and of the speed that the push alone adds in it."""
    ready = _ready(boat)
    ours, theirs = _stepped(ready, run, boat.pushed), by_lsoda[run][:, : len(boat.pushed)]
    step_of_speed = ready.scene.thrust / ready.rows[run, MASS] * ready.scene.longest_step
    assert _apart(ours, theirs).max() < ready.scene.travel_step / 20
    assert np.abs(_speed(ours) - _speed(theirs)).max() < step_of_speed / 20
    assert np.abs(_trim(ours) - _trim(theirs)).max() < SMALL_TRIM


@pytest.mark.parametrize("run", RUNS)
def test_a_coasting_boat_is_off_by_no_more_than_one_step_of_push(
    boat: Boat, by_lsoda: dict[int, Array], run: int
) -> None:
    """The push ends somewhere inside a step; what is wrong with that step is less than its whole push."""
    ready = _ready(boat)
    scene, row = ready.scene, ready.rows[run]
    states = by_lsoda[run]
    ours = _stepped(ready, run, boat.coasting)
    theirs = states[:, len(boat.pushed) :]
    step = max(scene.shortest_step, scene.travel_step / _speed(states)[len(boat.pushed) - 1])
    kick = row[T_SCALE] * scene.thrust / row[MASS] * step  # [m/s]
    since = boat.coasting[-1] - boat.pushed[-1]
    assert np.abs(_speed(ours) - _speed(theirs)).max() < kick
    assert _apart(ours, theirs).max() < kick * since
    assert np.abs(_trim(ours) - _trim(theirs)).max() < SMALL_TRIM  # trim does not remember


def test_halving_the_step_brings_it_closer_by_about_second_order(
    boat: Boat, by_lsoda: dict[int, Array]
) -> None:
    """Observed order of the place at the end of the push, from whole to quarter steps: 1.3 to 2.5, middle 1.8."""
    orders = []
    for run in RUNS:
        there = by_lsoda[run][:, [len(boat.pushed) - 1]]
        coarse, fine = (
            float(_apart(_stepped(_ready(boat, finer), run, boat.pushed[-1:]), there)[0])
            for finer in (1.0, 4.0)
        )
        orders.append(0.5 * math.log2(coarse / fine))
    assert min(orders) > 1.0
    assert 1.5 < np.median(orders) < 4.5

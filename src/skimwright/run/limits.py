"""Two questions to ask before any picture of a run: will it hold its nose down, and does it hold its course?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import RunningForm
from skimwright.run import forces, stepping
from skimwright.run.forces import BY_LINE, BY_SPEED, RUN_ROWS, Scene
from skimwright.run.lanes import as_rows
from skimwright.run.stepping import RESULT_ROWS

Array = NDArray[np.float64]

TRIAL_SPEED = 10.0  # air forces at one attitude grow with speed squared; this only has to be a speed [m/s]


@dataclass(frozen=True, kw_only=True)
class BlowOver:
    """Air speed at which the front pads carry nothing, and how far the run stays from it."""

    critical: tuple[float, float, float]  # with the thrust over: 5, 50, 95 of a hundred builds [m/s]
    thrust_on: float  # middle of the critical air speed while the device pushes [m/s]
    thrust_off: float  # middle of it just after [m/s]
    met: tuple[float, float, float]  # highest air speed met, gusts in: 5, 50, 95 of a hundred runs [m/s]
    margin: float  # middle of (critical / met)^2 - 1, the thrust over [-]
    margin_low: float  # the same, 5 of a hundred lie below [-]
    beyond: float  # share of runs that meet more air than the pads can hold down, whatever became of them [-]


@dataclass(frozen=True, kw_only=True)
class Straightness:
    """Does the boat turn back into its own course when it is pushed aside?"""

    stable: bool
    margin: float  # place where the side force acts behind the balance point, over the boat's length [-]
    speed: float  # at which it was asked [m/s]


def blow_over(rows: Array, scene: Scene, form: RunningForm, results: Array) -> BlowOver:
    """Front-unload air speed of every run, with the thrust on and off.

    The boat is held on its three points; moments are taken about the stern contact.  Weight ahead of that point
    holds the bow down, a push above the water helps, the lift of tunnel and deck raises it.

    Parameters
    ----------
    rows : float array (runs + 1, len(RUN_ROWS))
    scene : Scene
    form : RunningForm
    results : float array (runs + 1, RESULTS)

    Holds
        Running attitude, pads touching; a hop raises the trim and lowers the limit (docs/physics/blowover.md).
    Trust
        About half the relative error of the air lift: +-15 to 25 % (judgement).
    Source
        Front-unload criterion, docs/physics/blowover.md (derived).
    Checked
        tests/physics/test_limits.py against ``physics.blowover.unload_speed``.
    """
    rows = rows[1 : len(results)]
    top = results[1:, RESULT_ROWS.index("top_speed")]
    off, on = critical_speeds(rows, scene, form, top)

    def take(name: str) -> Array:
        return np.asarray(rows[:, RUN_ROWS.index(name)])

    headwind = np.maximum(-take("wind_x"), 0.0) * (1.0 + take("gust_size"))
    met = top + headwind
    margin = (off / np.maximum(met, 0.1)) ** 2 - 1.0
    low, middle, high = (float(v) for v in np.quantile(off, [0.05, 0.5, 0.95]))
    seen = tuple(float(v) for v in np.quantile(met, [0.05, 0.5, 0.95]))
    return BlowOver(
        critical=(low, middle, high),
        thrust_on=float(np.median(on)),
        thrust_off=middle,
        met=(seen[0], seen[1], seen[2]),
        margin=float(np.median(margin)),
        margin_low=float(np.quantile(margin, 0.05)),
        beyond=float((margin < 0.0).mean()),
    )


def critical_speeds(rows: Array, scene: Scene, form: RunningForm, speed: Array) -> tuple[Array, Array]:
    """Front-unload air speed of every run with the thrust over, and with the thrust it has at ``speed``. [m/s]"""
    per_speed, braking = _bow_up_moment(rows, scene, form)

    def take(name: str) -> Array:
        return np.asarray(rows[:, RUN_ROWS.index(name)])

    holding = take("mass") * scene.gravity * (form.stern_contact - take("xg"))
    push, line = (
        _push_at(scene, rows, speed),
        take("zg") - take("thrust_z"),
    )  # height of the line over the water
    off = _speed_for(holding, per_speed - braking)
    if scene.device == BY_SPEED:  # at its top speed a propeller boat gathers no more way
        return off, _speed_for(holding + push * line, per_speed)
    return off, _speed_for(holding + push * (line - take("zg")), per_speed - braking)


def _speed_for(holding: Array, per_speed_squared: Array) -> Array:
    ratio = np.maximum(holding, 0.0) / np.maximum(per_speed_squared, 1e-9)
    return np.minimum(np.sqrt(ratio), 99.0)  # 99 m/s stands for "never"


def _push_at(scene: Scene, rows: Array, speed: Array) -> Array:
    scale = rows[:, RUN_ROWS.index("thrust_scale")]
    if scene.device == BY_SPEED:
        return np.asarray(np.maximum(scale * scene.thrust - scene.thrust_slope * speed, 0.0))
    if scene.device == BY_LINE:
        return np.asarray(scale * scene.thrust)
    pushing = scene.table[scene.table > 0.05 * scene.table.max()] if scene.table.max() > 0 else scene.table
    return np.asarray(scale * float(np.mean(pushing)))


def _bow_up_moment(rows: Array, scene: Scene, form: RunningForm) -> tuple[Array, Array]:
    """Air moment about the stern contact over speed squared; and the part that braking takes back."""
    packed = as_rows(rows)
    out = np.zeros((4, 8))
    moments, braking = [], []
    for block in packed:
        stepping.air_loads(np.ascontiguousarray(block), scene, TRIAL_SPEED, 0.0, 0.0, out)
        xg, zg = block[RUN_ROWS.index("xg")], block[RUN_ROWS.index("zg")]
        behind = xg - form.stern_contact  # body x of the contact
        moments.append(out[2] - (zg * out[0] - behind * out[1]))
        braking.append(-out[0] * zg)  # braked by the air alone, the boat's own inertia presses the bow down
    n, square = len(rows), TRIAL_SPEED**2
    return np.concatenate(moments)[:n] / square, np.concatenate(braking)[:n] / square


def straightness(
    rows: Array, strips: Array, count: int, scene: Scene, *, time: float | None = None
) -> Straightness:
    """Yaw moment against side force when the boat's course is turned 1 degree off its heading.

    Asked of run 0 at ``time`` (default: when the push is nearly over).

    Holds
        Small angles, the blade wet; an aired blade keeps 30 to 50 % of its grip.
    Trust
        The sign; the margin to about 20 % (blade slope).
    Source
        Definition of the static margin in yaw, docs/physics/run.md (derived).
    Checked
        tests/physics/test_limits.py.
    """
    calm = rows[0].copy()
    for name in ("wind_x", "wind_y", "ripple_size", "start_yaw", "start_yaw_rate"):
        calm[RUN_ROWS.index(name)] = 0.0
    when = time if time is not None else _late_push(scene)
    state = stepping.state_after(calm, strips[0], count, scene, when)
    speed = float(math.hypot(state[forces.VX, 0], state[forces.VY, 0]))
    turn = math.radians(1.0)
    tried = state.copy()
    vx, vy = state[forces.VX, 0], state[forces.VY, 0]
    for lane, angle in ((1, turn), (2, -turn)):
        tried[forces.VX, lane] = vx * math.cos(angle) - vy * math.sin(angle)
        tried[forces.VY, lane] = vx * math.sin(angle) + vy * math.cos(angle)
    rate, _ = stepping.rates(tried, calm, strips[0], count, scene, when)
    mass, izz = calm[RUN_ROWS.index("mass")], calm[RUN_ROWS.index("izz")]
    moment = izz * (rate[forces.R, 1] - rate[forces.R, 2])
    force = mass * (rate[forces.VY, 1] - rate[forces.VY, 2])
    behind = -moment / force if abs(force) > 1e-9 else math.inf * math.copysign(1.0, moment)
    length = scene.deck_length
    return Straightness(
        stable=bool(moment > 0.0 and force < 0.0),
        margin=float(np.clip(behind / length, -2.0, 2.0)),
        speed=speed,
    )


def _late_push(scene: Scene) -> float:
    if scene.device == BY_SPEED:
        return min(0.9 * scene.thrust_end, 4.0)
    if scene.device == BY_LINE:
        return 1.2
    return float(0.9 * (len(scene.table) - 1) * scene.table_step)

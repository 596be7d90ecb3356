"""The demonstration law: invented runs for a season that never was.

It is no model of a boat.  It makes the demonstration season's log, and it is one of the laws, different from ours,
that the learning is tried on.  Every number in it is invented.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from skimwright.base import InputError
from skimwright.trials.book import Event, Result

SEED = 20270320  # published: the first day of trials
GRAVITY = 9.81
DEGREE = math.pi / 180.0
STEP = 0.002  # s
STOP = 0.25  # slower than this it has stopped [m/s]
HEADING_SD = 3.0 * DEGREE
CURVE_SD = 0.0015  # 1/m
DISTANCE_SD = 0.07
TIME_SHARE = 0.5  # of a run's luck in distance shows in its time, the other way
STOPWATCH, TAPE = 0.10, 0.3  # s, m
HOOKS = 0.03
FLIP_SPEED = 9.5  # air speed at which boat 18 goes over [m/s]
FLIP_LUCK = 1.0  # in a race, a boat that may go over does so on its quickest runs [-]
AIR = {"Fold 50": 0.013, "Fold 62": 0.020, "Fold 74": 0.0285}  # k of k v^2 [kg/m]
WINDS = ((0.4, 230.0), (0.6, 245.0), (0.8, 220.0))  # of the three days of trials [m/s, deg]
DAYS = ("2027-03-20", "2027-04-17", "2027-05-01")


@dataclass(frozen=True, kw_only=True)
class Push:
    """A device of the demonstration law."""

    first: float = 0.0  # thrust at rest; of a burn, its peak [N]
    lost: float = 0.0  # thrust lost per m/s [N s/m]
    reach: float = math.inf  # it pushes as far as this [m]
    end: float = math.inf  # or as long [s]
    after: float = 0.0  # thrust after the peak, of a burn [N]
    peak_share: float = 1.0  # of the time is peak
    burnt: float = 0.0  # mass that leaves evenly [kg]
    slack: float = 0.0  # thrust falls evenly by so much by the end [N]


def _burn(impulse: float, peak: float, end: float, burnt: float) -> Push:
    early = 0.15
    return Push(
        first=peak, end=end, peak_share=early, burnt=burnt,
        after=(impulse - peak * early * end) / ((1.0 - early) * end),
    )  # fmt: skip


PUSHES = {
    "Tug": Push(first=0.80, reach=6.0),
    "Whirr 5": Push(first=1.9, lost=0.045, end=6.0),
    "Whirr 7": Push(first=2.7, lost=0.06, end=6.0),
    "Hiss": Push(first=2.6, slack=2.6, end=2.4, burnt=0.012),
    "Lantern 1": _burn(2.3, 7.0, 0.75, 0.0036),
    "Lantern 2": _burn(4.6, 9.0, 1.2, 0.0066),
    "Lantern 3": _burn(9.0, 11.0, 2.1, 0.012),
    "Lantern 4": _burn(17.0, 16.0, 2.6, 0.022),
}


@dataclass(frozen=True, kw_only=True)
class Passage:
    """One run of the law without luck."""

    distance: float  # [m]
    gate_time: float  # inf if the gate is not reached [s]
    top_speed: float  # [m/s]


@cache
def law_run(*, mass: float, kit: str, device: str, gate: float) -> Passage:
    """The run of a boat by the demonstration law.

    Parameters
    ----------
    mass : float
        Ready to run. [kg]
    kit, device : names
    gate : float
        Distance of the gate. [m]

    Raises
    ------
    InputError
        The law knows no such kit or device.

    Source
        Invented: the law and its constants stand in docs/physics/learning.md.
    Checked
        tests/published/statistics.csv: the passages worked out apart from this code.
    """
    if kit not in AIR or device not in PUSHES:
        raise InputError(
            what="The demonstration law knows no such boat", got=f"{kit} with {device}",
            allowed=f"{', '.join(AIR)}; {', '.join(PUSHES)}", do="Name one of these.",
        )  # fmt: skip
    push, k = PUSHES[device], AIR[kit]
    x, v, t, top, gate_time = 0.0, 0.0, 0.0, 0.0, math.inf
    while t < 120.0:
        now = mass - push.burnt * min(t / push.end, 1.0)
        pushing = t < push.end and x < push.reach
        force = _thrust(push, t, v) if pushing else 0.0
        rate = (force - _drag(now, k, v)) / (1.05 * now)
        faster = max(v + rate * STEP, 0.0)
        ahead = x + 0.5 * (v + faster) * STEP
        if x < gate <= ahead:
            gate_time = t + STEP * (gate - x) / (ahead - x)
        x, v, t, top = ahead, faster, t + STEP, max(top, faster)
        if not pushing and v < STOP:
            break
    return Passage(distance=x, gate_time=gate_time, top_speed=top)


def _thrust(push: Push, t: float, v: float) -> float:
    if t > push.peak_share * push.end:
        return push.after
    slack = push.slack * t / push.end if push.slack else 0.0
    return max(push.first - push.lost * v - slack, 0.0)


def _drag(mass: float, k: float, v: float) -> float:
    if v <= 0.0:
        return 0.0
    weight = mass * GRAVITY
    if v > 3.0:
        return 0.14 * weight + k * v * v
    if v > 1.2:
        return 0.238 * weight + k * v * v
    return 0.35 * v * v * mass / 0.28


@dataclass(frozen=True, kw_only=True)
class Invented:
    """A boat as the law sees it: its hidden truth."""

    number: int
    kit: str
    device: str
    mass: float  # [kg]
    blade_yaw: float = 0.0  # [rad]
    pad_left: float = 0.0  # [rad]
    pad_right: float = 0.0  # [rad]
    balance_y: float = 0.0  # [m]
    water_gain: float = 0.0  # [kg]
    hooks: float = HOOKS
    flips: bool = False

    @property
    def bias(self) -> float:
        """Where it heads. [rad]"""
        pads = 0.5 * (self.pad_left - self.pad_right)
        return 0.9 * self.blade_yaw + pads + 350.0 * DEGREE * self.balance_y


def invent_runs(
    boat: Invented, *, gate: float, width: float, runs: int, seed: int, heading: float = 95 * DEGREE
) -> tuple[Event, ...]:
    """Runs of one boat by the law, as a crew would log them.

    Parameters
    ----------
    boat : Invented
    gate, width : float
        Distance of the gate and its width. [m]
    runs : int
    seed : int
    heading : float
        Of the launch line, clockwise from north. [rad]
    """
    rng = np.random.Generator(np.random.PCG64([seed, boat.number]))
    told = law_run(mass=boat.mass, kit=boat.kit, device=boat.device, gate=gate)
    return tuple(_one(boat, told, run, gate, width, heading, rng) for run in range(1, runs + 1))


def _one(
    boat: Invented,
    told: Passage,
    run: int,
    gate: float,
    width: float,
    heading: float,
    rng: np.random.Generator,
) -> Event:
    luck, aim, curve, clock, tape = rng.standard_normal(5)
    hook, size, guess = rng.random(3)
    speed, wind_from = WINDS[(run - 1) % len(WINDS)]
    distance = told.distance * (1.0 + DISTANCE_SD * luck) - 0.2 * 1000.0 * boat.water_gain
    across = gate * math.tan(boat.bias + HEADING_SD * aim) + 0.5 * CURVE_SD * curve * gate**2
    headwind = speed * math.cos(wind_from * DEGREE - heading)
    ending: str
    time: float | None = told.gate_time * (1.0 - TIME_SHARE * DISTANCE_SD * luck) + STOPWATCH * clock
    drift: float | None = across
    if boat.flips and told.top_speed + headwind > FLIP_SPEED:
        ending, time, drift, distance = "blew over", None, None, 0.5 * distance
    elif hook < boat.hooks:
        ending, time, drift, distance = "hooked", None, None, distance * (0.4 + 0.3 * size)
    elif distance < gate:
        ending, time, drift = "stopped short", None, None
    else:
        ending = "through the gate" if abs(across) <= 0.5 * width else "ran wide"
    return Event(
        boat=boat.number,
        run=run,
        phone="ramp",
        tap=run,
        time=f"{DAYS[(run - 1) % 3]}T{10 + boat.number // 6:02d}:{4 * (boat.number % 6) + 20:02d}:00",
        guess=("through the gate", "ran wide", "stopped short")[int(guess > 0.6) + int(guess > 0.85)],
        result=Result(
            device=boat.device,
            batch=f"battery {'ABC'[(boat.number + run) % 3]}" if boat.device != "Tug" else None,
            mass=round(boat.mass, 3),
            distance=round(distance + TAPE * tape, 1),
            gate_time=None if time is None else round(time, 2),
            drift=None if drift is None else round(drift, 1),
            ending=ending,
            wind_speed=speed,
            wind_from=wind_from * DEGREE,
            change="none",
        ),
    )


def invent_race(
    boats: Sequence[Invented], *, gate: float, heat: int, seed: int, raced: Mapping[int, int]
) -> tuple[tuple[int, float | None], ...]:
    """Who comes over the line when, by the law; the first one first, those that do not finish last.

    Parameters
    ----------
    boats : sequence of Invented
    gate : float
        Distance of the line. [m]
    heat : int
        Its number; each boat has other luck in each heat.
    seed : int
    raced : mapping of int to int
        How often each boat was on the water before: it gains water every time.

    Returns
    -------
    tuple
        Number and time of each boat; None: it did not finish. [s]
    """
    found: list[tuple[int, float | None]] = []
    for boat in boats:
        rng = np.random.Generator(np.random.PCG64([seed, heat, boat.number]))
        luck, hook = rng.standard_normal(), rng.random()
        told = law_run(mass=boat.mass, kit=boat.kit, device=boat.device, gate=gate)
        gained = 1000.0 * boat.water_gain * raced.get(boat.number, 0)
        distance = told.distance * (1.0 + DISTANCE_SD * luck) - 0.2 * gained
        time = told.gate_time * (1.0 - TIME_SHARE * DISTANCE_SD * luck)
        is_out = hook < boat.hooks or distance < gate or (boat.flips and luck > FLIP_LUCK)
        found.append((boat.number, None if is_out else time))
    return tuple(sorted(found, key=lambda each: (each[1] is None, each[1] or 0.0, each[0])))

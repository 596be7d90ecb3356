"""Laws that are not the fitted one: the demonstration law, and a plain point that coasts with a wandering heading."""

from __future__ import annotations

import math

import numpy as np

from skimwright.trials import Invented, Trial, invent_runs

DEGREE = math.pi / 180


def demonstration(boat: int, runs: int, *, seed: int) -> list[Trial]:
    """A builder's boat and its ordinary runs, by the demonstration law."""
    rng = np.random.Generator(np.random.PCG64([seed, 7, boat]))
    made = Invented(
        number=boat,
        kit="Fold 62",
        device="Whirr 5",
        mass=0.269 + 0.011 * rng.standard_normal(),
        blade_yaw=0.7 * DEGREE * rng.standard_normal(),
        pad_left=0.6 * DEGREE * rng.standard_normal(),
        pad_right=0.6 * DEGREE * rng.standard_normal(),
        balance_y=0.0018 * rng.standard_normal(),
        water_gain=0.001,
    )
    events = invent_runs(made, gate=30.48, width=5.0, runs=runs, seed=seed)
    return [
        Trial(distance=e.result.distance, gate_time=e.result.gate_time, drift=e.result.drift)
        for e in events
        if e.result.ending != "hooked"
    ]


def wandering(boat: int, runs: int, *, seed: int) -> list[Trial]:
    """Another law: friction in proportion to weight, air drag, a heading that wanders like a drunkard's.

    Its shares differ from boat to boat; a push that fades; nothing in it comes from the fitted model.
    """
    rng = np.random.Generator(np.random.PCG64([seed, 11, boat]))
    weight = 0.269 * 9.81
    rub = 0.16 * math.exp(0.12 * rng.standard_normal())
    air = 0.018 * math.exp(0.15 * rng.standard_normal())
    push = 1.85 * math.exp(0.06 * rng.standard_normal())
    pull = 1.6 * DEGREE * rng.standard_normal()
    found = []
    for _ in range(runs):
        thrust = push * math.exp(0.05 * rng.standard_normal())
        friction = rub * math.exp(0.05 * rng.standard_normal())
        x = y = t = v = 0.0
        heading = pull + 1.0 * DEGREE * rng.standard_normal()
        gate_time = drift = None
        while t < 60.0 and (t < 6.0 or v > 0.1):
            force = max(thrust * (1 - 0.02 * v), 0.0) if t < 6.0 else 0.0
            v = max(v + 0.01 * (force - (friction * weight + air * v * v if v > 0 else 0.0)) / 0.28, 0.0)
            heading += 0.8 * DEGREE * math.sqrt(0.01) * rng.standard_normal()
            x, y, t = x + 0.01 * v * math.cos(heading), y + 0.01 * v * math.sin(heading), t + 0.01
            if gate_time is None and x >= 30.48:
                gate_time, drift = t + 0.1 * rng.standard_normal(), y + 0.1 * rng.standard_normal()
        found.append(
            Trial(distance=math.hypot(x, y) + 0.3 * rng.standard_normal(), gate_time=gate_time, drift=drift)
        )
    return found

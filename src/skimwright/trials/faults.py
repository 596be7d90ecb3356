"""Which single fault best explains where a boat drifts?  Each is weighed against the others, and against none."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

FAULT = 4.0  # a fault is so many times its class's spread, one standard deviation [choice]
UNKNOWN = 2.0  # drift that a fault nobody measures may bring, over the class's whole spread [choice]
NONE_OF_THESE = "none of these"
CHANCE = "nothing in particular: launch and wind differ from run to run"


@dataclass(frozen=True, kw_only=True)
class Suspect:
    """One thing that may be out of true, in SI."""

    words: str
    slope: float  # drift at the gate for each unit of it [m per rad, m or kg]
    class_sd: float  # its spread over the class
    reading: float | None = None  # as measured; None if it was not
    reading_sd: float = 0.0
    test: str = ""  # what would tell it apart
    minutes: float = 10.0


@dataclass(frozen=True, kw_only=True)
class Explanation:
    """A fault, and how likely it is the one."""

    key: str
    words: str
    chance: float  # of all explanations together 1 [-]
    size: float  # its likeliest size, SI; 0 for none of these


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Explanations, likeliest first, and the cheapest test that parts the first two."""

    explanations: tuple[Explanation, ...]
    test: str
    minutes: float
    alike: bool  # the first two fit about equally well


def explain(
    suspects: Mapping[str, Suspect],
    *,
    drift: float,
    drift_sd: float,
    other_sd: float,
    may_be_chance: bool = False,
) -> Verdict:
    """Weigh one-fault explanations of a boat's mean drift and its build card.

    Parameters
    ----------
    suspects : mapping
        What may be out of true, by key.
    drift, drift_sd : float
        Mean drift at the gate beyond the wind's, to starboard, and its standard deviation. [m]
    other_sd : float
        Drift from causes that are not on the card. [m]
    may_be_chance : bool
        Whether "no fault at all" is one of the explanations, before the runs as likely as all others together.

    Returns
    -------
    Verdict
        All explanations were equally likely before; "none of these" is one of them.

    Holds
        One fault at a time; drift in proportion to it.
    Source
        Bayes factors of linear normal models (derived), docs/physics/learning.md.
    Checked
        tests/unit/trials/test_faults.py: 200 boats with a planted fault.
    """
    keys = list(suspects)
    logs, sizes = [], []
    for faulty in (*keys, None, *([CHANCE] if may_be_chance else [])):
        log, size = _evidence(suspects, faulty, drift=drift, drift_sd=drift_sd, other_sd=other_sd)
        logs.append(log)
        sizes.append(size)
    if may_be_chance:
        logs[-1] += math.log(len(keys) + 1)
    chances = np.exp(np.array(logs) - max(logs))
    chances /= chances.sum()
    named = [*keys, "none", *(["chance"] if may_be_chance else [])]
    words = [suspects[key].words for key in keys] + [NONE_OF_THESE, CHANCE][: len(named) - len(keys)]
    found = [
        Explanation(key=key, words=text, chance=float(c), size=size)
        for key, text, c, size in zip(named, words, chances, sizes, strict=True)
    ]
    found.sort(key=lambda e: -e.chance)
    first, second = found[0], found[1]
    tests = [suspects[e.key] for e in (first, second) if e.key in suspects]
    cheapest = min(tests, key=lambda s: (s.reading is not None, s.minutes), default=None)
    return Verdict(
        explanations=tuple(found),
        test=cheapest.test if cheapest else "Run it twice more.",
        minutes=cheapest.minutes if cheapest else 8.0,
        alike=second.chance > 0.5 * first.chance,
    )


def _evidence(
    suspects: Mapping[str, Suspect], faulty: str | None, *, drift: float, drift_sd: float, other_sd: float
) -> tuple[float, float]:
    """Log chance of card and drift under one explanation; likeliest size of the fault."""
    wide = {key: s.class_sd * (FAULT if key == faulty else 1.0) for key, s in suspects.items()}
    usual = math.hypot(other_sd, math.sqrt(sum((s.slope * s.class_sd) ** 2 for s in suspects.values())))
    log, mean, variance = 0.0, 0.0, drift_sd**2 + other_sd**2
    variance += (UNKNOWN * usual) ** 2 if faulty is None else 0.0
    left: dict[str, tuple[float, float]] = {}
    for key, s in suspects.items():
        middle, doubt = 0.0, wide[key] ** 2
        if s.reading is not None:
            whole = doubt + s.reading_sd**2
            log -= 0.5 * (math.log(2 * math.pi * whole) + s.reading**2 / whole)
            middle, doubt = s.reading * doubt / whole, doubt * s.reading_sd**2 / whole
        left[key] = middle, doubt
        mean += s.slope * middle
        variance += s.slope**2 * doubt
    log -= 0.5 * (math.log(2 * math.pi * variance) + (drift - mean) ** 2 / variance)
    if faulty is None or faulty == CHANCE:
        return log, 0.0
    middle, doubt = left[faulty]
    return log, middle + suspects[faulty].slope * doubt * (drift - mean) / variance

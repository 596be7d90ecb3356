"""Tries at the gate: what each of them brought, and the chance to pass in those that are left.

Only the log speaks here, no model: bearings at the gate's line, who never crossed it, and what the other boats of
the same kit and device did.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv, ndtr

from skimwright.pond import Gate
from skimwright.trials.book import Result

Array = NDArray[np.float64]
DEGREE = math.pi / 180.0

THROUGH, WIDE, SHORT = "through the gate", "ran wide", "stopped short"
NOT_TOLD = "not told"  # neither an ending nor figures that would say
ODD = "figures and ending differ"

BIAS, RUN = 2.5 * DEGREE, 3.0 * DEGREE  # spread between boats, and from run to run, before any ran [choice]
WEIGHT = 6.0  # runs, or boats, that these two count for [choice]
CROSSED = 0.9  # share of runs that cross the line, before any ran [choice]
CROSSED_WEIGHT = 5.0  # runs that it, and then the class's own share, count for [choice]
RUN_DOUBT = (
    0.3  # how far one boat's spread from run to run may be from its class's, of its logarithm [choice]
)


def verdict_of(result: Result, *, gate: Gate) -> str:
    """What one try brought: its ending, or what its figures say of it.

    Returns
    -------
    str
        ``through the gate``, ``ran wide``, ``stopped short`` or another ending; ``not told`` when neither ending
        nor figures say; ``figures and ending differ`` when they contradict each other.

    Examples
    --------
    >>> verdict_of(Result(distance=48.0, drift=1.2), gate=Gate()), verdict_of(Result(distance=20.0), gate=Gate())
    ('through the gate', 'stopped short')
    """
    seen = _by_figures(result, gate)
    if result.ending is None:
        return seen or NOT_TOLD
    if seen and result.ending in (THROUGH, WIDE, SHORT) and seen != result.ending:
        return ODD
    return result.ending


def _by_figures(result: Result, gate: Gate) -> str | None:
    crossed = result.gate_time is not None or (
        result.distance is not None and result.distance >= gate.distance
    )
    if result.distance is not None and result.distance < 0.98 * gate.distance:
        return SHORT  # a tape laid along the run may read a little less than it ran
    if not crossed or result.drift is None:
        return None
    return THROUGH if abs(result.drift) <= 0.5 * gate.width else WIDE


@dataclass(frozen=True, kw_only=True)
class GateLog:
    """What one boat's runs say at the gate's line."""

    bearings: tuple[float, ...] = ()  # of crossings, from the start, to starboard + [rad]
    through: int = 0  # crossings between the posts of which no drift was written
    wide: int = 0  # crossings outside them, likewise
    missed: int = 0  # runs that never crossed in an ordinary way

    @property
    def crossed(self) -> int:
        """Runs that crossed."""
        return len(self.bearings) + self.through + self.wide

    @property
    def runs(self) -> int:
        """All of them."""
        return self.crossed + self.missed


def gate_log(results: Sequence[Result], *, gate: Gate) -> GateLog:
    """The runs of one boat, sorted; those that tell nothing are left out."""
    bearings, counts = [], {THROUGH: 0, WIDE: 0, "": 0}
    for result in results:
        said = verdict_of(result, gate=gate)
        if said in (NOT_TOLD, ODD):
            continue
        if said not in (THROUGH, WIDE):
            counts[""] += 1
        elif result.drift is not None:
            bearings.append(math.atan2(result.drift, gate.distance))
        else:
            counts[said] += 1
    return GateLog(bearings=tuple(bearings), through=counts[THROUGH], wide=counts[WIDE], missed=counts[""])


@dataclass(frozen=True, kw_only=True)
class Kind:
    """What is believed of a boat of one kit and device before it has run."""

    bias: float = 0.0  # mean bearing [rad]
    bias_sd: float = BIAS  # between boats [rad]
    run_sd: float = RUN  # from run to run [rad]
    crossed: float = CROSSED  # share of runs [-]
    boats: int = 0
    runs: int = 0


def kind_of(logs: Sequence[GateLog]) -> Kind:
    """What other boats of the kind taught, each of the usual figures drawn toward theirs.

    Source
        Sums of squares within and between boats, joined with a prior worth a few runs (derived).
    Checked
        tests/unit/trials/test_tries.py: known spreads come back from many boats.
    """
    groups = [np.array(log.bearings) for log in logs if log.bearings]
    within = sum(float(((g - g.mean()) ** 2).sum()) for g in groups)
    free = sum(len(g) - 1 for g in groups)
    run_sd = math.sqrt((WEIGHT * RUN**2 + within) / (WEIGHT + free))
    bias, between, boats = 0.0, BIAS**2, len(groups)
    if boats:
        means = np.array([g.mean() for g in groups])
        sizes = float(np.mean([1.0 / len(g) for g in groups]))
        bias = float(means.mean()) * boats / (boats + 2.0)
        own = float(((means - means.mean()) ** 2).sum()) - (boats - 1) * sizes * run_sd**2
        between = (WEIGHT * BIAS**2 + max(own, 0.0)) / (WEIGHT + boats - 1)
    crossed, runs = sum(log.crossed for log in logs), sum(log.runs for log in logs)
    share = (CROSSED_WEIGHT * CROSSED + crossed) / (CROSSED_WEIGHT + runs)
    return Kind(
        bias=bias, bias_sd=math.sqrt(between), run_sd=run_sd, crossed=share, boats=len(logs), runs=runs
    )


def chance_to_pass(own: GateLog, kind: Kind, *, gate: Gate, tries: int) -> float:
    """Chance that a boat passes at least once in its next tries, given its log. [-]

    Parameters
    ----------
    own : GateLog
        Runs of the boat as it is now, with the device it will run with.
    kind : Kind
        What the other boats say.
    gate : Gate
    tries : int, >= 0

    Holds
        Bearings normal about a boat's own bias; tries independent once bias and spread are known.  They are not
        known, so a boat that has missed twice is likelier to miss again: that is taken in.
    Source
        Sum over a grid of bias, spread and share of crossings (derived).
    Checked
        tests/unit/trials/test_tries.py: the closed form when nothing is in doubt; drawn boats pass as often as said.
    """
    half = math.atan2(0.5 * gate.width, gate.distance)
    wide = math.hypot(kind.bias_sd, kind.run_sd)
    bias = np.linspace(kind.bias - 5.0 * wide, kind.bias + 5.0 * wide, 241)[:, None]
    steps = np.linspace(-3.0, 3.0, 25)
    spread = (kind.run_sd * np.exp(RUN_DOUBT * steps))[None, :]
    inside = ndtr((half - bias) / spread) - ndtr((-half - bias) / spread)
    log = -0.5 * ((bias - kind.bias) / kind.bias_sd) ** 2 - 0.5 * steps[None, :] ** 2
    for bearing in own.bearings:
        log = log - 0.5 * ((bearing - bias) / spread) ** 2 - np.log(spread)
    tiny = 1e-12
    log = log + own.through * np.log(inside + tiny) + own.wide * np.log(1.0 - inside + tiny)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    a = CROSSED_WEIGHT * kind.crossed + own.crossed
    b = CROSSED_WEIGHT * (1.0 - kind.crossed) + own.missed
    shares = betaincinv(a, b, (np.arange(20) + 0.5) / 20.0)
    missed = np.mean([(1.0 - share * inside) ** tries for share in shares], axis=0)
    return float(1.0 - (weight * missed).sum())

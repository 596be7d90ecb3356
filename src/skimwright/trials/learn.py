"""This boat's own behaviour: what its runs say beyond the model, and the forecast with that taken in.

Runs can teach where the boat pulls, how freely it runs, how strongly its device pushes and how much its runs
differ.  They cannot teach what good runs do not show.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

from skimwright.base import InputError
from skimwright.pond import Conditions, along_and_across
from skimwright.run import Forecast, Range, Term, aimed_chance
from skimwright.trials.law import DIRECTIONS, Law, Study
from skimwright.trials.tempering import PARTICLES, Cloud, temper

Array = NDArray[np.float64]

TAILS = 5.0  # degrees of freedom of a run's chance: now and then one strays far [choice]
TAPE, CLOCK, GATE_EYE = (
    0.3,
    0.14,
    0.2,
)  # reading errors: tape [m], start and stop by hand [s], drift [m] [choice]
OWN = (0.10, 0.06, 0.033)  # how far a boat may be from the model: log, log, drift over gate distance [choice]
SPREAD_OWN = 0.5  # how far the run-to-run spread may be from the model's, of its logarithm [choice]
SPREAD_KIND = 1.0  # the same for all boats of a kind, before any has run [choice]
WIND_LEFT = 0.5  # share of the wind's variance left when it was logged [choice]
MEDIAN = 1.35  # variance of the median of three normal values over that of their mean
SEEN = 0.2  # a cause is called learned when this share of its variance is gone [choice]


@dataclass(frozen=True, kw_only=True)
class Trial:
    """What one ordinary run teaches, in SI; None is not recorded."""

    distance: float | None = None  # [m]
    gate_time: float | None = None  # [s]
    drift: float | None = None  # to starboard + [m]
    wind: tuple[float, float] | None = None  # at head height, along the launch line and to starboard [m/s]

    @property
    def values(self) -> Array:
        """In the law's own terms (3,); nan where not recorded."""
        logs = [math.log(v) if v is not None and v > 0 else math.nan for v in (self.distance, self.gate_time)]
        return np.array([*logs, math.nan if self.drift is None else self.drift])


def trial_wind(
    conditions: Conditions, *, speed: float | None, wind_from: float | None
) -> tuple[float, float] | None:
    """A logged wind along and across the launch line; None without speed, or without direction unless calm. [m/s]"""
    if speed is None or (wind_from is None and speed > 0.3):
        return None
    return along_and_across(speed=speed, wind_from=wind_from or 0.0, heading=conditions.heading)


@dataclass(frozen=True, kw_only=True)
class Fleet:
    """What all boats of a kind together say: how far they are from the model, and from each other."""

    mean: Array  # (3,) in the law's terms
    sd: Array  # (3,) for a boat that has not run yet
    spread: Array  # (3,) mean of the logarithm of the run-to-run spread over the model's
    spread_sd: Array  # (3,)
    boats: int = 0
    runs: int = 0
    taught: float = 0.0  # share of the model's own doubt that the fleet has taken away [-]
    alike: Array = field(
        default_factory=lambda: np.ones(3)
    )  # (3,) variance between boats over the builders' own [-]


def no_fleet(*, gate: float) -> Fleet:
    """Before any boat of its kind has run: the model's own doubt. ``gate`` is its distance [m]."""
    return Fleet(
        mean=np.zeros(3), sd=np.array([OWN[0], OWN[1], OWN[2] * gate]), spread=np.zeros(3),
        spread_sd=np.full(3, SPREAD_OWN),
    )  # fmt: skip


def pool(law: Law, others: Sequence[Array], *, gate: float) -> Fleet:
    """What the other boats of its kind say.

    Parameters
    ----------
    law : Law
        Of the boat in question; its run-to-run spread is taken for all.
    others : one array (runs, 3) for each boat
        What was logged less what was forecast, in the law's terms; nan where not recorded.
    gate : float
        Distance of the gate. [m]

    Source
        Random effects with the between-boat spread summed over a grid (derived); docs/physics/learning.md.
    Checked
        tests/unit/trials/test_learn.py: error after shrinkage as worked out.
    """
    blank = no_fleet(gate=gate)
    mean, sd, spread, spread_sd = (a.copy() for a in (blank.mean, blank.sd, blank.spread, blank.spread_sd))
    alike, left = np.ones(3), []
    build = np.array([g != "model" for g in law.groups])
    slopes = law.slope @ law.turn.T
    for k in np.flatnonzero(law.known):
        rows = [b[np.isfinite(b[:, k]), k] for b in others if np.isfinite(b[:, k]).any()]
        if not rows:
            continue
        spread[k], spread_sd[k] = _pooled_spread(rows, float(law.run_sd[k]))
        run = (law.run_sd[k] * math.exp(spread[k])) ** 2
        builder, model = float((slopes[k, build] ** 2).sum()), float((slopes[k, ~build] ** 2).sum())
        means = np.array([float(np.median(r)) if len(r) > 2 else float(r.mean()) for r in rows])
        error = np.array([(MEDIAN if len(r) > 2 else 1.0) * run / len(r) for r in rows])
        before, usual = model + blank.sd[k] ** 2, math.sqrt(builder + blank.sd[k] ** 2)
        mean[k], between, doubt = _random_effects(means, error, prior=before, scale=usual)
        alike[k] = min(1.0, between / max(builder, 1e-12))
        sd[k] = math.sqrt(doubt + max(between - builder, (0.2 * blank.sd[k]) ** 2))
        left.append(doubt / before)
    return Fleet(
        mean=mean, sd=sd, spread=spread, spread_sd=spread_sd, boats=len(others),
        runs=sum(len(b) for b in others), taught=1.0 - float(np.mean(left)) if left else 0.0, alike=alike,
    )  # fmt: skip


def _pooled_spread(rows: Sequence[Array], model_sd: float) -> tuple[float, float]:
    """Log of the run-to-run spread over the model's, drawn to nought while there are few runs, and its doubt."""
    free = sum(len(r) - 1 for r in rows)
    if free < 3:
        return 0.0, SPREAD_OWN
    pairs = np.concatenate([np.abs(r[:, None] - r)[np.triu_indices(len(r), 1)] for r in rows])
    size = (
        1.4826 * float(np.median(pairs)) / math.sqrt(2.0)
    )  # a stray run or a slip of the pen does not widen all
    own = math.log(max(size, 0.2 * model_sd) / model_sd)
    doubt = 1.2 / math.sqrt(free)
    weight = SPREAD_KIND**-2 / (SPREAD_KIND**-2 + doubt**-2)
    return (1.0 - weight) * own, max(0.15, (SPREAD_KIND**-2 + doubt**-2) ** -0.5)


def _random_effects(means: Array, error: Array, *, prior: float, scale: float) -> tuple[float, float, float]:
    """Fleet mean, variance between boats, variance of the mean; the between-boat spread summed over a grid."""
    grid = np.linspace(0.02, 3.0, 60) * scale
    logs, centres, doubts = [], [], []
    for between in grid:
        weight = 1.0 / (error + between**2)
        doubt = 1.0 / (weight.sum() + 1.0 / prior)
        centre = doubt * (weight * means).sum()
        fit = 0.5 * (np.log(weight).sum() + math.log(doubt) - (weight * means**2).sum() + centre**2 / doubt)
        logs.append(fit - 0.5 * (between / scale) ** 2)
        centres.append(centre)
        doubts.append(doubt)
    share = np.exp(np.array(logs) - max(logs))
    share /= share.sum()
    middle = float((share * np.array(centres)).sum())
    doubt = float((share * (np.array(doubts) + (np.array(centres) - middle) ** 2)).sum())
    return middle, float((share * grid).sum()) ** 2, doubt


# ---------------------------------------------------------------------------------------------- one boat


@dataclass(frozen=True, kw_only=True)
class Learned:
    """What is believed of one boat after its runs: draws of equal weight."""

    law: Law
    fleet: Fleet
    trials: tuple[Trial, ...]
    z: Array  # (draws, DIRECTIONS) its lasting causes, along the directions runs can see
    own: Array  # (draws, 3) what no cause of the model accounts for
    spread: Array  # (draws, 3) its run-to-run spread over the model's
    cloud: Cloud = field(repr=False)

    @property
    def level(self) -> Array:
        """Mean of its runs (draws, 3) in the law's terms, in the day's own wind."""
        return self.law.results(self.z) + self.own

    @property
    def taught(self) -> dict[str, float]:
        """Share of each lasting cause's variance that its runs and the fleet have taken away, by key."""
        lost = np.eye(DIRECTIONS) - np.cov(self.z, rowvar=False)
        return {
            key: float(np.clip(row @ lost @ row, 0.0, 1.0))
            for key, row in zip(self.law.keys, self.law.turn, strict=True)
        }


def reading_variance(values: Array) -> Array:
    """Variance of what tape, clock and eye add, in the law's terms, at logged values (..., 3)."""
    return np.stack(
        [
            (TAPE * np.exp(-values[..., 0])) ** 2,
            (CLOCK * np.exp(-values[..., 1])) ** 2,
            np.full(values.shape[:-1], GATE_EYE**2),
        ],
        axis=-1,
    )


def learn(
    law: Law, trials: Sequence[Trial], *, fleet: Fleet, seed: int, particles: int = PARTICLES
) -> Learned:
    """What the runs of one boat teach.

    Parameters
    ----------
    law : Law
    trials : Trials
        Ordinary runs of this boat as she is now, with this device; may be none.
    fleet : Fleet
    seed : int
    particles : int
        Guesses in the cloud.

    Raises
    ------
    ModelError
        The runs fit nothing this boat might be.

    Holds
        The linear range of the law; ordinary runs.
    Trust
        Ranges of nine in ten held 85 to 95 % of runs made by two other laws: tests/unit/trials.
    Source
        docs/physics/learning.md (derived).
    Checked
        tests/unit/trials: conjugate normal, calibration, coverage.
    """
    middle = np.concatenate([np.zeros(DIRECTIONS), fleet.mean, fleet.spread])
    z_wide = _z_wide(law, fleet)
    wide = np.concatenate([z_wide, fleet.sd, fleet.spread_sd])
    likelihood = _Likelihood(law, trials)
    cloud = temper(likelihood, middle=middle, wide=wide, seed=seed, particles=particles)
    z, own, spread = np.split(cloud.guesses, [DIRECTIONS, DIRECTIONS + 3], axis=1)
    return Learned(
        law=law, fleet=fleet, trials=tuple(trials), z=z, own=own, spread=np.exp(spread), cloud=cloud
    )


def carry(learned: Learned, law: Law, *, seed: int) -> Learned:
    """What was learned in one wind, told in the law of another day.

    The lasting causes are the boat's own and stay as they are; the new law looks at them along its own directions.
    What the runs could not see of these is drawn from what was believed before.

    Raises
    ------
    InputError
        The two laws are of different causes.
    """
    if law.keys != learned.law.keys:
        raise InputError(
            what="The two laws are of different boats", got="other causes", allowed="one boat on two days",
            do="Fit both laws for the same boat.",
        )  # fmt: skip
    shared = law.turn.T @ learned.law.turn
    left = np.linalg.eigh(np.eye(DIRECTIONS) - shared @ shared.T)
    root = left.eigenvectors * np.sqrt(np.maximum(left.eigenvalues, 0.0))
    rng = np.random.Generator(np.random.PCG64([seed, 3]))
    fresh = rng.standard_normal(learned.z.shape) @ root.T
    return replace(learned, law=law, z=learned.z @ shared.T + fresh)


def _z_wide(law: Law, fleet: Fleet) -> Array:
    """Standard deviation of the lasting causes along each direction, before this boat's own runs.

    The fleet has taken part of the model's doubt away, and says whether builders differ as much as was thought.
    """
    model = np.array([g == "model" for g in law.groups])
    part = (law.turn[model] ** 2).sum(axis=0)
    pull = np.where(law.known[:, None], (law.slope / law.run_sd[:, None]) ** 2, 0.0) + 1e-12
    alike = (pull * fleet.alike[:, None]).sum(axis=0) / pull.sum(axis=0)
    return np.asarray(np.sqrt(part * (1.0 - fleet.taught) + (1.0 - part) * alike))


class _Likelihood:
    """Log chance of all trials at many guesses at once."""

    def __init__(self, law: Law, trials: Sequence[Trial]) -> None:
        self._law = law
        self._parts: list[tuple[NDArray[np.int64], Array, Array, Array]] = []
        for trial in trials:
            seen = np.flatnonzero(np.isfinite(trial.values) & law.known)
            if not len(seen):
                continue
            shift, covariance = run_chance(law, trial)
            covariance = covariance + np.diag(np.nan_to_num(reading_variance(trial.values)))
            sub = covariance[np.ix_(seen, seen)]
            sd = np.sqrt(np.diag(sub))
            root = np.linalg.inv(np.linalg.cholesky(sub / np.outer(sd, sd)))
            self._parts.append((seen, trial.values[seen] - shift[seen], sd, root))

    def __call__(self, guesses: Array) -> Array:
        z, own, log_spread = np.split(guesses, [DIRECTIONS, DIRECTIONS + 3], axis=1)
        level = self._law.results(z) + own
        total = np.zeros(len(guesses))
        for seen, values, sd, root in self._parts:
            d = len(seen)
            apart = (values - level[:, seen]) / sd * np.exp(-log_spread[:, seen]) @ root.T
            square = (apart**2).sum(axis=1) * TAILS / (TAILS - 2.0)
            total += -log_spread[:, seen].sum(axis=1) - 0.5 * (TAILS + d) * np.log1p(square / TAILS)
            total += _constant(d) - np.log(sd).sum() + np.log(np.diag(root)).sum()
        return total


def _constant(d: int) -> float:
    scale = 0.5 * d * math.log(TAILS * math.pi * (TAILS - 2.0) / TAILS)
    return float(gammaln(0.5 * (TAILS + d)) - gammaln(0.5 * TAILS) - scale)


def run_chance(law: Law, trial: Trial) -> tuple[Array, Array]:
    """How far the wind of this run moves its results (3,), and its chance (3, 3)."""
    share = 1.0 if trial.wind is None else WIND_LEFT
    windy = share * law.windy @ np.diag(law.wind_sd**2) @ law.windy.T
    return law.wind_shift(trial.wind), law.chance + windy


def draw_runs(learned: Learned, trial: Trial, *, count: int, seed: int) -> Array:
    """Runs (count, 3) as tape and clock would log them, in this trial's wind; only its wind is looked at."""
    law = learned.law
    rng = np.random.Generator(np.random.PCG64([seed, 1]))
    pick = rng.integers(len(learned.z), size=count)
    shift, covariance = run_chance(law, trial)
    covariance = covariance + np.diag(reading_variance(law.middle))
    tail = np.sqrt((TAILS - 2.0) / rng.chisquare(TAILS, size=(count, 1)))
    noise = rng.standard_normal((count, 3)) @ np.linalg.cholesky(covariance).T * tail
    return np.asarray(learned.level[pick] + shift + learned.spread[pick] * noise)


# ---------------------------------------------------------------------------------------------- forecast, taught


def taught_forecast(untaught: Forecast, made: Study, learned: Learned, *, seed: int) -> Forecast:
    """The forecast with this boat's runs taken in.

    Each run of the model is moved by what was learned: from the lasting causes it was drawn with to those now
    believed, with the boat's own departure and its own run-to-run spread.  Runs that hooked or blew over stay as
    they were: their number cannot be learned from good runs, nor can the blow-over limit.

    Parameters
    ----------
    untaught : Forecast
    made : Study
        Of the same question.
    learned : Learned
    seed : int

    Raises
    ------
    InputError
        Forecast and study are not of the same runs.
    """
    law, gate = learned.law, untaught.gate
    count = len(made.results)
    if count != untaught.runs:
        raise InputError(
            what="Forecast and study are of different runs", got=f"{untaught.runs} and {count}",
            allowed="the same question", do="Ask both of one question.",
        )  # fmt: skip
    rng = np.random.Generator(np.random.PCG64([seed, 2]))
    pick = rng.integers(len(learned.z), size=count)
    level, was = learned.level[pick], law.results(law.moved)
    spread = learned.spread[pick]
    over = made.results - was
    windy = law.chance + law.windy @ np.diag(law.wind_sd**2) @ law.windy.T
    fresh = rng.standard_normal((count, 3)) @ np.linalg.cholesky(windy).T
    over = np.where(np.isfinite(over), over, fresh)
    errors = np.sqrt(reading_variance(level)) * rng.standard_normal((count, 3))
    logged = np.where(law.known, level + spread * over + errors, made.results)
    distance = np.where(made.ordinary, np.exp(logged[:, 0]), np.exp(made.results[:, 0]))
    crossed = np.isfinite(made.results[:, 1])
    reached = np.where(made.ordinary & law.known[1], distance >= gate.distance, crossed)
    gate_time = np.where(reached, np.exp(np.where(made.ordinary, logged[:, 1], made.results[:, 1])), np.nan)
    drift = np.where(reached, np.where(made.ordinary, logged[:, 2], made.results[:, 2]), np.nan)
    inside = np.abs(drift) <= 0.5 * gate.width
    aim, aimed = aimed_chance(drift, gate)
    whole = Range.of(distance)
    assert whole is not None  # every run has an end
    return replace(
        untaught,
        distance=whole,
        gate_time=Range.of(gate_time),
        drift=Range.of(drift),
        reaches=float(reached.mean()),
        through_gate=float((reached & inside).mean()),
        aim=aim,
        through_aimed=aimed,
        endings=_endings(untaught, made, reached, inside),
        terms=_terms(untaught.terms, learned, made, distance, drift),
        ends=_ends(untaught, distance, drift, made, gate.distance),
    )


def _endings(
    untaught: Forecast, made: Study, reached: NDArray[np.bool_], inside: NDArray[np.bool_]
) -> dict[str, float]:
    """Shares of the endings: ordinary ones anew, the others as the model had them."""
    ordinary = {
        "through the gate": reached & inside,
        "ran wide": reached & ~inside,
        "stopped short": ~reached,
    }
    shares = {word: float((hit & made.ordinary).mean()) for word, hit in ordinary.items()}
    shares |= {word: share for word, share in untaught.endings.items() if word not in ordinary}
    return {word: share for word, share in shares.items() if share > 0.0}


def _ends(untaught: Forecast, distance: Array, drift: Array, made: Study, gate: float) -> Array:
    angle = np.arctan2(untaught.ends[:, 1], untaught.ends[:, 0])
    turned = np.arctan2(np.nan_to_num(drift - made.results[:, 2]), gate)
    ends = np.stack([distance * np.cos(angle + turned), distance * np.sin(angle + turned)], axis=1)
    return np.asarray(np.where(made.ordinary[:, None], ends, untaught.ends))


def _terms(
    terms: tuple[Term, ...], learned: Learned, made: Study, distance: Array, drift: Array
) -> tuple[Term, ...]:
    """Shares of the spread that is left: what was learned of a cause no longer counts."""
    taught = learned.taught
    was_far, was_wide = float(np.nanvar(np.exp(made.results[:, 0]))), float(np.nanvar(made.results[:, 2]))
    is_far, is_wide = float(np.nanvar(distance)), float(np.nanvar(drift))
    grown = was_far / max(is_far, 1e-12), was_wide / is_wide if is_wide > 0.0 else 1.0
    found = []
    for term in terms:
        left = 1.0 - taught.get(term.key, 0.0)
        found.append(
            replace(
                term,
                distance=min(1.0, term.distance * left * grown[0]),
                drift=min(1.0, term.drift * left * grown[1]),
            )
        )
    ranked = sorted(found, key=lambda t: -max(t.distance, t.drift))
    return tuple(t for t in ranked if max(t.distance, t.drift) >= 0.02)

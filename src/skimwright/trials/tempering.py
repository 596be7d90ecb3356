"""Learning by degrees: from what was believed before, step by step, to what the data say.

A cloud of guesses is drawn from the prior.  The data are let in a little at a time; at each step the guesses that
fit badly are dropped, those that fit well are doubled, and all are moved about so that no two stay alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.base import ModelError

Array = NDArray[np.float64]

PARTICLES = 1000
KEEP = 0.5  # share of the cloud that still counts after each step, as is usual
MOVES = 6  # at each step
STAY = 0.4  # how much of its place a guess keeps in one move
WIDER = 1.2  # the moves are drawn a little wider than the cloud
MOST_STEPS = 60


@dataclass(frozen=True, kw_only=True)
class Cloud:
    """Guesses drawn from the posterior, all of equal weight."""

    guesses: Array  # (particles, parameters)
    log_evidence: float  # log of the chance of these data before they were seen [-]
    steps: int  # in which the data were let in
    effective: float  # guesses that count: fewest over the steps, or those still different at the end [-]
    accepted: float  # share of the moves that were taken [-]


def temper(
    log_likelihood: Callable[[Array], Array],
    *,
    middle: Array,
    wide: Array,
    seed: int,
    particles: int = PARTICLES,
) -> Cloud:
    """Posterior of parameters whose prior is normal and independent.

    Parameters
    ----------
    log_likelihood : from guesses (particles, parameters) to (particles,)
    middle, wide : float array (parameters,)
        Prior means and standard deviations, the latter above nought.
    seed : int
        Same seed, same cloud.
    particles : int

    Returns
    -------
    Cloud

    Raises
    ------
    ModelError
        The data fit none of the guesses, or they had to be let in by too many steps.

    Holds
        Posteriors of one or a few humps, up to some twenty parameters.
    Source
        Sequential Monte Carlo from prior to posterior, Del Moral, Doucet and Jasra (2006); steps by the effective
        sample, Zhou, Johansen and Aston (2016), both as library documents describe them.
    Checked
        tests/published/statistics.csv against the conjugate normal; calibration in tests/unit/trials.
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    guesses = middle + wide * rng.standard_normal((particles, len(middle)))
    fit = _finite(log_likelihood(guesses))
    let_in, evidence, steps, taken, fewest = 0.0, 0.0, 0, [], float(particles)
    while let_in < 1.0:
        if steps == MOST_STEPS:
            raise ModelError(
                what="These runs do not fit anything this boat might be",
                do="Look through its log for a slip of the pen, and for runs with another device.",
            )
        step = _next_step(fit, left=1.0 - let_in)
        weights = np.exp(step * (fit - fit.max()))
        evidence += step * float(fit.max()) + float(np.log(weights.mean()))
        fewest = min(fewest, float(weights.sum() ** 2 / (weights**2).sum()))
        let_in = min(1.0, let_in + step)
        chosen = _resample(weights, rng)
        guesses, fit = guesses[chosen], fit[chosen]
        for _ in range(MOVES):
            guesses, fit, share = _move(guesses, fit, let_in, log_likelihood, middle, wide, rng)
            taken.append(share)
        steps += 1
    different = float(len(np.unique(guesses[:, 0])))
    return Cloud(
        guesses=guesses,
        log_evidence=evidence,
        steps=steps,
        effective=min(fewest, different),
        accepted=float(np.mean(taken)),
    )


def _finite(fit: Array) -> Array:
    fit = np.where(np.isnan(fit), -np.inf, fit)
    if not np.isfinite(fit).any():
        raise ModelError(
            what="These runs do not fit anything this boat might be",
            do="Look through its log for a slip of the pen.",
        )
    return np.maximum(fit, -1e12)


def _next_step(fit: Array, *, left: float) -> float:
    """The largest share of the data that still leaves the wanted share of the cloud counting."""

    def share(step: float) -> float:
        weights = np.exp(step * (fit - fit.max()))
        return float(weights.sum() ** 2 / (weights**2).sum() / len(fit))

    if share(left) >= KEEP:
        return left
    low, high = 0.0, left
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if share(middle) >= KEEP else (low, middle)
    return max(low, 1e-9)


def _resample(weights: Array, rng: np.random.Generator) -> NDArray[np.int64]:
    """Systematic resampling: each guess as often as its weight says, give or take one."""
    places = (np.arange(len(weights)) + rng.random()) / len(weights)
    return np.minimum(np.searchsorted(np.cumsum(weights) / weights.sum(), places), len(weights) - 1)


def _move(
    guesses: Array,
    fit: Array,
    let_in: float,
    log_likelihood: Callable[[Array], Array],
    middle: Array,
    wide: Array,
    rng: np.random.Generator,
) -> tuple[Array, Array, float]:
    """One Metropolis move of every guess; the draws follow the shape of the cloud, and leave it as it is."""
    centre = guesses.mean(axis=0)
    spread = np.atleast_2d(np.cov(guesses, rowvar=False)) * WIDER**2 + np.diag(1e-10 * wide**2)
    root = np.linalg.cholesky(spread)
    fresh = rng.standard_normal(guesses.shape) @ root.T
    tried = centre + STAY * (guesses - centre) + np.sqrt(1.0 - STAY**2) * fresh
    tried_fit = np.maximum(np.nan_to_num(log_likelihood(tried), nan=-1e12, neginf=-1e12), -1e12)

    def level(points: Array, point_fit: Array) -> Array:
        prior = -0.5 * (((points - middle) / wide) ** 2).sum(axis=1)
        own = np.linalg.solve(root, (points - centre).T)
        return np.asarray(let_in * point_fit + prior + 0.5 * (own**2).sum(axis=0))

    taken = np.log(rng.random(len(guesses))) < level(tried, tried_fit) - level(guesses, fit)
    return np.where(taken[:, None], tried, guesses), np.where(taken, tried_fit, fit), float(taken.mean())

"""The engine: calibrated by ranks, the same from the same seed, honest about what does not fit."""

import math

import numpy as np
import pytest
from scipy.stats import chi2

from skimwright.base import ModelError
from skimwright.trials.scores import bin_of, rank_of, unevenness
from skimwright.trials.tempering import temper

DRAWS = 99  # 100 ranks, ten bins of ten


def bent(theta, data):
    """Two parameters, a bent mean and a spread of their own: no closed form."""
    mean = theta[:, :1] + 0.3 * theta[:, :1] ** 2
    spread = np.exp(0.4 * theta[:, 1:])
    return (-0.5 * ((data - mean) / spread) ** 2 - np.log(spread)).sum(axis=1)


def ranks_of(seasons):
    rng = np.random.default_rng(5)
    found = []
    for season in range(seasons):
        truth = rng.standard_normal(2)
        data = truth[0] + 0.3 * truth[0] ** 2 + math.exp(0.4 * truth[1]) * rng.standard_normal(4)
        cloud = temper(
            lambda t, d=data: bent(t, d), middle=np.zeros(2), wide=np.ones(2), seed=season, particles=400
        )
        picked = cloud.guesses[rng.choice(400, DRAWS, replace=False)]
        found.append([rank_of(truth[k], picked[:, k]) for k in range(2)])
    return np.array(found)


def test_ranks_of_the_truth_are_uniform():
    """Simulation-based calibration, Talts et al. 2018: chi-square of ten bins, 99 % level."""
    ranks = ranks_of(300)
    for k in range(2):
        counts = np.bincount([bin_of(rank=r, most=DRAWS, bins=10) - 1 for r in ranks[:, k]], minlength=10)
        assert unevenness(counts) < chi2.ppf(0.99, 9), counts


def test_the_uniformity_test_sees_an_engine_that_is_too_sure():
    ranks = ranks_of(150)
    narrow = np.clip(np.round(49.5 + 1.6 * (ranks - 49.5)), 0, DRAWS).astype(int)
    counts = np.bincount([bin_of(rank=r, most=DRAWS, bins=10) - 1 for r in narrow[:, 0]], minlength=10)
    assert unevenness(counts) > chi2.ppf(0.99, 9)


def test_the_same_seed_gives_the_same_cloud():
    a, b = (
        temper(lambda t: -((t[:, 0] - 1) ** 2), middle=np.zeros(1), wide=np.ones(1), seed=4) for _ in range(2)
    )
    assert np.array_equal(a.guesses, b.guesses)
    assert a.effective >= 500


def test_sharp_data_are_let_in_by_several_steps():
    cloud = temper(lambda t: -0.5 * ((t[:, 0] - 2) / 0.01) ** 2, middle=np.zeros(1), wide=np.ones(1), seed=4)
    assert cloud.steps > 4
    assert abs(cloud.guesses.mean() - 2) < 0.002
    assert abs(cloud.guesses.std() - 0.01) < 0.001


def test_two_humps_are_both_kept():
    def fit(t):
        return np.logaddexp(-0.5 * ((t[:, 0] - 1.5) / 0.2) ** 2, -0.5 * ((t[:, 0] + 1.5) / 0.2) ** 2)

    cloud = temper(fit, middle=np.zeros(1), wide=np.ones(1), seed=4, particles=2000)
    assert 0.35 < (cloud.guesses > 0).mean() < 0.65


def test_data_that_fit_nothing_are_refused():
    with pytest.raises(ModelError, match="log for a slip"):
        temper(lambda t: np.full(len(t), np.nan), middle=np.zeros(1), wide=np.ones(1), seed=4)

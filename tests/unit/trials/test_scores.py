"""Scores against their definitions."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from skimwright.base import InputError
from skimwright.trials.scores import bin_of, crps_draws, crps_normal, held, unevenness


@pytest.mark.parametrize("came", [-3.0, 0.0, 0.5, 2.0])
def test_the_normal_score_is_the_area_between_forecast_and_truth(came):
    below = quad(lambda x: norm.cdf(x, 1.0, 0.7) ** 2, -20, came)[0]
    above = quad(lambda x: norm.sf(x, 1.0, 0.7) ** 2, came, 20)[0]
    assert crps_normal(mean=1.0, sd=0.7, came=came) == pytest.approx(below + above, abs=1e-7)


def test_the_score_of_many_draws_comes_to_the_normal_score():
    draws = norm.ppf((np.arange(4000) + 0.5) / 4000, 1.0, 0.7)
    assert crps_draws(draws, 2.0) == pytest.approx(crps_normal(mean=1.0, sd=0.7, came=2.0), abs=1e-3)


def test_a_sharper_right_forecast_scores_better():
    assert crps_normal(mean=0, sd=0.5, came=0.1) < crps_normal(mean=0, sd=2.0, came=0.1)


def test_one_draw_scores_its_distance():
    assert crps_draws([3.0], 5.0) == 2.0


def test_nine_of_ten_are_held_between_the_twentieths():
    draws = np.arange(101.0)
    assert held(draws, 5.0)
    assert not held(draws, 4.9)


def test_even_bins_are_even_and_a_hump_is_not():
    assert unevenness([7, 7, 7]) == 0.0
    assert unevenness([1, 19, 1]) > 20


@pytest.mark.parametrize("rank, most, bins", [(1000, 999, 20), (-1, 99, 10), (3, 98, 10)])
def test_a_rank_without_a_bin_is_refused(rank, most, bins):
    with pytest.raises(InputError, match="no bin"):
        bin_of(rank=rank, most=most, bins=bins)


def test_a_forecast_without_spread_is_refused():
    with pytest.raises(InputError, match="without spread"):
        crps_normal(mean=0, sd=0, came=1)

"""How many runs, what chance, what worth: against plain simulation."""

import math

import numpy as np
import pytest

from skimwright.base import InputError
from skimwright.desk.trials.learn import ENOUGH
from skimwright.trials.sure import gate_chance, runs_to_tell, shrink, worth_of_runs


def test_with_so_many_runs_a_change_is_told_four_times_in_five():
    n = round(runs_to_tell(difference=0.26, run_sd=0.27))
    rng = np.random.default_rng(1)
    a, b = rng.normal(0, 0.27, (4000, n)), rng.normal(0.26, 0.27, (4000, n))
    told = np.abs(b.mean(1) - a.mean(1)) > 1.96 * 0.27 * np.sqrt(2 / n)
    assert told.mean() == pytest.approx(0.8, abs=0.02)


def test_shrinking_24_boats_brings_the_error_down_as_worked_out():
    """True bias sd 2.5 deg, run sd 3 deg, three runs: 1.73 alone, 1.42 shrunk."""
    rng = np.random.default_rng(2)
    truth = rng.normal(0, 2.5, (400, 24))
    own = truth + rng.normal(0, 3 / np.sqrt(3), truth.shape)
    shrunk = np.vectorize(
        lambda m: shrink(own_mean=m, own_sd=3 / np.sqrt(3), fleet_mean=0.0, fleet_sd=2.5)[0]
    )
    assert np.sqrt(((own - truth) ** 2).mean()) == pytest.approx(1.73, abs=0.03)
    assert np.sqrt(((shrunk(own) - truth) ** 2).mean()) == pytest.approx(1.42, abs=0.03)


def test_an_odd_boat_is_shrunk_less_as_it_proves_itself():
    few = shrink(own_mean=8.0, own_sd=3.0, fleet_mean=0.0, fleet_sd=2.5)[0]
    many = shrink(own_mean=8.0, own_sd=3.0 / 4, fleet_mean=0.0, fleet_sd=2.5)[0]
    assert few < 4 < 7 < many < 8


def test_the_worth_of_a_run_is_what_seasons_drawn_at_random_say():
    rng = np.random.default_rng(3)
    bias = rng.normal(0, 1.0, 400_000)
    seen = bias + rng.normal(0, 1.5, bias.shape)
    guess = seen * 1.0 / (1.0 + 1.5**2)
    luck = rng.normal(0, 1.5, bias.shape)
    gain = (np.abs(bias - guess + luck) < 2.5).mean() - (np.abs(bias + luck) < 2.5).mean()
    assert worth_of_runs(bias_sd=1.0, run_sd=1.5, half_width=2.5) == pytest.approx(gain, abs=0.003)


def test_a_bias_costs_chance_and_its_side_does_not_matter():
    left, right = (gate_chance(bias=b, sd=1.0, half_width=2.5) for b in (-1.0, 1.0))
    assert left == pytest.approx(right)
    assert left < gate_chance(bias=0.0, sd=1.0, half_width=2.5)


@pytest.mark.parametrize("difference, run_sd", [(0.0, 1.0), (1.0, 0.0)])
def test_nothing_to_tell_apart_is_refused(difference, run_sd):
    with pytest.raises(InputError, match="Nothing to tell"):
        runs_to_tell(difference=difference, run_sd=run_sd)


def test_no_spread_is_refused():
    with pytest.raises(InputError, match="without spread"):
        gate_chance(bias=0, sd=0, half_width=1)
    with pytest.raises(InputError, match="without spread"):
        shrink(own_mean=0, own_sd=0, fleet_mean=0, fleet_sd=1)


def test_seasons_that_stop_when_a_run_is_not_worth_it_qualify_as_many_with_a_quarter_fewer_runs():
    """Five sorts of boats, 3,000 each, aimed by what their practice runs told; against three practice runs for each.

    Their spreads are known to them here, as the class's are in a season.
    """
    half = math.degrees(math.atan2(2.5, 30.48))
    rng = np.random.default_rng(3)
    runs, through = {"three": [], "advised": []}, {"three": [], "advised": []}
    for bias_sd, run_sd in ((1.0, 3.2), (2.5, 3.0), (4.0, 2.0), (2.5, 5.0), (1.0, 1.5)):
        advised = 0
        while advised < 8:
            known = (bias_sd**-2 + advised * run_sd**-2) ** -0.5
            if worth_of_runs(bias_sd=known, run_sd=run_sd, half_width=half) < ENOUGH:
                break
            advised += 1
        for plan, practice in (("three", 3), ("advised", advised)):
            bias = rng.normal(0.0, bias_sd, 3000)
            seen = bias[:, None] + rng.normal(0.0, run_sd, (3000, practice))
            aim = seen.sum(axis=1) * run_sd**-2 / (bias_sd**-2 + practice * run_sd**-2)
            tries = (bias - aim)[:, None] + rng.normal(0.0, run_sd, (3000, 3))
            runs[plan].append(practice)
            through[plan].append((np.abs(tries) < half).any(axis=1).mean())
    assert np.mean(runs["advised"]) <= 0.75 * np.mean(runs["three"])
    assert (
        np.mean(through["advised"]) >= np.mean(through["three"]) - 0.003
    )  # two standard errors of 15,000 boats

"""Kept forecasts against the runs that came after: right ones hold as they should, wrong ones show."""

import itertools

import numpy as np
import pytest
from scipy.stats import norm

from skimwright.pond import Gate
from skimwright.run import STEPS
from skimwright.trials import Kept, Result, Run, chances_of, lines_of, score
from skimwright.trials.kept import draws_of
from skimwright.trials.scores import crps_draws, crps_normal


def kept(boat=1, after_run=0, *, mean=48.0, sd=3.0, made="forecast", **changes):
    steps = {"distance": tuple(float(v) for v in norm.ppf(STEPS, mean, sd))}
    words = {
        "boat": boat, "made": made, "time": "", "device": "Whirr 5", "after_run": after_run, "wind": (0.0, 0.0),
        "gate": Gate(), "through": 0.7, "steps": steps,
    }  # fmt: skip
    return Kept(**(words | changes))


def run(boat, number, distance, **changes):
    words = {"device": "Whirr 5", "distance": distance, "ending": "through the gate"} | changes
    return Run(boat=boat, run=number, time="", phones=(), result=Result(**words), guess=None)


def scored(forecasts, runs, *, winds=None):
    by_boat = {boat: tuple(r for r in runs if r.boat == boat) for boat in {r.boat for r in runs}}
    return score(forecasts, by_boat, kinds=dict.fromkeys(by_boat, "Fold 62"), winds=winds or {})


@pytest.mark.parametrize("came", [40.0, 47.0, 48.0, 55.0])
def test_the_score_of_a_kept_range_is_that_of_its_distribution(came):
    """Against the closed form for the normal: its steps are straight between, its tails cut; within 3 %."""
    near = crps_draws(draws_of(kept().steps["distance"]), came)
    assert near == pytest.approx(crps_normal(mean=48.0, sd=3.0, came=came), rel=0.03)


def test_the_score_of_draws_is_the_sum_over_all_pairs():
    """The form E|X - y| - E|X - X'| / 2, written out pair by pair."""
    draws = np.random.default_rng(1).normal(3.0, 2.0, 40)
    pairs = np.mean([abs(a - b) for a, b in itertools.product(draws, draws)])
    for came in (-1.0, 3.0, 9.0):
        assert crps_draws(draws, came) == pytest.approx(
            np.mean(np.abs(draws - came)) - 0.5 * pairs, abs=1e-12
        )


def test_right_forecasts_hold_half_and_nine_of_ten_and_beat_what_needs_no_model():
    """Boats differ by 6 m, their runs by 3 m, and each forecast knows its boat."""
    rng = np.random.default_rng(4)
    levels = rng.normal(48.0, 6.0, 120)
    runs = [run(b, k, d) for b, m in enumerate(levels) for k, d in enumerate(rng.normal(m, 3.0, 3), 1)]
    found, _, _ = scored([kept(b, mean=m) for b, m in enumerate(levels)], runs)
    line = lines_of(found)[0]
    assert line.count == 360
    assert line.held50 == pytest.approx(0.5, abs=0.08)
    assert line.held90 == pytest.approx(0.9, abs=0.05)
    assert line.both == 240
    assert line.crps_there < line.last < line.kind
    assert line.crps == pytest.approx(
        3.0 * np.pi**-0.5, rel=0.08
    )  # what a right normal forecast scores on average


def test_too_narrow_a_forecast_shows():
    rng = np.random.default_rng(5)
    runs = [run(b, 1, d) for b, d in enumerate(rng.normal(48.0, 6.0, 200))]
    assert lines_of(scored([kept(b) for b in range(200)], runs)[0])[0].held90 < 0.7


def test_a_run_is_scored_by_the_last_forecast_before_it_and_by_none_made_after():
    forecasts = [kept(after_run=0, mean=40.0), kept(after_run=2, mean=50.0), kept(after_run=2, mean=51.0)]
    found, _, _ = scored(forecasts, [run(1, 2, 44.0), run(1, 3, 44.0)])
    assert [s.kept for s in found] == [forecasts[0], forecasts[2]]
    assert not scored([kept(after_run=3)], [run(1, 3, 44.0)])[0]


@pytest.mark.parametrize(
    "changes, wind",
    [
        ({"device": "Tug"}, None),
        ({"change": "blade 1 deg"}, None),
        ({"ending": "hooked"}, None),
        ({}, (0.0, 2.0)),
    ],
)
def test_runs_that_were_not_foretold_do_not_score(changes, wind):
    winds = {(1, 1): wind} if wind else {}
    found, _, other = scored([kept()], [run(1, 1, 44.0, **changes)], winds=winds)
    assert not found
    assert other == bool(wind)


def test_a_hook_is_a_miss_of_the_gate_and_a_blank_is_not():
    runs = [run(1, 1, 48.0), run(1, 2, 48.0, ending="ran wide"), run(1, 3, 9.0, ending="hooked")]
    _, chances, _ = scored([kept()], [*runs, run(1, 4, None, ending=None)])
    line = chances_of(chances)[0]
    assert (line.count, line.came) == (3, pytest.approx(1 / 3))
    assert line.brier == pytest.approx((0.3**2 + 2 * 0.7**2) / 3)

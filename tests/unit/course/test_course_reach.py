"""Reach statistics: they hold for runs of another law than the one they came from."""

import numpy as np
import pytest

from skimwright.course import LoggedRun, runs_for_share, stated_reach, tail_of

LAWS = {
    "normal with hooks": lambda rng, n: np.where(
        rng.random(n) < 0.03, rng.uniform(5, 60, n), rng.normal(48, 5, n)
    ),
    "long tail": lambda rng, n: 40 + 3 * rng.standard_t(4, n),
    "two kinds of boat": lambda rng, n: np.where(
        rng.random(n) < 0.3, rng.normal(12, 1, n), rng.gamma(80, 0.6, n)
    ),
}


@pytest.mark.parametrize("share, runs", [(0.9, 119), (0.99, 400)])
@pytest.mark.parametrize("law", LAWS)
def test_a_stated_reach_holds_in_seasons_of_any_law(law, share, runs):
    rng = np.random.default_rng(7)
    draw = LAWS[law]
    truth = np.quantile(draw(rng, 400_000), share)  # the reach that holds this share exactly
    seasons = 400
    held = sum(stated_reach(draw(rng, runs), share) >= truth for _ in range(seasons))
    # 95 of a hundred at least; three standard errors of 400 seasons are 3.3 points.
    assert held / seasons >= 0.95 - 0.033


def test_too_few_runs_state_no_reach():
    assert stated_reach(np.arange(298.0), 0.99) is None
    assert stated_reach(np.arange(299.0), 0.99) == 298.0
    assert stated_reach(np.array([]), 0.9) is None
    assert runs_for_share(share=0.01) == 299


def test_no_stray_in_n_runs_is_three_over_n():
    assert tail_of(30, 0).limit == pytest.approx(0.1)
    assert tail_of(300, 0).limit == pytest.approx(0.01)
    assert tail_of(0, 0).limit == 1.0
    assert tail_of(2, 0).limit == 1.0  # never over one


def test_strays_seen_raise_the_limit_as_the_exact_binomial_says():
    # 1 in 30: the p at which one stray or fewer has a chance of 5 %; solved by hand from (1-p)^30 + 30 p (1-p)^29.
    limit = tail_of(30, 1).limit
    assert (1 - limit) ** 30 + 30 * limit * (1 - limit) ** 29 == pytest.approx(0.05, abs=1e-9)
    assert tail_of(30, 1).limit > tail_of(30, 0).limit
    assert tail_of(5, 5).limit == 1.0


@pytest.mark.parametrize(
    "run, stray",
    [
        (LoggedRun(boat=1, distance=40, drift=1.0, ending="stopped"), False),
        (LoggedRun(boat=1, distance=40, drift=-9.0, ending="stopped"), True),
        (LoggedRun(boat=1, distance=40, drift=None, ending="Hooked left"), True),
        (LoggedRun(boat=1, distance=None, drift=None, ending="blew over"), True),
    ],
)
def test_a_stray_left_its_ribbon_or_ended_oddly(run, stray):
    assert run.is_stray(7.5) is stray

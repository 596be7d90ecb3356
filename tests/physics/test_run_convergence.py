"""How sure a range is after a thousand runs: as sure as statistics says, and a little surer for being spread evenly."""

import numpy as np
import pytest
from scipy import stats

from factories import ask
from skimwright.run import forecast

SHARES = (0.05, 0.5, 0.95)


@pytest.fixture(scope="module")
def answers(kits, devices):
    """Distances of 1000 runs from each of eight seeds, and of 4000 from another."""

    def far(runs, seed):
        answer = forecast(
            ask(kits["fold-74"], devices["hiss"], runs=runs, seed=seed, wind=1.5, wind_from=-60)
        )
        return np.hypot(*answer.ends.T)

    return [far(1000, seed) for seed in range(8)], far(4000, 99)


def bootstrap_error(values, share):
    """Standard error of one quantile of these runs, by drawing them again."""
    return stats.bootstrap(
        (values,), lambda v, axis: np.quantile(v, share, axis=axis), n_resamples=300, method="basic",
        rng=np.random.default_rng(1), vectorized=True,
    ).standard_error  # fmt: skip


@pytest.mark.parametrize("share", SHARES)
def test_a_thousand_and_four_thousand_runs_differ_by_no_more_than_chance(answers, share):
    thousands, more = answers
    error = bootstrap_error(more, share)
    # error of 1000 is twice that of 4000; both together sqrt(5) of it.  3.5 of them: 1 in 2000 by chance.
    for some in thousands:
        assert abs(np.quantile(some, share) - np.quantile(more, share)) < 3.5 * np.sqrt(5) * error


@pytest.mark.parametrize("share", SHARES)
def test_seeds_scatter_as_much_as_statistics_says_or_less(answers, share):
    thousands, _ = answers
    scatter = np.std([np.quantile(some, share) for some in thousands], ddof=1)
    expected = bootstrap_error(thousands[0], share)
    # Eight seeds know their scatter to a factor of about two; even spreading can only lessen it.
    assert 0.05 * expected < scatter < 2.0 * expected


def test_a_range_after_a_thousand_runs_is_good_to_a_twentieth_of_its_width(answers):
    # What Question says when the number of runs is refused.
    thousands, more = answers
    width = np.ptp(np.quantile(more, (0.05, 0.95)))
    for share in SHARES:
        off = [np.quantile(some, share) - np.quantile(more, share) for some in thousands]
        assert np.sqrt(np.mean(np.square(off))) < width / 20

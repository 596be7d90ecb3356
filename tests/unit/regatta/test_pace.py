"""What trial times say of a boat as a racer."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skimwright.regatta import paces
from skimwright.regatta.pace import APART, FAILS, SPREAD, ahead


def test_without_runs_a_boat_is_any_boat() -> None:
    (pace,) = paces({7: []}).values()
    assert (pace.mean, pace.doubt, pace.spread, pace.fails) == (0.0, APART, SPREAD, FAILS)
    assert pace.is_guess


def test_the_best_of_normal_values_stands_where_the_closed_forms_say() -> None:
    """Derived: the larger of two stands 1/sqrt(pi) over their middle, the largest of three 3/(2 sqrt(pi))."""
    assert ahead(2, 1) == pytest.approx(1 / math.sqrt(math.pi), abs=1e-9)
    assert ahead(3, 1) == pytest.approx(1.5 / math.sqrt(math.pi), abs=1e-9)
    assert ahead(3, 2) == pytest.approx(
        0.75 / math.sqrt(math.pi), abs=1e-9
    )  # the middle one stands at nought
    assert ahead(5, 5) == pytest.approx(0.0, abs=1e-9)


def test_many_runs_are_believed_and_one_is_drawn_to_the_others() -> None:
    rng = np.random.default_rng(3)
    runs = {boat: list(5.0 * np.exp(0.05 * rng.standard_normal(40))) for boat in (1, 2, 3)}
    runs |= {4: [6.5], 5: list(6.5 * np.exp(0.05 * rng.standard_normal(40)))}
    found = paces(runs)
    assert found[5].mean == pytest.approx(-math.log(6.5), abs=0.03)
    assert found[5].mean < found[4].mean < found[1].mean
    assert found[4].doubt > 3 * found[5].doubt
    assert found[1].spread == pytest.approx(0.05, rel=0.15)


def test_the_reading_error_of_the_clock_is_not_the_boats_spread() -> None:
    rng = np.random.default_rng(4)
    runs = {boat: list(5 + 0.2 * rng.standard_normal(30)) for boat in range(6)}
    assert paces(runs, clock=0.2)[0].spread < 0.4 * paces(runs)[0].spread


def test_true_speeds_fall_within_the_stated_doubt() -> None:
    """Over many invented groups the error over the stated doubt has a spread of about one."""
    rng, z = np.random.default_rng(5), []
    for _ in range(300):
        true = 0.08 * rng.standard_normal(6)
        found = paces({b: list(np.exp(-true[b] - 0.07 * rng.standard_normal(3))) for b in range(6)})
        shifted = np.array([found[b].mean for b in range(6)])
        z += list((shifted - true) / [found[b].doubt for b in range(6)])
    assert 0.9 < float(np.std(z)) < 1.1


def test_dawdling_through_half_the_runs_buys_little() -> None:
    honest = {b: [5.0, 5.2, 4.9, 5.1] for b in range(5)}
    slow = honest | {0: [5.0, 8.0, 4.9, 8.0]}
    plain = paces(slow)[0].mean - paces(honest)[0].mean
    best = paces(slow, best_half=True)[0].mean - paces(honest, best_half=True)[0].mean
    assert plain < -0.15
    assert abs(best) < 0.6 * abs(plain)


def test_an_honest_crew_loses_nothing_by_the_best_half() -> None:
    rng, gap = np.random.default_rng(6), []
    for _ in range(400):
        runs = {b: list(np.exp(-0.07 * rng.standard_normal(4 if b else 6))) for b in range(6)}
        found = paces(runs, best_half=True)
        gap.append(found[0].mean - np.mean([found[b].mean for b in range(1, 6)]))
    assert abs(float(np.mean(gap))) < 0.006


def test_failures_raise_the_chance_to_fail_without_making_it_certain() -> None:
    found = paces({1: [5.0, None, None], 2: [5.0, 5.1, 5.0]})
    assert 0.1 < found[2].fails < found[1].fails < 0.6

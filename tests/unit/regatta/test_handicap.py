"""A handicap by start distance: equal chances, by a sum and by races."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from skimwright.base import InputError
from skimwright.regatta import Handicap, Pace, chances_to_be_first, lay_out_handicap

SIX = {
    1: Pace(mean=math.log(4.6), doubt=0.02, spread=0.07, fails=0.10, runs=4),
    2: Pace(mean=math.log(4.7), doubt=0.03, spread=0.07, fails=0.15, runs=4),
    3: Pace(mean=math.log(5.1), doubt=0.02, spread=0.10, fails=0.10, runs=4),
    4: Pace(mean=math.log(5.3), doubt=0.03, spread=0.05, fails=0.02, runs=4),
    5: Pace(mean=math.log(5.8), doubt=0.02, spread=0.07, fails=0.10, runs=4),
    6: Pace(mean=math.log(6.1), doubt=0.02, spread=0.07, fails=0.10, runs=4),
}


def raced(known: dict[int, Pace], distances: list[float], *, races: int) -> NDArray[np.float64]:
    """Share of races won by each boat; the same chance for every layout of the same boats."""
    rng = np.random.default_rng(200)
    field = list(known.values())
    luck, fate = rng.standard_normal((races, len(field))), rng.random((races, len(field)))
    wide = np.array([math.hypot(p.doubt, p.spread) for p in field])
    time = np.array(distances) / np.exp(np.array([p.mean for p in field]) + wide * luck)
    time = np.where(fate < [p.fails for p in field], np.inf, time)
    first = np.where(np.isinf(time.min(axis=1)), -1, time.argmin(axis=1))
    return np.array([(first == n).mean() for n in range(len(field))])


def distances(made: Handicap) -> list[float]:
    return [a.distance for a in made.allowances]


def test_equal_chances_within_two_points_when_raced() -> None:
    """200 races tell a chance to 2.6 points at best: 2000 times 200 are run, with the same luck for each layout."""
    made = lay_out_handicap(SIX, full=30.5)
    won = raced(SIX, distances(made), races=200 * 2000)
    assert np.abs(won - made.equal).max() < 0.02
    assert np.abs(won - [a.chance for a in made.allowances]).max() < 0.002
    by_means = raced(SIX, [30.5 * math.exp(p.mean) / 6.1 for p in SIX.values()], races=200 * 2000)
    assert np.abs(by_means - made.equal).max() > 0.04  # mean speeds alone do not do it
    assert np.abs(by_means - [a.by_means for a in made.allowances]).max() < 0.002
    scratch = raced(SIX, [30.5] * 6, races=200 * 2000)
    assert np.abs(scratch - [a.one_line for a in made.allowances]).max() < 0.002


def test_chances_of_two_boats_agree_with_the_closed_form() -> None:
    """Derived: the chance that one normal value lies below another."""
    slow, fast = (Pace(mean=m, doubt=0.03, spread=0.06, fails=f) for m, f in ((0.0, 0.2), (0.1, 0.05)))
    z = 0.1 / math.sqrt(2 * (0.03**2 + 0.06**2))
    ahead = 0.5 * math.erfc(-z / math.sqrt(2))
    expected = 0.95 * (0.2 + 0.8 * ahead)
    assert chances_to_be_first([slow, fast], np.zeros(2))[1] == pytest.approx(
        expected, abs=1e-5
    )  # the grid's own step


def test_like_boats_start_side_by_side() -> None:
    made = lay_out_handicap(dict.fromkeys(range(1, 7), SIX[1]), full=30.5)
    assert set(distances(made)) == {30.5}
    assert made.equal == pytest.approx((1 - 0.1**6) / 6)


def test_without_spread_between_boats_mean_speeds_are_enough() -> None:
    known = {b: Pace(mean=0.05 * b, doubt=0.0, spread=0.07, fails=0.1, runs=9) for b in range(1, 5)}
    made = lay_out_handicap(known, full=30.0)
    assert distances(made) == pytest.approx([30 * math.exp(0.05 * (b - 4)) for b in range(1, 5)], abs=0.051)


def test_more_failures_bring_a_boat_nearer() -> None:
    frail = SIX | {4: Pace(mean=SIX[4].mean, doubt=0.03, spread=0.05, fails=0.3, runs=4)}
    assert distances(lay_out_handicap(frail, full=30.5))[3] < distances(lay_out_handicap(SIX, full=30.5))[3]


def test_a_boat_far_behind_is_capped_and_the_others_stay_equal() -> None:
    known = SIX | {7: Pace(mean=math.log(2.5), doubt=0.02, spread=0.07, fails=0.1, runs=4)}
    made = lay_out_handicap(known, full=30.5)
    last = made.allowances[-1]
    assert last.is_capped
    assert last.distance == pytest.approx(0.75 * 30.5, abs=0.051)
    assert last.chance < 0.01
    assert made.apart < 0.02
    assert last.fair[0] == pytest.approx(0.75 * 30.5)


def test_a_boat_that_cannot_win_often_enough_stops_at_the_cap() -> None:
    made = lay_out_handicap(
        {1: SIX[1], 2: Pace(mean=1.4, doubt=0.0, spread=0.05, fails=0.9, runs=9)}, full=20.0
    )
    assert made.allowances[1].is_capped


def test_few_runs_make_a_wide_range() -> None:
    known = SIX | {2: Pace(mean=math.log(4.7), doubt=0.09, spread=0.07, fails=0.1, runs=1)}
    wide, sound = (lay_out_handicap(k, full=30.5).allowances[1] for k in (known, SIX))
    assert wide.is_wide
    assert wide.fair[1] - wide.fair[0] > 1.5 * (sound.fair[1] - sound.fair[0])
    assert not sound.is_wide


def test_a_place_moves_by_one_step_only() -> None:
    free = lay_out_handicap(SIX, full=30.5)
    made = lay_out_handicap(SIX, full=30.5, last={1: 30.5, 2: free.allowances[1].distance}, step=0.5)
    assert made.allowances[0].distance == 30.0
    assert made.allowances[0].is_held
    assert not made.allowances[1].is_held


def test_a_slow_start_brings_the_nearer_boats_nearer_still() -> None:
    """A metre off the start saves less than its share of the time, so more metres are needed."""
    plain = distances(lay_out_handicap(SIX, full=30.5, most=0.5))
    late = distances(lay_out_handicap(SIX, full=30.5, most=0.5, late=dict.fromkeys(SIX, 0.85)))
    assert late[0] < plain[0]
    assert late[5] == plain[5] == 30.5


def test_twenty_four_boats_come_out_equal() -> None:
    rng = np.random.default_rng(24)
    known = {
        b: Pace(
            mean=float(rng.normal(0, 0.1)),
            doubt=0.05,
            spread=0.07,
            fails=float(rng.uniform(0.02, 0.3)),
            runs=3,
        )
        for b in range(24)
    }
    assert lay_out_handicap(known, full=30.5, most=0.5).apart < 0.01


@pytest.mark.parametrize(
    "known, options, says",
    [
        ({1: SIX[1]}, {}, "a race needs two boats"),
        (SIX, {"full": 0.2}, "the full distance is out of range"),
        (SIX, {"most": 0.9}, "the largest allowance"),
        (SIX, {"step": 0.0}, "the agreed step"),
    ],
)
def test_numbers_that_make_no_race_are_refused(
    known: dict[int, Pace], options: dict[str, float], says: str
) -> None:
    with pytest.raises(InputError, match=says):
        lay_out_handicap(known, **({"full": 30.5} | options))  # type: ignore[arg-type]


def test_the_three_rows_of_the_rough_study_belong_together() -> None:
    """Scratch chances, those by mean speeds and the solved distances, as printed for six boats without their inputs.

    The inputs below were sought so that all three rows come out: one set of speeds, spreads and failures gives them
    all, so the study and our sum agree.  It is not proof: there are about as many inputs as figures.
    """
    rebuilt = {
        boat: Pace(mean=mean, doubt=0.0, spread=spread, fails=fails, runs=9)
        for boat, (mean, spread, fails) in enumerate(
            (
                (-0.30184, 0.0867, 0.1802),
                (-0.24176, 0.04936, 0.0936),
                (-0.18499, 0.07013, 0.1477),
                (-0.13963, 0.04138, 0.1334),
                (-0.06026, 0.07656, 0.2188),
                (0.0, 0.04725, 0.1084),
            ),
            start=1,
        )
    }
    made = lay_out_handicap(rebuilt, full=30.5)
    scratch = [0.2, 0.2, 2.0, 3.1, 24.0, 70.5]
    by_means = [21.8, 14.8, 19.1, 11.8, 18.6, 13.9]
    assert [100 * a.one_line for a in made.allowances] == pytest.approx(scratch, abs=0.06)
    assert [100 * a.by_means for a in made.allowances] == pytest.approx(by_means, abs=0.06)
    assert distances(made) == pytest.approx([23.1, 24.0, 25.7, 26.4, 29.1, 30.5], abs=0.051)
    assert 100 * made.equal == pytest.approx(16.7, abs=0.06)

"""Printed regattas with their final orders: what a number in a row of regatta.csv cannot say."""

from __future__ import annotations

import pytest

from skimwright.regatta import LOW_POINT, Outcome, Score, read_outcome
from skimwright.regatta.standings import drop_worst, rank


def series(text: str) -> dict[int, tuple[Score, ...]]:
    """``"A 3 4 7"`` line by line: a boat, and its points race by race; DNE7 is a score that must count."""
    found = {}
    for line in text.strip().splitlines():
        boat, *points = line.split()
        scores = [
            Score(
                heat=n,
                outcome=read_outcome("DNE") if p.startswith("DNE") else Outcome(place=1),
                points=float(p.removeprefix("DNE")),
            )
            for n, p in enumerate(points, 1)
        ]
        found[ord(boat) - ord("A") + 1] = drop_worst(scores, LOW_POINT, 1)
    return found


def order(text: str) -> str:
    return "".join(chr(ord("A") + row.boat - 1) for row in rank(series(text), LOW_POINT))


def test_worked_example_1_of_the_race_officials_guidance() -> None:
    # RYA race-official guidance book, p. 105, example 1 (A8.1 then A8.2), seen: C, B, A, all net 16
    example = "A 3 4 1 6 2 7\nB 4 3 2 1 6 6\nC 1 2 7 3 3 14"
    assert order(example) == "CBA"
    rows = rank(series(example), LOW_POINT)
    assert [row.points for row in rows] == [16, 16, 16]
    assert "counted scores, best first (1 2 3 3 7 against 1 2 3 4 6)" in rows[0].tie_broken_by
    assert "by the last race (race 6: 6 against 7)" in rows[1].tie_broken_by


def test_worked_example_2_of_the_race_officials_guidance() -> None:
    # same page, example 2, seen: all net 12 and all keep 3 4 5; the last race decides: D, C, B, A
    example = "A 3 4 5 10\nB 11 3 4 5\nC 5 15 3 4\nD 4 5 6 3"
    assert order(example) == "DCBA"
    assert {row.points for row in rank(series(example), LOW_POINT)} == {12}


def test_a_score_that_must_count_stays_and_the_next_worst_goes() -> None:
    # RYA guidance p. 104, seen: 1, 2, DNE 7, 3 with one discard counts 1 + 2 + 7
    (row,) = rank(series("A 1 2 DNE7 3"), LOW_POINT)
    assert row.points == 10
    assert [score.points for score in row.dropped] == [3]


def test_of_equal_worst_scores_the_earliest_is_left_out() -> None:
    # RRS A2.1, seen
    (row,) = rank(series("A 2 5 1 5"), LOW_POINT)
    assert [score.heat for score in row.dropped] == [2]


@pytest.mark.parametrize("last, first", [("A 1 2 3\nB 2 1 3", "B"), ("A 2 1 3\nB 1 2 3", "A")])
def test_beating_the_other_more_often_decides_nothing(last: str, first: str) -> None:
    # the middle step was deleted on 31 May 2002, seen: after A8.1 the last race in which they differ decides
    assert order(last)[0] == first

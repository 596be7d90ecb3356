"""The designs are what they are said to be: who meets whom, counted anew from the heats."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from skimwright.regatta.designs import (
    affine_plane,
    design_for,
    everyone_once,
    field_tables,
    kirkman,
    listed,
    orthogonal_18,
    plackett_burman,
    strangers,
    truncated_plane,
)


def meetings(rounds: object) -> Counter[tuple[int, int]]:
    return Counter(pair for heats in rounds for heat in heats for pair in combinations(sorted(heat), 2))  # type: ignore[attr-defined]


def is_whole(rounds: object, boats: int) -> bool:
    return all(sorted(boat for heat in heats for boat in heat) == list(range(boats)) for heats in rounds)  # type: ignore[attr-defined]


@pytest.mark.parametrize("order", [2, 3, 4, 5, 7, 8, 9])
def test_the_fields_are_fields(order: int) -> None:
    plus, times = field_tables(order)
    every = range(order)
    assert all(sorted(row) == list(every) for row in plus)
    assert all(sorted(row[1:]) == list(range(1, order)) for row in times[1:])
    assert all(
        times[a][plus[b][c]] == plus[times[a][b]][times[a][c]] for a in every for b in every for c in every
    )


@pytest.mark.parametrize("order", [2, 3, 4, 5, 7, 8, 9])
def test_in_an_affine_plane_each_pair_meets_once(order: int) -> None:
    rounds = affine_plane(order)
    assert len(rounds) == order + 1
    assert is_whole(rounds, order**2)
    assert set(meetings(rounds).values()) == {1}
    assert len(meetings(rounds)) == order**2 * (order**2 - 1) // 2


@pytest.mark.parametrize("order, size", [(5, 4), (7, 6), (8, 6), (9, 6), (11, 6)])
def test_a_cut_plane_repeats_nobody(order: int, size: int) -> None:
    rounds = truncated_plane(order, size)
    assert len(rounds) == order
    assert is_whole(rounds, order * size)
    assert max(meetings(rounds).values()) == 1


def test_kirkmans_fifteen_all_meet_once() -> None:
    assert is_whole(kirkman(), 15)
    assert len(meetings(kirkman())) == 105
    assert set(meetings(kirkman()).values()) == {1}


def test_twelve_boats_all_meet_five_times_in_eleven_rounds() -> None:
    assert is_whole(plackett_burman(), 12)
    assert Counter(meetings(plackett_burman()).values()) == {5: 66}


def test_eighteen_boats_meet_as_counted_after_seven_rounds() -> None:
    # rules 4.4: 18 pairs once, 108 twice, 27 three times; all 153 have met by round six
    assert is_whole(orthogonal_18(), 18)
    assert Counter(meetings(orthogonal_18()).values()) == {1: 18, 2: 108, 3: 27}
    assert len(meetings(orthogonal_18()[:6])) == 153


def test_pairs_of_two_all_meet_once() -> None:
    assert is_whole(everyone_once(12), 12)
    assert set(meetings(everyone_once(12)).values()) == {1}
    assert len(everyone_once(12)) == 11


def test_a_list_is_read_round_by_round() -> None:
    assert listed("0 1|2 3//0 2|1 3") == (((0, 1), (2, 3)), ((0, 2), (1, 3)))


@pytest.mark.parametrize(
    "boats, heats, rounds, least",
    [
        (60, 10, 5, 4),
        (58, 10, 5, 4),
        (55, 10, 5, 4),
        (41, 7, 7, 3),
        (33, 6, 3, 3),
        (90, 15, 4, 5),
        (17, 3, 7, 4),
    ],
)
def test_left_out_boats_leave_heats_one_apart_at_most(
    boats: int, heats: int, rounds: int, least: int
) -> None:
    design = design_for(boats=boats, heats=heats, rounds=rounds)
    assert design is not None
    assert is_whole(design.rounds, boats)
    sizes = [len(heat) for turn in design.rounds for heat in turn]
    assert max(sizes) - min(sizes) <= 1
    assert min(sizes) >= least
    if heats >= 6:
        assert max(meetings(design.rounds).values()) == 1


def test_no_design_is_claimed_where_none_is_known() -> None:
    assert design_for(boats=36, heats=6, rounds=4) is None
    assert design_for(boats=27, heats=5, rounds=5) is None


def test_strangers_never_meet() -> None:
    rounds = truncated_plane(7, 6)
    found = strangers(rounds, count=5, boats=42)
    assert found is not None
    assert not any(
        set(pair) <= set(heat) for pair in combinations(found, 2) for turn in rounds for heat in turn
    )
    assert strangers(plackett_burman(), count=2, boats=12) is None

"""The least number of repeats: against the table of rules 4.3, and against every draw of small fields."""

from __future__ import annotations

from itertools import combinations, product

import pytest

from skimwright.regatta import least_repeats
from skimwright.regatta.bounds import heat_sizes, least_repeats_after
from skimwright.regatta.search import repeat_cost


def test_heats_differ_by_one_boat_at_most() -> None:
    for boats, lanes in product(range(2, 80), range(2, 9)):
        sizes = heat_sizes(boats, lanes)
        assert sum(sizes) == boats
        assert max(sizes) <= lanes
        assert max(sizes) - min(sizes) <= 1
        assert len(sizes) == -(-boats // lanes)


def all_rounds(boats: int, sizes: tuple[int, ...]) -> list[list[tuple[int, ...]]]:
    """Every way to part the boats into heats of these sizes, some more than once."""

    def part(left: frozenset[int], sizes: tuple[int, ...]) -> list[list[tuple[int, ...]]]:
        if not sizes:
            return [[]]
        return [
            [heat, *rest]
            for heat in combinations(sorted(left), sizes[0])
            for rest in part(left - set(heat), sizes[1:])
        ]

    return part(frozenset(range(boats)), sizes)


@pytest.mark.parametrize("boats, lanes", [(4, 2), (6, 3), (6, 2), (5, 3), (7, 4)])
def test_no_draw_of_three_rounds_is_below_the_bound(boats: int, lanes: int) -> None:
    sizes = heat_sizes(boats, lanes)
    every = all_rounds(boats, sizes)
    first = every[0]  # the first round may be fixed: boats have no names yet
    least = min(repeat_cost([first, b, c], boats) for b, c in product(every, every))
    bound = least_repeats([sizes] * 3, boats=boats)
    assert bound <= least
    assert least - bound <= 1, "the bound is of little use if it is far below the truth"


def test_a_withdrawn_boat_forces_nothing_after_it_left() -> None:
    whole = [[[0, 1, 2], [3, 4, 5]], [[0, 1, 2], [3, 4, 5]]]
    left = [[[0, 1, 2], [3, 4, 5]], [[0, 3, 1], [4, 2]]]
    assert least_repeats_after(whole) == least_repeats([(3, 3)] * 2, boats=6)
    assert least_repeats_after(left) <= repeat_cost(left, 6)


@pytest.mark.parametrize("boats", [5, 6])
def test_no_draw_with_a_latecomer_is_below_its_bound(boats: int) -> None:
    half = boats // 2
    early = [tuple(range(1, half + 1)), tuple(range(half + 1, boats))]  # boat 0 comes late
    sizes = heat_sizes(boats, -(-boats // 2))
    late = all_rounds(boats, sizes)
    bound = least_repeats_after([early, late[0]])
    assert bound <= min(repeat_cost([early, each], boats) for each in late)

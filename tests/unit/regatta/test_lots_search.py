"""The searches: what they claim to save is saved, and what they leave cannot be bettered by one swap."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, permutations

import pytest

from skimwright.regatta.chance import Chance
from skimwright.regatta.search import fewer_repeats, fewest_swaps, in_good_order, repeat_cost

Rounds = list[list[list[int]]]


def hat(rng: random.Random, sizes: tuple[int, ...], rounds: int) -> Rounds:
    made: Rounds = []
    for _ in range(rounds):
        deck = rng.sample(range(sum(sizes)), sum(sizes))
        made.append([[deck.pop() for _ in range(size)] for size in sizes])
    return made


def swapped(rounds: Rounds, turn: int, a: int, b: int) -> Rounds:
    other = {a: b, b: a}
    return [
        [[other.get(boat, boat) if r == turn else boat for boat in heat] for heat in heats]
        for r, heats in enumerate(rounds)
    ]


@pytest.mark.parametrize("sizes", [(4, 4, 4), (5, 4, 4), (3, 2)])
def test_after_the_fewest_swaps_no_single_swap_helps(sizes: tuple[int, ...]) -> None:
    rng, boats = random.Random(3), sum(sizes)
    for raced in ([0, 0, 0], [3, 1, 0]):
        start = hat(rng, sizes, 3)
        stay = [min(n, len(sizes)) for n in raced]
        done = fewest_swaps(start, boats=boats, raced=stay)
        assert repeat_cost(done, boats) <= repeat_cost(start, boats)
        for r, heats in enumerate(done):
            assert heats[: stay[r]] == start[r][: stay[r]]
            movable = [boat for heat in heats[stay[r] :] for boat in heat]
            for a, b in combinations(movable, 2):
                assert repeat_cost(swapped(done, r, a, b), boats) >= repeat_cost(done, boats)


@pytest.mark.parametrize("sizes", [(4, 4, 4), (5, 4, 4), (6, 6)])
def test_the_search_counts_its_own_cost_rightly(sizes: tuple[int, ...]) -> None:
    boats = sum(sizes)
    start = hat(random.Random(4), sizes, 4)
    found = fewer_repeats(start, boats=boats, enough=0, bits=[1, 2], tries=2000)
    assert found.cost == repeat_cost(found.rounds, boats) <= repeat_cost(start, boats)
    assert [[len(heat) for heat in heats] for heats in found.rounds] == [list(sizes)] * 4
    assert all(sorted(b for heat in heats for b in heat) == list(range(boats)) for heats in found.rounds)


def test_putting_heats_in_order_keeps_the_heats() -> None:
    start = hat(random.Random(5), (4, 4, 4, 4), 3)
    done = in_good_order(start, boats=16, chance=Chance(1))
    assert [sorted(map(sorted, heats)) for heats in done] == [sorted(map(sorted, heats)) for heats in start]


def unease(rounds: Rounds) -> int:
    """Uneven waits, back-to-back races, and racing early or late on the whole, as the order is meant to lower them."""
    heats = len(rounds[0])
    place = [{boat: h for h, heat in enumerate(turn) for boat in heat} for turn in rounds]
    total = 0
    for boat in place[0]:
        at = [where[boat] for where in place]
        waits = [heats + late - early for early, late in pairwise(at)]
        total += sum(8 * (wait - heats) ** 2 + 1000 * (wait == 1) for wait in waits)
        total += sum(2 * h - (heats - 1) for h in at) ** 2
    return total


def test_two_rounds_are_put_in_the_best_order_there_is() -> None:
    for seed in range(5):
        start = hat(random.Random(seed), (3, 3, 3, 2), 2)
        every = [[list(a), list(b)] for a in permutations(start[0]) for b in permutations(start[1])]
        done = in_good_order(start, boats=11, chance=Chance(seed))
        assert unease(done) == min(map(unease, every))

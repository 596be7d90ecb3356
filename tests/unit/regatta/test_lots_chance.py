"""Public chance: the same stream as everyone else's splitmix64, and fair."""

from __future__ import annotations

from collections import Counter

import numpy as np

from skimwright.regatta.chance import Chance
from skimwright.regatta.search import stirred


def test_the_stream_is_splitmix64() -> None:
    # first five numbers from seed 1234567, as printed with the generator's description on Rosetta Code
    expected = [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]
    chance = Chance(1234567)
    assert [chance.bits() for _ in range(5)] == expected


def test_the_search_draws_from_the_same_stream() -> None:
    chance, state = Chance(1906), np.array([1906], np.uint64)
    assert [int(stirred(state)) for _ in range(20)] == [chance.bits() for _ in range(20)]


def test_each_order_of_three_comes_up_as_often() -> None:
    counts = Counter(tuple(Chance(seed).shuffled("abc")) for seed in range(6000))
    assert len(counts) == 6
    # 1000 each; five standard deviations of a binomial count are 144
    assert all(abs(times - 1000) < 144 for times in counts.values())

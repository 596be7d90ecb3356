"""Chance that anyone can redo: a counter, stirred, from a public seed.

The generator is splitmix64 (Steele, Lea and Flood 2014): whole numbers only, so that the same seed gives the
same lots on every machine, in any language, and by hand if need be.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

T = TypeVar("T")
MASK = (1 << 64) - 1


class Chance:
    """A stream of whole numbers from one seed.

    Examples
    --------
    >>> Chance(1906).shuffled([1, 2, 3, 4, 5, 6]) == Chance(1906).shuffled([1, 2, 3, 4, 5, 6])
    True
    """

    def __init__(self, seed: int) -> None:
        self._counter = seed & MASK

    def bits(self) -> int:
        """The next 64 bits."""
        self._counter = (self._counter + 0x9E3779B97F4A7C15) & MASK
        z = self._counter
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        return z ^ (z >> 31)

    def below(self, n: int) -> int:
        """A whole number from 0 to n - 1, each equally likely."""
        fair = (1 << 64) - (1 << 64) % n  # above it some numbers would come up once more than others
        while (drawn := self.bits()) >= fair:
            pass
        return drawn % n

    def shuffled(self, things: Iterable[T]) -> list[T]:
        """The things in a chance order: from the last place down, each swaps with one not yet placed."""
        deck = list(things)
        for last in range(len(deck) - 1, 0, -1):
            other = self.below(last + 1)
            deck[last], deck[other] = deck[other], deck[last]
        return deck

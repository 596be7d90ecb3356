"""How few repeat meetings any draw can have.

A pair that meets m times costs m (m - 1) / 2: one for each two rounds in which it meets.  Three bounds, the
largest counts:

1. a heat of the new round spread over the heats of an old one must put some of its boats together again;
2. all meetings dealt out evenly over all pairs;
3. where it is known how many rounds can go without a repeat, each longer set of rounds has at least one.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, comb

# Most rounds without a repeated pair, (heats, boats in each): OEIS A107431 [seen].
MOST_ROUNDS = {
    **{(2, 2): 3, (3, 2): 5, (3, 3): 4, (4, 2): 7, (4, 3): 4, (4, 4): 5},
    **{(5, 2): 9, (5, 3): 7, (5, 4): 5, (5, 5): 6},
    **{(6, 2): 11, (6, 3): 8, (6, 4): 7, (6, 5): 6, (6, 6): 3},
    **{(7, 2): 13, (7, 3): 10, (7, 4): 9, (8, 2): 15, (8, 4): 10},
}


def heat_sizes(boats: int, lanes: int) -> tuple[int, ...]:
    """Boats in each heat of a round: as few heats as the lanes allow, sizes equal or one apart.

    Examples
    --------
    >>> heat_sizes(17, 6)
    (6, 6, 5)
    """
    heats = ceil(boats / lanes)
    size, over = divmod(boats, heats)
    return (size + 1,) * over + (size,) * (heats - over)


def dealt_evenly(things: int, places: int) -> int:
    """Pairs that share a place when things are dealt over places as evenly as can be."""
    each, over = divmod(things, places)
    return over * comb(each + 1, 2) + (places - over) * comb(each, 2)


def least_repeats(rounds: Sequence[Sequence[int]], *, boats: int) -> int:
    """The cost that no draw with these heat sizes can go below.

    Parameters
    ----------
    rounds : sequence of sequences of int
        For each round the number of boats in each of its heats.
    boats : int
        How many different boats race at all.

    Examples
    --------
    >>> least_repeats([(6, 6, 6)] * 3, boats=18)
    27
    """
    shared = sum(
        sum(dealt_evenly(size, len(rounds[early])) for size in rounds[late])
        for late in range(len(rounds))
        for early in range(late)
    )
    meetings = sum(comb(size, 2) for sizes in rounds for size in sizes)
    return max(shared, dealt_evenly(meetings, comb(boats, 2)), _from_known_maximum(rounds, boats))


def least_repeats_after(rounds: Sequence[Sequence[Sequence[int]]]) -> int:
    """The same for rounds in which not all the same boats race, as after a withdrawal; rounds of heats of boats.

    The bound is for any draw that has these boats in these rounds, with heats of this number and size.
    """
    boats = {boat for heats in rounds for heat in heats for boat in heat}
    here = [{boat for heat in heats for boat in heat} for heats in rounds]
    shared = sum(
        dealt_evenly_over(
            len(here[late] & here[early]), [len(heat) for heat in rounds[late]], len(rounds[early])
        )
        for late in range(len(rounds))
        for early in range(late)
    )
    meetings = sum(comb(len(heat), 2) for heats in rounds for heat in heats)
    return max(shared, dealt_evenly(meetings, max(1, comb(len(boats), 2))))


def dealt_evenly_over(boats: int, sizes: Sequence[int], heats: int) -> int:
    """Pairs shared at least when so many boats of an old round of so many heats sit in new heats of these sizes.

    Boats that were not in the old round may sit in any heat; they are taken to sit where they save most.
    """
    seats = list(sizes)
    for _ in range(
        sum(sizes) - boats
    ):  # a newcomer's seat is taken from the heat where it saves most: the fullest
        seats[seats.index(max(seats))] -= 1
    return sum(dealt_evenly(seat, heats) for seat in seats)


def _from_known_maximum(rounds: Sequence[Sequence[int]], boats: int) -> int:
    sizes = set(map(tuple, rounds))
    first = rounds[0]
    most = MOST_ROUNDS.get((len(first), first[0]))
    if len(sizes) > 1 or len(set(first)) > 1 or sum(first) != boats or most is None or len(rounds) <= most:
        return 0
    # each set of most + 1 rounds repeats; one repeat lies in so many such sets
    return ceil(comb(len(rounds), most + 1) / comb(len(rounds) - 2, most - 1))

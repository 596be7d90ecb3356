"""Search where no design is known: two boats of a round change places, and fewer repeats are kept.

Whole numbers, and sums and products that every machine rounds alike: the same seed finds the same draw.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit, uint64
from scipy.optimize import linear_sum_assignment

from skimwright.regatta.chance import Chance

HeatSets = list[list[list[int]]]  # rounds of heats of boats 0, 1, 2 ...


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def stirred(state: Any) -> Any:
    """The next 64 bits of `chance.Chance`; the counter is state[0]."""
    state[0] += uint64(0x9E3779B97F4A7C15)
    z = state[0]
    z = (z ^ (z >> uint64(30))) * uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> uint64(27))) * uint64(0x94D049BB133111EB)
    return z ^ (z >> uint64(31))


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def below(state: Any, n: int) -> int:
    """A whole number from 0 to n - 1; for search, not for lots: it is fair to one part in four thousand million."""
    return int(((stirred(state) >> uint64(32)) * uint64(n)) >> uint64(32))


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def is_kept(state: Any, worse: int, heat: float) -> bool:
    """Whether a change for the worse is kept: seldom if much worse, seldom when it has grown cold."""
    y = 1.0 + worse / (8.0 * heat)
    y *= y
    y *= y
    y *= y  # close to exp(worse / heat), but rounded alike everywhere
    return float(stirred(state) >> uint64(11)) * (y / 9007199254740992.0) < 1.0


@njit(cache=True, fastmath=False, error_model="numpy")  # type: ignore[untyped-decorator]
def swap_boats(
    who: Any, first: Any, last: Any, free: Any, begin: Any, meet: Any, best: Any, cost: int, enough: int, tries: int,
    hot: float, cold: float, state: Any,
) -> int:  # fmt: skip
    """Lower the repeat cost of `who` by swaps; the best is left in `best`, its cost returned.

    Parameters
    ----------
    who : int array (rounds, seats)
        The boat in each seat.
    first, last : int arrays (rounds, seats)
        Where the seats of this seat's heat begin and end.
    free : int array (k, 2)
        Round and seat of those that may move, round by round.
    begin : int array (rounds + 1,)
        Where in `free` each round begins.
    meet : int array (boats, boats)
        How often two boats meet.
    """
    lowest = cost
    best[:] = who
    for i in range(tries):
        if lowest <= enough:
            break
        left = 1.0 - i / tries
        heat = cold + (hot - cold) * left * left
        one = below(state, len(free))
        r, s = free[one, 0], free[one, 1]
        t = free[begin[r] + below(state, begin[r + 1] - begin[r]), 1]
        if first[r, s] == first[r, t]:
            continue
        a, b = who[r, s], who[r, t]
        change = 0
        for k in range(first[r, s], last[r, s]):
            if k != s:
                c = who[r, k]
                change += meet[b, c] - meet[a, c] + 1
        for k in range(first[r, t], last[r, t]):
            if k != t:
                c = who[r, k]
                change += meet[a, c] - meet[b, c] + 1
        if change > 0 and not is_kept(state, change, heat):
            continue
        for k in range(first[r, s], last[r, s]):
            if k != s:
                c = who[r, k]
                meet[a, c] -= 1
                meet[c, a] -= 1
                meet[b, c] += 1
                meet[c, b] += 1
        for k in range(first[r, t], last[r, t]):
            if k != t:
                c = who[r, k]
                meet[b, c] -= 1
                meet[c, b] -= 1
                meet[a, c] += 1
                meet[c, a] += 1
        who[r, s], who[r, t] = b, a
        cost += change
        if cost < lowest:
            lowest = cost
            best[:] = who
    return lowest


@dataclass(frozen=True, kw_only=True)
class Found:
    """Rounds of heats, and what they cost."""

    rounds: HeatSets
    cost: int


def repeat_cost(rounds: Sequence[Sequence[Sequence[int]]], boats: int) -> int:
    """Sum over pairs of m (m - 1) / 2, where m is how often the pair meets."""
    meet = _meetings(rounds, boats)
    return int((meet * (meet - 1)).sum()) // 4


def fewer_repeats(
    rounds: HeatSets, *, boats: int, enough: int, bits: Sequence[int], tries: int,
    raced: Sequence[int] = (), hot: float = 1.2, cold: float = 0.12,
) -> Found:  # fmt: skip
    """The best of several searches, each from the same start with bits of its own.

    Parameters
    ----------
    rounds : rounds of heats of boats 0, 1, 2 ...
        Where to start.
    enough : int
        The search ends when the cost is as low.
    bits : sequence of int
        One search for each.
    tries : int
        Swaps looked at in each.
    """
    start = Found(rounds=rounds, cost=repeat_cost(rounds, boats))
    who, first, last, free = _seats(rounds)
    if len(free) < 2:
        return start
    best = start
    begin = np.searchsorted(free[:, 0], np.arange(len(rounds) + 1))
    for each in bits:
        if best.cost <= enough:
            break
        state, now, kept = np.array([each], np.uint64), who.copy(), who.copy()
        meet = _meetings(rounds, boats)
        cost = swap_boats(
            now, first, last, free, begin, meet, kept, start.cost, enough, tries, hot, cold, state
        )
        if cost < best.cost:
            best = Found(rounds=_heats(kept, first, last), cost=int(cost))
    return best


def _meetings(rounds: Sequence[Sequence[Sequence[int]]], boats: int) -> Any:
    meet = np.zeros((boats, boats), np.int64)
    for heats in rounds:
        for heat in heats:
            meet[np.ix_(heat, heat)] += 1
    np.fill_diagonal(meet, 0)
    return meet


def _seats(rounds: HeatSets) -> tuple[Any, Any, Any, Any]:
    wide = max(sum(map(len, heats)) for heats in rounds)
    who, first, last = (np.full((len(rounds), wide), -1, np.int64) for _ in range(3))
    free = []
    for r, heats in enumerate(rounds):
        seat = 0
        for heat in heats:
            end = seat + len(heat)
            who[r, seat:end], first[r, seat:end], last[r, seat:end] = heat, seat, end
            free += [(r, s) for s in range(seat, end)]
            seat = end
    return who, first, last, np.array(free, np.int64).reshape(-1, 2)


def _heats(who: Any, first: Any, last: Any) -> HeatSets:
    rounds = []
    for seats, begins, ends in zip(who, first, last, strict=True):
        spans = sorted({(int(b), int(e)) for b, e in zip(begins, ends, strict=True) if b >= 0})
        rounds.append([[int(boat) for boat in seats[b:e]] for b, e in spans])
    return rounds


def fewest_swaps(rounds: HeatSets, *, boats: int, raced: Sequence[int]) -> HeatSets:
    """Fewer repeats with as few changes as can be: two boats change places only where that takes one away.

    Parameters
    ----------
    rounds : rounds of heats of boats 0, 1, 2 ...
        Where to start.
    raced : sequence of int
        By round: how many of its heats, from the front, stay as they are.
    """
    now = [[list(heat) for heat in heats] for heats in rounds]
    while True:
        meet = _meetings(now, boats)
        turns = [_best_swap(heats, meet, stay) for heats, stay in zip(now, raced, strict=True)]
        best = min(turns, default=(0, 0, 0))
        if best[0] >= 0:
            return now
        heats = now[turns.index(best)]
        other = {best[1]: best[2], best[2]: best[1]}
        for heat in heats:
            heat[:] = [other.get(boat, boat) for boat in heat]


def _best_swap(heats: Sequence[Sequence[int]], meet: Any, stay: int) -> tuple[int, int, int]:
    """Change in cost, and the two boats, of the best swap in one round."""
    movable = [(boat, h) for h, heat in enumerate(heats) if h >= stay for boat in heat]
    if len(movable) < 2:
        return 0, 0, 0
    who = np.array([boat for boat, _ in movable])
    at = np.array([h for _, h in movable])
    size = np.array([len(heats[h]) for h in at])
    inside = np.stack([meet[who][:, list(heat)].sum(axis=1) for heat in heats], axis=1)  # boat by heat
    home = inside[np.arange(len(who)), at] - (size - 1)
    away = inside[:, at]  # of a in the heat of b
    change = away + away.T - 2 * meet[np.ix_(who, who)] - home[:, None] - home[None, :]
    change[at[:, None] == at[None, :]] = 0
    a, b = divmod(int(change.argmin()), len(who))
    return int(change[a, b]), int(who[a]), int(who[b])


# the order of heats in a round

SWEEPS = 40  # a handful will do; orders that cost alike must not keep us for ever
BACK_TO_BACK = 1000  # a crew with no heat between its two races has no time to mend or to dry


def in_good_order(rounds: HeatSets, *, boats: int, chance: Chance, starts: int = 12) -> HeatSets:
    """The same rounds, each with its heats in an order that shares waiting and the time of day.

    With the other rounds as they are, what a heat costs in each place of its round does not depend on where
    its fellows stand, so the best order of one round is an assignment, solved exactly; round after round is
    set so until nothing changes, from several chance orders.  Every boat races in every round.
    """
    most = max(map(len, rounds))
    if most < 2:
        return rounds
    heat_of = np.zeros((boats, len(rounds)), np.int64)
    for r, heats in enumerate(rounds):
        for h, heat in enumerate(heats):
            heat_of[heat, r] = h
    best: tuple[int, Any] | None = None
    for _ in range(starts):
        slot = np.array([chance.shuffled(range(most)) for _ in rounds])
        cost = -1
        for _ in range(SWEEPS):
            before, cost = cost, sum(_set_round(slot, heat_of, r, most) for r in range(len(rounds)))
            if cost == before:
                break
        if best is None or cost < best[0]:
            best = cost, slot
    assert best is not None
    return [[heats[h] for h in np.argsort(slots)] for heats, slots in zip(rounds, best[1], strict=True)]


def _set_round(slot: Any, heat_of: Any, r: int, heats: int) -> int:
    """Put one round's heats in their best order; what its boats then cost."""
    place = np.arange(heats)
    at = np.take_along_axis(slot.T, heat_of, axis=0)  # boat by round: its place in the round
    leaning = (2 * at - (heats - 1)).sum(axis=1) - (2 * at[:, r] - (heats - 1))
    cost = (leaning[:, None] + 2 * place - (heats - 1)) ** 2
    for other, sign in ((r - 1, 1), (r + 1, -1)):
        if 0 <= other < len(slot):
            off = sign * (place - at[:, other][:, None])  # a wait is a round's heats and so much more
            cost = cost + 8 * off**2 + BACK_TO_BACK * (heats + off == 1)
    of_heat = np.zeros((heats, heats), np.int64)
    np.add.at(of_heat, heat_of[:, r], cost)
    rows, columns = linear_sum_assignment(of_heat)
    slot[r, rows] = columns
    return int(of_heat[rows, columns].sum())

"""Lanes: no boat gets one twice until it has had them all, and no heat has one twice.

A round of heats is a graph: boats on one side, heats on the other, a line for each start.  A lane is a colour
of the line.  With no more rounds than lanes such a graph can always be coloured (König 1916), one line after
another, changing the colours along one path where the new line does not fit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

Heats = Sequence[Sequence[int]]
Lanes = list[list[list[int]]]  # rounds of heats: the lane of each boat, in the order of the heat


def balanced_lanes(rounds: Sequence[Heats], *, lanes: int) -> Lanes:
    """A lane for each boat of each heat, numbered from 0.

    Each block of as many rounds as there are lanes is balanced in itself, so the lanes of a boat never
    differ by more than one in number.

    Examples
    --------
    >>> balanced_lanes([[[0, 1, 2, 3, 4, 5]]], lanes=6)
    [[[0, 1, 3, 5, 4, 2]]]
    """
    if all(len(heats) == 1 for heats in rounds) and all(len(heats[0]) == lanes for heats in rounds):
        return [[_zigzag_lanes(heats[0], turn, rounds[0][0])] for turn, heats in enumerate(rounds)]
    out: Lanes = []
    for begin in range(0, len(rounds), lanes):
        out += _coloured(rounds[begin : begin + lanes], lanes)
    return out


def zigzag(lanes: int) -> list[int]:
    """0 1 5 2 4 3 for six: moved round by one each time, each boat lies once on each side of each other."""
    row = [0]
    for step in range(1, lanes):
        row.append((step + 1) // 2 if step % 2 else lanes - step // 2)
    return row


def _zigzag_lanes(heat: Sequence[int], turn: int, order: Sequence[int]) -> list[int]:
    """The whole fleet in one heat: neighbours are shared too."""
    row = zigzag(len(heat))
    lane_of = {order[(place + turn) % len(heat)]: lane for lane, place in enumerate(row)}
    return [lane_of[boat] for boat in heat]


def _coloured(rounds: Sequence[Heats], lanes: int) -> Lanes:
    at_boat: dict[int, dict[int, tuple[int, int]]] = {}  # boat -> lane -> heat
    at_heat: dict[tuple[int, int], dict[int, int]] = {}  # heat -> lane -> boat
    for r, heats in enumerate(rounds):
        for h, heat in enumerate(heats):
            for boat in heat:
                _colour(boat, (r, h), at_boat.setdefault(boat, {}), at_boat, at_heat, lanes)
    return [
        [
            [next(lane for lane, b in at_heat[r, h].items() if b == boat) for boat in heat]
            for h, heat in enumerate(heats)
        ]
        for r, heats in enumerate(rounds)
    ]


def _colour(
    boat: int, heat: tuple[int, int], used: dict[int, tuple[int, int]],
    at_boat: dict[int, dict[int, tuple[int, int]]], at_heat: dict[tuple[int, int], dict[int, int]], lanes: int,
) -> None:  # fmt: skip
    """Give one start a lane."""
    taken = at_heat.setdefault(heat, {})
    both = next((lane for lane in range(lanes) if lane not in used and lane not in taken), None)
    if both is None:
        both = next(lane for lane in range(lanes) if lane not in used)  # free for the boat, not in the heat
        other = next(lane for lane in range(lanes) if lane not in taken)  # free in the heat
        path = []
        where, lane = heat, both
        while lane in at_heat[where]:
            who = at_heat[where][lane]
            path.append((who, where, lane))
            lane = both + other - lane
            if lane not in at_boat[who]:
                break
            where = at_boat[who][lane]
            path.append((who, where, lane))
            lane = both + other - lane
        for who, where, lane in path:
            del at_boat[who][lane], at_heat[where][lane]
        for who, where, lane in path:
            at_boat[who][both + other - lane], at_heat[where][both + other - lane] = where, who
    used[both], taken[both] = heat, boat


def mended_lanes(
    rounds: Sequence[Heats],
    *,
    lanes: int,
    had: Mapping[int, Sequence[int]],
    wish: Mapping[tuple[int, int], int],
) -> Lanes:
    """Lanes for heats still to come, when those of earlier heats stand.

    Parameters
    ----------
    had : mapping
        By boat: how often it has had each lane.
    wish : mapping
        By (round, boat): the lane it was given before, kept where nothing speaks against it.
    """
    count = {boat: list(counts) for boat, counts in had.items()}
    out: Lanes = [[[-1] * len(heat) for heat in heats] for heats in rounds]
    for _ in range(12):
        changed = False
        for r, heats in enumerate(rounds):
            for h, heat in enumerate(heats):
                old = out[r][h]
                for boat, lane in zip(heat, old, strict=True):
                    if lane >= 0:
                        count[boat][lane] -= 1
                cost = np.array(
                    [
                        [
                            1000 * count[boat][lane] ** 2
                            + (lane != wish.get((r, boat), -1)) * 4
                            + (lane != was)
                            for lane in range(lanes)
                        ]
                        for boat, was in zip(heat, old, strict=True)
                    ]
                )
                new = [int(lane) for lane in linear_sum_assignment(cost)[1]]
                for boat, lane in zip(heat, new, strict=True):
                    count[boat][lane] += 1
                changed |= new != old
                out[r][h] = new
        if not changed:
            break
    return out

"""Rows of regatta.csv: counts and points, asked one number at a time."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from math import ceil

from skimwright.regatta import (
    LOW_POINT,
    POWERBOAT,
    Event,
    Outcome,
    draw_lots,
    least_repeats,
    replay,
    standings,
)
from skimwright.regatta.bounds import MOST_ROUNDS
from skimwright.regatta.designs import design_for


def _whole(*values: float) -> list[int]:
    """Counts; one between two is the next one up, so that the runner's nudge is a step of one."""
    return [ceil(value - 1e-9) for value in values]


def powerboat_points(*, place: float) -> float:
    return POWERBOAT.of_place(_whole(place)[0]) or 0.0


def shared_place_points(*, place: float, boats: float) -> float:
    return LOW_POINT.of_tie(*_whole(place, boats))


def code_points(*, entries: float) -> float:
    """What not finishing is worth in a fleet of so many."""
    (n,) = _whole(entries)
    outcomes = {boat: Outcome(place=boat) for boat in range(1, n)} | {n: Outcome(code="DNF")}
    made = standings(replay([Event(kind="result", heat=1, outcomes=outcomes)]), LOW_POINT)
    return next(row.points for row in made.rows if row.boat == n)


def meetings_of_each_pair(*, n: float, s: float, w: float) -> float:
    """How often each pair of a design meets; -1 if there is no such design, or not all meet alike."""
    boats, size, rounds = _whole(n, s, w)
    design = design_for(boats=boats, heats=boats // size, rounds=rounds)
    if design is None:
        return -1.0
    met = Counter(p for heats in design.rounds for heat in heats for p in combinations(sorted(heat), 2))
    times = {met[pair] for pair in combinations(range(boats), 2)}
    return float(times.pop()) if len(times) == 1 else -1.0


def most_rounds(*, g: float, s: float) -> float:
    """Rounds without a repeat, as the bound takes them to be possible."""
    heats, size = _whole(g, s)
    rounds = 1
    while least_repeats([(size,) * heats] * (rounds + 1), boats=heats * size) == 0:
        rounds += 1
    return float(rounds)


def rounds_reached(*, g: float, s: float) -> float:
    """Rounds without a repeat that our draws reach, up to what is known to be possible."""
    heats, size = _whole(g, s)
    rounds = 1
    while (
        rounds < MOST_ROUNDS.get((heats, size), 99)
        and draw_lots(
            range(1, heats * size + 1), rounds=rounds + 1, lanes=size, seed=1, tries=300_000
        ).counts.repeats
        == 0
    ):
        rounds += 1
    return float(rounds)


def repeat_bound(*, n: float, w: float) -> float:
    boats, rounds = _whole(n, w)
    return float(least_repeats([(6,) * (boats // 6)] * rounds, boats=boats))


def repeats_drawn(*, n: float, w: float) -> float:
    boats, rounds = _whole(n, w)
    return float(draw_lots(range(1, boats + 1), rounds=rounds, lanes=6, seed=1906).counts.repeats)

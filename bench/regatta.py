"""Race day: how long lots take and how close to the least repeats they come; how long a points table takes."""

from __future__ import annotations

import time
from collections.abc import Callable

from skimwright.regatta import POWERBOAT, Event, Outcome, draw_lots, replay, standings

SIZES = (
    (12, 11, 6),
    (15, 7, 3),
    (16, 5, 4),
    (18, 7, 6),
    (24, 5, 6),
    (25, 6, 5),
    (30, 5, 6),
    (36, 3, 6),
    (36, 4, 6),
    (36, 5, 6),
    (42, 7, 6),
    (48, 8, 6),
    (54, 9, 6),
    (17, 4, 6),
    (23, 4, 6),
    (58, 5, 6),
)


def measure() -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    sixty = range(1, 61)
    started = time.perf_counter()
    draw = draw_lots(sixty, rounds=5, lanes=6, seed=1906)
    first = time.perf_counter() - started
    rows = [
        ("lots for 60 boats in 5 rounds, first in this process", first, "s"),
        (
            "lots for 60 boats in 5 rounds",
            _seconds(lambda: draw_lots(sixty, rounds=5, lanes=6, seed=1906)),
            "s",
        ),
        ("repeat meetings of 60 boats in 5 rounds", float(draw.counts.repeats), "-"),
        ("lanes had twice by 60 boats in 5 rounds", float(draw.counts.lane_excess), "-"),
    ]
    log = _full_day(boats=200, rounds=8)
    table = _seconds(lambda: standings(replay(log), POWERBOAT))
    rows.append((f"points of 200 boats and 8 rounds made anew from {len(log)} heats", table * 1e3, "ms"))
    for boats, rounds, lanes in SIZES:
        made = draw_lots(range(1, boats + 1), rounds=rounds, lanes=lanes, seed=1906)
        name = f"repeats over the bound of {made.bound}: {boats} boats, {rounds} rounds, {lanes} lanes"
        rows.append((name, float(made.counts.repeats - made.bound), "-"))
    return rows


def _full_day(*, boats: int, rounds: int) -> list[Event]:
    """Every heat of a large regatta, reported by two finish phones."""
    heats = draw_lots(range(1, boats + 1), rounds=rounds, lanes=6, seed=1).heats
    return [
        Event(
            kind="finish",
            heat=heat.number,
            outcomes={boat: Outcome(place=place) for place, boat in enumerate(heat.boats, 1)},
            phone=phone,
            when=36_000.0 + 540 * heat.number,
        )
        for heat in heats
        for phone in ("finish A", "finish B")
    ]


def _seconds(work: Callable[[], object]) -> float:
    """The quickest of seven calls: other programs on the machine only add."""
    rounds = []
    for _ in range(7):
        start = time.perf_counter()
        work()
        rounds.append(time.perf_counter() - start)
    return min(rounds)


if __name__ == "__main__":
    for what, number, unit in measure():
        print(f"{what}: {number:.4g} {unit}")

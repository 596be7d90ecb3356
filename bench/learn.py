"""How long it takes to learn a boat from five runs, its kind's runs included."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

from skimwright import app, store
from skimwright.desk import learn_boat, read_runs, read_season
from skimwright.trials import Book, Event, Result

SEASON = Path(app.__file__).parent / "demo_season"
BOAT = 8


def measure() -> list[tuple[str, float, str]]:
    """Seconds to learn from five runs, and the guesses that still count; compiling left out."""
    tables = store.read_tables(SEASON)
    season = read_season(tables)
    log = read_runs(tables.runs, season)
    more = frozenset(
        Event(
            boat=BOAT,
            run=k,
            result=Result(device="Whirr 5", distance=46.0, gate_time=5.1, drift=1.0 + 0.5 * k),
        )
        for k in (4, 5)
    )
    log = replace(log, book=Book(log.book.events | more))
    entry = season.boat(BOAT)
    learn_boat(season, entry, log, runs=200, seed=1)  # compiles
    start = time.perf_counter()
    known = learn_boat(season, entry, log, runs=1000, seed=30480)
    taken = time.perf_counter() - start
    return [
        (f"learning from {len(known.used)} runs", taken, "s"),
        ("guesses that count after it", known.learned.cloud.effective, "of 1000"),
    ]

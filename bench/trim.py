"""How long a boat's trim advice takes: the rough answer, the full one, and how soon it stops."""

from __future__ import annotations

import time
from pathlib import Path

from skimwright import app, store
from skimwright.desk import read_season, trim_boat

SEASON = Path(app.__file__).parent / "demo_season"
BOAT = 18


def measure() -> list[tuple[str, float, str]]:
    """Seconds for one boat of the demonstration season; compiling left out."""
    season = read_season(store.read_tables(SEASON))
    entry = season.boat(BOAT)
    trim_boat(season, entry, quick=True)  # compiles
    start = time.perf_counter()
    rough: list[float] = []
    trim_boat(season, entry, rough=lambda _: rough.append(time.perf_counter() - start))
    full = time.perf_counter() - start
    again = time.perf_counter()
    asked_at = 0.6 * full
    trim_boat(season, entry, stop=lambda: time.perf_counter() - again > asked_at)
    stopped = time.perf_counter() - again - asked_at
    return [
        ("trim advice, rough answer", rough[0], "s"),
        ("trim advice, full answer", full, "s"),
        ("trim advice, from asking to stop until it stops", stopped, "s"),
    ]

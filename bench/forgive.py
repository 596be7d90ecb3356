"""How long the search for a forgiving kit takes, and what it found on builders it never saw."""

from __future__ import annotations

import time
from pathlib import Path

from skimwright import app, store
from skimwright.desk import forgive_kit, read_season

SEASON = Path(app.__file__).parent / "demo_season"
KITS = ("Fold 50", "Fold 62", "Fold 74")


def measure() -> list[tuple[str, float, str]]:
    """Seconds and misses of a hundred for each kit of the demonstration season; compiling left out."""
    season = read_season(store.read_tables(SEASON))
    forgive_kit(season, KITS[0], seed=1, effort=0.1)  # compiles
    rows = []
    for kit in KITS:
        start = time.perf_counter()
        found = forgive_kit(season, kit, seed=30480).found
        rows += [
            (f"forgiving {kit}, the whole search", time.perf_counter() - start, "s"),
            (f"forgiving {kit}, worst tenth of builders as drawn", 100 * found.before.tail, "%"),
            (f"forgiving {kit}, worst tenth with the best drawing", 100 * found.after.tail, "%"),
            (f"forgiving {kit}, gain, low end of 90 %", 100 * found.low, "%"),
            (f"forgiving {kit}, gain, high end of 90 %", 100 * found.high, "%"),
        ]
    return rows

"""How fast a season file takes events: each on the disk before it is acknowledged."""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from pathlib import Path

import skimwright
from skimwright.desk import SeasonEvent
from skimwright.store import plain_files
from skimwright.store.season_file import SeasonFile, keep_season, new_season, read_contents

DEMO_SEASON = Path(skimwright.__file__).parent / "demo_season"
EVENTS = 2000
WHEN = "2027-05-22T14:31:00+01:00"


def measure(events: int = EVENTS) -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    with tempfile.TemporaryDirectory(prefix="bench-season-") as folder:
        path = new_season(Path(folder) / "our.season", plain_files(DEMO_SEASON)[0])
        with SeasonFile(path) as season:
            season.log([result(-1)])  # the first one gets the library ready
            began = time.perf_counter()
            waits = sorted(_wait(season, number) for number in range(events))
            took = time.perf_counter() - began
        began = time.perf_counter()
        read_contents(path)
        read = time.perf_counter() - began
        began = time.perf_counter()
        keep_season(path, None, stamp="bench")
        kept = time.perf_counter() - began
        device = events_of_the_disk(Path(folder) / "plain", events)
    return [
        ("acknowledged events, each on the disk", events / took, "a second"),
        ("half of them within", 1000 * statistics.median(waits), "ms"),
        ("99 of 100 within", 1000 * waits[int(0.99 * events)], "ms"),
        ("the disk alone, 4 kB and a sync each", device, "a second"),
        (f"reading a season of {events} events", 1000 * read, "ms"),
        (f"keeping a season of {events} events, restore tried", 1000 * kept, "ms"),
    ]


def result(number: int) -> SeasonEvent:
    """An event as race day sends it."""
    payload = {"group": "Reed", "heat": 3, "boat": number % 24 + 1, "old": None, "new": 1 + number % 6}
    return SeasonEvent(
        key=f"bench-{number}", kind="result", at=WHEN, who="finish A", phone="1", payload=payload
    )


def _wait(season: SeasonFile, number: int) -> float:
    began = time.perf_counter()
    season.log([result(number)])
    return time.perf_counter() - began


def events_of_the_disk(path: Path, writes: int) -> float:
    """What the disk could do at best: bare writes brought to it one by one. [1/s]"""
    with path.open("wb", buffering=0) as file:
        began = time.perf_counter()
        for _ in range(writes):
            file.write(bytes(4096))
            getattr(os, "fdatasync", os.fsync)(file.fileno())
        return writes / (time.perf_counter() - began)

"""Race day under load: reports acknowledged a second and their slowest, the day and the points made anew."""

from __future__ import annotations

import datetime
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from bench.regatta import _full_day, _seconds
from skimwright import app, desk
from skimwright.regatta import POWERBOAT, replay, standings

ZONE = datetime.timezone(datetime.timedelta(hours=1))
NOW = datetime.datetime(2027, 5, 22, 10, 15, tzinfo=ZONE)
DISK = app.Disk()
LARGE = """
[day]
opens = "06:00"
clear = "23:59"

[[sessions]]
name = "fleet"
start = "06:00"
groups = ["Fleet"]
rounds = 8
seed = 1906
minutes_a_heat = 3
"""
Row = tuple[str, float, str]


def measure() -> list[Row]:
    """Name, value and unit of each figure."""
    rows: list[Row] = []
    with tempfile.TemporaryDirectory(prefix="bench-day-") as folder:
        for name, in_one_file in (("folder", False), ("season file", True)):
            season = _season(Path(folder) / name.replace(" ", "-"), in_one_file=in_one_file)
            rows += _reports(season, name)
        rows.append(("the demonstration day read and made anew", _seconds(lambda: _read(season)) * 1e3, "ms"))
        rows.append(
            ("one report at the end of a day of 200 boats and 8 rounds", _last(Path(folder)) * 1e3, "ms")
        )
    log = _full_day(boats=200, rounds=8)
    made = _seconds(lambda: standings(replay(log), POWERBOAT))
    return [*rows, ("standings of 200 boats and 8 rounds made anew", made * 1e3, "ms")]


def _last(folder: Path) -> float:
    """The last report of a large day: read, check, add, sync. [s]"""
    season = _season(folder / "large", in_one_file=False)
    boats = "".join(f"{boat},Fleet\n" for boat in range(1, 201))
    (season / "entries.csv").write_text(f"boat,group\n{boats}", "utf8")
    (season / "day.toml").write_text(LARGE, "utf8")
    day, rows = _read(season), []
    for heat in day.heats:
        for phone in ("finish A", "finish B"):
            rows += _report(day, heat.number, phone)
    DISK.add_rows(season / "results.csv", desk.RESULT_COLUMNS, rows[:-6])
    started = time.perf_counter()
    last = _report(_read(season), len(day.heats), "finish B")
    DISK.add_rows(season / "results.csv", desk.RESULT_COLUMNS, last)
    return time.perf_counter() - started


def _report(day: desk.RaceDay, number: int, phone: str) -> desk.LogRows:
    order = {boat: str(place) for place, boat in enumerate(day.heat(number).boats, 1)}
    return desk.finish_rows(day, number, order, desk.Stamp(at=NOW, phone=phone, key=f"{number}{phone[-1]}"))


def _season(folder: Path, *, in_one_file: bool) -> Path:
    season = folder / "season"
    DISK.copy_demo_season(season, without=("results.csv", "holds.csv"))
    if not in_one_file:
        return season
    files, _ = DISK.plain_files(season)
    return DISK.new_season(folder / "our.season", desk.from_plain_files(files))


def _read(season: Path) -> desk.RaceDay:
    results = season / "results.csv"
    tables = desk.DayTables(
        season=DISK.table(season / "season.toml"), day=DISK.table(season / "day.toml"),
        entries=DISK.rows(season / "entries.csv"), results=DISK.rows(results) if DISK.is_file(results) else None,
    )  # fmt: skip
    return desk.read_day(tables, now=NOW)


def _acts(season: Path) -> Iterator[Callable[[], None]]:
    """Two reports of each heat of the day."""
    for number in range(1, 26):
        for phone in ("finish A", "finish B"):

            def act(number: int = number, phone: str = phone) -> None:
                rows = _report(_read(season), number, phone)
                DISK.add_rows(season / "results.csv", desk.RESULT_COLUMNS, rows)

            yield act


def _reports(season: Path, name: str) -> list[Row]:
    """How long each report takes from being said to being on the disk: read, checked, added."""
    took = []
    for act in _acts(season):
        started = time.perf_counter()
        act()
        took.append(time.perf_counter() - started)
    took.sort()
    return [
        (
            f"reports of a heat acknowledged, each checked and on the disk, {name}",
            len(took) / sum(took),
            "1/s",
        ),
        (f"the slowest of fifty reports, {name}", took[-1] * 1e3, "ms"),
    ]

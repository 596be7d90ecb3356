"""Pull the plug on a race day: what was acknowledged is in the log, counts once, and the day goes on from paper.

The death of a process, not of the computer, as in test_season_file_killed.  Run as a program, this file is the
nursery: it loads once and forks the scorers that are killed.
"""

from __future__ import annotations

import datetime
import errno
import json
import os
import random
import resource
import select
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from skimwright import app, desk
from skimwright.base import StoreError

KILLS = 200  # half on a folder, half on a season file
SEED = 30480
MOST_LINES = 3  # a scorer is killed after it has said so many at most, however slow the machine is
LINGER = 0.02  # and a moment later, at most so long [s]
SILENCE = 2.0  # a scorer with nothing left to do says nothing [s]
ZONE = datetime.timezone(datetime.timedelta(hours=1))
BEGIN = datetime.datetime(2027, 5, 22, 10, 15, tzinfo=ZONE)
ROUNDS = 20  # of the morning's groups: 80 heats, more than the scorers live to see
DISK = app.Disk()
forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")


def lay_out(folder: Path, *, in_one_file: bool, rounds: int = ROUNDS) -> Path:
    """A season on the morning of its regatta: opened, ticked, with more heats than usual."""
    season = folder / "season"
    DISK.copy_demo_season(season, without=("results.csv", "holds.csv"))
    plan = (season / "day.toml").read_text("utf8").replace("rounds = 4", f"rounds = {rounds}")
    (season / "day.toml").write_text(plan, "utf8")
    opened = {"at": "2027-05-22T08:05:00+01:00", "who": "safety officer", "what": "open"}
    DISK.add_rows(season / "holds.csv", desk.HOLD_COLUMNS, [opened])
    if in_one_file:
        path = folder / "our.season"
        files, _ = DISK.plain_files(season)
        DISK.new_season(path, desk.from_plain_files(files))
        season = path
    add(season, desk.fit_rows(read(season), range(1, 25), stamp("ticks")))
    return season


def read(season: Path, at: datetime.datetime = BEGIN) -> desk.RaceDay:
    rows = DISK.rows(season / "results.csv") if DISK.is_file(season / "results.csv") else None
    return desk.read_day(
        desk.DayTables(
            season=DISK.table(season / "season.toml"), day=DISK.table(season / "day.toml"),
            entries=DISK.rows(season / "entries.csv"), results=rows, holds=DISK.grid(season / "holds.csv"),
        ),
        now=at,
    )  # fmt: skip


def add(season: Path, rows: desk.LogRows) -> None:
    DISK.add_rows(season / "results.csv", desk.RESULT_COLUMNS, rows)


def stamp(key: str, phone: str = "") -> desk.Stamp:
    return desk.Stamp(at=BEGIN, phone=phone, key=key)


def order_of(heat: desk.DayHeat) -> dict[int, str]:
    """What really happened: by chance, but always the same."""
    boats = list(heat.lanes)
    random.Random(heat.number).shuffle(boats)
    return {boat: str(place) for place, boat in enumerate(boats, 1) if boat is not None}


def next_act(day: desk.RaceDay) -> tuple[str, desk.LogRows] | None:
    """The next thing to do, its key and its rows."""
    waiting = next((h for h in day.heats if h.state in ("on the water", "waits")), None)
    heat = waiting or (day.heat(day.ahead[0]) if day.ahead else None)
    if heat is None:
        return None
    number, said = heat.number, {report.phone for report in heat.reports}
    if heat.state == "to come":
        return f"{number}-call", desk.call_rows(day, number, stamp(f"{number}-call"))
    if heat.state == "called":
        return f"{number}-start", desk.start_rows(day, number, stamp(f"{number}-start"))
    phone = "finish A" if "finish A" not in said else "finish B"
    key = f"{number}-{phone[-1]}"
    return key, desk.finish_rows(day, number, order_of(heat), stamp(key, phone))


def score_for_ever(season: Path, says: int) -> None:
    """Act after act, each added twice as an impatient phone does."""
    while act := next_act(read(season)):
        key, rows = act
        os.write(says, f"<{key}\n".encode())
        add(season, rows)
        os.write(says, f">{key}\n".encode())
        add(season, rows)
    time.sleep(10)


def one_life(season: Path, lines: int, linger: float) -> list[str]:
    """What a scorer said until it was killed, so many lines and a moment old: ``<key`` begun, ``>key`` acknowledged."""
    hears, says = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        try:
            score_for_ever(season, says)
        finally:
            os._exit(1)  # only reached when something is wrong
    os.close(says)
    said = b""
    while said.count(b"\n") < lines and select.select([hears], [], [], SILENCE)[0]:
        said += os.read(hears, 4096)
    time.sleep(linger)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the scorer ended by itself"
    with os.fdopen(hears, "rb") as ear:
        return [line for line in (said + ear.read()).decode().split("\n") if line]


def nursery(folder: Path, kills: int, *, in_one_file: bool) -> dict[str, Any]:
    """Kill so many scorers at random moments, then finish the day from paper."""
    folder.mkdir()
    season = lay_out(folder, in_one_file=in_one_file)
    moments = random.Random(SEED)
    acknowledged: set[str] = set()
    writing = unread = 0
    for _ in range(kills):
        said = one_life(season, moments.randint(0, MOST_LINES), moments.uniform(0.0, LINGER))
        acknowledged |= {line[1:] for line in said if line[0] == ">"}
        writing += bool({line[1:] for line in said if line[0] == "<"} - acknowledged)
        unread += sum(f.code in ("row-left-out", "cell-not-read") for f in read(season).findings)
    day = read(season)
    keys = {event.key for event in day.events}
    raced = [heat for heat in day.heats if heat.counts]
    wrong = [
        heat.number for heat in raced if {b: o.words() for b, o in heat.outcomes.items()} != order_of(heat)
    ]
    seen_twice = sum(len(heat.reports) > 2 for heat in day.heats)
    on_from_paper(season)
    return {
        "kills": kills, "killed_while_writing": writing, "acknowledged": len(acknowledged), "raced": len(raced),
        "lost": sorted(acknowledged - keys), "wrong": wrong, "counted_twice": seen_twice, "unread": unread,
        "left": len(read(season).ahead), "as_if_nothing_had_happened": points(season) == all_at_once(folder / "calm"),
    }  # fmt: skip


def on_from_paper(season: Path) -> None:
    """The scorer types every heat that does not count yet from its paper sheet."""
    while heat := next((h for h in read(season).heats if not h.counts), None):
        by = desk.Stamp(at=BEGIN, who="scorer", key=f"paper-{heat.number}")
        add(season, desk.finish_rows(read(season), heat.number, order_of(heat), by, kind="result"))


def all_at_once(folder: Path) -> list[Any]:
    """The points of the same day without any trouble."""
    folder.mkdir()
    season = lay_out(folder, in_one_file=False)
    day, rows = read(season), []
    for heat in day.heats:
        rows += desk.finish_rows(
            day, heat.number, order_of(heat), desk.Stamp(at=BEGIN, who="scorer"), kind="result"
        )
    add(season, tuple(rows))
    return points(season)


def points(season: Path) -> list[Any]:
    day = read(season)
    made = desk.day_points(day.events, desk.points_tables["powerboat"], entries=day.entries)
    return [(one.group, row.place, row.boat, row.points) for one in made.groups for row in one.standings.rows]


@pytest.mark.slow
@forks
@pytest.mark.parametrize("in_one_file", [False, True], ids=["folder", "season file"])
def test_nothing_acknowledged_is_lost_or_counted_twice_in_200_kills(
    tmp_path: Path, in_one_file: bool
) -> None:
    words = [sys.executable, __file__, str(tmp_path / "day"), str(KILLS // 2), str(int(in_one_file))]
    done = subprocess.run(words, capture_output=True, text=True, timeout=400, check=False)
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["kills"] == KILLS // 2
    assert said["killed_while_writing"] > KILLS // 60, "the test must be able to fail"
    assert said["acknowledged"] > KILLS // 5
    assert (said["lost"], said["wrong"], said["counted_twice"], said["unread"]) == ([], [], 0, 0)
    assert said["left"] == 0, "the day was finished from paper"
    assert said["as_if_nothing_had_happened"]


# the last kept copy


@pytest.mark.parametrize("in_one_file", [False, True], ids=["folder", "season file"])
def test_after_the_laptop_is_gone_the_last_kept_copy_and_the_phones_bring_the_day_back(
    tmp_path: Path, in_one_file: bool
) -> None:
    season = lay_out(tmp_path, in_one_file=in_one_file, rounds=2)
    sent: list[desk.LogRows] = []
    copy = tmp_path / ("copy.season" if in_one_file else "copy")
    while act := next_act(read(season)):
        sent.append(act[1])
        add(season, act[1])
        if len(sent) == 18:  # in the middle of heat 5
            (shutil.copy if in_one_file else shutil.copytree)(season, copy)
    whole = points(season)
    back = read(copy)
    assert len(back.results.heats) == 4, "at most the heat that was on the water is missing from the copy"
    for rows in sent[14:]:  # phones send again what they sent since, and something from before
        add(copy, rows)
    assert points(copy) == whole
    assert read(copy).ahead == ()


# a full disk


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of a few hundred kilobytes."""
    place = tmp_path / "small"
    place.mkdir()
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=600k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if done.returncode != 0:
        pytest.skip("only root may mount a small disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def fill(path: Path) -> None:
    """Leave no room."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT)
    try:
        while os.write(handle, b"0" * 4096):
            pass
    except OSError as full:
        if full.errno != errno.ENOSPC:
            raise
    finally:
        os.close(handle)


def add_for_ever(season: Path, rows: desk.LogRows) -> None:
    """Sooner or later the space that is left is used up."""
    for _ in range(2000):
        add(season, rows)


@pytest.mark.parametrize("in_one_file", [False, True], ids=["folder", "season file"])
def test_on_a_full_disk_it_says_so_and_the_log_is_whole(small_disk: Path, in_one_file: bool) -> None:
    season = lay_out(small_disk, in_one_file=in_one_file, rounds=2)
    key, rows = next_act(read(season)) or ("", ())
    add(season, rows)
    before = DISK.rows(season / "results.csv")
    _, rows = next_act(read(season)) or ("", ())
    fill(small_disk / "holiday.film")
    with pytest.raises(StoreError) as told:
        add_for_ever(season, rows)
    assert told.value.exit_status == 1
    assert key in {event.key for event in read(season).events}, "it can still be read"
    (small_disk / "holiday.film").unlink()
    assert key in {event.key for event in read(season).events}
    assert len(DISK.rows(season / "results.csv").rows) >= len(before.rows)
    add(season, rows)
    assert read(season).heat(1).state == "on the water"


@forks
def test_a_file_that_may_not_grow_is_told_as_a_full_disk_and_loses_nothing(tmp_path: Path) -> None:
    season = lay_out(tmp_path, in_one_file=False, rounds=2)
    log = season / "results.csv"
    before = log.read_bytes()
    child = os.fork()
    if child == 0:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (len(before), len(before)))
        try:
            add(season, (next_act(read(season)) or ("", ()))[1])
        except StoreError:
            os._exit(7)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == 7
    assert log.read_bytes() == before
    assert read(season).heat(1).state == "to come"


# two programs on one file


@forks
@pytest.mark.parametrize("in_one_file", [False, True], ids=["folder", "season file"])
def test_two_programs_that_add_at_once_lose_nothing_and_count_nothing_twice(
    tmp_path: Path, in_one_file: bool
) -> None:
    season = lay_out(tmp_path, in_one_file=in_one_file, rounds=3)
    day = read(season)
    children = []
    for phone in ("finish A", "finish B"):
        child = os.fork()
        if child == 0:
            try:
                for heat in day.heats:
                    key = f"{heat.number}-{phone[-1]}"
                    rows = desk.finish_rows(day, heat.number, order_of(heat), stamp(key, phone))
                    add(season, rows)
                    if heat.number % 3 == 0:
                        add(season, rows)
                os._exit(0)
            finally:
                os._exit(1)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0]
    after = read(season)
    assert all(heat.counts and len(heat.reports) == 2 for heat in after.heats)
    assert {b: o.words() for b, o in after.heat(7).outcomes.items()} == order_of(after.heat(7))


# a clock that jumps


def test_a_clock_that_jumps_changes_no_points_and_the_day_can_go_on(tmp_path: Path) -> None:
    seasons = [lay_out(tmp_path / name, in_one_file=False, rounds=2) for name in ("steady", "jumping")]
    jumps = (0, -7200, 90_000, -86_400, 3600, 5)
    for season, by in zip(seasons, ((0,), jumps), strict=True):
        for number in range(1, 9):
            at = BEGIN + datetime.timedelta(minutes=9 * number, seconds=by[number % len(by)])
            day = read(season, at)
            if day.word == "go":
                add(season, desk.call_rows(day, number, desk.Stamp(at=at), why="its turn"))
            for phone in ("finish A", "finish B"):
                day = read(season, at)
                add(
                    season,
                    desk.finish_rows(day, number, order_of(day.heat(number)), desk.Stamp(at=at, phone=phone)),
                )
    assert points(seasons[0]) == points(seasons[1])
    now = BEGIN + datetime.timedelta(minutes=90)
    ends = [read(season, now).expected.finish or 0.0 for season in seasons]
    assert abs(ends[0] - ends[1]) < 600
    assert read(seasons[1], now).ahead == read(seasons[0], now).ahead


if __name__ == "__main__":
    sys.stdout.write(json.dumps(nursery(Path(sys.argv[1]), int(sys.argv[2]), in_one_file=sys.argv[3] == "1")))

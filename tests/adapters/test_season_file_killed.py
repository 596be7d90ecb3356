"""Pull the plug while runs are logged, 200 times: what was acknowledged is there, once, and the file is sound.

This is the death of a process, not of the computer: what the disk itself forgets when the current fails cannot be
shown here.  Run as a program, this file is the nursery: it loads once and forks the loggers that are killed.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

KILLS = 200
SEED = 30480
MOST_LINES = 14  # a logger is killed after it has said so many at most, however slow the machine is
LINGER = 0.003  # and a moment later, at most so long [s]


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_nothing_acknowledged_is_lost_and_nothing_doubled_in_200_kills(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, __file__, str(tmp_path), str(KILLS)], capture_output=True, text=True, timeout=300, check=False
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["kills"] == KILLS
    assert said["killed_while_writing"] > KILLS / 4, "the test must be able to fail"
    assert said["acknowledged"] > 2 * KILLS
    assert said["lost"] == []
    assert said["doubled"] == []
    assert said["rows_lost"] == []
    assert said["unsound"] == 0
    assert said["numbers"] == list(range(1, len(said["numbers"]) + 1)), "numbers have no gaps"


def nursery(folder: Path, kills: int) -> dict[str, object]:
    """Kill so many loggers at random moments; what was lost, doubled, or left unsound."""
    from skimwright.store.season_file import new_season, read_contents

    path = new_season(folder / "our.season", {"runs.csv": b"run\n"})
    moments = random.Random(SEED)
    acknowledged: list[str] = []
    unsound = writing = 0
    for life in range(kills):
        said = one_life(path, life, moments.randint(0, MOST_LINES), moments.uniform(0.0, LINGER))
        begun = {line[1:] for line in said if line[0] == "<"}
        acknowledged += [line[1:] for line in said if line[0] == ">"]
        writing += bool(begun - set(acknowledged))
        unsound += check(path) != "ok"
    contents = read_contents(path)
    stored = [event.key for event in contents.events]
    rows = contents.files["runs.csv"].decode().split()[1:]
    with closing(sqlite3.connect(path)) as raw:
        numbers = [number for (number,) in raw.execute("SELECT number FROM event ORDER BY number")]
    return {
        "kills": kills, "killed_while_writing": writing, "acknowledged": len(acknowledged), "unsound": unsound,
        "lost": sorted(set(acknowledged) - set(stored)),
        "doubled": sorted({key for key in stored if stored.count(key) > 1} | {r for r in rows if rows.count(r) > 1}),
        "rows_lost": sorted({key for key in acknowledged if key.endswith("-0")} - set(rows)),
        "numbers": numbers,
    }  # fmt: skip


def one_life(path: Path, life: int, lines: int, linger: float) -> list[str]:
    """What a logger said until it was killed, so many lines and a moment old: ``<key`` begun, ``>key`` acknowledged."""
    hears, says = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        try:
            log_for_ever(path, life, says)
        finally:
            os._exit(1)  # only reached when something is wrong
    os.close(says)
    with os.fdopen(hears, "rb") as ear:
        said = [ear.readline() for _ in range(lines)]
        time.sleep(linger)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status), "the logger ended by itself"
        return [line.decode().strip() for line in (*said, *ear.readlines())]


def log_for_ever(path: Path, life: int, says: int) -> None:
    """Log event after event, each twice as an impatient phone does, and first a row of the list."""
    from skimwright.desk import SeasonEvent
    from skimwright.store.season_file import SeasonFile

    with SeasonFile(path) as season:
        number = 0
        while True:
            key = f"{life}-{number}"
            event = SeasonEvent(
                key=key, kind="run", at="2027-03-20T10:05:00", phone="p", payload={"n": number}
            )
            os.write(says, f"<{key}\n".encode())
            if number == 0:
                season.rewrite("runs.csv", lambda was, row=f"{key}\n": (was or b"") + row.encode())  # type: ignore[misc]
            season.log([event])
            os.write(says, f">{key}\n".encode())
            season.log([event])
            number += 1


def check(path: Path) -> str:
    """SQLite's own word on the file as the kill left it."""
    with closing(sqlite3.connect(path)) as raw:
        return str(raw.execute("PRAGMA integrity_check").fetchone()[0])


if __name__ == "__main__":
    sys.stdout.write(json.dumps(nursery(Path(sys.argv[1]), int(sys.argv[2]))))

"""What a person waits for: new processes, with the model not yet compiled and with it ready; memory; the demo twice."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import skimwright

DEMO_SEASON = Path(skimwright.__file__).parent / "demo_season"
ASK = ("forecast", "--season", str(DEMO_SEASON), "--boat", "12", "--json")
FEWEST = ("--runs", "20")  # the smallest question: what remains is getting ready
ROUNDS = 5


def measure() -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    with tempfile.TemporaryDirectory(prefix="bench-cache-") as cache:
        before = _processor_time()
        first = run(*ASK, cache=cache)
        worked = _processor_time() - before
        again = [run(*ASK, cache=cache) for _ in range(ROUNDS)]
        small = [run(*ASK, *FEWEST, cache=cache) for _ in range(ROUNDS)]
    shown = [run("--help") for _ in range(ROUNDS)]
    return [
        ("first forecast ever, compiling included, fresh process", first, "s"),
        ("processor time of that", worked, "s"),
        ("first number in a fresh process, 20 runs", statistics.median(small), "s"),
        ("forecast of 1000 runs by the command line, fresh process", statistics.median(again), "s"),
        ("skimwright --help", statistics.median(shown), "s"),
        ("peak memory of any of these", peak_memory(), "MB"),
    ]


def demo_twice() -> list[tuple[str, float, str]]:
    """The demonstration walk, twice, with an empty cache the first time; and whether it says the same."""
    with tempfile.TemporaryDirectory(prefix="bench-demo-") as folder:
        taken = [run("demo", f"{folder}/{n}", cache=f"{folder}/cache") for n in (1, 2)]
        files = [
            {path.relative_to(root): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}
            for root in (Path(folder) / "1", Path(folder) / "2")
        ]
    alike = sum(files[1].get(name) == text for name, text in files[0].items())
    return [
        ("skimwright demo, first time on this machine", taken[0], "s"),
        ("skimwright demo, second time", taken[1], "s"),
        ("files of the second walk like those of the first", alike / len(files[0]), "-"),
    ]


def run(*arguments: str, cache: str | None = None) -> float:
    """Seconds that one command line takes from start to end, in a process of its own.

    Raises
    ------
    subprocess.CalledProcessError
        It did not end well; its own words are shown.
    """
    environment = os.environ | ({"NUMBA_CACHE_DIR": cache} if cache else {})
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "skimwright", *arguments],
        env=environment, stdout=subprocess.DEVNULL, check=True,
    )  # fmt: skip
    return time.perf_counter() - start


def _processor_time() -> float:
    """What all children so far have used [s]; other work on the machine does not lengthen it much."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def peak_memory() -> float:
    """The most that any child so far held [MB of a million bytes]."""
    unit = 1 if sys.platform == "darwin" else 1024  # of ru_maxrss [bytes]
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * unit / 1e6

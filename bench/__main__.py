"""``python -m bench [name ...]``: how fast and how large, beside what was promised.

Names: start, forecast, hydrostatics, demo, season-file, race-day, learn, trim, fairness, forgive, evidence,
nesting, web.  All but the last four, which take many minutes, when none is given.
"""

from __future__ import annotations

import importlib
import os
import sys
import tempfile
from collections.abc import Iterable

Row = tuple[str, float, str]  # what, number, unit; "-" or "x" for a ratio

PARTS = {  # name: module and function
    "start": ("bench.fresh", "measure"),
    "forecast": ("bench.forecast", "measure"),
    "hydrostatics": ("bench.hydrostatics", "measure"),
    "demo": ("bench.fresh", "demo_twice"),
    "season-file": ("bench.season_file", "measure"),
    "race-day": ("bench.race_day", "measure"),
    "learn": ("bench.learn", "measure"),
    "trim": ("bench.trim", "measure"),
    "fairness": ("bench.fairness", "measure"),
    "forgive": ("bench.forgive", "measure"),
    "evidence": ("bench.evidence", "measure"),
    "nesting": ("bench.nesting", "measure"),
    "web": ("bench.web", "measure"),
}
USUAL = ("start", "forecast", "hydrostatics", "demo", "season-file", "race-day", "learn", "trim", "fairness")

TARGETS = {  # how a row's name begins: least or most, in the row's unit; what the program promises
    "first forecast ever, compiling included, fresh process": ("<=", 20.0),
    "first number in a fresh process, 20 runs": ("<=", 2.0),
    "skimwright --help": ("<=", 0.3),
    "peak memory of any of these": ("<=", 600.0),
    "forecast of 1000 runs, 2 threads": ("<=", 3.0),
    "ours over C strict, 2 threads": (">=", 0.5),
    "ours over C strict, 1 thread": (">=", 0.5),
    "ours over C fast-math, 2 threads": (">=", 0.5),
    "ours over C fast-math, 1 thread": (">=", 0.5),
    "one displacement with its centres": ("<=", 20.0),
    "rest attitude": ("<=", 5.0),
    "learning from": ("<=", 15.0),
    "trim advice, rough answer": ("<=", 3.0),
    "trim advice, full answer": ("<=", 20.0),
    "trim advice, from asking": ("<=", 1.0),
    "reports of a heat acknowledged": (">=", 10.0),
    "the slowest of fifty reports": ("<=", 500.0),
    "standings of 200 boats and 8 rounds": ("<=", 50.0),
    "acknowledged events, each on the disk": (">=", 100.0),
    "24 certificates as PDF": ("<=", 10.0),
    "page: 99 of 100 within": ("<=", 250.0),
    "act: slowest answer": ("<=", 1000.0),
    "news: slowest": ("<=", 2000.0),
    "memory of the server under load": ("<=", 200.0),
    "most over first of the soak days": ("<=", 1.1),
    "files of the second walk like those of the first": (">=", 1.0),
}
COLUMNS = ("what", "number", "unit", "ratio", "target", "met")


def main(names: list[str]) -> int:
    """Measure and print; 2 when a name is not known, 1 when a target is missed."""
    unknown = [name for name in names if name not in PARTS]
    if unknown:
        print(f"No such bench: {', '.join(unknown)}. There are: {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory(prefix="bench-numba-") as cache:
        os.environ["NUMBA_CACHE_DIR"] = cache  # before anything below brings numba in: never a stale kernel
        missed = 0
        for name in names or USUAL:
            lines = [as_line(row) for row in _rows(name)]
            missed += sum(line[-1] == "no" for line in lines)
            print(f"\n{name}\n{_table(lines)}", flush=True)
    return 1 if missed else 0


def _rows(name: str) -> Iterable[Row]:
    module, function = PARTS[name]
    try:
        return list(getattr(importlib.import_module(module), function)())
    except ModuleNotFoundError as missing:
        print(f"{name} is left out: there is no {missing.name}.")
        return []


def as_line(row: Row) -> tuple[str, ...]:
    """One line of the table: a ratio in its own column, and the target with yes or no beside it."""
    what, number, unit = row
    shown = f"{number:.3g}" if number < 1000 else f"{number:.0f}"
    cells = (what, "", "", shown) if unit in ("-", "x") else (what, shown, unit, "")
    target = next((TARGETS[start] for start in TARGETS if what.startswith(start)), None)
    if target is None:
        return (*cells, "", "")
    sign, limit = target
    met = number <= limit if sign == "<=" else number >= limit
    return (*cells, f"{sign} {limit:g}", "yes" if met else "no")


def _table(lines: list[tuple[str, ...]]) -> str:
    wide = [max(len(line[i]) for line in (COLUMNS, *lines)) for i in range(len(COLUMNS))]
    return "\n".join(
        "  ".join(
            cell.ljust(w) if i == 0 else cell.rjust(w)
            for i, (cell, w) in enumerate(zip(line, wide, strict=True))
        )
        for line in (COLUMNS, *lines)
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""How long a forecast takes, beside the same kernel in C and a general solver on the same right-hand side."""

from __future__ import annotations

import statistics
import time
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numba
import numpy as np

from bench import lsoda
from bench.reference import VARIANTS, Array, CKernel
from skimwright.boat import AsBuilt, read_kit_table
from skimwright.physics import device_file
from skimwright.pond import Conditions
from skimwright.run import Ensemble, Question, ensemble, forecast, stepping
from skimwright.run.stepping import HISTORY, RESULT_ROWS, RESULTS

SEASON = Path(stepping.__file__).parents[1] / "demo_season"
CALM = Conditions(ripple=0.0)
WINDY = Conditions(wind_speed=3.0, wind_from=1.0)
PIECE = 512  # runs a thread takes at a time: large, so that few lanes run empty at the end of a piece
ROUNDS = 5
RUNS_BY_LSODA = 3


def question(kit: str, device: str, conditions: Conditions, **more: Any) -> Question:
    """A question about a boat of the demonstration season's kits, nothing measured on it."""
    return Question(
        kit=read_kit_table(_table(f"kits/{kit}.toml"), file=kit),
        device=device_file.read_device_table(_table(f"devices/{device}.toml"), file=device),
        built=AsBuilt(boat="bench"),
        conditions=conditions,
        **more,
    )


def _table(name: str) -> dict[str, Any]:
    return tomllib.loads((SEASON / name).read_text("utf8"))


def measure() -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure, on two threads and on one.

    The forecast is the middle of its rounds; runs a second and ratios are of the best round of each, because a
    neighbour on the machine can only slow a round down.
    """
    asked = question("fold-62", "whirr-5", WINDY)
    ready = ensemble(asked)
    runs = len(ready.rows) - 1
    ours_run(ready)  # compiles
    rows = []
    kernels = c_kernels()
    for name, kernel in kernels.items():
        rows += agreement(name, kernel, ready)
    for threads in (2, 1):
        numba.set_num_threads(min(threads, numba.config.NUMBA_NUM_THREADS))
        works: dict[str, Callable[[], object]] = {
            "forecast": lambda: forecast(asked),
            "ours": lambda: ours_run(ready),
        }
        for name, kernel in kernels.items():
            works[name] = _bound(kernel, ready, threads)
        taken = in_turn(works)
        on = f"{threads} thread" + ("s" if threads > 1 else "")
        rows.append((f"forecast of {runs} runs, {on}", statistics.median(taken.pop("forecast")), "s"))
        best = {name: min(seconds) for name, seconds in taken.items()}
        rows += [(f"stepping, {name}, {on}", runs / seconds, "runs/s") for name, seconds in best.items()]
        rows += [(f"ours over {name}, {on}", best[name] / best["ours"], "-") for name in kernels]
        if threads == 1:
            rows += beside_lsoda(runs / best["ours"])
    numba.set_num_threads(numba.config.NUMBA_NUM_THREADS)
    return rows


def c_kernels() -> dict[str, CKernel]:
    """The C kernel in each variant; none, with a word about it, where there is no compiler."""
    try:
        return {name: CKernel(name) for name in VARIANTS}
    except FileNotFoundError as missing:
        print(missing)
        return {}


def _bound(kernel: CKernel, ready: Ensemble, threads: int) -> Callable[[], object]:
    return lambda: kernel.run_all(ready, threads=threads, piece=PIECE)


def in_turn(works: dict[str, Callable[[], object]]) -> dict[str, list[float]]:
    """The times of each [s]; they take turns, so that a busy neighbour slows all alike."""
    taken: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(ROUNDS):
        for name, work in works.items():
            start = time.perf_counter()
            work()
            taken[name].append(time.perf_counter() - start)
    return taken


def ours_run(ready: Ensemble, *, piece: int = PIECE) -> Array:
    """Results (runs, RESULTS) of every run by our stepping alone."""
    results = np.full((len(ready.rows), RESULTS), np.nan)
    history, lines = np.zeros((0, 1, HISTORY)), np.zeros(0, dtype=np.int64)
    stepping.run_all(ready.rows, ready.strips, ready.count, ready.scene, results, history, lines, 1.0, piece)
    return results


# ------------------------------------------------------------------------------------------- do they agree?


def agreement(name: str, kernel: CKernel, windy: Ensemble) -> list[tuple[str, float, str]]:
    """The greatest difference in calm water, run by run; in ripples, where boats hop, of the ranges.

    Raises
    ------
    AssertionError
        C and ours do not answer the same question, so that no ratio may be printed.
    """
    calm = ensemble(question("fold-62", "whirr-5", CALM, runs=200))
    apart = differences(ours_run(calm), kernel.run_all(calm, threads=1, piece=PIECE))
    place, gate_time = float(np.quantile(apart["place"], 0.95)), float(np.nanmax(apart["gate_time"]))
    mine, theirs = ours_run(windy)[1:], kernel.run_all(windy, threads=1, piece=PIECE)[1:]
    ends = RESULT_ROWS.index("x")
    marks = [np.quantile(results[:, ends], [0.05, 0.5, 0.95]) for results in (mine, theirs)]
    ranges = float(np.abs(marks[0] - marks[1]).max())
    same = float(np.mean(mine[:, 0] == theirs[:, 0]))
    assert place < 1e-6, f"{name}: places differ by {place:.2g} m in calm water"
    assert gate_time < 1e-6, f"{name}: gate times differ by {gate_time:.2g} s in calm water"
    assert ranges < 0.05, f"{name}: ranges of distance differ by {ranges:.2g} m"
    assert same > 0.99, f"{name}: only {same:.1%} of the runs end alike"
    return [
        (f"{name}: places apart in calm water, 95 of 100 below", place, "m"),
        (f"{name}: gate times apart in calm water, most", gate_time, "s"),
        (f"{name}: ranges of distance apart in ripples, most", ranges, "m"),
    ]


def differences(mine: Array, theirs: Array) -> dict[str, Array]:
    """How far apart two sets of results are: end places [m] and gate times [s] run by run."""
    gap = np.abs(mine - theirs)
    x, y, gate = (RESULT_ROWS.index(name) for name in ("x", "y", "gate_time"))
    return {"place": np.hypot(gap[:, x], gap[:, y]), "gate_time": gap[:, gate]}


def beside_lsoda(ours_per_second: float) -> list[tuple[str, float, str]]:
    """A few runs in calm water by a general solver, each until ours had ended."""
    calm = ensemble(question("fold-62", "whirr-5", CALM, runs=20))
    mine = ours_run(calm)
    end, x, gate = (mine[:, RESULT_ROWS.index(name)] for name in ("time", "x", "gate_time"))
    lsoda.solve(calm, 0, time=0.01)  # compiles
    start = time.perf_counter()
    found = [lsoda.solve(calm, run, time=end[run]) for run in range(RUNS_BY_LSODA)]
    per_second = RUNS_BY_LSODA / (time.perf_counter() - start)
    places = max(abs(f.x - x[run]) for run, f in enumerate(found))
    gate_times = max(abs(f.gate_time - gate[run]) for run, f in enumerate(found))
    assert places < 0.02, f"LSODA: places differ by {places:.2g} m"
    assert gate_times < 1e-3, f"LSODA: gate times differ by {gate_times:.2g} s"
    return [
        ("LSODA, 1 thread", per_second, "runs/s"),
        ("ours over LSODA, 1 thread", ours_per_second / per_second, "-"),
        ("LSODA: places apart in calm water, most", places, "m"),
        ("LSODA: gate times apart in calm water, most", gate_times, "s"),
    ]

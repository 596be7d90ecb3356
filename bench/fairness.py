"""How long the order's sureness, a handicap, a rehearsal and a class of certificates take."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from skimwright import app, store
from skimwright.desk import (
    CertificateAsk,
    draw_day,
    make_certificates,
    read_crews,
    read_day_plan,
    read_entries,
    read_guesses,
    read_runs,
    rehearse_day,
)
from skimwright.regatta import POWERBOAT, Outcome, Pace, how_sure, lay_out_handicap, trials_of

DEMO = Path(app.__file__).parent / "demo_season"


def measure() -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    rng = np.random.default_rng(1)
    known = {b: Pace(mean=0.0, doubt=0.08, spread=0.07, fails=0.1, runs=3) for b in range(1, 19)}
    heats = []
    for _ in range(9):
        order = rng.permutation(18)[:6] + 1
        heats.append({int(b): Outcome(place=n) for n, b in enumerate(order, 1)})
    trials = trials_of({b: list(5 * np.exp(0.07 * rng.standard_normal(3))) for b in known})
    unlike = {
        b: Pace(mean=float(rng.normal(0, 0.1)), doubt=0.05, spread=0.07, fails=0.1, runs=3) for b in range(24)
    }
    disk, season = app.Disk(), store.read_season_folder(DEMO)
    plan = read_day_plan(disk.table(DEMO / "day.toml"), date=season.regatta)
    lots = draw_day(plan, read_entries(disk.rows(DEMO / "entries.csv")))
    guesses, hands = read_guesses(disk.table(DEMO / "rehearsal.toml"))
    log, crews = read_runs(disk.rows(DEMO / "runs.csv"), season), read_crews(disk.rows(DEMO / "crews.csv"))

    def certificates() -> None:
        made = make_certificates(season, log, crews, None, CertificateAsk())
        disk.as_pdf(made.pages, title="Certificates", language="en")

    deeds: dict[str, Callable[[], object]] = {
        "how sure the order is, 18 boats, 9 heats": lambda: how_sure(heats, known, POWERBOAT, trials=trials),
        "handicap of 24 boats": lambda: lay_out_handicap(unlike, full=30.48),
        "1000 rehearsed days with every what-if": lambda: rehearse_day(
            lots, guesses, hands, days=1000, seed=1
        ),
        "24 certificates as PDF": certificates,
    }
    return [(name, _seconds(deed), "s") for name, deed in deeds.items()]


def _seconds(what: Callable[[], object], *, times: int = 3) -> float:
    """The fastest of a few."""
    best = float("inf")
    for _ in range(times):
        started = time.perf_counter()
        what()
        best = min(best, time.perf_counter() - started)
    return best

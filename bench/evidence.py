"""What the bench and the trials book can be held to: known boats, planted faults, forecasts against later runs.

All boats are invented or the model's own; nothing here is evidence about real water.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from skimwright import app
from skimwright.boat import AsBuilt, spread, total_mass
from skimwright.desk import (
    RunLog,
    Season,
    forecast_row,
    learn_boat,
    question_about,
    read_forecasts,
    read_runs,
    score_season,
)
from skimwright.desk.boats.suspects import DISTANCE, DRIFT, short_suspects, sideways_suspects, trial_of
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.desk.trials.learn import day_of
from skimwright.run import Move, Question, Trials, mass_slope
from skimwright.run.moves import lasting_draw
from skimwright.run.spread import causes
from skimwright.trials import Book, explain

Measured = tuple[str, float, str]
KINDS = (  # kit, device, class, whether the season's wind blows
    ("Fold 50", "Tug", "Cress", True),
    ("Fold 74", "Whirr 7", "Willow", True),
    ("Fold 62", "Whirr 7", "Rush", False),
    ("Fold 50", "Whirr 5", "Cress", True),
)
KNOWN, RUNS_EACH = 30, 120  # boats with a known answer, and runs of each
PLANTED = {7: "mass", 11: "blade_yaw", 13: "device_y", 14: "pad_angle_left", 16: "floor_twist", 18: "balance_x",
           22: "water_gain"}  # fmt: skip
CHANGED = {11: 3, 16: 3}  # boats that were changed before that run


def measure() -> list[Measured]:
    """Every figure the guides quote from here."""
    disk = app.Disk()
    folder = str(disk.demo_season())
    season = disk.season(folder, {(20, "mass_g"): "13.5 oz"})
    log = read_runs(disk.runs(folder), season)
    return [*_mass_intervals(season), *_planted(season, log), *_scores(season, log)]


def _mass_intervals(season: Season) -> Iterator[Measured]:
    """Known boats of kinds the lighter/heavier interval was not set on, inside its 80 %."""
    for wide in (1.0, 1.5):
        held = sum(_held(season, *kind, wide=wide) for kind in KINDS)
        doubt = "the model's own doubt" if wide == 1.0 else "model factors half as wide again"
        yield (
            f"lighter/heavier, known boats inside the 80 % interval, {doubt}",
            100 * held / (KNOWN * len(KINDS)),
            "%",
        )


def _held(season: Season, kit: str, device: str, group: str, windy: bool, *, wide: float) -> int:
    drawing = season.kits[kit]
    day = season.conditions if windy else replace(season.conditions, wind_speed=0.0, wind_gust=None)
    asked = Question(
        kit=drawing, device=season.devices[device], built=AsBuilt(boat="x"), conditions=day,
        gate=season.groups[group].gate, runs=KNOWN * RUNS_EACH, seed=30480,
    )  # fmt: skip
    place, step = (0.3 * drawing.length, 0.0, 0.036), 0.08 * total_mass(drawing).mass
    told = mass_slope(asked, place=place, step=step)
    assert told is not None
    drawn = lasting_draw(replace(asked, seed=987), boats=KNOWN, runs_each=RUNS_EACH)
    for cause in causes(spread(asked.built, kit=drawing), asked.device):
        if cause.group == "model" and cause.shape == "factor":
            drawn[cause.key] = cause.middle * (drawn[cause.key] / cause.middle) ** wide
    trials = Trials(asked, drawn=drawn)
    more, less = (Move(key=f"{way:+d}", mass=way * step, place=place) for way in (1, -1))
    trials.make([more, less], runs=KNOWN * RUNS_EACH)
    steps = (trials.outcome(more).points - trials.outcome(less).points) * 0.010 / (2.0 * step)
    true = np.nan_to_num(steps).reshape(KNOWN, RUNS_EACH).mean(axis=1)
    return int(((true >= told.points.low) & (true <= told.points.high)).sum())


def _planted(season: Season, log: RunLog) -> Iterator[Measured]:
    """The demonstration's faults by one-fault explanation: card and two or three runs, and the card alone."""
    right = {"card and runs": 0, "the card alone": 0}
    for number, key in PLANTED.items():
        found: dict[str, list[tuple[float, str]]] = {name: [] for name in right}
        entry = season.boat(number)
        runs = [r for r in log.book.of(number) if r.speaks_of_the_boat and r.run < CHANGED.get(number, 99)]
        for output, line_up_of in ((DRIFT, sideways_suspects), (DISTANCE, short_suspects)):
            trials = [trial_of(run, season.conditions) for run in runs]
            told = [t for t in trials if np.isfinite(t.values[output])]
            asked = question_about(season, entry, runs=200, seed=30480)
            line_up = line_up_of(season, entry, asked, day_of(runs, season.conditions))
            law = line_up.law
            off = float(
                np.mean([t.values[output] - law.wind_shift(t.wind)[output] for t in told])
                - law.middle[output]
            )
            sd = float(law.run_sd[output]) / len(told) ** 0.5
            for name, doubt in (("card and runs", sd), ("the card alone", 1e4)):
                weighed = explain(
                    line_up.suspects, drift=off, drift_sd=doubt, other_sd=line_up.other_sd, may_be_chance=True
                )
                found[name] += [(e.chance, e.key) for e in weighed.explanations if e.key in line_up.suspects]
        for name in right:
            right[name] += max(found[name])[1] == key
    for name, count in right.items():
        yield f"planted faults of the demonstration named first of {len(PLANTED)}, {name}", float(count), "-"


def _scores(season: Season, log: RunLog) -> Iterator[Measured]:
    """Forecasts after 0, 1 and 2 runs in the trials' wind, scored by the runs that came."""
    there = replace(season, conditions=replace(season.conditions, wind_speed=0.4, wind_gust=None))
    rows = []
    for known in (0, 1, 2):
        events = frozenset(event for event in log.book.events if event.run <= known)
        part = RunLog(book=Book(events), typed=Book(events))
        for entry in there.ready:
            learned = learn_boat(there, entry, part, runs=400, seed=1)
            untaught = replace(learned.found, forecast=learned.before)
            for made, found in (("learn", learned.found), ("forecast", untaught)):
                rows.append(forecast_row(found, entry, part, made=made, now="", edition=""))
    kept = read_forecasts(
        Rows(
            file="forecasts.csv", columns=tuple(rows[0]),
            rows=tuple(Row(number=n, cells=row) for n, row in enumerate(rows, 2)),
        )
    )  # fmt: skip
    for line in score_season(there, log, kept).lines:
        name = f"demonstration log, {line.made}, {line.quantity.replace('_', ' ')}"
        unit = "s" if line.quantity == "gate_time" else "m"
        yield f"{name}: nine of ten held", 100 * line.held90, "%"
        yield f"{name}: CRPS", line.crps_there, unit
        yield f"{name}: CRPS of the last run again", line.last, unit
        yield f"{name}: CRPS of its kind", line.kind, unit

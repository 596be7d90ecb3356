"""After a miss: the planted fault is named, chance is called chance, and a blank gets one question.

The boats are the model's own (a fixture): what is tested is that the likeliest cause follows from card and log.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skimwright import app, store
from skimwright.boat import AsBuilt
from skimwright.desk import RunLog, at_the_gate, near_miss, question_about, read_season
from skimwright.desk.boats.check import CARD, drawn_value
from skimwright.trials import NO, YES, Book, Event, Result, study

DEMO = app.Path(app.__file__).parent / "demo_season"
DEGREE = math.pi / 180
PLANTED = (  # what is out of true, by how much, on a boat of which kit
    ("blade_yaw", 2.5 * DEGREE, 15), ("blade_yaw", -2.5 * DEGREE, 15), ("device_y", 0.006, 15),
    ("device_y", -0.006, 15), ("balance_y", 0.010, 15), ("balance_y", -0.010, 15), ("pad_toe_left", 3 * DEGREE, 15),
    ("pad_toe_right", -3 * DEGREE, 15), ("mass", 0.060, 6), ("water_gain", 0.050, 6),
)  # fmt: skip


@pytest.fixture(scope="module")
def season():
    return read_season(store.read_tables(DEMO))


def built(season, number, rng, key, size):
    """A boat with the builders' usual scatter and one fault."""
    entry = season.boat(number)
    kit = season.kit_of(entry)
    true = {}
    for name in CARD:
        if name != "deck_length":
            wide = getattr(kit.tolerances, name.removesuffix("_left").removesuffix("_right"))
            true[name] = drawn_value(kit, name) + 0.7 * wide * rng.standard_normal()
    if key:
        true[key] = drawn_value(kit, key) + size
    true["water_gain"] = max(true["water_gain"], 0.0)
    return replace(entry, built=AsBuilt(boat="x", **true))


def with_runs(season, entry, seed):
    """Two practice runs and a try that missed."""
    asked = question_about(season, entry, runs=60, seed=seed)
    made = study(replace(asked, conditions=replace(season.conditions, wind_speed=0.4, wind_gust=None)))
    runs = []
    for (distance, time, drift), ordinary in zip(made.results, made.ordinary, strict=True):
        crossed = bool(np.isfinite(time))
        if ordinary and (crossed or math.exp(distance) < 0.95 * asked.gate.distance):
            result = Result(
                device=entry.device, distance=round(math.exp(distance), 1), wind_speed=0.4,
                wind_from=season.conditions.wind_from, gate_time=round(math.exp(time), 2) if crossed else None,
                drift=round(float(drift), 1) if crossed else None,
            )  # fmt: skip
            runs.append((result, not crossed or abs(drift) > 0.5 * asked.gate.width))
    last = next(i for i, (_, missed) in enumerate(runs) if missed)
    practice = [replace(r, as_try=NO) for i, (r, _) in enumerate(runs) if i != last][:2]
    results = [*practice, replace(runs[last][0], as_try=YES)]
    events = frozenset(
        Event(boat=entry.number, run=number, result=result) for number, result in enumerate(results, 1)
    )
    return RunLog(book=Book(events), typed=Book(events))


def named(season, entry, log):
    there = replace(season, boats=tuple(entry if e.number == entry.number else e for e in season.boats))
    _, boat = at_the_gate(there, log).boat(entry.number)
    return near_miss(there, entry, boat, log)


def test_nine_of_ten_planted_faults_are_named_with_their_one_change(season):
    right = []
    for number, (key, size, boat) in enumerate(PLANTED):
        entry = built(season, boat, np.random.default_rng(10 * number + 1), key, size)
        found = named(season, entry, with_runs(season, entry, 10 * number + 1))
        assert found is not None
        assert found.change
        right.append(found.key == key)
    assert sum(right) >= 9, [PLANTED[i][0] for i, ok in enumerate(right) if not ok]


def test_a_boat_with_nothing_out_of_true_is_not_blamed(season):
    entry = built(season, 15, np.random.default_rng(3), "", 0.0)
    found = named(season, entry, with_runs(season, entry, 3))
    assert found.key in ("chance", "none")
    assert "try again" in found.change or "Aim" in found.change


def test_a_try_without_a_distance_gets_one_question_and_no_cause(season):
    events = frozenset({Event(boat=15, run=1, result=Result(device="Whirr 5", as_try=YES))})
    found = named(season, season.boat(15), RunLog(book=Book(events), typed=Book(events)))
    assert (found.key, found.cause) == ("asked", "")
    assert found.change.count("?") == 1
    assert "How far" in found.change


def test_a_hook_is_not_blamed_on_the_card(season):
    events = frozenset({Event(boat=15, run=1, result=Result(ending="hooked", as_try=YES))})
    found = named(season, season.boat(15), RunLog(book=Book(events), typed=Book(events)))
    assert found.key == "hooked"
    assert "one alone says little" in found.cause

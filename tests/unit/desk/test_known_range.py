"""Limits of the models are said at the extremes a boat meets, with the boat's own numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from skimwright import app, desk
from skimwright.desk import BoatForecast, Season

DEMO = Path(app.__file__).parent / "demo_season"


@pytest.fixture(scope="module")
def season() -> Season:
    return app.Disk().season(str(DEMO))


def found(season: Season, number: int, **day: float) -> BoatForecast:
    question = desk.question_about(season, season.boat(number), runs=20, seed=1)
    return desk.forecast_boat(
        replace(question, conditions=replace(question.conditions, **day)), name="the boat"
    )


def codes(forecast: BoatForecast) -> set[str]:
    return {finding.code for finding in forecast.findings}


def test_a_sound_boat_on_a_quiet_day_is_inside_every_limit(season: Season) -> None:
    outside = {
        "air-temperature",
        "crosswind-strong",
        "crosswind-slip",
        "board-mass",
        "planing-trim",
        "blade-angle",
    }
    assert not codes(found(season, 10)) & outside


def test_a_storm_across_the_line_is_outside_what_was_compared(season: Season) -> None:
    heading = season.conditions.heading
    said = found(season, 10, wind_speed=14.0, wind_gust=20.0, wind_from=heading + math.pi / 2)
    assert {"crosswind-strong", "crosswind-slip"} <= codes(said)


def test_frost_is_outside_the_weather_the_air_was_checked_in(season: Season) -> None:
    assert "air-temperature" in codes(found(season, 10, air_temperature=268.0))


def test_a_pad_that_runs_too_flat_is_named_with_its_side_and_angle(season: Season) -> None:
    """The lift law was measured from 2 to 15 deg of trim: docs/physics/planing.md names the tests."""
    flat = next(f for f in found(season, 19).findings if f.code == "planing-trim")
    assert flat.where == "the right pad at full speed"
    assert "2 to 15 deg" in flat.what

"""The hunch before the forecast: nothing is shown until it is locked, and it stays in the run log as it was."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.web.conftest import AtPond, send

from skimwright import desk
from skimwright.web import House
from skimwright.web.work import Bench, Work

PAGE = "/boats/24/hunch"


@pytest.fixture(autouse=True)
def _no_long_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        Bench,
        "begin",
        lambda self, what, do, *, owner, back="": Work(id="x", what=what, owner=owner, back=back),
    )


def test_a_hunch_is_locked_into_the_run_log_and_the_next_run_is_its_run(
    at_pond: AtPond, house: House
) -> None:
    crew = at_pond("crew")
    assert "Lock it" in crew.get(PAGE).text
    assert send(crew, PAGE, distance_m="41").headers["location"] == "/doing/x"
    log = desk.read_runs(house.rows("runs.csv"), house.season())
    assert (log.typed.waiting(24).run, log.typed.waiting(24).guess) == (4, "41 m")
    assert "locked already" in send(crew, PAGE, distance_m="44").text
    assert "Lock it" not in crew.get(PAGE).text
    send(crew, "/water/boats/24/run", distance_m="46", ending="stopped")
    told = desk.hunches(desk.read_runs(house.rows("runs.csv"), house.season()), 24)
    assert told.said == ((4, 41.0, 46.0),)
    assert told.pins[-1] == (4, 46.0, 0.0)
    assert told.locked is None


@pytest.mark.parametrize("typed", ["", "far", "-3", "400", "1e999", "nan"])
def test_what_is_no_distance_is_not_locked(at_pond: AtPond, house: House, typed: str) -> None:
    before = house.stamp()
    assert send(at_pond("crew"), PAGE, distance_m=typed).status_code == 422
    assert house.stamp() == before


def test_bad_weather_is_a_headwind_and_twenty_grams(house: House) -> None:
    season, entry = house.season(), house.boat(24)
    fair = desk.question_about(season, entry, runs=20, seed=1)
    bad = desk.in_bad_weather(fair)
    assert bad.conditions.wind_from == fair.conditions.heading
    assert bad.conditions.wind_speed == 3.0
    assert bad.built.mass == pytest.approx((entry.built.mass or math.nan) + 0.020)


@pytest.mark.parametrize(("off", "side"), [(0, "ahead"), (90, "starboard"), (180, "behind"), (270, "port")])
def test_wind_is_told_from_where_it_comes_and_on_which_side(house: House, off: float, side: str) -> None:
    day = house.season().conditions
    turned = replace(day, wind_speed=2.0, wind_gust=None, wind_from=day.heading + math.radians(off))
    assert f"it comes from {side} as the boats go" in desk.wind_words(turned)
    assert desk.wind_words(replace(turned, wind_speed=0.0)) == "No wind."

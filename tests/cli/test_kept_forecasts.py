"""Forecasts are kept only when asked, as they were made, and scored by the runs that come."""

from __future__ import annotations

import json

import pytest

SHORT = ("--runs", "200", "--json")


def data(said) -> dict:
    assert said.status == 0, said.err
    return json.loads(said.out)


def test_nothing_is_written_unless_asked(say, season) -> None:
    assert data(say("forecast", "--boat", "12", *SHORT, "--season", str(season)))["kept"] is None
    assert not (season / "forecasts.csv").exists()


def test_a_kept_forecast_is_scored_by_the_next_run_and_never_touched(say, season) -> None:
    at = ("--season", str(season))
    wind = ("--wind-m-s", "0.4", "--wind-from-deg", "230")
    made = data(say("forecast", "--boat", "12", "--keep", *wind, *SHORT, *at))
    assert made["kept"].endswith("forecasts.csv")
    before = (season / "forecasts.csv").read_text("utf8")
    assert data(say("learn", "--scores", "--json", *at))["figures"] == 0
    run = "--guess skip --distance-m 48 --gate-time-s 5.05 --drift-m 1.2 --wind-m-s 0.5 --wind-from-deg 230"
    logged = say("log", "--boat", "12", *run.split(), "--ending", "through the gate", *at)
    assert logged.status == 0
    assert data(say("learn", "--boat", "12", "--keep", *wind, *SHORT, *at))["kept"]
    assert (season / "forecasts.csv").read_text("utf8").startswith(before)
    found = data(say("learn", "--scores", "--json", *at))
    assert (found["kept"], found["figures"]) == (2, 3)
    assert {line["what"] for line in found["scores"]} == {"distance", "gate_time", "drift"}
    assert found["chances"][0]["came"] == 1.0
    shown = say("learn", "--scores", *at).out
    assert "too few to judge by" in shown


def test_a_season_that_says_so_keeps_each_one(say, season) -> None:
    toml = season / "season.toml"
    toml.write_text(toml.read_text("utf8").replace("[site]", "keep_forecasts = true\n\n[site]"))
    made = say("forecast", "--boat", "12", "--runs", "200", "--season", str(season))
    assert "Kept in" in made.out
    assert data(say("learn", "--scores", "--json", "--season", str(season)))["kept"] == 1


def test_a_new_season_says_in_its_own_file_that_it_keeps_them(say, tmp_path) -> None:
    assert say("new", str(tmp_path / "ours.season")).status == 0
    assert say("export", str(tmp_path / "out"), "--season", str(tmp_path / "ours.season")).status == 0
    assert "keep_forecasts = true" in (tmp_path / "out" / "season.toml").read_text("utf8")


def test_the_page_of_scores(say, season, tmp_path) -> None:
    found = data(say("learn", "--scores", "--out", str(tmp_path), "--json", "--season", str(season)))
    assert found["files"]
    assert "No forecast has been kept" in (tmp_path / "scores.html").read_text("utf8")


@pytest.mark.parametrize(
    "row, sentence",
    [
        ("t,12,forecast,Whirr 5,,3,0,0,30.48,5,0.7,1 2 3,,,200,1,e", "19 numbers"),
        ("t,12,forecast,Whirr 5,,three,0,0,30.48,5,0.7,,,,200,1,e", "after_run"),
    ],
)
def test_a_spoilt_row_is_named(say, season, row, sentence) -> None:
    from skimwright.desk import FORECAST_COLUMNS

    (season / "forecasts.csv").write_text(",".join(FORECAST_COLUMNS) + "\n" + row + "\n", "utf8")
    said = say("learn", "--scores", "--season", str(season))
    assert said.status == 2
    assert sentence in said.err
    assert "row 2" in said.err


def test_a_kit_is_not_kept(say, season) -> None:
    said = say(
        "forecast", "Fold 62", "--device", "Whirr 5", "--keep", "--runs", "40", "--season", str(season)
    )
    assert said.status == 2
    assert "--boat N" in said.err

"""`gate` as a marshal meets it: the class table, a miss, an appeal, and the questions asked first."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


def data(said) -> dict:
    assert said.status == 0, said.err
    return json.loads(said.out)


def add_try(say, season, boat, *words):
    said = say("log", "--boat", str(boat), "--guess", "skip", "--try", "yes", *words, "--season", str(season))
    assert said.status == 0, said.err


def test_without_a_marked_try_the_chances_are_by_the_practice_runs(say, season) -> None:
    found = data(say("gate", "--json", "--season", str(season)))
    assert found["none_marked"] is True
    assert (found["through"], found["boats"]) == (0, 24)
    assert [c["rule"]["qualifying_distance_m"] for c in found["classes"]] == [10, 30.48, 30.48, 30.48]
    assert all(0.5 < row["chance_to_pass"] < 1 for c in found["classes"] for row in c["table"])


def test_a_try_is_counted_and_an_appeal_keeps_old_new_who_and_why(say, season) -> None:
    add_try(say, season, 8, "--distance-m", "45", "--drift-m", "4.1", "--ending", "ran wide")
    at = ("--boat", "8", "--json", "--season", str(season))
    before = data(say("gate", *at))
    assert (before["left"], before["tries"][0]["result"]) == (2, "ran wide")
    assert before["near_miss"]["change"]
    rows = (season / "runs.csv").read_text("utf8")
    words = ("--appeal", "1", "--result", "through the gate")
    for short in (words, (*words, "--by", "marshal"), (*words, "--reason", "post had drifted")):
        assert say("gate", *at, *short).status == 2
    after = data(say("gate", *at, *words, "--by", "marshal", "--reason", "post had drifted"))
    assert after["through"] is True
    kept = after["appeals"][0]
    assert (kept["old"], kept["new"]) == ("ran wide", "through the gate")
    assert (kept["who"], kept["why"]) == ("marshal", "post had drifted")
    assert (season / "runs.csv").read_text("utf8").startswith(rows)


def test_a_try_given_again_no_longer_counts(say, season) -> None:
    add_try(say, season, 8, "--distance-m", "45", "--drift-m", "4.1", "--ending", "ran wide")
    at = ("--boat", "8", "--json", "--season", str(season))
    found = data(
        say("gate", *at, "--appeal", "1", "--result", "again", "--by", "marshal", "--reason", "a swan")
    )
    assert (found["left"], found["tries"]) == (3, [])
    assert found["appeals"][0]["why"] == "a swan"


def test_a_try_without_a_distance_is_asked_about_once(say, season) -> None:
    add_try(say, season, 9)
    said = say("gate", "--boat", "9", "--season", str(season))
    assert said.status == 0
    assert said.out.count("How far did it go") == 1
    assert "Likeliest" not in said.out


def test_a_hundred_feet_typed_as_metres_is_asked_about_and_a_unit_answers(say, season) -> None:
    toml = season / "season.toml"
    toml.write_text(
        toml.read_text("utf8").replace("age_from = 9\n", "age_from = 9\nqualifying_distance_m = 100\n")
    )
    found = data(say("gate", "--group", "Rush", "--json", "--season", str(season)))
    assert "Is it 100 ft = 30.48 m?" in found["classes"][0]["asked"]
    assert all(not row["tries"] and row["chance_to_pass"] is None for row in found["classes"][0]["table"])
    toml.write_text(toml.read_text("utf8").replace("distance_m = 100\n", 'distance_m = "100 ft"\n'))
    found = data(say("gate", "--group", "Rush", "--json", "--season", str(season)))
    assert found["classes"][0]["asked"] is None


def test_runs_with_another_device_are_not_pooled(say, season) -> None:
    at = ("--season", str(season))
    before = data(say("gate", "--boat", "10", "--json", *at))
    say("log", "--boat", "10", "--guess", "skip", "--device", "Tug", "--distance-m", "12", *at)
    after = data(say("gate", "--boat", "10", "--json", *at))
    assert after["chance_to_pass"] == before["chance_to_pass"]
    assert after["left_out"] == [{"run": 4, "why": "it ran with Tug"}]


def test_whoever_tried_least_is_next(say, season) -> None:
    add_try(say, season, 7, "--distance-m", "20", "--ending", "stopped short")
    found = data(say("gate", "--group", "Rush", "--ramps", "2", "--json", "--season", str(season)))
    assert found["queue"] == [8, 9, 10, 11, 12, 7]
    assert found["minutes_left"] == 36  # 17 tries on two ramps, 4 minutes each


def test_the_sheet_to_post_has_number_and_name_only(say, season, tmp_path) -> None:
    found = data(say("gate", "--out", str(tmp_path), "--json", "--season", str(season)))
    page = (tmp_path / "gate.html").read_text("utf8")
    assert found["files"] == [str(tmp_path / "gate.html")]
    assert "07 Gravel" in page
    assert "crew 1" not in page


@pytest.mark.parametrize(
    "words, sentence",
    [
        (("--group", "Willows"), "Willow"),
        (("--boat", "31"), "31"),
        (("--appeal", "1", "--result", "again"), "--boat N"),
        (("--boat", "8", "--result", "again"), "--appeal K"),
        (("--boat", "8", "--appeal", "2", "--result", "again", "--by", "m", "--reason", "w"), "no try 2"),
    ],
)
def test_bad_input_gets_one_sentence(say, season, words, sentence) -> None:
    said = say("gate", *words, "--season", str(season))
    assert said.status == 2
    assert len(said.err.strip().splitlines()) == 1
    assert sentence in said.err


def test_a_gate_taped_square_is_where_the_rule_wants_it(say: Any, season: Path) -> None:
    """5 m wide at 100 ft: both diagonals are the root of 30.48 squared and 5 squared, 30.887 m, by Pythagoras."""
    said = say("gate", "--group", "Rush", "--diagonals-m", "30.887,30.887", "--season", str(season), "--json")
    found = json.loads(said.out)
    assert found["distance_m"] == pytest.approx(30.48, abs=0.001)
    assert found["aside_m"] == 0
    assert found["findings"] == []


def test_diagonals_that_differ_are_taped_again_and_a_class_must_be_named(say: Any, season: Path) -> None:
    at = ("--season", str(season))
    said = say("gate", "--group", "Rush", "--diagonals-m", "31.0,30.8", *at)
    assert "Tape both again" in said.out
    assert say("gate", "--diagonals-m", "31,31", *at).status == 2
    assert say("gate", "--group", "Rush", "--diagonals-m", "31", *at).status == 2

"""``points --how-sure`` and ``handicap``: keys, words, the demonstration day, and bad input in one sentence each."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

ONE_ROUND = "group,heat,boat,place\nRush,1,7,1\nRush,1,8,2\nRush,1,9,3\n"
TWO_ROUNDS = ONE_ROUND + "Rush,2,7,1\nRush,2,8,3\nRush,2,9,2\n"


def answer(say: Any, *words: str, status: int = 0) -> dict[str, Any]:
    said = say(*words, "--json")
    assert said.status == status, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def written(folder: Path, name: str, text: str) -> str:
    path = folder / name
    path.write_text(text, "utf8")
    return str(path)


def test_one_round_is_too_early(say: Any, tmp_path: Path) -> None:
    found = answer(say, "points", written(tmp_path, "results.csv", ONE_ROUND), "--how-sure")
    (group,) = found["how_sure"]
    assert group["too_early"] is True
    assert group["boats"] == []
    assert "Too early" in say("points", str(tmp_path / "results.csv"), "--how-sure").out


def test_chances_are_shown_only_when_asked_for(say: Any, tmp_path: Path) -> None:
    path = written(tmp_path, "results.csv", TWO_ROUNDS)
    assert "how_sure" not in answer(say, "points", path)
    found = answer(say, "points", path, "--how-sure")
    (group,) = found["how_sure"]
    assert [boat["boat"] for boat in group["boats"]] == [row["boat"] for row in found["table"]]
    assert sum(boat["fastest"] for boat in group["boats"]) == pytest.approx(1.0, abs=1e-3)
    codes = {finding["code"] for finding in found["findings"]}
    assert {"organisers-only", "no-trials"} <= codes


def test_the_demonstration_day_takes_its_trials_in(say: Any, season: Path) -> None:
    found = answer(say, "points", "--how-sure", "--group", "Cress", "--season", str(season))
    (group,) = found["how_sure"]
    assert all(boat["trial_runs"] > 0 for boat in group["boats"])
    assert "no-trials" not in {finding["code"] for finding in found["findings"]}


def test_a_handicapped_race_says_nothing_of_speed(say: Any, season: Path) -> None:
    (group,) = answer(say, "points", "--how-sure", "--group", "Open", "--season", str(season))["how_sure"]
    assert group["boats"] == []
    assert group["too_early"] is False
    assert "handicapped" in group["says"]


def test_a_handicap_of_the_open_race_is_equal_and_written(say: Any, season: Path, tmp_path: Path) -> None:
    out = tmp_path / "starts.csv"
    found = answer(say, "handicap", "--group", "Open", "--season", str(season), "--out", str(out))
    chances = [start["chance"] for start in found["starts"]]
    assert len(chances) == 18
    assert max(chances) - min(chances) < 0.02
    assert max(start["chance_one_line"] for start in found["starts"]) > 0.1
    again = answer(say, "handicap", "--group", "Open", "--season", str(season), "--last", str(out))
    assert [s["distance_m"] for s in again["starts"]] == [s["distance_m"] for s in found["starts"]]
    text = say("handicap", "--boats", "7,12,16", "--season", str(season)).out
    assert "chance" in text
    assert "Fewer than 3 trial runs: 16" in text


def test_a_start_moves_by_the_agreed_step(say: Any, season: Path, tmp_path: Path) -> None:
    last = written(tmp_path, "last.csv", "boat,distance_m\n7,20\n12,30.5\n")
    found = answer(
        say, "handicap", "--boats", "7,12", "--last", last, "--step-m", "0.5", "--season", str(season)
    )
    assert found["starts"][0]["distance_m"] == 20.5
    assert found["starts"][0]["is_held"] is True


def test_boats_with_other_trial_distances_are_asked_about(say: Any, season: Path) -> None:
    found = answer(say, "handicap", "--boats", "1,7", "--season", str(season))
    assert "other-distance" in {finding["code"] for finding in found["findings"]}


@pytest.mark.parametrize(
    "words, says",
    [
        (("--boats", "7"), "race needs two boats"),
        (("--boats", "7,7"), "a boat is named twice"),
        (("--boats", "7;8"), "not a list of boats"),
        (("--boats", "7,99"), "no boat 99"),
        (("--group", "Opne"), 'Did you mean "Open"?'),
        (("--most", "80"), "0 to 60"),
        (("--distance-m", "0.3"), "out of range"),
    ],
)
def test_a_slip_is_one_sentence(say: Any, season: Path, words: tuple[str, ...], says: str) -> None:
    said = say("handicap", *words, "--season", str(season))
    assert said.status == 2
    assert says in said.err
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    "text, says",
    [
        ("boat\n7\n", "distance_m"),
        ("boat,distance_m\n7,far\n", "not a distance"),
        ("boat,distance_m\n7,20\n7,21\n", "boat 7 stands twice"),
    ],
)
def test_a_bad_list_of_last_starts_is_named(
    say: Any, season: Path, tmp_path: Path, text: str, says: str
) -> None:
    last = written(tmp_path, "last.csv", text)
    said = say("handicap", "--boats", "7,8", "--last", last, "--season", str(season))
    assert said.status == 2
    assert says in said.err


# rehearse


def test_the_demonstration_day_is_rehearsed_with_its_label(say: Any, season: Path, tmp_path: Path) -> None:
    found = answer(say, "rehearse", "--days", "300", "--season", str(season), "--out", str(tmp_path / "out"))
    low, high = found["on_time_range"]
    assert 0 < low <= found["on_time"] <= high < 1
    assert found["steady"] == found["planned"] == "15:50"
    assert found["source"] == "our guess, no source"
    assert "our guess, no source" in Path(found["files"][0]).read_text("utf8")
    assert found["best_helper"].startswith("Most valuable: one more boat crew (two adults)")
    assert {cost["what"] for cost in found["costs"]} > {"thunder", "boats hard to fetch"}


def test_an_earlier_end_is_reached_less_often(say: Any, season: Path) -> None:
    words = ("rehearse", "--days", "300", "--season", str(season))
    assert answer(say, *words, "--by", "15:50")["on_time"] < answer(say, *words)["on_time"]


def test_times_that_do_not_fit_the_plan_are_told(say: Any, season: Path) -> None:
    path = season / "rehearsal.toml"
    path.write_text(path.read_text("utf8").replace("fetch_a_boat_s = 55", "fetch_a_boat_s = 85"), "utf8")
    found = answer(say, "rehearse", "--days", "100", "--season", str(season))
    assert "plan-and-times-differ" in {finding["code"] for finding in found["findings"]}


def test_a_season_without_guesses_takes_the_demonstrations_and_says_so(say: Any, season: Path) -> None:
    (season / "rehearsal.toml").unlink()
    found = answer(say, "rehearse", "--days", "100", "--season", str(season))
    assert "no-rehearsal-file" in {finding["code"] for finding in found["findings"]}


def test_the_hands_are_those_of_the_roster(say: Any, season: Path) -> None:
    words = ("rehearse", "--days", "100", "--season", str(season))
    before = say(*words).out
    assert "2 inspectors, 1 armer, 2 timers, 1 boat crew" in before
    path = season / "helpers.csv"
    path.write_text(path.read_text("utf8") + "boat crew,parent Q,,,\nboat crew,parent R,,,\n", "utf8")
    assert "2 boat crews" in say(*words).out
    assert "hands-of-roster" in {finding["code"] for finding in answer(say, *words)["findings"]}
    path.write_text(path.read_text("utf8").replace("start,coach B,,,\n", ""), "utf8")
    found = answer(say, *words)
    assert "roster-not-filled" in {finding["code"] for finding in found["findings"]}


@pytest.mark.parametrize(
    "old, new, says",
    [
        ("raced_again = 0.04", "raced_again = 4", "[trouble] raced_again: not such a number"),
        ("inspectors = 2", "inspectors = 0", "[helpers] inspectors: not such a number"),
        ("spread = 0.25", "", "[heat] spread: this line is missing"),
        ("call_s = 60", "call = 60", "[heat] call_s: this line is missing"),
        ("run_s = 60", "run_s = 60\nrum_s = 3", "[heat] rum_s: unknown name"),
    ],
)
def test_a_slip_in_the_guesses_is_named(say: Any, season: Path, old: str, new: str, says: str) -> None:
    path = season / "rehearsal.toml"
    text = path.read_text("utf8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf8")
    said = say("rehearse", "--season", str(season))
    assert said.status == 2
    assert says in said.err


def test_a_season_without_a_plan_is_told_what_to_write(say: Any, season: Path) -> None:
    (season / "day.toml").unlink()
    said = say("rehearse", "--season", str(season))
    assert said.status == 2
    assert "no day.toml" in said.err


def test_the_guide_shows_what_the_demonstration_says(say: Any, season: Path) -> None:
    guide = (Path(__file__).parents[2] / "docs" / "guides" / "rehearsal.md").read_text("utf8")
    shown = guide.split("```\n")[1].strip().split("\n")
    said = say("rehearse", "--season", str(season)).out.split("\n")
    assert [line for line in shown if line not in said] == []

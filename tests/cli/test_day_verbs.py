"""``call``, ``finish`` and ``mend``: a day from the command line, in a folder and in one season file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from skimwright import app
from skimwright.cli.demo_day import play_day
from skimwright.cli.progress import Progress
from skimwright.cli.verb import Ask


@pytest.fixture(params=["folder", "file"])
def empty_day(request: Any, say: Any, season: Path, tmp_path: Path) -> Path:
    """The demonstration season on the morning of its regatta: opened, ticked, nothing raced."""
    for name in ("results.csv", "holds.csv"):
        (season / name).unlink(missing_ok=True)
    if request.param == "file":
        season_file = tmp_path / "our.season"
        assert say("new", str(season_file), "--from", str(season)).status == 0
        season = season_file
    assert say("hold", "open", "--who", "safety officer", "--at", "2027-05-22T08:05:00+01:00",
               "--season", str(season)).status == 0  # fmt: skip
    told = say("mend", "1-24", "--fit", "--who", "pit steward", "--at", "08:30", "--season", str(season))
    assert told.status == 0, told.err
    return season


@pytest.fixture
def day(say: Any, empty_day: Path) -> Any:
    def run(*words: str, status: int = 0) -> dict[str, Any]:
        said = say(*words, "--season", str(empty_day), "--json")
        assert said.status == status, said.err
        found = json.loads(said.out)
        assert isinstance(found, dict)
        return found

    return run


def test_a_heat_is_called_run_and_finished_by_two_phones(day: Any) -> None:
    assert day("call", "1", "--at", "10:12")["heat"]["state"] == "called"
    assert day("call", "1", "--start", "--at", "10:15")["on_water"] == [1]
    words = ("finish", "1", "5", "3=6", "2", "1", "4:dnf", "--at", "10:18")
    first = day(*words, "--phone", "finish A")
    assert first["heat"]["waits_for"].startswith("the second finish phone")
    second = day(*words, "--phone", "finish B")
    assert second["heat"]["result"] == {
        "05": "1", "03": "2=", "06": "2=", "02": "4", "01": "5", "04": "not finished",
    }  # fmt: skip
    assert second["ahead"][0] == 2
    assert day("points", "--group", "Cress")["table"][0]["boat"] == 5


def test_the_same_words_with_the_same_key_are_counted_once(day: Any) -> None:
    words = (
        "finish",
        "1",
        "5",
        "3",
        "6",
        "2",
        "1",
        "4",
        "--phone",
        "finish A",
        "--key",
        "a7",
        "--at",
        "10:18",
    )
    assert len(day(*words)["files"]) == 1
    again = day(*words)
    assert again["files"] == []
    assert "counted once" in again["did"]


def test_the_marshal_decides_and_a_corrected_table_says_so(day: Any, say: Any, empty_day: Path) -> None:
    day("finish", "1", "5", "3", "6", "2", "1", "4", "--phone", "finish A", "--at", "10:18")
    told = day("finish", "1", "3", "5", "6", "2", "1", "4", "--phone", "finish B", "--at", "10:18")
    assert told["heat"]["waits_for"] == "the marshal: the finish phones differ"
    day("finish", "1", "5", "3", "6", "2", "1", "4", "--decide", "film", "--who", "marshal", "--at", "10:20")
    assert day("points")["corrected_heats"] == {"Cress": []}
    day("finish", "1", "1:4", "2:5", "--correct", "another film", "--who", "scorer", "--at", "10:25")
    assert day("points")["corrected_heats"] == {"Cress": [1]}
    text = say("points", "--season", str(empty_day)).out
    assert "Corrected: heat 1" in text


def test_a_withdrawal_tells_every_crew_what_is_new(day: Any) -> None:
    told = day("call", "--without", "24", "--why", "hull broken", "--at", "12:10")
    assert {change["boat"] for change in told["changes"]} >= {24}
    assert all(change["now"] is None for change in told["changes"] if change["boat"] == 24)


def test_a_mended_boat_says_what_its_patch_does(day: Any) -> None:
    told = day("mend", "13", "--patch", "6@30,100", "--at", "11:00")  # as --what patch
    assert told["boats"][0]["must_be_weighed"] is True
    assert told["patch"]["mass_g"] == 277
    assert (
        day("mend", "13", "--mass-g", "276.5", "--fit", "--at", "11:05")["boats"][0]["weighed"] == "276.5 g"
    )


def test_crews_take_turns_at_qualifying_and_a_late_one_has_its_own_place(
    day: Any, say: Any, empty_day: Path
) -> None:
    told = day("call", "--queue", "3,18", "--at", "09:00")
    assert told["queue_ends"] == "09:12"  # 6 tries, 2 ramps, 4 min
    day("call", "--tried", "3", "--ended", "ran wide", "--at", "09:04")
    told = day("call", "--queue", "5", "--at", "09:05")
    assert [crew["boat"] for crew in told["queue"]] == [18, 5, 3]
    assert day("call", "--tried", "18", "--ended", "through", "--at", "09:08")["qualified"] == [18]
    text = say("call", "--season", str(empty_day), "--at", "09:09").out
    assert "Qualifying, next first: 05 Marrow Jam (3 left), 03 Lamplight (2 left)." in text


BAD = {
    "no such end of a try": (["call", "--tried", "3", "--ended", "missed"], "no such end of a try"),
    "no such heat": (["call", "26"], "there is no heat 26 today"),
    "heat in words": (["call", "first"], "HEAT"),
    "out of turn": (["call", "3"], "eat 1 comes before heat 3"),
    "started before called": (["call", "1", "--start"], "has not been called"),
    "start of nothing": (["call", "--start"], "which heat"),
    "two acts": (["call", "1", "--start", "--publish"], "two things at once"),
    "withdrawal without a reason": (["call", "--without", "24"], "without a reason"),
    "boat not entered": (["call", "--without", "31", "--why", "x"], "oat 31 is not entered"),
    "no such choice": (["call", "1", "--missing", "4", "--choose", "wiat"], 'Did you mean "wait"?'),
    "moment in words": (["call", "--at", "noon"], "not a moment"),
    "no boats": (["finish", "1", "--phone", "A"], "no boats"),
    "no phone": (["finish", "1", "5", "3", "6", "2", "1", "4"], "which finish phone"),
    "boat left out": (["finish", "1", "5", "3", "--phone", "A"], "what did 04, 06, 01, 02" ),
    "boat twice": (["finish", "1", "5", "5", "--phone", "A"], "oat 5 is named twice"),
    "boat of another heat": (["finish", "1", "5", "3", "6", "2", "1", "7", "--phone", "A"], "a boat of heats 2"),
    "boat in words": (["finish", "1", "Button", "--phone", "A"], "not a boat number"),
    "decision without words": (["finish", "1", "5", "--decide", ""], "without a reason"),
    "correction without a place": (["finish", "1", "5", "--correct", "film"], "no new result for this boat"),
    "correction of nothing": (["finish", "1", "5:2", "--correct", "film"], "has no result yet"),
    "re-run of nothing": (["finish", "1", "--rerun", "swan"], "has not been raced"),
    "ruling on nothing": (["finish", "1", "--rule", "no"], "no protest about heat 1"),
    "tick before the scale": (["mend", "99", "--fit"], "oat 99 is not entered"),
    "mend of nothing known": (["mend", "7", "--what", "smash"], "crash, water, device moved, patch"),
    "patch not weighed": (["mend", "7", "--what", "patch", "--patch", "?@30,100"], "nobody weighed the patch"),
    "patch in words": (["mend", "7", "--what", "patch", "--patch", "small"], "not a patch"),
    "patch alone, in words": (["mend", "7", "--patch", "small"], "not a patch"),
    "unfit without words": (["mend", "7", "--unfit", ""], "without a reason"),
    "two boats on a scale": (["mend", "7-8", "--mass-g", "270"], "more than one boat"),
    "boats turned round": (["mend", "9-7", "--fit"], "the last boat comes before the first"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
@pytest.mark.parametrize("empty_day", ["folder"], indirect=True)
def test_a_bad_line_gets_one_sentence_and_adds_nothing(say: Any, empty_day: Path, name: str) -> None:
    words, expected = BAD[name]
    before = (empty_day / "results.csv").read_bytes()
    at = [] if "--at" in words else ["--at", "10:15"]
    said = say(*words, *at, "--season", str(empty_day))
    assert said.status == 2
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert expected.casefold() in said.err.casefold()
    assert (empty_day / "results.csv").read_bytes() == before


def test_a_season_without_a_plan_says_so(say: Any, season: Path) -> None:
    (season / "day.toml").unlink()
    said = say("call", "--season", str(season))
    assert (said.status, said.err.count("\n")) == (2, 1)
    assert "no plan of the regatta day" in said.err


def test_the_demonstrations_log_is_what_its_commands_write_and_playing_them_twice_adds_nothing(
    tmp_path: Path, season: Path
) -> None:
    ask = Ask(given={}, files=app.Disk(), progress=Progress(None, is_terminal=False))
    told, _ = play_day(ask, tmp_path / "day")
    assert (tmp_path / "day" / "results.csv").read_bytes() == (season / "results.csv").read_bytes()
    words = " ".join(command for command, _ in told)
    assert all(each in words for each in ("--without 24", "--decide", "--correct", "--rerun", "thunder"))
    first = {path: path.read_bytes() for path in (tmp_path / "day").iterdir() if path.is_file()}
    play_day(ask, tmp_path / "day")
    assert {path: path.read_bytes() for path in (tmp_path / "day").iterdir() if path.is_file()} == first

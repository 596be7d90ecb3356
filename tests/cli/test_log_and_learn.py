"""`log` and `learn` as a crew meets them: slips asked about, nothing lost, and a forecast that moves."""

from __future__ import annotations

import json
import os
import select
import signal
import time
from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.desk import RUN_COLUMNS, read_runs, read_season
from skimwright.desk.race.day_papers.pond_side import ENDINGS as ENDING_LEGEND
from skimwright.desk.trials.log_run_demo import demo_rows

DEMO = Path(app.__file__).parent / "demo_season"


def logged(season: Path) -> list[dict[str, str]]:
    rows = store.read_rows(season / "runs.csv").rows
    return [{name: row.cells.get(name, "") for name in RUN_COLUMNS} for row in rows]


def data(said) -> dict:
    assert said.status == 0, said.err
    return json.loads(said.out)


def test_the_demonstration_log_is_what_its_law_and_seed_make() -> None:
    season = read_season(store.read_tables(DEMO))
    assert logged(DEMO) == [{name: row[name] for name in RUN_COLUMNS} for row in demo_rows(season)]


def test_every_slip_of_the_demonstration_log_is_asked_about() -> None:
    tables = store.read_tables(DEMO)
    log = read_runs(tables.runs, read_season(tables))
    found = {(f.code, f.where) for f in log.findings}
    assert ("time-slip", "boat 08, run 2") in found
    assert ("distance-in-feet", "boat 12, run 3") in found
    assert ("run-logged-twice", "boat 09, run 2") in found
    assert any(code == "row-left-out" and where.startswith("boat 31") for code, where in found)
    assert any(code == "clock-off" for code, _ in found)
    assert len(found) == 5
    assert len(log.book.runs) == 72
    assert log.book.of(15)[0].result.drift is None
    assert log.book.of(10)[0].result.distance == pytest.approx(56.7)


def test_a_run_is_logged_with_its_guess_first(say, season) -> None:
    at = ("--season", str(season))
    before = len(logged(season))
    assert say("log", "--boat", "24", "--distance-m", "48", *at).status == 2
    assert say("log", "--boat", "24", "--guess", "ran wide", *at).status == 0
    told = data(say("log", "--boat", "24", "--distance-m", "48", "--gate-time-s", "5.05", "--json", *at))
    assert (told["run"], told["runs"], told["added"]) == (4, 4, 1)
    late = say("log", "--boat", "24", "--run", "4", "--guess", "through the gate", *at)
    assert late.status == 2
    assert "locked" in late.err
    assert len(logged(season)) == before + 2
    shown = data(say("log", "--boat", "24", "--json", *at))
    assert shown["log"][-1]["guess"] == "ran wide"
    assert shown["log"][-1]["drift_m"] is None


def test_the_same_entry_twice_is_one_run(say, season) -> None:
    words = (
        "log",
        "--boat",
        "24",
        "--run",
        "4",
        "--guess",
        "skip",
        "--distance-m",
        "48",
        "--season",
        str(season),
    )
    assert data(say(*words, "--json"))["added"] == 1
    assert data(say(*words, "--json"))["added"] == 0


@pytest.mark.parametrize(
    "slip, question",
    [
        (("--gate-time-s", "50.5"), "5.05 s"),
        (("--distance-m", "157"), "157 ft = 47.9 m"),
        (("--wind-m-s", "9"), "9 km/h = 2.5 m/s"),
        (("--ending", "hooks"), "hooked"),
        (("--distance-m", "long"), "long"),
    ],
)
def test_a_slip_is_asked_about_before_it_is_written(say, season, slip, question) -> None:
    before = (season / "runs.csv").read_bytes()
    said = say("log", "--boat", "9", "--guess", "skip", *slip, "--season", str(season))
    assert said.status == 2
    assert question in said.err
    assert (season / "runs.csv").read_bytes() == before


def test_a_unit_behind_the_number_answers_the_question(say, season) -> None:
    said = say(
        "log", "--boat", "9", "--guess", "skip", "--distance-m", "157ft", "--json", "--season", str(season)
    )
    assert float(data(said)["row"]["distance_m"]) == pytest.approx(47.85, abs=0.01)


def test_a_boat_nobody_knows_is_refused(say, season) -> None:
    said = say("log", "--boat", "31", "--guess", "skip", "--distance-m", "40", "--season", str(season))
    assert said.status == 2
    assert "no boat 31" in said.err


def test_a_correction_keeps_both_and_needs_its_run(say, season) -> None:
    at = ("--season", str(season))
    assert say("log", "--boat", "8", "--gate-time-s", "5.06", "--correct", "slip", *at).status == 2
    said = data(
        say("log", "--boat", "8", "--run", "2", "--gate-time-s", "5.06", "--correct", "slip", "--json", *at)
    )
    assert said["entry"] == "correction"
    shown = data(say("log", "--boat", "8", "--json", *at))
    assert shown["log"][1]["gate_time_s"] == 5.06
    assert shown["log"][1]["corrected"][0]["reason"] == "slip"
    assert not shown["findings"]


def test_a_paper_form_typed_in_twice_is_in_once(say, season, tmp_path) -> None:
    form = tmp_path / "form.csv"
    form.write_text(
        "boat;run;distance_m;gate_time_s;drift_m;guess\n21;4;47,5;5,1;;skip\n22;4;44;5.2;-1;ran wide\nx;1;3;;;\n",
        "utf8",
    )
    at = ("--season", str(season), "--json")
    first = data(say("log", "--file", str(form), *at))
    assert first["added"] == 2
    assert any("row 4" in f["what"] for f in first["findings"])
    assert data(say("log", "--file", str(form), *at))["added"] == 0


def test_a_paper_form_keeps_its_letters_and_its_gaps(say, season, tmp_path) -> None:
    form = tmp_path / "form.csv"
    form.write_text(
        "boat,run,distance_m,gate_time_s,drift_m,ending,guess\n9,14,44,5.1,1.0,G,skip\n9,15,?,,,?,skip\n",
        "utf8",
    )
    at = ("--season", str(season), "--json")
    found = data(say("log", "--file", str(form), *at))
    assert found["added"] == 2
    assert any("distance_m, ending could not be read" in f["what"] for f in found["findings"])
    shown = data(say("log", "--boat", "9", *at))["log"]
    assert [run["ending"] for run in shown[-2:]] == ["through the gate", None]
    assert shown[-1]["distance_m"] is None


@pytest.mark.parametrize("part", ENDING_LEGEND.split("  "))
def test_every_letter_of_the_printed_run_log_can_be_typed(part: str, say, season) -> None:
    letter, word = part.split(" ", 1)
    said = say("log", "--boat", "7", "--guess", "skip", "--ending", letter, "--json", "--season", str(season))
    assert word in data(said)["row"]["ending"]


def test_an_unknown_ending_lists_the_endings_once(say, season) -> None:
    said = say("log", "--boat", "7", "--guess", "skip", "--ending", "Q", "--season", str(season))
    assert said.status == 2
    assert said.err.count("ran wide") == 1


def test_a_run_can_be_logged_where_no_log_was(say, season) -> None:
    (season / "runs.csv").unlink()
    said = say(
        "log", "--boat", "7", "--guess", "skip", "--distance-m", "44", "--json", "--season", str(season)
    )
    assert data(said)["runs"] == 1


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a child that can be killed")
def test_nothing_acknowledged_is_lost_when_the_process_is_killed(tmp_path: Path) -> None:
    path, acknowledged = tmp_path / "runs.csv", 0
    for kill in range(200):
        read, write = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                for number in range(acknowledged + 1, acknowledged + 10_000):
                    store.add_rows(path, ("boat", "run"), [{"boat": "07", "run": str(number)}])
                    os.write(write, number.to_bytes(4, "big"))
            finally:
                os._exit(0)
        os.close(write)
        first = int.from_bytes(os.read(read, 4), "big")
        time.sleep(0.0005 * (kill % 7))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        said = os.read(read, 1 << 16) if select.select([read], [], [], 0)[0] else b""
        os.close(read)
        runs = [int(row.cells["run"]) for row in store.read_rows(path).rows]
        assert runs == list(range(1, len(runs) + 1))
        last = int.from_bytes(said[-4:], "big") if said else first
        assert len(runs) >= last > acknowledged
        acknowledged = len(runs)


def test_learning_moves_the_forecast_and_says_what_it_cannot(say) -> None:
    words = ("learn", "--boat", "1", "--runs", "250", "--season", str(DEMO))
    known = data(say(*words, "--json"))
    assert known["runs_used"] == 2
    assert known["left_out"] == [{"run": 1, "why": "it ended otherwise: hooked"}]
    assert known["forecast"]["tested"] is True
    assert known["shift"]["distance_m"]["after"] > known["shift"]["distance_m"]["before"]
    assert known["effective_sample"] >= 400
    assert {n["what"] for n in known["not_learned"]} >= {"the lift of the pads", "the blow-over margin"}
    assert known["next_test"]["do"]
    assert known["next_test"]["minutes"] >= 0
    assert data(say(*words, "--json")) == known
    page = say(*words).out
    assert "ntested" not in page
    assert "cannot teach" in page


def test_a_bundle_of_changes_gets_no_credit(say) -> None:
    known = data(say("learn", "--boat", "16", "--runs", "200", "--season", str(DEMO), "--json"))
    assert "change one and run it" in known["changes"][0]["says"]
    assert known["changes"][0]["drift_m"] is None


def test_learning_without_a_boat_asks_which(say) -> None:
    said = say("learn", "--season", str(DEMO))
    assert said.status == 2
    assert "--boat" in said.err

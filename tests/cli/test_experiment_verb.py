"""``experiment`` as a teacher types it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def experiment(say: Any, season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Any:
    """Runs ``experiment`` on the demonstration season."""
    monkeypatch.chdir(tmp_path)
    return lambda *words: say("experiment", *words, "--season", str(season))


def data(said: Any) -> dict[str, Any]:
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def test_all_cards_on_paper(experiment: Any, tmp_path: Path) -> None:
    found = data(experiment("--boat", "7", "--out", str(tmp_path / "out"), "--json"))
    assert len(found["experiments"]) == 7
    assert {each["band"] for each in found["experiments"]} == {"Rush"}
    assert Path(found["files"][0]).read_bytes()[:5] == b"%PDF-"


def test_readings_become_a_result(experiment: Any) -> None:
    found = data(experiment("tow", "--band", "Reed", "--readings", "weight_g=0.27kg,parts=3,way_m=3,time_s=0.85",
                            "--json"))["experiments"][0]  # fmt: skip
    assert {step["answer"] for step in found["result"]} == {"3.53 m/s", "0.79 N"}


def test_a_missing_reading_gives_no_result(experiment: Any) -> None:
    found = data(experiment("tow", "--readings", "weight_g=270", "--json"))["experiments"][0]
    assert found["result"] == []


def test_a_fair_test_gives_runs_for_this_crew_and_the_reason_against_two_changes(experiment: Any) -> None:
    one = data(experiment("fair-test", "--boat", "7", "--change", "mass", "--json"))
    assert one["clear"]
    assert one["best"] == "clock"
    assert all(ruler["runs_each_way"] >= 3 for ruler in one["rulers"])
    two = data(experiment("fair test", "--boat", "7", "--change", "mass,blade-yaw", "--json"))
    assert not two["clear"]
    assert two["rulers"] == []


@pytest.mark.parametrize(
    "words, says",
    [
        (("swing",), "no such experiment"),
        (("fair-test",), "--boat"),
        (("tow", "--change", "mass"), "belongs to a fair test"),
        (("fair-test", "--boat", "7", "--change", "swagger"), "no such change"),
        (("--readings", "time_s=2"), "belong to one experiment"),
        (("tow", "--readings", "time_s"), "NAME=VALUE"),
        (("tow", "--readings", "time=2"), "not a reading"),
        (("tow", "--readings", "time_s=0"), "out of range"),
        (("tow", "--readings", "time_s=soon"), "time_s"),
        (("with-without", "--readings", "with_runs=5.1"), "one run tells nothing"),
        (("tow", "--band", "Moss"), "no such age band"),
    ],
)
def test_bad_input_is_one_sentence(experiment: Any, words: tuple[str, ...], says: str) -> None:
    said = experiment(*words)
    assert said.status == 2
    assert says in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert not said.out

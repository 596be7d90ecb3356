"""``explain`` as a teacher types it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def explain(say: Any, season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Any:
    """Runs ``explain`` on the demonstration season with few runs."""
    monkeypatch.chdir(tmp_path)
    return lambda *words: say("explain", *words, "--season", str(season))


def data(said: Any) -> dict[str, Any]:
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def test_one_number_with_its_steps_range_and_sources(explain: Any) -> None:
    found = data(explain("gate-time", "--boat", "7", "--band", "Rush", "--runs", "60", "--json"))
    (number,) = found["numbers"]
    assert number["number"] == "gate-time"
    assert number["band"] == "Rush"
    assert number["value"].endswith(" s")
    assert number["steps"][-1]["answer"] == number["value"]
    assert number["range"]
    assert {"key", "where", "status", "use"} == set(number["sources"][0])


def test_it_says_the_same_number_as_the_forecast(explain: Any, say: Any, season: Path) -> None:
    number = data(explain("distance", "--boat", "8", "--band", "Willow", "--runs", "80", "--json"))[
        "numbers"
    ][0]
    cast = json.loads(say("forecast", "--boat", "8", "--runs", "80", "--json", "--season", str(season)).out)
    assert number["value"] == f"{cast['distance_m']['p50']:.1f} m"


def test_all_numbers_go_on_paper(explain: Any, tmp_path: Path) -> None:
    found = data(explain("all", "--boat", "3", "--runs", "60", "--out", str(tmp_path / "out"), "--json"))
    assert len(found["numbers"]) == 12
    assert {number["band"] for number in found["numbers"]} == {"Cress"}
    assert [Path(name).name for name in found["files"]] == ["explain-boat-03-all.pdf"]
    assert Path(found["files"][0]).read_bytes()[:5] == b"%PDF-"


@pytest.mark.parametrize(
    "words, says",
    [
        (("--boat", "7"), "NUMBER"),
        (("drift",), "--boat"),
        (("speed", "--boat", "7"), "top-speed"),
        (("drift", "--boat", "7", "--band", "Moss"), "no such age band"),
        (("drift", "--boat", "77"), "no boat 77"),
        (("drift", "--boat", "20"), "13.5 oz"),
    ],
)
def test_bad_input_is_one_sentence_and_nothing_is_run(
    explain: Any, words: tuple[str, ...], says: str
) -> None:
    said = explain(*words)
    assert said.status == 2
    assert says in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert not said.out

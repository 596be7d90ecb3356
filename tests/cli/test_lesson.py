"""``lesson`` as a teacher types it: files, bands, blanks, and one sentence for bad input."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def lesson(say: Any, season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Any:
    """Runs ``lesson`` on the demonstration season."""
    monkeypatch.chdir(tmp_path)
    return lambda *words: say("lesson", *words, "--season", str(season))


def data(said: Any) -> dict[str, Any]:
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def test_a_group_gets_one_file_to_print_and_the_key_apart(lesson: Any, tmp_path: Path) -> None:
    found = data(lesson("--group", "Rush", "--key", "--out", str(tmp_path / "out"), "--json"))
    assert [Path(name).name for name in found["files"]] == ["lesson-rush.pdf", "key-rush.pdf"]
    assert all(Path(name).read_bytes()[:5] == b"%PDF-" for name in found["files"])
    assert [sheet["boat"] for sheet in found["sheets"]] == [7, 8, 9, 10, 11, 12]
    assert all(sheet["reading_grade"] <= sheet["reading_limit"] == 5 for sheet in found["sheets"])


def test_without_key_no_key_is_written(lesson: Any, tmp_path: Path) -> None:
    assert data(lesson("--boat", "7", "--json"))["files"] == ["lesson-boat-07.pdf"]
    assert not list(tmp_path.glob("key*"))


def test_a_class_set_of_24_with_keys_takes_under_10_seconds_of_processor(lesson: Any) -> None:
    begin = time.process_time()
    found = data(lesson("--group", "all", "--key", "--json"))
    assert len(found["sheets"]) == 24
    assert time.process_time() - begin < 10.0


@pytest.mark.parametrize("word, band", [("cress", "Cress"), ("7", "Reed"), ("1", "Cress"), ("9", "Willow")])
def test_the_band_may_be_a_name_or_a_reading_grade(lesson: Any, word: str, band: str) -> None:
    assert data(lesson("--boat", "7", "--band", word, "--json"))["sheets"][0]["band"] == band


def test_a_missing_measurement_is_null_and_said(lesson: Any) -> None:
    found = data(lesson("--boat", "20", "--json"))
    assert found["sheets"][0]["answers"]["momentum"] is None
    assert found["sheets"][0]["answers"]["speed"] == "5.93 m/s"
    assert "lesson-blank" in {finding["code"] for finding in found["findings"]}


def test_an_edited_fact_is_told(lesson: Any) -> None:
    found = data(lesson("--boat", "7", "--edit", "mass_g=12oz", "--json"))
    assert found["sheets"][0]["edited"] == ["mass 340 g"]


@pytest.mark.parametrize(
    "words, says",
    [
        ((), "ne boat or one group is needed"),
        (("--boat", "7", "--group", "Rush"), "got both"),
        (("--boat", "77"), "no boat 77"),
        (("--group", "Rusch"), "Rush"),
        (("--boat", "7", "--band", "Moss"), "no such age band"),
        (("--boat", "7", "--band", "12"), "Which band is the sheet for?"),
        (("--boat", "7", "--band", "0"), "Which band is the sheet for?"),
        (("--boat", "7", "--paper", "a5"), "a4 or letter"),
        (("--boat", "7", "--edit", "mass_g"), "NAME=VALUE"),
        (("--boat", "7", "--edit", "crew=Mia"), "not a fact"),
        (("--boat", "7", "--edit", "mass_g=-3"), "out of range"),
        (("--boat", "7", "--edit", "mass_g=heavy"), "--edit mass_g"),
        (("--group", "Rush", "--edit", "mass_g=300"), "one boat at a time"),
    ],
)
def test_bad_input_is_one_sentence_and_writes_nothing(
    lesson: Any, words: tuple[str, ...], says: str, tmp_path: Path
) -> None:
    said = lesson(*words)
    assert said.status == 2
    assert says in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert not said.out
    assert not list(tmp_path.glob("*.pdf"))

"""``notes``, ``training`` and ``wall`` as a teacher types them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def school(say: Any, season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Any:
    """Runs a verb on the demonstration season."""
    monkeypatch.chdir(tmp_path)
    return lambda *words: say(*words, "--season", str(season))


def data(said: Any) -> dict[str, Any]:
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert isinstance(found, dict)
    return found


def test_all_notes_on_paper(school: Any, tmp_path: Path) -> None:
    found = data(school("notes", "--out", str(tmp_path / "out"), "--json"))
    assert len(found["notes"]) == 10
    assert Path(found["files"][0]).read_bytes()[:5] == b"%PDF-"


def test_an_edited_fact_is_marked(school: Any) -> None:
    note = data(school("notes", "floats", "--edit", "2=Our water is salty.", "--json"))["notes"][0]
    assert note["facts"][1] == {"says": "Our water is salty.", "edited_here": True}


def test_a_training_day_and_its_answers_once_more(school: Any) -> None:
    whole = data(school("training", "--set", "4", "--json"))
    again = data(school("training", "--set", "4", "--answers", "--json"))
    assert [boat["answer"] for boat in whole["boats"]] == [boat["answer"] for boat in again["boats"]]
    assert whole["files"] == ["training-set-4.pdf"]
    assert again["files"] == ["training-answers-set-4.pdf"]


def test_the_wall_says_who_is_next(school: Any, tmp_path: Path) -> None:
    marks = tmp_path / "marks.csv"
    marks.write_text("boat,step,said,minute\n7,1,done,5\n8,1,help,6\n", "utf8")
    found = data(
        school("wall", "--group", "Rush", "--marks", str(marks), "--minute", "10", "--out", "out", "--json")
    )
    assert found["next"][0]["boat"].startswith("08")
    assert found["next"][0]["waits_min"] == 4
    assert Path(found["files"][0]).name == "wall-rush.pdf"


def test_the_wall_of_one_group_takes_the_seasons_marks_of_all(school: Any, tmp_path: Path) -> None:
    marks = tmp_path / "marks.csv"
    marks.write_text("boat,step,said,minute\n1,1,help,3\n8,1,help,6\n19,1,done,7\n", "utf8")
    found = data(school("wall", "--group", "Rush", "--marks", str(marks), "--json"))
    assert [turn["boat"][:2] for turn in found["next"] if turn["why"] == "help"] == ["08"]


@pytest.mark.parametrize(
    "words, says",
    [
        (("notes", "magic"), "no such topic"),
        (("notes", "--edit", "2=x"), "one topic at a time"),
        (("notes", "floats", "--edit", "x"), "NUMBER=SENTENCE"),
        (("notes", "floats", "--edit", "9=x"), "no such fact"),
        (("training", "--set", "0"), "--set"),
        (("wall",), "--group"),
        (("wall", "--group", "Moss"), "no such group"),
        (("wall", "--group", "Rush", "--marks", "none.csv"), "none.csv"),
    ],
)
def test_bad_input_is_one_sentence(school: Any, words: tuple[str, ...], says: str) -> None:
    said = school(*words)
    assert said.status == 2
    assert says in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert not said.out

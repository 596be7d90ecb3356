"""Lessons and the adults' pages in another language."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


@pytest.mark.parametrize(
    "words",
    [
        ("lesson", "--boat", "7", "--key"),
        ("explain", "drift", "--boat", "7", "--runs", "40"),
        ("experiment", "tow"),
        ("notes", "drift"),
        ("training",),
        ("wall", "--group", "Rush"),
    ],
    ids=lambda words: words[0],
)
def test_every_verb_of_the_classroom_speaks_german(
    say: Any, season: Path, tmp_path: Path, words: Any
) -> None:
    said = say(*words, "--language", "DE", "--out", str(tmp_path / "out"), "--json", "--season", str(season))
    assert said.status == 0, said.err
    found = json.loads(said.out)
    assert all(Path(name).read_bytes()[:5] == b"%PDF-" for name in found["files"])
    assert not [f for f in found.get("findings", []) if f["code"] == "lesson-words"]


def test_a_language_that_is_not_there_is_one_sentence(say: Any, season: Path) -> None:
    said = say("notes", "--language", "xx", "--season", str(season))
    assert said.status == 2
    assert "de, en" in said.err
    assert len(said.err.strip().splitlines()) == 1

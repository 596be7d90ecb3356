"""Two kits side by side, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


def compared(say: Any, season: Path, *kits: str) -> dict[str, Any]:
    said = say("compare", *kits, "--season", str(season), "--json")
    assert said.status == 0, said.err
    return json.loads(said.out)


def test_a_kit_and_itself_differ_in_nothing(say: Any, season: Path) -> None:
    found = compared(say, season, "Fold 62", "Fold 62")
    assert (found["numbers"], found["parts"], found["unmatched"]) == ([], [], [])
    assert found["parts_the_same"] == 16


def test_one_number_changed_is_named_with_the_parts_it_touches(
    say: Any, season: Path, tmp_path: Path
) -> None:
    """A pad 10 mm longer adds 2 x 10 mm x 55 mm of 450 g/m2 board, about half a gram: by hand."""
    drawn = (season / "kits" / "fold-62.toml").read_text("utf8")
    ours = tmp_path / "ours.toml"
    ours.write_text(
        drawn.replace("pad_length_mm = 70 ", "pad_length_mm = 80 ").replace('"Fold 62"', '"Ours"'), "utf8"
    )
    found = compared(say, season, "Fold 62", str(ours))
    assert [(n["number"], n["before"], n["after"]) for n in found["numbers"]] == [
        ("Running pads: length", "70", "80")
    ]
    pad = next(part for part in found["parts"] if part["part"] == "PAD-1")
    assert pad["mass_added_g"] == pytest.approx(2 * 0.010 * 0.055 * 450, rel=0.02)  # the pad slopes 4 deg
    assert "DECK-1" not in [part["part"] for part in found["parts"]]


@pytest.mark.parametrize("kits", [[], ["Fold 62"], ["Fold 50", "Fold 62", "Fold 74"]])
def test_two_kits_are_compared_not_one_nor_three(say: Any, season: Path, kits: list[str]) -> None:
    said = say("compare", *kits, "--season", str(season))
    assert said.status == 2
    assert "Traceback" not in said.err

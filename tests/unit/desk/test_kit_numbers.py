"""A kit file edited as text: every other line stays, and what is read back is what was typed."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from skimwright import app, desk
from skimwright.base import ConflictError, InputError

FILE = Path(app.__file__).parent / "demo_season" / "kits" / "fold-50.toml"
TEXT = FILE.read_text("utf8")
TABLE = tomllib.loads(TEXT)
KIT = desk.read_kit(TABLE, file="fold-50.toml")
NUMBERS = desk.kit_numbers(TABLE, KIT)


def test_every_number_of_the_design_has_a_box() -> None:
    keys = {number.key for number in NUMBERS}
    assert keys == {*TABLE["design"], "thickness_mm", "areal_density_g_m2", "scale"}


def test_only_the_changed_lines_change() -> None:
    changes = desk.changed_numbers(NUMBERS, {"length_mm": "640,5", "scale": "1", "thickness_mm": "3"})
    new = desk.kit_text(TEXT, changes, name="Fold 51").split("\n")
    kept = set(TEXT.split("\n"))
    assert [line for line in new if line not in kept] == [
        "# Fold 51: Fold 50 with other numbers.",
        'name = "Fold 51"',
        "scale = 1   # every length of [design] times this; the board stays as it is",
        "thickness_mm = 3",
        "length_mm = 640.5",
    ]


def test_a_number_that_was_left_to_its_usual_value_gets_a_line_of_its_own() -> None:
    text = TEXT.replace("floor_rear_mm = 0         # floor at the transom\n", "").replace(
        "scale = 0.80645161", "# scale"
    )
    table = tomllib.loads(text)
    numbers = desk.kit_numbers(table, desk.read_kit(table, file="x"))
    changes = desk.changed_numbers(numbers, {"floor_rear_mm": "2", "scale": "0.9"})
    new = tomllib.loads(desk.kit_text(text, changes, name="Low"))
    assert (new["design"]["floor_rear_mm"], new["scale"], new["name"]) == (2, 0.9, "Low")


@pytest.mark.parametrize("typed", ["12.5 in", '1"; x = 1', "a\nb = 2", "\\", "'"])
def test_words_with_quotes_stay_one_value(typed: str) -> None:
    changes = desk.changed_numbers(NUMBERS, {"length_mm": typed})
    try:
        text = desk.kit_text(TEXT, changes, name="Odd")
    except ConflictError:
        return
    assert tomllib.loads(text)["design"]["length_mm"] == typed
    assert set(tomllib.loads(text)) == set(TABLE)


def test_a_file_written_otherwise_is_left_to_an_editor() -> None:
    text = 'name = "Odd"\nform = "three-point"\ndesign = {length_mm = 620}\nboard = {thickness_mm = 5}\n'
    table = tomllib.loads(text)
    numbers = desk.kit_numbers(table, KIT)
    with pytest.raises(ConflictError, match="cannot be edited here"):
        desk.kit_text(text, desk.changed_numbers(numbers, {"length_mm": "630"}), name="New")


@pytest.mark.parametrize("name", ["", "  ", "---", "x" * 61])
def test_no_name_is_no_name(name: str) -> None:
    with pytest.raises(InputError, match="not a name for a kit"):
        desk.new_kit_name(name, {})


def test_names_that_would_share_a_file_are_refused() -> None:
    with pytest.raises(ConflictError, match="there is a kit of this name"):
        desk.new_kit_name("fold-50!", {"Fold 50": KIT})

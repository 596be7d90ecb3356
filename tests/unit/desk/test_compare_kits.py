"""What a change of the drawing does, part by part."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from skimwright import app, desk
from skimwright.boat import board_mass

KITS = Path(app.__file__).parent / "demo_season" / "kits"


def table(name: str) -> dict:
    return tomllib.loads((KITS / f"{name}.toml").read_text("utf8"))


def kit(name: str = "fold-62", **typed: str) -> desk.Kit:
    given = table(name)
    numbers = desk.kit_numbers(given, desk.read_kit(given, file=name))
    return desk.redrawn_kit(given, desk.changed_numbers(numbers, typed), file=name)


def test_a_kit_against_itself_has_no_change() -> None:
    made = desk.compare_kits(kit(), kit())
    assert (made.numbers, made.parts, made.same) == ((), (), 16)
    assert all(off == "" for *_, off in made.effects)


@pytest.mark.parametrize("typed", [{"length_mm": "650"}, {"beam_mm": "300"}, {"pod_rear_mm": "300"}])
def test_the_changes_of_the_parts_add_up_to_the_change_of_the_board(typed: dict[str, str]) -> None:
    before, after = kit(), kit(**typed)
    made = desk.compare_kits(before, after)
    whole = board_mass(after).mass - board_mass(before).mass
    assert sum(part.mass for part in made.parts) == pytest.approx(whole, abs=1e-9)
    assert len(made.parts) + made.same == 16


def test_a_wider_cradle_moves_the_cheeks_and_nothing_else() -> None:
    made = desk.compare_kits(kit(), kit(cradle_spread_mm="36"))
    assert [part.part for part in made.parts] == ["CRADLE-1"]
    assert made.numbers == (("Device cradle: between its cheeks", "mm", "32", "36"),)


def test_a_kit_with_a_part_more_says_which_is_unmatched() -> None:
    more = table("fold-62")
    more["parts"] = [
        {"name": "SHELF-1", "outline_mm": [[0, 0], [60, 0], [60, 40], [0, 40]], "origin_mm": [300, 0, 80]}
    ]
    made = desk.compare_kits(kit(), desk.read_kit(more, file="x"))
    assert [(part.part, part.quantity) for part in made.unmatched] == [("SHELF-1", (0, 1))]


def test_scaling_keeps_the_board() -> None:
    """Capabilities A5: 50 -> 113.3 g, 74 -> 255.3 g board."""
    assert board_mass(kit(scale="0.80645161")).mass == pytest.approx(0.1133, abs=5e-5)
    assert board_mass(kit(scale="1.19354839")).mass == pytest.approx(0.2553, abs=5e-5)


def test_the_three_bars_carry_the_whole_boat() -> None:
    drawn = desk.draw_board(kit())
    words = [mark.text for mark in drawn.views["side"].marks if hasattr(mark, "text")]
    grams = [float(text[:-2]) for text in words if text.endswith(" g")]
    assert sum(grams) == pytest.approx(drawn.floating.mass * 1e3, abs=1.5)  # each rounded to a gram


def test_every_number_has_its_picture() -> None:
    given = table("fold-62")
    for number in desk.kit_numbers(given, kit()):
        assert desk.number_picture(kit(), number.key).marks

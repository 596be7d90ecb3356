"""Every fault in a kit file is told with file, field, what was got and what is allowed."""

import pytest

from skimwright.base import InputError
from skimwright.boat import read_kit_table


def refusal(table):
    with pytest.raises(InputError) as caught:
        read_kit_table(table, file="mine.toml")
    sentence = str(caught.value)
    assert sentence.startswith("mine.toml")
    assert sentence.endswith((".", "?"))
    assert "{" not in sentence
    return sentence


def set_to(*path):
    """A spoiler of one value."""
    *keys, last, value = path

    def spoil(table):
        for key in keys:
            table = table[key]
        table[last] = value

    return spoil


FAULTS = {
    "negative length": (set_to("design", "length_mm", -620), ["length_mm", "-620 mm", "more than 0"]),
    "no length": (set_to("design", "length_mm", 0), ["length_mm", "0 mm", "more than 0"]),
    "unknown key": (set_to("design", "lenght_mm", 620), ["lenght_mm", "Did you mean length_mm?"]),
    "unknown section": (set_to("bord", {}), ["bord", "Did you mean board?"]),
    "two decimal signs": (set_to("design", "beam_mm", "12.5.2"), ["beam_mm", '"12.5.2"']),
    "wrong kind of unit": (set_to("design", "beam_mm", "280 g"), ["beam_mm", "a unit of mass"]),
    "a list for a number": (set_to("design", "beam_mm", [280]), ["beam_mm"]),
    "yes for a number": (set_to("design", "beam_mm", True), ["beam_mm", "True"]),
    "board too thick": (
        set_to("design", "pod_width_mm", 14),
        ["thickness_mm and pod_width_mm", "5 mm", "14 mm", "a third"],
    ),
    "thickness negative": (set_to("board", "thickness_mm", -5), ["thickness_mm", "-5 mm", "more than 0"]),
    "sponsons overlap": (
        set_to("design", "pod_width_mm", 141),
        ["pod_width_mm and beam_mm", "141 mm", "280 mm"],
    ),
    "sponson back to front": (
        set_to("design", "pod_front_mm", 300),
        ["pod_front_mm and pod_rear_mm", "300 mm", "280 mm"],
    ),
    "pad longer than its sponson": (set_to("design", "pad_length_mm", 240), ["pad_length_mm", "240 mm"]),
    "pad steeper than its ramp": (
        set_to("design", "pad_angle_deg", 9.5),
        ["pad_angle_deg and floor_front_mm"],
    ),
    "pad higher than the tunnel": (
        set_to("design", "pad_angle_deg", 19.9),
        ["pad_angle_deg and floor_front_mm"],
    ),
    "pad as high as its ramp": (
        set_to("design", "floor_front_mm", 9),
        ["pad_angle_deg and floor_front_mm", "the pad rises to 4.895 mm", "begins at 9 mm"],
    ),
    "roof over the deck": (set_to("design", "floor_front_mm", 68), ["floor_front_mm and deck_height_mm"]),
    "no room for ribs": (set_to("design", "floor_front_mm", 63), ["deck_height_mm and floor_front_mm"]),
    "tail behind the transom": (set_to("design", "deck_tail_mm", 400), ["deck_tail_mm and length_mm"]),
    "fin in mid air": (set_to("design", "blade_place_mm", 250), ["blade_place_mm"]),
    "form unknown": (set_to("form", "catamaran"), ["form", "catamaran", '"three-point", "own"']),
    "scale nought": (set_to("scale", 0), ["scale", "0.1 to 10"]),
    "no name": (lambda table: table.pop("name"), ["name", "missing"]),
    "no board": (lambda table: table.pop("board"), ["[board]", "missing"]),
    "no thickness": (lambda table: table["board"].pop("thickness_mm"), ["[board] thickness_mm", "missing"]),
    "sheet without size": (set_to("board", "sheets_mm", [[841, 0]]), ["sheets_mm", "841 x 0 mm"]),
    "sheet of one number": (set_to("board", "sheets_mm", [841]), ["sheets_mm", "a list of 2 numbers"]),
    "grain unknown word": (set_to("board", "grain", "up"), ["grain", "long side"]),
    "board of lead": (
        set_to("board", "areal_density_g_m2", 45000),
        ["areal_density_g_m2", "45000", "5000 g/m2"],
    ),
    "weightless glue": (set_to("added", 0, "mass_g", 0), ["[[added]] 1 mass_g", "0 g"]),
    "place in two numbers": (set_to("added", 0, "place_mm", [1, 2]), ["[[added]] 1 place_mm", "3 numbers"]),
    "spread out perhaps": (set_to("added", 0, "spread_out", "yes"), ["spread_out", "true or false"]),
    "added is no list": (set_to("added", 3), ["[[added]]"]),
    "no tolerance at all": (set_to("tolerances", "pad_angle_deg", 0), ["pad_angle_deg", "more than 0"]),
    "thrust turned round": (set_to("thrust", "toe_deg", 180), ["toe_deg", "from -30 to 30 deg"]),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_told_with_its_field_and_its_numbers(table, fault):
    spoil, words = FAULTS[fault]
    spoil(table)
    sentence = refusal(table)
    for word in words:
        assert word in sentence


def test_a_missing_dimension_is_named(table):
    for key in [key for key in table["design"] if key != "floor_rear_mm"]:
        short = {**table, "design": {k: v for k, v in table["design"].items() if k != key}}
        assert f"[design] {key}" in refusal(short)


def test_text_with_a_comma_or_a_unit_is_understood(table):
    plain = read_kit_table(table, file="mine.toml")
    table["design"]["length_mm"] = "620,0"
    table["design"]["beam_mm"] = "28 cm"
    table["board"]["thickness_mm"] = "5 mm"
    assert read_kit_table(table, file="mine.toml").edition == plain.edition
    table["design"]["length_mm"] = "24.5 in"
    assert read_kit_table(table, file="mine.toml").design.length == pytest.approx(0.6223)


def test_a_scale_multiplies_the_drawing_and_not_the_board(table):
    table["scale"] = 0.9
    kit = read_kit_table(table, file="mine.toml")
    assert kit.design.beam == pytest.approx(0.252)
    assert kit.design.pad_angle == pytest.approx(0.0698132, abs=1e-7)
    assert kit.board.thickness == 0.005


def test_a_redrawn_outline_keeps_its_place_and_its_joints(table):
    plain = read_kit_table(table, file="mine.toml")
    corners = [[u * 1e3, v * 1e3] for u, v in plain.part("DECK-1").outline]
    corners[1] = [45, -138]
    table["parts"] = [{"name": "DECK-1", "outline_mm": corners}]
    kit = read_kit_table(table, file="mine.toml")
    assert kit.joints == plain.joints
    assert kit.part("DECK-1").place == plain.part("DECK-1").place
    assert kit.part("DECK-1").outline[1] == pytest.approx((0.045, -0.138))
    assert kit.edition != plain.edition


def test_a_crossing_outline_shows_where_it_crosses(table):
    table["parts"] = [
        {"name": "SPOILER", "outline_mm": [[0, 0], [60, 40], [60, 0], [0, 40]], "origin_mm": [0, 0, 80]}
    ]
    sentence = refusal(table)
    assert "SPOILER crosses" in sentence
    assert "(30.0, 20.0) mm" in sentence


@pytest.mark.parametrize(
    "outline, words",
    [
        ([[0, 0], [10, 0]], "2 points"),
        ([[0, 0], [10, 0], [0, 0]], "2 points"),
        ([[0, 0], [10, 0], [20, 0]], "encloses nothing"),
        ([[0, 0], [10, 0], [10, 10], [5, 0], [0, 10]], "(5.0, 0.0) mm"),
        ([[0, 0], [10], [10, 10]], "2 numbers"),
        ("circle", "a list of points"),
    ],
)
def test_an_outline_that_is_no_outline_is_refused(table, outline, words):
    table["parts"] = [{"name": "SPOILER", "outline_mm": outline, "origin_mm": [0, 0, 80]}]
    assert words in refusal(table)


def test_a_part_may_be_added_and_two_may_not_share_a_name(table):
    spoiler = {
        "name": "SPOILER",
        "outline_mm": [[0, 0], [40, 0], [40, 90], [0, 90], [0, 0]],
        "origin_mm": [560, -45, 150],
    }
    table["parts"] = [spoiler]
    kit = read_kit_table(table, file="mine.toml")
    assert len(kit.parts) == 24
    assert kit.part("SPOILER").area == pytest.approx(0.0036)
    table["parts"] = [spoiler, spoiler]
    assert "two parts of one name" in refusal(table)


def test_a_boat_of_own_parts_needs_parts(box_table):
    box_table["parts"] = []
    assert "no parts" in refusal(box_table)


def test_feet_of_own_parts_are_put_in_order(box_table):
    box_table["contacts"] = {"pad_mm": 300, "stern_mm": 200}
    assert "pad_mm and stern_mm" in refusal(box_table)

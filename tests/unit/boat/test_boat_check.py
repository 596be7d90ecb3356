"""Odd or fragile drawings are spoken of before anybody cuts them."""

import pytest

from skimwright.boat import kit_findings, part_clashes, read_kit_table


def codes(table):
    found = kit_findings(read_kit_table(table, file="mine.toml"))
    for finding in found:
        assert finding.what.endswith(".")
        assert finding.do.endswith(".")
        assert "{" not in finding.sentence()
    return {finding.code for finding in found}


@pytest.mark.parametrize("stem", ["fold-50", "fold-62", "fold-74"])
def test_the_demonstration_kits_have_nothing_odd(tables, stem):
    assert codes(tables[stem]) == set()


def test_a_scale_under_a_half_warns(table):
    table["scale"] = 0.49
    assert "scale-small" in codes(table)
    table["scale"] = 0.51
    assert "scale-small" not in codes(table)


ODD = {
    "board-density": lambda table: table["board"].update(areal_density_g_m2=2000),
    "grain-unknown": lambda table: table["board"].pop("grain"),
    "thin-strip": lambda table: table["design"].update(pod_width_mm=19.5, beam_mm=200),
    "balance-outside-feet": lambda table: table["added"].append(
        {"what": "lead", "mass_g": 300, "place_mm": [20, 0, 40]}
    ),
    "balance-sideways": lambda table: table["added"].append(
        {"what": "lead", "mass_g": 30, "place_mm": [350, 100, 40]}
    ),
    "tunnel-widens": lambda table: table["design"].update(floor_rear_mm=40),
    "tunnel-low": lambda table: table["design"].update(floor_front_mm=17, floor_rear_mm=-20),
    "contact-off-pad": lambda table: table["design"].update(pad_contact_mm=120),
}


@pytest.mark.parametrize("code", ODD)
def test_an_odd_drawing_is_found(table, code):
    ODD[code](table)
    assert code in codes(table)


def test_a_boat_that_falls_on_its_nose_is_stopped(table):
    table["added"].append({"what": "lead", "mass_g": 300, "place_mm": [20, 0, 40]})
    found = kit_findings(read_kit_table(table, file="mine.toml"))
    stop = next(finding for finding in found if finding.code == "balance-outside-feet")
    assert stop.severity == "stop"
    assert "falls on its nose" in stop.why


def test_own_parts_in_one_place_are_named_with_their_depth(box_table):
    assert codes(box_table) == set()
    box_table["parts"][1]["origin_mm"] = [0, -100, 53]
    found = kit_findings(read_kit_table(box_table, file="box.toml"))
    assert len(found) == 4
    assert any(finding.what == "LID and BOW are 2.00 mm into one another." for finding in found), found


def test_parts_that_only_touch_do_not_clash(box):
    assert part_clashes(box.parts) == ()


def test_a_part_added_to_the_form_is_tried_against_the_others(table):
    spoiler = {
        "name": "SPOILER",
        "outline_mm": [[0, 0], [40, 0], [40, 90], [0, 90]],
        "origin_mm": [560, -45, 71],
    }
    table["parts"] = [spoiler]
    assert codes(table) == {"parts-clash"}
    spoiler["origin_mm"] = [560, -45, 139]
    assert codes(table) == set()

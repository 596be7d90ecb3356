"""Parts as they lie under the knife: true shape, outer face up, every mark in its place."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from skimwright.base import InputError, MissingError
from skimwright.base.drawing import Dot, Path, Words
from skimwright.kit import (
    BoardSheet,
    Laid,
    Placement,
    blank,
    blanks,
    find_part,
    nest_items,
    part_codes,
    sheet_template,
    sheets_along_grain,
    single_part_nest,
)

KITS = ("fold-50", "fold-62", "fold-74")


def alone(kit, name):
    """One part on its own sheet, drawn."""
    laid, sheet = single_part_nest(blank(kit.part(name), kit))
    return sheet_template(laid, sheet, title=name, bar=False), laid[0]


def area_of(points):
    x, y = np.asarray(points).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


@pytest.mark.parametrize("stem", KITS)
def test_every_part_is_drawn_with_its_outer_face_up(kits, stem):
    """Seen from outside the boat, the outline runs round the same way as on the sheet."""
    kit = kits[stem]
    for part in kit.parts:
        flat = np.column_stack([np.array(part.outline), np.zeros(len(part.outline))])
        corners = part.place.to_boat(flat)
        normal = sum(np.cross(a, b) for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True))
        outward = -np.array(part.place.w)
        assert math.copysign(1, normal @ outward) == math.copysign(1, area_of(blank(part, kit).outline)), (
            part.name
        )


@pytest.mark.parametrize("stem", KITS)
def test_a_part_under_the_knife_keeps_every_distance_between_its_corners(kits, stem):
    kit = kits[stem]
    for part in kit.parts:
        drawn, cut = np.array(part.outline), blank(part, kit).outline
        for points in (drawn, cut):
            assert len(points) == len(part.outline)
        apart = [np.linalg.norm(p[:, None] - p[None, :], axis=2) for p in (drawn, cut)]
        assert apart[0] == pytest.approx(apart[1], abs=1e-12)


def test_a_left_and_a_right_wall_are_mirror_images_when_both_show_their_outer_face(kits):
    kit = kits["fold-62"]
    left, right = (blank(kit.part(f"WALL-1 {side}"), kit).outline for side in ("left", "right"))
    assert right == pytest.approx(left * (1, -1), abs=1e-12)


@pytest.mark.parametrize(
    "name, count", [("WALL-1 left", 1), ("WALL-1 right", 2), ("DECK-1", 0), ("POD-4 right", 2)]
)
def test_left_parts_have_one_nick_and_right_parts_two_of_4_mm(kits, name, count):
    kit = kits["fold-62"]
    part = blank(kit.part(name), kit)
    assert len(part.nicks) == count
    shape = shapely.Polygon(part.outline)
    for foot, tip in part.nicks:
        assert np.linalg.norm(tip - foot) == pytest.approx(0.004, abs=1e-12)
        assert shape.exterior.distance(shapely.Point(foot)) < 1e-9
        assert shape.contains(shapely.Point(tip))


def test_stiff_parts_lie_along_the_grain_whichever_number_of_their_outline_it_is(kits):
    kit = kits["fold-62"]
    floor = kit.part("FLOOR-1")
    along_u = blank(floor, kit)
    along_v = blank(replace(floor, along="v"), kit)
    assert np.ptp(along_u.outline[:, 0]) == pytest.approx(0.571, abs=0.0005)  # demo list: FLOOR-1 571.0 x 150
    assert np.ptp(along_v.outline[:, 1]) == pytest.approx(0.571, abs=0.0005)
    assert along_u.has_grain
    assert not blank(kit.part("RIB-1"), kit).has_grain


def test_an_unknown_grain_is_asked_for_in_words(kits):
    with pytest.raises(InputError, match="Which way does the board bend least") as asked:
        nest_items([(kits["fold-62"], 1)], grain="unknown")
    assert "DECK-1" in str(asked.value)
    assert "--grain long" in str(asked.value)


def test_board_without_grain_lets_every_part_turn(kits):
    stiff = {item.key: item.grain_along for item in nest_items([(kits["fold-62"], 1)], grain="long side")}
    free = [item.grain_along for item in nest_items([(kits["fold-62"], 1)], grain="none")]
    assert {key for key, held in stiff.items() if held} == {
        "DECK-1",
        "FLOOR-1",
        "WALL-1 left",
        "WALL-1 right",
    }
    assert not any(free)


def test_the_sheets_width_runs_along_the_grain():
    assert sheets_along_grain([(0.841, 0.594)], grain="long side")[0].width == 0.841
    assert sheets_along_grain([(0.841, 0.594)], grain="short side")[0].width == 0.594


def test_parts_of_several_kits_keep_their_kits_name(kits):
    names = blanks([kits["fold-50"], kits["fold-62"]])
    assert len(names) == 46
    assert {"Fold 50 / DECK-1", "Fold 62 / DECK-1"} <= set(names)
    with pytest.raises(InputError, match="given twice"):
        blanks([kits["fold-62"], kits["fold-62"]])


def test_a_part_is_found_by_its_word_alone_or_with_its_side(kits):
    kit = kits["fold-62"]
    assert [part.name for part in find_part(kit, "wall-1")] == ["WALL-1 left", "WALL-1 right"]
    assert [part.name for part in find_part(kit, " POD-1  Left ")] == ["POD-1 left"]
    with pytest.raises(MissingError, match="DECK-1, RIB-1") as missing:
        find_part(kit, "WING-1")
    assert '"WING-1"' in str(missing.value)


def test_a_part_code_changes_with_its_own_part_only(kits):
    kit = kits["fold-62"]
    longer = tuple(
        replace(part, outline=((0.0, 0.0), (0.1, 0.0), (0.1, 0.034), (0.0, 0.034)))
        if part.code == "CRADLE-1"
        else part
        for part in kit.parts
    )
    before, after = part_codes(kit), part_codes(replace(kit, parts=longer))
    assert {name for name in before if before[name] != after[name]} == {"CRADLE-1 left", "CRADLE-1 right"}


# --- the drawing -------------------------------------------------------------------------------------


@pytest.mark.parametrize("stem", KITS)
def test_every_part_says_its_word_its_kit_its_edition_and_its_order(kits, stem):
    kit = kits[stem]
    for part in kit.parts:
        drawn, _ = alone(kit, part.name)
        texts = [mark.text for mark in drawn.drawing.marks if isinstance(mark, Words)]
        assert part.name in texts
        assert f"{kit.name}  {kit.edition}" in texts
        assert sum(isinstance(mark, Dot) for mark in drawn.drawing.marks) == part.order
        assert ("grain" in texts) == (part.along != "any"), part.name


@pytest.mark.parametrize("stem", KITS)
def test_words_and_dots_stay_on_their_part(kits, stem):
    from skimwright.kit.templates_drawing import _word_box

    kit = kits[stem]
    for part in kit.parts:
        drawn, _ = alone(kit, part.name)
        high = drawn.drawing.height
        shape = shapely.Polygon([(x, high - y) for x, y in drawn.areas[0][1]])
        for mark in drawn.drawing.marks:
            if isinstance(mark, Words):
                assert shape.covers(_word_box(mark, high)), (part.name, mark.text)
            if isinstance(mark, Dot):
                assert shape.contains(shapely.Point(mark.at[0], high - mark.at[1]))


def test_no_two_lines_of_words_lie_on_one_another(kits):
    from skimwright.kit.templates_drawing import _word_box

    for kit in kits.values():
        for part in kit.parts:
            drawn, _ = alone(kit, part.name)
            boxes = [_word_box(m, 0.0) for m in drawn.drawing.marks if isinstance(m, Words)]
            for i, box in enumerate(boxes):
                assert all(box.intersection(other).area < 0.05 * box.area for other in boxes[i + 1 :]), (
                    part.name
                )


def test_a_slanted_edge_shows_where_the_cut_comes_out_below(kits):
    """PAD-1 of Fold 62: 5 mm board, rear edge leaning in 4.0 deg = 0.35 mm, by hand."""
    kit = kits["fold-62"]
    drawn, laid = alone(kit, "PAD-1 left")
    dashed = [mark for mark in drawn.drawing.marks if isinstance(mark, Path) and mark.dashes]
    leans = [lean for lean in laid.blank.leans if lean > 1e-4]
    edges = shapely.Polygon(drawn.areas[0][1]).exterior
    offs = sorted(shapely.LineString(mark.points).distance(edges) for mark in dashed)
    inside = sorted(shapely.hausdorff_distance(shapely.LineString(m.points), edges) for m in dashed)
    assert len(dashed) == len(leans) == 2
    assert offs == pytest.approx([0.0, 0.0], abs=1e-9)  # their ends meet the side edges
    middles = sorted(edges.distance(shapely.Point(np.mean(mark.points, axis=0))) for mark in dashed)
    assert middles == pytest.approx(sorted(5 * math.tan(lean) for lean in leans), abs=1e-6)
    assert 5 * math.tan(math.radians(4.0)) == pytest.approx(max(middles), abs=0.005)
    assert inside
    texts = [mark.text for mark in drawn.drawing.marks if isinstance(mark, Words)]
    assert "lean in 4.0°" in texts


def test_a_groove_says_how_deep_and_a_slot_that_it_goes_through(kits):
    kit = kits["fold-62"]
    deck = [m.text for m in alone(kit, "DECK-1")[0].drawing.marks if isinstance(m, Words)]
    floor = [m.text for m in alone(kit, "FLOOR-1")[0].drawing.marks if isinstance(m, Words)]
    assert "FIN-2: 3 mm deep" in deck  # fin_seat_mm of the kit file
    assert "FIN-1: cut through" in floor


def test_the_bar_on_a_sheet_is_100_mm_and_touches_no_part(kits):
    kit = kits["fold-62"]
    part = blank(kit.part("RIB-1"), kit)
    laid = (Laid(blank=part, place=Placement(key="RIB-1", sheet=0, x=0.3, y=0.2, turn=0.0)),)
    drawn = sheet_template(laid, BoardSheet(width=0.841, height=0.594), title="t", foot="Fold 62")
    bars = [
        mark for mark in drawn.drawing.marks
        if isinstance(mark, Path) and len(mark.points) == 2 and math.dist(*mark.points) == pytest.approx(100, abs=1e-9)
    ]  # fmt: skip
    assert len(bars) == 1
    assert not shapely.LineString(bars[0].points).intersects(shapely.Polygon(drawn.areas[0][1]))
    assert any("I measured" in mark.text for mark in drawn.drawing.marks if isinstance(mark, Words))


def test_a_full_sheet_keeps_its_bar_in_the_lower_margin(kits):
    kit = kits["fold-62"]
    part = replace(kit.part("RIB-1"), outline=((0.0, 0.0), (0.39, 0.0), (0.39, 0.19), (0.0, 0.19)), bevels=())
    laid = (Laid(blank=blank(part, kit), place=Placement(key="RIB-1", sheet=0, x=0.005, y=0.195, turn=0.0)),)
    drawn = sheet_template(laid, BoardSheet(width=0.4, height=0.2), title="t", foot="Fold 62")
    sheet = shapely.box(0, 0, 400, 200)
    assert sheet.contains(shapely.Polygon(drawn.areas[0][1])), "the part lies on the sheet"
    bar = next(
        m for m in drawn.drawing.marks if isinstance(m, Path) and math.dist(m.points[0], m.points[-1]) == 100
    )
    assert all(195 < y <= 200 for _, y in bar.points)


def test_a_part_too_small_for_words_still_says_its_name_and_edition(kits):
    kit = kits["fold-62"]
    sliver = replace(kit.part("RIB-1"), outline=((0.0, 0.0), (0.06, 0.003), (0.0, 0.006)), bevels=())
    laid, sheet = single_part_nest(blank(sliver, kit))
    words = [
        m.text
        for m in sheet_template(laid, sheet, title="t", bar=False).drawing.marks
        if isinstance(m, Words)
    ]
    assert words == [f"RIB-1 {kit.edition}"]

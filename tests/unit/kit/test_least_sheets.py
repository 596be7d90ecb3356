"""How few sheets could do, and what is refused before any search."""

import numpy as np
import pytest

from skimwright.base import InputError
from skimwright.kit import BoardSheet, NestItem, ShelfPacker, least_sheets, nest_parts

A1 = BoardSheet(width=0.841, height=0.594)


def box(key, width_mm, height_mm, quantity=1, **more):
    outline = np.array([[0, 0], [width_mm, 0], [width_mm, height_mm], [0, height_mm]], dtype=float) / 1000
    return NestItem(key=key, outline=outline, quantity=quantity, **more)


def least(items, *sheets, margin=0.005, gap=0.003):
    return least_sheets(items, sheets or [A1], margin=margin, gap=gap)


def refusal(items, *sheets, **settings):
    with pytest.raises(InputError) as caught:
        nest_parts(items, sheets or [A1], packer=ShelfPacker(), **settings)
    return str(caught.value)


def test_four_quarters_without_gap_or_margin_need_exactly_one_sheet():
    assert least([box("quarter", 420.5, 297, 4)], margin=0, gap=0).count == 1
    assert least([box("quarter", 420.5, 297, 5)], margin=0, gap=0).count == 2


def test_the_gap_and_the_margin_count():
    """Four 415 x 290 boxes: 831 x 584 mm inside the margin is one gap short both ways."""
    four = [box("quarter", 415.5, 292, 4)]
    assert least(four).by_area == 1
    assert least(four).by_room == 2


def test_the_room_bound_is_the_hand_sum():
    """A square of side a grown by r all round has area a2 + 4 a r + pi r2."""
    side, r = 0.1, (0.003 - 1e-5) / 2  # the forgiven hundredth of a millimetre is taken off the gap
    by_hand = side**2 + 4 * side * r + np.pi * r**2
    need = least([box("square", 100, 100)]).need
    assert 0 < by_hand - need < 0.01 * np.pi * r**2  # chords stand for the four arcs: never too much


def test_parts_over_half_a_sheet_each_need_one():
    assert least([box("plank", 600, 310, 5)]).by_pairs == 5
    assert least([box("plank", 600, 310, 5), box("wide", 700, 300, 2)]).by_pairs == 7
    assert least([box("plank", 600, 310, 5), box("narrow", 700, 270, 2)]).by_pairs == 5


def test_hooked_parts_share_a_sheet_that_their_boxes_could_not():
    """Two L shapes of 400 mm hook into each other on 500 mm; two full squares do not."""
    corners = np.array([[0, 0], [400, 0], [400, 100], [100, 100], [100, 400], [0, 400]]) / 1000
    small = BoardSheet(width=0.52, height=0.52)
    assert least([NestItem(key="L", outline=corners, quantity=2)], small).by_pairs == 1
    assert least([box("square", 400, 400, 2)], small).by_pairs == 2


def test_hooked_parts_too_wide_to_hook_are_kept_apart():
    corners = np.array([[0, 0], [400, 0], [400, 150], [150, 150], [150, 400], [0, 400]]) / 1000
    assert (
        least([NestItem(key="L", outline=corners, quantity=2)], BoardSheet(width=0.52, height=0.52)).by_pairs
        == 2
    )


def test_several_sizes_count_from_the_largest():
    large, small = BoardSheet(width=1, height=1, on_hand=1), BoardSheet(width=0.5, height=0.5)
    assert least([box("tile", 500, 500, 5)], small, large, margin=0, gap=0).count == 2
    assert least([box("tile", 500, 500, 6)], small, large, margin=0, gap=0).count == 3


def test_too_few_sheets_on_hand_are_refused_at_once_with_the_number_needed():
    said = refusal([box("plank", 800, 500, 3)], BoardSheet(width=0.841, height=0.594, on_hand=1))
    assert "cannot fit" in said
    assert "at least 3 sheets" in said


@pytest.mark.parametrize(
    "width, height", [(0, 0.594), (-0.841, 0.594), (841, 594), (float("nan"), 0.594), (float("inf"), 0.594)]
)
def test_an_absurd_sheet_is_refused(width, height):
    assert "sheet size makes no sense" in refusal(
        [box("lid", 50, 50)], BoardSheet(width=width, height=height)
    )


@pytest.mark.parametrize(
    "settings, words",
    [
        ({"margin": -0.001}, "margin makes no sense"),
        ({"margin": 0.2}, "margin makes no sense"),
        ({"margin": float("nan")}, "margin makes no sense"),
        ({"gap": 0.06}, "gap between parts makes no sense"),
        ({"gap": 0.003, "kerf": 0.004}, "cut is wider than the gap"),
        ({"kerf": -0.001}, "cut is wider than the gap"),
    ],
)
def test_an_absurd_setting_is_refused(settings, words):
    assert words in refusal([box("lid", 50, 50)], **settings)


def test_a_margin_that_eats_the_sheet_is_refused():
    said = refusal([box("lid", 5, 5)], BoardSheet(width=0.1, height=0.1), margin=0.06)
    assert "leaves nothing of the sheet" in said


def test_no_sheet_at_all_is_refused():
    with pytest.raises(InputError, match="no sheet"):
        nest_parts([box("lid", 50, 50)], [], packer=ShelfPacker())


def test_a_part_larger_than_the_sheet_is_named():
    said = refusal([box("lid", 50, 50), box("DECK-9", 900, 100)])
    assert '"DECK-9" is larger than the sheet in every allowed turn' in said


def test_a_part_that_would_fit_only_across_the_grain_is_refused():
    across = box("tall", 100, 700)
    assert least([across]).count == 1
    assert "larger than the sheet" in refusal([box("tall", 100, 700, grain_along=True)])


def test_grain_against_every_turn_is_refused():
    assert "may not be laid in any turn" in refusal([box("odd", 50, 50, grain_along=True, turns=(90.0,))])


@pytest.mark.parametrize(
    "corners", [[[0, 0], [1, 1]], [[0, 0], [1, 0], [0, 0]], [[0, 0], [1, 0], [np.nan, 1]], []]
)
def test_an_open_outline_is_named(corners):
    assert '"wing" is open' in refusal([NestItem(key="wing", outline=np.array(corners, dtype=float) / 10)])


def test_a_crossing_outline_is_named_with_the_place():
    bow_tie = np.array([[0, 0], [100, 100], [100, 0], [0, 100]]) / 1000
    said = refusal([NestItem(key="wing", outline=bow_tie)])
    assert '"wing" crosses or touches itself' in said
    assert "50.0, 50.0 mm" in said


def test_a_part_without_area_is_named():
    assert '"dot" is too small to cut' in refusal([box("dot", 0.5, 0.5)])


@pytest.mark.parametrize("quantity", [0, -1, 6000])
def test_an_absurd_quantity_is_refused(quantity):
    assert "number of parts makes no sense" in refusal([box("lid", 5, 5, quantity)])


def test_two_parts_of_one_name_are_refused():
    assert 'Two parts are called "lid"' in refusal([box("lid", 50, 50), box("lid", 60, 60)])

"""The order of cuts for machines and hands; nothing lost when a bed is small."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from skimwright.base import InputError
from skimwright.kit import BoardSheet, Laid, Placement, blank, cut_sheet, hand_order, split_for_bed

SHEET = BoardSheet(width=0.841, height=0.594)


@pytest.fixture(scope="module")
def laid(kits):
    """A few parts of Fold 62 placed by hand, well apart."""
    kit = kits["fold-62"]
    places = {
        "PAD-1 left": (0.66, 0.20, 0.0), "POD-2 right": (0.66, 0.10, 0.0), "DECK-1": (0.005, 0.145, 0.0),
        "FLOOR-1": (0.005, 0.30, 0.0), "WALL-1 left": (0.005, 0.46, 0.0),
    }  # fmt: skip
    return tuple(
        Laid(blank=blank(kit.part(name), kit), place=Placement(key=name, sheet=0, x=x, y=y, turn=turn))
        for name, (x, y, turn) in places.items()
    )


def cut(laid, **more):
    return cut_sheet(laid, SHEET, name="test, sheet 1 of 1", gap=0.003, **more)


def length(line):
    points = np.array(line.points + line.points[:1] * line.closed)
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def test_a_machine_marks_first_then_grooves_then_holes_then_outlines_longest_first(laid):
    lines = cut(laid).lines
    order = ["MARK", "SCORE", "CUT"]
    ranks = [order.index(line.layer) for line in lines]
    assert ranks == sorted(ranks)
    cuts = [line for line in lines if line.layer == "CUT"]
    is_outline = [line.what.endswith("outline") for line in cuts]
    assert is_outline == sorted(is_outline), "a hole comes after an outline"
    outlines = [length(line) for line in cuts if line.what.endswith("outline")]
    assert outlines == sorted(outlines, reverse=True)
    assert len(outlines) == len(laid)


def test_the_slot_goes_through_and_the_groove_does_not(laid):
    layer = {line.what: line.layer for line in cut(laid).lines}
    assert layer["FLOOR-1 for FIN-1"] == "CUT"
    assert layer["DECK-1 for FIN-2"] == "SCORE"
    assert layer["WALL-1 left nick"] == "CUT"


def test_a_cut_wider_than_the_gap_is_refused(laid):
    with pytest.raises(InputError, match=r"got a cut of 4 mm and a gap of 3 mm"):
        cut(laid, kerf=0.004)


def test_half_the_kerf_is_added_outside_an_outline_and_taken_inside_a_hole(laid):
    """PAD-1 left is a rectangle, so each side of its cut line grows by one kerf."""
    plain, wide = (
        {
            line.what: np.ptp(np.array(line.points), axis=0)
            for line in cut(laid, kerf=kerf).lines
            if line.closed
        }
        for kerf in (0.0, 0.0004)
    )
    assert wide["PAD-1 left outline"] - plain["PAD-1 left outline"] == pytest.approx([0.4, 0.4], abs=1e-6)
    assert wide["FLOOR-1 for FIN-1"] - plain["FLOOR-1 for FIN-1"] == pytest.approx([-0.4, -0.4], abs=1e-6)


def test_the_scale_square_is_100_mm_a_side_inside_the_sheet_and_clear_of_parts_if_there_is_room(laid):
    sheet = cut(laid)
    squares = [line for line in sheet.lines if line.what.startswith("scale square")]
    assert [line.layer for line in squares] == ["MARK"]
    shape = shapely.Polygon(squares[0].points)
    assert np.ptp(np.array(squares[0].points), axis=0) == pytest.approx([100, 100], abs=1e-9)
    assert shapely.box(0, 0, 841, 594).covers(shape)
    assert not any(shape.intersects(one.shape) for one in laid)


def test_a_small_bed_gets_the_sheet_in_pieces_and_no_line_is_lost(laid):
    whole = cut(laid)
    pieces = split_for_bed(whole, width=400, height=300)
    assert 4 <= len(pieces) <= 6  # 841 x 594 over 400 x 300
    assert all(max(x for line in p.lines for x, _ in line.points) <= 400 + 1e-6 for p in pieces)
    assert all(max(y for line in p.lines for _, y in line.points) <= 300 + 1e-6 for p in pieces)

    def total(sheets):
        return sum(length(line) for s in sheets for line in s.lines if not line.what.startswith("scale"))

    assert total(pieces) == pytest.approx(total([whole]), abs=0.1)
    assert all(any(line.what.startswith("scale square") for line in piece.lines) for piece in pieces)


def test_a_sheet_that_fits_the_bed_stays_whole_either_way_round(laid):
    whole = cut(laid)
    assert split_for_bed(whole, width=900, height=600) == (whole,)
    assert split_for_bed(whole, width=600, height=900) == (whole,)


@pytest.mark.parametrize("width, height", [(0, 0), (100, 600), (-400, 300)])
def test_an_absurd_bed_is_refused(laid, width, height):
    with pytest.raises(InputError, match="bed makes no sense"):
        split_for_bed(cut(laid), width=width, height=height)


def test_by_hand_grooves_and_slots_come_before_edges_and_long_edges_before_short(laid):
    steps = hand_order(laid)
    does = [step.does for step in steps]
    assert does[0].startswith("Grooves")
    assert does[1].startswith("Slots")
    assert does[2].startswith("Nicks")
    assert does[3].startswith("Square edges")
    for step in steps:
        lengths = [stroke.length for stroke in step.strokes]
        assert lengths == sorted(lengths, reverse=True)


def test_the_knife_is_set_once_for_each_slant_and_every_edge_is_cut_once(laid):
    edges = [step for step in hand_order(laid) if "edges" in step.does or "leaning" in step.does]
    slants = {round(math.degrees(lean), 1) for one in laid for lean in one.blank.leans}
    assert len(edges) == len({step.does for step in edges}) == len(slants)
    assert sum(len(step.strokes) for step in edges) == sum(len(one.blank.outline) for one in laid)

"""The check of a finished nest must see every kind of fault."""

from dataclasses import replace

import numpy as np
import pytest

from skimwright.kit import BoardSheet, Nest, NestItem, Placement, verify_nest

SQUARE = np.array([[0, 0], [100, 0], [100, 100], [0, 100]]) / 1000


def nest(*places_mm, quantity=2, gap=0.003, grain=False):
    """Squares of 100 mm at the places given, on a sheet of 300 x 200 mm."""
    return Nest(
        items=(NestItem(key="lid", outline=SQUARE, quantity=quantity, grain_along=grain),),
        sheets=(BoardSheet(width=0.3, height=0.2),),
        placements=tuple(
            Placement(key="lid", sheet=0, x=x / 1000, y=y / 1000, turn=t) for x, y, t in places_mm
        ),
        margin=0.005,
        gap=gap,
        lower_bound=1,
        proof="",
    )


def codes(found):
    return sorted({finding.code for finding in found})


def test_a_good_nest_passes():
    assert verify_nest(nest((5, 5, 0), (108, 5, 0))) == []


def test_a_turn_is_about_the_outlines_own_origin():
    assert verify_nest(nest((105, 5, 90), (208, 105, 180))) == []


@pytest.mark.parametrize(
    "x, wrong", [(107.991, []), (107.98, ["nest-gap"]), (50, ["nest-gap"]), (5, ["nest-gap"])]
)
def test_a_gap_is_measured_to_a_hundredth_of_a_millimetre(x, wrong):
    assert codes(verify_nest(nest((5, 5, 0), (x, 5, 0)))) == wrong


@pytest.mark.parametrize(
    "x, wrong", [(4.991, []), (4.98, ["nest-margin"]), (195.02, ["nest-margin"]), (-300, ["nest-margin"])]
)
def test_the_margin_is_kept(x, wrong):
    assert codes(verify_nest(nest((x, 5, 0), quantity=1))) == wrong


@pytest.mark.parametrize("x, wrong", [(105, []), (104.995, []), (104.9, ["nest-gap"]), (30, ["nest-gap"])])
def test_without_a_gap_parts_may_touch_but_not_overlap(x, wrong):
    assert codes(verify_nest(nest((5, 5, 0), (x, 5, 0), gap=0.0))) == wrong


@pytest.mark.parametrize("places", [[(5, 5, 0)], [(5, 5, 0), (108, 5, 0), (5, 108, 0)]])
def test_a_missing_or_extra_part_is_counted(places):
    assert "nest-count" in codes(verify_nest(nest(*places)))


def test_an_unknown_part_or_sheet_is_seen():
    good = nest((5, 5, 0), (108, 5, 0))
    stray = replace(good.placements[0], key="hat")
    assert codes(verify_nest(replace(good, placements=(*good.placements, stray)))) == ["nest-count"]
    lost = replace(good.placements[0], sheet=1)
    assert codes(verify_nest(replace(good, placements=(lost, good.placements[1])))) == ["nest-no-sheet"]


@pytest.mark.parametrize(
    "turn, grain, wrong", [(90, False, []), (90, True, ["nest-turn"]), (45, False, ["nest-turn"])]
)
def test_a_turn_must_be_allowed(turn, grain, wrong):
    x = 150
    assert codes(verify_nest(nest((x, 20, turn), quantity=1, grain=grain))) == wrong


def test_each_finding_says_what_to_do():
    for finding in verify_nest(nest((0, 5, 45), (1, 5, 0), (2, 2, 0))):
        assert finding.what.endswith(".")
        assert finding.do.endswith(".")

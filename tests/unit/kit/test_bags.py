"""Bags, the scale's word on them, and weighed sheets carried into the mass of the boat."""

from __future__ import annotations

import math

import pytest

from skimwright.base import InputError, MissingError
from skimwright.base.drawing import Words
from skimwright.boat import board_mass, total_mass
from skimwright.kit import BagFor, bag, bag_page, check_bag, weigh_sheets, with_board


@pytest.mark.parametrize("stem, grams", [("fold-50", 113.3), ("fold-62", 177.2), ("fold-74", 255.3)])
def test_a_bag_holds_23_parts_and_weighs_what_the_demonstration_list_says(kits, stem, grams):
    """Masses of the demonstration kits as their list gives them, within its 0.2 %."""
    one = bag(kits[stem])
    assert one.count == 23
    assert one.mass == pytest.approx(grams / 1e3, rel=0.002)
    assert one.mass == pytest.approx(board_mass(kits[stem]).mass, rel=1e-9)
    assert one.limits == pytest.approx((one.mass * 0.97, one.mass * 1.03))


def test_pairs_are_listed_together_in_fitting_order(kits):
    lines = bag(kits["fold-62"]).lines
    walls = next(line for line in lines if line.part == "WALL-1")
    assert (walls.quantity, walls.sides) == (2, ("left", "right"))
    assert [line.order for line in lines] == sorted(line.order for line in lines)


def test_a_bag_within_three_parts_in_a_hundred_is_right(kits):
    one = bag(kits["fold-62"])
    assert check_bag(one, mass=one.mass * 1.029) is None
    assert check_bag(one, mass=one.mass * 0.971) is None
    assert check_bag(one, mass=one.mass * 0.969).code == "bag-mass"


def test_a_light_bag_names_the_part_that_weighs_as_much_as_is_missing(kits):
    one = bag(kits["fold-62"])
    floor = next(line for line in one.lines if line.part == "FLOOR-1")
    found = check_bag(one, mass=one.mass - floor.mass)
    assert "light" in found.what
    assert "FLOOR-1" in found.do
    assert "second" in check_bag(one, mass=one.mass + floor.mass).do


def test_parts_too_light_for_the_scale_are_named_so_that_somebody_counts_them(kits):
    one = bag(kits["fold-62"])
    assert {"PAD-1", "POD-4", "FIN-1"} <= set(one.unnoticed)
    assert "DECK-1" not in one.unnoticed


@pytest.mark.parametrize(
    "grams, words", [(17.7, "177 g"), (1772, "177.2 g"), (0, "about 177"), (20, "about 177")]
)
def test_a_bag_mass_that_cannot_be_is_asked_about(kits, grams, words):
    with pytest.raises(InputError, match="cannot weigh that") as asked:
        check_bag(bag(kits["fold-62"]), mass=grams / 1e3)
    assert words in str(asked.value)


# --- weighed sheets ----------------------------------------------------------------------------------


def test_three_weighed_sheets_give_mean_and_spread_worked_by_hand(kits):
    """222, 225, 228 g: mean 225 g, s = 3 g; 0.841 x 0.594 = 0.499554 m2, so 450.40 g/m2;
    the next sheet within 3 sqrt(4/3) = 3.464 g, 6.934 g/m2."""
    found = weigh_sheets(kits["fold-62"].board, masses=(0.222, 0.225, 0.228))
    assert found.mean == pytest.approx(0.225)
    assert found.sd == pytest.approx(0.003)
    assert found.board.areal_density == pytest.approx(0.450402, abs=5e-7)
    assert found.board.density_spread == pytest.approx(0.006934, abs=5e-7)
    assert found.findings == ()


def test_the_weighed_board_reaches_the_mass_forecast_and_leaves_the_drawing_alone(kits):
    kit = kits["fold-62"]
    heavy = with_board(kit, weigh_sheets(kit.board, masses=(0.240, 0.241, 0.242)).board)
    added = total_mass(heavy).mass - total_mass(kit).mass
    assert added == pytest.approx(kit.area * (0.241 / 0.499554 - kit.board.areal_density), rel=1e-9)
    assert heavy.edition == kit.edition
    assert bag(heavy).mass > bag(kit).mass
    assert bag(heavy).mass_sd == pytest.approx(heavy.area * heavy.board.density_spread)


def test_a_slipped_decimal_point_is_asked_about(kits):
    with pytest.raises(InputError, match=r"Is a decimal point out of place: 223 g\?") as asked:
        weigh_sheets(kits["fold-62"].board, masses=(0.224, 0.0223, 0.226))
    assert "got 22.3 g" in str(asked.value)


@pytest.mark.parametrize("grams", [0.0, -225.0, 60.0, 5000.0])
def test_a_reading_that_cannot_be_a_sheet_is_refused(kits, grams):
    with pytest.raises(InputError, match="A sheet cannot weigh that"):
        weigh_sheets(kits["fold-62"].board, masses=(0.224, grams / 1e3, 0.226))


def test_one_sheet_says_nothing_of_spread(kits):
    board = kits["fold-62"].board
    found = weigh_sheets(board, masses=(0.223,))
    assert found.board.density_spread == board.density_spread
    assert found.findings[0].code == "few-sheets-weighed"
    assert math.isnan(found.sd)


def test_equal_readings_still_leave_what_the_scale_cannot_show(kits):
    """A scale that reads to 1 g hides 1/sqrt(12) = 0.289 g."""
    found = weigh_sheets(kits["fold-62"].board, masses=(0.225,) * 4)
    assert found.board.density_spread * 0.499554 == pytest.approx(0.288675e-3 * math.sqrt(1.25), rel=1e-5)


def test_a_pile_unlike_the_drawing_is_remarked_on(kits):
    found = weigh_sheets(kits["fold-62"].board, masses=(0.26, 0.262, 0.261))
    assert [finding.code for finding in found.findings] == ["board-not-as-drawn"]


def test_no_sheet_at_all_is_asked_for(kits):
    with pytest.raises(MissingError, match="No sheet was weighed"):
        weigh_sheets(kits["fold-62"].board, masses=())


# --- the page ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_page_names_boat_kit_edition_and_every_part(kits, paper):
    one = bag(kits["fold-74"])
    page = bag_page(one, BagFor(number="24", name="Late Bus", group="Willow"), paper=paper)
    said = " | ".join(mark.text for mark in page.marks if isinstance(mark, Words))
    for word in ("24", "Late Bus", "Willow", "Fold 74", one.edition, "23 parts"):
        assert word in said
    assert all(line.part in said for line in one.lines)
    for mark in page.marks:
        points = mark.points if hasattr(mark, "points") else (mark.at,)
        assert all(0 <= x <= page.width and 0 <= y <= page.height for x, y in points)

"""What a class must buy."""

from __future__ import annotations

import math

import pytest

from skimwright.base import InputError
from skimwright.base.drawing import Words
from skimwright.kit import Prices, class_order, order_page


def lines(order):
    return {line.item: line for line in order.lines}


@pytest.mark.parametrize("need, spare", [(1, 1), (12, 1), (20, 1), (21, 2), (30, 2), (41, 3)])
def test_five_in_a_hundred_is_spare_rounded_up_and_never_none(kits, need, spare):
    order = class_order([(kits["fold-62"], 1)], boards={"A1": need})
    assert lines(order)["board, A1"].spare == spare
    assert lines(order)["board, A1"].order == need + spare


def test_glue_and_tape_follow_the_drawing(kits):
    """Fold 62 is drawn with 18 g of glue and 12 g of paint and tape: twelve boats keep 216 and 144 g."""
    found = lines(class_order([(kits["fold-62"], 12)], boards={}))
    assert found["glue"].need == 216
    assert found["glue"].spare == 54  # a quarter
    assert found["paint and tape"].need == 144
    seams = sum(math.dist(joint.start, joint.end) for joint in kits["fold-62"].joints)
    assert found["holding tape"].need == math.ceil(12 * seams)


def test_ballast_is_counted_in_washers_with_some_to_trim(kits):
    """Fold 50 is drawn with 26.7 g of ballast: six washers of 5 g on each of six boats."""
    found = lines(class_order([(kits["fold-50"], 6), (kits["fold-62"], 6)], boards={}))["washer, steel, 5 g"]
    assert found.need == 36
    assert found.spare == 48


def test_ballast_of_more_than_half_the_boat_says_the_design_is_wrong(kits):
    with pytest.raises(InputError, match="the design is wrong") as refused:
        class_order([(kits["fold-50"], 6)], boards={}, ballast=0.2)
    assert "200 g" in str(refused.value)
    assert "163" in str(refused.value)


@pytest.mark.parametrize("disc", [0.0, 0.3, math.nan])
def test_an_absurd_washer_is_refused(kits, disc):
    with pytest.raises(InputError, match="disc cannot weigh that"):
        class_order([(kits["fold-62"], 1)], boards={}, disc=disc)


def test_no_boat_is_refused(kits):
    with pytest.raises(InputError, match="no boat"):
        class_order([(kits["fold-62"], 0)], boards={})


def test_a_missing_price_leaves_the_quantity_right(kits):
    prices = Prices(currency="GBP", each={"board": 4.2, "whirr 5": 9.0})
    boards = {"841 x 594 mm": 12}
    with_prices = class_order([(kits["fold-62"], 12)], boards=boards, devices={"Whirr 5": 12}, prices=prices)
    without = class_order([(kits["fold-62"], 12)], boards=boards, devices={"Whirr 5": 12})
    assert [line.order for line in with_prices.lines] == [line.order for line in without.lines]
    assert with_prices.total == pytest.approx(13 * 4.2 + 13 * 9.0)
    assert "glue" in with_prices.without_price
    assert without.total == 0


def test_the_default_is_steel_and_lead_comes_with_its_handling(kits):
    order = class_order([(kits["fold-62"], 1)], boards={})
    said = " ".join(order.notes)
    assert "steel" in order.notes[0]
    for word in ("adult", "gloves", "covered", "washes hands", "local rules"):
        assert word in said
    page = order_page(order, title="Order list")
    drawn = " ".join(mark.text for mark in page.marks if isinstance(mark, Words))
    assert "steel washers" in drawn
    assert "no price" in drawn

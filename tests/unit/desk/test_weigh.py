"""The weigh-in: figures with their uncertainty, and slips that are asked about and never changed."""

import math
from dataclasses import replace

import pytest

from skimwright import app, store
from skimwright.base import ConflictError, InputError, MissingError
from skimwright.desk import Readings, TwoScales, boat_to_weigh, read_season, weigh_boat
from skimwright.desk.boats.weigh_uncertainty import combined

SEASON = app.Path(app.__file__).parent / "demo_season"


@pytest.fixture(scope="module")
def season():
    return read_season(store.read_tables(SEASON))


def scales(front, rear, front_mm=200, rear_mm=560):
    return TwoScales(front=front / 1e3, rear=rear / 1e3, front_place=front_mm / 1e3, rear_place=rear_mm / 1e3)


def weigh(season, number, *, target=None, ballast_place=None, **readings):
    return weigh_boat(
        season, boat_to_weigh(season, number), Readings(**readings), target=target,
        ballast_place=ballast_place, runs=0,
    )  # fmt: skip


def test_two_scales_within_two_millimetres_for_a_gram():
    pair = scales(161, 108)
    assert pair.mass.value == pytest.approx(0.269)
    assert pair.mass.uncertainty == pytest.approx(0.001 * math.sqrt(2))
    assert 1e3 * pair.balance.value == pytest.approx(344.5, abs=0.05)
    assert 1e3 * pair.balance.within == pytest.approx(2.0, abs=0.2)


def test_the_feet_of_a_fold_62_carry_what_statics_says(season):
    found = weigh(season, 12, along=scales(161, 108, 200, 562.3))
    assert found.balance_x.value == pytest.approx(0.3455, abs=1e-4)
    assert found.feet.left + found.feet.right == pytest.approx(0.74, abs=0.005)
    assert found.feet.stern == pytest.approx(0.26, abs=0.005)


def test_balance_ahead_of_the_pads_falls_on_its_nose(season):
    found = weigh(season, 12, along=scales(200, 69, 150, 500))
    assert found.verdict == "ask"
    assert any(finding.code == "falls-nose" for finding in found.findings)


def test_ballast_example_through_the_weighing(season):
    """235.2 g at 321.6 mm; lead at 600 mm to reach 345 mm: 235.2 x 23.4 / 255 = 21.6 g, then 256.8 g."""
    found = weigh(season, 12, single=0.2352, knife=0.3216, target=0.345, ballast_place=0.600)
    assert 1e3 * found.ballast.mass == pytest.approx(21.6, abs=0.05)
    assert 1e3 * found.ballast.mass_after == pytest.approx(256.8, abs=0.05)
    with pytest.raises(InputError, match="outside the boat"):
        weigh(season, 12, single=0.2352, knife=0.3216, target=0.345, ballast_place=0.700)


def test_ballast_over_the_class_mass_is_refused_and_the_rule_quoted(season):
    with pytest.raises(ConflictError, match="Willow: up to 450 g"):
        weigh(season, 19, single=0.445, knife=0.440, target=0.400)


@pytest.mark.parametrize(
    "number, grams, said",
    [(20, 13.5, "13.5 oz = 382.7 g"), (20, 134, "wrong boat"), (21, 38.0, "380 g"), (21, 3800, "380 g")],
)
def test_ounces_slipped_dots_and_wrong_boats_are_asked_about(season, number, grams, said):
    found = weigh(season, number, single=grams / 1e3)
    assert found.verdict == "ask"
    assert said in found.findings[0].sentence()
    assert found.built == boat_to_weigh(season, number).built, "nothing is changed"
    assert found.deviations == ()


def test_another_kits_mass_is_named(season):
    found = weigh(season, 21, single=0.155)
    assert "Fold 50" in found.findings[0].why


def test_two_scales_that_disagree_with_one_are_weighed_again(season):
    assert weigh(season, 12, along=scales(161, 108), single=0.272).verdict == "ask"
    assert weigh(season, 12, along=scales(161, 108), single=0.2705).verdict != "ask"


def test_sides_tell_how_far_it_balances_off_the_middle(season):
    found = weigh(season, 12, across=scales(130, 134, -120, 120))
    assert 1e3 * found.balance_y.value == pytest.approx(240 * 134 / 264 - 120)
    far = weigh(season, 12, across=scales(100, 164, -120, 120))
    assert far.verdict == "ask"
    assert "device" in far.findings[0].why


def test_wet_less_dry_a_run_and_the_wrong_way_round(season):
    found = weigh(season, 22, dry=0.396, wet=0.432, wet_runs=4)
    assert found.water_gain.value == pytest.approx(0.009)
    assert found.water_gain.uncertainty == pytest.approx(combined([0.25, 0.25], [0.001, 0.001]))
    assert "seal" in found.findings[0].do
    wrong = weigh(season, 22, dry=0.405, wet=0.396)
    assert wrong.verdict == "ask"
    assert wrong.water_gain is None


def test_a_twist_on_two_strings_gives_inertia_within_four_per_cent(season):
    """2 x 0.02 / 1.2 s is 3.3 %; two lengths and a gram make it a little more."""
    found = weigh(season, 12, single=0.400, period=1.2)
    assert found.inertia.value == pytest.approx(0.00894, abs=5e-6)
    assert 0.033 < found.inertia.uncertainty / found.inertia.value < 0.04
    with pytest.raises(InputError, match="Too quick"):
        weigh(season, 12, single=0.4, period=0.19)


@pytest.mark.parametrize(
    "readings, said",
    [
        ({}, "Nothing was weighed"),
        ({"single": 0.0}, "shows nought"),
        ({"along": scales(161, 0)}, "shows nought"),
        ({"along": scales(161, 108, 200, 720)}, "outside the boat"),
        ({"along": scales(161, 108, 300, 350)}, "too close together"),
        ({"along": scales(161, 108, 560, 200)}, "too close together"),
    ],
)
def test_what_cannot_be_worked_out_is_refused(season, readings, said):
    with pytest.raises(InputError, match=said):
        weigh(season, 12, **readings)


def test_a_boat_that_is_not_there_is_missing(season):
    with pytest.raises(MissingError, match="no boat 31"):
        boat_to_weigh(season, 31)


def test_uncertainties_want_one_for_each_slope():
    with pytest.raises(InputError, match="cannot be combined"):
        combined([1.0], [1.0, 2.0])
    assert combined([1.0, 1.0], [1.0, 1.0], {(0, 1): -1.0}) == 0.0


def test_a_weighing_without_questions_is_taken_into_the_boat(season):
    found = weigh(season, 12, along=scales(161, 108))
    entry = boat_to_weigh(season, 12)
    assert found.built == replace(entry.built, mass=0.269, balance_x=found.balance_x.value)

"""The build card: verdicts with reasons, what cannot be told, printouts and parts turned round."""

import math
from dataclasses import replace

import numpy as np
import pytest

from skimwright import app, store
from skimwright.base import InputError
from skimwright.desk import Override, check_boat, read_season, twist_findings, twist_from_corners
from skimwright.desk.boats.check import (
    CARD,
    allowed,
    linear_share,
    printed_scale,
    room_for,
)
from skimwright.desk.boats.turned import turned_pads, turned_part

DEGREE = math.pi / 180
SEASON = app.Path(app.__file__).parent / "demo_season"


@pytest.fixture(scope="module")
def season():
    return read_season(store.read_tables(SEASON), answers={(20, "mass_g"): "13.5 oz"})


def card(season, number, **built):
    entry = season.boat(number)
    return check_boat(season, replace(entry, built=replace(entry.built, **built)), runs=40)


def test_the_card_has_twelve_lines():
    assert len(CARD) == 12


def test_younger_builders_have_more_room(season):
    rooms = [room_for(season.groups[name]) for name in ("Cress", "Rush", "Reed", "Willow")]
    assert rooms == sorted(rooms, reverse=True)
    kit = season.kit_of(season.boat(7))
    assert allowed(kit, season.groups["Rush"])["blade_yaw"] > allowed(kit, season.groups["Reed"])["blade_yaw"]


@pytest.mark.parametrize("number", [1, 3, 7, 11, 14, 15, 18, 22])
def test_there_is_never_a_bare_cross(season, number):
    found = card(season, number)
    assert found.verdict in ("pass", "mend", "run with care")
    assert all(len(reason) > 20 for reason in found.reasons)
    assert found.reasons


def test_a_turned_blade_becomes_drift_with_a_range(season):
    line = next(line for line in card(season, 11).deviations if line.key == "blade_yaw")
    assert line.measured == pytest.approx(2.5)
    assert 0.5 < line.effect.drift.p05 < line.effect.drift.p50 < line.effect.drift.p95 < 6.0
    assert line.effect.through < -0.05


def test_the_forgotten_measurement_that_hides_most_comes_first(season):
    found = card(season, 11)
    shares = [max(line.of_drift, line.of_distance) for line in found.missing]
    assert shares == sorted(shares, reverse=True)
    assert {line.key for line in found.missing} == {
        "pad_toe_left",
        "pad_toe_right",
        "floor_twist",
        "device_y",
    }


def test_few_lines_measured_is_said_and_never_a_clean_pass(season):
    unknown = dict.fromkeys(("pad_angle_left", "pad_angle_right", "balance_y", "blade_yaw"))
    found = card(season, 15, **unknown)
    assert found.verdict == "run with care"
    assert any("measured" in reason for reason in found.reasons)


def test_an_override_keeps_name_and_reason_and_the_cards_own_verdict(season):
    entry = season.boat(11)
    decided = Override(verdict="pass", name="inspector 2", reason="blade set again at the ramp")
    found = check_boat(season, entry, runs=40, override=decided)
    assert (found.stands, found.verdict) == ("pass", "mend")
    assert found.override == decided
    for name, reason in (("", "why"), ("who", " ")):
        with pytest.raises(InputError, match="override"):
            Override(verdict="pass", name=name, reason=reason)


def test_all_lengths_short_by_one_share_is_a_shrunk_printout():
    found = printed_scale({"DECK-1": (0.485, 0.500), "WALL-1": (0.4365, 0.450)})
    assert found[0].code == "printout-scaled"
    assert "3 % short" in found[0].why
    assert "97 mm" in found[0].do


def test_one_length_short_is_one_part_cut_wrongly():
    found = printed_scale({"DECK-1": (0.620, 0.620), "WALL-1": (0.600, 0.620), "RIB-1": (0.120, 0.120)})
    assert [finding.code for finding in found] == ["part-length"]
    assert "WALL-1" in found[0].what


def test_true_lengths_are_not_asked_about():
    assert printed_scale({"DECK-1": (0.6205, 0.620)}) == ()
    with pytest.raises(InputError, match="no length"):
        printed_scale({"DECK-1": (0.0, 0.620)})


def test_a_wall_end_for_end_is_found_and_a_sound_or_even_one_is_not():
    drawn = {"drawn_front": 0.034, "drawn_rear": 0.060}
    assert turned_part(front=0.0605, rear=0.0335, **drawn)
    assert not turned_part(front=0.0345, rear=0.0595, **drawn)
    assert not turned_part(front=0.050, rear=0.051, drawn_front=0.050, drawn_rear=0.051)


def test_a_pad_glued_end_for_end_is_asked_about(season):
    entry = season.boat(15)
    kit = season.kit_of(entry)
    found = turned_pads(kit, replace(entry.built, pad_angle_left=-2 * kit.design.pad_angle))
    assert [f.code for f in found] == ["pad-turned"]
    assert not turned_pads(kit, entry.built)


def test_twist_is_found_in_nine_of_ten_noisy_measurements():
    """1.2 deg planted over a hull 160 mm wide, each height off by up to 1 mm: at least 900 of 1000 find it."""
    rng = np.random.default_rng(11)
    low = 0.160 * math.tan(1.2 * DEGREE)
    found = 0
    for _ in range(1000):
        fl, fr, rl, rr = np.array([0.034, 0.034, low, 0.0]) + rng.uniform(-0.001, 0.001, 4)
        twist = twist_from_corners((fl, fr, rl, rr), spacing=0.160)
        found += twist.is_told and twist.twist > 0
    assert found >= 900


def test_a_flat_floor_is_seldom_called_twisted_and_never_called_flat():
    rng = np.random.default_rng(12)
    told = [
        twist_from_corners(tuple(rng.uniform(-0.001, 0.001, 4)), spacing=0.160).is_told for _ in range(1000)
    ]
    assert sum(told) <= 150
    assert twist_findings(twist_from_corners((0.0,) * 4, spacing=0.16))[0].code == "twist-unsure"


def test_three_corners_cannot_tell_twist():
    with pytest.raises(InputError, match="Twist cannot be told"):
        twist_from_corners((0.034, 0.034, 0.001), spacing=0.160)


def test_a_straight_effect_takes_its_share():
    rng = np.random.default_rng(3)
    a, b = rng.normal(size=(2, 4000))
    assert linear_share(a, a + b) == pytest.approx(0.5, abs=0.05)
    assert linear_share(a, b) < 0.01
    assert linear_share(np.zeros(50), b[:50]) == 0.0

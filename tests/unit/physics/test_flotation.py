"""Floating at rest, righting, and three feet."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
import trimesh

import skimwright
from skimwright.base import InputError, ModelError
from skimwright.boat import Shell, all_shells, outer_shell, read_kit_table
from skimwright.physics import settling
from skimwright.physics.flotation import feet_shares, rest_attitude, righting_lever

WATER = 1000.0
KITS = Path(skimwright.__file__).parent / "demo_season" / "kits"


def box(length: float = 0.6, beam: float = 0.25, depth: float = 0.08) -> Shell:
    mesh = trimesh.creation.box((length, beam, depth))
    mesh.apply_translation((length / 2, 0.0, depth / 2))
    return Shell(vertices=mesh.vertices, triangles=mesh.faces.astype(np.int64))


def fold(number: int, *, hung_walls: bool = True) -> Shell:
    table = tomllib.loads((KITS / f"fold-{number}.toml").read_text(encoding="utf-8"))
    return outer_shell(read_kit_table(table, file=f"fold-{number}.toml"), hung_walls=hung_walls)


def codes(findings: tuple) -> list[str]:  # type: ignore[type-arg]
    return [finding.code for finding in findings]


# Demonstration data: invented boats, worked out beforehand as closed boxes, without the strip of wall that
# hangs under the floor and with the balance point taken at pad height.  Printed to the digits given here.
@pytest.mark.parametrize(
    ("number", "mass_g", "balance_mm", "trim_deg", "bow_mm", "stern_mm"),
    [
        (50, 163, 278, -1.60, 19.4, 5.5),
        (62, 269, 345.5, -1.48, 22.5, 6.4),
        (74, 390, 412, -1.37, 24.8, 7.1),
    ],
)
def test_the_demonstration_boats_float_bow_down_as_worked_out(
    number: int, mass_g: float, balance_mm: float, trim_deg: float, bow_mm: float, stern_mm: float
) -> None:
    rest = rest_attitude(
        fold(number, hung_walls=False),
        mass=mass_g / 1000,
        centre=np.array([balance_mm / 1000, 0.0, 0.0]),
        water_density=WATER,
    )
    assert math.degrees(rest.trim) == pytest.approx(trim_deg, abs=0.005)
    # Half the last digit is 0.05 mm; Fold 50's bow comes out at 19.453, so a hair more.
    assert rest.draft_bow * 1000 == pytest.approx(bow_mm, abs=0.055)
    assert rest.draft_stern * 1000 == pytest.approx(stern_mm, abs=0.05)
    assert rest.heel == pytest.approx(0.0, abs=1e-9)


def test_fold_62_leans_back_from_ten_degrees() -> None:
    rest = rest_attitude(fold(62), mass=0.269, centre=np.array([0.3455, 0.0, 0.0456]), water_density=WATER)
    at = {round(math.degrees(lever.heel)): lever.arm for lever in rest.righting}
    assert at[10] > 0.05
    assert at[-10] == pytest.approx(-at[10], rel=1e-9)
    assert rest.rights_up_to > math.radians(60)


@pytest.mark.parametrize(("space", "sign"), [("sponson-left", -1), ("sponson-right", 1)])
def test_a_flooded_sponson_lets_its_side_down(space: str, sign: int) -> None:
    table = tomllib.loads((KITS / "fold-62.toml").read_text(encoding="utf-8"))
    shell = all_shells(read_kit_table(table, file="fold-62.toml"), flooded=[space])
    rest = rest_attitude(shell, mass=0.269, centre=np.array([0.3455, 0.0, 0.0456]), water_density=WATER)
    assert sign * rest.heel > math.radians(1)
    assert "lists" in codes(rest.findings)


def test_a_box_floats_level_at_mass_over_area() -> None:
    rest = rest_attitude(box(), mass=0.9, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER)
    assert rest.floats
    assert rest.draft_bow == pytest.approx(0.9 / (WATER * 0.15), rel=1e-9)
    assert rest.draft_stern == pytest.approx(rest.draft_bow, rel=1e-9)
    assert rest.displaced == pytest.approx(0.9 / WATER, rel=1e-9)
    assert rest.metacentric_height == pytest.approx(0.003 + 0.25**2 / 12 / 0.006 - 0.02, rel=1e-9)


def test_the_stern_draft_is_read_at_the_length_given() -> None:
    rest = rest_attitude(box(), mass=0.9, centre=np.array([0.31, 0.0, 0.02]), water_density=WATER, length=0.5)
    assert rest.draft_stern == pytest.approx(rest.draft_bow + 0.5 * math.sin(rest.trim), rel=1e-12)


def test_the_metacentric_height_is_the_slope_of_the_righting_arm() -> None:
    boat = {"mass": 0.269, "centre": np.array([0.3455, 0.004, 0.0456]), "water_density": WATER}
    rest = rest_attitude(fold(62), **boat)
    h = 1e-5
    over, under = (righting_lever(fold(62), **boat, heel=rest.heel + step).arm for step in (h, -h))
    # Central difference: its own error is of order 1e-8.
    assert (over - under) / (2 * h) == pytest.approx(rest.metacentric_height, rel=1e-6)


def test_the_boat_rights_up_to_where_its_arm_is_nothing() -> None:
    boat = {"mass": 0.269, "centre": np.array([0.3455, 0.0, 0.0456]), "water_density": WATER}
    rest = rest_attitude(fold(62), **boat)
    inside = righting_lever(fold(62), **boat, heel=rest.rights_up_to - 1e-3).arm
    outside = righting_lever(fold(62), **boat, heel=rest.rights_up_to + 1e-3).arm
    assert inside > 0 > outside
    assert rest.largest_arm >= max(lever.arm for lever in rest.righting if 0 < lever.heel < 1.4) - 1e-12


def test_too_heavy_a_boat_says_how_many_grams_too_many() -> None:
    rest = rest_attitude(box(), mass=12.5, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER)
    assert not rest.floats
    assert rest.excess_mass == pytest.approx(0.5, rel=1e-9)
    assert "500 g too heavy" in rest.findings[0].what
    assert math.isnan(rest.draft_bow)


def test_a_boat_that_turns_over_says_so_first() -> None:
    # An upright plank with its weight at the top.
    rest = rest_attitude(
        box(0.6, 0.02, 0.2), mass=1.0, centre=np.array([0.3, 0.001, 0.19]), water_density=WATER
    )
    assert codes(rest.findings)[0] == "turns-over"
    assert rest.findings[0].severity == "stop"
    assert abs(rest.heel) > math.radians(80)
    assert rest.rights_up_to == 0.0


def test_a_second_rest_upside_down_is_told() -> None:
    rest = rest_attitude(box(), mass=0.9, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER)
    assert codes(rest.findings) == ["rests-capsized"]
    assert "upside down" in rest.findings[0].what
    assert len(rest.attitudes) == 2


def test_a_boat_heavy_to_port_leans_to_port_and_is_told_to_move_weight_to_starboard() -> None:
    rest = rest_attitude(box(), mass=0.9, centre=np.array([0.3, -0.03, 0.02]), water_density=WATER)
    assert rest.heel < 0
    lists = next(finding for finding in rest.findings if finding.code == "lists")
    assert "to port" in lists.what
    assert "Move weight to starboard" in lists.do


def test_a_boat_that_lolls_has_two_rests_and_no_righting_range() -> None:
    rest = rest_attitude(
        box(0.65, 0.12, 0.12), mass=0.65 * 0.12 * 0.04 * WATER, centre=np.array([0.325, 0.0, 0.051]),
        water_density=WATER,
    )  # fmt: skip
    assert {"lists", "two-rests"} <= set(codes(rest.findings))
    heels = sorted(attitude.heel for attitude in rest.attitudes if abs(attitude.heel) < 1)
    assert heels[0] == pytest.approx(-heels[1], rel=1e-6)
    assert rest.rights_up_to < 1e-4


def test_a_balance_point_near_the_end_hangs_that_end_down() -> None:
    rest = rest_attitude(box(), mass=2.0, centre=np.array([0.08, 0.0, 0.02]), water_density=WATER)
    steep = next(finding for finding in rest.findings if finding.code == "steep-trim")
    assert "bow hangs" in steep.what
    assert steep.do == "Move weight aft."


def test_the_righting_curve_can_be_asked_for_at_any_heels() -> None:
    heels = [math.radians(heel) for heel in (-4, 0, 4, 8)]
    rest = rest_attitude(box(), mass=0.9, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER, heels=heels)
    assert [lever.heel for lever in rest.righting] == pytest.approx(heels, abs=1e-15)


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan])
def test_a_mass_that_is_not_positive_is_refused(mass: float) -> None:
    with pytest.raises(InputError, match="Mass"):
        rest_attitude(box(), mass=mass, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER)


def test_a_balance_point_that_is_no_point_is_refused() -> None:
    with pytest.raises(InputError, match="balance point"):
        rest_attitude(box(), mass=0.9, centre=np.array([0.3, 0.0]), water_density=WATER)


def test_a_shell_with_a_hole_is_refused() -> None:
    shell = box()
    leaky = Shell(vertices=shell.vertices, triangles=shell.triangles[:-1])
    with pytest.raises(InputError, match="does not close"):
        rest_attitude(leaky, mass=0.9, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER)


def test_a_lever_of_a_boat_too_heavy_to_float_is_refused() -> None:
    with pytest.raises(InputError, match="too heavy to float"):
        righting_lever(box(), mass=13.0, centre=np.array([0.3, 0.0, 0.02]), water_density=WATER, heel=0.1)


@pytest.mark.parametrize(("mass", "cause"), [(0.9, "beyond the end of the hull"), (11.9, "all but sunk")])
def test_no_rest_names_the_likely_cause(monkeypatch: pytest.MonkeyPatch, mass: float, cause: str) -> None:
    # Every boat tried does find a rest, so the search itself is made to fail here.
    monkeypatch.setattr(settling.Problem, "settle", lambda *_, **__: None)
    with pytest.raises(ModelError, match=cause):
        rest_attitude(box(), mass=mass, centre=np.array([0.9, 0.0, 0.02]), water_density=WATER)
    if mass < 1:
        with pytest.raises(ModelError, match="6 degrees of heel"):
            righting_lever(box(), mass=mass, centre=np.array([0.9, 0.0, 0.02]), water_density=WATER, heel=0.1)


def test_fold_62_carries_74_per_cent_on_its_pads() -> None:
    feet = feet_shares(centre_x=0.3455, centre_y=0.0, pad_contact=0.255, stern_contact=0.605, pad_spread=0.22)
    assert round(100 * (feet.left + feet.right)) == 74  # demonstration data
    assert feet.left == feet.right
    assert feet.findings == ()


def test_the_three_shares_balance_the_weight() -> None:
    feet = feet_shares(centre_x=0.4, centre_y=0.01, pad_contact=0.25, stern_contact=0.6, pad_spread=0.2)
    assert feet.left + feet.right + feet.stern == pytest.approx(1.0, rel=1e-12)
    assert (feet.left + feet.right) * 0.25 + feet.stern * 0.6 == pytest.approx(0.4, rel=1e-12)
    assert (feet.right - feet.left) * 0.1 == pytest.approx(0.01, rel=1e-12)


@pytest.mark.parametrize(
    ("centre_x", "centre_y", "code", "words"),
    [
        (0.2, 0.0, "falls-nose", "it will fall on its nose"),
        (0.7, 0.0, "falls-stern", "it will fall on its stern"),
        (0.5, 0.09, "falls-starboard", "it will fall to starboard"),
        (0.5, -0.09, "falls-port", "it will fall to port"),
    ],
)
def test_a_balance_point_outside_the_feet_says_which_way_it_falls(
    centre_x: float, centre_y: float, code: str, words: str
) -> None:
    feet = feet_shares(
        centre_x=centre_x, centre_y=centre_y, pad_contact=0.25, stern_contact=0.6, pad_spread=0.2
    )
    assert codes(feet.findings) == [code]
    assert words in feet.findings[0].what


def test_feet_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(InputError, match="Distance from pads to stern foot"):
        feet_shares(centre_x=0.4, centre_y=0.0, pad_contact=0.6, stern_contact=0.25, pad_spread=0.2)

"""The parts close over one another at any board thickness."""

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from skimwright.boat import board_mass, part_shell
from skimwright.boat.clash import part_clashes

CLOSE = 0.05e-3  # capability A2 [m]
STANDING = ("FIN-1", "FIN-2", "CRADLE-1")


def outside(kit):
    """Corners of the hull and sponsons, least and greatest."""
    points = np.vstack([part_shell(part).vertices for part in kit.parts if part.code not in STANDING])
    return np.array([points.min(axis=0), points.max(axis=0)])


@pytest.mark.parametrize("number", [50, 62, 74])
@pytest.mark.parametrize("thickness", [3, 4, 6, 7])
def test_outside_sizes_do_not_know_the_boards_thickness(fold, number, thickness):
    drawn, other = outside(fold(number)), outside(fold(number, board={"thickness_mm": thickness}))
    assert other == pytest.approx(drawn, abs=1e-9)


def test_outside_sizes_are_those_of_the_drawing(fold):
    assert outside(fold()) == pytest.approx(np.array([[0, -0.14, 0], [0.62, 0.14, 0.072]]), abs=1e-9)


@pytest.mark.parametrize("number", [50, 62, 74])
@pytest.mark.parametrize("thickness", [3, 5, 7])
def test_no_two_parts_clash(fold, number, thickness):
    """Solid against solid, all 253 pairs, slanted edges and slots as they will be cut."""
    clashes = part_clashes(fold(number, board={"thickness_mm": thickness}).parts)
    assert [clash for clash in clashes if clash.depth > CLOSE] == []


@pytest.mark.parametrize(
    "code, pair, depth",
    [
        ("FLOOR-1", ("FLOOR-1", "FLOOR-2"), 1.0e-3),
        ("POD-4", ("POD-2 left", "POD-4 left"), 3.0e-3),
        ("PAD-1", ("POD-2 left", "PAD-1 left"), 0.2e-3),
        ("RIB-3", ("RIB-3", "FLOOR-1"), 0.1e-3),
    ],
)
def test_with_one_edge_left_square_the_clash_is_found(fold, code, pair, depth):
    parts = [replace(part, bevels=()) if part.code == code else part for part in fold().parts]
    found = {frozenset((clash.part_a, clash.part_b)): clash.depth for clash in part_clashes(parts)}
    assert found[frozenset(pair)] > depth


def test_without_its_slot_the_water_fin_does_not_fit(fold):
    parts = [replace(part, slots=()) for part in fold().parts]
    found = {frozenset((clash.part_a, clash.part_b)): clash.depth for clash in part_clashes(parts)}
    assert set(found) == {frozenset(("FIN-1", "FLOOR-1")), frozenset(("FIN-2", "DECK-1"))}
    assert found[frozenset(("FIN-2", "DECK-1"))] == pytest.approx(0.003, abs=1e-6)


def test_every_joint_lies_on_both_of_its_parts(fold):
    """The line's ends and middle, within 0.3 mm: the gap a rib leaves for glue on a slope is half that."""
    for thickness in (3, 5):
        kit = fold(board={"thickness_mm": thickness})
        for joint in kit.joints:
            for name in (joint.part_a, joint.part_b):
                part = kit.part(name)
                for share in (0.0, 0.5, 1.0):
                    point = np.array(joint.start) * (1 - share) + np.array(joint.end) * share
                    place = part.place
                    u, v, w = np.array([place.u, place.v, place.w]) @ (point - place.origin)
                    gap = Polygon(part.outline).distance(Point(u, v))
                    assert max(gap, -w, w - part.thickness) < 0.3e-3, (joint, name)


def test_every_part_is_joined_and_each_joint_adds_a_later_part(fold):
    kit = fold()
    order = {part.name: part.order for part in kit.parts}
    assert {name for joint in kit.joints for name in (joint.part_a, joint.part_b)} == set(order)
    assert all(order[joint.part_a] > order[joint.part_b] for joint in kit.joints)
    assert [order[joint.part_a] for joint in kit.joints] == sorted(
        order[joint.part_a] for joint in kit.joints
    )


def test_left_parts_have_one_nick_and_right_parts_two(fold):
    nicks = {part.name: part.nicks for part in fold().parts}
    assert nicks["WALL-1 left"] == 1
    assert nicks["WALL-1 right"] == 2
    assert nicks["DECK-1"] == 0


def test_a_flat_pair_can_be_swapped(fold):
    kit = fold()
    for part in kit.parts:
        if part.side == "left":
            twin = kit.part(f"{part.code} right")
            assert twin.outline == part.outline
            assert np.array(twin.centroid) * [1, -1, 1] == pytest.approx(np.array(part.centroid), abs=1e-12)


def test_a_wall_cannot_be_turned_end_for_end(fold):
    outline = np.array(fold().part("WALL-1 left").outline)
    turned = Polygon(np.array([0.62, 0]) + outline * [-1, 1])
    # The tell-tale step at the sponson's end comes to the wrong end.
    assert Polygon(outline).symmetric_difference(turned).area > 0.05 * Polygon(outline).area


def test_the_long_parts_ask_for_the_grain(fold):
    assert {part.code for part in fold().parts if part.along == "u"} == {"DECK-1", "FLOOR-1", "WALL-1"}


def test_a_places_matrix_moves_the_flat_outline_to_the_boat(fold):
    part = fold().part("FLOOR-1")
    corner = part.place.matrix() @ [*part.outline[1], 0, 1]
    assert corner == pytest.approx([0.62, -0.075, 0, 1], abs=1e-12)


def test_thinner_board_of_the_same_weight_makes_wider_inside_parts(fold):
    thin = fold(board={"thickness_mm": 3})
    assert np.ptp(np.array(thin.part("FLOOR-1").outline)[:, 1]) == pytest.approx(0.154)
    assert board_mass(thin).mass > board_mass(fold()).mass

"""Skins are closed, look outwards, and hold what closed forms say."""

from collections import Counter

import manifold3d
import numpy as np
import pytest
import trimesh

from skimwright.base import InputError
from skimwright.boat import Shell, all_shells, outer_shell, part_shell, read_kit_table, sealed_spaces
from skimwright.boat.shells import inset


def is_closed(shell):
    """Every edge is walked once each way."""
    walks = Counter(
        (a, b)
        for row in shell.triangles.tolist()
        for a, b in zip(row, np.roll(row, -1).tolist(), strict=True)
    )
    return all(count == 1 and walks[b, a] == 1 for (a, b), count in walks.items())


def as_trimesh(shell):
    return trimesh.Trimesh(shell.vertices, shell.triangles, process=False)


def as_solid(shell):
    return manifold3d.Manifold(manifold3d.Mesh64(shell.vertices, shell.triangles.astype(np.uint64)))


def polygon_area(*points):
    x, y = np.array(points).T
    return abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


@pytest.mark.parametrize("number", [50, 62, 74])
def test_every_skin_is_closed_and_looks_outwards(fold, number):
    kit = fold(number)
    for shell in (outer_shell(kit), all_shells(kit), *map(part_shell, kit.parts)):
        assert is_closed(shell)
        assert shell.volume > 0
        assert shell.volume == pytest.approx(as_trimesh(shell).volume, rel=1e-12)


def test_volumes_are_those_of_the_drawing(fold):
    """Prisms of polygons whose areas are worked out here from the numbers of the drawing."""
    spaces = sealed_spaces(fold())
    roof = lambda x: 34 - 34 / 570 * (x - 50)  # noqa: E731
    pad = 70 * np.tan(np.radians(4))
    side = polygon_area((0, 72), (0, 67), (50, 34), (620, 0), (620, 72))
    pod = polygon_area((50, 72), (50, 34), (210, pad), (280, 0), (280, 72))
    hung = polygon_area((50, 34), (210, pad), (280, 0), (280, roof(280)))
    corners = (50 * 60 / 2 + 40 * 60 / 2) * 5
    assert spaces["hull"].volume * 1e9 == pytest.approx(side * 160, rel=1e-12)
    for name in ("sponson-left", "sponson-right"):
        assert spaces[name].volume * 1e9 == pytest.approx(pod * 60 + hung * 5 + corners, rel=1e-12)
    plain = sealed_spaces(fold(), hung_walls=False)["sponson-left"].volume
    assert (spaces["sponson-left"].volume - plain) * 1e9 == pytest.approx(hung * 5, rel=1e-9)


@pytest.mark.parametrize("number", [50, 62, 74])
def test_the_spaces_touch_and_do_not_overlap(fold, number):
    spaces = sealed_spaces(fold(number))
    union = sum((as_solid(space) for space in spaces.values()), manifold3d.Manifold())
    whole = outer_shell(fold(number))
    assert whole.volume == pytest.approx(sum(space.volume for space in spaces.values()), rel=1e-12)
    assert union.volume() == pytest.approx(whole.volume, rel=1e-9)


@pytest.mark.parametrize("number", [50, 62, 74])
@pytest.mark.parametrize("thickness", [3, 5])
def test_a_flooded_boat_displaces_its_board_and_no_more(fold, number, thickness):
    """Board counted the other way: the union of the parts that make hull and sponsons.

    The flooded skin takes the transom as closed down to the floor; its part leaves a line for glue there.
    """
    kit = fold(number, board={"thickness_mm": thickness})
    parts = [as_solid(part_shell(part)) for part in kit.parts if not part.code.startswith(("FIN", "CRADLE"))]
    board = manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add).volume()
    d, t = kit.design, kit.board.thickness
    glue_line = (d.hull_width - 2 * t) * t * (t / 2 * d.floor_slope)
    assert all_shells(kit).volume == pytest.approx(board + glue_line, abs=1e-9)


def test_one_flooded_sponson_loses_its_own_air(fold):
    kit = fold()
    lost = outer_shell(kit).volume - all_shells(kit, flooded=["sponson-left"]).volume
    # Inside of a sponson: 55 wide; its side view moved in by 5 mm all round, under the deck at 67.
    side = np.array([(50, 67), (50, 34), (210, 70 * np.tan(np.radians(4))), (280, 0), (280, 67)])
    room = polygon_area(*inset(side, np.array([5, 5, 5, 5, 0])))
    assert lost * 1e9 == pytest.approx(room * 55, rel=1e-9)
    assert all_shells(kit, flooded=[]).volume == outer_shell(kit).volume
    both = outer_shell(kit).volume - all_shells(kit, flooded=["sponson-left", "sponson-right"]).volume
    assert both == pytest.approx(2 * lost, rel=1e-9)


def test_a_space_the_boat_does_not_have_is_refused(fold):
    with pytest.raises(InputError, match="cabin"):
        all_shells(fold(), flooded=["cabin"])


def test_the_demonstration_boat_floats_as_its_data_say(fold):
    """Fold 62, 269 g: water 22.5 mm at the bow, 6.4 at the stern [demo; hung walls not counted]."""
    rise = (6.4 - 22.5) / 620
    plane = {"normal": (rise, 0.0, -1.0), "origin_offset": -22.5e-3}
    wet = {}
    for hung in (False, True):
        volume, moment = 0.0, 0.0
        for space in sealed_spaces(fold(), hung_walls=hung).values():
            mesh = as_solid(space).trim_by_plane(**plane).to_mesh64()
            under = Shell(
                vertices=np.array(mesh.vert_properties)[:, :3],
                triangles=np.array(mesh.tri_verts).astype(np.int64),
            )
            volume, moment = volume + under.volume, moment + under.volume * under.centre[0]
        wet[hung] = (volume * 1e6, moment / volume * 1e3)
    # Heights printed to 0.1 mm: half of it over the water plane of about 240 cm2 is 1.2 cm3.
    assert wet[False][0] == pytest.approx(269, abs=1.2)
    assert wet[False][1] == pytest.approx(345.5, abs=2.5)
    assert wet[True][0] - wet[False][0] == pytest.approx(14.3, abs=0.5)


def test_a_bent_skin_moves_each_edge_by_its_own_amount():
    moved = inset(np.array([[0, 0], [4, 0], [4, 3], [0, 3.0]]), np.array([1, 0.5, 0, 0.25]))
    assert moved == pytest.approx(np.array([[0.25, 1], [3.5, 1], [3.5, 3], [0.25, 3]]))


def test_own_parts_melt_into_one_outer_skin(box):
    shell = outer_shell(box)
    assert is_closed(shell)
    assert shell.volume == pytest.approx(0.4 * 0.2 * 0.06, rel=1e-9)
    assert shell.centre == pytest.approx([0.2, 0, 0.03], abs=1e-9)
    assert set(sealed_spaces(box)) == {"hull"}


def test_a_flooded_box_displaces_its_board(box):
    hollow = 0.39 * 0.19 * 0.05
    assert all_shells(box).volume == pytest.approx(0.4 * 0.2 * 0.06 - hollow, rel=1e-9)
    assert all_shells(box, flooded=[]).volume == pytest.approx(0.4 * 0.2 * 0.06, rel=1e-9)


def test_two_hulls_side_by_side_are_both_outer_skins(box_table):
    far = [
        {
            **part,
            "name": f"{part['name']}-B",
            "origin_mm": [part["origin_mm"][0], part["origin_mm"][1] + 400, part["origin_mm"][2]],
        }
        for part in box_table["parts"]
    ]
    box_table["parts"] += far
    twin = read_kit_table(box_table, file="twin.toml")
    assert outer_shell(twin).volume == pytest.approx(2 * 0.4 * 0.2 * 0.06, rel=1e-9)

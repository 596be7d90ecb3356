"""Mass, balance and inertia against closed forms and a second program."""

import numpy as np
import pytest
import trimesh

from skimwright.boat import AddedMass, MassProperties, board_mass, part_shell, sum_masses, total_mass
from skimwright.boat.mass import part_mass


def mesh_properties(part, density):
    """The same prism by a general mesh program."""
    shell = part_shell(part)
    mesh = trimesh.Trimesh(shell.vertices, shell.triangles, process=False)
    mesh.density = density
    return mesh.mass, mesh.center_mass, mesh.moment_inertia


@pytest.mark.parametrize("code", ["DECK-1", "FIN-1", "FIN-2", "CRADLE-1", "WALL-1", "POD-1"])
def test_a_square_edged_part_weighs_and_turns_as_a_mesh_program_says(fold, code):
    kit = fold()
    for part in (part for part in kit.parts if part.code == code):
        ours = part_mass(part, areal_density=0.45)
        mass, centre, inertia = mesh_properties(part, 0.45 / part.thickness)
        assert ours.mass == pytest.approx(mass, rel=1e-9)
        assert ours.centre == pytest.approx(centre, abs=1e-9)
        assert ours.inertia == pytest.approx(inertia, rel=1e-8, abs=1e-13)


def test_a_turned_box_part_has_the_textbook_inertia(box):
    """m/12 (a2 + b2) about each axis through the middle."""
    part = box.part("BOW")  # 50 high, 200 wide, 5 thick, standing across
    ours = part_mass(part, areal_density=0.45)
    mass = 0.05 * 0.2 * 0.45
    expected = mass / 12 * np.diag([0.05**2 + 0.2**2, 0.05**2 + 0.005**2, 0.2**2 + 0.005**2])
    assert ours.mass == pytest.approx(mass, rel=1e-12)
    assert ours.centre == pytest.approx([0.0025, 0, 0.03], abs=1e-12)
    assert ours.inertia == pytest.approx(expected, abs=1e-15)


def test_a_box_of_board_is_the_difference_of_two_boxes(box):
    outer, inner = np.array([0.4, 0.2, 0.06]), np.array([0.39, 0.19, 0.05])
    density = 0.45 / 0.005

    def solid(size):
        mass = density * np.prod(size)
        return mass, mass / 12 * np.diag(np.square(size).sum() - np.square(size))

    board = board_mass(box)
    assert board.mass == pytest.approx(solid(outer)[0] - solid(inner)[0], rel=1e-9)
    assert board.centre == pytest.approx([0.2, 0, 0.03], abs=1e-9)
    assert board.inertia == pytest.approx(solid(outer)[1] - solid(inner)[1], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("number", [50, 62, 74])
def test_inertia_is_that_of_some_real_body(fold, number):
    ready = total_mass(fold(number))
    assert ready.inertia == pytest.approx(ready.inertia.T, abs=1e-15)
    a, b, c = np.linalg.eigvalsh(ready.inertia)
    assert a > 0
    assert a + b >= c
    assert ready.inertia[0, 1] == pytest.approx(0, abs=1e-12)


def test_points_add_up_about_their_common_centre():
    points = [(1.0, [0.0, 0, 0]), (3.0, [4.0, 0, 0])]
    both = sum_masses(
        MassProperties(mass=mass, centre=np.array(place), inertia=np.zeros((3, 3))) for mass, place in points
    )
    assert both.mass == 4
    assert both.centre == pytest.approx([3, 0, 0])
    assert both.inertia == pytest.approx(np.diag([0, 12, 12]))


def test_ballast_moves_the_balance_by_its_lever(fold):
    """Capability E6: 235.2 g at 321.6 mm and lead at 600 mm to reach 345 mm need 21.6 g [derived]."""
    kit = fold()
    device = AddedMass(what="small device", mass=0.028, place=(0.5, 0, 0.1))
    lead = AddedMass(what="lead", mass=0.0216, place=(0.6, 0, 0.01), size=(0.02, 0.03, 0.004))
    bare = total_mass(kit, extra=[device], without=["device pod"])
    assert bare.mass * 1e3 == pytest.approx(235.2, abs=0.05)
    assert bare.centre[0] * 1e3 == pytest.approx(321.6, abs=0.1)
    trimmed = total_mass(kit, extra=[device, lead], without=["device pod"])
    assert trimmed.mass * 1e3 == pytest.approx(256.8, abs=0.05)
    # The sum was made with the board at 296.4 mm; ours is at 296.5.
    assert trimmed.centre[0] * 1e3 == pytest.approx(345, abs=0.15)


def test_spread_out_glue_turns_as_the_board_does(fold):
    board = board_mass(fold())
    glue = AddedMass(what="glue", mass=board.mass, place=tuple(board.centre), spread_out=True)
    doubled = total_mass(fold(), extra=[glue], without=[item.what for item in fold().added])
    assert doubled.inertia == pytest.approx(2 * board.inertia, rel=1e-12, abs=1e-15)

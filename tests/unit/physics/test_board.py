"""Boards: sandwich sums against plain mechanics, and the slap against the core."""

import pytest

from skimwright.base import InputError
from skimwright.physics import board

STRIP = {"face": 1e-4, "core": 4.6e-3, "width": 0.05}


def test_bending_stiffness_is_the_second_moment_of_two_faces():
    face, core, width = STRIP["face"], STRIP["core"], STRIP["width"]
    own = 2 * width * face**3 / 12
    shifted = 2 * width * face * ((core + face) / 2) ** 2
    assert board.bending_stiffness(face_modulus=3e9, **STRIP) == pytest.approx(
        3e9 * (own + shifted), rel=1e-9
    )


def test_shear_stiffness_tends_to_modulus_times_area_for_thin_faces():
    thin = {**STRIP, "face": 1e-9}
    assert board.shear_stiffness(core_modulus=2e6, **thin) == pytest.approx(2e6 * 4.6e-3 * 0.05, rel=1e-6)


def test_face_stress_balances_the_bending_moment():
    _, stress = board.strip_stress(load=2.0, span=0.2, **STRIP)
    force = stress * STRIP["face"] * STRIP["width"]
    assert force * (STRIP["core"] + STRIP["face"]) == pytest.approx(2.0 * 0.2 / 4)


def test_core_shear_balances_half_the_load():
    shear, _ = board.strip_stress(load=2.0, span=0.2, **STRIP)
    assert shear * (STRIP["core"] + STRIP["face"]) * STRIP["width"] == pytest.approx(1.0)


def test_two_spans_give_both_stiffnesses_back():
    sags = {s: board.strip_sag(load=2.0, span=s, bending=0.166, shear=480.0) for s in (0.1, 0.25)}
    found = board.stiffness_from_two_spans(
        load=2.0, short_span=0.1, short_sag=sags[0.1], long_span=0.25, long_sag=sags[0.25]
    )
    assert found == pytest.approx((0.166, 480.0), rel=1e-9)


def test_equal_spans_are_refused():
    with pytest.raises(InputError, match="Difference of the spans"):
        board.stiffness_from_two_spans(load=2.0, short_span=0.1, short_sag=1e-3, long_span=0.1, long_sag=1e-3)


def test_heavier_foam_is_never_weaker():
    for extruded in (True, False):
        strengths = [board.core_strength(density=d, extruded=extruded)[0] for d in range(5, 60)]
        assert strengths == sorted(strengths)


def test_more_than_half_of_a_light_board_is_paper():
    """The published weighing: faces 0.1545, core 0.1364 kg/m2."""
    faces = board.areal_density(mass=0.001545, area=0.01)
    whole = board.areal_density(mass=0.002909, area=0.01)
    assert faces / whole > 0.5


def test_budgets_scale_with_length():
    assert board.joint_glue_mass(joint_length=2.0) == pytest.approx(0.006)
    assert board.tape_mass(length=2.0) == pytest.approx(2 * board.tape_mass(length=1.0))


def test_worked_slap_is_harmless_to_a_pad():
    pressure = board.slam_pressure(mass=0.30, speed=0.5, beam=0.04, length=0.10, water_density=1000.0)
    assert pressure == pytest.approx(650.0, rel=0.01)
    assert board.slam_finding(pressure=pressure, core_density=21.0, extruded=True) == ()
    ceiling = board.acoustic_ceiling(speed=0.5, water_density=998.0, sound_speed=1482.0)
    assert pressure < ceiling / 1000


def test_a_hard_slap_is_named_with_both_pressures():
    (found,) = board.slam_finding(pressure=20e3, core_density=21.0, extruded=True)
    assert "20.0 kPa" in found.what
    assert "104 kPa" in found.what


def test_steeper_wedges_slam_less():
    flat, steep = (board.wedge_slam_pressure(speed=1.0, deadrise=a, water_density=1000.0) for a in (0.2, 0.5))
    assert steep < flat


def test_envelope_names_a_board_no_one_has_weighed():
    found = board.envelope(areal_density=0.9, core_density=60.0)
    assert [finding.code for finding in found] == ["board-mass", "board-core"]

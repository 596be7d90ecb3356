"""Closed forms: boxes and wedges whose wet part can be written down."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from skimwright.base import InputError
from skimwright.boat import Shell
from skimwright.physics.hydrostatics import displacement, joined, require_closed, water_axes

LENGTH, BEAM, DEPTH = 0.6, 0.25, 0.08


def box(length: float = LENGTH, beam: float = BEAM, depth: float = DEPTH, *, front: float = 0.0) -> Shell:
    mesh = trimesh.creation.box((length, beam, depth))
    mesh.apply_translation((front + length / 2, 0.0, depth / 2))
    return Shell(vertices=mesh.vertices, triangles=mesh.faces.astype(np.int64))


def moved(shell: Shell, *, turn: np.ndarray, shift: np.ndarray) -> Shell:
    return Shell(vertices=shell.vertices @ turn.T + shift, triangles=shell.triangles)


def test_a_level_box_displaces_its_footprint_times_its_draft() -> None:
    wet = displacement(box(), sinkage=0.03, trim=0.0, heel=0.0)
    assert wet.volume == pytest.approx(LENGTH * BEAM * 0.03, rel=1e-12)
    assert wet.centre == pytest.approx([0.3, 0.0, 0.015], abs=1e-15)
    assert wet.centre_water == pytest.approx([0.3, 0.0, -0.015], abs=1e-15)
    assert wet.plane_area == pytest.approx(LENGTH * BEAM, rel=1e-12)
    assert wet.plane_centre == pytest.approx([0.3, 0.0], abs=1e-15)
    assert wet.plane_inertia == pytest.approx(
        np.diag([BEAM * LENGTH**3 / 12, LENGTH * BEAM**3 / 12]), abs=1e-15
    )
    assert wet.wet_area == pytest.approx(LENGTH * BEAM + 2 * 0.03 * (LENGTH + BEAM), rel=1e-12)


@pytest.mark.parametrize("trim_deg", [2.0, -1.5])
def test_a_trimmed_box_is_a_prism_of_trapezoid_section(trim_deg: float) -> None:
    trim, sinkage = math.radians(trim_deg), 0.03
    wet = displacement(box(), sinkage=sinkage, trim=trim, heel=0.0)
    # Heights of the surface over the bottom, along boat z, at the bow and the stern.
    bow = sinkage / math.cos(trim)
    stern = bow + LENGTH * math.tan(trim)
    assert 0 < stern < DEPTH
    area = (bow + stern) / 2 * LENGTH
    middle = LENGTH * (bow + 2 * stern) / (3 * (bow + stern))
    height = (bow * bow + bow * stern + stern * stern) / (3 * (bow + stern))
    assert wet.volume == pytest.approx(area * BEAM, rel=1e-12)
    assert wet.centre == pytest.approx([middle, 0.0, height], abs=1e-14)


def test_a_box_heeled_until_its_bottom_shows_is_a_wedge() -> None:
    heel, sinkage = math.radians(20), 0.0
    wet = displacement(box(), sinkage=sinkage, trim=0.0, heel=heel)
    side = BEAM / 2  # the surface crosses the bottom on the centre line
    up = side * math.tan(heel)
    assert wet.volume == pytest.approx(LENGTH * side * up / 2, rel=1e-12)
    assert wet.centre == pytest.approx([0.3, side * 2 / 3, up / 3], abs=1e-14)  # to starboard
    assert wet.plane_area == pytest.approx(LENGTH * side / math.cos(heel), rel=1e-12)


def test_bow_up_trim_sinks_the_stern_and_heel_sinks_the_starboard_side() -> None:
    bow_up = displacement(box(), sinkage=0.0, trim=0.05, heel=0.0)
    heeled = displacement(box(), sinkage=0.0, trim=0.0, heel=0.05)
    assert bow_up.centre[0] > 0.3
    assert heeled.centre[1] > 0.0


def test_water_axes_are_heel_then_trim() -> None:
    trim, heel = 0.2, -0.7
    about_x = trimesh.transformations.rotation_matrix(-heel, [1, 0, 0])[:3, :3]
    about_y = trimesh.transformations.rotation_matrix(trim, [0, 1, 0])[:3, :3]
    assert water_axes(trim=trim, heel=heel) == pytest.approx(about_y @ about_x, abs=1e-15)


def test_a_boat_clear_of_the_water_displaces_nothing_and_has_no_centre() -> None:
    wet = displacement(box(), sinkage=-0.01, trim=0.0, heel=0.0)
    assert wet.volume == 0.0
    assert wet.plane_area == 0.0
    assert wet.wet_area == 0.0
    assert np.isnan(wet.centre).all()


def test_a_bottom_exactly_at_the_surface_counts_as_dry() -> None:
    assert displacement(box(), sinkage=0.0, trim=0.0, heel=0.0).volume == 0.0


def test_a_boat_wholly_under_water_displaces_all_of_itself() -> None:
    wet = displacement(box(), sinkage=1.0, trim=0.3, heel=2.0)
    assert wet.volume == pytest.approx(LENGTH * BEAM * DEPTH, rel=1e-12)
    assert wet.centre == pytest.approx([0.3, 0.0, 0.04], abs=1e-14)
    assert wet.plane_area == 0.0


def test_turning_boat_and_attitude_together_changes_nothing() -> None:
    shell, trim, heel, sinkage = box(), 0.1, 0.4, 0.02
    there = displacement(shell, sinkage=sinkage, trim=trim, heel=heel)
    turned = moved(shell, turn=water_axes(trim=trim, heel=heel), shift=np.array([0.0, 0.0, -sinkage]))
    here = displacement(turned, sinkage=0.0, trim=0.0, heel=0.0)
    assert here.volume == pytest.approx(there.volume, rel=1e-12)
    assert here.centre == pytest.approx(there.centre_water, abs=1e-14)
    assert here.plane_inertia == pytest.approx(there.plane_inertia, abs=1e-15)
    assert here.wet_area == pytest.approx(there.wet_area, rel=1e-12)


def test_the_plane_area_is_the_slope_of_the_volume() -> None:
    h, trim, heel = 1e-6, 0.02, 0.1
    deeper, higher = (
        displacement(box(), sinkage=0.03 + step, trim=trim, heel=heel).volume for step in (h, -h)
    )
    area = displacement(box(), sinkage=0.03, trim=trim, heel=heel).plane_area
    assert (deeper - higher) / (2 * h) == pytest.approx(area, rel=1e-8)  # a difference, not a derivative


def test_a_flooded_space_is_left_out_and_the_rest_still_counts() -> None:
    front, rear = box(0.2), box(0.2, front=0.4)
    both = displacement(joined([front, rear]), sinkage=0.03, trim=0.0, heel=0.0)
    one = displacement(joined([rear]), sinkage=0.03, trim=0.0, heel=0.0)
    assert both.volume == pytest.approx(2 * one.volume, rel=1e-12)
    assert both.centre[0] == pytest.approx(0.3, abs=1e-14)
    assert one.centre[0] == pytest.approx(0.5, abs=1e-14)


def test_the_skin_of_a_void_takes_its_volume_away() -> None:
    inner = trimesh.creation.box((0.5, 0.2, 0.06))
    inner.apply_translation((0.3, 0.0, 0.04))
    void = Shell(vertices=inner.vertices, triangles=inner.faces[:, ::-1].astype(np.int64))
    wet = displacement(joined([box(), void]), sinkage=1.0, trim=0.0, heel=0.0)
    assert wet.volume == pytest.approx(LENGTH * BEAM * DEPTH - 0.5 * 0.2 * 0.06, rel=1e-12)


def test_a_skin_with_a_hole_is_refused() -> None:
    shell = box()
    with pytest.raises(InputError, match="does not close: got 3 loose edges"):
        require_closed(Shell(vertices=shell.vertices, triangles=shell.triangles[1:]))


def test_a_skin_inside_out_is_refused() -> None:
    shell = box()
    with pytest.raises(InputError, match="encloses no space"):
        require_closed(Shell(vertices=shell.vertices, triangles=shell.triangles[:, ::-1]))


def test_corners_named_twice_still_close() -> None:
    shell = box()
    loose = Shell(
        vertices=shell.vertices[shell.triangles].reshape(-1, 3),
        triangles=np.arange(3 * len(shell.triangles)).reshape(-1, 3),
    )
    require_closed(loose)
    assert displacement(loose, sinkage=0.03, trim=0.1, heel=0.2).volume == pytest.approx(
        displacement(shell, sinkage=0.03, trim=0.1, heel=0.2).volume, rel=1e-12
    )


def test_no_body_at_all_is_refused() -> None:
    with pytest.raises(InputError, match="keeps the water out"):
        joined([])


def test_an_attitude_that_is_no_number_is_refused() -> None:
    with pytest.raises(InputError, match="finite numbers"):
        displacement(box(), sinkage=math.nan, trim=0.0, heel=0.0)

"""The same cut by another road: trimesh slices the placed mesh, caps it and weighs the piece.

Source: trimesh (general-purpose mesh library), `slice_plane(cap=True)`, `volume`, `center_mass`.
"""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from skimwright.boat import Shell
from skimwright.physics.hydrostatics import displacement, joined, water_axes

ATTITUDES = [(0.0, 0.0, 0.0), (0.01, 0.08, 0.3), (-0.02, -0.2, 2.5), (0.02, 0.4, -0.7), (0.005, -0.03, 3.1)]


def convex(seed: int) -> trimesh.Trimesh:
    points = np.random.default_rng(seed).normal(size=(200, 3)) * (0.2, 0.08, 0.03)
    return trimesh.convex.convex_hull(points)


def shell_of(mesh: trimesh.Trimesh) -> Shell:
    return Shell(vertices=mesh.vertices, triangles=mesh.faces.astype(np.int64))


def wet_piece(mesh: trimesh.Trimesh, sinkage: float, trim: float, heel: float) -> trimesh.Trimesh:
    place = np.eye(4)
    place[:3, :3] = water_axes(trim=trim, heel=heel)
    place[2, 3] = -sinkage
    placed = mesh.copy()
    placed.apply_transform(place)
    if (placed.vertices[:, 2] < 0).all():
        return placed
    if (placed.vertices[:, 2] >= 0).all():
        return trimesh.Trimesh()
    return placed.slice_plane((0, 0, 0), (0, 0, -1), cap=True)


@pytest.mark.parametrize("attitude", ATTITUDES)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_random_convex_body_agrees_with_the_mesh_library(
    seed: int, attitude: tuple[float, float, float]
) -> None:
    sinkage, trim, heel = attitude
    mesh = convex(seed)
    theirs = wet_piece(mesh, sinkage, trim, heel)
    ours = displacement(shell_of(mesh), sinkage=sinkage, trim=trim, heel=heel)
    lid = np.abs(theirs.triangles[:, :, 2]).max(axis=1) < 1e-12
    assert ours.volume == pytest.approx(theirs.volume, rel=1e-9)
    assert ours.centre_water == pytest.approx(theirs.center_mass, abs=1e-12)
    assert ours.plane_area == pytest.approx(theirs.area_faces[lid].sum(), rel=1e-9)
    assert ours.wet_area == pytest.approx(theirs.area_faces[~lid].sum(), rel=1e-9)


@pytest.mark.parametrize("attitude", ATTITUDES)
def test_two_bodies_agree_with_the_sum_over_the_mesh_library_pieces(
    attitude: tuple[float, float, float],
) -> None:
    sinkage, trim, heel = attitude
    meshes = [convex(4), convex(5)]
    meshes[0].apply_translation((0.0, -0.3, 0.0))
    meshes[1].apply_translation((0.1, 0.3, 0.0))
    pieces = [wet_piece(mesh, sinkage, trim, heel) for mesh in meshes]
    volumes = np.array([piece.volume if len(piece.faces) else 0.0 for piece in pieces])
    centres = np.array([piece.center_mass if len(piece.faces) else np.zeros(3) for piece in pieces])
    ours = displacement(joined(map(shell_of, meshes)), sinkage=sinkage, trim=trim, heel=heel)
    assert ours.volume == pytest.approx(volumes.sum(), rel=1e-9)
    assert ours.centre_water == pytest.approx(volumes @ centres / volumes.sum(), abs=1e-12)

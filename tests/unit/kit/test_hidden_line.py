"""Hidden lines against rays shot at a mesh of another library, on random heaps of boxes."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from skimwright.kit.hidden_line import Body, Face, Scene, View, part_body

CORNERS = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=float)
QUADS = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))


def random_boxes(seed: int, count: int) -> list[tuple[np.ndarray, np.ndarray]]:
    """Half sizes and 4 x 4 places."""
    chance = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        place = trimesh.transformations.random_rotation_matrix(chance.random(3))
        place[:3, 3] = chance.uniform(-0.1, 0.1, 3)
        found.append((chance.uniform(0.01, 0.08, 3), place))
    return found


def as_body(name: str, half: np.ndarray, place: np.ndarray) -> Body:
    at = CORNERS * half @ place[:3, :3].T + place[:3, 3]
    return Body(name=name, faces=tuple(Face(contours=(at[list(quad)],)) for quad in QUADS))


def triangles(boxes: list[tuple[np.ndarray, np.ndarray]]) -> np.ndarray:
    meshes = [trimesh.creation.box(extents=2 * half, transform=place) for half, place in boxes]
    return np.vstack([mesh.triangles for mesh in meshes])


def blocked(points: np.ndarray, towards: np.ndarray, tri: np.ndarray) -> np.ndarray:
    """Does a ray from each point towards the eye meet a triangle?  The usual ray and triangle sum."""
    a, e1, e2 = tri[:, 0], tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]
    p = np.cross(towards, e2)
    det = (e1 * p).sum(axis=1)
    ok = np.abs(det) > 1e-12
    inv = np.where(ok, 1 / np.where(ok, det, 1), 0)
    s = points[:, None] - a
    u = (s * p).sum(axis=-1) * inv
    q = np.cross(s, e1)
    v = (q * towards).sum(axis=-1) * inv
    t = (q * e2).sum(axis=-1) * inv
    return (ok & (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-5)).any(axis=1)


@pytest.mark.parametrize("seed", range(6))
def test_what_is_drawn_is_what_rays_reach(seed: int) -> None:
    boxes = random_boxes(seed, 7)
    chance = np.random.default_rng(seed + 100)
    view = View(
        round_about=float(chance.uniform(-3, 3)), above=float(chance.uniform(-1, 1)), deck_down=bool(seed % 2)
    )
    scene = Scene([as_body(str(n), *box) for n, box in enumerate(boxes)], view)
    tri, rows = triangles(boxes), view.matrix()
    lines = np.vstack(list(scene.edges.values()))
    seen = hidden = 0
    for line, gone in zip(lines, scene.hidden(lines), strict=True):
        for f in np.linspace(0.013, 0.987, 40):
            if any(min(abs(f - start), abs(f - end)) < 0.004 for start, end in gone):
                continue  # so near a border that the ray may touch an edge
            point = (line[0] + f * (line[1] - line[0]))[None] @ rows
            nudges = 1e-6 * np.array([rows[0], -rows[0], rows[1], -rows[1]])
            answers = blocked(point + nudges, rows[2], tri)
            if answers.all() or not answers.any():
                is_hidden = any(start < f < end for start, end in gone)
                assert is_hidden == bool(answers.all()), (seed, f)
                seen, hidden = seen + (not is_hidden), hidden + is_hidden
    assert seen > 100
    assert hidden > 100  # both answers were really put to the test


def test_a_cut_falls_exactly_where_the_outlines_cross() -> None:
    low = as_body("low", np.array([1.0, 0.1, 0.1]), np.eye(4))
    above = np.eye(4)
    above[2, 3] = 0.5
    high = as_body("high", np.array([0.25, 1.0, 0.1]), above)
    scene = Scene([low, high], View(round_about=math.pi / 2, above=math.pi / 2 - 1e-9))
    across = np.array([[[-1.0, 0.1, 0.1], [1.0, 0.1, 0.1]]])
    ((start, end),) = scene.hidden(scene.on_paper(across[0])[None])[0:1][0]
    assert (start, end) == pytest.approx((0.375, 0.625), abs=1e-8)
    assert scene.body_share("low") == pytest.approx(0.75, abs=1e-8)
    assert scene.body_share("high") == pytest.approx(1.0)


def test_every_part_of_a_kit_is_a_closed_body_that_looks_outwards(kits) -> None:
    for part in kits["fold-62"].parts:
        volume = 0.0
        for face in part_body(part).faces:
            for contour in face.contours:
                vector = np.cross(contour, np.roll(contour, -1, axis=0)).sum(axis=0) / 2
                volume += float(vector @ face.contours[0][0]) / 3
        lost = sum(_area(slot.outline) * min(slot.depth, part.thickness) for slot in part.slots)
        lean = 0.2 if part.bevels else 1e-9  # slanted edges take some off
        assert volume == pytest.approx(part.area * part.thickness - lost, rel=lean), part.name


def _area(outline) -> float:
    x, y = np.array(outline).T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def test_touching_parts_do_not_hide_each_others_edges() -> None:
    floor = as_body("floor", np.array([1.0, 1.0, 0.1]), np.eye(4))
    up = np.eye(4)
    up[2, 3] = 0.3
    block = as_body("block", np.array([0.2, 0.2, 0.2]), up)
    scene = Scene([floor, block], View(round_about=0.7, above=0.6))
    foot = np.array([[[-0.2, -0.2, 0.1], [-0.2, 0.2, 0.1]]])
    assert scene.seen_shares(scene.on_paper(foot[0])[None])[0] == pytest.approx(1.0)


def test_a_face_seen_edge_on_hides_nothing_and_a_scene_of_nothing_is_empty() -> None:
    scene = Scene([], View(round_about=0.0, above=0.3))
    assert scene.seen() == []
    flat = Body(name="flat", faces=(Face(contours=(np.zeros((4, 3)),)),))
    assert Scene([flat], View(round_about=0.0, above=0.3)).seen() == []

"""Parts as triangles, for pictures in the round: slanted edges and slots as they will be cut."""

from __future__ import annotations

import mapbox_earcut
import numpy as np
from numpy.typing import NDArray

from skimwright.boat import Part
from skimwright.kit.hidden_line import Face, part_body

Array = NDArray[np.float64]
Triangles = NDArray[np.int64]


def part_triangles(part: Part) -> tuple[Array, Triangles]:
    """A part's closed skin.

    Returns
    -------
    tuple
        Corners (n, 3), boat axes [m], and rows of three of them, anticlockwise seen from outside.

    Examples
    --------
    A rectangle of board has 12 triangles.
    """
    corners: list[Array] = []
    rows: list[Triangles] = []
    start = 0
    for face in part_body(part).faces:
        points, cap = _cut_up(face)
        corners.append(points)
        rows.append(cap + start)
        start += len(points)
    rounded = np.vstack(corners).round(9)
    whole, index = np.unique(rounded, axis=0, return_inverse=True)
    triangles: Triangles = index.reshape(-1)[np.vstack(rows)]
    a, b, c = triangles.T
    return np.asarray(whole, dtype=np.float64), triangles[(a != b) & (b != c) & (c != a)]


def _cut_up(face: Face) -> tuple[Array, Triangles]:
    """A flat face with its holes as triangles that look the way it looks."""
    points = np.vstack(face.contours)
    across = face.contours[0][1] - face.contours[0][0]
    across = across / np.linalg.norm(across)
    flat = np.column_stack([points @ across, points @ np.cross(face.normal, across)])
    ends = np.cumsum([len(contour) for contour in face.contours]).astype(np.uint32)
    cap = mapbox_earcut.triangulate_float64(flat, ends).reshape(-1, 3).astype(np.int64)
    a, b, c = flat[cap].transpose(1, 0, 2)
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    cap[turn < 0] = cap[turn < 0][:, ::-1]
    return points, cap

"""Which way a part comes to its place: the way that it can be pulled off again."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import Joint, Kit, Part
from skimwright.kit.hidden_line import part_body

Array = NDArray[np.float64]
Pull = tuple[float, float, float]
CLEAR = 1e-6  # [m]


def pull_of(part: Part, kit: Kit, placed: Iterable[str]) -> Pull:
    """The direction away from everything it is glued to, boat axes.

    Each joint has a face to come off from; the mean of those directions slides along none of them.
    """
    normals = slides_of(part, kit, placed)
    total = np.sum(np.array(normals), axis=0) if normals else np.zeros(3)
    length = float(np.linalg.norm(total))
    if length < 0.3:
        total, length = -np.array(part.place.w), 1.0
    return _pull(total / length)


def slides_of(part: Part, kit: Kit, placed: Iterable[str]) -> tuple[Pull, ...]:
    """The direction away from each face it is glued to; along one of them it slides past the others."""
    parts = {other.name: other for other in kit.parts}
    others = set(placed)
    normals = [
        normal
        for joint in kit.joints
        for mine, other in ((joint.part_a, joint.part_b), (joint.part_b, joint.part_a))
        if mine == part.name and other in others
        for normal in _off(part, parts[other], joint)
    ]
    return tuple(_pull(normal) for normal in _distinct(normals))


def free_slides(part: Part, kit: Kit, placed: Iterable[str]) -> tuple[Pull, ...]:
    """Those of them that lead into nothing else it is glued to."""
    ways = slides_of(part, kit, placed)
    return tuple(way for way in ways if all(np.dot(way, other) > -0.05 for other in ways))


def _pull(direction: Array) -> Pull:
    x, y, z = (float(value) for value in np.round(direction, 12))
    return x, y, z


def _distinct(normals: list[Array]) -> list[Array]:
    """Like directions count once, however many joints share them."""
    kept: list[Array] = []
    for normal in normals:
        if not any(normal @ other > 0.95 for other in kept):
            kept.append(normal)
    return kept


def _off(part: Part, other: Part, joint: Joint) -> list[Array]:
    """The direction, or two at a corner, in which a part leaves another at their joint."""
    if joint.kind == "slot":
        return [_along_own_plane(part, joint)]
    mine, its = part_body(part).corners(), part_body(other).corners()
    found = []
    for plate, points, away in ((other, mine, 1.0), (part, its, -1.0)):
        w = np.array(plate.place.w)
        depth = (points - np.array(plate.place.origin)) @ w
        if depth.max() <= CLEAR:
            found.append(-away * w)
        elif depth.min() >= plate.thickness - CLEAR:
            found.append(away * w)
    return found or [_off_mitre(part, other, joint)]


def _off_mitre(part: Part, other: Part, joint: Joint) -> Array:
    """Away from a slanted edge: square to the plane that halves the corner of the two boards."""
    line = np.array(joint.end) - np.array(joint.start)
    square = np.cross(line, np.array(part.place.w) + np.array(other.place.w))
    length = float(np.linalg.norm(square))
    if length < CLEAR:
        return -np.array(part.place.w)
    square /= length
    middle = (np.array(joint.start) + np.array(joint.end)) / 2
    return square if square @ (np.array(part.centroid) - middle) > 0 else -square


def _along_own_plane(part: Part, joint: Joint) -> Array:
    """Out of a slot: in the part's own plane, square to the joint."""
    line = np.array(joint.end) - np.array(joint.start)
    square = np.cross(line, np.array(part.place.w))
    square /= np.linalg.norm(square)
    middle = (np.array(joint.start) + np.array(joint.end)) / 2
    return square if square @ (np.array(part.centroid) - middle) > 0 else -square

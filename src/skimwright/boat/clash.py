"""Do two parts want the same place?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from skimwright.boat.plan import Array, Part, Slot
from skimwright.boat.shells import Shell, between, part_shell

BEYOND = 1e-3  # a slot's cutter stands proud of the faces it opens [m]
TOUCHING = 1e-6  # parts this deep in one another only touch [m]
DUST = 1e-12  # an overlap smaller than this is rounding [m3]


@dataclass(frozen=True, kw_only=True)
class Clash:
    """Two parts in one place."""

    part_a: str
    part_b: str
    depth: float  # how far one would have to give way [m]


def part_clashes(parts: Sequence[Part]) -> tuple[Clash, ...]:
    """Every pair of parts that overlap, slots and slanted edges taken into account.

    The depth is the overlap's least extent along any axis of either part, or across its own flat.

    Raises
    ------
    ImportError
        The solid-modelling library is not installed.

    Examples
    --------
    ``part_clashes(fold_62.parts)`` is empty.
    """
    solids = [_solid(part) for part in parts]
    boxes = [np.array(solid.bounding_box()).reshape(2, 3) for solid in solids]
    found = []
    for i, j in combinations(range(len(parts)), 2):
        if np.any(boxes[i][0] > boxes[j][1]) or np.any(boxes[j][0] > boxes[i][1]):
            continue
        depth = _depth(solids[i] ^ solids[j], (parts[i], parts[j]))
        if depth > TOUCHING:
            found.append(Clash(part_a=parts[i].name, part_b=parts[j].name, depth=depth))
    return tuple(found)


def _manifold(shell: Shell) -> Any:
    import manifold3d  # slow to load, and few questions need it

    return manifold3d.Manifold(manifold3d.Mesh64(shell.vertices, shell.triangles.astype(np.uint64)))


def _solid(part: Part) -> Any:
    solid = _manifold(part_shell(part))
    for slot in part.slots:
        solid -= _manifold(_cutter(part, slot))
    return solid


def _cutter(part: Part, slot: Slot) -> Shell:
    flat = np.array(slot.outline)
    bottom = slot.depth + (BEYOND if slot.depth >= part.thickness else 0.0)
    ends = [
        part.place.to_boat(np.column_stack([flat, np.full(len(flat), depth)])) for depth in (-BEYOND, bottom)
    ]
    return between(*ends)


def _depth(overlap: Any, pair: tuple[Part, Part]) -> float:
    axes = np.array([axis for part in pair for axis in (part.place.u, part.place.v, part.place.w)])
    depths = [0.0]
    for piece in overlap.decompose():
        points: Array = np.array(piece.to_mesh64().vert_properties)[:, :3]
        if piece.volume() > DUST:
            flat = np.linalg.svd(points - points.mean(axis=0), full_matrices=False)[2]
            depths.append(float(np.ptp(points @ np.vstack([axes, flat]).T, axis=0).min()))
    return max(depths)

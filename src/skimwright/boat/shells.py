"""Closed skins of the boat: for the water, and for a look in the round.

A three-point boat is a few prisms that touch but never overlap, so its skin is written down, not computed.
Sums over the triangles of touching bodies are exact for the whole: the shared faces cancel.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import mapbox_earcut
import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError
from skimwright.boat.plan import Array, Design, Kit, Part, Point2
from skimwright.boat.threepoint import pod_bottom, wall_profile

Triangles = NDArray[np.int64]
SPACES = ("hull", "sponson-left", "sponson-right")


@dataclass(frozen=True, kw_only=True, eq=False)
class Shell:
    """One or more closed skins, wound so that every triangle looks outwards."""

    vertices: Array  # (n, 3) boat axes [m]
    triangles: Triangles  # (m, 3) rows of `vertices`, anticlockwise seen from outside

    @property
    def volume(self) -> float:
        """[m3]"""
        a, b, c = self.vertices[self.triangles].transpose(1, 0, 2)
        return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6

    @property
    def centre(self) -> Array:
        """Middle of the enclosed space, boat axes (3,). [m]"""
        a, b, c = self.vertices[self.triangles].transpose(1, 0, 2)
        each = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
        middle: Array = (each[:, None] * (a + b + c)).sum(axis=0) / (4 * each.sum())
        return middle

    def reversed(self) -> Shell:
        """The same skin around a hollow: it takes its volume away."""
        return Shell(vertices=self.vertices, triangles=self.triangles[:, ::-1])


def join_shells(shells: Iterable[Shell]) -> Shell:
    """Several shells as one; they must not overlap."""
    each = list(shells)
    starts = np.cumsum([0] + [len(shell.vertices) for shell in each])
    return Shell(
        vertices=np.vstack([shell.vertices for shell in each]),
        triangles=np.vstack(
            [shell.triangles + start for shell, start in zip(each, starts[:-1], strict=True)]
        ),
    )


def between(lower: Array, upper: Array) -> Shell:
    """The closed body between two outlines of equally many corners (n, 3)."""
    n = len(lower)
    axes = np.linalg.svd(lower - lower.mean(axis=0), full_matrices=False)[2]
    flat = (lower - lower[0]) @ axes[:2].T
    cap = (
        mapbox_earcut.triangulate_float64(flat, np.array([n], dtype=np.uint32))
        .reshape(-1, 3)
        .astype(np.int64)
    )
    cap = _wound_with_outline(cap, n)
    i = np.arange(n)
    j = (i + 1) % n
    side = np.vstack([np.column_stack([i, j, j + n]), np.column_stack([i, j + n, i + n])])
    shell = Shell(vertices=np.vstack([lower, upper]), triangles=np.vstack([cap[:, ::-1], cap + n, side]))
    return shell if shell.volume > 0 else shell.reversed()


def _wound_with_outline(cap: Triangles, n: int) -> Triangles:
    """The cap's triangles turned so that its rim runs the way the outline does."""
    rim = {(int(a), int(b)) for row in cap for a, b in zip(row, np.roll(row, -1), strict=True)}
    return cap if (0, 1 % n) in rim else cap[:, ::-1]


def prism(profile: Sequence[Point2], *, axis: str, start: float, end: float) -> Shell:
    """A profile drawn out along an axis: (x, z) along "y", or (x, y) along "z"."""
    flat = np.array(profile)

    def at(place: float) -> Array:
        third = np.full(len(flat), place)
        columns = (flat[:, 0], third, flat[:, 1]) if axis == "y" else (flat[:, 0], flat[:, 1], third)
        return np.column_stack(columns)

    return between(at(start), at(end))


def part_shell(part: Part) -> Shell:
    """The piece of board itself, its edges slanted as they will be, slots not yet cut."""
    outer, inner = part_faces(part)
    return between(outer, inner)


def part_faces(part: Part) -> tuple[Array, Array]:
    """Corners of the outer and of the inner face in boat axes, (n, 3) each. [m]"""
    flat = np.array(part.outline)
    cut = np.array([part.thickness * math.tan(lean) for lean in part.bevels])
    inner = inset(flat, cut) if part.bevels else flat
    depth = np.full(len(flat), part.thickness)
    place = part.place
    return (
        place.to_boat(np.column_stack([flat, np.zeros(len(flat))])),
        place.to_boat(np.column_stack([inner, depth])),
    )


def inset(outline: Array, by: Array) -> Array:
    """An outline with each edge moved inwards by its own amount; edge i runs from corner i to i + 1."""
    edge = np.roll(outline, -1, axis=0) - outline
    turn = np.sign(outline[:, 0] @ np.roll(outline[:, 1], -1) - outline[:, 1] @ np.roll(outline[:, 0], -1))
    normal = turn * np.column_stack([-edge[:, 1], edge[:, 0]]) / np.linalg.norm(edge, axis=1)[:, None]
    level = np.einsum("ij,ij->i", normal, outline) + by
    before, level_before = np.roll(normal, 1, axis=0), np.roll(level, 1)
    cross = before[:, 0] * normal[:, 1] - before[:, 1] * normal[:, 0]
    x = (level_before * normal[:, 1] - level * before[:, 1]) / cross
    y = (before[:, 0] * level - normal[:, 0] * level_before) / cross
    return np.column_stack([x, y])


def sealed_spaces(kit: Kit, *, hung_walls: bool = True) -> dict[str, Shell]:
    """Outer skins of the parts of the boat that can flood one by one; together they are `outer_shell`.

    Parameters
    ----------
    hung_walls : bool
        Count the strip of wall that hangs below the floor beside each sponson.  It displaces water
        like the rest; False gives the plain boxes that some hand sums use.

    Returns
    -------
    dict
        "hull", "sponson-left" and "sponson-right" for the three-point form; "hull" alone for own parts.

    Raises
    ------
    InputError
        Own parts that close round nothing.

    Examples
    --------
    ``sealed_spaces(kit)["hull"].volume`` is about 0.0047 m3 for Fold 62.
    """
    if kit.design is None:
        return {"hull": outer_shell(kit)}
    d, t = kit.design, kit.board.thickness
    half = d.hull_width / 2
    side = (
        *((0.0, d.deck_height), (0.0, d.deck_height - t), (d.pod_front, d.floor_front)),
        *((d.length, d.floor_rear), (d.length, d.deck_height)),
    )
    spaces = {"hull": prism(side, axis="y", start=-half, end=half)}
    for name, sign in (("sponson-left", -1), ("sponson-right", 1)):
        spaces[name] = join_shells(_sponson(d, t, sign, hung_walls=hung_walls))
    return spaces


def _sponson(d: Design, t: float, sign: int, *, hung_walls: bool) -> Iterable[Shell]:
    """The box outside the wall, the wall below the floor, and the deck's two overhanging corners."""
    half, edge, under = d.hull_width / 2, d.beam / 2, d.deck_height - t
    box = ((d.pod_front, d.deck_height), *pod_bottom(d), (d.pod_rear, d.deck_height))
    yield prism(box, axis="y", start=sign * half, end=sign * edge)
    if hung_walls:
        skirt = (*pod_bottom(d), (d.pod_rear, d.floor_height(d.pod_rear)))
        yield prism(skirt, axis="y", start=sign * (half - t), end=sign * half)
    tail = d.pod_rear + d.deck_tail
    for xs in ((0.0, d.pod_front, d.pod_front), (tail, d.pod_rear, d.pod_rear)):
        corner = tuple(zip(xs, (sign * half, sign * edge, sign * half), strict=True))
        yield prism(corner, axis="z", start=under, end=d.deck_height)


def outer_shell(kit: Kit, *, hung_walls: bool = True) -> Shell:
    """The closed, sealed boat: what the water feels.

    Fins, cradle and parts added to a three-point form are left out; the water fin of Fold 62 would
    add 6 cm3.

    Parameters
    ----------
    hung_walls : bool
        As for `sealed_spaces`.

    Raises
    ------
    InputError
        Own parts that do not form a closed body.

    Examples
    --------
    ``outer_shell(kit).volume`` is about 0.0070 m3 for Fold 62.
    """
    if kit.design is not None:
        return join_shells(sealed_spaces(kit, hung_walls=hung_walls).values())
    outer = [skin for skin in _skins(union_shell(kit.parts)) if skin.volume > 0]
    return join_shells(outer)


def all_shells(kit: Kit, *, flooded: Sequence[str] = SPACES) -> Shell:
    """The boat with the air taken out of its flooded spaces: there, only board displaces water.

    Parameters
    ----------
    flooded : sequence of str
        Names from `sealed_spaces`; nothing flooded gives `outer_shell`.

    Raises
    ------
    InputError
        A space the boat does not have.

    Examples
    --------
    ``all_shells(kit, flooded=["sponson-left"])`` is a boat with one wet foot.
    """
    known = SPACES if kit.design else ("hull",)
    unknown = [name for name in flooded if name not in SPACES]
    if unknown:
        raise InputError(
            what="the boat has no such space",
            got=unknown[0],
            allowed=", ".join(known),
            do="Name one of its sealed spaces.",
        )
    if kit.design is None:
        return union_shell(kit.parts) if flooded else outer_shell(kit)
    hollows = [hollow.reversed() for name in flooded for hollow in _hollow(kit, kit.design, name)]
    return join_shells([outer_shell(kit), *hollows])


def _hollow(kit: Kit, d: Design, name: str) -> Iterable[Shell]:
    """The air inside a space, ribs and fin tab standing in it taken off."""
    t = kit.board.thickness
    if name == "hull":
        (x0, z0), *_, (x5, z5), (x6, z6) = wall_profile(d, t)
        side = np.array([(x0, z0), (d.pod_front, d.floor_front), (x5, z5), (x6, z6)])
        half = d.hull_width / 2 - t
        room = inset(side, np.array([t, t, t, 0.0]))
        yield prism(_points(room), axis="y", start=-half, end=half)
        for part in kit.parts:
            if part.code in ("RIB-1", "RIB-2", "RIB-3"):
                yield part_shell(part).reversed()
        return
    sign = -1 if name == "sponson-left" else 1
    side = np.array([(d.pod_front, d.deck_height - t), *pod_bottom(d), (d.pod_rear, d.deck_height - t)])
    room = inset(side, np.array([t, t, t, t, 0.0]))
    yield prism(_points(room), axis="y", start=sign * d.hull_width / 2, end=sign * (d.beam / 2 - t))


def _points(outline: Array) -> tuple[Point2, ...]:
    return tuple((float(x), float(z)) for x, z in outline)


def union_shell(parts: Iterable[Part]) -> Shell:
    """All parts melted into one skin, hollows and all."""
    import manifold3d  # slow to load, and only own parts need it

    whole = manifold3d.Manifold()
    for part in parts:
        shell = part_shell(part)
        whole += manifold3d.Manifold(manifold3d.Mesh64(shell.vertices, shell.triangles.astype(np.uint64)))
    mesh = whole.to_mesh64()
    return Shell(
        vertices=np.array(mesh.vert_properties[:, :3], dtype=float),
        triangles=np.array(mesh.tri_verts, dtype=np.int64),
    )


def _skins(shell: Shell) -> list[Shell]:
    """The separate closed skins of a shell."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    a, b, c = shell.triangles.T
    links = coo_array(
        (np.ones(2 * len(a)), (np.concatenate([a, b]), np.concatenate([b, c]))),
        shape=(len(shell.vertices),) * 2,
    )
    label = connected_components(links, directed=False)[1][a]
    return [_kept(shell, shell.triangles[label == which]) for which in np.unique(label)]


def _kept(shell: Shell, triangles: Triangles) -> Shell:
    used, index = np.unique(triangles, return_inverse=True)
    return Shell(vertices=shell.vertices[used], triangles=index.reshape(-1, 3))

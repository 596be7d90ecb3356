"""Line drawings of solid parts with everything hidden left out, exactly: no picture is sampled.

A part is a closed body with flat faces.  Seen from far away (no vanishing point), a face hides a piece of an
edge where the edge runs behind the face's plane and inside its outline.  Both limits are straight lines, so
each edge is cut at its crossings with outlines and planes, and every piece is wholly seen or wholly hidden.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import Part, part_shell

Array = NDArray[np.float64]
BEHIND = 1e-6  # an edge this little behind a face lies on it [m]
EDGE_ON = 1e-9  # a face turned this far away shows nothing of its plane [-]


@dataclass(frozen=True, kw_only=True, eq=False)
class Face:
    """A flat face: its outline first, then holes; the outline runs anticlockwise seen from outside."""

    contours: tuple[Array, ...]  # (n, 3) each [m]

    @cached_property
    def normal(self) -> Array:
        """Unit vector out of the body; nought for a face without area."""
        vector = _area_vector(self.contours[0])
        length = float(np.linalg.norm(vector))
        return vector / length if length > 0 else vector


@dataclass(frozen=True, kw_only=True, eq=False)
class Body:
    """A closed body with flat faces."""

    name: str
    faces: tuple[Face, ...]

    def moved(self, by: Array) -> Body:
        """The same body elsewhere."""
        faces = tuple(Face(contours=tuple(c + by for c in face.contours)) for face in self.faces)
        return Body(name=self.name, faces=faces)

    def corners(self) -> Array:
        """Every corner, (n, 3). [m]"""
        return np.vstack([contour for face in self.faces for contour in face.contours])


@dataclass(frozen=True, kw_only=True)
class View:
    """From where a drawing is seen.  The boat may lie deck down on the table."""

    round_about: float  # 0 looks from the bow aft; + walks to the right round the table [rad]
    above: float  # how high the eye stands over the table's plane [rad]
    deck_down: bool = False

    def matrix(self) -> Array:
        """Rows: to the right, up the paper, towards the eye; for boat axes."""
        turn, lift = self.round_about, self.above
        eye = np.array([-math.cos(turn) * math.cos(lift), math.sin(turn) * math.cos(lift), math.sin(lift)])
        right = np.cross([0.0, 0.0, 1.0], eye)
        right /= np.linalg.norm(right)
        rows = np.array([right, np.cross(eye, right), eye])
        return rows * np.array([1.0, -1.0, -1.0]) if self.deck_down else rows


@dataclass(frozen=True, kw_only=True, eq=False)
class SeenLine:
    """One visible piece of an edge, on the paper's plane: x to the right, y up. [m]"""

    owner: str
    start: Array
    end: Array


@lru_cache(maxsize=512)
def part_body(part: Part) -> Body:
    """A part as a body: slanted edges and slots as they will be cut."""
    n = len(part.outline)
    outer, inner = part_shell(part).vertices.reshape(2, n, 3)
    flat = np.array(part.outline)
    across, along = flat[:, 0], flat[:, 1]
    if across @ np.roll(along, -1) - along @ np.roll(across, -1) < 0:
        outer, inner = outer[::-1], inner[::-1]
    outward = -np.asarray(part.place.w)
    if np.dot(np.cross(part.place.u, part.place.v), outward) < 0:  # a mirrored place
        outer, inner = outer[::-1], inner[::-1]
    holes_out, holes_in, walls = [], [], []
    for slot in part.slots:
        through = slot.depth >= part.thickness - 1e-9
        cut = np.array(slot.outline)
        mouth, bed = (
            part.place.to_boat(np.column_stack([cut, np.full(len(cut), depth)]))
            for depth in (0.0, min(slot.depth, part.thickness))
        )
        if np.dot(_area_vector(mouth), outward) > 0:  # a hole runs against its face's outline
            mouth, bed = mouth[::-1], bed[::-1]
        holes_out.append(mouth)
        if through:
            holes_in.append(bed[::-1])
        else:
            walls.append(Face(contours=(bed[::-1],)))
        walls += _sides(mouth, bed)
    faces = (
        Face(contours=(outer, *holes_out)),
        Face(contours=(inner[::-1], *holes_in)),
        *_sides(outer, inner),
        *walls,
    )
    return Body(name=part.name, faces=faces)


def _area_vector(points: Array) -> Array:
    x, y, z = points.T
    xn, yn, zn = _next(points).T
    return np.array([y @ zn - z @ yn, z @ xn - x @ zn, x @ yn - y @ xn])


def _next(points: Array) -> Array:
    """Each corner's follower round the outline."""
    return np.concatenate([points[1:], points[:1]])


def _sides(first: Array, second: Array) -> list[Face]:
    """The faces between two like outlines, looking away from the material."""
    n = len(first)
    return [
        Face(contours=(np.array([first[i], second[i], second[(i + 1) % n], first[(i + 1) % n]]),))
        for i in range(n)
    ]


@dataclass(frozen=True, eq=False)
class _Pane:
    """A face that looks at the eye, laid on the paper."""

    owner: str
    rings: tuple[Array, ...]  # (n, 2)
    starts: Array  # of all outline edges (k, 2)
    steps: Array  # their vectors (k, 2)
    plane: Array  # depth = plane @ (x, y, 1)
    low: Array  # corner of its box (2,)
    high: Array


class Scene:
    """Some bodies seen from one place."""

    def __init__(self, bodies: Iterable[Body], view: View) -> None:
        self.rows = view.matrix()
        self.panes: list[_Pane] = []
        self.edges: dict[str, Array] = {}
        for body in bodies:
            self._add(body)

    def _add(self, body: Body) -> None:
        shown: dict[frozenset[bytes], tuple[Array, Array]] = {}
        for face in body.faces:
            normal = self.rows @ face.normal
            if normal[2] <= EDGE_ON:
                continue
            rings = [contour @ self.rows.T for contour in face.contours]
            self.panes.append(_pane(body.name, rings, normal))
            for ring in rings:
                marks = [row.tobytes() for row in np.round(ring * 1e7).astype(int)]
                for i in range(len(ring)):
                    shown[frozenset((marks[i - 1], marks[i]))] = (ring[i - 1], ring[i])
        self.edges[body.name] = np.array(list(shown.values())).reshape(-1, 2, 3)

    def on_paper(self, points: Array) -> Array:
        """Boat places (n, 3) as paper x, paper y and depth towards the eye. [m]"""
        return np.asarray(points) @ self.rows.T

    def seen(self, names: Sequence[str] | None = None) -> list[SeenLine]:
        """The visible pieces of every edge of these bodies, of all if none are named."""
        chosen = list(self.edges if names is None else names)
        owners = [name for name in chosen for _ in self.edges[name]]
        return self.seen_lines(np.vstack([self.edges[name] for name in chosen]), owners) if owners else []

    def seen_lines(self, lines: Array, owners: Sequence[str]) -> list[SeenLine]:
        """The visible pieces of lines (n, 2, 3) given on the paper, with depth."""
        pieces = []
        for line, owner, hidden in zip(lines, owners, self.hidden(lines), strict=True):
            a, b = line[0, :2], line[1, :2]
            for low, high in _gaps(hidden):
                pieces.append(SeenLine(owner=owner, start=a + low * (b - a), end=a + high * (b - a)))
        return pieces

    def seen_shares(self, lines: Array) -> Array:
        """How much of each line on paper is visible, 0 to 1."""
        return np.array([sum(high - low for low, high in _gaps(hidden)) for hidden in self.hidden(lines)])

    def hidden(self, lines: Array) -> list[list[tuple[float, float]]]:
        """For each line the stretches behind some face, from 0 to 1 along it."""
        found: list[list[tuple[float, float]]] = [[] for _ in lines]
        low, high = lines.min(axis=1), lines.max(axis=1)
        for pane in self.panes:
            near = np.nonzero((low[:, :2] < pane.high).all(axis=1) & (high[:, :2] > pane.low).all(axis=1))[0]
            if near.size:
                for which, start, end in _behind(pane, lines[near]):
                    found[near[which]].append((start, end))
        return found

    def tone(self, name: str) -> list[Array]:
        """Outlines of what is visible of a body, (n, 2) each, for a light fill. [m]"""
        return [np.array(piece.exterior.coords)[:-1] for piece in self._seen_areas(name)[0]]

    def body_share(self, name: str) -> float:
        """How much of a body's picture is visible, 0 to 1; other bodies alone can hide it."""
        pieces, whole = self._seen_areas(name)
        return sum(float(piece.area) for piece in pieces) / whole if whole > 0 else 0.0

    def _seen_areas(self, name: str) -> tuple[list[Any], float]:
        from shapely.geometry import Polygon

        pieces, whole = [], 0.0
        for pane in self.panes:
            if pane.owner != name:
                continue
            left = Polygon(pane.rings[0], pane.rings[1:])
            whole += left.area
            for other in self.panes:
                if other.owner == name or (other.low >= pane.high).any() or (other.high <= pane.low).any():
                    continue
                cover = _in_front(other, pane)
                if cover is not None:
                    left = left.difference(cover)
            pieces += [piece for piece in _polygons(left) if piece.area > 1e-10]
        return pieces, whole


def _pane(owner: str, rings: list[Array], normal: Array) -> _Pane:
    level = normal @ rings[0].mean(axis=0)
    flat = [ring[:, :2] for ring in rings]
    starts = np.vstack(flat)
    steps = np.vstack([_next(ring) - ring for ring in flat])
    plane = np.array([-normal[0], -normal[1], level]) / normal[2]
    return _Pane(owner, tuple(flat), starts, steps, plane, starts.min(axis=0), starts.max(axis=0))


def _behind(pane: _Pane, lines: Array) -> list[tuple[int, float, float]]:
    """Stretches of the lines that lie behind the pane and inside its outline."""
    a = lines[:, 0]
    along = lines[:, 1] - a
    gap = a[:, 2] - (a[:, :2] @ pane.plane[:2] + pane.plane[2]) + BEHIND
    slope = along[:, 2] - along[:, :2] @ pane.plane[:2]
    if (np.minimum(gap, gap + slope) >= 0).all():
        return []
    cuts = _cuts(pane, a[:, :2], along[:, :2], gap, slope)
    middle = (cuts[:, 1:] + cuts[:, :-1]) / 2
    points = a[:, None, :2] + middle[..., None] * along[:, None, :2]
    behind = gap[:, None] + middle * slope[:, None] < 0
    hides = behind & _inside(pane, points) & (np.diff(cuts, axis=1) > 1e-12)
    rows, columns = np.nonzero(hides)
    return [(int(i), float(cuts[i, j]), float(cuts[i, j + 1])) for i, j in zip(rows, columns, strict=True)]


def _cuts(pane: _Pane, a: Array, along: Array, gap: Array, slope: Array) -> Array:
    """Where each line crosses the outline's edges or the plane, sorted, with both ends."""
    cross = along[:, None, 0] * pane.steps[:, 1] - along[:, None, 1] * pane.steps[:, 0]
    off = pane.starts - a[:, None]
    top = off[..., 0] * pane.steps[:, 1] - off[..., 1] * pane.steps[:, 0]
    crossing = np.divide(top, cross, out=np.zeros_like(top), where=cross != 0)
    level = np.divide(-gap, slope, out=np.zeros_like(gap), where=slope != 0)
    ends = np.tile([0.0, 1.0], (len(a), 1))
    return np.sort(np.clip(np.column_stack([ends, crossing, level]), 0.0, 1.0), axis=1)


def _inside(pane: _Pane, points: Array) -> NDArray[np.bool_]:
    """Whether paper points lie inside the outline and outside its holes: an odd number of edges to the right."""
    x, y = points[..., 0, None], points[..., 1, None]
    y0 = pane.starts[:, 1]
    y1 = y0 + pane.steps[:, 1]
    spans = (y0 > y) != (y1 > y)
    rise = np.where(pane.steps[:, 1] == 0, 1.0, pane.steps[:, 1])
    right = x < pane.starts[:, 0] + (y - y0) / rise * pane.steps[:, 0]
    odd: NDArray[np.bool_] = (spans & right).sum(axis=-1) % 2 == 1
    return odd


def _gaps(hidden: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What the hidden stretches leave of 0 to 1."""
    left, reached = [], 0.0
    for start, end in sorted(hidden):
        if start > reached + 1e-9:
            left.append((reached, start))
        reached = max(reached, end)
    if reached < 1.0 - 1e-9:
        left.append((reached, 1.0))
    return left


def _in_front(other: _Pane, pane: _Pane) -> Any:
    """The part of another face that lies nearer the eye than this face's plane."""
    from shapely.geometry import Polygon

    tilt = other.plane - pane.plane
    nearer = other.starts @ tilt[:2] + tilt[2]
    if (nearer <= BEHIND).all():
        return None
    rings = other.rings
    if (nearer < -BEHIND).any():
        cut = [_clip(ring, tilt) for ring in rings]
        rings = tuple(ring for ring in cut if len(ring) > 2)
        if not rings or len(cut[0]) < 3:
            return None
    whole = Polygon(rings[0], rings[1:])
    return whole if whole.is_valid else whole.buffer(0)


def _clip(ring: Array, tilt: Array) -> Array:
    """The ring where tilt @ (x, y, 1) is positive."""
    value = ring @ tilt[:2] + tilt[2]
    kept = []
    for i in range(len(ring)):
        j = (i + 1) % len(ring)
        if value[i] >= 0:
            kept.append(ring[i])
        if (value[i] > 0) != (value[j] > 0) and value[i] != value[j]:
            kept.append(ring[i] + value[i] / (value[i] - value[j]) * (ring[j] - ring[i]))
    return np.array(kept).reshape(-1, 2)


def _polygons(shape: Any) -> list[Any]:
    kinds = getattr(shape, "geoms", [shape])
    return [piece for piece in kinds if piece.geom_type == "Polygon" and not piece.is_empty]

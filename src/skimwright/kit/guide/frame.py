"""The window through which a view is drawn: scale, cutting at the edges, arrows and labels."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Mark, Path, Words
from skimwright.base.lettering import text_width
from skimwright.boat import Kit
from skimwright.kit.guide.approach import Pull
from skimwright.kit.guide.order import base_of
from skimwright.kit.guide.steps import GuideStep
from skimwright.kit.hidden_line import Body, Scene, SeenLine, View, part_body

Array = NDArray[np.float64]
LIFT, LIFT_OWN = 0.05, 0.11  # a part hovers off its place by a share of the boat's length, or of its own
ENOUGH_GLUE, ENOUGH_PART, EACH_JOINT = 0.6, 0.5, 0.15  # shares that must be seen


@dataclass(frozen=True, eq=False)
class Look:
    scene: Scene
    view: View
    glue: Array  # (n, 2, 3) on paper
    glue_seen: float
    part_seen: float
    joint_seen: tuple[float, ...]
    pulls: tuple[Pull, ...] = ()  # where the new parts hover

    @property
    def score(self) -> float:
        return (
            min(self.glue_seen / ENOUGH_GLUE, 1)
            + min(self.part_seen / ENOUGH_PART, 1)
            + min(min(self.joint_seen, default=1.0) / EACH_JOINT, 1)
        )


def lift_of(kit: Kit, name: str) -> float:
    """How far off its place a part is drawn. [m]"""
    return max(LIFT * kit.length, LIFT_OWN * float(np.ptp(np.array(kit.part(name).outline), axis=0).max()))


class Frame:
    """The window on the paper: metres of the view's plane to millimetres of the drawing."""

    def __init__(
        self, look: Look, coming: Sequence[Body], *, width: float, height: float, letter: float
    ) -> None:
        self.look, self.letter = look, letter
        self.width, self.height = width, height
        whole = np.vstack([pane.starts for pane in look.scene.panes])
        new = np.vstack([look.scene.on_paper(body.corners())[:, :2] for body in coming])
        if len(look.glue):
            new = np.vstack([new, look.glue[..., :2].reshape(-1, 2)])
        low, high = whole.min(axis=0), whole.max(axis=0)
        room = np.array([width - (14 * letter if letter else 2), height - (4 * letter if letter else 2)])
        fit = float((room / (high - low)).min())
        close = float((room / (np.ptp(new, axis=0) * 1.5)).min())
        self.scale = min(max(fit, close), 1.7 * fit)  # [mm per m]
        half = room / (2 * self.scale)
        middle = (new.min(axis=0) + new.max(axis=0)) / 2
        roomy = high - low > 2 * half
        self.middle = np.where(roomy, np.clip(middle, low + half, high - half), (low + high) / 2)
        self.taken: list[tuple[float, float, float, float]] = []
        self.drawn: list[Array] = []
        self.dense: Array | None = None  # points along all that was drawn

    def at(self, point: Array) -> tuple[float, float]:
        x, y = (np.asarray(point)[:2] - self.middle) * self.scale
        return round(float(self.width / 2 + x), 3), round(float(self.height / 2 - y), 3)

    def points(self, ring: Array) -> tuple[tuple[float, float], ...]:
        """A ring, cut at the window's edge."""
        from shapely.geometry import Polygon, box

        shape = Polygon([self.at(point) for point in ring])
        if not shape.is_valid:
            shape = shape.buffer(0)
        cut = shape.intersection(box(0, 0, self.width, self.height))
        if cut.geom_type != "Polygon" or cut.is_empty:
            return ((0.0, 0.0),)
        return tuple((round(x, 3), round(y, 3)) for x, y in cut.exterior.coords[:-1])

    def lines(
        self, pieces: Iterable[SeenLine], *, line_width: float, dashes: tuple[float, ...] = ()
    ) -> list[Mark]:
        found: list[Mark] = []
        for piece in pieces:
            ends = _clipped(self.at(piece.start), self.at(piece.end), self.width, self.height)
            if ends:
                found.append(Path(points=ends, width=line_width, dashes=dashes))
                self.drawn.append(np.array(ends))
        return found

    def arrows(self, kit: Kit, step: GuideStep, coming: Sequence[Body]) -> list[Mark]:
        """A short arrow for each new part: this way on."""
        found: list[Mark] = []
        for body in coming:
            pull = np.array(dict(zip(step.parts, self.look.pulls, strict=True))[body.name]) * lift_of(
                kit, body.name
            )
            own = [j for j in step.joints if body.name in (j.part_a, j.part_b)]
            if not own or not pull.any():
                continue
            spot = max(own, key=lambda j: math.dist(j.start, j.end))
            middle = (np.array(spot.start) + np.array(spot.end)) / 2
            tail, head = (self.at(self.look.scene.on_paper(middle + pull * f)) for f in (0.8, 0.2))
            found += arrow(tail, head)
        return found

    def labels(self, kit: Kit, names: Iterable[str], *, bow: str) -> list[Mark]:
        """Each new part's word with its nicks, and where the bow is, each where it covers least."""
        marks: list[Mark] = []
        for name in names:
            part = kit.part(name)
            rings = self.look.scene.tone(name) or [self.look.scene.on_paper(part_body(part).corners())]
            spots = np.vstack([[self.at(point) for point in ring] for ring in rings])
            marks += self._label(part.code, spots, nicks=part.nicks, leader=True)
        return marks + self._bow(kit, bow)

    def _bow(self, kit: Kit, bow: str) -> list[Mark]:
        """The bow's word beside it, or an arrow towards it at the edge of the window."""
        corners = part_body(base_of(kit)).corners()
        nose = corners[corners[:, 0] < corners[:, 0].min() + 1e-6]
        spots = np.array([self.at(point) for point in self.look.scene.on_paper(nose)])
        size = np.array([self.width, self.height])
        if (spots > 0).all() and (spots < size).all():
            return self._label(bow, spots, nicks=0, leader=False)
        ahead = self.look.scene.on_paper(np.array([[-1.0, 0.0, 0.0]]))[0, :2] * [1, -1]
        ahead /= max(float(np.linalg.norm(ahead)), 1e-9)
        wide = text_width(bow, size=self.letter, bold=True)
        room = np.array([wide / 2 + 14, self.letter + 12])
        best = min(
            (
                (
                    self._cost(
                        (float(x - wide / 2 - 10), float(y - 8), float(x + wide / 2 + 10), float(y + 9))
                    ),
                    x,
                    y,
                )
                for x in np.linspace(room[0], self.width - room[0], 9)
                for y in np.linspace(room[1], self.height - room[1], 7)
            ),
            key=lambda spot: spot[0] - 0.02 * float(np.array(spot[1:]) @ ahead),
        )
        spot = np.array(best[1:])
        tail, head = spot - ahead * 8, spot + ahead * 8
        marks = arrow((float(tail[0]), float(tail[1])), (float(head[0]), float(head[1])))
        base = float(spot[1]) + self.letter + 4.5
        return [
            *marks,
            Words(
                at=(round(float(spot[0]), 3), round(base, 3)),
                text=bow,
                size=self.letter,
                bold=True,
                anchor="middle",
            ),
        ]

    def _label(self, text: str, spots: Array, *, nicks: int, leader: bool) -> list[Mark]:
        size = self.letter
        wide = text_width(text, size=size, bold=True) + (nicks and 2.4 + 1.6 * nicks)
        middle = (spots.min(axis=0) + spots.max(axis=0)) / 2
        best: tuple[float, float, float, Array] | None = None
        for turn in range(16):
            way = np.array([math.cos(turn * math.pi / 8), math.sin(turn * math.pi / 8)])
            edge = spots[np.argmax(spots @ way)]
            for reach in (3.0, 8.0, 14.0):
                centre = edge + way * (reach + np.abs(way) @ [wide / 2, size / 2])
                left, top = centre - [wide / 2, size * 0.6]
                box = (left, top, left + wide, top + size * 1.2)
                cost = self._cost(box) + 0.15 * reach + 0.02 * abs(float(edge[0] - middle[0]))
                if best is None or cost < best[0]:
                    best = (cost, left, top, edge)
        assert best is not None
        _, left, top, edge = best
        self.taken.append((left - 4, top - 0.5, left + wide + 4, top + size * 1.2 + 0.5))
        base = top + size * 0.95
        marks: list[Mark] = []
        if leader:
            end = (
                float(min(max(edge[0], left), left + wide)),
                float(top - 0.4 if edge[1] < top else top + size * 1.2),
            )
            marks.append(Path(points=(end, (float(edge[0]), float(edge[1]))), width=0.2))
        marks.append(Words(at=(round(left, 3), round(base, 3)), text=text, size=size, bold=True))
        for nick in range(nicks):
            x = left + wide - 1.6 * (nicks - nick) + 0.4
            marks.append(Path(points=((x, base), (x, base - size * 0.75)), width=0.7))
        return marks

    def _cost(self, box: tuple[float, float, float, float]) -> float:
        x0, y0, x1, y1 = box
        cost = 0.0
        if x0 < 0 or y0 < 0 or x1 > self.width or y1 > self.height:
            cost += 50.0
        for a0, b0, a1, b1 in self.taken:
            if x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1:
                cost += 30.0
        if self.drawn:
            if self.dense is None:
                lines, steps = np.array(self.drawn), np.linspace(0, 1, 25)[None, :, None]
                self.dense = lines[:, None, 0] + steps * (lines[:, None, 1] - lines[:, None, 0])
            points = self.dense
            within = (points > np.array([x0, y0]) - 0.8) & (points < np.array([x1, y1]) + 0.8)
            cost += 4.0 * float(np.sum(np.any(np.all(within, axis=-1), axis=1)))
        return cost


def arrow(tail: tuple[float, float], head: tuple[float, float]) -> list[Mark]:
    a, b = np.array(tail), np.array(head)
    length = float(np.linalg.norm(b - a))
    if length < 3.0:
        return []
    along = (b - a) / length
    side = np.array([-along[1], along[0]])
    neck = b - along * min(3.6, length * 0.5)
    shaft = [a + side * 0.5, neck + side * 0.5, neck + side * 1.7, b, neck - side * 1.7, neck - side * 0.5]
    ring = (*shaft, a - side * 0.5)
    points = tuple((round(float(x), 3), round(float(y), 3)) for x, y in ring)
    return [Path(points=points, closed=True, line="white", fill="black", width=0.5)]


def _clipped(
    a: tuple[float, float], b: tuple[float, float], width: float, height: float
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """A line cut at the edges of the drawing."""
    low, high = 0.0, 1.0
    step = (b[0] - a[0], b[1] - a[1])
    for start, run, most in ((a[0], step[0], width), (a[1], step[1], height)):
        if run == 0:
            if not 0 <= start <= most:
                return None
            continue
        first, last = sorted((-start / run, (most - start) / run))
        low, high = max(low, first), min(high, last)
    if low >= high:
        return None
    return (
        (round(a[0] + low * step[0], 3), round(a[1] + low * step[1], 3)),
        (round(a[0] + high * step[0], 3), round(a[1] + high * step[1], 3)),
    )

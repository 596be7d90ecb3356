"""The whole boat: on the cover, in flat views with one measurement, and on the mend card."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Drawing, Mark, Path
from skimwright.boat import Kit, Part
from skimwright.kit.guide.frame import Frame, Look
from skimwright.kit.guide.order import base_of
from skimwright.kit.hidden_line import Scene, SeenLine, View, part_body

Array = NDArray[np.float64]
VIEW_FROM = {
    "top": View(round_about=math.pi / 2, above=math.pi / 2 - 1e-6, deck_down=True),
    "side": View(round_about=-math.pi / 2, above=0.0),
    "front": View(round_about=math.pi, above=0.0),
}


@dataclass(frozen=True, eq=False)
class PlainView:
    """A flat view of the boat, on which single measurements are drawn."""

    scene: Scene
    pieces: Sequence[SeenLine]

    def with_arrow(
        self, start: Sequence[float], end: Sequence[float], *, width: float, height: float
    ) -> Drawing:
        """The view with one heavy line, an arrow at both ends."""
        whole = np.vstack([pane.starts for pane in self.scene.panes])
        low, high = whole.min(axis=0), whole.max(axis=0)
        scale = float(((np.array([width, height]) - 2.0) / (high - low)).min())
        middle = (low + high) / 2

        def at(point: Array) -> tuple[float, float]:
            x, y = (np.asarray(point)[:2] - middle) * scale
            return round(width / 2 + float(x), 3), round(height / 2 - float(y), 3)

        marks: list[Mark] = [
            Path(points=(at(piece.start), at(piece.end)), width=0.12, line="grey") for piece in self.pieces
        ]
        a, b = (at(point) for point in self.scene.on_paper(np.array([start, end])))
        marks.append(Path(points=(a, b), width=0.7))
        along = np.array(b) - np.array(a)
        across = np.array([-along[1], along[0]]) / max(float(np.linalg.norm(along)), 1e-9) * 1.1
        for end_point in (a, b):
            (x0, y0), (x1, y1) = np.array(end_point) - across, np.array(end_point) + across
            marks.append(Path(points=((float(x0), float(y0)), (float(x1), float(y1))), width=0.5))
        return Drawing(width=width, height=height, marks=tuple(marks), title="")


def plain_view(kit: Kit, view: str) -> PlainView:
    """The boat from below, from its side or from behind."""
    scene = Scene([part_body(part) for part in kit.parts], VIEW_FROM[view])
    return PlainView(scene, scene.seen())


def marked_boat(kit: Kit, step: int, *, width: float, height: float, title: str) -> Drawing:
    """The boat for one step of the mend card: a patch, an open edge, or what must be square."""
    bodies = [part_body(part) for part in kit.parts]
    deck_down = step != 1
    view = View(
        round_about=math.radians(55 if deck_down else 125), above=math.radians(35), deck_down=deck_down
    )
    look = Look(Scene(bodies, view), view, np.zeros((0, 2, 3)), 1, 1, ())
    frame = Frame(look, bodies, width=width, height=height, letter=0.0)
    marks: list[Mark] = []
    heavy: list[str] = []
    if step == 1:
        patch = _patch(base_of(kit))
        marks.append(
            Path(points=frame.points(look.scene.on_paper(patch)[:, :2]), closed=True, fill="pale", width=0.7)
        )
    elif step == 3:
        heavy = [name for name in look.scene.edges if name.startswith(("PAD", "FIN-1"))]
        marks += [
            Path(points=frame.points(ring), closed=True, line=None, fill="pale")
            for name in heavy
            for ring in look.scene.tone(name)
        ]
    plain = [name for name in look.scene.edges if name not in heavy]
    marks += frame.lines(look.scene.seen(plain), line_width=0.2)
    marks += frame.lines(look.scene.seen(heavy), line_width=0.7)
    if step == 2:
        edges = np.array([(j.start, j.end) for j in kit.joints if j.part_a.startswith(("FLOOR", "POD-1"))])
        if len(edges):
            on_paper = look.scene.on_paper(edges.reshape(-1, 2, 3)) + np.array([0.0, 0.0, 6e-3])
            marks += frame.lines(
                look.scene.seen_lines(on_paper, ["seal"] * len(edges)), line_width=0.7, dashes=(1.6, 1.0)
            )
    return Drawing(width=width, height=height, marks=tuple(marks), title=title)


def _patch(base: Part) -> Array:
    """A piece of tape over the base's left front corner, on its outer face."""
    flat = np.array(base.outline)
    low, size = flat.min(axis=0), np.ptp(flat, axis=0)
    quad = low + np.array([[0.02, 0.14], [0.17, -0.02], [0.24, 0.12], [0.09, 0.28]]) * size
    return base.place.to_boat(np.column_stack([quad, np.full(4, -1e-4)]))


def boat_picture(
    kit: Kit,
    *,
    width: float,
    height: float,
    deck_down: bool,
    title: str,
    line_width: float = 0.3,
    round_about: float = math.radians(55),
) -> Drawing:
    """The finished boat."""
    bodies = [part_body(part) for part in kit.parts]
    view = View(round_about=round_about, above=math.radians(35), deck_down=deck_down)
    look = Look(Scene(bodies, view), view, np.zeros((0, 2, 3)), 1, 1, ())
    frame = Frame(look, bodies, width=width, height=height, letter=0.0)
    marks = frame.lines(look.scene.seen(), line_width=line_width)
    return Drawing(width=width, height=height, marks=tuple(marks), title=title)

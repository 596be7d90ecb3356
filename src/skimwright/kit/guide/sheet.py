"""A page being written: words and lines put down from the top, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Dot, Drawing, Ink, Mark, Path, Words
from skimwright.boat import Part
from skimwright.kit.guide.marks import part_marks
from skimwright.kit.guide.type import text_width, wrapped

Array = NDArray[np.float64]

Paper = Literal["a4", "letter"]
SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN = 14.0
LINE = 1.32  # from one base line to the next, of the letters' size


@dataclass(kw_only=True)
class Sheet:
    """A page of a size; `scale` enlarges its words."""

    width: float
    height: float
    scale: float = 1.0
    marks: list[Mark] = field(default_factory=list)

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        width: float,
        size: float = 4.4,
        bold: bool = False,
        ink: Ink = "black",
    ) -> float:
        """Words in lines, their top at y; returns where the next thing may begin."""
        real = size * self.scale
        for line in wrapped(text, width=width, size=real, bold=bold):
            self.marks.append(Words(at=(x, y + real * 0.95), text=line, size=real, bold=bold, ink=ink))
            y += real * LINE
        return y

    def word(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 4.4,
        bold: bool = False,
        anchor: Literal["start", "middle", "end"] = "start",
    ) -> None:
        """One line on the base line y, not scaled."""
        self.marks.append(Words(at=(x, y), text=text, size=size, bold=bold, anchor=anchor))

    def label(
        self, x: float, y: float, text: str, *, width: float, size: float = 3.4, bold: bool = False
    ) -> None:
        """One line on the base line y, smaller if it would be wider than its place."""
        wide = text_width(text, size=size, bold=bold)
        self.word(x, y, text, size=size * min(1.0, width / wide) if wide else size, bold=bold)

    def line(self, *points: tuple[float, float], width: float = 0.3, dashes: tuple[float, ...] = ()) -> None:
        self.marks.append(Path(points=points, width=width, dashes=dashes))

    def box(
        self, x: float, y: float, width: float, height: float, *, line: float = 0.3, fill: Ink | None = None
    ) -> None:
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.marks.append(Path(points=corners, closed=True, width=line, fill=fill))

    def put(self, drawing: Drawing, x: float, y: float) -> None:
        """A drawing with its top left corner there."""
        self.marks += [moved(mark, x, y) for mark in drawing.marks]

    def bar(self, x: float, y: float, *, says: str, asks: str) -> None:
        """A bar exactly 100 mm long, with a place to write what a ruler finds."""
        self.line((x, y), (x + 100.0, y), width=0.5)
        for tick in range(0, 101, 10):
            self.line((x + tick, y - (3.0 if tick % 50 == 0 else 1.6)), (x + tick, y), width=0.25)
        self.word(x, y + 5.0, says, size=3.6)
        self.word(x + 106, y + 5.0, asks, size=3.6)

    def drawing(self, title: str, described: str = "") -> Drawing:
        """The finished page."""
        return Drawing(
            width=self.width, height=self.height, marks=tuple(self.marks), title=title, described=described
        )


def moved(mark: Mark, x: float, y: float) -> Mark:
    """A mark elsewhere."""
    if isinstance(mark, Path):
        return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points))
    return replace(mark, at=(mark.at[0] + x, mark.at[1] + y))


def part_outline(
    part: Part,
    x: float,
    y: float,
    *,
    scale: float,
    dots: bool = True,
    line: float = 0.3,
    mark: float = 1.0,
    upright: bool = False,
) -> tuple[list[Mark], float, float]:
    """A flat part as cut, its box's corner at (x, y), with nicks and dots; also its width and height. [mm]

    Parameters
    ----------
    scale : float
        Millimetres of paper to a metre of board; 1000 is full size.
    mark : float
        Size of nicks and dots against full size.
    upright : bool
        The long side down the page instead of across.
    """
    flat = np.array(part.outline)
    turn = (np.ptp(flat[:, 1]) > np.ptp(flat[:, 0])) != upright
    low, size = flat.min(axis=0), np.ptp(flat, axis=0)
    inside = float(np.cross(part.place.u, part.place.v) @ np.array(part.place.w)) > 0  # written from within

    def at(point: Array) -> tuple[float, float]:
        """The outer face up, turned by a quarter if need be."""
        u, v = (float(value) for value in (point - low) * scale)
        v = float(size[1]) * scale - v if inside else v
        if turn:
            return round(x + v, 4), round(y + u, 4)
        return round(x + u, 4), round(y + float(size[1]) * scale - v, 4)

    seats = part_marks(part, size=mark * 1e3 / scale)
    marks: list[Mark] = [Path(points=tuple(at(p) for p in flat), closed=True, width=line)]
    for slot in part.slots:
        marks.append(Path(points=tuple(at(p) for p in np.array(slot.outline)), closed=True, width=line * 0.8))
    for nick in seats.nicks:
        marks.append(Path(points=(at(nick[0]), at(nick[1])), width=max(line * 1.6, 0.4)))
    if dots:
        marks += [Dot(at=at(dot), radius=0.6 * mark, width=0.1) for dot in seats.dots]
    wide, high = (float(value) * scale for value in (size[::-1] if turn else size))
    return marks, wide, high

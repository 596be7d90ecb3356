"""A page being written: words and lines put down from the top, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from skimwright.base.drawing import Drawing, Ink, Mark, Path, Words
from skimwright.base.lettering import text_width, wrapped

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

"""Words, lines, tables and pictures set down a page at a time; nothing that belongs together is torn apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from skimwright.base.drawing import Drawing, Mark, Path, Words
from skimwright.base.lettering import text_width

Paper = Literal["a4", "letter"]
SIZES: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # [mm]
MARGIN, FOOT = 15.0, 12.0  # [mm]
LINE = 1.34  # from one base line to the next, of the letters' size
WRITE = 9.0  # from one writing line to the next [mm] [choice]


def broken(text: str, *, width: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than a width; a longer word is cut.

    Examples
    --------
    >>> broken("one two", width=25.0, size=10.0)
    ['one', 'two']
    """
    lines, line = [], ""
    for word in text.split():
        while text_width(word, size=size, bold=bold) > width and len(word) > 1:
            fits = max(1, int(len(word) * width / text_width(word, size=size, bold=bold)))
            lines += [line, word[:fits]] if line else [word[:fits]]
            line, word = "", word[fits:]
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size=size, bold=bold) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines


@dataclass(kw_only=True)
class Stack:
    """Things under one another that stay together on a page; `y` is where the next one goes. [mm]"""

    width: float
    scale: float = 1.0
    y: float = 0.0
    marks: list[Mark] = field(default_factory=list)

    def text(
        self, text: str, *, size: float = 4.2, bold: bool = False, inset: float = 0.0, after: float = 1.2
    ) -> None:
        """A paragraph."""
        self.marks += self._set(text, x=inset, y=self.y, width=self.width - inset, size=size, bold=bold)
        self.y += self._height(text, width=self.width - inset, size=size, bold=bold) + after

    def _set(self, text: str, *, x: float, y: float, width: float, size: float, bold: bool) -> list[Mark]:
        real = size * self.scale
        return [
            Words(at=(x, y + real * (0.95 + LINE * i)), text=line, size=real, bold=bold)
            for i, line in enumerate(broken(text, width=width, size=real, bold=bold))
        ]

    def _height(self, text: str, *, width: float, size: float, bold: bool = False) -> float:
        real = size * self.scale
        return len(broken(text, width=width, size=real, bold=bold)) * real * LINE

    def rule(self, *, width: float = 0.5, after: float = 1.5) -> None:
        """A line across."""
        self.marks.append(Path(points=((0.0, self.y), (self.width, self.y)), width=width))
        self.y += after

    def write(self, lines: int, *, says: str = "", size: float = 4.2) -> None:
        """Lines to write on, the first behind a word."""
        for number in range(lines):
            self.y += max(WRITE, size * self.scale * 1.6)
            start = 0.0
            if says and not number:
                start = text_width(says, size=size * self.scale, bold=True) + 2.0
                self.marks.append(Words(at=(0.0, self.y - 0.8), text=says, size=size * self.scale, bold=True))
            self.marks.append(Path(points=((start, self.y), (self.width, self.y)), width=0.2))
        self.y += 2.4

    def box(self, *, top: float, line: float = 0.5) -> None:
        """A frame round what was set since `top`."""
        corners = ((-2.5, top), (self.width + 2.5, top), (self.width + 2.5, self.y), (-2.5, self.y))
        self.marks.append(Path(points=corners, closed=True, width=line))
        self.y += 2.5

    def table(
        self, rows: Sequence[Sequence[str]], *, shares: Sequence[float], size: float = 3.8, head: bool = False
    ) -> None:
        """Rows of cells; each column has its share of the width."""
        widths = [self.width * share / sum(shares) for share in shares]
        for number, row in enumerate(rows):
            bold = head and not number
            tall = max(
                self._height(cell, width=w - 3.0, size=size, bold=bold)
                for cell, w in zip(row, widths, strict=True)
            )
            x = 0.0
            for cell, wide in zip(row, widths, strict=True):
                self.marks += self._set(cell, x=x, y=self.y + 0.8, width=wide - 3.0, size=size, bold=bold)
                x += wide
            self.y += max(tall, size * self.scale) + 2.2
            thick = 0.4 if bold else 0.15
            self.marks.append(Path(points=((0.0, self.y), (self.width, self.y)), width=thick))
        self.y += 2.5

    def picture(self, drawing: Drawing) -> None:
        """A drawing, made smaller if it is wider than the page."""
        share = min(1.0, self.width / drawing.width)
        self.marks += [moved(mark, share, self.y) for mark in drawing.marks]
        self.y += drawing.height * share + 1.5


def moved(mark: Mark, share: float, down: float) -> Mark:
    """A mark at a share of its size, further down."""
    if isinstance(mark, Path):
        return replace(mark, points=tuple((x * share, y * share + down) for x, y in mark.points))
    at = (mark.at[0] * share, mark.at[1] * share + down)
    if isinstance(mark, Words):
        return replace(mark, at=at, size=mark.size * share)
    return replace(mark, at=at, radius=mark.radius * share)


def pages(
    stacks: Sequence[Stack], *, paper: Paper, title: str, foot: Callable[[int, int], str], scale: float = 1.0
) -> tuple[Drawing, ...]:
    """Stacks on as many pages as they need.

    A stack taller than a whole page is set smaller until it fits.
    """
    wide, high = SIZES[paper]
    room = high - 2 * MARGIN - FOOT * scale
    laid: list[list[Mark]] = [[]]
    y = 0.0
    for stack in stacks:
        share = min(1.0, room / stack.y) if stack.y else 1.0
        if y and y + stack.y * share > room:
            laid.append([])
            y = 0.0
        laid[-1] += [_shifted(moved(mark, share, 0.0), MARGIN, MARGIN + y) for mark in stack.marks]
        y += stack.y * share + 1.5
    made = []
    for number, marks in enumerate(laid, start=1):
        size = 3.1 * scale
        below = broken(foot(number, len(laid)), width=wide - 2 * MARGIN, size=size)
        base = high - MARGIN - (len(below) - 1) * size * LINE
        lines = [
            Words(at=(MARGIN, base + i * size * LINE), text=line, size=size) for i, line in enumerate(below)
        ]
        made.append(Drawing(width=wide, height=high, marks=(*marks, *lines), title=f"{title}, page {number}"))
    return tuple(made)


def _shifted(mark: Mark, x: float, y: float) -> Mark:
    if isinstance(mark, Path):
        return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points))
    return replace(mark, at=(mark.at[0] + x, mark.at[1] + y))

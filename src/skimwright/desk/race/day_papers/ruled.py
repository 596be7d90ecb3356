"""Small helps for paper that is written on: boxes, blanks, rows, and words that always fit."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from skimwright.base.drawing import Dot, Path
from skimwright.base.lettering import FIGURE, text_width, wrapped
from skimwright.base.sheet import LINE, Sheet

Paper = Literal["a4", "letter"]
LEAST = 2.9  # no words are set smaller [mm] [choice: about 8 points]
PENCIL = 0.35  # lines one writes on: a soft pencil and a copier both leave them [mm] [choice]
HEAVY = 0.8
BESIDE = 0.07  # white left of the first and right of the last figure, of their size; from the font files [-]


def blank_sheet(width: float, height: float) -> Sheet:
    """A page of a size."""
    return Sheet(width=width, height=height)


def cut_to(text: str, *, width: float, size: float, bold: bool = False) -> str:
    """The text, or as much of it as fits with ``...`` behind."""
    if text_width(text, size=size, bold=bold) <= width:
        return text
    while text and text_width(f"{text}...", size=size, bold=bold) > width:
        text = text[:-1]
    return f"{text.rstrip()}..."


def fitted(
    sheet: Sheet,
    x: float,
    middle: float,
    text: str,
    *,
    width: float,
    size: float,
    bold: bool = False,
    lines: int = 2,
    anchor: Literal["start", "middle"] = "start",
) -> None:
    """Words around the height `middle`: full size if they fit in a line; else smaller, on more lines; else cut."""
    if not text.strip():
        return
    shown: list[str] = []
    while True:
        shown = wrapped(text, width=width, size=size, bold=bold)
        wide = max(text_width(line, size=size, bold=bold) for line in shown)
        if (wide <= width and len(shown) <= lines) or size <= LEAST:
            break
        size = max(LEAST, size * 0.94)
    if len(shown) > lines:
        shown = [*shown[: lines - 1], " ".join(shown[lines - 1 :])]
    step = size * (LINE if len(shown) == 1 else 1.18)
    base = middle + size * FIGURE / 2 - step * (len(shown) - 1) / 2
    at = x if anchor == "start" else x + width / 2
    for line in shown:
        said = cut_to(line, width=width, size=size, bold=bold)
        sheet.word(at, base, said, size=size, bold=bold, anchor=anchor)
        base += step


def figures(
    sheet: Sheet, x: float, top: float, text: str, *, high: float, width: float, bold: bool = True
) -> float:
    """Figures `high` mm tall around the middle of a width, their top at `top`; lower only where they would not fit.

    Returns
    -------
    float
        How tall they are. [mm]
    """
    tall = figure_height(text, high=high, width=width, bold=bold)
    base = top + high - (high - tall) / 2
    sheet.word(x + width / 2, base, text, size=tall / FIGURE, bold=bold, anchor="middle")
    return tall


def figure_height(text: str, *, high: float, width: float, bold: bool = True) -> float:
    """How tall figures can stand in a width; the white beside the first and the last may lie outside. [mm]"""
    wide = text_width(text, size=high / FIGURE, bold=bold) - BESIDE * high / FIGURE
    return high * min(1.0, width / wide) if wide > 0 else high


def fill_in(sheet: Sheet, x: float, base: float, says: str, *, width: float, size: float = 3.8) -> None:
    """A word and a line to write on, up to a width."""
    start = x + text_width(says, size=size) + 1.5 if says else x
    sheet.word(x, base, says, size=size)
    sheet.line((start, base + 1.2), (x + width, base + 1.2), width=PENCIL)


def tick_box(sheet: Sheet, x: float, y: float, size: float, *, width: float = 0.5) -> None:
    """An empty square."""
    sheet.box(x, y, size, size, line=width)


def ticked(sheet: Sheet, x: float, y: float, size: float) -> None:
    """A square with a tick in it."""
    tick_box(sheet, x, y, size)
    points = (
        (x + 0.2 * size, y + 0.55 * size),
        (x + 0.42 * size, y + 0.78 * size),
        (x + 0.82 * size, y + 0.22 * size),
    )
    sheet.line(*points, width=0.12 * size)


def scissors_line(sheet: Sheet, *points: tuple[float, float]) -> None:
    """Where to cut or tear."""
    sheet.line(*points, width=0.25, dashes=(3.0, 2.0))


def ruled_rows(
    sheet: Sheet,
    x: float,
    y: float,
    *,
    columns: Sequence[tuple[str, float]],
    rows: Sequence[Sequence[str]],
    high: float,
    size: float = 4.0,
    head: float = 3.3,
    bold: Sequence[int] = (),
) -> float:
    """A table with lines one can write between; blank cells are to be filled in.

    Parameters
    ----------
    columns : sequence of (str, float)
        Heading and width. [mm]
    rows : sequence of sequences of str
        Cells; those missing are blank.
    high : float
        Of a row. [mm]
    bold : sequence of int
        Columns set heavy.

    Returns
    -------
    float
        Where the next thing may begin. [mm]
    """
    edges = [x]
    for _, width in columns:
        edges.append(edges[-1] + width)
    top = y + max(2, _deepest(columns, head)) * head * 1.25
    for (word, _), (left, right) in zip(columns, pairwise(edges), strict=True):
        _heading(sheet, word, left, right, top, head)
    bottom = top + high * len(rows)
    for k in range(len(rows) + 1):
        heavy = k in (0, len(rows))
        sheet.line((x, top + k * high), (edges[-1], top + k * high), width=0.6 if heavy else 0.25)
    for edge in edges:
        sheet.line((edge, top), (edge, bottom), width=0.25)
    for k, row in enumerate(rows):
        for n, (cell, (left, right)) in enumerate(zip(row, pairwise(edges), strict=False)):
            middle = top + (k + 0.5) * high
            lines = max(1, int(high / (size * 1.2)))
            fitted(
                sheet,
                left + 1.3,
                middle,
                cell,
                width=right - left - 2.6,
                size=size,
                bold=n in bold,
                lines=lines,
            )
    return bottom


def _deepest(columns: Sequence[tuple[str, float]], head: float) -> int:
    return max(len(wrapped(word, width=width - 1.6, size=head, bold=True)) for word, width in columns)


def _heading(sheet: Sheet, word: str, left: float, right: float, top: float, size: float) -> None:
    shown = wrapped(word, width=right - left - 1.6, size=size, bold=True)
    for n, line in enumerate(reversed(shown)):
        said = cut_to(line, width=right - left - 1.6, size=size, bold=True)
        sheet.word(left + 1.3, top - 1.4 - n * size * 1.2, said, size=size, bold=True)


def bullet(
    sheet: Sheet, x: float, y: float, text: str, *, width: float, size: float = 4.2, mark: str = ""
) -> float:
    """A sentence with a number or a dot before it; returns where the next may begin."""
    indent = max(5.0, text_width(f"{mark} ", size=size, bold=True)) if mark else 5.0
    if mark:
        sheet.word(x, y + size * 0.95, mark, size=size, bold=True)
    else:
        sheet.marks.append(Dot(at=(x + 1.4, y + size * 0.62), radius=0.75))
    return sheet.text(x + indent, y, text, width=width - indent, size=size) + 1.2


def framed(sheet: Sheet, x: float, y: float, width: float, height: float, *, line: float = HEAVY) -> None:
    """A heavy box."""
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    sheet.marks.append(Path(points=corners, closed=True, width=line))


def foot(sheet: Sheet, says: str, *, margin: float) -> None:
    """The small line at the bottom of a page."""
    sheet.word(
        margin, sheet.height - 6.0, cut_to(says, width=sheet.width - 2 * margin, size=LEAST), size=LEAST
    )

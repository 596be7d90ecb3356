"""The order of cuts by hand, as pages to tick off."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from skimwright.base.drawing import Drawing
from skimwright.base.lettering import text_width
from skimwright.base.sheet import MARGIN, SIZES, Paper, Sheet
from skimwright.kit.cutting import HandStep

SAFE = (
    "Steel rule, mat, sharp blade. The knife moves away from the hand that holds the rule. Long cuts in three light "
    "strokes. Cut holes and nicks before a part comes out of the sheet."
)


def cutting_pages(
    steps: Sequence[HandStep], *, title: str, foot: str, paper: Paper = "a4"
) -> tuple[Drawing, ...]:
    """What to cut, in which order, a box to tick before each line.

    Raises
    ------
    KeyError
        A paper that is not known.
    """
    pages: list[Drawing] = []
    sheet, y = _new(title, foot, paper, first=True)
    for number, step in enumerate(steps, start=1):
        if y > sheet.height - MARGIN - 40:
            pages.append(sheet.drawing(title))
            sheet, y = _new(title, foot, paper, first=False)
        y = (
            sheet.text(MARGIN, y, f"{number}  {step.does}", width=sheet.width - 2 * MARGIN, size=5, bold=True)
            + 1
        )
        for line in _lines(step, width=sheet.width - 2 * MARGIN - 10, size=4.0):
            if y > sheet.height - MARGIN - 14:
                pages.append(sheet.drawing(title))
                sheet, y = _new(title, foot, paper, first=False)
            sheet.box(MARGIN, y + 0.6, 3.6, 3.6)
            y = sheet.text(MARGIN + 7, y, line, width=sheet.width, size=4.0) + 0.8
        y += 3
    return (*pages, sheet.drawing(title))


def _new(title: str, foot: str, paper: Paper, *, first: bool) -> tuple[Sheet, float]:
    sheet = Sheet(width=SIZES[paper][0], height=SIZES[paper][1])
    wide = sheet.width - 2 * MARGIN
    y = sheet.text(MARGIN, MARGIN, title, width=wide, size=7, bold=True) + 1
    if first:
        y = sheet.text(MARGIN, y, SAFE, width=wide, size=4.0) + 4
    sheet.word(MARGIN, sheet.height - MARGIN + 4, foot, size=3.4)
    return sheet, y


def _lines(step: HandStep, *, width: float, size: float) -> list[str]:
    """ "WALL-1 left 620, 67;" for each run of strokes along one part, never broken inside."""
    said = []
    for part, run in groupby(step.strokes, key=lambda stroke: stroke.part):
        lengths = ", ".join(f"{stroke.length:.0f}" for stroke in run)
        said.append(f"{part} {lengths} mm" if step.has_lengths else part)
    lines: list[str] = []
    for text in said:
        longer = f"{lines[-1]};  {text}" if lines else text
        if lines and text_width(longer, size=size) <= width:
            lines[-1] = longer
        else:
            lines.append(text)
    return lines

"""The card that goes with a boat from the water to the scales: crash, water, device moved, patch."""

from __future__ import annotations

from skimwright.base.drawing import Drawing
from skimwright.base.sheet import Sheet
from skimwright.desk.race.day_papers.call_board import CARD
from skimwright.desk.race.day_papers.heats import PaperDay
from skimwright.desk.race.day_papers.ruled import (
    Paper,
    blank_sheet,
    fill_in,
    fitted,
    ruled_rows,
    scissors_line,
    tick_box,
)

HAPPENED = ("crash", "water in it", "device moved", "patch or glue")
MEASURED = ("mass g", "front scale g", "rear scale g", "balance mm")
ENDS = ("as before: may race", "trim it, then weigh again", "no scale here: unweighed")


def reweigh_cards(day: PaperDay, *, paper: Paper = "a4") -> Drawing:
    """Four blank cards on a page."""
    wide, high = CARD[paper]
    sheet = blank_sheet(2 * wide, 2 * high)
    scissors_line(sheet, (wide, 3.0), (wide, 2 * high - 3.0))
    scissors_line(sheet, (3.0, high), (2 * wide - 3.0, high))
    for n in range(4):
        _card(sheet, day, (n % 2) * wide + 8.0, (n // 2) * high, wide - 16.0, high)
    return sheet.drawing("Cards for the scales, four blank")


def _card(sheet: Sheet, day: PaperDay, x: float, y: float, wide: float, high: float) -> None:
    sheet.word(x, y + 13.0, "To the scales", size=7.4, bold=True)
    fill_in(sheet, x, y + 23.0, "boat", width=32, size=4.6)
    fill_in(sheet, x + 35, y + 23.0, "after heat", width=wide - 35, size=4.6)
    for k, says in enumerate(HAPPENED):
        left, top = x + (k % 2) * wide / 2, y + 28.5 + (k // 2) * 8.0
        tick_box(sheet, left, top, 5.4)
        sheet.word(left + 7.4, top + 4.2, says, size=4.2)
    sheet.word(x, y + 50.0, "Wet? Dry it first, then weigh.", size=4.4, bold=True)
    columns = [("", 32.0), ("before", (wide - 32) / 2), ("now", (wide - 32) / 2)]
    low = ruled_rows(
        sheet,
        x,
        y + 48.5,
        columns=columns,
        rows=[(says,) for says in MEASURED],
        high=8.6,
        size=4.0,
        bold=(0,),
    )
    for k, says in enumerate(ENDS):
        top = low + 3.5 + k * 7.8
        tick_box(sheet, x, top, 5.4)
        sheet.word(x + 7.4, top + 4.2, says, size=4.2)
    fill_in(sheet, x, y + high - 12.5, "pit steward", width=wide * 0.58, size=3.8)
    fill_in(sheet, x + wide * 0.62, y + high - 12.5, "time", width=wide * 0.38, size=3.8)
    fitted(sheet, x, y + high - 7.0, day.printed, width=wide, size=2.9, lines=1)

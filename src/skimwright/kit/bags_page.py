"""A boat's bag label and pick list on one page."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.base import show_mass
from skimwright.base.drawing import Dot, Drawing
from skimwright.base.sheet import MARGIN, SIZES, Paper, Sheet
from skimwright.kit.bags import ALLOWED, Bag, PickLine

LABEL = 62.0  # height of the label at the top of the page [mm]


@dataclass(frozen=True, kw_only=True)
class BagFor:
    """Whose bag it is."""

    number: str  # "07"; blank for a kit nobody has yet
    name: str = ""
    group: str = ""


def bag_page(bag: Bag, whose: BagFor, *, paper: Paper = "a4", foot: str = "") -> Drawing:
    """Label to cut off and stick on, pick list to tick and leave inside.

    Raises
    ------
    KeyError
        A paper that is not known.
    """
    sheet = Sheet(width=SIZES[paper][0], height=SIZES[paper][1])
    wide = sheet.width - 2 * MARGIN
    _label(sheet, bag, whose, wide)
    y = MARGIN + LABEL + 7
    sheet.line((MARGIN, y), (sheet.width - MARGIN, y), width=0.25, dashes=(3, 2))
    sheet.word(sheet.width - MARGIN, y - 1.4, "cut here", size=3, anchor="end")
    y = sheet.text(MARGIN, y + 5, f"In the bag: {bag.count} parts", width=wide, size=6, bold=True) + 2
    y = _list(sheet, bag, y, wide)
    y = sheet.text(
        MARGIN,
        y + 3,
        f"Weigh the parts together, without the bag: {bag.limits[0] * 1e3:.1f} to {bag.limits[1] * 1e3:.1f} g is right "
        f"({bag.mass * 1e3:.1f} g within {ALLOWED * 100:g} %; from sheet to sheet the board alone makes "
        f"{bag.mass_sd * 1e3:.1f} g).",
        width=wide,
        size=4.2,
    )
    if bag.unnoticed:
        y = sheet.text(
            MARGIN,
            y + 1,
            f"The scale cannot tell if one of these is missing, so count them: {', '.join(bag.unnoticed)}.",
            width=wide,
            size=4.2,
        )
    sheet.word(MARGIN, sheet.height - MARGIN + 4, foot, size=3.2)
    who = f"boat {whose.number} {whose.name}".strip() if whose.number else bag.kit
    return sheet.drawing(f"Bag of {who}", f"{bag.count} parts, {show_mass(bag.mass)}.")


def _label(sheet: Sheet, bag: Bag, whose: BagFor, wide: float) -> None:
    sheet.box(MARGIN, MARGIN, wide, LABEL, line=0.8)
    left = MARGIN + 6
    if whose.number:
        sheet.word(left, MARGIN + 30, whose.number, size=30, bold=True)
        left += 44
    sheet.text(left, MARGIN + 6, whose.name or bag.kit, width=wide - (left - MARGIN) - 6, size=11, bold=True)
    under = ", ".join(text for text in (whose.group, bag.kit if whose.name else "") if text)
    sheet.word(left, MARGIN + 29, under, size=6)
    sheet.word(MARGIN + 6, MARGIN + 42, f"{bag.count} parts, {bag.mass * 1e3:.0f} g", size=7, bold=True)
    sheet.word(MARGIN + 6, MARGIN + 50, f"drawing edition {bag.edition}", size=4.6)
    right = MARGIN + wide - 6
    sheet.word(right - 50, MARGIN + 42, "weighed", size=4.6)
    sheet.box(right - 24, MARGIN + 35, 24, 10)
    sheet.word(right + 0.8, MARGIN + 42, "g", size=4.6)
    sheet.word(right - 50, MARGIN + 55, "packed by", size=4.6)
    sheet.box(right - 24, MARGIN + 48, 24, 10)


def _list(sheet: Sheet, bag: Bag, y: float, wide: float) -> float:
    columns = {"part": 16.0, "pieces": 58.0, "nicks": 82.0, "dots": 114.0, "each": wide}
    for head, x in columns.items():
        anchor = "end" if head == "each" else "start"
        sheet.word(MARGIN + x, y + 3.5, "g each" if head == "each" else head, size=3.6, anchor=anchor)  # type: ignore[arg-type]
    y += 5.2
    sheet.line((MARGIN, y), (MARGIN + wide, y), width=0.4)
    high = min(8.0, (sheet.height - MARGIN - 34 - y) / max(len(bag.lines), 1))
    for line in bag.lines:
        base = y + high * 0.68
        for box in range(line.quantity):
            sheet.box(MARGIN + 5.4 * box, y + high * 0.5 - 2.0, 4.0, 4.0)
        sheet.word(MARGIN + columns["part"], base, line.part, size=4.6, bold=True)
        sheet.word(MARGIN + columns["pieces"], base, str(line.quantity), size=4.6)
        sheet.word(MARGIN + columns["nicks"], base, _nicks(line), size=4.0)
        for dot in range(line.order):
            x = MARGIN + columns["dots"] + 2.6 * dot + (1.6 if dot >= 5 else 0) + (1.6 if dot >= 10 else 0)
            sheet.marks.append(Dot(at=(x + 0.7, y + high * 0.5), radius=0.7, width=0.1))
        sheet.word(MARGIN + wide, base, f"{line.mass * 1e3:.1f}", size=4.6, anchor="end")
        y += high
        sheet.line((MARGIN, y), (MARGIN + wide, y), width=0.12)
    return y


def _nicks(line: PickLine) -> str:
    count = {"left": 1, "right": 2}
    return ", ".join(f"{side} {count[side]}" for side in line.sides) or "none"

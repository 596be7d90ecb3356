"""The heat sheet: one page a heat, filled in by pencil in the rain, torn in three at the bottom."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.base.lettering import text_width
from skimwright.base.sheet import SIZES, Sheet
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay, PaperHeat
from skimwright.desk.race.day_papers.lane_signs import lane_sign
from skimwright.desk.race.day_papers.ruled import (
    HEAVY,
    PENCIL,
    Paper,
    blank_sheet,
    figures,
    fill_in,
    fitted,
    foot,
    scissors_line,
    tick_box,
)

EDGE = 12.0  # [mm]
SLIP = 35.0  # height of a finish slip [mm]
BOX = 14.0  # a finish box: room for two lane numbers that tie [mm]
TIGHT = 14.5  # a row lower than this has room for one line of words [mm]
SIGN = 6.4  # a lane's sign on a slip [mm]
PLACES = ("1st", "2nd", "3rd", *(f"{n}th" for n in range(4, 21)))


def heat_sheets(day: PaperDay, heats: Sequence[PaperHeat], *, paper: Paper = "a4") -> list[Drawing]:
    """A filled sheet for each heat."""
    return [_sheet(day, heat, paper) for heat in heats]


def blank_heat_sheets(day: PaperDay, *, count: int = 1, paper: Paper = "a4") -> list[Drawing]:
    """Sheets with nothing in them but the lanes."""
    return [_sheet(day, None, paper)] * count


def _sheet(day: PaperDay, heat: PaperHeat | None, paper: Paper) -> Drawing:
    sheet = blank_sheet(*SIZES[paper])
    lanes = max(day.lanes, len(heat.lanes) if heat else 0)
    y = _head(sheet, day, heat)
    bottom = sheet.height - 9.0 - 2 * SLIP
    high = min((bottom - y - 62.0) / lanes, 19.0)
    y = _lanes(sheet, heat, lanes, y, high)
    y = _counts(sheet, heat, lanes, y + 5.0)
    _notes(sheet, y + 4.0, bottom - 3.0)
    for number, finish in enumerate("AB"):
        _slip(sheet, finish, heat, lanes, bottom + number * SLIP)
    foot(sheet, f"{day.over}.  {day.printed}", margin=EDGE)
    name = f"Heat sheet {heat.number}" if heat else "Blank heat sheet"
    return sheet.drawing(name, _described(heat))


def _described(heat: PaperHeat | None) -> str:
    if heat is None:
        return "Six lanes to fill in by hand."
    rows = [f"lane {n}: {b.number} {b.name}" for n, b in enumerate(heat.lanes, 1) if b is not None]
    return f"{heat.race} {heat.planned}. {'; '.join(rows)}."


def _head(sheet: Sheet, day: PaperDay, heat: PaperHeat | None) -> float:
    wide = sheet.width - 2 * EDGE
    sheet.word(EDGE, EDGE + 16.0, "HEAT", size=7.5, bold=True)
    if heat:
        figures(sheet, EDGE + 21, EDGE, str(heat.number), high=18.0, width=42.0)
    else:
        sheet.box(EDGE + 24, EDGE - 1.0, 42, 19.0, line=0.6)
    x, right = EDGE + 72.0, EDGE + wide
    if heat:
        fitted(sheet, x, EDGE + 3.0, heat.race, width=right - x, size=6.4, bold=True, lines=1)
    else:
        fill_in(sheet, x, EDGE + 5.0, "Group", width=right - x - 34, size=4.4)
        fill_in(sheet, right - 32, EDGE + 5.0, "round", width=32, size=4.4)
    half = (right - x - 4) / 2
    says = f"Planned  {heat.planned}" if heat and heat.planned else ""
    if says:
        sheet.word(x, EDGE + 16.5, says, size=5.2, bold=True)
    else:
        fill_in(sheet, x, EDGE + 16.5, "Planned", width=half, size=4.4)
    fill_in(sheet, x + half + 4, EDGE + 16.5, "Started", width=half, size=4.4)
    y = EDGE + 26.5
    fill_in(sheet, EDGE, y, "Hold from", width=41, size=4.2)
    fill_in(sheet, EDGE + 43, y, "to", width=25, size=4.2)
    fill_in(sheet, x, y, "because", width=right - x, size=4.2)
    return y + 4.0


def _lanes(sheet: Sheet, heat: PaperHeat | None, lanes: int, y: float, high: float) -> float:
    """One row a lane; returns its foot."""
    wide = sheet.width - 2 * EDGE
    sign, number, box = 19.0, 25.0, 14.0
    x_boat = EDGE + sign + number
    x_arm = EDGE + wide - 74.0
    heads = ((x_arm, "armed"), (x_arm + box, "safe again"), (x_arm + 2 * box + 1.5, "no place: why"))
    for x, word in heads:
        for k, piece in enumerate(reversed(word.split(" ", 1) if word == "safe again" else [word])):
            sheet.word(x + 0.5, y + 5.0 - 3.6 * k, piece, size=3.1, bold=True)
    sheet.word(EDGE + 3, y + 5.0, "lane", size=3.1, bold=True)
    sheet.word(EDGE + sign + 2, y + 5.0, "boat", size=3.1, bold=True)
    y += 6.5
    for lane in range(1, lanes + 1):
        sheet.line((EDGE, y), (EDGE + wide, y), width=0.6 if lane == 1 else 0.3)
        middle = y + high / 2
        sheet.marks += lane_sign(lane, EDGE + 8.5, middle, size=min(high * 0.78, 14.0))
        boat = heat.lanes[lane - 1] if heat and lane <= len(heat.lanes) else None
        _boat(sheet, heat, boat, EDGE + sign, x_boat, x_arm - 2.0, middle, high)
        for k in range(2):
            if heat is None or boat is not None:
                side = min(9.0, high * 0.7)
                tick_box(sheet, x_arm + k * box, middle - side / 2, side, width=0.5)
        left = x_arm + 2 * box + 1.5
        sheet.line((left, y + high * 0.84), (EDGE + wide, y + high * 0.84), width=PENCIL)
        y += high
    sheet.line((EDGE, y), (EDGE + wide, y), width=0.6)
    return y


def _boat(
    sheet: Sheet,
    heat: PaperHeat | None,
    boat: PaperBoat | None,
    x: float,
    x_name: float,
    right: float,
    middle: float,
    high: float,
) -> None:
    if heat is None:
        tall = min(11.0, high * 0.75)
        sheet.box(x, middle - tall / 2, 22.0, tall, line=PENCIL)
        sheet.line((x_name, middle + tall / 2), (right, middle + tall / 2), width=PENCIL)
        return
    if boat is None:
        sheet.word(x_name, middle + 1.6, "empty", size=4.4)
        return
    tall = min(9.5, high * 0.6)
    figures(sheet, x, middle - tall / 2, boat.number, high=tall, width=23.0)
    mark = f"NOT TICKED: {boat.unfit}" if boat.unfit else "UNWEIGHED" if boat.unweighed else ""
    if high < TIGHT:  # many lanes: all in one line
        says = f"{boat.name}  {mark}".strip()
        size = min(5.4, high * 0.6)
        fitted(sheet, x_name, middle, says, width=right - x_name, size=size, bold=bool(mark), lines=1)
        return
    name_at = middle - (high * 0.14 if mark else 0.0)
    fitted(sheet, x_name, name_at, boat.name, width=right - x_name, size=5.4, lines=1 if mark else 2)
    if mark:
        low = middle + high * 0.25
        long = min(right - x_name, text_width(mark, size=3.4, bold=True) + 3.4)
        sheet.box(x_name - 1.0, low - 2.7, long + 1.0, 5.4, line=HEAVY if boat.unfit else 0.4)
        fitted(sheet, x_name + 0.6, low, mark, width=long - 1.8, size=3.4, bold=True, lines=1)


def _counts(sheet: Sheet, heat: PaperHeat | None, lanes: int, y: float) -> float:
    """What counts: lanes in their order, as it is typed back later."""
    sheet.word(EDGE, y + 5.2, "WHAT COUNTS", size=4.6, bold=True)
    sheet.word(EDGE, y + 10.2, "lane numbers, first", size=3.4)
    sheet.word(EDGE, y + 14.2, "to last; both slips agree,", size=3.4)
    sheet.word(EDGE, y + 18.2, "or the marshal says so", size=3.4)
    low = _boxes(sheet, lanes, EDGE + 43, y, sheet.width - EDGE)
    return max(low, y + 19.5)


def _boxes(sheet: Sheet, lanes: int, x: float, y: float, right: float) -> float:
    """A box a place; returns their foot."""
    step = min((right - x) / lanes, 26.0)
    side = min(BOX, step - 1.5)
    for k in range(lanes):
        left = x + k * step
        fitted(sheet, left + 0.3, y + 2.1, PLACES[k], width=step - 1.5, size=3.4, bold=True, lines=1)
        sheet.box(left, y + 4.6, step - 3.0, side, line=0.6)
    return y + 4.6 + side


def _notes(sheet: Sheet, y: float, bottom: float) -> None:
    right = sheet.width - EDGE
    says = "Together: both lanes in one box, and strike out the next.   - not started   / not finished   x out, and why"
    sheet.word(EDGE, y + 3.0, says, size=3.25)
    fill_in(sheet, EDGE, y + 12.0, "What happened (protest, touch, re-run)", width=right - EDGE, size=3.8)
    third = (right - EDGE) / 3
    last = min(bottom - 2.5, y + 22.5)
    for k, who in enumerate(("start", "marshal", "scorer")):
        fill_in(sheet, EDGE + k * third, last, f"{who}:", width=third - 4, size=3.8)


def _slip(sheet: Sheet, finish: str, heat: PaperHeat | None, lanes: int, y: float) -> None:
    """What one finish judge takes along: the other's must not be seen."""
    scissors_line(sheet, (4.0, y), (sheet.width - 4.0, y))
    sheet.word(EDGE, y + 10.0, f"FINISH {finish}", size=6.2, bold=True)
    if heat:
        sheet.word(EDGE, y + 18.5, f"heat {heat.number}", size=5.4, bold=True)
        fitted(sheet, EDGE, y + 23.5, heat.race, width=38.0, size=3.6, lines=1)
    else:
        fill_in(sheet, EDGE, y + 18.5, "heat", width=34, size=5.0)
    fill_in(sheet, EDGE, y + 29.5, "initials", width=34, size=3.6)
    x, right = EDGE + 43, sheet.width - EDGE
    low = _boxes(sheet, lanes, x, y + 3.4, right)
    if heat:
        _who_is_where(sheet, heat, x, low + 4.6, right)
    else:
        sheet.word(x, low + 6.5, "Lane numbers, first to last. Together: both lanes in one box.", size=3.4)


def _who_is_where(sheet: Sheet, heat: PaperHeat, x: float, base: float, right: float) -> None:
    """Lane and boat beside each other, since a judge sees the number on the boat."""
    seated = [(n, b) for n, b in enumerate(heat.lanes, 1) if b is not None]
    step = min((right - x) / max(len(seated), 1), 26.0)
    for k, (lane, boat) in enumerate(seated):
        left = x + k * step
        if step < 2 * SIGN:  # many lanes: the number under the sign
            sheet.marks += lane_sign(lane, left + step / 2, base + 1.0, size=SIGN)
            fitted(
                sheet, left, base + 7.0, boat.number, width=step - 0.4, size=3.8, bold=True, anchor="middle"
            )
            continue
        sheet.marks += lane_sign(lane, left + 3.0, base + 0.6, size=SIGN)
        fitted(sheet, left + 7.6, base + 0.6, boat.number, width=step - 9.0, size=4.4, bold=True, lines=1)

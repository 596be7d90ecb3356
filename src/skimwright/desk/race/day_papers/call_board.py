"""The call board: now, next, after, in figures 40 mm tall; and a card for each crew of the heats to come."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.base.sheet import Sheet
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay, PaperHeat
from skimwright.desk.race.day_papers.lane_signs import lane_sign
from skimwright.desk.race.day_papers.ruled import (
    Paper,
    blank_sheet,
    figure_height,
    figures,
    fill_in,
    fitted,
    foot,
    scissors_line,
    tick_box,
)

LARGE: dict[Paper, tuple[float, float]] = {"a4": (297.0, 420.0), "letter": (279.4, 431.8)}  # A3, tabloid [mm]
FIGURES = 40.0  # to be read at 5 m [mm]
EDGE = 6.0
LEAST_NAME = 14.0  # no name is set narrower [mm]
TURNS = ("NOW", "NEXT", "AFTER")
TELLS = ("on the water", "at the ramp", "get ready")


def call_boards(
    day: PaperDay, heats: Sequence[PaperHeat], *, now: int | None = None, paper: Paper = "a4"
) -> list[Drawing]:
    """Three heats a page: the one on the water, the next and the one after it.

    Parameters
    ----------
    heats : sequence of PaperHeat
        In the order in which they are raced.
    now : int, optional
        Number of the heat on the water: one page, with the words now, next, after.  None: every heat of
        `heats` once, to be cut apart and hung one below the other, with the three words on a page of their own.
    """
    if now is not None:
        place = next((n for n, heat in enumerate(heats) if heat.number == now), len(heats))
        ahead = heats[place : place + 3]
        return [_board(day, ahead, TURNS, paper)]
    pages = [_board(day, heats[k : k + 3], ("", "", ""), paper) for k in range(0, len(heats), 3)]
    return [_board(day, (), TURNS, paper), *pages]


def _board(day: PaperDay, heats: Sequence[PaperHeat], turns: Sequence[str], paper: Paper) -> Drawing:
    sheet = blank_sheet(*LARGE[paper])
    high = (sheet.height - 2 * EDGE - 6.0) / 3
    for k, turn in enumerate(turns):
        y = EDGE + k * high
        if heats and turns[0]:
            sheet.line((EDGE, y), (sheet.width - EDGE, y), width=2.0 if k == 0 else 1.2)
        elif k:
            scissors_line(sheet, (4.0, y), (sheet.width - 4.0, y))
        if k < len(heats):
            _heat(sheet, heats[k], turn, TELLS[k] if turn else "", y, high)
        elif not heats:
            fitted(
                sheet,
                EDGE,
                y + high * 0.45,
                turn,
                width=sheet.width - 2 * EDGE,
                size=74,
                bold=True,
                anchor="middle",
            )
            fitted(
                sheet, EDGE, y + high * 0.8, TELLS[k], width=sheet.width - 2 * EDGE, size=24, anchor="middle"
            )
    foot(sheet, f"{day.over}.  {day.printed}", margin=EDGE)
    shown = ", ".join(str(heat.number) for heat in heats)
    return sheet.drawing(f"Call board, heats {shown}" if heats else "Words for the call board")


def _heat(sheet: Sheet, heat: PaperHeat, turn: str, tells: str, y: float, high: float) -> None:
    right = sheet.width - EDGE
    column = (right - EDGE) / 4  # of heat numbers
    room, word = column - 2.0, turn or "HEAT"
    fitted(sheet, EDGE, y + 14.0, word, width=room, size=19, bold=True, lines=1)
    figures(sheet, EDGE, y + 28.0, str(heat.number), high=FIGURES, width=room)
    fitted(
        sheet, EDGE, y + 82.0, heat.race.replace("round ", "round\u00a0"), width=room, size=10.5, bold=True
    )
    fitted(sheet, EDGE, y + 103.0, heat.planned, width=room, size=17, bold=True, lines=1)
    fitted(sheet, EDGE, y + 119.0, tells, width=room, size=8.5, lines=1)
    columns = max(1, -(-len(heat.lanes) // 2))
    wide, tall = (right - EDGE - column) / columns, high / 2
    for n, boat in enumerate(heat.lanes):
        left, top = EDGE + column + (n % columns) * wide, y + (n // columns) * tall
        _lane(sheet, n + 1, boat, left, top, wide, tall)
        sheet.line((left, top + 3.0), (left, top + tall - 3.0), width=0.8)


def _lane(
    sheet: Sheet, lane: int, boat: PaperBoat | None, left: float, top: float, wide: float, tall: float
) -> None:
    size = 15.0
    sheet.marks += lane_sign(lane, left + 4.0 + size / 2, top + 5.0 + size / 2, size=size)
    x = left + size + 7.0
    room = left + wide - x - 1.0
    if room < LEAST_NAME and boat is not None:  # many lanes: the numbers alone
        figures(sheet, left + 1.5, top + tall - FIGURES - 2.5, boat.number, high=FIGURES, width=wide - 2.0)
        return
    if boat is None:
        fitted(sheet, x, top + 12.5, "empty", width=left + wide - x, size=7.5, lines=1)
        return
    says = boat.name if not boat.unfit else f"{boat.name}: not ticked"
    fitted(sheet, x, top + 12.0, says, width=left + wide - x - 1.0, size=8.0, bold=bool(boat.unfit))
    figures(sheet, left + 1.5, top + tall - FIGURES - 2.5, boat.number, high=FIGURES, width=wide - 2.0)


def figures_tall(heat: PaperHeat, *, paper: Paper) -> float:
    """How tall the lowest figure of this heat stands on the board. [mm]"""
    column = (LARGE[paper][0] - 2 * EDGE) / 4
    wide = 3 * column / max(1, -(-len(heat.lanes) // 2)) - 2.0
    shown = [(boat.number, wide) for boat in heat.lanes if boat is not None]
    return min(
        figure_height(text, high=FIGURES, width=w) for text, w in [*shown, (str(heat.number), column - 2.0)]
    )


# cards for crews


CARD: dict[Paper, tuple[float, float]] = {
    "a4": (105.0, 148.5),
    "letter": (107.95, 139.7),
}  # A6; a quarter of Letter


def crew_cards(day: PaperDay, heats: Sequence[PaperHeat], *, paper: Paper = "a4") -> list[Drawing]:
    """Four cards a page; none for a boat that the pit steward has not ticked."""
    seats = [
        (heat, lane, boat)
        for heat in heats
        for lane, boat in enumerate(heat.lanes, 1)
        if boat is not None and not boat.unfit
    ]
    wide, high = CARD[paper]
    pages = []
    for k in range(0, len(seats), 4):
        sheet = blank_sheet(2 * wide, 2 * high)
        scissors_line(sheet, (wide, 3.0), (wide, 2 * high - 3.0))
        scissors_line(sheet, (3.0, high), (2 * wide - 3.0, high))
        for n, (heat, lane, boat) in enumerate(seats[k : k + 4]):
            _card(sheet, day, heat, lane, boat, (n % 2) * wide, (n // 2) * high, wide, high)
        pages.append(sheet.drawing(f"Cards for crews, {k + 1} to {min(k + 4, len(seats))}"))
    return pages


def _card(
    sheet: Sheet,
    day: PaperDay,
    heat: PaperHeat,
    lane: int,
    boat: PaperBoat,
    x: float,
    y: float,
    wide: float,
    high: float,
) -> None:
    x, wide = x + 8.0, wide - 16.0
    figures(sheet, x, y + 9.0, boat.number, high=20.0, width=36.0)
    fitted(sheet, x + 38.0, y + 19.0, boat.name, width=wide - 38.0, size=7.4, bold=True)
    sheet.line((x, y + 34.0), (x + wide, y + 34.0), width=0.6)
    third = wide / 3
    for k, word in enumerate(("heat", "lane", "planned")):
        sheet.word(x + (k + 0.5) * third, y + 40.0, word, size=3.8, anchor="middle")
    figures(sheet, x, y + 44.0, str(heat.number), high=14.0, width=third - 3)
    sheet.marks += lane_sign(lane, x + 1.5 * third, y + 51.5, size=14.0)
    figures(sheet, x + 2 * third, y + 44.0, heat.planned or "______", high=14.0, width=third)
    fitted(sheet, x, y + 66.5, heat.race, width=wide, size=5.0, lines=1)
    sheet.line((x, y + 71.0), (x + wide, y + 71.0), width=0.6)
    low = sheet.text(x, y + 73.0, _when_to_come(heat), width=wide, size=4.5)
    low += 3.5
    asks = ["charged, and the plug out", "tape and edges dry", "steward's tick"]
    if boat.unweighed:
        asks[1] = "unweighed: to the scales first"
    for says in asks:
        tick_box(sheet, x, low, 6.5)
        sheet.word(x + 8.5, low + 4.8, says, size=4.7, bold=says.startswith("unweighed"))
        low += 9.4
    fill_in(sheet, x, y + high - 13.0, "pit steward", width=wide, size=3.8)
    fitted(sheet, x, y + high - 7.0, day.printed, width=wide, size=2.9, lines=1)


def _when_to_come(heat: PaperHeat) -> str:
    before = heat.number - 1
    if before < 1:
        return "First heat: be at the ramp when the water is opened."
    return f"Be at the ramp when heat {before} is on the water. The order of the board counts, not the clock."

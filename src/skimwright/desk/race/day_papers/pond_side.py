"""Paper for the bank: the run log with thirty rows, and the qualifying queue with the tries left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skimwright.base.drawing import Drawing
from skimwright.base.sheet import SIZES, Sheet
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay
from skimwright.desk.race.day_papers.ruled import (
    PENCIL,
    Paper,
    blank_sheet,
    fill_in,
    fitted,
    foot,
    ruled_rows,
    scissors_line,
    tick_box,
)

ROWS = 30
A5: dict[Paper, tuple[float, float]] = {"a4": (148.5, 210.0), "letter": (139.7, 215.9)}  # half a sheet [mm]
EDGE = 8.0
EYE = 5.0  # a black square in each corner, by which a picture of the page can be straightened [mm]
# What the run log takes, and how wide its column is in parts of the page.
LOG = (
    ("", 0.055), ("boat", 0.085), ("run", 0.065), ("guess m", 0.1), ("ran m", 0.115), ("drift m  L R", 0.13),
    ("gate s", 0.105), ("ending", 0.1), ("one change", 0.245),
)  # fmt: skip
ENDINGS = "G gate  W wide  S short  H hooked  B blew over  R rolled  N nosed in  X hit  F swamped"


def run_logs(day: PaperDay, *, paper: Paper = "a4") -> Drawing:
    """Two run logs side by side, each half a sheet when cut apart."""
    wide, high = A5[paper]
    sheet = blank_sheet(2 * wide, high)
    scissors_line(sheet, (wide, 3.0), (wide, high - 3.0))
    for n in range(2):
        _log(sheet, day, n * wide, wide, high)
    return sheet.drawing("Run log, 30 rows, twice")


def _log(sheet: Sheet, day: PaperDay, x: float, wide: float, high: float) -> None:
    for left in (x + 3.0, x + wide - 3.0 - EYE):
        for top in (3.0, high - 3.0 - EYE):
            sheet.box(left, top, EYE, EYE, line=0.1, fill="black")
    x, inner = x + EDGE, wide - 2 * EDGE
    sheet.word(x + 2.5, 8.2, "Run log", size=6.0, bold=True)
    fill_in(sheet, x + 30, 8.2, "sheet", width=18, size=3.6)
    fill_in(sheet, x + 50, 8.2, "date", width=33, size=3.6)
    fill_in(sheet, x + 85, 8.2, "who", width=inner - 88, size=3.6)
    fill_in(sheet, x, 14.6, "wind m/s", width=32, size=3.6)
    fill_in(sheet, x + 34, 14.6, "from", width=26, size=3.6)
    fill_in(sheet, x + 62, 14.6, "device", width=inner - 62, size=3.6)
    columns = [(head, share * inner) for head, share in LOG]
    row = (high - 36.5) / ROWS
    rows = [(str(k),) for k in range(1, ROWS + 1)]
    low = ruled_rows(sheet, x, 16.0, columns=columns, rows=rows, high=row, size=3.4, head=2.9, bold=(0,))
    fitted(sheet, x, low + 3.2, ENDINGS, width=inner, size=2.9, lines=1)
    says = 'Guess first. One change a run, or write "several". What cannot be read stays blank.'
    fitted(sheet, x + 2.5, low + 7.2, says, width=inner - 5, size=3.1, lines=1)


@dataclass(frozen=True, kw_only=True)
class QueueRule:
    """What a group must do to qualify."""

    group: str
    distance: str  # "30.48 m"
    gate: str  # "5 m"
    tries: int
    boats: tuple[PaperBoat, ...] = ()


def queue_sheets(day: PaperDay, rules: Sequence[QueueRule], *, paper: Paper = "a4") -> list[Drawing]:
    """A queue for each group: a box a try, struck out as it is used; blank rows behind for late crews."""
    return [page for rule in rules for page in _queue(day, rule, paper)]


def _queue(day: PaperDay, rule: QueueRule, paper: Paper) -> list[Drawing]:
    width, height = SIZES[paper]
    high, late = 13.5, 3
    seats: list[PaperBoat | None] = [*rule.boats, *[None] * (late if rule.boats else 12)]
    fit = int((height - 64.0) / high)
    pages = []
    for begin in range(0, len(seats), fit):
        sheet = blank_sheet(width, height)
        _queue_page(sheet, day, rule, seats[begin : begin + fit], high)
        pages.append(sheet.drawing(f"Qualifying queue {rule.group}".strip()))
    return pages


def _queue_page(
    sheet: Sheet, day: PaperDay, rule: QueueRule, seats: Sequence[PaperBoat | None], high: float
) -> None:
    edge = 12.0
    wide = sheet.width - 2 * edge
    title = f"Qualifying: {rule.group}" if rule.group else "Qualifying"
    fitted(sheet, edge, 17.0, title, width=wide * 0.5, size=9.0, bold=True, lines=1)
    says = f"{rule.distance}, through a gate {rule.gate} wide, {rule.tries} tries"
    fitted(sheet, edge + wide * 0.5, 17.0, says, width=wide * 0.5, size=4.6, lines=2)
    sheet.word(
        edge,
        27.0,
        "Down the list for the first try, then again for the second: nobody is more than two tries behind another.",
        size=3.5,
    )
    sheet.word(
        edge,
        32.0,
        "Each try: metres or seconds, and ring yes (through the gate) or not yet. A and B write; the marshal rings.",
        size=3.5,
    )
    tries = max(rule.tries, 1)
    each = (wide - 15 - 46 - 42) / tries
    columns = [("boat", 15.0), ("name", 46.0), *((f"try {k}", each) for k in range(1, tries + 1)),
               ("near miss, appeal: why", 42.0)]  # fmt: skip
    rows = [(boat.number, boat.name) if boat else () for boat in seats]
    low = ruled_rows(sheet, edge, 34.0, columns=columns, rows=rows, high=high, size=5.2, head=3.3, bold=(0,))
    top = low - high * len(seats)
    for k in range(len(seats)):
        for n in range(tries):
            left, y = edge + 61 + n * each, top + k * high
            tick_box(sheet, left + 1.6, y + 1.8, 4.6, width=PENCIL)
            sheet.word(left + each - 1.5, y + high - 2.0, "yes / not yet", size=3.0, anchor="end")
    sheet.word(
        edge,
        low + 6.0,
        "Cross the small square when the try is used: squares left are tries left. Late crews go behind.",
        size=3.5,
    )
    fill_in(sheet, edge, low + 15.0, "finish A", width=56, size=4.0)
    fill_in(sheet, edge + 60, low + 15.0, "finish B", width=56, size=4.0)
    fill_in(sheet, edge + 120, low + 15.0, "marshal", width=wide - 120, size=4.0)
    foot(sheet, f"{day.over}.  {day.printed}", margin=edge)

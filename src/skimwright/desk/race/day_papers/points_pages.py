"""Points multiplied out, so that nobody needs a calculator; and the sheet on which they are added up."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.base.sheet import SIZES, Sheet
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay
from skimwright.desk.race.day_papers.ruled import Paper, blank_sheet, bullet, foot, ruled_rows
from skimwright.regatta import CODES, TIE_BREAKS, PointsTable

EDGE = 14.0
CODES_SHOWN = ("DNS", "DNF", "DSQ")
SHARED = (2, 3)  # boats that tie


def number(value: float) -> str:
    """``212.5``, ``400``."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def multiplied_out(table: PointsTable, *, places: int, races: int) -> tuple[tuple[str, ...], ...]:
    """What each place is worth once, twice, ... and what each of two or three gets who share it.

    Returns
    -------
    tuple of tuples of str
        A row a place: the place, its points times 1, 2, ... `races`, then its share between two and three.
        Blank where the table ends.

    Examples
    --------
    >>> from skimwright.regatta import POWERBOAT
    >>> multiplied_out(POWERBOAT, places=2, races=3)[0]
    ('1', '400', '800', '1200', '350', '308.33')
    """
    rows = []
    for place in range(1, places + 1):
        worth = table.of_place(place)
        times = [number(worth * k) if worth is not None else "" for k in range(1, races + 1)]
        shares = [
            number(table.of_tie(place, boats))
            if all(table.of_place(place + k) is not None for k in range(boats))
            else ""
            for boats in SHARED
        ]
        rows.append((str(place), *times, *shares))
    return tuple(rows)


def points_page(
    day: PaperDay,
    table: PointsTable,
    *,
    races: int,
    groups: Sequence[tuple[str, int]] = (),
    paper: Paper = "a4",
) -> Drawing:
    """The table of points on one page, with what else the scorer must know.

    Parameters
    ----------
    races : int
        Most races that any boat has.
    groups : sequence of (str, int)
        Each group and how many boats are entered.
    """
    sheet = blank_sheet(*SIZES[paper])
    wide = sheet.width - 2 * EDGE
    y = _title(sheet, day, "Points, multiplied out", f"Table in use: {table.name}")
    most = max([day.lanes, *(len(heat.lanes) for heat in day.heats)])
    rows = multiplied_out(table, places=most, races=races)
    times = ["once", "twice", *(f"{k} times" for k in range(3, races + 1))][:races]
    each = (wide - 20) / (races + len(SHARED))
    columns = [("place", 20.0), *((f"{word}", each) for word in times), ("two share it: each", each),
               ("three share it: each", each)]  # fmt: skip
    high = min(11.0, 110.0 / max(most, 1))
    y = ruled_rows(sheet, EDGE, y, columns=columns, rows=rows, high=high, size=5.2, head=3.6, bold=(0, 1))
    y += 5.0
    for says in _sentences(table, groups):
        y = bullet(sheet, EDGE, y, says, width=wide, size=4.2)
    if table.source:
        sheet.text(EDGE, y + 2.0, f"Where the points are from: {table.source}.", width=wide, size=3.3)
    foot(sheet, f"{day.over}.  {day.printed}", margin=EDGE)
    return sheet.drawing("Points, multiplied out")


def _title(sheet: Sheet, day: PaperDay, title: str, under: str) -> float:
    sheet.word(EDGE, EDGE + 7.0, title, size=9.5, bold=True)
    sheet.word(EDGE, EDGE + 14.5, under, size=4.6)
    return EDGE + 20.0


def _sentences(table: PointsTable, groups: Sequence[tuple[str, int]]) -> list[str]:
    wins = "Most points win." if table.most_wins else "Fewest points win."
    add = (
        "Count how often a boat had each place, read those numbers off, and add them."
        if table.points
        else "A place is worth its own number: add them up."
    )
    said = [f"{wins} {add}", *_codes(table, groups)]
    said.append(
        f"Leave out each boat's worst {'race' if table.discards == 1 else f'{table.discards} races'}, "
        "but always count at least one."
        if table.discards
        else "Every race counts; none is left out."
    )
    said.append(
        "Boats that cross together share: the place and those just below it, added and divided. Who is "
        "disqualified "
        "or retires moves the boats behind up by one."
    )
    rules = [TIE_BREAKS[rule] for rule in table.tie_breaks]
    said.append(f"Level on points: look at {'; then at '.join(rules)}. Still level: they share the place.")
    return said


def _codes(table: PointsTable, groups: Sequence[tuple[str, int]]) -> list[str]:
    words = {code: CODES[code] for code in CODES_SHOWN}
    if table.base == "fixed":
        worth = "; ".join(
            f"{word}: {number(table.code_points.get(code, 0.0))}" for code, word in words.items()
        )
        return [f"No place: {worth}."]
    if table.base == "entries":
        each = ", ".join(
            f"{group} {number(table.of_code('DNF', entries=n, starters=n))}" for group, n in groups
        )
        return [
            "Not started, not finished, disqualified: one more than the boats entered in the group"
            f"{f' ({each})' if each else ''}."
        ]
    return [
        "Not started, not finished, disqualified: one more than the boats that came to the start of that heat."
    ]


def score_sheets(
    day: PaperDay, groups: Sequence[tuple[str, Sequence[PaperBoat]]], *, races: int, paper: Paper = "a4"
) -> list[Drawing]:
    """A table for each group, as many on a page as fit: boats down, races across."""
    pages: list[Drawing] = []
    sheet, y = blank_sheet(*SIZES[paper]), EDGE
    names: list[str] = []
    for group, boats in groups:
        rows: list[tuple[str, ...]] = [(boat.number, boat.name) for boat in boats] or [()] * 8
        room = sheet.height - EDGE - HEAD - TAIL - 8.0
        high = min(ROW, max(room / len(rows), ROW - 5.0))
        fit = int(room / high)
        for begin in range(0, len(rows), fit):
            part = rows[begin : begin + fit]
            if names and y + HEAD + len(part) * high + TAIL > sheet.height - 8.0:
                pages.append(_score_page(sheet, day, names))
                sheet, y = blank_sheet(*SIZES[paper]), EDGE
                names = []
            y = _scores(sheet, group, part, races, y, high)
            names.append(group)
    return [*pages, _score_page(sheet, day, names)]


HEAD, TAIL, ROW = 24.0, 19.0, 15.0  # above a table, below it, and a row at most [mm]


def _score_page(sheet: Sheet, day: PaperDay, names: Sequence[str]) -> Drawing:
    foot(sheet, f"{day.over}.  {day.printed}", margin=EDGE)
    return sheet.drawing(f"Score sheet {', '.join(dict.fromkeys(names))}".strip())


def _scores(
    sheet: Sheet, group: str, rows: Sequence[tuple[str, ...]], races: int, y: float, high: float
) -> float:
    wide = sheet.width - 2 * EDGE
    title = f"Score sheet: {group}" if group else "Score sheet"
    sheet.word(EDGE, y + 7.0, title, size=8.5, bold=True)
    sheet.word(EDGE, y + 13.5, "In each square: place above, points below.", size=4.2)
    each = (wide - 18 - 42) / (races + 3)
    columns = [("boat", 18.0), ("name", 42.0), *((f"race {k}", each) for k in range(1, races + 1)),
               ("left out", each), ("points", each), ("place", each)]  # fmt: skip
    bottom = ruled_rows(
        sheet, EDGE, y + 16.0, columns=columns, rows=rows, high=high, size=5.4, head=3.6, bold=(0,)
    )
    for k in range(len(rows)):
        middle = bottom - (k + 0.5) * high
        right = EDGE + 60 + races * each
        sheet.line((EDGE + 60, middle), (right, middle), width=0.2, dashes=(1.0, 1.0))
    says = "added by ____________   checked by ____________   time ________"
    sheet.word(EDGE, bottom + 9.0, says, size=4.2)
    return bottom + TAIL

"""The day without electricity: everything needed to race on from paper, in the order in which it is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from skimwright.base.drawing import Drawing
from skimwright.base.lettering import wrapped
from skimwright.base.sheet import LINE, SIZES, Sheet
from skimwright.desk.race.day_papers.heat_sheet import blank_heat_sheets
from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay
from skimwright.desk.race.day_papers.points_pages import points_page, score_sheets
from skimwright.desk.race.day_papers.ruled import (
    Paper,
    blank_sheet,
    bullet,
    fill_in,
    fitted,
    foot,
    framed,
    ruled_rows,
    tick_box,
)
from skimwright.desk.race.day_papers.rules import (
    EXAMPLES,
    FINISH,
    FIRST,
    LATE,
    PRIVATE,
    RERUN,
    START,
    TYPING,
    WITHDRAWN,
    WRITING,
    Section,
    hold_rules,
)
from skimwright.desk.water.limits import SiteLimits
from skimwright.regatta import POWERBOAT, PointsTable

EDGE = 14.0
JOBS = (
    "director", "safety officer", "marshal", "start and arming", "boat crew 1", "boat crew 2", "finish A", "finish B",
    "inspector 1", "inspector 2", "scorer", "pit steward", "gate steward", "first aider",
)  # fmt: skip
ASHORE = ("water's owner", "nearest emergency department", "vet or wildlife", "power, generator")


@dataclass(frozen=True, kw_only=True)
class PackAsk:
    """What the pack is made from; all of it may be missing but the day."""

    day: PaperDay
    groups: tuple[tuple[str, tuple[PaperBoat, ...]], ...] = ()
    races: int = 4
    table: PointsTable = POWERBOAT
    site: SiteLimits | None = None
    blanks: int = 4  # heat sheets with nothing in them


def day_pack(ask: PackAsk, *, paper: Paper = "a4") -> list[Drawing]:
    """The whole pack, page by page."""
    day = ask.day
    sizes = [(group, len(boats)) for group, boats in ask.groups]
    return [
        *prose(day, "The day without electricity", (START, WRITING), paper, notice=f"{FIRST} {PRIVATE}"),
        *order_of_heats(day, paper=paper),
        *prose(day, "Hold and finish", (hold_rules(ask.site), FINISH), paper, notice=FIRST),
        *prose(day, "Protests, and changes to the lots", (RERUN, WITHDRAWN, LATE), paper),
        points_page(day, ask.table, races=ask.races, groups=sizes, paper=paper),
        *score_sheets(day, ask.groups or (("", ()),), races=ask.races, paper=paper),
        phone_list(day, paper=paper),
        day_log(day, paper=paper),
        *blank_heat_sheets(day, count=ask.blanks, paper=paper),
        typing_page(day, paper=paper),
    ]


def _page(day: PaperDay, title: str, paper: Paper) -> tuple[Sheet, float]:
    sheet = blank_sheet(*SIZES[paper])
    fitted(sheet, EDGE, EDGE + 4.0, title, width=sheet.width - 2 * EDGE, size=10.5, bold=True, lines=1)
    foot(sheet, f"{day.over}.  {day.printed}", margin=EDGE)
    return sheet, EDGE + 13.0


def prose(
    day: PaperDay, title: str, sections: Sequence[Section], paper: Paper, *, notice: str = ""
) -> list[Drawing]:
    """Headings and sentences on as many pages as they need; a sentence is never torn."""
    sheets, _ = _prose_sheets(day, title, sections, paper, notice=notice)
    return [page.drawing(title if n == 0 else f"{title}, continued") for n, page in enumerate(sheets)]


def _prose_sheets(
    day: PaperDay, title: str, sections: Sequence[Section], paper: Paper, *, notice: str = ""
) -> tuple[list[Sheet], float]:
    """The pages, and where the last one is free."""
    pages: list[Sheet] = []
    sheet, y = _page(day, title, paper)
    pages.append(sheet)
    wide, size = sheet.width - 2 * EDGE, 4.6
    if notice:
        y = _notice(sheet, y, notice, wide)
    for section in sections:
        for n, says in enumerate(section.lines, 1):
            need = len(wrapped(says, width=wide - 8, size=size)) * size * LINE + (14.0 if n == 1 else 0.0)
            if y + need > sheet.height - 14.0:
                sheet, y = _page(day, f"{title}, continued", paper)
                pages.append(sheet)
            if n == 1:
                sheet.line((EDGE, y + 2.0), (EDGE + wide, y + 2.0), width=0.8)
                sheet.word(EDGE, y + 9.0, section.title, size=6.0, bold=True)
                y += 12.5
            mark = f"{n}." if section.numbered else ""
            y = bullet(sheet, EDGE, y, says, width=wide, size=size, mark=mark) + 0.8
        y += 2.5
    return pages, y


def _notice(sheet: Sheet, y: float, says: str, wide: float) -> float:
    low = sheet.text(EDGE + 4, y + 3.0, says, width=wide - 8, size=4.4, bold=True)
    framed(sheet, EDGE, y, wide, low - y + 2.5, line=1.2)
    return low + 6.5


def order_of_heats(day: PaperDay, *, paper: Paper = "a4") -> list[Drawing]:
    """Heats with planned times and who is in which lane, and room for when they were raced."""
    pages = []
    sheet, y = _page(day, "Order of heats", paper)
    high = 8.6
    fit = int((sheet.height - y - 30) / high)
    lanes = max([day.lanes, *(len(heat.lanes) for heat in day.heats)])
    wide = sheet.width - 2 * EDGE
    race, at = (46.0, 22.0) if lanes <= 8 else (30.0, 17.0)
    each = (wide - 14 - 18 - race - at) / lanes
    lane = "lane " if lanes <= 8 else ""
    columns = [("heat", 14.0), ("planned", 18.0), ("race", race),
               *((f"{lane}{n}", each) for n in range(1, lanes + 1)), ("raced at", at)]  # fmt: skip
    rows = [
        (
            str(h.number),
            h.planned,
            h.race,
            *(b.number if b else "-" for b in h.lanes),
            *[""] * (lanes - len(h.lanes)),
        )
        for h in day.heats
    ]
    for begin in range(0, max(len(rows), 1), fit):
        if begin:
            sheet, y = _page(day, "Order of heats, continued", paper)
        part = rows[begin : begin + fit] or [()] * min(fit, 25)
        low = ruled_rows(sheet, EDGE, y, columns=columns, rows=part, high=high, size=4.6, head=3.4, bold=(0,))
        says = "Strike out what has been raced. The order binds, the times do not."
        sheet.word(EDGE, low + 7.0, says, size=4.2)
        pages.append(sheet.drawing(f"Order of heats {begin + 1} to {begin + len(part)}"))
    return pages


def phone_list(day: PaperDay, *, paper: Paper = "a4") -> Drawing:
    """Blank lines for numbers: they are written by hand and stay with the officer."""
    sheet, y = _page(day, "Who to call", paper)
    wide = sheet.width - 2 * EDGE
    framed(sheet, EDGE, y, wide, 34.0, line=1.6)
    fill_in(sheet, EDGE + 4, y + 11.0, "Emergency number", width=wide - 8, size=6.0)
    fill_in(
        sheet,
        EDGE + 4,
        y + 21.0,
        "We are at (address, gate, what to tell the driver)",
        width=wide - 8,
        size=4.2,
    )
    sheet.line((EDGE + 4, y + 30.5), (EDGE + wide - 4, y + 30.5), width=0.35)
    y += 37.0
    high = min(10.6, (sheet.height - y - 22.0) / (len(JOBS) + len(ASHORE) + 1))
    columns = [("job", 50.0), ("who today", (wide - 50) * 0.44), ("telephone", (wide - 50) * 0.56)]
    rows = [(job,) for job in (*JOBS, *ASHORE)]
    ruled_rows(sheet, EDGE, y, columns=columns, rows=rows, high=high, size=4.2, bold=(0,))
    return sheet.drawing("Who to call")


def day_log(day: PaperDay, *, paper: Paper = "a4") -> Drawing:
    """What the results file would hold besides places: one line an event, nothing taken out."""
    sheet, y = _page(day, "Log of the day", paper)
    wide = sheet.width - 2 * EDGE
    says = "hold, clear, withdrawal, protest, ruling, decision, correction, re-run, late, mended, unweighed"
    sheet.word(EDGE, y + 1.0, f"What: {says}.", size=3.2)
    columns = [
        ("time", 18.0),
        ("who", 26.0),
        ("what", 34.0),
        ("heat", 13.0),
        ("boat", 13.0),
        ("why", wide - 104),
    ]
    high = 10.4
    count = int((sheet.height - y - 24.0) / high)
    ruled_rows(sheet, EDGE, y + 3.0, columns=columns, rows=[()] * count, high=high)
    return sheet.drawing("Log of the day")


def typing_page(day: PaperDay, *, paper: Paper = "a4") -> Drawing:
    """How the sheets are typed in, with examples."""
    (sheet, *_), y = _prose_sheets(day, "When the laptop is back", (TYPING,), paper)
    wide = sheet.width - 2 * EDGE
    columns = [("What counts says", wide * 0.5), ("type", wide * 0.28), ("reason", wide * 0.22)]
    ruled_rows(sheet, EDGE, y + 2.0, columns=columns, rows=EXAMPLES, high=11.0, size=5.0, bold=(1,))
    return sheet.drawing("When the laptop is back")


def talk_sheet(day: PaperDay, site: SiteLimits | None, *, paper: Paper = "a4") -> Drawing:
    """One page for the officers' talk before the first run."""
    sheet, y = _page(day, "Officers' talk", paper)
    wide = sheet.width - 2 * EDGE
    y = _notice(sheet, y, FIRST, wide)
    asks = (
        "Everybody below is here, and has one job at a time.",
        "Limits card of the day read out: wind, gust, heat, water. Who reads the wind, and how often?",
        "Hold: three whistles, arms crossed, flag. Tried once, now. Who held it clears it.",
        "Lightning: where is cover, and who counts?",
        "People line walked. Posts, closed reeds, hazards shown.",
        "Retrieval: two adults, life jackets on, lines, throw line. Nobody swims after a boat.",
        "Devices: permissions in date; arming only at the start; misfire drill said aloud.",
        "First aider, kit, way in for the ambulance, list of numbers at the start.",
        "Finish A and B: where they stand. Marshal decides. Scorer has paper.",
        f"Children to an adult: {site.ratio if site else '______'}. Numbers and boat names only, no "
        "photographs with names.",
    )
    for says in asks:
        tick_box(sheet, EDGE, y + 0.4, 5.6)
        y = sheet.text(EDGE + 9, y + 0.3, says, width=wide - 9, size=4.6) + 2.2
    y = _limits_now(sheet, y + 1.0, site) + 3.0
    half = (len(JOBS) + 1) // 2
    columns = [("job", 36.0), ("who", wide / 2 - 36), ("job", 36.0), ("who", wide / 2 - 36)]
    rows = [(a, "", b) for a, b in zip(JOBS[:half], JOBS[half:], strict=True)]
    high = min(10.0, (sheet.height - y - 36.0) / len(rows))
    low = ruled_rows(sheet, EDGE, y, columns=columns, rows=rows, high=high, size=4.0, bold=(0, 2))
    fill_in(sheet, EDGE, low + 12.0, "Water opened at", width=60, size=4.4)
    fill_in(
        sheet,
        EDGE + 64,
        low + 12.0,
        f"by ({site.officer if site else 'safety officer'})",
        width=wide - 64,
        size=4.4,
    )
    return sheet.drawing("Officers' talk")


def _limits_now(sheet: Sheet, y: float, site: SiteLimits | None) -> float:
    """The site's limits, and room for what is read now."""
    wide = sheet.width - 2 * EDGE
    stop = (
        ("", "", "", "")
        if site is None
        else (
            f"{site.wind_mean:.1f}",
            f"{site.wind_gust:.1f}",
            f"{site.heat_stop - 273.15:.0f}",
            f"{site.water_stop - 273.15:.0f}",
        )
    )
    heads = ("mean wind m/s", "gust m/s", "heat index °C", "water °C")
    columns = [("", 44.0), *((head, (wide - 44) / 4) for head in heads)]
    rows = [("the site stops at", *stop), ("read now, at ____:____",)]
    return ruled_rows(sheet, EDGE, y, columns=columns, rows=rows, high=9.0, size=4.0, bold=(0,))

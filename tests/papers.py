"""A day to print in tests, easy and hard; and what lies on what on a page."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from skimwright.base.drawing import Dot, Drawing, Path, Words
from skimwright.base.lettering import FIGURE, text_width
from skimwright.desk import day_papers
from skimwright.desk.race.day_papers import PaperBoat, PaperDay, PaperHeat, QueueRule

LONG = "The Extraordinarily Long-Winded Barnacle of Wherever"
NAMES = ("Gravel", "Nine Yards", "Windfall", "Copper Spoon", "Tilt", "Hedge Rocket")
BELOW = 0.24  # how far g, j, p, q, y hang, of their size; the font file says 490 of 2048


def a_day(*, first: int = 7, lanes: int = 6, name: str = "", heats: int = 16) -> PaperDay:
    """Heats of six named boats."""

    def boat(n: int) -> PaperBoat:
        return PaperBoat(boat=first + n, name=name or NAMES[n % len(NAMES)])

    made = [
        PaperHeat(
            number=number,
            group=("Cress", "Rush", "Reed", "Willow")[number % 4],
            round=(number - 1) // 4 + 1,
            planned=f"{10 + number // 6}:{number % 6}5",
            lanes=tuple(boat((lane + number) % lanes) for lane in range(lanes)),
        )
        for number in range(1, heats + 1)
    ]
    seats = list(made[1].lanes)
    seats[0] = None
    seats[2] = replace(seats[2], unweighed=True)
    seats[3] = replace(seats[3], unfit="deck torn at the bow and wet through")
    made[1] = PaperHeat(number=2, group="Reed", round=1, planned="10:24", lanes=tuple(seats))
    return PaperDay(
        season="Brackenfold Skimming Boats", site="Tolly Water", day="22 May 2027", heats=tuple(made), lanes=lanes,
        printed="Printed 2027-05-21.",
    )  # fmt: skip


HARD = {"first": 1234, "lanes": 8, "name": LONG}


def every_paper(day: PaperDay, paper: day_papers.Paper) -> dict[str, list[Drawing]]:
    """One of each."""
    boats = tuple(boat for boat in day.heats[0].lanes if boat)
    rules = [
        QueueRule(group="Rush", distance="30.48 m", gate="5 m", tries=3, boats=boats),
        QueueRule(group="", distance="______ m", gate="______ m", tries=3),
    ]
    return {
        "heats": day_papers.heat_sheets(day, day.heats[:3], paper=paper),
        "blank": day_papers.blank_heat_sheets(day, paper=paper),
        "board": day_papers.call_boards(day, day.heats, now=1, paper=paper),
        "strips": day_papers.call_boards(day, day.heats[:6], paper=paper),
        "cards": day_papers.crew_cards(day, day.heats[:2], paper=paper),
        "pack": day_papers.day_pack(day_papers.pack_for(day), paper=paper),
        "run-log": [day_papers.run_logs(day, paper=paper)],
        "queue": day_papers.queue_sheets(day, rules, paper=paper),
        "scales": [day_papers.reweigh_cards(day, paper=paper)],
        "talk": [day_papers.talk_sheet(day, None, paper=paper)],
    }


Box = tuple[float, float, float, float]


def box(words: Words) -> Box:
    """Left, top, right, bottom of the ink of a line of words. [mm]"""
    x, y = words.at
    wide = text_width(words.text, size=words.size, bold=words.bold)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[words.anchor]
    hangs = BELOW * words.size if set(words.text) & set("gjpqy,()/") else 0.0
    bearing = 0.03 * words.size  # white at both ends
    return left + bearing, y - FIGURE * words.size, left + wide - bearing, y + hangs


def clashes(drawing: Drawing, *, slack: float = 0.15) -> Iterator[str]:
    """Words on words, words on lines, and anything outside the page."""
    words = [mark for mark in drawing.marks if isinstance(mark, Words)]
    boxes = [box(word) for word in words]
    for word, (left, top, right, bottom) in zip(words, boxes, strict=True):
        if left < 2 or top < 2 or right > drawing.width - 2 or bottom > drawing.height - 2:
            yield f"outside the page: {word.text}"
    for n, one in enumerate(boxes):
        for m in range(n + 1, len(boxes)):
            if _overlap(one, boxes[m], slack):
                yield f"on each other: {words[n].text!r} and {words[m].text!r}"
    patches = [mark for mark in drawing.marks if isinstance(mark, Dot) and mark.line is None]
    for word, one in zip(words, boxes, strict=True):
        if any(abs(dot.at[0] - word.at[0]) < 0.01 and one[1] < dot.at[1] < one[3] for dot in patches):
            continue  # a lane's numeral on its white patch
        for start, end in _strokes(drawing):
            across, down = sorted((start[0], end[0])), sorted((start[1], end[1]))
            if _overlap(one, (across[0], down[0], across[1], down[1]), slack):
                yield f"a line through {word.text!r}"


def _overlap(a: Box, b: Box, slack: float) -> bool:
    return a[0] + slack < b[2] and b[0] + slack < a[2] and a[1] + slack < b[3] and b[1] + slack < a[3]


def _strokes(drawing: Drawing) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Straight pieces along the page or down it."""
    for mark in drawing.marks:
        if isinstance(mark, Path):
            points = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
            for start, end in itertools.pairwise(points):
                if abs(start[0] - end[0]) < 0.01 or abs(start[1] - end[1]) < 0.01:
                    yield start, end

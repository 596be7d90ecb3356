"""Things to cut out of the guide: angle cards, a lost part, the inspection card and the mend card."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from skimwright.base import MissingError, Where
from skimwright.base.drawing import Drawing, Path
from skimwright.base.sheet import MARGIN, SIZES, Paper, Sheet
from skimwright.boat import Kit, Part, total_mass
from skimwright.kit.guide.outline import part_outline
from skimwright.kit.guide.steps import AgeGroup, Angle, Guide
from skimwright.kit.guide.whole_boat import marked_boat, plain_view
from skimwright.kit.guide.wording import GuideWords

DEGREE = math.pi / 180
CARD_LENGTH, CARD_HEIGHT = 0.160, 0.035  # a card's long edge, and its lower end [m]
SQUARE = (100.0, 55.0)  # [mm]
# How many standard deviations of the class an inspector lets pass [choice]: young hands get more room.
ALLOWED: dict[AgeGroup, float] = {"Cress": 2.5, "Rush": 2.0, "Reed": 1.75, "Willow": 1.5}
MEND_MINUTES = (3, 3, 3)
View = Literal["top", "side", "front"]


def angle_pages(guide: Guide, words: GuideWords, blank: Callable[[], Sheet]) -> list[Drawing]:
    """One page with a square card and a card for each angle of the kit."""
    sheet = blank()
    inner = sheet.width - 2 * MARGIN
    y = sheet.text(MARGIN, MARGIN, words.say("angle.title"), width=inner, size=9 / sheet.scale, bold=True)
    for line in [words.say("angle.lead"), *(words.lines("angle.use") if guide.angles else [])]:
        y = sheet.text(MARGIN, y, line, width=inner, size=4.2)
    y += 5
    for angle in guide.angles:
        y = _angle_card(sheet, angle, words, y) + 8
    pages = [sheet]
    if y + SQUARE[1] > sheet.height - 54:
        sheet, y = blank(), MARGIN + 8
        pages.append(sheet)
    _square_card(sheet, words, y)
    for page in pages:
        y = page.height - 44
        page.bar(MARGIN, y, says=words.say("angle.bar"), asks=words.say("angle.measured"))
        page.text(MARGIN, y + 10, words.say("angle.bar_off"), width=inner, size=4.0)
    return [page.drawing(words.say("angle.title")) for page in pages]


def card_outline(angle: Angle) -> tuple[tuple[float, float], ...]:
    """An angle card: level top, a foot that slopes by the angle, higher at its bow end. [mm]"""
    long, low = CARD_LENGTH * 1e3, CARD_HEIGHT * 1e3
    high = low + long * math.tan(angle.angle)
    return (0.0, 0.0), (long, 0.0), (long, low), (0.0, high)


def _angle_card(sheet: Sheet, angle: Angle, words: GuideWords, y: float) -> float:
    x = MARGIN + 5
    outline = tuple((x + px, y + py) for px, py in card_outline(angle))
    sheet.marks.append(Path(points=outline, closed=True, width=0.35))
    degrees = f"{angle.angle / DEGREE:.1f}"
    long, high = CARD_LENGTH * 1e3, outline[3][1] - y
    middle = x + long / 2
    sheet.word(middle, y + 6, words.say("angle.level"), size=3.6, anchor="middle")
    sheet.word(
        middle,
        y + high * 0.55,
        words.say(f"angle.{angle.what}", deg=degrees),
        size=7,
        bold=True,
        anchor="middle",
    )
    what = words.say(f"angle.what_{angle.what}")
    sheet.word(middle, y + high - 9, words.say("angle.on", what=what), size=3.6, anchor="middle")
    if angle.length < CARD_LENGTH:  # where the surface ends on the card's foot
        slope, reach = math.tan(angle.angle), angle.length * 1e3 / 2
        for end in (middle - reach, middle + reach):
            edge = y + high - (end - x) * slope
            sheet.line((end, edge - 4.0), (end, edge), width=0.5)
    foot = y + high * 0.55 - 2.2
    sheet.line((x + 7, foot), (x + 24, foot), width=0.8)
    head = ((x + 4, foot), (x + 10, foot - 2.5), (x + 10, foot + 2.5))
    sheet.marks.append(Path(points=head, closed=True, fill="black"))
    sheet.word(x + 4, foot + 7, words.say("angle.bow"), size=3.6)
    return y + high


def _square_card(sheet: Sheet, words: GuideWords, y: float) -> None:
    x, (long, high) = MARGIN + 5, SQUARE
    outline = ((x, y), (x + long, y + high), (x, y + high))
    sheet.marks.append(Path(points=outline, closed=True, width=0.35))
    sheet.line((x, y + high - 5), (x + 5, y + high - 5), (x + 5, y + high), width=0.35)
    sheet.word(x + 8, y + high - 16, words.say("angle.square"), size=6, bold=True)
    sheet.text(x + long * 0.55 + 12, y + 8, words.say("angle.square_use"), width=70, size=4.0)


def reprint_page(
    guide: Guide, part_name: str, words: GuideWords, *, paper: Paper = "a4", number: int = 1, pages: int = 1
) -> Drawing:
    """One part at full size with its nicks and dots; if the page is too small, small and with a pointer.

    Parameters
    ----------
    part_name : str
        The word on the template, "WALL-1"; "WALL-1 left" means the same outline with one nick.

    Raises
    ------
    MissingError
        The kit has no such part.
    """
    kit = guide.kit
    same = parts_named(kit, part_name)
    part = same[0]
    width, height = SIZES[paper]
    sheet = Sheet(width=width, height=height)
    inner = width - 2 * MARGIN
    long, short = (float(v) * 1e3 for v in sorted(np.ptp(np.array(part.outline), axis=0), reverse=True))
    y = sheet.text(MARGIN, MARGIN, words.say("reprint.title", part=part.code), width=inner, size=9, bold=True)
    bottom = height - 34
    beside = inner - short - 8 if short + 8 < inner and long <= bottom - MARGIN else 0.0
    lines = _reprint_lines(kit, same, words)
    low = _write(sheet, lines, y, inner)
    if long <= inner and short <= bottom - low - 10:
        y = sheet.text(MARGIN, low, words.say("reprint.scale_1"), width=inner, size=4.2, bold=True) + 4
        sheet.marks += part_outline(part, MARGIN, y, scale=1e3, line=0.25)[0]
    elif beside > 45:
        sheet.marks.clear()
        y = sheet.text(
            MARGIN, MARGIN, words.say("reprint.title", part=part.code), width=beside, size=9, bold=True
        )
        low = _write(sheet, lines, y, beside)
        sheet.text(MARGIN, low, words.say("reprint.scale_1"), width=beside, size=4.2, bold=True)
        place = width - MARGIN - short
        sheet.marks += part_outline(part, place, MARGIN, scale=1e3, line=0.25, upright=True)[0]
    else:
        text = words.say("reprint.too_large", part=part.code, length=f"{long:.0f}", width=f"{short:.0f}")
        y = sheet.text(MARGIN, low, text, width=inner, size=4.6, bold=True) + 3
        scale = math.ceil(long / inner * 2) / 2
        y = sheet.text(MARGIN, y, words.say("reprint.scale_n", scale=f"{scale:g}"), width=inner, size=4.2) + 3
        sheet.marks += part_outline(part, MARGIN, y, scale=1e3 / scale, line=0.35, mark=0.6)[0]
    sheet.bar(MARGIN, height - 24, says=words.say("angle.bar"), asks=words.say("angle.measured"))
    foot = words.say("page.foot", kit=kit.name, edition=kit.edition, page=number, pages=pages)
    sheet.word(width / 2, height - 6, foot, size=3.4, anchor="middle")
    return sheet.drawing(words.say("reprint.title_picture", part=part.code))


def parts_named(kit: Kit, word: str) -> list[Part]:
    """The parts a word means: all of a code, or one of a full name.

    Raises
    ------
    MissingError
        The kit has no such part; the message lists those it has.
    """
    wanted = " ".join(word.split()).casefold()
    found = [part for part in kit.parts if wanted in (part.name.casefold(), part.code.casefold())]
    if not found:
        codes = dict.fromkeys(
            part.code for part in sorted(kit.parts, key=lambda part: (part.order, part.code))
        )
        raise MissingError(
            what=f"{kit.name} has no part of this name",
            got=f'"{word}"',
            allowed=", ".join(codes),
            do="Look at the picture list of the guide, and give the word under the part.",
            where=Where(field="--part"),
        )
    return found


def _reprint_lines(kit: Kit, same: Sequence[Part], words: GuideWords) -> list[str]:
    nicks = [words.say(f"reprint.nicks_{part.nicks}") for part in same]
    part = same[0]
    lines = [f"{one.name}: {said}." for one, said in zip(same, nicks, strict=True)]
    lines.append(words.say("reprint.cut", thickness=f"{part.thickness * 1e3:g}"))
    slanted = [
        words.say("reprint.bevel_edge", edge=number, deg=f"{lean / DEGREE:.1f}")
        for number, lean in enumerate(part.bevels, start=1)
        if abs(lean) > 0.05 * DEGREE
    ]
    if slanted:
        lines.append(words.say("reprint.bevel", edges=", ".join(slanted)))
    return lines


def _write(sheet: Sheet, lines: Sequence[str], y: float, width: float) -> float:
    for line in lines:
        y = sheet.text(MARGIN, y, line, width=width, size=4.2)
    return y + 4


@dataclass(frozen=True, kw_only=True)
class InspectionRow:
    """One point of the build check."""

    key: str
    drawn: float  # [mm] or [deg]
    allowed: float
    unit: Literal["mm", "deg"]
    view: View
    at: tuple[float, float, float]  # what is measured, its ends, boat axes [m]
    to: tuple[float, float, float]


def inspection_rows(kit: Kit, group: AgeGroup) -> tuple[InspectionRow, ...]:
    """The twelve points of the build check, drawn value and what passes; three for own parts.

    What passes is the class's standard deviation times the age group's factor, to half a unit.
    """
    room, t = ALLOWED[group], kit.tolerances
    corners = kit.corners()
    low, high = corners.min(axis=0), corners.max(axis=0)
    rows = _lengths(kit, low, high, max(room * t.deck_length, 0.001))
    d = kit.design
    if d is None:
        return tuple(rows)
    inner, outer = d.hull_width / 2, d.beam / 2
    angles: tuple[tuple[str, float, float, View], ...] = (
        ("pad", d.pad_angle, t.pad_angle, "side"),
        ("toe", 0.0, t.pad_toe, "top"),
        ("cant", 0.0, t.pad_cant, "front"),
    )
    for name, value, spread, view in angles:
        for side, sign in (("left", -1), ("right", 1)):
            ends = {
                "side": ((d.pad_front, sign * outer, d.pad_front_height), (d.pod_rear, sign * outer, 0.0)),
                "top": (
                    (d.pad_front, sign * (inner + outer) / 2, 0.0),
                    (d.pod_rear, sign * (inner + outer) / 2, 0.0),
                ),
                "front": ((d.pod_rear, sign * inner, 0.0), (d.pod_rear, sign * outer, 0.0)),
            }[view]
            rows.append(
                InspectionRow(
                    key=f"{name}_{side}",
                    drawn=value / DEGREE,
                    allowed=_half(room * spread / DEGREE),
                    unit="deg",
                    view=view,
                    at=ends[0],
                    to=ends[1],
                )
            )
    rows.append(
        InspectionRow(
            key="twist",
            drawn=0.0,
            allowed=_half(room * t.floor_twist / DEGREE),
            unit="deg",
            view="front",
            at=(d.length, -inner, d.floor_rear),
            to=(d.length, inner, d.floor_rear),
        )
    )
    half = d.blade_chord / 2
    rows.append(
        InspectionRow(
            key="fin",
            drawn=0.0,
            allowed=_half(room * t.blade_yaw / DEGREE),
            unit="deg",
            view="top",
            at=(d.blade_place - half, 0.0, 0.0),
            to=(d.blade_place + half, 0.0, 0.0),
        )
    )
    front = d.cradle_place - d.cradle_length / 2
    rows.append(
        InspectionRow(
            key="device",
            drawn=0.0,
            allowed=_half(room * t.device_y * 1e3),
            unit="mm",
            view="top",
            at=(front, -d.cradle_spread / 2, 0.1),
            to=(front, d.cradle_spread / 2, 0.1),
        )
    )
    return tuple(rows)


def _lengths(kit: Kit, low: np.ndarray, high: np.ndarray, room: float) -> list[InspectionRow]:
    d = kit.design
    x = d.pod_rear if d else (low[0] + high[0]) / 2
    beam = d.beam if d else high[1] - low[1]
    rows = [
        ("length", kit.length, (low[0], 0.0, 0.0), (low[0] + kit.length, 0.0, 0.0)),
        ("beam", beam, (x, -beam / 2, 0.0), (x, beam / 2, 0.0)),
    ]
    if d:
        hull = d.hull_width
        rows.append(("hull", hull, (d.length, -hull / 2, 0.0), (d.length, hull / 2, 0.0)))
    return [
        InspectionRow(
            key=key,
            drawn=value * 1e3,
            allowed=_half(room * 1e3),
            unit="mm",
            view="top",
            at=at,
            to=to,
        )
        for key, value, at, to in rows
    ]


def _half(value: float) -> float:
    """To half a unit, never nought."""
    return max(round(value * 2) / 2, 0.5)


def card_page(guide: Guide, words: GuideWords, *, paper: Paper) -> Drawing:
    """Inspection card and mend card, each half a sheet, with a line to cut between them."""
    high, wide = SIZES[paper]
    sheet = Sheet(width=wide, height=high)
    half = wide / 2
    _inspection(sheet, guide, words, 9.0, half - 18.0)
    _mend(sheet, guide, words, half + 9.0, half - 18.0)
    sheet.line((half, 6.0), (half, high - 12.0), width=0.2, dashes=(3.0, 2.0))
    return sheet.drawing(f"{words.say('inspect.title')}, {words.say('mend.title')}")


def _inspection(sheet: Sheet, guide: Guide, words: GuideWords, x: float, inner: float) -> None:
    kit = guide.kit
    y = sheet.text(x, 8.0, words.say("inspect.title"), width=inner, size=6.5, bold=True)
    edition, limits = (
        words.say("page.edition", edition=kit.edition),
        words.say("inspect.group", group=guide.group),
    )
    says = f"{kit.name}, {edition}. {limits}"
    y = sheet.text(x, y, says, width=inner, size=3.2)
    y = sheet.text(x, y, words.say("inspect.pictures"), width=inner, size=3.2) + 4
    blank = f"{words.say('inspect.boat')} ______   {words.say('inspect.name')} ____________________"
    sheet.label(x, y, blank, width=inner, size=3.6)
    rows = inspection_rows(kit, guide.group)
    y += 4
    columns = (0.0, 25.0, inner - 63, inner - 46, inner - 31, inner - 14, inner + 1)
    heads = ("what", "drawn", "allowed", "measured", "ok")
    for head, (place, after) in zip(heads, pairwise(columns[1:]), strict=True):
        said = words.say(f"inspect.head_{head}")
        sheet.label(x + place, y + 2.5, said, width=after - place - 1, size=2.9, bold=True)
    y += 4
    step = min((sheet.height - 48 - y) / len(rows), 13.0)
    room = [after - place - 1 for place, after in pairwise(columns)]
    views = {view: plain_view(kit, view) for view in ("top", "side", "front")}
    for number, row in enumerate(rows, start=1):
        sheet.line((x, y), (x + inner, y), width=0.2)
        drawing = views[row.view].with_arrow(row.at, row.to, width=20.0, height=step - 1.0)
        sheet.put(drawing, x + 4, y + 0.5)
        middle = y + step / 2 + 1.2
        sheet.word(x, middle, str(number), size=3.4, bold=True)
        sheet.label(x + columns[1], middle, words.say(f"inspect.{row.key}"), width=room[1], size=3.2)
        unit = "°" if row.unit == "deg" else " mm"
        shown = f"{row.drawn:.1f}".removesuffix(".0") + unit
        sheet.label(x + columns[2], middle, shown, width=room[2])
        limit = words.say("inspect.allowed", value=f"{row.allowed:g}{unit}")
        sheet.label(x + columns[3], middle, limit, width=room[3])
        sheet.line((x + columns[4], middle + 1), (x + columns[4] + 14, middle + 1), width=0.3)
        answers = f"{words.say('inspect.yes')}  {words.say('inspect.no')}"
        sheet.label(x + columns[5], middle, answers, width=room[5])
        y += step
    sheet.line((x, y), (x + inner, y), width=0.2)
    _inspection_foot(sheet, kit, words, x, y + 6, inner)


def _inspection_foot(sheet: Sheet, kit: Kit, words: GuideWords, x: float, y: float, inner: float) -> None:
    whole = total_mass(kit)
    lines = (
        f"{words.say('inspect.mass', value=f'{whole.mass * 1e3:.0f}')}   ________ g",
        f"{words.say('inspect.balance', value=f'{float(whole.centre[0]) * 1e3:.0f}')}   ________ mm",
        words.say("inspect.verdict"),
        f"{words.say('inspect.reason')} ____________________________________",
        f"{words.say('inspect.initials')} ________   ________",
    )
    for line in lines:
        sheet.label(x, y, line, width=inner)
        y += 6.0


def _mend(sheet: Sheet, guide: Guide, words: GuideWords, x: float, inner: float) -> None:
    kit = guide.kit
    y = sheet.text(x, 8.0, words.say("mend.title"), width=inner, size=6.5, bold=True)
    says = f"{kit.name}, {words.say('page.edition', edition=kit.edition)}. "
    total = words.say("mend.minutes", minutes=sum(MEND_MINUTES))
    y = sheet.text(x, y, says + total, width=inner, size=3.2) + 1
    y = sheet.text(x, y, words.say("mend.wet"), width=inner, size=4.2, bold=True) + 2
    step = (sheet.height - 38 - y) / 3
    for number, text in enumerate(words.lines("mend.steps"), start=1):
        sheet.line((x, y), (x + inner, y), width=0.4)
        sheet.word(x, y + 9, str(number), size=9, bold=True)
        low = sheet.text(x + 9, y + 1.5, text, width=inner - 27, size=3.9)
        minutes = words.say("page.minutes", minutes=MEND_MINUTES[number - 1])
        sheet.word(x + inner, y + 6, minutes, size=4.2, bold=True, anchor="end")
        room = step - (low - y) - 2
        sheet.put(marked_boat(kit, number, width=inner, height=room, title=text), x, low + 1)
        y += step
    sheet.line((x, y), (x + inner, y), width=0.4)
    y = sheet.text(x, y + 2, words.say("mend.after"), width=inner, size=3.9, bold=True) + 4
    sheet.label(x, y, words.say("mend.mass"), width=inner, size=3.6)
    sheet.label(x, y + 7, words.say("mend.ready"), width=inner, size=3.6)

"""The printed guide: cover, parts, a page a step, angle cards, inspection and mend card."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from skimwright.base.drawing import Drawing, Path
from skimwright.base.sheet import MARGIN, SIZES, Paper, Sheet
from skimwright.boat import Part
from skimwright.kit.guide.cards import angle_pages, card_page
from skimwright.kit.guide.outline import part_outline
from skimwright.kit.guide.picture import StepPicture, other_side, step_picture
from skimwright.kit.guide.steps import GRADE, TOOLS_BY_AGE, AgeGroup, Guide, GuideStep, adult_glues
from skimwright.kit.guide.whole_boat import boat_picture
from skimwright.kit.guide.wording import GuideWords, StepWords, reading_level, step_words

LARGE = 1.45


@dataclass(frozen=True, kw_only=True)
class Setting:
    """How a guide is to be printed."""

    paper: Paper = "a4"
    large_print: bool = False
    supervision: str = ""  # the school's own ratio, "1:4"; blank prints "not set"

    @property
    def scale(self) -> float:
        """Of the words."""
        return LARGE if self.large_print else 1.0

    def sheet(self) -> Sheet:
        """An empty page."""
        width, height = SIZES[self.paper]
        return Sheet(width=width, height=height, scale=self.scale)


def guide_pages(guide: Guide, words: GuideWords, setting: Setting | None = None) -> tuple[Drawing, ...]:
    """Every page of a guide, in order.

    Parameters
    ----------
    guide : Guide
        From `build_guide`.
    words : GuideWords
        Of the language to print.
    setting : Setting
        Paper and size of print.

    Returns
    -------
    tuple of Drawing
        One a page, in mm, the edition code on each.

    Raises
    ------
    InputError
        A sentence of the language file has a fault.
    """
    setting = setting or Setting()
    pages = [
        _cover(guide, words, setting),
        *_parts_pages(guide, words, setting),
        *(page for step in guide.steps for page in _step_pages(guide, step, words, setting)),
        *angle_pages(guide, words, setting.sheet),
        card_page(guide, words, paper=setting.paper),
    ]
    return tuple(
        _with_foot(page, guide, words, number=number, pages=len(pages))
        for number, page in enumerate(pages, start=1)
    )


def _with_foot(page: Drawing, guide: Guide, words: GuideWords, *, number: int, pages: int) -> Drawing:
    foot = Sheet(width=page.width, height=page.height)
    foot.word(
        page.width / 2,
        page.height - 6.0,
        words.say("page.foot", kit=guide.kit.name, edition=guide.kit.edition, page=number, pages=pages),
        size=3.4,
        anchor="middle",
    )
    return replace(page, marks=(*page.marks, *foot.marks))


def _cover(guide: Guide, words: GuideWords, setting: Setting) -> Drawing:
    kit, sheet = guide.kit, setting.sheet()
    inner = sheet.width - 2 * MARGIN
    y = sheet.text(MARGIN, MARGIN, words.say("page.guide"), width=inner, size=6)
    y = sheet.text(MARGIN, y, kit.name, width=inner, size=16 / sheet.scale, bold=True)
    y = (
        sheet.text(MARGIN, y, words.say("page.edition", edition=kit.edition), width=inner, size=5, bold=True)
        + 2
    )
    least = 20 if setting.large_print else 60
    for shrink in (1.0, 0.95, 0.9, 0.8, 0.7, 0.6):
        body = setting.sheet()
        body.scale *= shrink
        low = _cover_words(body, guide, words, setting, 0.0, inner)
        room = sheet.height - 12 - low - y - 4
        if room >= least:
            break
    sheet.put(
        boat_picture(
            kit, width=inner, height=max(room, 10), deck_down=False, title=kit.name, line_width=0.45
        ),
        MARGIN,
        y,
    )
    sheet.put(body.drawing(""), 0.0, y + max(room, 10) + 4)
    return sheet.drawing(f"{words.say('page.guide')}: {kit.name}")


def _cover_words(
    sheet: Sheet, guide: Guide, words: GuideWords, setting: Setting, y: float, inner: float
) -> float:
    kit = guide.kit
    stops = [step.number for step in guide.steps if step.show_me]
    facts = [
        words.say("cover.made_for", group=guide.group),
        words.say("cover.parts", count=len(kit.parts), sheets=f"{kit.board.thickness * 1e3:g} mm"),
        words.say("cover.time", minutes=_minutes(guide.time), steps=len(guide.steps)),
        words.say("cover.glue", grams=f"{guide.glue_mass * 1e3:.0f}"),
        words.say("cover.stops", count=len(stops), numbers=", ".join(map(str, stops))),
        reading_line(guide, words),
    ]
    half = (inner - 8) / 2
    left = y
    for fact in facts:
        left = sheet.text(MARGIN, left, fact, width=half, size=4.2) + 1
    x = MARGIN + half + 8
    right = sheet.text(x, y, words.say("cover.tools"), width=half, size=4.6, bold=True)
    rule = TOOLS_BY_AGE[guide.group]
    for tool in words.find("tools.rows"):
        who = words.say(f"tools.{rule.get(tool, 'all')}")
        right = sheet.text(x, right, f"{words.say(f'tools.{tool}')}: {who}", width=half, size=3.9) + 0.6
    ratio = setting.supervision or words.say("cover.supervision_none")
    right = sheet.text(x, right + 1, words.say("cover.supervision", ratio=ratio), width=half, size=3.9)
    y = max(left, right) + 3
    sheet.line((MARGIN, y), (MARGIN + inner, y), width=0.6)
    y = sheet.text(MARGIN, y + 2, words.say("cover.how"), width=inner, size=4.6, bold=True)
    for rule_line in words.lines("cover.rules"):
        y = sheet.text(MARGIN, y, rule_line, width=inner, size=4.2) + 0.6
    return y


def reading_line(guide: Guide, words: GuideWords) -> str:
    """The measured reading level against the group's setting."""
    grade = reading_level(guide, words)
    if grade is None:
        return words.say("cover.reading_none")
    if grade < 1:
        return words.say("cover.reading_low", group=guide.group, limit=GRADE[guide.group])
    return words.say("cover.reading", grade=f"{grade:.1f}", group=guide.group, limit=GRADE[guide.group])


def _parts_pages(guide: Guide, words: GuideWords, setting: Setting) -> list[Drawing]:
    """All kinds of part at one scale, with word, count, size, nicks and dots."""
    kit, sheet = guide.kit, setting.sheet()
    inner = sheet.width - 2 * MARGIN
    y = _heading(sheet, words.say("parts.title"), inner)
    for key in ("lead", "nicks", "dots", "flip"):
        y = sheet.text(MARGIN, y, words.say(f"parts.{key}"), width=inner, size=4.2)
    ordered = sorted(kit.parts, key=lambda part: (part.order, part.code, part.side))
    kinds = [list(same) for _, same in groupby(ordered, key=lambda part: part.code)]
    lost = words.say("parts.lost", example=kinds[-1][0].code)
    bottom = sheet.height - 12
    tail = Sheet(width=sheet.width, height=sheet.height, scale=sheet.scale)
    low = tail.text(MARGIN, 0.0, lost, width=inner, size=4.0, bold=True)
    room = bottom - y - 8 - low
    title = words.say("parts.title_picture", kit=kit.name)
    scales = (0.29, 0.27, 0.25, 0.23, 0.21, 0.19, 0.17, 0.15)
    for pages in (1, 2, 3):
        share = -(-len(kinds) // pages)
        groups = [kinds[i : i + share] for i in range(0, len(kinds), share)]
        for scale in scales:
            bodies = [Sheet(width=sheet.width, height=sheet.height, scale=sheet.scale) for _ in groups]
            used = [
                _part_rows(body, group, words, 0.0, inner, scale * 1e3)
                for body, group in zip(bodies, groups, strict=True)
            ]
            if max(used) <= room:
                break
        if max(used) <= room:
            break
    sheets = [sheet, *(setting.sheet() for _ in bodies[1:])]
    for page, body in zip(sheets, bodies, strict=True):
        below = y if page is sheet else _heading(page, words.say("parts.title"), inner)
        page.put(body.drawing(""), 0.0, below + 4)
    sheets[-1].put(tail.drawing(""), 0.0, bottom - low)
    return [page.drawing(title) for page in sheets]


def _part_rows(
    sheet: Sheet, kinds: Sequence[Sequence[Part]], words: GuideWords, y: float, inner: float, scale: float
) -> float:
    size = 3.6
    x, tallest = MARGIN, 0.0
    for same in kinds:
        part = same[0]
        long, short = sides_of(part)
        pair = len(same) > 1 and {p.side for p in same} == {"left", "right"}
        count = words.say("parts.pair") if pair else _count(len(same), words)
        lines = [count, words.say("parts.size", length=f"{long * 1e3:.0f}", width=f"{short * 1e3:.0f}")]
        wide = max(long * scale, 30.0 * sheet.scale)
        if x + wide > MARGIN + inner + 0.1 and x > MARGIN:
            x, y, tallest = MARGIN, y + tallest + 3, 0.0
        marks, _, high = part_outline(part, x, y, scale=scale, line=0.35, mark=0.6)
        sheet.marks += marks
        low = sheet.text(x, y + high + 1.0, part.code, width=wide, size=4.0, bold=True)
        for line in lines:
            low = sheet.text(x, low, line, width=wide, size=size)
        tallest = max(tallest, low - y)
        x += wide + 8
    return y + tallest


def _heading(sheet: Sheet, text: str, inner: float) -> float:
    return sheet.text(MARGIN, MARGIN, text, width=inner, size=9 / sheet.scale, bold=True)


def _count(number: int, words: GuideWords) -> str:
    return words.say("parts.quantity_one") if number == 1 else words.say("parts.quantity", count=number)


def sides_of(part: Part) -> tuple[float, float]:
    """Length and width of the flat part's box, the longer first. [m]"""
    xs, ys = zip(*part.outline, strict=True)
    short, long = sorted((max(xs) - min(xs), max(ys) - min(ys)))
    return long, short


def _step_pages(guide: Guide, step: GuideStep, words: GuideWords, setting: Setting) -> list[Drawing]:
    """One page a step; in large print the words go on a second page rather than become small."""
    said = step_words(guide, step, words)
    sizes = (1.0, 0.92) if setting.large_print else (1.2, 1.1, 1.0, 0.92, 0.84, 0.76)
    for size in sizes:
        sheet = setting.sheet()
        sheet.scale *= size
        inner = sheet.width - 2 * MARGIN
        top = _step_head(sheet, guide, step, said, words, inner)
        body = Sheet(width=sheet.width, height=sheet.height, scale=sheet.scale)
        used = _step_body(body, guide, step, said, words, inner)
        room = sheet.height - 13 - used - top - 4
        if room >= (112 if size > 1 else 82):
            break
    title = words.say("page.picture", number=step.number, title=said.title, parts=", ".join(step.parts))
    apart = setting.large_print and room < 82
    room = min(sheet.height - 13 - top, 175.0) if apart else max(room, 40.0)
    tell = {"bow": words.say("page.bow"), "title": title}
    letters = 4.4 * min(sheet.scale, 1.3)
    picture = step_picture(guide, step, width=inner, height=room, said=tell, size=letters)
    sheet.put(picture.drawing, MARGIN, top + 1)
    _second_view(sheet, guide, step, picture, words, top + 1, inner, room)
    if not apart:
        sheet.put(body.drawing(""), 0.0, top + room + 4)
        return [sheet.drawing(title)]
    second = setting.sheet()
    top = _step_head(second, guide, step, said, words, inner)
    second.put(body.drawing(""), 0.0, top + 4)
    return [sheet.drawing(title), second.drawing(title)]


def _second_view(
    sheet: Sheet,
    guide: Guide,
    step: GuideStep,
    picture: StepPicture,
    words: GuideWords,
    y: float,
    inner: float,
    room: float,
) -> None:
    """Joints that the first view hides, seen from elsewhere, in the emptier lower corner."""
    wide, high, head = inner * 0.36, min(room * 0.38, 50.0), 5.5
    second = other_side(
        guide, step, picture, width=wide, height=high - head, title=words.say("page.other_side")
    )
    if second is None:
        return
    corners = {
        (x, top): _crowd(picture.drawing, x, top, wide, high)
        for x in (inner - wide, 0.0)
        for top in (room - high, 0.0)
    }
    x, top = min(corners, key=lambda key: corners[key])
    left = MARGIN + x
    shape = ((left, y + top), (left + wide, y + top), (left + wide, y + top + high), (left, y + top + high))
    sheet.marks.append(Path(points=shape, closed=True, line="grey", fill="white", width=0.2))
    sheet.put(second, left, y + top + head)
    sheet.label(left + 1.5, y + top + 4.2, words.say("page.other_side"), width=wide - 3, size=3.2)


def _crowd(drawing: Drawing, x: float, y: float, wide: float, high: float) -> float:
    """How much of a drawing's ink lies in a window, letters and heavy lines most."""
    total = 0.0
    for mark in drawing.marks:
        if isinstance(mark, Path):
            spots = [
                (a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]))
                for a, b in zip(mark.points, mark.points[1:], strict=False)
                for f in (0.0, 0.25, 0.5, 0.75, 1.0)
            ]
            inside = sum(x - 2 <= px <= x + wide + 2 and y - 2 <= py <= y + high + 2 for px, py in spots)
            total += inside * (mark.width if mark.line else 0.0)
        elif x - 18 <= mark.at[0] <= x + wide + 2 and y - 2 <= mark.at[1] <= y + high + 4:
            total += 60.0
    return total


def _step_head(
    sheet: Sheet, guide: Guide, step: GuideStep, said: StepWords, words: GuideWords, inner: float
) -> float:
    """Step number, what is done, time, glue, jobs."""
    number = str(step.number)
    sheet.word(MARGIN, MARGIN + 15, number, size=24, bold=True)
    x = MARGIN + 15.5 * len(number) + 4
    place = words.say("page.step", number=step.number, steps=len(guide.steps))
    over = f"{words.say(f'group.{step.group}')}  ·  {place}"
    y = sheet.text(x, MARGIN - 3, over, width=inner - x + MARGIN, size=3.8, bold=True)
    y = sheet.text(
        x, y, said.title, width=inner - x + MARGIN, size=7.4 / max(1.0, sheet.scale / 1.15), bold=True
    )
    glue = (
        words.say("page.glue", grams=f"{step.glue_mass * 1e3:.1f}", length=f"{step.glue_length * 1e3:.0f}")
        if step.joints
        else words.say("page.no_glue")
    )
    facts = f"{words.say('page.minutes', minutes=_minutes(step.time))}  ·  {glue}"
    y = sheet.text(x, y, facts, width=inner - x + MARGIN, size=3.9)
    y = sheet.text(x, y, jobs_line(step, words, group=guide.group), width=inner - x + MARGIN, size=3.9)
    y = max(y, MARGIN + 17)
    sheet.line((MARGIN, y + 1), (MARGIN + inner, y + 1), width=0.6)
    return y + 2


def jobs_line(step: GuideStep, words: GuideWords, *, group: AgeGroup) -> str:
    """Who does what: the jobs move on one place at each step."""
    names = words.find("cover.names")
    turn = [names[(step.number - 1 + place) % len(names)] for place in range(4)]
    key = "page.jobs_adult" if adult_glues(group) else "page.jobs"
    return words.say(key, glue=turn[0], hold=turn[1], check=turn[2], note=turn[3])


def _step_body(
    sheet: Sheet, guide: Guide, step: GuideStep, said: StepWords, words: GuideWords, inner: float
) -> float:
    """Under the picture: what to do on the left, what is needed on the right, then the check."""
    right_wide = 50.0 * min(sheet.scale, 1.2)
    left_wide = inner - right_wide - 8
    y = sheet.text(MARGIN, 0.0, words.say("page.do"), width=left_wide, size=4.6, bold=True) + 0.5
    step_in = 8.0 * sheet.scale
    for number, line in enumerate(said.lines, start=1):
        sheet.text(MARGIN, y, f"{number}", width=step_in, size=4.6, bold=True)
        y = sheet.text(MARGIN + step_in, y, line, width=left_wide - step_in, size=4.6) + 0.9
    x = MARGIN + left_wide + 8
    low = sheet.text(x, 0.0, words.say("page.need"), width=right_wide, size=4.6, bold=True) + 0.5
    low = _needed(sheet, guide, step, words, x, low, right_wide)
    y = max(y, low) + 1.5
    if said.why:
        y = sheet.text(MARGIN, y, f"{words.say('page.why')} {said.why}", width=inner, size=4.0) + 1.5
    return _check_box(sheet, step, said, words, y, inner)


def _needed(
    sheet: Sheet, guide: Guide, step: GuideStep, words: GuideWords, x: float, y: float, wide: float
) -> float:
    kinds = [
        list(same) for _, same in groupby((guide.kit.part(name) for name in step.parts), key=lambda p: p.code)
    ]
    biggest = max(sides_of(same[0])[0] for same in kinds)
    scale = min(wide * 0.62 / biggest, 260.0)
    for same in kinds:
        part = same[0]
        text = f"{part.code}" if len(same) == 1 else f"{len(same)} × {part.code}"
        low = sheet.text(x, y, text, width=wide, size=4.2, bold=True)
        spot = x
        for one in same if len(same) > 1 and sides_of(part)[0] * scale * 2 + 4 <= wide else same[:1]:
            marks, broad, high = part_outline(
                one, spot, low + 0.3, scale=scale, dots=False, line=0.3, mark=0.55
            )
            sheet.marks += marks
            spot += broad + 4
        y = low + high + 2.0
    tools = [f"tools.{name}" for name in _tools(step)]
    return sheet.text(x, y, "  ·  ".join(words.say(tool) for tool in tools), width=wide, size=3.6)


def _tools(step: GuideStep) -> list[str]:
    found = ["ruler", "pencil"] if step.marks or step.check in ("width", "square") else []
    if step.check in ("square", "upright"):
        found.append("paper corner")
    if step.check in ("pad-angle", "level"):
        found.append("angle cards")
    return [*found, "glue gun"] if step.joints else found


def _check_box(
    sheet: Sheet, step: GuideStep, said: StepWords, words: GuideWords, y: float, inner: float
) -> float:
    """The crew's own check; at a stop, a heavy frame and the adult's box."""
    pad = 3.0
    inside = Sheet(width=sheet.width, height=sheet.height, scale=sheet.scale)
    size = 5.0 * sheet.scale
    x = MARGIN + pad + size + 3
    top = y + pad
    if step.show_me:
        low = inside.text(x, top, words.say("page.show_me"), width=inner - size, size=7.0, bold=True)
        low = inside.text(x, low, said.check, width=inner - size - 3 * pad, size=4.6)
        low = inside.text(
            x, low, words.say("page.show_stop"), width=inner - size - 3 * pad, size=4.6, bold=True
        )
        text = words.say("page.adult")
        inside.text(x, low + 1.5, text, width=inner, size=4.6)
        box = 8.0
        inside.box(x + _wide(text, sheet) + 4, low + 0.4, box, box, line=0.6)
        low += box + 1.5
        sign = MARGIN + pad
        inside.box(sign, top + 1, size, size, line=0.5, fill="vermilion")
        inside.marks.append(
            Path(
                points=((sign + size * 0.2, top + 1 + size / 2), (sign + size * 0.8, top + 1 + size / 2)),
                line="white",
                width=size * 0.2,
            )
        )
        sheet.box(MARGIN, y, inner, low + pad - y - 1, line=1.3)
        sheet.marks += inside.marks
        return low + pad
    inside.box(MARGIN, top + 0.4, size, size, line=0.5)
    low = inside.text(
        MARGIN + size + 3, top, f"{words.say('page.check')}: {said.check}", width=inner - size - 3, size=4.6
    )
    sheet.marks += inside.marks
    return low + 1


def _wide(text: str, sheet: Sheet) -> float:
    from skimwright.base.lettering import text_width

    return text_width(text, size=4.6 * sheet.scale)


def _minutes(seconds: float) -> str:
    return f"{math.ceil(seconds / 60)}"

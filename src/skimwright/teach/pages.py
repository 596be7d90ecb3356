"""A worksheet and its key on paper."""

from __future__ import annotations

from skimwright.base.drawing import Drawing
from skimwright.teach.facts import LoggedRun
from skimwright.teach.layout import MARGIN, SIZES, Paper, Stack, pages
from skimwright.teach.numbers import BLANK, number
from skimwright.teach.picture import boat_picture, strip_picture
from skimwright.teach.worksheet import Question, Topic, Words, Worksheet, ages_of

LARGE = 1.4  # large print [choice]: 12 pt becomes 17 pt
YOUNG = {"Cress": 1.12}


def sheet_pages(
    sheet: Worksheet, words: Words, *, season: str, paper: Paper = "a4", large: bool = False, foot: str = ""
) -> tuple[Drawing, ...]:
    """The pages handed out.

    Parameters
    ----------
    sheet : Worksheet
    words : Words
    season : str
        Its name.
    paper : str
        "a4" or "letter".
    large : bool
        Large print.
    foot : str
        What stands below every page.
    """
    scale = (LARGE if large else 1.0) * YOUNG.get(sheet.band, 1.0)
    boat = sheet.facts.title
    stacks = [_head(sheet, words, season, scale, paper), *_pictures(sheet, words, scale, paper)]
    for topic in sheet.topics:
        stacks += _topic(topic, words, scale, paper)

    def below(page: int, of: int) -> str:
        return words.say("page.foot", boat=boat, band=sheet.band, page=page, pages=of, foot=foot).strip()

    return pages(stacks, paper=paper, title=boat, foot=below, scale=scale)


def key_pages(
    sheet: Worksheet, words: Words, *, season: str, paper: Paper = "a4", large: bool = False, foot: str = ""
) -> tuple[Drawing, ...]:
    """The teacher's pages: every answer with its working, what is missing, and the reading level.

    Parameters
    ----------
    sheet, words, season, paper, large, foot
        As for :func:`sheet_pages`.
    """
    scale = LARGE if large else 1.0
    boat = sheet.facts.title
    top = _stack(paper, scale)
    top.text(words.say("page.key_over", season=season, band=sheet.band), size=3.6)
    top.text(words.say("page.key_title", boat=boat), size=7.5, bold=True, after=2.0)
    for line in _notes(sheet, words):
        top.text(line, size=3.6)
    stacks = [top]
    for topic in sheet.topics:
        stack = _stack(paper, scale)
        stack.rule()
        stack.text(topic.title, size=4.6, bold=True)
        for number_, question in enumerate(topic.questions, start=1):
            stack.text(f"{number_}. {_answer(question, words)}", size=4.0, bold=False)
        stacks.append(stack)

    def below(page: int, of: int) -> str:
        return words.say("page.key_foot", boat=boat, band=sheet.band, page=page, pages=of, foot=foot).strip()

    return pages(stacks, paper=paper, title=words.say("page.key_title", boat=boat), foot=below, scale=scale)


def _stack(paper: Paper, scale: float) -> Stack:
    return Stack(width=SIZES[paper][0] - 2 * MARGIN, scale=scale)


def _head(sheet: Worksheet, words: Words, season: str, scale: float, paper: Paper) -> Stack:
    stack = _stack(paper, scale)
    stack.text(
        words.say("page.over", season=season, band=sheet.band, ages=ages_of(sheet.band, words)), size=3.6
    )
    stack.text(words.say("page.title", boat=sheet.facts.title), size=8.0, bold=True, after=3.0)
    top = stack.y
    stack.y += 2.0
    stack.text(words.say("page.hunch_head"), size=5.0, bold=True)
    first, *others = words.lines("page.hunch")
    stack.text(first)
    stack.write(1, says=words.say("page.topic_hunch"))
    for each in others:
        stack.text(each)
    stack.text(words.say("page.hunch_lock"))
    stack.y += 1.0
    stack.box(top=top)
    return stack


def _pictures(sheet: Worksheet, words: Words, scale: float, paper: Paper) -> list[Stack]:
    facts = sheet.facts
    boat, table, water = (_stack(paper, scale) for _ in range(3))
    boat.picture(boat_picture(facts, words))
    boat.text(words.say("page.picture_blank" if facts.balance is None else "page.picture"), size=3.6)
    table.text(words.say("page.numbers_head"), size=5.0, bold=True)
    rows = list(sheet.numbers) if len(sheet.numbers) <= 7 else _two_up(sheet.numbers)
    table.table(rows, shares=(5, 4) if len(rows[0]) == 2 else (5, 3, 5, 3))
    if any(BLANK in value for _, value in sheet.numbers):
        table.text(words.say("page.numbers_note"))
    if facts.device.needs_permission:
        table.text(words.say("page.shut", device=facts.device.name), bold=True)
    stacks = [boat, table]
    if facts.runs:
        runs = _stack(paper, scale)
        runs.text(words.say("page.runs_head"), size=5.0, bold=True)
        head = tuple(words.lines("runs.head"))
        runs.table(
            [head, *(_run(run, words) for run in facts.runs[-6:])],
            shares=(1, 1.6, 2, 2, 3, 3),
            size=3.4,
            head=True,
        )
        stacks.append(runs)
    drawn = any(run.drift is not None and run.counts for run in facts.runs)
    water.picture(strip_picture(facts, words))
    water.text(words.say("page.strip" if drawn else "page.strip_blank"), size=3.6)
    return [*stacks, water]


def _two_up(rows: tuple[tuple[str, str], ...]) -> list[tuple[str, ...]]:
    half = (len(rows) + 1) // 2
    right = [*rows[half:], ("", "")]
    return [(*left, *right[i]) for i, left in enumerate(rows[:half])]


def _run(run: LoggedRun, words: Words) -> tuple[str, ...]:
    def shown(value: float | None, unit: str, places: int) -> str:
        return f"{BLANK} {unit}" if value is None else words.local(number(value, unit, places=places))

    def said(ending: str) -> str:
        return words.say(f"ending.{ending.replace(' ', '_')}") if ending else BLANK

    side = shown(None if run.drift is None else abs(run.drift), "m", 1)
    return (
        str(run.run), shown(run.distance, "m", 1), shown(run.time, "s", 2), side,
        said(run.ending), said(run.guess),
    )  # fmt: skip


def _topic(topic: Topic, words: Words, scale: float, paper: Paper) -> list[Stack]:
    """The idea with its first question in one piece, each further question in one of its own."""
    made = []
    for place, question in enumerate(topic.questions):
        stack = _stack(paper, scale)
        if not place:
            stack.y += 3.0
            stack.rule()
            stack.text(topic.title, size=5.4, bold=True)
            stack.text(f"{words.say('page.topic_hunch')} {topic.hunch}", size=4.2, bold=True)
            stack.write(1, says=words.say("page.why_line"))
            stack.text(topic.tells)
        stack.text(f"{place + 1}. {question.asks}")
        stack.write(2, says=words.say("page.answer"))
        made.append(stack)
    return made


def _answer(question: Question, words: Words) -> str:
    if question.answer is not None:
        return question.working
    if "bend_m" in question.missing:
        return words.say("page.key_straight")
    named = [words.say(f"name.{name}") for name in question.missing]
    return words.say("page.key_missing", missing=", ".join(named))


def _notes(sheet: Worksheet, words: Words) -> list[str]:
    notes = [words.say("page.checked")]
    if sheet.reading_grade is None:
        notes.append(words.say("page.reading_none"))
    else:
        notes.append(
            words.say(
                "page.reading_line", grade=f"{sheet.reading_grade:.1f}", count=sheet.word_count,
                band=sheet.band, limit=sheet.reading_limit,
            )
        )  # fmt: skip
    if sheet.edited:
        notes.append(words.say("page.edited_line", list="; ".join(sheet.edited)))
    if sheet.facts.device.needs_permission:
        notes.append(words.say("page.shut", device=sheet.facts.device.name))
    return notes

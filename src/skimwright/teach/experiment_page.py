"""Experiment cards and fair-test plans on paper."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.teach.experiments import ExperimentCard
from skimwright.teach.explain import Worked
from skimwright.teach.facts import Band
from skimwright.teach.fair import FairTest
from skimwright.teach.layout import MARGIN, SIZES, Paper, Stack, pages
from skimwright.teach.numbers import BLANK
from skimwright.teach.pages import LARGE, YOUNG
from skimwright.teach.worksheet import Words, ages_of


def _stack(paper: Paper, scale: float) -> Stack:
    return Stack(width=SIZES[paper][0] - 2 * MARGIN, scale=scale)


def card_pages(
    card: ExperimentCard, words: Words, *, season: str, paper: Paper = "a4", large: bool = False, foot: str = ""
) -> tuple[Drawing, ...]:  # fmt: skip
    """A card to work from: materials, steps, what only an adult does, what goes wrong, readings, sums.

    Parameters
    ----------
    card : ExperimentCard
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
    scale = (LARGE if large else 1.0) * YOUNG.get(card.band, 1.0)
    say = words.say
    top = _stack(paper, scale)
    top.text(
        say(
            "experiment.page.over", season=season, band=card.band, ages=ages_of(card.band, words),
            minutes=card.experiment.minutes, people=card.experiment.people,
        ),
        size=3.6,
    )  # fmt: skip
    top.text(card.title, size=7.5, bold=True, after=2.0)
    top.text(card.tells, after=2.0)
    top.write(1, says=say("experiment.page.hunch"))
    stacks = [top, _list(paper, scale, say("experiment.page.needs"), card.needs)]
    stacks.append(_list(paper, scale, say("experiment.page.steps"), card.steps, counted=True))
    warn = _stack(paper, scale)
    warn.y += 2.5
    start = warn.y
    warn.y += 1.5
    for head, lines in (("adult", card.adult), ("safety", card.safety)):
        warn.text(say(f"experiment.page.{head}"), size=4.6, bold=True)
        for line in lines:
            warn.text(f"• {line}", inset=2.0, size=4.0)
    warn.box(top=start)
    stacks += [warn, _list(paper, scale, say("experiment.page.wrong"), card.wrong)]
    table = _stack(paper, scale)
    table.text(say("experiment.page.readings"), size=4.8, bold=True)
    rows = [
        (what, value, *([value] * 2 if value.startswith(BLANK) else ("", "")))
        for what, value in card.readings
    ]
    table.table(rows, shares=(5, 2, 2, 2), size=4.0)
    stacks.append(table)
    if card.example_steps:
        stacks += _sums(paper, scale, say("experiment.page.result" if card.result else "experiment.page.sums"),
                        card.result or card.example_steps, blank=not card.result)  # fmt: skip
        example = _stack(paper, scale)
        example.text(say("experiment.page.example"), size=4.6, bold=True)
        example.text("; ".join(f"{what}: {value}" for what, value in card.example) + ".", size=3.6)
        for step in card.example_steps:
            example.text(step.sum, size=3.6, inset=4.0)
        stacks.append(example)
    if card.verdict:
        last = _stack(paper, scale)
        last.text(card.verdict, size=4.8, bold=True)
        stacks.append(last)

    def below(page: int, of: int) -> str:
        return say("experiment.page.foot", title=card.title, page=page, pages=of, foot=foot).strip()

    return pages(stacks, paper=paper, title=card.title, foot=below, scale=scale)


def _list(paper: Paper, scale: float, head: str, lines: Sequence[str], *, counted: bool = False) -> Stack:
    stack = _stack(paper, scale)
    stack.text(head, size=4.8, bold=True)
    for place, line in enumerate(lines, start=1):
        stack.text(f"{place}. {line}" if counted else f"• {line}", inset=2.0, size=4.0)
    return stack


def _sums(paper: Paper, scale: float, head: str, steps: Sequence[Worked], *, blank: bool) -> list[Stack]:
    """The sums with their answers, or with a line to write each answer on."""
    made = []
    for place, step in enumerate(steps, start=1):
        stack = _stack(paper, scale)
        if place == 1:
            stack.text(head, size=4.8, bold=True)
        stack.text(f"{place}. {step.says}", size=4.0)
        if blank:
            stack.write(1)
        else:
            stack.text(step.sum, size=4.2, inset=8.0)
        made.append(stack)
    return made


def plan_pages(
    plan: FairTest, band: Band, words: Words, *, boat: str, season: str, paper: Paper = "a4", large: bool = False,
    foot: str = "",
) -> tuple[Drawing, ...]:  # fmt: skip
    """A plan of a fair test for a crew.

    Parameters
    ----------
    plan : FairTest
    band : Band
    words : Words
    boat : str
        Number and boat name.
    season, paper, large, foot
        As for :func:`card_pages`.
    """
    scale = (LARGE if large else 1.0) * YOUNG.get(band, 1.0)
    top = _stack(paper, scale)
    top.text(words.say("page.over", season=season, band=band, ages=ages_of(band, words)), size=3.6)
    top.text(boat, size=7.5, bold=True)
    top.text(plan.title, size=5.4, bold=True, after=2.0)
    top.write(1, says=words.say("experiment.page.hunch"))
    stacks = [top]
    for line in plan.says:
        stack = _stack(paper, scale)
        stack.text(line, after=2.5)
        stacks.append(stack)

    def below(page: int, of: int) -> str:
        return words.say("experiment.page.foot", title=boat, page=page, pages=of, foot=foot).strip()

    return pages(stacks, paper=paper, title=plan.title, foot=below, scale=scale)

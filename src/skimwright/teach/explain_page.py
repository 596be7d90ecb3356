"""Explanations on paper: a figure, its working, its range, what would change it, what it rests on."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.teach.explain import Explained
from skimwright.teach.layout import MARGIN, SIZES, Paper, Stack, pages
from skimwright.teach.pages import LARGE, YOUNG
from skimwright.teach.worksheet import Words, ages_of


def explain_pages(
    explained: Explained, words: Words, *, boat: str, season: str, rests: Sequence[str] = (),
    paper: Paper = "a4", large: bool = False, foot: str = "",
) -> tuple[Drawing, ...]:  # fmt: skip
    """One figure on as many pages as it needs.

    Parameters
    ----------
    explained : Explained
    words : Words
    boat : str
        Number and boat name.
    season : str
        Its name.
    rests : lines
        Sources with how well each is known.
    paper : str
        "a4" or "letter".
    large : bool
        Large print.
    foot : str
        What stands below every page.
    """
    scale = (LARGE if large else 1.0) * YOUNG.get(explained.band, 1.0)
    room = SIZES[paper][0] - 2 * MARGIN

    def stack() -> Stack:
        return Stack(width=room, scale=scale)

    top = stack()
    top.text(
        words.say(
            "explain.page.over", season=season, band=explained.band, ages=ages_of(explained.band, words)
        ),
        size=3.6,
    )
    top.text(
        words.say("explain.page.title", boat=boat, title=explained.title), size=7.5, bold=True, after=2.5
    )
    start = top.y
    top.y += 2.0
    top.text(explained.shown, size=5.2, bold=True)
    if explained.range:
        top.text(explained.range)
    top.y += 1.0
    top.box(top=start)
    top.text(explained.tells, after=2.5)
    stacks = [top]
    for place, step in enumerate(explained.steps, start=1):
        each = stack()
        if place == 1:
            each.text(words.say("explain.page.steps_head"), size=5.0, bold=True)
        each.text(f"{place}. {step.says}")
        each.text(step.sum, size=4.6, bold=step.closes, inset=8.0, after=2.5)
        stacks.append(each)
    if explained.changes:
        change = stack()
        change.text(words.say("explain.page.change_head"), size=5.0, bold=True)
        for line in explained.changes:
            change.text(f"• {line}", inset=2.0)
        stacks.append(change)
    last = stack()
    last.text(words.say("explain.page.sources_head"), size=4.4, bold=True)
    for line in rests or [words.say("explain.page.sources_none")]:
        last.text(line, size=3.2)
    if rests:
        last.text(words.say("explain.page.sources_note"), size=3.2)
    last.text(words.say("explain.page.checked"), size=3.2)
    last.text(words.say("explain.page.forecast"), size=3.2)
    stacks.append(last)

    def below(page: int, of: int) -> str:
        return words.say(
            "explain.page.foot", boat=boat, title=explained.title, page=page, pages=of, foot=foot
        ).strip()  # fmt: skip

    return pages(stacks, paper=paper, title=f"{boat}, {explained.title}", foot=below, scale=scale)

"""Pages on which nothing leaves the paper or lies on anything else, also when large or long."""

from __future__ import annotations

from dataclasses import replace

import pytest

from skimwright import desk, teach
from skimwright.base.drawing import Words
from skimwright.base.lettering import text_width as true_width
from skimwright.teach.layout import MARGIN, broken


def longer(value):
    """Every sentence 40 % longer, as another language would have it; braces stay whole."""
    if isinstance(value, dict):
        return {key: longer(each) for key, each in value.items()}
    if isinstance(value, list):
        return [longer(each) for each in value]
    more, words = [], value.split()
    for count, word in enumerate(words):
        more.append(word if "{" in word else word + word[: round(0.4 * len(word) + 0.3 * (count % 2))])
    return " ".join(more)


def boxes(page):
    for mark in page.marks:
        if isinstance(mark, Words):
            wide = true_width(mark.text, size=mark.size, bold=mark.bold)
            left = mark.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[mark.anchor]
            yield mark.text, left, mark.at[1] - 0.72 * mark.size, left + wide, mark.at[1] + 0.2 * mark.size


def faults(page):
    found = []
    known = list(boxes(page))
    for text, left, top, right, bottom in known:
        if left < MARGIN - 3 or right > page.width - MARGIN + 3 or top < 8 or bottom > page.height - 8:
            found.append(f"off the page: {text}")
    for i, (text, left, top, right, bottom) in enumerate(known):
        for other, a, b, c, d in known[:i]:
            if min(right, c) - max(left, a) > 0.3 and min(bottom, d) - max(top, b) > 0.3:
                found.append(f"on each other: {text} | {other}")
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("large", [False, True], ids=["usual", "large"])
@pytest.mark.parametrize("wordy", [False, True], ids=["as is", "40 % longer"])
@pytest.mark.parametrize("band", teach.BANDS)
def test_the_layout_holds(season, log, table, band, wordy, large, paper):
    words = table
    if wordy:
        words = {name: part if name in ("about", "numbers") else longer(part) for name, part in table.items()}
    for boat in (3, 20, 24):
        ask = desk.LessonAsk(boat=boat, band=band, paper=paper, large=large)
        lesson = desk.make_lessons(season, log, ask, words=words).lessons[0]
        for page in (*lesson.pages, *lesson.key):
            assert not faults(page), page.title


def test_a_word_off_the_page_or_on_another_is_noticed(season, log, table):
    page = desk.make_lessons(season, log, desk.LessonAsk(boat=3), words=table).lessons[0].pages[0]
    width = page.width
    for stray in (
        Words(at=(width - 10, 100), text="far too long for here", size=4),
        Words(at=(30, page.height - 2), text="low", size=4),
        replace(next(m for m in page.marks if isinstance(m, Words)), text="twice"),
    ):
        assert faults(replace(page, marks=(*page.marks, stray)))


def test_no_line_is_wider_than_it_may_be():
    text = "The quick brown fox jumps over the lazy dog, Mum WON 17 of 24 kg m/s? " * 5
    for bold in (False, True):
        for line in broken(text, width=40.0, size=4.0, bold=bold):
            assert true_width(line, size=4.0, bold=bold) <= 40.0


def test_breaking_loses_no_word():
    text = "a boat pushes water away until that water weighs as much as the boat does"
    for width in (20.0, 33.0, 90.0):
        assert " ".join(broken(text, width=width, size=4.0)) == text


def test_a_word_too_long_for_its_line_is_cut_not_lost():
    assert "".join(broken("Wasserverdraengungsmassenmittelpunkt", width=20.0, size=4.0)) == (
        "Wasserverdraengungsmassenmittelpunkt"
    )

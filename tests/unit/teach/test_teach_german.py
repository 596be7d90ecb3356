"""German, the second language: whole, with its own decimal sign, true in its sums, and on its paper."""

from __future__ import annotations

import re

import pytest
from printed import both_sides
from test_teach_layout import faults

from skimwright import desk, teach

FIELD = re.compile(r"\{\w+\}")
SAME = {"arctan", "erf", "exp", "min", "cm³", "mm³", "drift"}  # letters that need no translation


def leaves(table, above=""):
    for key, value in table.items():
        if isinstance(value, dict):
            yield from leaves(value, f"{above}{key}.")
        else:
            yield f"{above}{key}", value


def test_no_sentence_is_missing(german, table):
    assert teach.gaps_between(german, table) == ()
    assert set(dict(leaves(german))) == set(dict(leaves(table)))


def test_a_missing_sentence_falls_back_and_is_listed(german, table, season, log):
    torn = {**german, "topic": {k: v for k, v in german["topic"].items() if k != "float"}}
    assert teach.gaps_between(torn, table) == ("topic.float",)
    (finding,) = desk.missing_words(torn, table, "de")
    assert "topic.float" in finding.what
    made = desk.make_lessons(season, log, desk.LessonAsk(boat=7), words=torn, first=table).lessons[0]
    assert made.sheet.topics[0].title == "Why does it float?"
    assert made.sheet.topics[1].title == "Wo ist der Schwerpunkt?"


def test_every_sentence_puts_in_the_same_numbers(german, table):
    other = dict(leaves(table))
    for key, value in leaves(german):
        mine, theirs = set(FIELD.findall(str(value))), set(FIELD.findall(str(other[key])))
        assert mine <= theirs, key
        assert theirs - mine <= {"{use}"}, key


def test_nothing_was_left_in_english(german, table):
    """A sentence that is the same in both languages has no word in it, only signs, units and formulas."""
    other = dict(leaves(table))
    for key, value in leaves(german):
        if value == other[key] and not key.startswith("numbers."):
            bare = FIELD.sub(" ", " ".join(value) if isinstance(value, list) else str(value))
            assert not set(re.findall(r"[a-zäöüß]{3,}", bare)) - SAME, (key, value)


@pytest.fixture(scope="module")
def found(answered, german, table):
    """What one boat gets in German: text, and its pages."""
    entry = answered.boat(7)
    cast = desk.forecast_boat(desk.question_about(answered, entry, runs=120, seed=2), name=entry.label)
    return entry, cast


def texts(pages):
    return [mark.text for page in pages for mark in page.marks if hasattr(mark, "text")]


def all_pages(answered, log, german, table, found, *, paper="a4", large=False):
    entry, cast = found
    style = {"words": german, "first": table, "paper": paper, "large": large}
    pages = []
    for band in teach.BANDS:
        ask = desk.LessonAsk(boat=7, band=band, paper=paper, large=large)
        lesson = desk.make_lessons(answered, log, ask, words=german, first=table).lessons[0]
        pages += [*lesson.pages, *lesson.key]
        made = desk.explain_numbers(answered, entry, cast, band=band, **style)
        pages += [page for each in made for page in each.pages]
        pages += [
            p for c in desk.experiment_cards(answered, band=band, entry=entry, **style) for p in c.pages
        ]
    for changes in (["mass"], ["mass", "blade yaw"]):
        pages += desk.fair_test(answered, entry, log, cast, changes=changes, **style).pages
    pages += [page for made in desk.teacher_notes(**style) for page in made.pages]
    pages += desk.training_pack(answered, seed=1, **style).pages
    return pages


def test_numbers_have_a_comma_and_never_a_point(answered, log, german, table, found):
    lines = texts(all_pages(answered, log, german, table, found))
    assert not [line for line in lines if re.search(r"\d\.\d", line)]
    assert sum(bool(re.search(r"\d,\d", line)) for line in lines) > 100


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_german_pages_stay_on_their_paper(answered, log, german, table, found, large, paper):
    for page in all_pages(answered, log, german, table, found, paper=paper, large=large):
        assert not faults(page), page.title


def test_german_sums_come_out_as_printed(answered, german, table, found):
    entry, cast = found
    checked = 0
    for band in teach.BANDS:
        for made in desk.explain_numbers(answered, entry, cast, words=german, first=table, band=band):
            for step in made.explained.steps:
                left, right, half = both_sides(step.sum.replace(",", "."))
                assert abs(left - right) <= half * 1.0001, step.sum
                checked += 1
    assert checked > 100


def test_german_and_english_sheets_have_the_same_answers(answered, log, german, table):
    for band in teach.BANDS:
        ask = desk.LessonAsk(group="all", band=band)
        ours = desk.make_lessons(answered, log, ask, words=table).lessons
        theirs = desk.make_lessons(answered, log, ask, words=german, first=table).lessons
        assert [lesson.sheet.answers for lesson in ours] == [lesson.sheet.answers for lesson in theirs]


def test_no_reading_level_is_claimed_where_the_formula_does_not_hold(answered, log, german, table):
    lesson = desk.make_lessons(answered, log, desk.LessonAsk(boat=7), words=german, first=table).lessons[0]
    assert lesson.sheet.reading_grade is None
    assert any("in dieser Sprache nicht gemessen" in line for line in texts(lesson.key))


def test_trade_terms_are_those_of_the_trade(german):
    every = " ".join(str(value) for _, value in leaves(german))
    for term in ("Schwerpunkt", "Schwimmern", "Gleitboot", "Gleitfläche", "Impuls", "Kraftstoß", "Widerstand",
                 "Abdrift", "Standardabweichung", "Auftriebsbeiwert", "Krängung", "verdräng"):  # fmt: skip
        assert term in every, term

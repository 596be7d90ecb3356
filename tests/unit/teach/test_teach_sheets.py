"""The sheets of 24 boats in four bands: all differ, keys right, text easy, nothing of a person on them."""

from __future__ import annotations

import csv
import itertools
import math
import re
import statistics
from dataclasses import replace

import pytest

from skimwright import desk, teach
from skimwright.boat import running_form
from skimwright.teach.sums import SUMS, TOPICS
from skimwright.teach.worksheet import BLANK


def answers(lesson) -> dict[str, float | None]:
    return {
        q.key: None if q.answer is None else float(q.answer.text)
        for topic in lesson.sheet.topics
        for q in topic.questions
    }


@pytest.fixture(scope="module")
def told(season, log):
    """Every boat from the files themselves: a second reading that shares no code with the sheets."""
    from skimwright import app

    folder = app.Disk().demo_season()
    with (folder / "boats.csv").open(encoding="utf8") as file:
        boats = {int(row["boat"]): row for row in csv.DictReader(file)}
    return boats, {n: [r for r in log.book.of(n) if r.speaks_of_the_boat] for n in boats}


def close(printed: float | None, true: float, step: float) -> bool:
    return printed is not None and abs(printed - true) <= 0.5000001 * step


@pytest.mark.parametrize("band", teach.BANDS)
def test_every_topic_is_on_every_sheet_and_every_answer_has_its_question(all_lessons, band):
    for lesson in all_lessons[band]:
        assert [topic.key for topic in lesson.sheet.topics] == list(TOPICS)
        wanted = [ask.key for asks in SUMS[band].values() for ask in asks if not ask.given]
        assert list(answers(lesson)) == wanted
        assert all("{" not in q.asks + q.working for topic in lesson.sheet.topics for q in topic.questions)


@pytest.mark.parametrize("band", teach.BANDS)
def test_all_24_sheets_of_a_band_differ_in_more_than_the_name(all_lessons, band):
    assert len(all_lessons[band]) == 24
    told = [
        (lesson.sheet.numbers, tuple(t.tells + q.asks for t in lesson.sheet.topics for q in t.questions))
        for lesson in all_lessons[band]
    ]
    assert len(set(told)) == 24
    assert len({lesson.sheet.answers for lesson in all_lessons[band]}) == 24


def test_one_boat_gives_four_sheets(all_lessons):
    seventh = [all_lessons[band][6].sheet for band in teach.BANDS]
    assert len({sheet.facts.title for sheet in seventh}) == 1
    for one, other in itertools.combinations(seventh, 2):
        assert [t.tells for t in one.topics] != [t.tells for t in other.topics]


def test_keys_agree_with_a_recomputation_from_the_season_files(all_lessons, told, season):
    """Reed and Willow, from boats.csv and the log, in plain arithmetic; 24 boats each."""
    boats, runs = told
    checked = 0
    for reed, willow in zip(all_lessons["Reed"], all_lessons["Willow"], strict=True):
        number, a, b = reed.boat, answers(reed), answers(willow)
        kit = season.kits[boats[number]["kit"]]
        form = running_form(kit)
        length, beam = round(form.length * 1e3), round(form.beam * 1e3)
        timed = [r for r in runs[number] if r.result.gate_time is not None]
        gate = round(season.groups[boats[number]["group"]].qualifying_distance, 2)
        time = round(timed[-1].result.gate_time, 2)
        assert close(a["speed"], gate / time, 0.01)
        assert close(a["slower"], gate / (time + 0.1), 0.01)
        assert close(a["faster"], gate / (time - 0.1), 0.01)
        assert close(b["unsure"], 0.1 * gate / time**2, 0.01)
        if drift := round(abs(timed[-1].result.drift), 1):
            assert a["radius"] == pytest.approx(gate**2 / 2 / drift, rel=0.006)
            assert b["circle"] == pytest.approx((gate**2 + drift**2) / 2 / drift, rel=0.006)
        far = [round(r.result.distance, 1) for r in runs[number] if r.result.distance is not None]
        if len(far) > 1:
            assert close(b["mean"], statistics.mean(far), 0.1)
            assert close(b["deviation"], statistics.stdev(far), 0.01)
        if number != 20:
            grams = float(re.match(r"[\d.]+", boats[number]["mass_g"])[0])
            balance = float(boats[number]["balance_x_mm"])
            speed = a["speed"]
            assert close(a["depth"], grams / (0.001 * length * beam), 0.1)
            assert b["stiffness"] == pytest.approx(beam**2 / 12 / b["depth"], rel=0.05)
            assert close(
                a["momentum"], grams / 1e3 * speed, 10 ** (math.floor(math.log10(a["momentum"])) - 2)
            )
            assert a["energy"] == pytest.approx(0.5 * grams / 1e3 * speed**2, rel=0.006)
            assert a["glide_n"] == pytest.approx(a["energy"] / 8, rel=0.06)
            assert b["glide_factor"] == pytest.approx(grams / 1e3 * 0.6931 / 5, rel=0.03)
            assert close(b["lead"], grams * 5 / (balance - 35), 0.01)
            back = round(kit.contacts[1] * 1e3)
            assert close(a["new_balance"], (grams * balance + 20 * back) / (grams + 20), 1)
        checked += 1
    assert checked == 24


def test_a_missing_mass_is_a_line_and_never_nought(all_lessons):
    """Boat 20 was weighed in ounces: its mass is in question, so the sheet leaves it open."""
    for band in teach.BANDS:
        lesson = next(each for each in all_lessons[band] if each.boat == 20)
        assert lesson.blanks
        assert any(BLANK in value for what, value in lesson.sheet.numbers if what == "mass")
        for topic in lesson.sheet.topics:
            for q in topic.questions:
                if q.answer is None:
                    assert q.missing
                    assert q.working == ""
        assert not any(
            re.search(r"(?<![\d.])0 k?g", q.asks) for t in lesson.sheet.topics for q in t.questions
        )


def test_only_the_boat_in_question_has_blanks_for_its_mass(all_lessons):
    assert [lesson.boat for lesson in all_lessons["Cress"] if lesson.blanks] == [20]


@pytest.mark.parametrize("band", teach.BANDS)
def test_the_text_is_no_harder_than_the_band_by_the_published_formula(all_lessons, band):
    for lesson in all_lessons[band]:
        assert lesson.sheet.word_count >= 100
        assert lesson.sheet.reading_grade <= lesson.sheet.reading_limit


def test_the_reading_check_can_fail(season, log, table):
    hard = (
        "Notwithstanding considerable hydrodynamic complications, experimentation necessitates deliberation."
    )
    worse = {**table, "tell": {**table["tell"], "Cress": dict.fromkeys(TOPICS, hard)}}
    made = desk.make_lessons(season, log, desk.LessonAsk(boat=3, band="Cress"), words=worse)
    assert [f.code for f in made.findings if f.code == "lesson-reading"] == ["lesson-reading"]


def texts(pages) -> list[str]:
    return [mark.text for page in pages for mark in page.marks if hasattr(mark, "text")]


def test_no_crew_no_surname_and_no_own_words_reach_the_paper(season, log, table):
    """A boat called like a child goes by its number; a guess in a pupil's own words stays in the log."""
    boat = next(entry for entry in season.boats if entry.number == 7)
    from skimwright.desk.boats.boat_list import _ask_surname

    named = replace(boat, name="Mia Thornbury", crew="Mia Thornbury, Leo Ashdown")
    named = replace(named, findings=_ask_surname(named, [named]))
    assert named.findings
    changed = replace(season, boats=(named,))
    first = log.book.of(7)[0]
    event = next(e for e in log.book.events if (e.boat, e.run) == (7, first.run))
    book = type(log.book)(
        frozenset(replace(e, guess="Leo Ashdown says far") if e is event else e for e in log.book.events)
    )
    made = desk.make_lessons(changed, replace(log, book=book), desk.LessonAsk(boat=7), words=table)
    said = " ".join(texts((*made.lessons[0].pages, *made.lessons[0].key)))
    assert "Thornbury" not in said
    assert "Ashdown" not in said
    assert "07" in said


def test_an_edited_fact_is_marked_on_the_sheet_and_the_key(season, log, table):
    ask = desk.LessonAsk(boat=7, edits={"mass_g": "320"})
    lesson = desk.make_lessons(season, log, ask, words=table).lessons[0]
    sheet, key = " ".join(texts(lesson.pages)), " ".join(texts(lesson.key))
    assert "320 g (edited here)" in sheet
    assert "Edited here" in key
    assert "320 g" in key
    assert "(edited here)" not in " ".join(
        texts(desk.make_lessons(season, log, desk.LessonAsk(boat=7), words=table).lessons[0].pages)
    )


def test_the_hunch_stands_before_any_figure(all_lessons):
    for lesson in (all_lessons[band][6] for band in teach.BANDS):
        said = texts(lesson.pages)
        assert said.index("Hunch:") < min(
            i for i, text in enumerate(said) if re.search(r"\d (g|mm|cm|m|s)\b", text)
        )


def test_a_boat_that_ran_dead_straight_gets_no_circle(season, log, table):
    book = log.book
    events = frozenset(
        replace(e, result=replace(e.result, drift=0.0)) if e.result.drift is not None else e
        for e in book.events
    )
    made = desk.make_lessons(
        season, replace(log, book=type(book)(events)), desk.LessonAsk(boat=13), words=table
    ).lessons[0]
    assert answers(made)["radius"] is None
    assert any("ran straight" in text for text in texts(made.key))


def test_without_a_log_the_sheet_asks_for_the_runs(season, table):
    made = desk.make_lessons(
        season, desk.read_runs(None, season), desk.LessonAsk(boat=7), words=table
    ).lessons[0]
    assert {
        "speed",
        "slower",
        "momentum",
        "energy",
        "lost_speed",
        "each_metre",
        "mean",
        "range",
    } == set(made.blanks)

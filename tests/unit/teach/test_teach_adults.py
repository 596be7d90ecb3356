"""Teacher notes, the training day and the lesson wall: what they say is computed, kept and in order."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from skimwright import desk, teach
from skimwright.base import InputError
from skimwright.desk.seasons.tables import Row, Rows

# Codes of the Next Generation Science Standards as listed in the programme's own table of hooks.
CODES = {
    "K-2-ETS1-1", "K-2-ETS1-2", "K-2-ETS1-3", "3-5-ETS1-1", "3-5-ETS1-2", "3-5-ETS1-3", "3-PS2-1", "3-PS2-2",
    "4-PS3-1", "MS-PS2-1", "MS-PS2-2", "MS-PS3-1", "MS-PS3-5", "MS-ETS1-1", "MS-ETS1-2", "MS-ETS1-3", "MS-ETS1-4",
    "HS-PS2-1", "HS-PS2-2", "HS-PS2-3", "HS-PS3-1", "HS-PS3-3", "HS-ETS1-1", "HS-ETS1-2", "HS-ETS1-3", "HS-ETS1-4",
}  # fmt: skip


@pytest.fixture(scope="module")
def notes(words):
    return {note.topic: note for note in teach.all_notes(words)}


def test_ten_topics_each_on_one_page_with_wrong_ideas_shown_and_standards_named(notes, words):
    assert len(notes) == 10
    for note in notes.values():
        assert len(note.ideas) == 3
        assert all(idea.idea and idea.truth and idea.demo for idea in note.ideas)
        assert {code for code, _ in note.standards} <= CODES
        assert len(teach.note_pages(note, words)) == 1


def test_notes_read_no_harder_than_the_oldest_pupils_sheets(notes):
    for note in notes.values():
        assert note.word_count >= 150
        assert note.reading_grade <= 9


def test_the_numbers_in_the_notes_come_out_in_plain_arithmetic(notes):
    facts = {topic: " ".join(fact for fact, _ in note.facts) for topic, note in notes.items()}
    assert f"circle of {30.48**2 / 5:.0f} m" in facts["drift"]
    assert f"angle of {math.degrees(math.atan(2.5 / 30.48)):.1f}°" in facts["drift"]
    assert f"carries {0.5 * 0.3 * 100:.1f} J" in facts["energy"]
    assert f"and {0.5 * 0.3 * 25:.2f} J" in facts["energy"]
    assert f"force of {15 / 0.05:.0f} N" in facts["momentum"]
    assert f"that {15 / 0.005:.0f} N" in facts["momentum"]
    assert f"point {20 * (605 - 345) / 289:.0f} mm" in facts["balance"]
    assert f"has {100 * 90 / 350:.0f} %" in facts["feet"]
    assert f"coefficient is {1 - 10 / 40:.2f}" in facts["feet"]
    assert "121 runs each way by the tape and 17 by the clock" in facts["fair"]
    assert f"that is {30.48 / 9 * 0.1:.2f} m/s" in facts["fair"]


def test_an_edited_fact_says_so_where_it_stands_and_below(words):
    note = teach.teacher_note("floats", words, edits={2: "Our water is salty."})
    assert note.facts[1] == ("Our water is salty.", True)
    assert note.edited
    texts = [m.text for page in teach.note_pages(note, words) for m in page.marks if hasattr(m, "text")]
    assert any("Our water is salty. (edited here)" in text for text in texts)
    assert any("edited here. It is the school's own" in text for text in texts)
    assert not any("edited" in m.text for page in teach.note_pages(teach.teacher_note("floats", words), words)
                   for m in page.marks if hasattr(m, "text"))  # fmt: skip


@pytest.mark.parametrize("edits", [{0: "x"}, {9: "x"}, {1: "  "}])
def test_a_fact_that_is_not_there_cannot_be_edited(words, edits):
    with pytest.raises(InputError, match="no such fact"):
        teach.teacher_note("floats", words, edits=edits)


@pytest.fixture(scope="module")
def pack(answered, table):
    return desk.training_pack(answered, words=table, first=table, seed=3)


def test_six_boats_have_six_different_faults_as_large_as_the_seasons_own(pack, answered):
    faults = {boat.fault.key: boat.fault for boat in pack.day.boats}
    assert set(faults) == set(teach.FAULTS)
    assert [boat.letter for boat in pack.day.boats] == list("ABCDEF")
    degree = math.pi / 180
    assert faults["blade_yaw"].size == pytest.approx(2.5 * degree)  # boat 11
    assert faults["device_y"].size == pytest.approx(0.006)  # boat 13
    assert faults["pad_angle_left"].size == pytest.approx(1.8 * degree)  # boat 14
    assert faults["floor_twist"].size == pytest.approx(1.2 * degree)  # boat 16


def test_what_a_fault_does_is_worked_out_and_on_the_right_side(pack):
    """A blade whose rear edge points to starboard turns the boat to starboard: the frame's own rule."""
    blade = next(boat for boat in pack.day.boats if boat.fault.key == "blade_yaw")
    assert blade.fault.drift > 0.5
    assert "to the right" in blade.answer
    assert "to the right" in blade.does


def test_lost_answers_are_printed_again_by_their_set_number(answered, table, pack):
    again = desk.training_pack(answered, words=table, first=table, seed=3, only_answers=True)
    assert [b.answer for b in again.day.boats] == [b.answer for b in pack.day.boats]
    assert len(again.pages) == 1
    others = [desk.training_pack(answered, words=table, first=table, seed=n).day.boats for n in (4, 5, 6)]
    assert any([b.answer for b in each] != [b.answer for b in pack.day.boats] for each in others)


def test_the_trainees_card_does_not_give_an_answer_away(pack):
    card = [page for page in pack.pages if page.title.startswith("Find the fault")]
    assert len(card) == 1
    texts = " ".join(m.text for page in card for m in page.marks if hasattr(m, "text"))
    assert all(boat.answer not in texts and boat.plant not in texts for boat in pack.day.boats)
    assert "Find 4 of 6" in texts


def test_the_day_runs_on_without_a_gap(pack):
    spans = [row[0].split(" – ") for row in pack.day.sheet]
    assert all(before[1] == after[0] for before, after in itertools.pairwise(spans))
    assert spans[0][0] == "9:00"
    assert spans[-1][1] == "15:30"


STEPS = tuple(teach.WallStep(number=n, show_me=n in (3, 5, 8, 10, 12), adult=n == 4) for n in range(1, 13))
CREWS = tuple(f"{n:02d} Boat" for n in range(1, 11))


def mark(crew: int, step: int, said: str, minute: float) -> teach.StepMark:
    return teach.StepMark(crew=CREWS[crew - 1], step=step, said=said, minute=minute)


def test_ten_crews_and_twelve_steps_start_at_the_first():
    wall = teach.lesson_wall(CREWS, STEPS)
    assert len(wall.rows) == 10
    assert all(row.cells == ("now", *["to come"] * 11) for row in wall.rows)
    assert wall.turns == ()


def test_a_show_me_step_is_done_when_an_adult_ticked_it_not_before():
    marks = [mark(1, 1, "done", 3), mark(1, 2, "done", 6), mark(1, 3, "done", 9)]
    row = teach.lesson_wall(CREWS, STEPS, marks, minute=12).rows[0]
    assert row.cells[:4] == ("done", "done", "waits", "to come")
    row = teach.lesson_wall(CREWS, STEPS, [*marks, mark(1, 3, "ticked", 13)], minute=14).rows[0]
    assert row.cells[:4] == ("done", "done", "done", "now")


def test_who_needs_an_adult_next_is_in_order_of_need_and_of_waiting():
    def up_to(crew: int, step: int) -> list[teach.StepMark]:
        return [mark(crew, n, "ticked" if STEPS[n - 1].show_me else "done", n) for n in range(1, step)]

    marks = [
        *up_to(1, 3), mark(1, 3, "done", 20),  # waits since 20
        *up_to(2, 5), mark(2, 5, "done", 15),  # waits since 15
        *up_to(3, 4),  # at the step an adult does
        *up_to(4, 2), mark(4, 2, "help", 24),  # asks for help
    ]  # fmt: skip
    wall = teach.lesson_wall(CREWS, STEPS, marks, minute=25)
    assert [(turn.crew[:2], turn.why, turn.waits) for turn in wall.turns] == [
        ("04", "help", 1), ("02", "show", 10), ("01", "show", 5), ("03", "adult step", None),
    ]  # fmt: skip


def test_help_that_was_given_is_no_longer_asked_for():
    marks = [mark(1, 1, "help", 4), mark(1, 1, "done", 8)]
    assert teach.lesson_wall(CREWS, STEPS, marks, minute=9).turns == ()


def test_marks_in_any_order_give_the_same_wall():
    marks = [mark(1, 1, "done", 3), mark(1, 2, "help", 6), mark(2, 1, "done", 2), mark(1, 2, "done", 8)]
    assert teach.lesson_wall(CREWS, STEPS, marks) == teach.lesson_wall(CREWS, STEPS, marks[::-1])


def test_a_step_out_of_order_is_asked_about():
    (finding,) = teach.lesson_wall(CREWS, STEPS, [mark(1, 5, "done", 3)]).findings
    assert finding.why == "Was it dry and squared?"


def test_a_mark_for_a_crew_or_step_that_is_not_there_is_named():
    stray = [teach.StepMark(crew="99 Ghost", step=1, said="done", minute=1), mark(1, 13, "done", 2)]
    wall = teach.lesson_wall(CREWS, STEPS, stray)
    assert [f.code for f in wall.findings] == ["wall-stray", "wall-stray"]


def test_the_chart_holds_ten_crews_on_a3_with_letters_for_five_metres(words):
    marks = [mark(n, 1, "done", n) for n in range(1, 11)]
    wall = teach.lesson_wall(CREWS, STEPS, marks, minute=20)
    page = teach.wall_page(wall, words, title="Rush")
    assert (page.width, page.height) == (420.0, 297.0)
    names = [m for m in page.marks if getattr(m, "text", "") in CREWS]
    assert len(names) == 10
    assert min(m.size for m in names) >= 10.0  # 7 mm is five minutes of arc at 5 m
    assert all(0 < m.at[0] < 420 and 0 < m.at[1] < 297 for m in page.marks if hasattr(m, "text"))


def test_a_season_group_has_its_own_steps_and_a_bad_mark_is_one_sentence(answered, table):
    made = desk.wall_of(answered, "rush", words=table, first=table)
    assert len(made.wall.rows) == 6
    assert len(made.wall.steps) >= 12
    assert sum(step.show_me for step in made.wall.steps) == 5
    for cells, says in (
        ({"boat": "7", "step": "x", "said": "done", "minute": "1"}, "step"),
        ({"boat": "77", "step": "1", "said": "done", "minute": "1"}, "boats 7 to 12"),
        ({"boat": "7", "step": "1", "said": "maybe", "minute": "1"}, "done, ticked, help"),
    ):
        rows = Rows(file="m.csv", columns=desk.MARK_COLUMNS, rows=(Row(number=2, cells=cells),))
        with pytest.raises(InputError, match=says):
            desk.wall_of(answered, "Rush", words=table, first=table, marks=rows)
    elsewhere = Row(number=2, cells={"boat": "1", "step": "1", "said": "done", "minute": "1"})  # of Cress
    rows = Rows(file="m.csv", columns=desk.MARK_COLUMNS, rows=(elsewhere,))
    assert desk.wall_of(answered, "Rush", words=table, first=table, marks=rows).wall.rows == made.wall.rows


def test_nobody_has_the_note_job_more_than_twice_in_six_lessons(table):
    for names in (("Wren", "Idris", "Marlow"), ("Wren", "Idris", "Marlow", "Tamsin")):
        rota = desk.job_rota(names, lessons=6)
        writes = [row[desk.JOBS_AT_THE_TABLE.index("writes")] for row in rota]
        assert max(writes.count(name) for name in names) <= 2
    alone = desk.rota_of("Rush crew 1", ["Wren"], words=table, first=table)
    assert any("needs no rota" in m.text for m in alone.marks if hasattr(m, "text"))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_pages_for_adults_stay_on_their_paper(answered, table, large, paper):
    from test_teach_layout import faults, longer

    wordy = {name: part if name in ("about", "numbers") else longer(part) for name, part in table.items()}
    for words in (table, wordy):
        style = {"words": words, "first": table, "paper": paper, "large": large}
        pages = [page for made in desk.teacher_notes(**style) for page in made.pages]
        pages += desk.training_pack(answered, seed=2, **style).pages
        for page in pages:
            assert not faults(page), page.title


def test_no_surname_reaches_an_explanation_a_plan_or_the_wall(answered, log, table):
    """A boat called like a child goes by its number everywhere."""
    from skimwright.desk.boats.boat_list import _ask_surname

    boat = answered.boat(7)
    named = replace(boat, name="Mia Thornbury", crew="Mia Thornbury, Leo Ashdown")
    named = replace(named, findings=_ask_surname(named, [named]))
    season = replace(answered, boats=(named, *answered.boats[7:12]))
    cast = desk.forecast_boat(desk.question_about(season, boat, runs=40, seed=1), name="")
    style = {"words": table, "first": table}
    pages = [p for m in desk.explain_numbers(season, named, cast, **style) for p in m.pages]
    pages += desk.fair_test(season, named, log, cast, changes=["mass"], **style).pages
    pages += [p for m in desk.experiment_cards(season, entry=named, **style) for p in m.pages]
    pages.append(desk.wall_of(season, "Rush", **style).chart)
    shown = " ".join(m.text for page in pages for m in page.marks if hasattr(m, "text"))
    assert "Thornbury" not in shown
    assert "Ashdown" not in shown
    assert "07" in shown

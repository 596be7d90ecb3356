"""Paper for the day: nothing lies on anything else, everything asked for is there, points come from print."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from papers import HARD, LONG, a_day, clashes, every_paper
from skimwright.base.drawing import Drawing, Words
from skimwright.base.lettering import FIGURE, text_width
from skimwright.base.sheet import Sheet
from skimwright.desk.race.day_papers import (
    FIGURES,
    crew_cards,
    figures_tall,
    heat_sheets,
    lane_sign,
    multiplied_out,
    pack_for,
    points_page,
    queue_sheets,
)
from skimwright.desk.race.day_papers.lane_signs import HATCH, hatch
from skimwright.desk.race.day_papers.ruled import LEAST, fitted
from skimwright.desk.race.day_papers.rules import hold_rules
from skimwright.desk.water.limits import SiteLimits
from skimwright.regatta import LOW_POINT, POWERBOAT

PUBLISHED = Path(__file__).parents[2] / "published" / "regatta.csv"


def words(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Words)]


def said(drawing: Drawing) -> str:
    return " ".join(words(drawing))


# layout


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "how",
    [{}, HARD, {"lanes": 12}, {"lanes": 16}],
    ids=["usual", "long names, four figures, eight lanes", "12", "16"],
)
def test_nothing_lies_on_anything_else_or_outside_the_page(paper, how):
    for name, drawings in every_paper(a_day(**how), paper).items():
        for number, drawing in enumerate(drawings, 1):
            assert list(clashes(drawing)) == [], f"{name} page {number}"


def test_the_check_for_clashes_can_fail():
    sheet = Sheet(width=100, height=100)
    sheet.word(10, 10, "Gravel")
    sheet.word(12, 11, "Tilt")
    sheet.word(96, 50, "far out")
    sheet.line((5, 60), (50, 60))
    sheet.word(10, 61, "struck")
    found = "; ".join(clashes(sheet.drawing("")))
    assert "on each other: 'Gravel' and 'Tilt'" in found
    assert "outside the page: far out" in found
    assert "a line through 'struck'" in found


@given(text=st.text(st.characters(codec="utf-8", exclude_categories=("C",)), min_size=1, max_size=60))
@example(text=" ")
@example(text="\xa0")
@settings(max_examples=150, deadline=None)
def test_a_name_of_any_length_stays_in_its_place(text):
    sheet = Sheet(width=200, height=50)
    fitted(sheet, 10, 20, text, width=40, size=6.0)
    for mark in sheet.marks:
        assert text_width(mark.text, size=mark.size) <= 40 + 1e-9
        assert mark.size >= LEAST
    assert len(sheet.marks) <= 2


def test_a_long_name_is_on_the_sheet_at_least_in_its_first_words():
    day = a_day(name=LONG)
    (page,) = heat_sheets(day, day.heats[:1])
    assert said(page).count("The Extraordinarily Long-Winded") == 6


def test_nothing_of_ours_is_cut_short():
    for paper in ("a4", "letter"):
        for name, drawings in every_paper(a_day(), paper).items():
            cut = [text for drawing in drawings for text in words(drawing) if text.endswith("...")]
            assert [text for text in cut if not text.startswith("NOT TICKED")] == [], (
                name
            )  # a reason may be long


def test_no_words_are_smaller_than_eight_points():
    """A point is 0.353 mm; sizes of letters here are the same size in millimetres."""
    for drawings in every_paper(a_day(), "a4").values():
        for drawing in drawings:
            for mark in drawing.marks:
                if isinstance(mark, Words):
                    assert mark.size >= 8 * 25.4 / 72, mark.text


def test_everything_is_black_on_white():
    for drawings in every_paper(a_day(), "a4").values():
        for drawing in drawings:
            inks = {getattr(mark, "ink", None) or getattr(mark, "line", None) for mark in drawing.marks}
            assert inks <= {"black", None}


# what stands on them


def test_a_heat_sheet_says_who_is_where_and_asks_what_happened():
    day = a_day()
    (page,) = heat_sheets(day, day.heats[:1])
    text = said(page)
    assert "Rush, round 1" in text
    assert "Planned  10:15" in text
    for boat in day.heats[0].lanes:
        assert words(page).count(boat.number) == 3  # the row, and both slips
    for asked in (
        "armed",
        "again",
        "Started",
        "Hold from",
        "FINISH A",
        "FINISH B",
        "WHAT COUNTS",
        "marshal:",
    ):
        assert asked in text


def test_an_unticked_boat_is_marked_and_gets_no_card():
    day = a_day()
    (page,) = heat_sheets(day, day.heats[1:2])
    text = said(page)
    assert "NOT TICKED: deck torn" in text
    assert "UNWEIGHED" in text
    assert "empty" in text
    cards = " ".join(said(card) for card in crew_cards(day, day.heats[1:2]))
    unfit = day.heats[1].lanes[3]
    assert unfit is not None
    assert unfit.name not in cards
    assert cards.count("steward's tick") == 4
    assert "unweighed: to the scales first" in cards


def test_a_queue_has_a_square_a_try_and_room_for_late_crews():
    page = every_paper(a_day(), "a4")["queue"][0]
    squares = [
        m
        for m in page.marks
        if getattr(m, "closed", False) and abs(m.points[1][0] - m.points[0][0] - 4.6) < 1e-6
    ]
    assert len(squares) == 3 * (6 + 3)
    assert queue_sheets(a_day(), []) == []


def test_the_run_log_has_thirty_rows():
    (page,) = every_paper(a_day(), "a4")["run-log"]
    assert [words(page).count(str(n)) for n in range(1, 31)] == [2] * 30


def test_hold_rules_say_the_clocks_and_the_site_limits():
    site = SiteLimits(
        officer="water bailiff",
        wind_mean=4.0,
        wind_gust=6.5,
        heat_stop=311.15,
        water_stop=281.15,
        ratio="1:5",
    )
    text = " ".join(hold_rules(site).lines)
    assert "thunder within 30 seconds" in text
    assert "Not before 30 minutes after the last thunder" in text
    assert "for 60 seconds" in text
    assert "mean wind 4.0 m/s, gust 6.5 m/s, heat index 38 °C, water not below 8 °C" in text
    assert "water bailiff says all clear, nobody else" in text
    assert "______" in " ".join(hold_rules(None).lines)


# points


def test_points_once_are_the_published_table_and_the_rest_is_arithmetic():
    """A.P.B.A. point table in the 1967 Miami race programme (seen), the rows of tests/published/regatta.csv."""
    with PUBLISHED.open(encoding="utf8") as file:
        printed = [row for row in csv.reader(file) if row[0].startswith("pts_powerboat_")]
    assert len(printed) == 12
    rows = multiplied_out(POWERBOAT, places=12, races=4)
    for row, published in zip(rows, printed, strict=True):
        worth = float(published[3])
        assert [float(cell) for cell in row[1:5]] == [worth, 2 * worth, 3 * worth, 4 * worth]
    assert rows[0][5] == "350"  # (400 + 300) / 2
    assert rows[11][5:] == ("", "")  # nothing stands below the last place


def test_low_points_shared_as_the_sailing_rules_say():
    """RRS A7 (seen): two in second place get 2.5 each; three in fourth get 5 each."""
    rows = multiplied_out(LOW_POINT, places=6, races=2)
    assert rows[1] == ("2", "2", "4", "2.5", "3")
    assert rows[3][-1] == "5"


def test_the_points_page_says_what_no_place_is_worth():
    """RRS A4.2 in its older numbering (seen): 18 entries, not finished 19."""
    day = a_day()
    low = said(points_page(day, LOW_POINT, races=4, groups=[("Open", 18)]))
    assert "(Open 19)" in low
    assert "Leave out each boat's worst race" in low
    assert "Fewest points win" in low
    assert "not finished: 0" in said(points_page(day, POWERBOAT, races=4))


def test_a_table_shorter_than_the_heat_leaves_blanks_not_noughts():
    (row,) = multiplied_out(POWERBOAT, places=13, races=2)[12:]
    assert row == ("13", "", "", "", "")


def test_the_pack_counts_races_and_boats_from_the_heats():
    ask = pack_for(a_day())
    assert ask.races == 4  # a heat of a group in each of four rounds
    assert sorted(name for name, _ in ask.groups) == ["Cress", "Reed", "Rush", "Willow"]
    assert {len(boats) for _, boats in ask.groups} == {6}


# call board and lane signs


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_two_figures_stand_forty_millimetres_tall(paper):
    for heat in a_day().heats:
        assert figures_tall(heat, paper=paper) >= 0.9999 * FIGURES
    assert FIGURES == 40.0
    hard = a_day(**HARD)
    assert figures_tall(hard.heats[0], paper=paper) < 30
    board = every_paper(a_day(), paper)["board"][0]
    large = [mark for mark in board.marks if isinstance(mark, Words) and mark.size * FIGURE > 39.9]
    assert len(large) == 3 + 17  # three heats, one lane empty


def test_each_lane_has_a_shape_a_hatch_and_a_numeral_of_its_own():
    signs = [lane_sign(lane, 0, 0, size=10) for lane in range(1, 9)]
    outlines = {tuple(sign[0].points) for sign in signs[:6]}
    assert len(outlines) == 6
    assert len({(HATCH[n], signs[n][0].fill) for n in range(6)}) == 6
    assert [sign[-1].text for sign in signs] == [str(n) for n in range(1, 9)]
    for sign in signs:
        for mark in sign[:-2]:
            assert all(abs(x) < 7 and abs(y) < 7 for x, y in mark.points)


def test_hatch_lines_of_a_square_are_as_long_as_the_square():
    lines = hatch([(0, 0), (8, 0), (8, 8), (0, 8)], angle=90, step=2)
    assert len(lines) == 3
    for (x1, y1), (x2, y2) in lines:
        assert x1 == pytest.approx(x2)
        assert abs(y1 - y2) == pytest.approx(8)

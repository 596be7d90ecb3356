"""The build guide: made from the drawing, in an order that can be built, on pages that can be read."""

from __future__ import annotations

import copy
import itertools
import math
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from skimwright import kit as kit_room
from skimwright.base import InputError, MissingError
from skimwright.base.drawing import Path as Line
from skimwright.base.drawing import Words
from skimwright.base.lettering import text_width
from skimwright.boat import part_clashes, read_kit_table
from skimwright.kit import guide
from skimwright.kit.guide.cards import card_outline

ROOT = Path(kit_room.__file__).parents[1]
ENGLISH = tomllib.loads((ROOT / "kit" / "words" / "en.toml").read_text("utf8"))
KITS = ("fold-50", "fold-62", "fold-74")
GROUPS = tuple(guide.GRADE)


def kit_table(stem: str = "fold-62") -> dict:
    return tomllib.loads((ROOT / "demo_season" / "kits" / f"{stem}.toml").read_text("utf8"))


@pytest.fixture(scope="session")
def words() -> guide.GuideWords:
    return guide.GuideWords(table=ENGLISH, first=ENGLISH)


@pytest.fixture(scope="session")
def built(kits) -> dict[str, guide.Guide]:
    return {stem: guide.build_guide(kits[stem]) for stem in KITS}


@pytest.fixture(scope="session")
def pages(built, words) -> tuple:
    return guide.guide_pages(built["fold-62"], words)


def own_box() -> dict:
    """A floor, a lid and four sides, drawn by hand: 400 x 200 x 60 mm."""
    lying, end = [[0, 0], [400, 0], [400, 200], [0, 200]], [[0, 0], [50, 0], [50, 200], [0, 200]]
    side = [[0, 0], [390, 0], [390, 50], [0, 50]]
    parts = [
        {"name": "BOTTOM", "outline_mm": lying, "origin_mm": [0, -100, 0]},
        {"name": "LID", "outline_mm": lying, "origin_mm": [0, -100, 55]},
        {"name": "BOW", "outline_mm": end, "origin_mm": [5, -100, 5], "turn_deg": [0, -90, 0]},
        {"name": "STERN", "outline_mm": end, "origin_mm": [400, -100, 5], "turn_deg": [0, -90, 0]},
        {"name": "PORT", "outline_mm": side, "origin_mm": [5, -95, 5], "turn_deg": [90, 0, 0]},
        {"name": "STARBOARD", "outline_mm": side, "origin_mm": [5, 100, 5], "turn_deg": [90, 0, 0]},
    ]
    board = {"thickness_mm": 5, "areal_density_g_m2": 450, "grain": "none"}
    return {
        "name": "Plain box",
        "form": "own",
        "board": board,
        "thrust": {"place_mm": [350, 0, 80]},
        "parts": parts,
    }


# ---------------------------------------------------------------- order


@pytest.mark.parametrize("stem", KITS)
def test_every_part_is_placed_once_and_every_joint_is_glued_once(built, kits, stem: str) -> None:
    steps = built[stem].steps
    placed = [name for step in steps for name in step.parts]
    assert sorted(placed) == sorted(part.name for part in kits[stem].parts)
    glued = [joint for step in steps for joint in step.joints]
    assert len(glued) == len(set(glued)) == len(kits[stem].joints)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))


@pytest.mark.parametrize("stem", KITS)
def test_no_step_needs_a_part_that_is_not_there_yet(built, stem: str) -> None:
    for step in built[stem].steps:
        there = set(built[stem].before(step.number)) | set(step.parts)
        for joint in step.joints:
            assert {joint.part_a, joint.part_b} <= there
            assert {joint.part_a, joint.part_b} & set(step.parts)
        names = [name for name in step.parts if name != "DECK-1"]
        for pair in itertools.combinations(names, 2):  # parts of one picture wait for none of the others
            assert not any({joint.part_a, joint.part_b} == set(pair) for joint in step.joints)


def test_sub_assemblies_stay_together_and_the_boat_is_turned_once(built) -> None:
    steps = built["fold-62"].steps
    order = [key for key, _ in itertools.groupby(step.group for step in steps)]
    assert order == ["hull", "sponson-left", "sponson-right", "fins", "cradle", "fins"]
    assert [step.number for step in steps if step.turn_over] == [15]
    assert [step.deck_down for step in steps] == [True] * 14 + [False] * 2


@pytest.mark.parametrize("stem", KITS)
def test_parts_put_together_as_the_guide_says_are_the_boat(built, kits, stem: str) -> None:
    ends = {
        name: place for step in built[stem].steps for name, place in zip(step.parts, step.places, strict=True)
    }
    assert {part.name: part.place for part in kits[stem].parts} == ends


@pytest.mark.slow
@pytest.mark.parametrize("away", [0.002, 0.015, 0.06])
def test_each_part_comes_to_its_place_without_going_through_another(built, kits, away: float) -> None:
    kit, book = kits["fold-62"], built["fold-62"]
    for step in book.steps:
        there = [kit.part(name) for name in book.before(step.number)]
        slid = [(step.parts[-1], way) for way in step.slides]
        for name, pull in [*zip(step.parts, step.pulls, strict=True), *slid]:
            part = kit.part(name)
            origin = tuple(float(v) for v in np.array(part.place.origin) + away * np.array(pull))
            coming = replace(part, place=replace(part.place, origin=origin))
            assert not part_clashes([coming, *there]), (step.number, name)


def test_parts_that_wait_for_each_other_are_named(kits) -> None:
    kit = kits["fold-62"]
    back = replace(kit.joints[0], part_a="DECK-1", part_b="RIB-1")
    with pytest.raises(InputError, match=r"wait for one another.*DECK-1"):
        guide.build_guide(replace(kit, joints=(*kit.joints, back)))


def test_a_boat_of_own_parts_has_a_guide_too(words) -> None:
    kit = read_kit_table(own_box(), file="box.toml")
    book = guide.build_guide(kit)
    placed = sorted(name for step in book.steps for name in step.parts)
    assert placed == ["BOTTOM", "BOW", "LID", "PORT", "STARBOARD", "STERN"]
    assert [len(step.parts) for step in book.steps] == [
        1
    ] * 6  # nothing says that two of them belong together
    assert book.steps[-1].show_me
    assert "mark" not in " ".join(guide.step_words(book, book.steps[0], words).lines)  # it has no sides
    assert len(guide.guide_pages(book, words)) >= 4


# ---------------------------------------------------------------- numbers


def test_a_longer_pod_changes_numbers_on_the_page_and_the_edition(words) -> None:
    table = kit_table()
    before = guide.build_guide(read_kit_table(table, file="a.toml"))
    table["design"]["pod_rear_mm"] = 300
    after = guide.build_guide(read_kit_table(table, file="a.toml"))
    said = [" ".join(guide.step_words(book, book.steps[5], words).lines) for book in (before, after)]
    assert "POD-3\u00a0275\u00a0mm" in said[0]
    assert "POD-3\u00a0295\u00a0mm" in said[1]
    assert before.kit.edition != after.kit.edition
    assert before.steps[6].glue_length < after.steps[6].glue_length


def test_glue_adds_up_to_the_kits_own_and_follows_the_joints(built, kits) -> None:
    book = built["fold-62"]
    assert book.glue_mass == pytest.approx(0.018)
    whole = sum(math.dist(j.start, j.end) for j in kits["fold-62"].joints)
    for step in book.steps:
        assert step.glue_mass / 0.018 == pytest.approx(step.glue_length / whole)


def test_there_are_five_show_me_stops_before_what_cannot_be_mended(built) -> None:
    for stem in KITS:
        stops = [step for step in built[stem].steps if step.show_me]
        assert [step.check for step in stops] == ["square", "level", "pad-angle", "pad-angle", "straight"]
    measures = [step.measure for step in built["fold-62"].steps if step.show_me]
    assert measures[0] == pytest.approx(0.160)  # hull width, demo kit
    assert measures[2] == pytest.approx(math.radians(4.0))
    assert measures[4] == pytest.approx(0.032)


def test_younger_crews_get_more_time(kits) -> None:
    times = [guide.build_guide(kits["fold-62"], group=group).time for group in GROUPS]
    assert times == sorted(times, reverse=True)
    assert len(set(times)) == 4


def test_angle_cards_have_the_kits_own_angles(kits) -> None:
    angles = {angle.what: angle for angle in guide.build_guide(kits["fold-62"]).angles}
    for what, degrees in (("pad", 4.0), ("floor", 3.41)):  # demo kit: pad 4.0 deg, floor 3.41 deg
        (x0, y0), _, (x1, y1), (x2, y2) = card_outline(angles[what])
        assert math.degrees(math.atan2(y2 - y1, x1 - x2)) == pytest.approx(degrees, abs=0.005)
        assert (x0, y0, x2) == (0.0, 0.0, 0.0)


def test_the_inspection_has_twelve_points_and_younger_hands_more_room(kits) -> None:
    rows = {group: guide.inspection_rows(kits["fold-62"], group) for group in GROUPS}
    assert len(rows["Rush"]) == 12
    drawn = {row.key: row.drawn for row in rows["Rush"]}
    assert drawn["length"] == pytest.approx(620)
    assert drawn["beam"] == pytest.approx(280)
    assert drawn["pad_left"] == pytest.approx(4.0)
    for young, old in itertools.pairwise(GROUPS):
        assert all(a.allowed >= b.allowed for a, b in zip(rows[young], rows[old], strict=True))
    assert rows["Cress"] != rows["Willow"]


# ---------------------------------------------------------------- pictures


@pytest.mark.parametrize("stem", KITS)
def test_the_new_part_and_every_joint_can_be_seen(built, stem: str) -> None:
    said = {"bow": "BOW", "title": "A step"}
    for step in built[stem].steps:
        picture = guide.step_picture(built[stem], step, width=182, height=115, said=said)
        assert picture.part_seen >= 0.5, (step.number, picture.part_seen)
        assert min(guide.joints_shown(built[stem], step, picture)) >= 0.1, step.number
        heavy = [mark for mark in picture.drawing.marks if isinstance(mark, Line) and mark.width == 0.8]
        dashed = [
            mark for mark in picture.drawing.marks if isinstance(mark, Line) and mark.dashes == (2.6, 1.5)
        ]
        assert heavy
        assert dashed
        written = [mark.text for mark in picture.drawing.marks if isinstance(mark, Words)]
        assert {name.split()[0] for name in step.parts} | {"BOW"} == set(written)


def test_a_drawing_stays_inside_its_paper(built) -> None:
    said = {"bow": "BOW", "title": "A step"}
    for step in built["fold-62"].steps:
        drawing = guide.step_picture(built["fold-62"], step, width=120, height=80, said=said).drawing
        for mark in drawing.marks:
            for x, y in mark.points if isinstance(mark, Line) else [mark.at]:
                assert -1 <= x <= 121, step.number
                assert -1 <= y <= 81, step.number


# ---------------------------------------------------------------- words


@pytest.mark.parametrize("group", GROUPS)
def test_the_text_reads_at_or_under_the_groups_grade(kits, words, group: str) -> None:
    book = guide.build_guide(kits["fold-62"], group=group)
    text = [line for step in book.steps for line in guide.step_words(book, step, words).sentences]
    assert len(" ".join(text).split()) >= 100
    assert guide.reading_level(book, words) <= guide.GRADE[group]


def test_a_harder_sentence_raises_the_measured_level(built, words) -> None:
    table = copy.deepcopy(ENGLISH)
    table["say"]["dry"] = (
        "Investigate compatibility preliminarily, establishing dimensional correspondence throughout."
    )
    harder = guide.GuideWords(table=table, first=ENGLISH)
    book = built["fold-62"]
    assert guide.reading_level(book, harder) > guide.reading_level(book, words) + 1


def test_every_sentence_is_filled_in_and_ends_properly(kits, words) -> None:
    for group in GROUPS:
        book = guide.build_guide(kits["fold-62"], group=group)
        for step in book.steps:
            for line in guide.step_words(book, step, words).sentences:
                assert "{" not in line
                assert line.rstrip()[-1] in ".?!", line


def test_where_an_adult_glues_the_page_says_so(kits, words) -> None:
    for group, says in (("Cress", True), ("Rush", False)):
        book = guide.build_guide(kits["fold-62"], group=group)
        lines = " ".join(guide.step_words(book, book.steps[1], words).lines)
        assert ("adult" in lines) is says
        assert ("adult" in guide.jobs_line(book.steps[1], words, group=group)) is says


def test_nobody_writes_more_often_than_their_turn(built, words) -> None:
    lines = [guide.jobs_line(step, words, group="Rush") for step in built["fold-62"].steps[:16]]
    for name in "ABCD":
        assert sum(f"{name} writes" in line for line in lines) == 4


def test_a_language_with_gaps_falls_back_on_english_and_lists_them(built) -> None:
    table = copy.deepcopy(ENGLISH)
    del table["check"]["gap"]
    half = guide.GuideWords(table=table, first=ENGLISH)
    book = built["fold-62"]
    assert guide.step_words(book, book.steps[4], half).check == ENGLISH["check"]["gap"]
    assert half.gaps == ["check.gap"]


def test_a_language_without_a_formula_has_no_level(built) -> None:
    table = copy.deepcopy(ENGLISH)
    table["about"]["reading"] = ""
    assert guide.reading_level(built["fold-62"], guide.GuideWords(table=table, first=ENGLISH)) is None


def test_a_fault_in_the_braces_is_one_sentence(built) -> None:
    table = copy.deepcopy(ENGLISH)
    table["check"]["gap"] = "Look {hwere}."
    wrong = guide.GuideWords(table=table, first=ENGLISH)
    with pytest.raises(InputError, match=r"fault in check\.gap: got Look"):
        guide.step_words(built["fold-62"], built["fold-62"].steps[4], wrong)


# ---------------------------------------------------------------- pages


def longer(thing, share: float):
    """Every sentence of a language made longer by a share, its braces kept."""
    if isinstance(thing, dict):
        return {
            key: value if key in ("about", "rows", "names") else longer(value, share)
            for key, value in thing.items()
        }
    if isinstance(thing, list):
        return [longer(item, share) for item in thing]
    return (
        thing + " " + ("xx xxxx " * 200)[: int(len(thing) * share)].strip()
        if isinstance(thing, str)
        else thing
    )


def boxes(page) -> list[tuple[str, float, float, float, float]]:
    found = []
    for mark in page.marks:
        if isinstance(mark, Words) and mark.text.strip(" _"):
            wide = text_width(mark.text, size=mark.size, bold=mark.bold)
            left = mark.at[0] - {"start": 0, "middle": wide / 2, "end": wide}[mark.anchor]
            found.append((mark.text, left, mark.at[1] - mark.size * 0.68, left + wide, mark.at[1]))
    return found


CASES = [
    *itertools.product(KITS, ("a4", "letter"), (False, True), (0.0,)),
    ("fold-62", "a4", False, 0.4),
    ("fold-62", "letter", True, 0.4),
]


@pytest.mark.slow
@pytest.mark.parametrize("stem, paper, large, share", CASES)
def test_words_stay_on_the_page_and_off_each_other(kits, stem: str, paper, large: bool, share: float) -> None:
    words = guide.GuideWords(table=longer(ENGLISH, share) if share else ENGLISH, first=ENGLISH)
    book = guide.build_guide(kits[stem], group="Cress")
    setting = guide.Setting(paper=paper, large_print=large)
    for number, page in enumerate(guide.guide_pages(book, words, setting), start=1):
        written = boxes(page)
        last = share and page.width > page.height  # the cards are made to the millimetre, for short words
        for text, x0, y0, x1, y1 in written:
            assert last or (x0 >= 5 and x1 <= page.width - 5), (number, text)
            assert y0 >= 5, (number, text)
            assert y1 <= page.height - 5, (number, text)
        for a, b in itertools.combinations(written, 2):
            apart = a[3] <= b[1] + 0.3 or b[3] <= a[1] + 0.3 or a[4] <= b[2] + 0.3 or b[4] <= a[2] + 0.3
            assert last or apart, (number, a[0], b[0])


def test_the_edition_stands_on_every_page(pages, kits) -> None:
    for page in pages:
        assert any(kits["fold-62"].edition in mark.text for mark in page.marks if isinstance(mark, Words))


def test_large_print_is_large(kits, words) -> None:
    book = guide.build_guide(kits["fold-62"])
    sizes = {}
    for large in (False, True):
        pages = guide.guide_pages(book, words, guide.Setting(large_print=large))
        found = [m.size for p in pages for m in p.marks if isinstance(m, Words) and m.text.startswith("Try")]
        sizes[large] = min(found)
    assert sizes[False] >= 3.5  # 10 point
    assert sizes[True] >= 5.6  # 16 point, the usual least size of large print


def test_a_missing_ratio_is_said_and_a_given_one_printed(kits, words) -> None:
    book = guide.build_guide(kits["fold-62"])
    for ratio, says in (("", "not set: ask your school"), ("1:4", "1:4")):
        cover = guide.guide_pages(book, words, guide.Setting(supervision=ratio))[0]
        assert says in " ".join(mark.text for mark in cover.marks if isinstance(mark, Words))


# ---------------------------------------------------------------- lost parts


@pytest.mark.parametrize("stem", KITS)
def test_a_part_that_fits_is_reprinted_at_full_size_with_its_nicks(kits, words, stem: str) -> None:
    book = guide.build_guide(kits[stem])
    full = 0
    for part in kits[stem].parts:
        page = guide.reprint_page(book, part.name, words)
        text = " ".join(mark.text for mark in page.marks if isinstance(mark, Words))
        outline = next(mark for mark in page.marks if isinstance(mark, Line) and mark.closed)
        drawn = sorted(math.dist(a, b) for a, b in itertools.pairwise((*outline.points, outline.points[0])))
        real = sorted(1e3 * math.dist(a, b) for a, b in itertools.pairwise((*part.outline, part.outline[0])))
        if "Drawn full size" in text:
            full += 1
            assert drawn == pytest.approx(real, abs=1e-3)
            assert all(13.9 <= x <= page.width - 13.9 and y <= page.height - 28 for x, y in outline.points)
            nicks = [
                mark
                for mark in page.marks
                if isinstance(mark, Line)
                and not mark.closed
                and math.dist(*mark.points) == pytest.approx(4.0, abs=1e-3)
            ]
            assert len(nicks) == part.nicks
        else:
            assert "too large" in text
            assert max(real) > 200
    assert full >= 15


def test_a_word_means_both_sides_and_an_unknown_one_lists_what_there_is(kits) -> None:
    kit = kits["fold-62"]
    assert [part.name for part in guide.parts_named(kit, "wall-1")] == ["WALL-1 left", "WALL-1 right"]
    assert [part.name for part in guide.parts_named(kit, "WALL-1  right")] == ["WALL-1 right"]
    with pytest.raises(MissingError, match=r'got "WALL-2"; allowed: DECK-1, RIB-1') as caught:
        guide.parts_named(kit, "WALL-2")
    assert str(caught.value).count("\n") == 0


def test_nicks_point_into_the_part_and_dots_lie_inside_it(kits) -> None:
    import shapely

    for part in kits["fold-62"].parts:
        shape = shapely.Polygon(part.outline)
        marks = guide.part_marks(part)
        assert len(marks.nicks) == part.nicks
        assert len(marks.dots) == part.order
        for foot, tip in marks.nicks:
            assert shape.exterior.distance(shapely.Point(foot)) < 1e-9
            assert shape.contains(shapely.Point(tip))
        assert all(shape.contains(shapely.Point(dot)) for dot in marks.dots)


def test_the_widths_of_letters_are_those_of_the_font_files() -> None:
    from fontTools.ttLib import TTFont

    for weight in ("Regular", "Bold"):
        font = TTFont(ROOT / "paper" / "fonts" / f"Andika-{weight}.ttf")
        names, widths = font.getBestCmap(), font["hmtx"]
        for code in range(32, 127):
            units = widths[names[code]][0] / font["head"].unitsPerEm
            assert text_width(chr(code), size=1.0, bold=weight == "Bold") == pytest.approx(units, abs=1e-9)


def test_the_mend_card_has_three_pictures_nine_minutes_and_dries_first(pages, words) -> None:
    """Capability N1: tape, seal, square; at most nine minutes; a wet board is dried and weighed first."""
    (card,) = [page for page in pages if words.say("mend.title") in page.title]
    said = [mark.text for mark in card.marks if isinstance(mark, Words)]
    text = " ".join(said)
    assert (
        text.index("Dry it first. Then weigh it.")
        < text.index("Tape.")
        < text.index("Seal.")
        < text.index("Square.")
    )
    minutes = [int(one.split()[0]) for one in said if one.endswith(" min")]
    assert len(minutes) == 3
    assert sum(minutes) <= 9

"""Heat sheets typed back: the notation, gaps, doubles, and the same standings as from the phones."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from day_play import Play, later
from skimwright import desk
from skimwright.base import InputError
from skimwright.base.drawing import Words
from skimwright.desk import (
    blank_lines,
    day_papers,
    day_points,
    points_tables,
    read_results,
    read_typed,
    typed_rows,
)
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.regatta import Event, Outcome, replay

POWERBOAT, LOW_POINT = points_tables["powerboat"], points_tables["low-point"]


@dataclass(frozen=True)
class Seat:
    number: int
    group: str
    lanes: tuple[int | None, ...]


RUSH = Seat(1, "Rush", (10, 12, 7, 8, 9, 11))
REED = Seat(2, "Reed", (18, None, 16, 17, 13, 15))


def rows(*lines: str, head: str = "heat,lanes,reason") -> Rows:
    columns = tuple(head.split(","))
    made = []
    for number, line in enumerate(lines, 2):
        cells = [*line.split(","), *[""] * len(columns)]
        made.append(Row(number=number, cells=dict(zip(columns, cells, strict=False))))
    return Rows(file="type-back.csv", columns=columns, rows=tuple(made))


def outcomes(line: str, seat: Seat = RUSH, head: str = "heat,lanes,reason") -> dict[int, str]:
    (typed,) = read_typed(rows(f"{seat.number},{line}", head=head), [seat]).heats
    return {boat: outcome.words() for boat, outcome in typed.event.outcomes.items()}


def refusal(*lines: str, head: str = "heat,lanes,reason") -> str:
    with pytest.raises(InputError) as caught:
        read_typed(rows(*lines, head=head), [RUSH, REED])
    return str(caught.value)


# the notation


@pytest.mark.parametrize("typed", ["315246", "3 1 5 2 4 6", "3,1,5,2,4,6".replace(",", " "), " 31 52 46 "])
def test_lanes_stand_in_their_order_with_or_without_spaces(typed):
    assert outcomes(typed) == {7: "1", 10: "2", 9: "3", 12: "4", 8: "5", 11: "6"}


def test_boats_that_come_together_share_a_place_and_the_next_is_left_out():
    assert outcomes("31=5246") == {7: "1", 10: "2=", 9: "2=", 12: "4", 8: "5", 11: "6"}
    assert outcomes("3=1=5 246")[12] == "4"


def test_who_has_no_place_says_why():
    found = outcomes("3152-6/4")
    assert (found[11], found[8]) == ("not started", "not finished")
    assert outcomes("31524x6,cut lane 5 off")[11] == "disqualified"
    assert outcomes("31524X6,cut lane 5 off")[11] == "disqualified"


def test_a_torn_sheet_with_lane_3_unreadable_is_kept_as_a_gap():
    """The bad-data pack's torn heat sheet: the place that cannot be read is skipped, its boat is not guessed."""
    found = outcomes("1?5246,torn")
    assert found == {10: "1", 9: "3", 12: "4", 8: "5", 11: "6", 7: "not readable"}
    typed = read_typed(rows("1,1?5246,torn"), [RUSH])
    assert typed.heats[0].says == "a gap"
    assert typed.heats[0].gaps == (7,)
    assert [finding.code for finding in typed.findings] == ["typed-gap"]
    state = replay(typed.events).heats[1]
    assert not state.counts
    assert "the only place left is 2" in state.waits_for  # told, not filled in


def test_a_lane_that_is_not_named_is_a_gap_not_a_boat_that_failed():
    found = outcomes("31524")
    assert found[11] == "not readable"
    assert not replay(read_typed(rows("1,31524"), [RUSH]).events).heats[1].counts


def test_an_empty_lane_is_nobodys_gap():
    assert outcomes("13456", REED) == {18: "1", 16: "2", 17: "3", 13: "4", 15: "5"}


def test_boat_numbers_stand_apart():
    head = "heat,boats,reason"
    assert outcomes("7 10=9 12 8 -11", head=head) == {
        7: "1", 10: "2=", 9: "2=", 12: "4", 8: "5", 11: "not started",
    }  # fmt: skip


def test_ten_lanes_stand_apart_too():
    wide = Seat(1, "Open", tuple(range(21, 31)))
    assert outcomes("10 1 2 3 4 5 6 7 8 9", wide)[30] == "1"


def test_a_blank_line_is_a_heat_not_raced():
    typed = read_typed(rows("1,315246", "2,"), [RUSH, REED])
    assert [heat.heat for heat in typed.heats] == [1]
    assert typed.not_raced == (2,)


# refusals


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (("1,3152463",), "lane 3 stands there twice"),
        (("1,3=3 15246",), "lane 3 stands there twice"),
        (("1,71",), "nobody is in lane 7 of heat 1"),
        (("2,13256",), "nobody is in lane 2 of heat 2"),
        (("9,315246",), "no heat of the day's plan has this number"),
        (("1,31a",), '"a" cannot stand there'),
        (("1,=31",), '"=3" cannot stand there'),
        (("1,3-6=1",), '"=1" cannot stand there'),
        (("1,3-?",), '"-?" cannot stand there'),
        (("1,3-=1",), '"-=1" cannot stand there'),
        (("1,315-",), '"-" cannot stand there'),
        (("1,31=",), '"=" cannot stand there'),
        (("1,2012-03-04",), "a spreadsheet seems to have made a date of this"),
        (("1,03-Dec",), "a spreadsheet seems to have made a date of this"),
        (("1,31524x6",), "boat 11 is disqualified without a reason"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(lines, said):
    text = refusal(*lines)
    assert said in text
    assert "row 2" in text


def test_every_line_that_cannot_be_read_is_named_at_once_and_nothing_is_taken():
    text = refusal("1,315246", "2,12", "1,77", "9,1")
    assert "row 3" in text
    assert "Look at rows 4, 5 too; nothing was taken in." in text


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("heat,lane,reason", 'Did you mean "lanes"?'),
        ("heat,lanes,boats", "the heading does not say what is typed"),
        ("lanes,reason", "the heading does not say what is typed"),
    ],
)
def test_a_heading_that_does_not_say_what_is_typed_is_refused(head, said):
    assert said in refusal("1,2,3", head=head)


def test_a_boat_let_in_by_hand_is_asked_about():
    assert "boat 31 is not in heat 1" in refusal("1,31 7", head="heat,boats,reason")


# beside what is known


def phone(name: str, order: list[int]) -> Event:
    places = {boat: Outcome(place=place) for place, boat in enumerate(order, 1)}
    return Event(kind="finish", heat=1, group="Rush", outcomes=places, phone=name)


ORDER = [7, 10, 9, 12, 8, 11]  # lanes 3 1 5 2 4 6


def test_paper_that_says_what_both_phones_said_adds_nothing():
    log = [phone("finish A", ORDER), phone("finish B", ORDER)]
    typed = read_typed(rows("1,315246"), [RUSH], log=log)
    assert [heat.says for heat in typed.heats] == ["the same"]
    assert typed.events == ()
    assert read_typed(rows("1,3?5246,torn"), [RUSH], log=log).heats[0].says == "the same"


def test_paper_that_agrees_with_one_phone_settles_the_heat():
    log = [phone("finish A", ORDER)]
    typed = read_typed(rows("1,315246"), [RUSH], log=log)
    assert typed.heats[0].says == "new"
    assert replay([*log, *typed.events]).heats[1].counts


def test_paper_and_phones_that_differ_are_shown_side_by_side_and_the_phones_stand():
    log = [phone("finish A", ORDER), phone("finish B", ORDER)]
    typed = read_typed(rows("1,135246"), [RUSH], log=log)
    (heat,) = typed.heats
    assert heat.says == "not alike"
    assert heat.beside.startswith("finish A: 07 1, 10 2")
    assert "paper: 10 1, 07 2" in heat.beside
    state = replay([*log, *typed.events]).heats[1]
    assert state.outcomes[7].place == 1
    assert "paper" in state.doubts[0]


def test_a_heat_typed_twice_is_shown_side_by_side_and_one_is_kept():
    typed = read_typed(rows("1,315246", "1,135246"), [RUSH])
    assert [heat.says for heat in typed.heats] == ["new", "not alike"]
    assert "paper: 07 1" in typed.heats[1].beside
    assert "paper: 10 1" in typed.heats[1].beside
    state = replay(typed.events).heats[1]
    assert state.counts
    assert state.outcomes[7].place == 1
    assert len(state.doubts) == 1


def test_a_heat_typed_twice_alike_is_taken_once():
    typed = read_typed(rows("1,315246", "1,315246"), [RUSH])
    assert [heat.says for heat in typed.heats] == ["new", "the same"]
    assert len(typed.events) == 1


# round trip


def as_results(written: tuple[dict[str, str], ...]) -> Rows:
    columns = ("time", "phone", "who", "event", "group", "heat", "boat", "new", "reason")
    made = [Row(number=n, cells=row) for n, row in enumerate(written, 2)]
    return Rows(file="results.csv", columns=columns, rows=tuple(made))


LANES = st.permutations(range(1, 7))


@given(
    orders=st.lists(LANES, min_size=2, max_size=2),
    out=st.lists(st.sampled_from(["", "-", "/", "x"]), min_size=12, max_size=12),
    tied=st.lists(st.booleans(), min_size=12, max_size=12),
    table=st.sampled_from([POWERBOAT, LOW_POINT]),
)
def test_paper_typed_back_gives_the_standings_of_the_phones(orders, out, tied, table):
    """The same two heats, once reported by two phones, once written on paper and typed: one points table."""
    seats = [Seat(1, "Rush", (10, 12, 7, 8, 9, 11)), Seat(2, "Rush", (7, 8, 9, 10, 11, 12))]
    log, lines = [], []
    for seat, lanes in zip(seats, orders, strict=True):
        marks = {lane: out[6 * (seat.number - 1) + lane - 1] for lane in lanes}
        joined = [tied[6 * (seat.number - 1) + lane - 1] for lane in lanes]
        placed = [lane for lane in lanes if not marks[lane]]
        places: dict[int, Outcome] = {}
        text = ""
        groups: list[list[int]] = []
        for n, lane in enumerate(placed):
            if groups and joined[n]:
                groups[-1].append(lane)
                text += f"={lane}"
            else:
                groups.append([lane])
                text += str(lane)
        at = 1
        for group in groups:
            for lane in group:
                places[seat.lanes[lane - 1]] = Outcome(place=at, is_tie=len(group) > 1)
            at += len(group)
        for lane in lanes:
            if marks[lane]:
                text += f"{marks[lane]}{lane}"
                code = {"-": "DNS", "/": "DNF", "x": "DSQ"}[marks[lane]]
                places[seat.lanes[lane - 1]] = Outcome(code=code)
        lines.append(f"{seat.number},{text},seen by the marshal")
        log += [
            Event(kind="finish", heat=seat.number, group="Rush", outcomes=places, phone=name, reason="seen")
            for name in ("finish A", "finish B")
        ]
    typed = read_typed(rows(*lines), seats)
    events = read_results(as_results(typed_rows(typed)))
    on_paper, on_phones = (day_points(each, table).groups[0].standings for each in (events, log))
    assert on_paper.rows == on_phones.rows


def test_the_file_to_type_into_needs_nothing_but_the_order():
    text = blank_lines([RUSH, REED], {1: "10:15"})
    assert text.splitlines() == ["heat,lanes,group,planned,reason", "1,,Rush,10:15,", "2,,Reed,,"]


# how long it takes


def test_sixteen_heats_are_typed_in_less_than_four_minutes_even_slowly():
    """Keystrokes counted from the file; rates second-hand: Card, Moran and Newell 1983, the table of operators as
    quoted on a university page on evaluating interfaces: worst typist 1.20 s a key, complex codes 0.75 s, and 1.35 s to
    get ready before each line.  The file comes with its heats; only the order and Enter are typed."""
    strokes = 16 * (len("315246") + len("\n"))
    assert strokes == 112
    codes = strokes * 0.75 + 16 * 1.35
    worst = strokes * 1.20 + 16 * 1.35
    assert codes == pytest.approx(105.6)
    assert worst == pytest.approx(156.0)
    assert worst < 240
    spaced = 16 * (len("3 1 5 2 4 6") + 1) * 1.0 + 16 * 1.35  # with spaces, a key a second
    assert spaced < 240


# on a day in progress


def test_a_boat_that_withdrew_is_no_gap_and_one_not_started_need_not_be_typed():
    play = Play()
    heat = play.read().heat(1)
    gone, late = heat.boats[1], heat.boats[4]
    play.do(desk.withdraw_rows, gone, who="director", why="deck torn")
    play.do(desk.call_rows, 1)
    play.at = later(play.at, minutes=2)
    play.do(desk.call_rows, 1)
    play.do(desk.missing_rows, 1, late, who="director", choice="not started", why="not at the ramp")
    day = play.read()
    lanes = [n for n, boat in enumerate(day.heat(1).lanes, 1) if boat in day.heat(1).boats]
    typed = desk.read_sheets(rows(f"1,{''.join(map(str, lanes))}"), day)
    (one,) = typed.heats
    assert one.says == "new"
    assert one.gaps == ()
    assert gone not in one.event.outcomes
    assert one.event.outcomes[late].code == "DNS"


def test_paper_says_of_a_boat_what_the_steward_says():
    play = Play(is_ticked=False)
    printed = day_papers.paper_day(play.read(), season="Brackenfold")
    assert not any(boat.unfit for heat in printed.heats for boat in heat.lanes if boat)
    boats = sorted(play.read().names)
    play.do(desk.fit_rows, boats, who="pit steward")
    play.do(desk.mend_rows, boats[0], who="pit steward", why="hit the bank")
    after = day_papers.paper_day(play.read(), season="Brackenfold")
    unfit = {boat.boat for heat in after.heats for boat in heat.lanes if boat and boat.unfit}
    assert unfit == {boats[0]}
    cards = day_papers.crew_cards(after, after.heats[:4])
    shown = {mark.text for card in cards for mark in card.marks if isinstance(mark, Words)}
    assert play.read().names[boats[0]] not in shown


@given(text=st.text(alphabet="0123456789=-/x? ,ab\u00b2", max_size=14), is_boats=st.booleans())
def test_any_line_gives_a_result_for_every_boat_or_one_sentence(text, is_boats):
    head = "heat,boats,reason" if is_boats else "heat,lanes,reason"
    line = Row(number=2, cells={"heat": "1", head.split(",")[1]: text.strip(), "reason": "seen"})
    file = Rows(file="type-back.csv", columns=tuple(head.split(",")), rows=(line,))
    said, heats = "", ()
    try:
        heats = read_typed(file, [RUSH]).heats
    except InputError as error:
        said = str(error)
    assert "\n" not in said
    assert not said or "row 2" in said
    for heat in heats:
        assert set(heat.event.outcomes) == set(RUSH.lanes)
        places = sorted(o.place for o in heat.event.outcomes.values() if o.place is not None)
        assert all(1 <= place <= 14 for place in places)
        shared = [o.place for o in heat.event.outcomes.values() if o.place is not None and not o.is_tie]
        assert len(shared) == len(set(shared))


def test_striking_out_by_hand_leaves_heats_of_the_sizes_the_program_makes():
    """The pack's rule for one withdrawal from heats that are equal: nobody else moves."""
    play = Play()
    before = {heat.number: heat for heat in play.read().heats if heat.group == "Open"}
    gone = before[17].boats[0]
    play.do(desk.withdraw_rows, gone, who="director", why="deck torn")
    for heat in play.read().heats:
        if heat.group == "Open":
            assert len(heat.boats) == len([boat for boat in before[heat.number].boats if boat != gone])

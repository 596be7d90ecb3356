"""The race day at a moment, and the acts people do: checked, then rows; refused in one sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from day_play import Play, later, moment
from skimwright import desk
from skimwright.base import ConflictError, InputError, MissingError

ORDER = {5: "1", 3: "2", 6: "3", 2: "4", 1: "5", 4: "6"}


@pytest.fixture
def play() -> Play:
    return Play()


def codes(day: desk.RaceDay) -> list[str]:
    return [finding.code for finding in day.findings]


def test_a_day_on_which_nothing_has_happened_has_25_heats_to_come(play: Play) -> None:
    day = play.read()
    assert day.ahead == tuple(range(1, 26))
    assert {heat.state for heat in day.heats} == {"to come"}
    assert desk.clock(day.expected.finish or 0) == "14:36"
    assert day.label(7) == "07 Gravel"
    assert codes(day) == []


def test_a_heat_goes_from_called_to_done_with_two_phones_that_agree(play: Play) -> None:
    assert play.do(desk.call_rows, 1).heat(1).state == "called"
    assert play.do(desk.call_rows, 1).heat(1).state == "called again"
    assert play.do(desk.start_rows, 1).on_water == (1,)
    assert play.do(desk.finish_rows, 1, ORDER, phone="finish A").heat(1).state == "waits"
    day = play.do(desk.finish_rows, 1, ORDER, phone="finish B")
    assert day.heat(1).counts
    assert day.heat(1).outcomes[5].place == 1
    assert day.ahead[0] == 2


def test_phones_that_differ_wait_for_the_marshal_and_nothing_is_averaged(play: Play) -> None:
    play.do(desk.finish_rows, 1, ORDER, phone="finish A")
    day = play.do(desk.finish_rows, 1, ORDER | {3: "1", 5: "2"}, phone="finish B")
    assert day.heat(1).waits_for == "the marshal: the finish phones differ"
    assert not day.heat(1).outcomes
    day = play.do(desk.finish_rows, 1, ORDER, kind="decision", why="film", who="marshal")
    assert day.heat(1).counts


def test_the_marshal_is_asked_when_one_phone_is_alone_for_a_minute(play: Play) -> None:
    play.at = moment("10:18:00")
    play.do(desk.finish_rows, 1, ORDER, phone="finish A")
    assert codes(play.read(moment("10:18:59"))) == [], "a minute is given to the other phone"
    asked = [f for f in play.read(moment("10:19:00")).findings if f.code == "one-phone"]
    assert asked[0].what == "Only finish A has reported it, 60 s ago."


def test_the_same_key_sent_twice_is_counted_once_and_never_for_something_else(play: Play) -> None:
    for _ in range(2):
        play.do(desk.finish_rows, 1, ORDER, phone="finish A", key="a-1")
    assert sum(row["event"] == "finish" for row in play.rows) == 6
    with pytest.raises(ConflictError, match="key was used before"):
        play.do(desk.finish_rows, 1, ORDER | {3: "1", 5: "2"}, phone="finish A", key="a-1")
    # two programs may both have added it: the log then holds it twice, and it counts once
    play.rows += [row for row in play.rows if row["key"] == "a-1"]
    assert len(play.read().heat(1).reports) == 1


def test_a_phone_that_says_something_else_later_is_refused(play: Play) -> None:
    play.do(desk.finish_rows, 1, ORDER, phone="finish A")
    with pytest.raises(ConflictError, match="finish A has reported heat 1 already, otherwise"):
        play.do(desk.finish_rows, 1, ORDER | {3: "1", 5: "2"}, phone="finish A")


@pytest.mark.parametrize(
    "order, words",
    [
        (ORDER | {31: "7"}, "boat 31 did not race in heat 1: got a boat that is in no heat"),
        (ORDER | {7: "7"}, "boat 7 did not race in heat 1: got a boat of heats 2"),
        ({b: p for b, p in ORDER.items() if b != 4}, "what did 04 do in heat 1"),
        (ORDER | {4: "5"}, "place 5 is given to 01, 04"),
        (ORDER | {4: "sixth"}, "neither a place nor a word"),
        (ORDER | {4: "disqualified"}, "without a reason"),
    ],
)
def test_a_report_that_cannot_be_is_asked_about(play: Play, order: dict[int, str], words: str) -> None:
    with pytest.raises(InputError) as told:
        play.do(desk.finish_rows, 1, order, phone="finish A")
    assert words in told.value.sentence()


def test_no_call_while_anybody_holds_and_two_holds_need_two_clears(play: Play) -> None:
    play.hold("10:05", "boat crew", "hold", "line in the water")
    play.hold("10:06", "marshal", "hold")
    with pytest.raises(ConflictError, match="All 2 must clear"):
        play.do(desk.call_rows, 1)
    assert play.read().expected.says == "No estimate while held."
    play.hold("10:07", "boat crew", "clear")
    assert play.read().word == "hold"
    play.hold("10:08", "marshal", "clear")
    assert play.do(desk.call_rows, 1).heat(1).calls == 1


def test_thunder_holds_thirty_minutes_from_the_last_and_then_lets_go(play: Play) -> None:
    play.hold("14:31", "safety officer", "thunder")
    play.hold("14:36", "safety officer", "thunder")
    assert desk.clock(play.read(moment("14:40")).not_before or 0) == "15:06"
    assert play.read(moment("15:05")).word == "hold"
    assert play.read(moment("15:06")).word == "go"


def test_nothing_runs_before_the_water_is_opened_or_with_a_broken_log_of_holds() -> None:
    with pytest.raises(ConflictError, match="has not opened the water"):
        Play(is_open=False).do(desk.call_rows, 1)
    broken = Play()
    broken.holds[1] = ["this morning", "safety officer", "open", ""]
    assert broken.read().word == "hold"
    assert codes(broken.read()) == ["holds-unread"]


def test_a_hold_written_on_paper_stops_calls_too(play: Play) -> None:
    play.rows.append({"event": "hold", "who": "marshal", "reason": "rope in the water"})
    with pytest.raises(ConflictError, match="rope in the water"):
        play.do(desk.call_rows, 1)
    play.rows.append({"event": "clear", "who": "marshal"})
    assert play.do(desk.call_rows, 1).heat(1).calls == 1


def test_an_unticked_boat_is_not_called_unless_the_director_says_why() -> None:
    play = Play(is_ticked=False)
    play.do(desk.fit_rows, [1, 2, 3, 4, 5], who="pit steward")
    assert play.read().heat(1).unticked == (6,)
    with pytest.raises(ConflictError, match="boat 06 Little Drum has no tick: got not ticked yet"):
        play.do(desk.call_rows, 1)
    with pytest.raises(InputError, match="without a reason"):
        play.do(desk.allow_rows, 1, 6, who="director", why=" ")
    assert play.do(desk.allow_rows, 1, 6, who="director", why="ticked on paper").heat(1).allowed == (6,)
    assert play.do(desk.call_rows, 1).heat(1).calls == 1


def test_a_crash_takes_the_tick_away_until_it_is_weighed_or_marked(play: Play) -> None:
    assert play.do(desk.mend_rows, 6, why="crash").heat(1).unticked == (6,)
    with pytest.raises(ConflictError, match="must be weighed first"):
        play.do(desk.fit_rows, [6])
    marked = Play()
    marked.do(desk.mend_rows, 6, why="crash")
    assert marked.do(desk.fit_rows, [6], is_unweighed=True).heat(1).unweighed == (6,)
    day = play.do(desk.weighed_rows, 6, mass=0.1655, is_fit=True)
    assert (day.heat(1).unticked, day.heat(1).unweighed, day.fitness[6].mass) == ((), (), "165.5 g")


def test_a_crew_missing_at_the_second_call_is_the_directors_choice(play: Play) -> None:
    play.do(desk.call_rows, 1)
    with pytest.raises(ConflictError, match="called once"):
        play.do(desk.missing_rows, 1, 4, choice="not started")
    play.do(desk.call_rows, 1)
    day = play.do(desk.missing_rows, 1, 4)
    assert "crew-missing" in codes(day)
    with pytest.raises(ConflictError, match="director has not chosen"):
        play.do(desk.start_rows, 1)
    day = play.do(desk.missing_rows, 1, 4, choice="not started", who="director")
    assert day.heat(1).out == (4,)
    play.do(desk.start_rows, 1)
    rest = {boat: place for boat, place in ORDER.items() if boat != 4}
    for phone in ("finish A", "finish B"):
        day = play.do(desk.finish_rows, 1, rest, phone=phone)
    assert day.heat(1).outcomes[4].code == "DNS"


def test_skipping_lets_the_next_heat_be_called_and_out_of_turn_needs_a_reason(play: Play) -> None:
    with pytest.raises(ConflictError, match="heat 1 comes before heat 3"):
        play.do(desk.call_rows, 3)
    assert play.do(desk.call_rows, 3, why="the rescue boat of Reed must leave").heat(3).calls == 1
    other = Play()
    other.do(desk.call_rows, 1)
    other.do(desk.call_rows, 1)
    assert other.do(desk.missing_rows, 1, 4, choice="skip", who="director").ahead[:2] == (2, 1)
    assert other.do(desk.call_rows, 2).heat(2).calls == 1


def test_a_withdrawal_redraws_only_heats_to_come_and_says_what_changed(play: Play) -> None:
    play.race(1)
    before = play.read()
    day = play.do(desk.withdraw_rows, 24, why="hull broken")
    assert day.results.gone == {24: 4}
    assert day.timetable.heats[:1] == before.timetable.heats[:1]
    assert all(24 not in heat.boats for heat in day.heats)
    assert [change.now for change in day.changes if change.boat == 24] == [None] * 7
    with pytest.raises(ConflictError, match="withdrawn already"):
        play.do(desk.withdraw_rows, 24, why="again")
    with pytest.raises(MissingError, match="boat 31 is not entered"):
        play.do(desk.withdraw_rows, 31, why="who")


def test_a_withdrawn_boat_in_a_called_heat_stays_on_its_card_as_out(play: Play) -> None:
    play.do(desk.call_rows, 1)
    day = play.do(desk.withdraw_rows, 4, why="unwell")
    assert (day.heat(1).out, 4 in day.heat(1).lanes) == ((4,), True)
    assert all(4 not in heat.lanes for heat in day.heats[1:])


def test_published_lots_stand_when_the_seed_is_changed_afterwards(play: Play) -> None:
    before = play.do(desk.publish_rows, who="director")
    play.day_table["sessions"][1]["seed"] = 7
    day = play.read()
    assert codes(day) == ["seed-changed"]
    assert day.timetable == before.timetable
    assert play.do(desk.publish_rows).findings == day.findings  # nothing new to publish


def test_an_entry_added_after_publishing_is_shown_and_drawn_in_when_said_to_be_late(play: Play) -> None:
    play.do(desk.publish_rows, who="director")
    rows = play.entries.rows
    late = desk.Row(number=99, cells=rows[5].cells | {"boat": "31", "name": "Slow Worm"})
    play.entries = replace(play.entries, rows=(*rows, late))
    assert "lots-differ" in codes(play.read())
    day = play.do(desk.late_rows, 31)
    assert "lots-differ" not in codes(day)
    assert {change.because for change in day.changes} == {"boat 31 came late"}
    assert sum(31 in heat.boats for heat in day.heats) == 4
    assert "session-late" in codes(day), "seven boats need two heats a round, and lunch is not so long"


def test_a_correction_says_what_was_and_marks_the_heat(play: Play) -> None:
    play.race(1, [5, 3, 6, 2, 1, 4])
    with pytest.raises(InputError, match="without a reason"):
        play.do(desk.correct_rows, 1, {3: "1"}, why="")
    with pytest.raises(InputError, match="Nothing to correct"):
        play.do(desk.correct_rows, 1, {3: "2"}, why="film")
    day = play.do(desk.correct_rows, 1, {3: "1", 5: "2"}, why="film", who="scorer")
    assert [row["old"] for row in play.rows[-2:]] == ["2", "1"]
    assert len(day.heat(1).corrected) == 2
    assert day.heat(1).outcomes[3].place == 1


def test_of_two_corrections_that_clash_the_directors_counts_and_both_are_kept(play: Play) -> None:
    play.race(1, [5, 3, 6, 2, 1, 4])
    play.do(desk.correct_rows, 1, {3: "6"}, why="seen", who="race director")
    play.rows.append({
        "event": "correction", "heat": "1", "boat": "03", "old": "2", "new": "5", "reason": "old sheet",
        "who": "scorer",
    })  # fmt: skip
    day = play.read()
    assert day.heat(1).outcomes[3].place == 6
    assert "stray-event" in codes(day)


def test_a_rerun_makes_the_heat_the_next_one_and_forgets_what_was_said(play: Play) -> None:
    play.race(1)
    day = play.do(desk.rerun_rows, 1, why="a moorhen swam across")
    assert (day.ahead[0], day.heat(1).state) == (1, "to be run again")
    with pytest.raises(ConflictError, match="has not been raced"):
        play.do(desk.rerun_rows, 2, why="why not")
    assert play.race(1).heat(1).counts


def test_a_protest_is_open_until_it_is_answered(play: Play) -> None:
    play.race(1)
    day = play.do(desk.protest_rows, 1, boat=3, why="called the wrong way round")
    assert len(day.heat(1).protests) == 1
    assert "protest-open" in codes(day)
    assert play.do(desk.ruling_rows, 1, why="the film shows it was right").heat(1).protests == ()


def test_a_spoilt_row_is_named_and_the_rest_of_the_day_goes_on(play: Play) -> None:
    play.race(1, [5, 3, 6, 2, 1, 4])
    finish = [row for row in play.rows if row["event"] == "finish"]
    finish[0]["time"] = "22/05/2027"  # a spreadsheet's date
    finish[7]["new"] = "2nd of March"
    finish[9]["boat"] = "Six Socks"
    day = play.read()
    assert codes(day)[:3] == ["cell-not-read", "cell-not-read", "row-left-out"]
    assert day.heat(1).waits_for == "the marshal: the finish phones differ"
    assert play.do(desk.call_rows, 2).heat(2).calls == 1


def test_words_stand_on_one_line_and_signs_that_cannot_be_printed_are_refused(play: Play) -> None:
    play.do(desk.withdraw_rows, 24, why="  hull\n broken ", who="crew\tof 24")
    assert (play.rows[-1]["reason"], play.rows[-1]["who"]) == ("hull broken", "crew of 24")
    for more in ({"why": "a\0b"}, {"why": "x", "who": "a\x1bb"}, {"why": "x", "key": "a\0"}):
        with pytest.raises(InputError, match="cannot be printed"):
            play.do(desk.withdraw_rows, 23, **more)


def test_no_heat_starts_after_a_limit(play: Play) -> None:
    play.at = moment("15:30")
    with pytest.raises(ConflictError, match="past the limit for afternoon wind at 15:30"):
        play.do(desk.call_rows, 1)


def test_the_last_heat_before_a_limit_moves_with_the_pace_of_the_day(play: Play) -> None:
    assert play.read().last_before == {"afternoon wind": 25, "sunset": 25}
    for number in range(1, 8):
        play.race(number)
        play.at = later(play.at, minutes=7)  # 16 min a heat in place of 9
    day = play.read()
    last = day.last_before["afternoon wind"]
    assert last is not None
    assert 14 < last < 25
    ends = {number: at + day.expected.gap for number, at in day.expected.starts.items()}
    assert ends[last] <= 15.5 * 3600 < ends[last + 1]
    assert "limit-by-pace" in codes(day)


def test_the_qualifying_queue_ends_at_the_latest_when_every_try_is_used(play: Play) -> None:
    play.at = moment("09:00")
    day = play.do(desk.queue_rows, list(range(1, 13)))
    assert desk.clock(day.queue_ends or 0) == "10:12"  # 36 tries, 2 ramps, 4 min: 72 min
    day = play.do(desk.try_rows, 1, "through")
    assert day.queue.through == (1,)
    with pytest.raises(ConflictError, match="is through"):
        play.do(desk.try_rows, 1, "ran wide")


def test_a_patch_moves_the_balance_point_as_worked_out_by_hand() -> None:
    # 6 g at (30, 100) on 269 g at 345.5: (269 x 345.5 + 6 x 30) / 275 = 338.6 mm; 6 x 100 / 275 = 2.2 mm sideways
    mass, (x, y) = desk.patch(mass=0.269, balance=(0.3455, 0.0), patch_mass=0.006, place=(0.030, 0.100))
    assert mass == pytest.approx(0.275)
    assert x * 1e3 == pytest.approx(338.6, abs=0.05)
    assert y * 1e3 == pytest.approx(2.2, abs=0.05)

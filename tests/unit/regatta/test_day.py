"""The log and what comes of it: reports that differ, re-runs, withdrawals, holds, clocks that are wrong."""

from __future__ import annotations

import pytest

from skimwright.base import InputError
from skimwright.regatta import CODES, Day, Event, HeatState, Kind, Outcome, read_outcome, replay
from skimwright.regatta.day import order_in_words


def order(text: str) -> dict[int, Outcome]:
    """``"7:1 8:2= 9:DNF"``."""
    pairs = (part.split(":") for part in text.split())
    return {int(boat): read_outcome(said) for boat, said in pairs}


def event(
    kind: Kind, text: str = "", *, heat: int | None = 1, phone: str = "", reason: str = "seen", **more: object
) -> Event:
    return Event(kind=kind, heat=heat, outcomes=order(text), phone=phone, reason=reason, **more)  # type: ignore[arg-type]


def heat_after(*events: Event) -> HeatState:
    return replay(events).heats[1]


def codes_of(day: Day) -> list[str]:
    return [finding.code for finding in day.findings]


def test_two_phones_alike_make_a_result() -> None:
    a, b = event("finish", "7:1 8:2", phone="finish A"), event("finish", "8:2 7:1", phone="finish B")
    assert not heat_after(a).counts
    assert "second finish phone" in heat_after(a).waits_for
    assert heat_after(a, b).counts
    assert heat_after(b, a).outcomes == heat_after(a, b).outcomes


def test_two_phones_that_differ_are_held_not_averaged_until_the_marshal_decides() -> None:
    a, b = event("finish", "7:1 8:2", phone="finish A"), event("finish", "7:2 8:1", phone="finish B")
    held = heat_after(a, b)
    assert not held.counts
    assert held.outcomes == {}
    told = next(finding for finding in replay([a, b]).findings if finding.code == "heat-held")
    assert "finish A: 07 1, 08 2." in told.why
    assert "finish B: 08 1, 07 2." in told.why
    decided = heat_after(a, b, event("decision", "7:2 8:1"))
    assert decided.counts
    assert decided.outcomes[8].place == 1


def test_a_phone_that_sends_twice_is_not_its_own_second() -> None:
    a = event("finish", "7:1 8:2", phone="finish A")
    assert not heat_after(a, a).counts


def test_a_boat_missing_on_one_phone_is_a_difference() -> None:
    assert not heat_after(event("finish", "7:1 8:2", phone="A"), event("finish", "7:1", phone="B")).counts


def test_a_phone_after_the_decision_changes_nothing() -> None:
    decided = [event("decision", "7:2 8:1"), event("finish", "7:1 8:2", phone="A")]
    assert heat_after(*decided).outcomes[8].place == 1
    assert heat_after(*decided).doubts == ()


def test_a_heat_typed_twice_is_kept_once_and_shown_side_by_side() -> None:
    twice = [event("result", "7:1 8:2", phone="paper"), event("result", "7:2 8:1", phone="scorer")]
    state = heat_after(*twice)
    assert state.counts
    assert state.outcomes[7].place == 1
    assert "paper: 07 1, 08 2 and scorer: 08 1, 07 2" in state.doubts[0]
    assert heat_after(twice[0], twice[0]).doubts == ()


def test_a_correction_is_a_new_event_and_takes_nothing_away() -> None:
    events = [event("result", "7:1 8:2"), event("correction", "7:DSQ", reason="pushed by hand")]
    assert heat_after(*events).outcomes[7].code == "DSQ"
    assert heat_after(*events[:1]).outcomes[7].place == 1


def test_a_correction_from_an_old_sheet_is_told() -> None:
    wrong = Event(kind="correction", heat=1, outcomes=order("7:2"), was=order("7:4"), reason="film")
    day = replay([event("result", "7:1 8:2"), wrong])
    assert day.heats[1].outcomes[7].place == 2
    assert any("was 1, not 4" in finding.what for finding in day.findings)


def test_a_correction_before_any_result_is_left_out_and_told() -> None:
    day = replay([event("correction", "7:2")])
    assert not day.heats[1].counts
    assert codes_of(day) == ["stray-event"]


@pytest.mark.parametrize(
    "kind", ["decision", "correction", "rerun", "withdrawal", "protest", "ruling", "hold"]
)
def test_a_change_without_a_reason_is_refused(kind: Kind) -> None:
    with pytest.raises(InputError, match="without a reason"):
        event(kind, reason=" ")


def test_disqualifying_needs_a_reason_and_not_finishing_none() -> None:
    with pytest.raises(InputError, match="boat 7 is disqualified without a reason"):
        event("result", "7:DSQ 8:1", reason="")
    assert event("result", "7:DNF 8:1", reason="").outcomes[7].code == "DNF"


def test_a_withdrawal_without_a_boat_is_refused() -> None:
    with pytest.raises(InputError, match="without a boat"):
        Event(kind="withdrawal", heat=4, reason="split hull")


def test_a_result_without_a_heat_is_refused() -> None:
    with pytest.raises(InputError, match="without a heat"):
        event("result", "7:1", heat=None)


def test_a_rerun_takes_the_result_off_until_the_heat_is_raced_again() -> None:
    first, again = event("result", "7:1 8:2"), event("rerun", reason="moorhen in lane 4")
    assert not heat_after(first, again).counts
    assert "moorhen in lane 4" in heat_after(first, again).waits_for
    done = heat_after(first, again, event("result", "8:1 7:2"))
    assert done.counts
    assert done.outcomes[8].place == 1
    assert done.doubts == ()


def test_both_phones_are_needed_again_after_a_rerun() -> None:
    a = event("finish", "7:1 8:2", phone="A")
    b = event("finish", "7:1 8:2", phone="B")
    assert not heat_after(a, b, event("rerun"), a).counts
    assert heat_after(a, b, event("rerun"), a, b).counts


def test_a_withdrawn_boat_that_is_scored_is_asked_about_not_counted() -> None:
    gone = Event(kind="withdrawal", heat=2, boat=8, reason="split hull")
    scored = event("result", "7:1 8:2", heat=2)
    for log in ([gone, scored], [scored, gone]):
        day = replay([event("result", "7:1 8:2"), *log])
        assert day.heats[1].counts
        assert not day.heats[2].counts
        assert "boat 08 had withdrawn" in day.heats[2].waits_for
    assert replay([gone, event("result", "7:1 8:DNS", heat=2)]).heats[2].counts
    assert replay([gone, scored, event("decision", "7:1 8:2", heat=2)]).heats[2].counts


def test_a_place_that_cannot_be_read_holds_the_heat_and_names_what_is_left() -> None:
    torn = Event(kind="result", heat=1, outcomes={**order("7:1 8:3"), 9: Outcome()})
    assert not heat_after(torn).counts
    assert "boat 09" in heat_after(torn).waits_for
    assert "the only place left is 2" in heat_after(torn).waits_for
    assert heat_after(torn, event("correction", "9:2")).counts


def test_the_same_place_twice_is_asked_about_unless_marked_as_a_tie() -> None:
    assert "boats 08 and 09 have place 2 alike" in heat_after(event("result", "7:1 8:2 9:2")).doubts[0]
    assert heat_after(event("result", "7:1 8:2= 9:2=")).doubts == ()


def test_a_place_beyond_the_field_is_asked_about() -> None:
    assert "is a boat missing" in heat_after(event("result", "7:1 8:5")).doubts[0]
    assert heat_after(event("result", "7:1 8:3 9:DSQ")).doubts == ()


def test_two_holds_need_two_all_clears() -> None:
    thunder, child = (
        event("hold", heat=None, reason="thunder"),
        event("hold", heat=None, reason="child by the water"),
    )
    clear = Event(kind="clear")
    assert len(replay([thunder, child]).holds) == 2
    assert [hold.reason for hold in replay([thunder, child, clear]).holds] == ["child by the water"]
    assert replay([thunder, child, clear, clear]).holds == ()
    assert codes_of(replay([clear])) == ["stray-event"]


def test_a_protest_is_open_until_it_is_ruled_on_or_the_heat_corrected() -> None:
    base = [event("result", "7:1 8:2"), Event(kind="protest", heat=1, boat=8, reason="touched in lane 3")]
    assert codes_of(replay(base)) == ["protest-open"]
    assert codes_of(replay([*base, event("ruling", reason="not seen by anyone")])) == []
    assert codes_of(replay([*base, event("correction", "7:DSQ")])) == []
    assert codes_of(replay([event("ruling")])) == ["stray-event"]


def test_a_clock_two_hours_wrong_is_told_and_changes_nothing() -> None:
    right = [event("result", "7:1 8:2", heat=h, phone="A", when=36000.0 + 540 * h) for h in (1, 2, 3)]
    wrong = [right[0], event("result", "7:1 8:2", heat=2, phone="B", when=36000.0 + 1080 - 7200), right[2]]
    assert replay(right).findings == ()
    day = replay(wrong)
    assert list(day.heats) == [1, 2, 3]
    assert codes_of(day) == ["clock-off"]
    assert {h: s.outcomes for h, s in day.heats.items()} == {
        h: s.outcomes for h, s in replay(right).heats.items()
    }


@pytest.mark.parametrize(
    "text, place, code, points",
    [
        ("3", 3, "", None),
        (" 3= ", 3, "", None),
        ("not finished", None, "DNF", None),
        ("Not Started", None, "DNS", None),
        ("dsq", None, "DSQ", None),
        ("3 ZFP", 3, "ZFP", None),
        ("RDG 4.5", None, "RDG", 4.5),
        ("3 DPI 2", 3, "DPI", 2.0),
        ("", None, "", None),
        ("?", None, "", None),
    ],
)
def test_a_scorer_may_write_it_so(text: str, place: int | None, code: str, points: float | None) -> None:
    outcome = read_outcome(text)
    assert (outcome.place, outcome.code, outcome.points) == (place, code, points)


@pytest.mark.parametrize(
    "text",
    [
        "0",
        "-1",
        "1.5",
        "first",
        "1000",
        "2==",
        "3 DNF",
        "ZFP",
        "RDG",
        "3 RDG 2",
        "DNF 3",
        "RDG x",
        "²",
        "3 4",
        "RDG -1",
    ],
)
def test_what_is_neither_place_nor_code_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_outcome(text)


def test_outcomes_are_said_in_words() -> None:
    assert order_in_words(order("9:DNF 7:2= 8:1")) == ("08 1, 07 2=, 09 not finished")
    assert all(Outcome(code=code).words() == words for code, words in CODES.items())
    assert Outcome().words() == "not readable"


def test_an_event_cannot_be_changed_after_it_happened() -> None:
    given = order("7:1")
    one = Event(kind="result", heat=1, outcomes=given)
    given[7] = Outcome(place=2)
    assert one.outcomes[7].place == 1
    with pytest.raises(TypeError):
        one.outcomes[7] = Outcome(place=3)  # type: ignore[index]


def test_of_two_withdrawals_of_a_boat_the_earlier_heat_counts() -> None:
    two = [Event(kind="withdrawal", heat=heat, boat=8, reason="split hull") for heat in (3, 2)]
    assert replay(two).gone == replay(two[::-1]).gone == {8: 2}

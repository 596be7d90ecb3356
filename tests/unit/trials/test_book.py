"""The run log: what the bad-data pack does to it, and what it refuses."""

import pytest

from skimwright.base import ConflictError, InputError, MissingError
from skimwright.trials import (
    SEVERAL,
    Book,
    Event,
    Result,
    credits,
    doubts,
    is_bundle,
    merge,
    since_change,
    usual,
    write_down,
)
from skimwright.trials.asked import Usual

RAN = Result(distance=48.0, gate_time=5.05, drift=1.2, ending="through the gate")


def run(number=1, *, boat=7, result=RAN, **more):
    return Event(boat=boat, run=number, result=result, **more)


def book(*events):
    return Book(frozenset(events))


def test_two_phones_of_thirty_runs_lose_and_double_nothing():
    one = book(*(run(k, phone="a", tap=k) for k in range(1, 31) if k % 3))
    other = book(*(run(k, phone="b", tap=k) for k in range(1, 31) if k % 2 == 0 or k % 3 == 0))
    runs = merge(one, other).of(7)
    assert [r.run for r in runs] == list(range(1, 31))


def test_a_clock_two_hours_wrong_lines_up_by_run_number():
    a = book(*(run(k, phone="a", time=f"2027-03-20T10:{10 * k:02d}:00") for k in (1, 2, 3)))
    b = book(*(run(k, phone="b", time=f"2027-03-20T12:{10 * k:02d}:00") for k in (2, 3, 4)))
    both = merge(a, b)
    assert [r.run for r in both.of(7)] == [1, 2, 3, 4]
    assert [f.code for f in both.findings] == ["clock-off"]
    assert "2.0 h" in both.findings[0].what


def test_a_double_tap_is_one_run_whether_or_not_it_counted_on():
    same = book(
        run(1, phone="a", tap=1, time="2027-03-20T10:00:00"),
        run(1, phone="a", tap=2, time="2027-03-20T10:00:01"),
    )
    assert len(same.runs) == 1
    on = book(run(1, phone="a", time="2027-03-20T10:00:00"), run(2, phone="a", time="2027-03-20T10:00:04"))
    assert len(on.runs) == 1
    assert [f.code for f in on.findings] == ["run-logged-twice"]


def test_two_like_runs_minutes_apart_are_two_runs():
    both = book(run(1, phone="a", time="2027-03-20T10:00:00"), run(2, phone="a", time="2027-03-20T10:06:00"))
    assert len(both.runs) == 2


def test_a_guess_changed_after_the_run_is_refused_and_the_first_kept():
    log = write_down(Book(), Event(boat=7, run=1, kind="guess", guess="ran wide"))
    log = write_down(log, run())
    with pytest.raises(ConflictError, match="locked"):
        write_down(log, Event(boat=7, run=1, kind="guess", guess="through the gate"))
    assert log.of(7)[0].guess == "ran wide"


def test_a_later_guess_from_another_phone_is_left_aside_and_said():
    both = merge(
        book(Event(boat=7, run=1, kind="guess", guess="ran wide", time="2027-03-20T10:00:00"), run()),
        book(Event(boat=7, run=1, kind="guess", guess="through", time="2027-03-20T10:09:00")),
    )
    assert both.of(7)[0].guess == "ran wide"
    assert [f.code for f in both.findings] == ["guess-changed"]


def test_a_guess_after_the_run_comes_too_late():
    with pytest.raises(ConflictError, match="too late"):
        write_down(book(run()), Event(boat=7, run=1, kind="guess", guess="ran wide"))


def test_two_phones_that_disagree_are_held_not_averaged_until_corrected():
    other = Result(distance=48.0, gate_time=5.55, drift=1.2, ending="through the gate")
    both = merge(book(run(phone="a")), book(run(phone="b", result=other)))
    assert both.of(7)[0].result.gate_time is None
    assert both.of(7)[0].result.distance == 48.0
    mended = write_down(
        both, Event(boat=7, run=1, kind="correction", result=Result(gate_time=5.05), reason="film says so")
    )
    assert mended.of(7)[0].result.gate_time == 5.05
    assert mended.of(7)[0].corrected[0].reason == "film says so"
    assert not mended.findings


def test_one_phone_has_the_tape_and_the_other_the_clock():
    both = merge(
        book(run(phone="a", result=Result(distance=48.0))), book(run(phone="b", result=Result(gate_time=5.0)))
    )
    assert both.of(7)[0].result == Result(distance=48.0, gate_time=5.0)


def test_a_correction_keeps_old_and_new_and_needs_a_reason():
    with pytest.raises(InputError, match="without a reason"):
        write_down(book(run()), Event(boat=7, run=1, kind="correction", result=Result(distance=44.0)))
    with pytest.raises(MissingError, match="not in the log"):
        write_down(
            Book(), Event(boat=7, run=1, kind="correction", result=Result(distance=44.0), reason="tape")
        )
    log = write_down(
        book(run()), Event(boat=7, run=1, kind="correction", result=Result(distance=44.0), reason="tape")
    )
    change = log.of(7)[0].corrected[0]
    assert (change.old, change.new, change.reason) == (48.0, 44.0, "tape")


def test_the_same_run_with_other_figures_is_refused():
    with pytest.raises(ConflictError, match="already logged"):
        write_down(book(run()), run(result=Result(distance=12.0)))
    assert write_down(book(run()), run(tap=9)) == book(run())


def test_a_bundle_of_changes_gets_no_credit_and_a_blank_box_changes_nothing():
    runs = book(
        run(1), run(2), run(3, result=Result(drift=-1.0, change=SEVERAL)), run(4, result=Result(drift=-1.2))
    ).of(7)
    said = credits(runs, class_sd=1.0)
    assert len(said) == 1
    assert said[0].drift is None
    assert "change one" in said[0].says
    assert [r.run for r in since_change(runs)] == [3, 4]


def test_two_things_in_one_change_box_get_no_credit_either():
    words = "blade toed in 1 deg and 10 g at the nose"
    runs = book(run(1), run(2), run(3, result=Result(drift=-1.0, change=words)), run(4)).of(7)
    assert credits(runs, class_sd=1.0)[0].drift is None


@pytest.mark.parametrize(
    "words",
    [
        "Put 10 g 165 mm from the bow and 110 mm to port.", "Shim both pads 0.5 deg nose-up.", "sealed the edges",
        "Straighten the blade: turn its trailing edge 0.7 deg to port.", "Move the device 4 mm to port.",
    ],
)  # fmt: skip
def test_each_advice_of_the_program_is_one_change(words):
    assert not is_bundle(words)


def test_one_change_is_credited_with_its_doubt():
    runs = book(
        run(1), run(2, result=Result(drift=1.4)), run(3, result=Result(drift=-1.0, change="blade 2 deg to port")),
        run(4, result=Result(drift=-1.2)),
    ).of(7)  # fmt: skip
    said = credits(runs, class_sd=1.0)[0]
    assert said.drift[0] == pytest.approx(-2.4)
    assert "port" in said.says


def test_few_runs_take_the_spread_of_the_class_and_say_so():
    runs = book(run(1), run(2, result=Result(drift=-1.0, change="blade"))).of(7)
    said = credits(runs, class_sd=2.0)[0]
    assert said.drift[1] == pytest.approx(2.0 * 2**0.5)
    assert "class" in said.says


@pytest.mark.parametrize(
    "result, code, question",
    [
        (Result(gate_time=50.5), "time-slip", "5.05 s"),
        (Result(distance=157.0), "distance-in-feet", "157 ft = 47.9 m"),
        (Result(distance=480.0), "distance-slip", "48 m"),
        (Result(wind_speed=9.0), "wind-in-km-h", "9 km/h = 2.5 m/s"),
        (Result(distance=12.0, gate_time=5.0), "time-without-gate", "no time"),
        (Result(distance=48.0, drift=60.0), "drift-slip", "6 m"),
    ],
)
def test_what_can_hardly_be_so_is_asked_and_left_out(result, code, question):
    kept, asked = doubts(
        result, known=Usual(distance=47.0, gate_time=5.1), gate=30.48, where="boat 07, run 1"
    )
    assert [f.code for f in asked] == [code]
    assert question in asked[0].why
    field = {"time": "gate_time", "distance": "distance", "wind": "wind_speed", "drift": "drift"}[
        code.split("-")[0]
    ]
    assert getattr(kept, field) is None


def test_a_figure_with_its_unit_is_believed_and_still_asked_about():
    kept, asked = doubts(
        Result(gate_time=50.5), known=Usual(gate_time=5.1), gate=30.48, where="x", sure=("gate_time",)
    )
    assert kept.gate_time == 50.5
    assert asked


def test_what_is_usual_needs_three_runs():
    assert usual([RAN, RAN]).distance is None
    assert usual([RAN, RAN, RAN]).distance == 48.0

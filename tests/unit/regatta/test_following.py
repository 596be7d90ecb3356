"""Lots that follow the day: what was called or raced stands, the rest is drawn anew, and all is told."""

from __future__ import annotations

import pytest

from skimwright.regatta import (
    DayPlan,
    Event,
    Followed,
    Outcome,
    Session,
    draw_lots,
    expected,
    fitness,
    follow,
    qualifying,
)

H = 3600.0
PLAN = DayPlan(
    opens=8 * H, clear=16 * H, lanes=6,
    sessions=(
        Session(name="a", kind="heats", start=10 * H, groups=("Small", "Large"), rounds=3, seed=5),
    ),
)  # fmt: skip
DRAWS = {
    "Small": draw_lots(range(1, 7), rounds=3, lanes=6, seed=5),
    "Large": draw_lots(range(1, 19), rounds=3, lanes=6, seed=5),
}
GROUPS = {boat: ("Small", "Large") if boat < 7 else ("Large",) for boat in range(1, 21)}


def after(*events: Event) -> Followed:
    return follow(PLAN, DRAWS, events, GROUPS)


def result(heat: int, boats: tuple[int, ...], **more: object) -> Event:
    outcomes = {boat: Outcome(place=place) for place, boat in enumerate(boats, 1)}
    return Event(kind="result", heat=heat, outcomes=outcomes, **more)  # type: ignore[arg-type]


def out(boat: int, heat: int | None = None) -> Event:
    return Event(kind="withdrawal", boat=boat, heat=heat, reason="broken")


def test_without_events_the_heats_are_those_of_the_lots() -> None:
    made = after()
    assert made.ahead == tuple(range(1, 13))
    assert made.changes == ()


def test_a_withdrawal_leaves_called_and_raced_heats_to_the_letter() -> None:
    before = after().timetable.heats
    made = after(result(1, before[0].boats), Event(kind="call", heat=4), out(3))
    assert made.timetable.heats[:4] == before[:4]
    assert all(3 not in heat.boats for heat in made.timetable.heats[4:])
    assert all(change.was is None or change.was[0] > 4 for change in made.changes)
    assert {change.group for change in made.changes if change.boat == 3} == {"Small", "Large"}
    assert [heat.number for heat in made.timetable.heats] == list(range(1, 13))


def test_a_withdrawal_typed_late_counts_from_the_heat_it_names() -> None:
    before = after().timetable.heats
    made = after(out(3, heat=6))
    assert made.timetable.heats[:5] == before[:5]


def test_a_late_boat_races_in_every_round_to_come_and_heats_grow_by_one_boat() -> None:
    made = after(result(1, after().timetable.heats[0].boats), Event(kind="late", boat=19))
    theirs = [heat for heat in made.timetable.heats if 19 in heat.boats]
    assert [heat.round for heat in theirs] == [1, 2, 3]
    assert max(len(heat.boats) for heat in made.timetable.heats) <= 6
    assert [heat.number for heat in made.timetable.heats] == list(range(1, len(made.timetable.heats) + 1))


def test_a_group_that_becomes_too_small_keeps_its_heats_with_empty_lanes() -> None:
    made = after(*(out(boat) for boat in range(1, 7)))
    small = [heat for heat in made.timetable.heats if heat.group == "Small"]
    assert [len(heat.boats) for heat in small] == [0, 0, 0]
    assert {finding.code for finding in made.findings} == {"not-redrawn"}
    assert all(made.timetable.heat(number).group == "Large" for number in made.ahead)


def test_a_skipped_heat_lets_the_next_go_first_and_comes_right_after() -> None:
    skip = Event(kind="missing", heat=1, boat=1, said="skip")
    assert after(skip).ahead[:3] == (2, 1, 3)
    assert after(skip, Event(kind="start", heat=2)).ahead[:2] == (1, 3)


def test_a_rerun_is_ahead_again_and_waits_for_nobody() -> None:
    boats = after().timetable.heats[0].boats
    made = after(result(1, boats), Event(kind="rerun", heat=1, reason="a swan"))
    assert made.ahead[0] == 1
    assert made.so_far(1).is_again


# the pit


def pit(*events: Event) -> object:
    return fitness(events, [7])[7]


def test_a_boat_has_no_tick_until_it_is_given_and_loses_it_by_a_crash() -> None:
    fit = Event(kind="fit", boat=7)
    crash = Event(kind="mend", boat=7, reason="crash")
    weighed = Event(kind="weighed", boat=7, said="275 g")
    assert not fitness((), [7])[7].is_fit
    assert fitness((fit,), [7])[7].is_fit
    hurt = fitness((fit, crash), [7])[7]
    assert (hurt.is_fit, hurt.must_be_weighed) == (False, True)
    assert not fitness((fit, crash, weighed), [7])[7].is_fit
    whole = fitness((fit, crash, weighed, fit), [7])[7]
    assert (whole.is_fit, whole.is_unweighed, whole.mass) == (True, False, "275 g")
    # ticked on paper without a scale: marked, not refused
    assert fitness((fit, crash, fit), [7])[7].is_unweighed


# the queue


def test_crews_take_turns_and_a_late_one_joins_the_turn_they_are_at() -> None:
    log = [Event(kind="queue", boat=boat) for boat in (1, 2, 3)]
    log += [Event(kind="try", boat=boat, said="ran wide") for boat in (1, 2)]
    log += [Event(kind="queue", boat=4)]
    made = qualifying(log, lambda boat: 3)
    assert [crew.boat for crew in made.waiting] == [3, 4, 1, 2]
    assert made.tries_to_come() == 3 + 3 + 2 + 2
    assert made.ends(now=9 * H, ramps=2, pace=240.0) == 9 * H + 5 * 240


def test_who_gets_through_or_has_no_tries_left_leaves_the_queue() -> None:
    log = [
        Event(kind="queue", boat=1),
        Event(kind="queue", boat=2),
        Event(kind="try", boat=1, said="through"),
    ]
    log += [Event(kind="try", boat=2, said="stopped short")] * 3
    made = qualifying(log, lambda boat: 3)
    assert (made.waiting, made.through, made.out_of_tries) == ((), (1,), (2,))


def test_no_crew_waits_more_than_two_tries_behind_another_however_they_come() -> None:
    arrivals = {0: (1, 2, 3, 4), 3: (5,), 7: (6, 7), 12: (8,)}
    log: list[Event] = []
    since: dict[int, dict[int, int]] = {}  # crew that waits: tries others had meanwhile
    for step in range(30):
        for boat in arrivals.get(step, ()):
            log.append(Event(kind="queue", boat=boat))
            since[boat] = {}
        waiting = qualifying(log, lambda boat: 3).waiting
        if not waiting:
            break
        now = waiting[0].boat
        log.append(Event(kind="try", boat=now, said="ran wide"))
        since[now] = {}
        for boat, others in since.items():
            if boat != now and any(crew.boat == boat for crew in waiting):
                others[now] = others.get(now, 0) + 1
                assert others[now] <= 2
    assert len(qualifying(log, lambda boat: 3).out_of_tries) == 8


# how long it will take


def starts(gaps: list[float], phone: str = "starter", off: float = 0.0) -> list[Event]:
    at, log = 10 * H, [Event(kind="start", heat=1, when=10 * H + off, phone=phone)]
    for number, gap in enumerate(gaps, 2):
        at += gap
        log.append(Event(kind="start", heat=number, when=at + off, phone=phone))
    return log


@pytest.mark.parametrize("off", [0.0, -7200.0])
def test_the_pace_is_the_mean_gap_without_freaks_whatever_the_clock_of_the_phone(off: float) -> None:
    log = starts([600, 600, 660, 600, 1700], off=off)
    made = expected(after(*log), log, PLAN, now=10 * H + 4160)
    assert made.gaps == 5
    assert made.gap == pytest.approx((3 * 540 + 600 * 3 + 660 + 1.8 * 540) / 8)


def test_a_rerun_is_part_of_its_gap_and_a_hold_is_not() -> None:
    again = [
        Event(kind="start", heat=1, when=10 * H), Event(kind="rerun", heat=1, reason="a swan"),
        Event(kind="start", heat=1, when=10 * H + 400), Event(kind="start", heat=2, when=10 * H + 900),
    ]  # fmt: skip
    assert expected(after(*again), again, PLAN, now=10.3 * H).gap == pytest.approx((3 * 540 + 900) / 4)
    held = [*again[:1], Event(kind="hold", reason="rope"), Event(kind="clear"), again[3]]
    assert expected(after(*held), held, PLAN, now=10.3 * H).gaps == 0


def test_nobody_guesses_while_held_and_a_clock_of_thunder_is_waited_for() -> None:
    log = starts([540, 540])
    assert expected(after(*log), log, PLAN, now=10.4 * H, is_held=True).finish is None
    soon = expected(after(*log), log, PLAN, now=10.4 * H, not_before=11 * H)
    assert soon.starts[4] == 11 * H
    assert soon.finish == pytest.approx(11 * H + 9 * 540)

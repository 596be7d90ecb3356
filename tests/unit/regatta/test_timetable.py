"""One count of heats over all groups, planned times, slack, and plans that cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from skimwright.base import ConflictError, InputError
from skimwright.regatta import DayPlan, Session, check_plan, clock, draw_lots, timetable

H = 3600.0
MORNING = Session(
    name="groups",
    kind="heats",
    start=10.25 * H,
    groups=("Cress", "Rush", "Reed", "Willow"),
    rounds=4,
    seed=1906,
)
LUNCH = Session(name="lunch", kind="pause", start=12.65 * H, end=13.25 * H)
OPEN = Session(name="open", kind="heats", start=13.25 * H, groups=("Open",), rounds=3, seed=1906)
PLAN = DayPlan(opens=8 * H, clear=16 * H, lanes=6, sessions=(MORNING, LUNCH, OPEN), limits={"light": 15 * H})
DRAWS = {
    group: draw_lots(range(first, first + 6), rounds=4, lanes=6, seed=1906)
    for group, first in (("Cress", 1), ("Rush", 7), ("Reed", 13), ("Willow", 19))
} | {"Open": draw_lots(range(7, 25), rounds=3, lanes=6, seed=1906)}


def test_the_demonstration_day_is_25_heats_as_its_schedule_was_worked_out_by_hand() -> None:
    # 16 heats of 9 min from 10:15 end at 12:39; 9 more from 13:15 end at 14:36
    made = timetable(PLAN, DRAWS)
    assert [heat.number for heat in made.heats] == list(range(1, 26))
    assert [heat.group for heat in made.heats[:5]] == ["Cress", "Rush", "Reed", "Willow", "Cress"]
    assert [clock(slot.end) for slot in made.slots] == ["12:39", "13:15", "14:36"]
    assert (made.slots[0].first, made.slots[0].last, made.slots[2].last) == (1, 16, 25)
    assert made.slack == 84 * 60
    assert made.findings == ()


def test_every_entrant_stands_in_the_planned_number_of_heats() -> None:
    made = timetable(PLAN, DRAWS)
    for session in PLAN.sessions:
        for group in session.groups:
            starts = [boat for heat in made.heats if heat.group == group for boat in heat.boats]
            assert {starts.count(boat) for boat in DRAWS[group].boats} == {session.rounds}


def test_groups_of_more_than_one_heat_take_turns_heat_by_heat() -> None:
    both = replace(MORNING, groups=("Small", "Large"), rounds=2)
    draws = {
        "Small": draw_lots(range(1, 7), rounds=2, lanes=6, seed=1),
        "Large": draw_lots(range(10, 22), rounds=2, lanes=6, seed=1),
    }
    made = timetable(replace(PLAN, sessions=(both,)), draws)
    assert [(heat.group, heat.round) for heat in made.heats] == [
        ("Small", 1), ("Large", 1), ("Large", 1), ("Small", 2), ("Large", 2), ("Large", 2),
    ]  # fmt: skip


def test_a_session_that_is_too_long_makes_the_next_one_late_and_says_so() -> None:
    made = timetable(replace(PLAN, sessions=(replace(MORNING, pace=720.0), LUNCH, OPEN)), DRAWS)
    assert clock(made.slots[0].end) == "13:27"
    assert clock(made.heats[16].start) == "13:27"
    assert [finding.code for finding in made.findings] == ["session-late", "session-late"]


def test_a_day_that_does_not_fit_is_said_and_one_with_little_slack_too() -> None:
    long = timetable(replace(PLAN, clear=14 * H), DRAWS)
    assert "day-too-long" in [finding.code for finding in long.findings]
    tight = timetable(replace(PLAN, clear=14.7 * H), DRAWS)
    assert [finding.code for finding in tight.findings] == ["day-tight"]


def test_the_last_heat_before_a_limit_is_over_by_then() -> None:
    made = timetable(replace(PLAN, limits={"light": 14 * H + 8 * 60}), DRAWS)
    assert made.last_before == {"light": 21}  # heat 22 would start at 14:00 and end at 14:09
    assert [finding.code for finding in made.findings] == ["limit-before-end"]


@pytest.mark.parametrize(
    "plan, words",
    [
        (replace(PLAN, clear=7 * H), "the day ends before it starts"),
        (replace(PLAN, sessions=(replace(LUNCH, end=12 * H),)), "lunch ends before it starts"),
        (replace(PLAN, sessions=(replace(OPEN, start=17 * H),)), "outside the day"),
        (replace(PLAN, sessions=(OPEN, MORNING)), "not in the order"),
        (
            replace(PLAN, sessions=(MORNING, replace(OPEN, groups=("Rush",)))),
            "Rush races in groups and in open",
        ),
    ],
)
def test_a_plan_that_cannot_be_is_refused(plan: DayPlan, words: str) -> None:
    with pytest.raises((InputError, ConflictError)) as told:
        check_plan(plan)
    assert words in told.value.sentence()


def test_a_start_after_sunset_is_refused_and_sunset_is_a_limit() -> None:
    with pytest.raises(InputError, match="open starts after sunset"):
        check_plan(PLAN, sunset=13 * H)
    assert check_plan(PLAN, sunset=20.9 * H).limits["sunset"] == 20.9 * H

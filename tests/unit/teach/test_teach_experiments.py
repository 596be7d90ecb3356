"""Cards whose sums come out as printed, and fair tests that say how many runs, or why not."""

from __future__ import annotations

import math
import random
import re
import statistics

import pytest
from printed import both_sides

from skimwright import desk, teach
from skimwright.base import InputError
from skimwright.teach.fair import FEWEST

PLAIN = re.compile(r"^[^√]* = ")


@pytest.fixture(scope="module")
def cards(words):
    return [
        teach.experiment_card(experiment, band, words)
        for experiment in teach.EXPERIMENTS.values()
        for band in teach.BANDS
    ]


def test_every_example_on_every_card_comes_out_as_printed(cards):
    checked = 0
    for card in cards:
        for step in card.example_steps:
            if PLAIN.match(step.sum):
                left, right, half = both_sides(step.sum.replace("ln(", "log("))
                assert abs(left - right) <= half * 1.0001, (card.title, step.sum)
                checked += 1
    assert checked > 35


def test_a_card_says_what_an_adult_does_what_is_unsafe_and_what_goes_wrong(cards):
    for card in cards:
        assert card.needs
        assert len(card.steps) >= 4
        assert card.adult
        assert card.safety
        assert len(card.wrong) >= 3


def test_the_card_reads_no_harder_than_its_band(cards):
    for card in cards:
        assert card.word_count >= 100
        assert card.reading_grade <= card.reading_limit, (card.title, card.band)


def test_a_card_without_readings_has_no_result_and_lines_to_write_on(cards):
    for card in cards:
        assert card.result == ()
        assert all("______" in value for _, value in card.readings)


def test_readings_become_a_result_by_the_same_sum(words):
    """A glide that loses half its speed, in plain arithmetic."""
    coast = teach.EXPERIMENTS["coast_down"]
    given = {
        name: teach.Number(text=text, unit=unit)
        for name, text, unit in (
            ("mass_kg", "0.300", "kg"), ("way_1_m", "2", "m"), ("time_1_s", "0.5", "s"), ("way_2_m", "2", "m"),
            ("time_2_s", "1.0", "s"), ("between_m", "3", "m"),
        )
    }  # fmt: skip
    card = teach.experiment_card(coast, "Willow", words, readings=given)
    found = {step.key: float(step.answer.text) for step in card.result}
    assert found["fast"] == 4.0
    assert found["slow"] == 2.0
    assert found["coast_drag"] == pytest.approx(0.3 * (16 - 4) / 6, abs=0.01)
    assert found["coast_factor"] == pytest.approx(0.3 * math.log(2) / 3, abs=0.001)


def test_a_change_larger_than_its_doubt_is_told_and_a_smaller_one_is_not(words):
    test = teach.EXPERIMENTS["with_without"]

    def verdict(without: tuple[str, ...]) -> str:
        runs = {
            "with_runs": tuple(teach.Number(text=t) for t in ("5.3", "5.4", "5.2")),
            "without_runs": tuple(teach.Number(text=t) for t in without),
        }
        return teach.experiment_card(test, "Reed", words, readings=runs).verdict

    assert "did something" in verdict(("4.3", "4.4", "4.2"))
    assert "cannot tell" in verdict(("5.3", "5.5", "5.2"))


def test_a_boat_that_got_faster_while_it_coasted_is_asked_about(words):
    coast = teach.EXPERIMENTS["coast_down"]
    texts = {
        "mass_kg": "0.3",
        "way_1_m": "2",
        "time_1_s": "0.9",
        "way_2_m": "2",
        "time_2_s": "0.5",
        "between_m": "3",
    }
    given = {name: teach.Number(text=text) for name, text in texts.items()}
    for band in teach.BANDS:
        assert "push was not over" in teach.experiment_card(coast, band, words, readings=given).verdict


def test_plumb_lines_that_never_cross_are_refused_in_a_sentence(words):
    same = {name: teach.Number(text="60") for name in ("a_hang_mm", "a_high_mm", "b_hang_mm", "b_high_mm")}
    same |= {"a_foot_mm": teach.Number(text="90"), "b_foot_mm": teach.Number(text="90")}
    with pytest.raises(InputError, match="cannot belong together"):
        teach.experiment_card(teach.EXPERIMENTS["two_strings"], "Willow", words, readings=same)


def planned(words, effect: float, spread: float, **more) -> teach.FairTest:
    measured = {
        "mass": [
            teach.MeasuredChange(use="clock", effect=effect, spread=spread, own_runs=3, is_own=True),
            teach.MeasuredChange(use="tape", effect=more.get("far", 1.8), spread=5.0, own_runs=3, is_own=True),
        ]
    }  # fmt: skip
    return teach.plan_fair_test(["mass"], measured, words, minutes=4.0)


def test_glue_is_told_by_the_clock_and_not_by_the_tape(words):
    """38 g of glue: 121 runs each way by the tape, 17 by the clock."""
    plan = planned(words, 0.26, 0.27)
    assert {ruler.use: ruler.runs for ruler in plan.rulers} == {"clock": 17, "tape": 121}
    assert plan.best.use == "clock"
    assert any("use the clock" in line for line in plan.says)


def test_so_many_runs_do_tell_the_change_four_times_in_five():
    """Seasons drawn at random, told apart by a plain test of two means."""
    rng, told, tries, runs = random.Random(5), 0, 2000, 17
    for _ in range(tries):
        a = [rng.gauss(0.0, 0.27) for _ in range(runs)]
        b = [rng.gauss(0.26, 0.27) for _ in range(runs)]
        doubt = math.sqrt((statistics.variance(a) + statistics.variance(b)) / runs)
        told += abs(statistics.mean(b) - statistics.mean(a)) > 2.037 * doubt  # Student, 32 free, 5 %
    assert told / tries == pytest.approx(0.8, abs=0.04)


def test_three_runs_each_way_at_least(words):
    assert planned(words, 9.0, 0.1).best.runs == FEWEST


def test_a_change_too_small_to_see_is_told_so(words):
    plan = planned(words, 0.0, 0.27, far=0.0)
    assert plan.best is None
    assert any("too little to be seen at all" in line for line in plan.says)


@pytest.fixture(scope="module")
def found(answered):
    entry = answered.boat(7)
    return entry, desk.forecast_boat(desk.question_about(answered, entry, runs=40, seed=1), name="")


def test_two_changes_are_answered_with_why_it_would_be_unclear(answered, log, found, table):
    entry, cast = found
    made = desk.fair_test(answered, entry, log, cast, changes=["mass", "blade yaw"], words=table, first=table)
    assert not made.plan.clear
    assert made.plan.rulers == ()
    text = " ".join(made.plan.says)
    assert "not be clear" in text
    assert "Which one did it" in text


def test_without_three_runs_of_its_own_a_boat_takes_its_class_and_says_so(answered, log, found, table):
    entry, cast = found
    made = desk.fair_test(answered, entry, log, cast, changes=["mass"], words=table, first=table)
    assert "take the class" in " ".join(made.plan.says)
    values = [
        [r.result.gate_time for r in desk_runs if r.speaks_of_the_boat and r.result.gate_time is not None]
        for desk_runs in (
            _since(log, k.number) for k in answered.boats if (k.kit, k.device) == ("Fold 62", "Whirr 5")
        )
    ]
    squares = sum(statistics.variance(v) * (len(v) - 1) for v in values if len(v) > 1)
    free = sum(len(v) - 1 for v in values if v)
    clock = next(r for r in made.plan.rulers if r.use == "clock")
    assert float(clock.spread.text) == pytest.approx(math.sqrt(squares / free), abs=0.0051)


def _since(log, number):
    from skimwright.trials import since_change

    return since_change(log.book.of(number))


def test_a_change_nobody_measured_is_refused(answered, log, found, table):
    entry, cast = found
    with pytest.raises(InputError, match="no measurement of"):
        desk.fair_test(answered, entry, log, cast, changes=["pad toe left"], words=table, first=table)


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_card_stays_on_its_paper(answered, log, found, table, large, paper):
    from test_teach_layout import faults, longer

    wordy = {name: part if name in ("about", "numbers") else longer(part) for name, part in table.items()}
    entry, cast = found
    style = {"paper": paper, "large": large, "first": table}
    for words in (table, wordy):
        made = [
            *desk.experiment_cards(answered, words=words, band="Willow", entry=entry, **style),
            desk.fair_test(answered, entry, log, cast, changes=["mass"], words=words, **style),
        ]
        for each in made:
            for page in each.pages:
                assert not faults(page), page.title


def test_a_crew_with_three_runs_since_its_last_change_is_measured_by_its_own_spread(answered, log, table):
    from skimwright.trials import since_change

    def times(number):
        runs = [r for r in since_change(log.book.of(number)) if r.speaks_of_the_boat]
        return [r.result.gate_time for r in runs if r.result.gate_time is not None]

    number = next(entry.number for entry in answered.boats if len(times(entry.number)) >= 3)
    entry = answered.boat(number)
    cast = desk.forecast_boat(desk.question_about(answered, entry, runs=40, seed=1), name="")
    made = desk.fair_test(answered, entry, log, cast, changes=["mass"], words=table, first=table)
    clock = next(ruler for ruler in made.plan.rulers if ruler.use == "clock")
    assert float(clock.spread.text) == pytest.approx(statistics.stdev(times(number)), abs=0.0051)
    assert f"Your own {len(times(number))} runs" in clock.says

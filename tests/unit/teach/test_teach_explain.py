"""Every forecast figure of 24 boats, unfolded for four bands: each printed sum is right, each text easy enough."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from printed import both_sides

from skimwright import desk, teach
from skimwright.base import InputError, ModelError
from skimwright.teach.explain_sums import rungs
from skimwright.teach.numbers import worked
from skimwright.teach.told import told_numbers


@pytest.fixture(scope="module")
def told(answered):
    """24 boats, a short forecast each: the sums do not care how many runs were drawn."""
    found = []
    for entry in answered.boats:
        question = desk.question_about(answered, entry, runs=150, seed=7)
        cast = desk.forecast_boat(question, name=entry.label)
        found.append(
            teach.Told(
                title=entry.label, question=question, forecast=cast.forecast, effects=cast.effects,
                at_rest=cast.floating.at_rest, feet=cast.floating.feet,
            )
        )  # fmt: skip
    return found


@pytest.fixture(scope="module")
def explained(told, words):
    return [
        (boat, teach.explain(boat, figure, band, words))
        for boat in told
        for band in teach.BANDS
        for figure in teach.FIGURES
    ]


def test_every_printed_sum_comes_out_as_printed(explained):
    """24 boats x 12 figures x 4 bands, by a reader of school arithmetic that shares nothing with the program."""
    assert len(explained) == 24 * 12 * 4
    checked = 0
    for _, each in explained:
        for step in each.steps:
            left, right, half = both_sides(step.sum)
            assert abs(left - right) <= half * 1.0001, (each.figure, each.band, step.sum)
            checked += 1
    assert checked > 2500


def test_the_reader_of_sums_can_say_no():
    left, right, half = both_sides("30.48 m ÷ 5.36 s = 5.79 m/s")
    assert abs(left - right) > half


def test_the_last_sum_is_the_figure_itself(explained):
    """Where a step closes the working, its answer is what is shown; a figure without one was read off a scale."""
    for _, each in explained:
        closing = [step.answer for step in each.steps if step.closes]
        if each.value is None:
            assert not each.steps
        elif each.figure in ("mass", "balance"):
            assert not closing
        elif closing:
            assert [float(answer.text) for answer in closing] == [float(each.value.text)], (
                each.figure,
                each.band,
            )
    closed = {each.figure for _, each in explained if any(step.closes for step in each.steps)}
    assert closed == set(teach.FIGURES) - {"mass", "balance"}


def test_the_figures_are_those_of_the_forecast(told, words):
    for boat in told:
        cast = boat.forecast
        shown = {name: teach.explain(boat, name, "Willow", words).value for name in teach.FIGURES}
        assert float(shown["mass"].text) == pytest.approx(cast.built["mass"].mean * 1e3, abs=0.5)
        assert float(shown["float_line"].text) == pytest.approx(boat.at_rest.draft_bow * 1e3, abs=0.051)
        assert float(shown["top_speed"].text) == pytest.approx(cast.top_speed.p50, abs=0.0051)
        assert float(shown["distance"].text) == pytest.approx(cast.distance.p50, abs=0.051)
        assert float(shown["gate_time"].text) == pytest.approx(cast.gate_time.p50, abs=0.0051)
        assert float(shown["drift"].text) == pytest.approx(abs(cast.drift.p50), abs=0.0051)
        assert float(shown["gate_chance"].text) == pytest.approx(100 * cast.through_aimed, abs=0.51)
        assert float(shown["reach"].text) == pytest.approx(100 * cast.reaches, abs=0.51)
        assert float(shown["blow_over"].text) == pytest.approx(cast.blow_over.margin, abs=0.0051)
        assert float(shown["course"].text) == pytest.approx(100 * cast.straight.margin, abs=0.6)
        assert float(shown["feet"].text) == pytest.approx(100 * boat.feet.stern, abs=1.0)


def test_the_middle_run_does_explain_the_middle_of_the_runs(told):
    """What luck adds to the run that is shown stays within half of what nine runs of ten span."""
    for boat in told:
        numbers = told_numbers(boat, "Willow")
        for name, range_ in (("top_speed", boat.forecast.top_speed), ("distance", boat.forecast.distance)):
            rest = next(
                numbers[f"{name}_{way}"] for way in ("more", "less", "same") if f"{name}_{way}" in numbers
            )
            assert float(rest.text) <= 0.5 * (range_.p95 - range_.p05)


@pytest.mark.parametrize("band", teach.BANDS)
def test_a_slip_in_any_step_is_caught_by_the_second_way(told, band):
    from skimwright.teach.sums import SAID

    caught = set()
    for boat in told[5:8]:
        numbers = {**SAID, **told_numbers(boat, band)}
        for steps in rungs(band).values():
            for rung in steps:
                answer = numbers[rung.ask.key] = worked(rung.ask, numbers)
                if answer is not None and float(answer.text):
                    slipped = replace(rung.ask, first=lambda n, right=rung.ask.first: right(n) * 1.001)
                    with pytest.raises(ModelError):
                        worked(slipped, numbers)
                    caught.add(rung.ask.key)
    assert len(caught) > 15


def test_the_text_is_no_harder_than_the_band_by_the_published_formula(explained):
    for _, each in explained:
        if each.word_count >= 100:
            assert each.reading_grade <= each.reading_limit, (each.figure, each.band)
    assert sum(each.word_count >= 100 for _, each in explained) > 700


def test_older_bands_see_more_of_the_working(told, words):
    counts = [
        sum(len(teach.explain(told[6], figure, band, words).steps) for figure in teach.FIGURES)
        for band in teach.BANDS
    ]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def test_no_brace_no_code_name_and_no_blank_reaches_a_reader(explained):
    for _, each in explained:
        for line in (
            each.shown,
            each.tells,
            each.range,
            *each.changes,
            *(s.says + s.sum for s in each.steps),
        ):
            assert "{" not in line
            assert "None" not in line
            assert "__" not in line.replace("______", "__") or each.value is None, (
                each.figure,
                each.band,
                line,
            )


def test_what_the_forecast_does_not_have_is_said_and_not_worked(told, words):
    cast = replace(told[6].forecast, gate_time=None, drift=None)
    for figure in ("gate_time", "drift"):
        each = teach.explain(replace(told[6], forecast=cast), figure, "Reed", words)
        assert each.value is None
        assert not each.steps
        assert "Too few" in each.shown


def test_a_boat_that_does_not_hold_its_course_is_told_so(told, words):
    cast = replace(told[6].forecast, straight=replace(told[6].forecast.straight, stable=False, margin=-0.1))
    assert "does not hold its course" in teach.explain(
        replace(told[6], forecast=cast), "course", "Cress", words
    ).shown  # fmt: skip


def test_a_boat_nobody_weighed_is_explained_as_drawn(answered, words):
    entry = replace(answered.boat(7), built=replace(answered.boat(7).built, mass=None, balance_x=None))
    question = desk.question_about(answered, entry, runs=40, seed=3)
    cast = desk.forecast_boat(question, name=entry.label)
    boat = teach.Told(
        title=entry.label, question=question, forecast=cast.forecast, effects=cast.effects,
        at_rest=cast.floating.at_rest, feet=cast.floating.feet,
    )  # fmt: skip
    each = teach.explain(boat, "mass", "Reed", words)
    assert [step.key for step in each.steps] == ["drawn_g", "weight"]
    assert str(each.steps[0].answer) == str(each.value) == "269 g"


def test_what_would_change_it_names_the_strongest_of_the_boats_own_faults_first(told, words):
    for boat in told:
        each = teach.explain(boat, "drift", "Willow", words)
        felt = [e for e in boat.effects if math.isfinite(e.drift) and abs(e.drift) >= 0.05]
        if felt:
            strongest = max(felt, key=lambda e: abs(e.drift))
            assert each.changes[0].startswith(words.say(f"explain.cause.{strongest.key}"))


def test_an_unknown_number_is_one_sentence():
    with pytest.raises(InputError, match="no such number to explain"):
        teach.figure_named("swagger")


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_an_explanation_stays_on_its_paper(answered, told, table, large, paper):
    from test_teach_layout import faults, longer

    wordy = {name: part if name in ("about", "numbers") else longer(part) for name, part in table.items()}
    entry = answered.boat(7)
    cast = desk.forecast_boat(told[6].question, name=entry.label)
    for words, band in ((table, "Cress"), (wordy, "Willow")):
        made = desk.explain_numbers(
            answered, entry, cast, words=words, first=table, band=band, paper=paper, large=large
        )
        assert len(made) == len(teach.FIGURES)
        for each in made:
            for page in each.pages:
                assert not faults(page), page.title


def test_a_simulated_figure_names_its_sources_and_a_weighed_one_needs_none(answered, told, table):
    entry = answered.boat(7)
    cast = desk.forecast_boat(told[6].question, name=entry.label)
    made = {
        each.explained.figure: each
        for each in desk.explain_numbers(answered, entry, cast, words=table, first=table)
    }
    assert not made["mass"].sources
    assert {cited.use for cited in made["blow_over"].sources} >= {"blowing over", "air in the tunnel"}
    assert {"Savitsky1964", "Matveev2019"} <= {cited.key for cited in made["distance"].sources}

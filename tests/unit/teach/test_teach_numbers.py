"""Numbers as printed, and the refusal to print what two ways do not agree on."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from skimwright.base import ModelError
from skimwright.teach.numbers import Number, Sum, number, places_for, worked
from skimwright.teach.sums import SUMS

HALVE = Sum(
    key="half", needs=("a",), unit="g", places=0, first=lambda n: n["a"] / 2, again=lambda n: n["a"] / 2
)


@pytest.mark.parametrize(
    "value, places, text",
    [
        (0.25, 1, "0.3"),
        (2.5, 0, "3"),
        (-2.5, 0, "-3"),
        (0.305, 2, "0.31"),
        (1161.4, -1, "1160"),
        (0.04, 1, "0.0"),
    ],
)
def test_a_half_is_rounded_away_from_nought_as_at_school(value, places, text):
    assert number(value, places=places).text == text


def test_significant_figures_do_not_depend_on_size():
    assert [places_for(v, figures=3) for v in (0.0304, 3.04, 304.0, 30400.0)] == [4, 2, 0, -2]


def test_an_answer_is_worked_from_what_is_printed():
    assert str(worked(HALVE, {"a": Number(text="307", unit="g")})) == "154 g"


def test_a_missing_measurement_gives_no_answer_never_nought():
    assert worked(HALVE, {"a": None}) is None
    assert worked(HALVE, {}) is None


@pytest.mark.parametrize("wrong", [1.001, 1.00001, -1.0, 0.0])
def test_nothing_is_printed_where_two_ways_differ(wrong):
    broken = replace(HALVE, again=lambda n: n["a"] / 2 * Fraction(wrong))
    with pytest.raises(ModelError, match="one way and"):
        worked(broken, {"a": Number(text="307")})


def test_an_answer_that_is_no_number_is_not_printed():
    with pytest.raises(ModelError):
        worked(replace(HALVE, first=lambda n: float("nan")), {"a": Number(text="1")})


PLENTY = {
    "mass_g": "307", "mass_kg": "0.307", "balance_mm": "353", "stand_mm": "353", "length_mm": "620", "beam_mm": "280",
    "length_cm": "62", "beam_cm": "28", "pads_mm": "255", "stern_mm": "605", "gate_m": "30.48", "gate_cm": "500",
    "time_s": "5.11", "drift_cm": "40", "drift_m": "0.4", "bend_m": "0.4", "push_n": "1.90", "lost_n": "0.045",
    "roof_wide_mm": "150", "roof_long_mm": "570", "roof_rise_mm": "34",
}  # fmt: skip


@pytest.mark.parametrize("band", SUMS)
def test_a_slip_in_any_formula_is_caught_by_the_second_way(band):
    """Every sum, off by one in a thousand: none may pass."""
    from skimwright.teach.sums import SAID

    numbers = {**SAID, **{name: Number(text=text) for name, text in PLENTY.items()}}
    numbers["runs_m"] = tuple(Number(text=text) for text in ("46.6", "49.4", "48.1"))
    checked = 0
    for asks in SUMS[band].values():
        for ask in asks:
            slipped = replace(ask, first=lambda n, right=ask.first: right(n) * 1.001)
            with pytest.raises(ModelError):
                worked(slipped, numbers)
            numbers[ask.key] = worked(ask, numbers)
            assert numbers[ask.key] is not None, ask.key
            checked += 1
    assert checked >= 9

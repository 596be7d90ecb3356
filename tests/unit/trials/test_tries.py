"""Tries at the gate: what each brought, and how often boats pass that are said to."""

import math

import numpy as np
import pytest

from skimwright.pond import Gate
from skimwright.trials import (
    NOT_TOLD,
    ODD,
    BoatKind,
    GateLog,
    Result,
    chance_in_tries,
    chance_to_pass,
    gate_chance,
    gate_log,
    kind_of,
    verdict_of,
)
from skimwright.trials import gate as gate_file

DEGREE = math.pi / 180
GATE = Gate()
HALF = math.atan2(2.5, 30.48)


@pytest.mark.parametrize(
    "result, says",
    [
        (Result(ending="hooked", distance=12.0), "hooked"),
        (Result(distance=48.0, drift=2.4), "through the gate"),
        (Result(distance=48.0, drift=-2.6), "ran wide"),
        (Result(distance=29.0), "stopped short"),
        (Result(distance=48.0), NOT_TOLD),
        (Result(), NOT_TOLD),
        (Result(ending="through the gate", distance=20.0), ODD),
        (Result(ending="through the gate", distance=48.0, drift=4.0), ODD),
        (Result(ending="through the gate", distance=48.0), "through the gate"),
    ],
)
def test_a_try_is_judged_by_its_ending_and_figures_and_never_guessed(result, says):
    assert verdict_of(result, gate=GATE) == says


@pytest.mark.parametrize("spread, percent", [(3, 99.8), (6, 91.8)])
def test_with_nothing_in_doubt_it_is_the_closed_form(monkeypatch, spread, percent):
    """Worked apart: 1 - (1 - p)^3 with p = 88.2 and 56.5 % at 3 and 6 deg, independent and unbiased."""
    monkeypatch.setattr(gate_file, "RUN_DOUBT", 1e-6)
    sure = BoatKind(bias_sd=0.002 * DEGREE, run_sd=spread * DEGREE, crossed=1 - 1e-9)
    found = chance_to_pass(GateLog(), sure, gate=GATE, tries=3)
    one = gate_chance(bias=0.0, sd=spread * DEGREE, half_width=HALF)
    assert 100 * found == pytest.approx(percent, abs=0.06)
    assert found == pytest.approx(chance_in_tries(one=one, tries=3), abs=1e-4)


def test_doubt_about_the_bias_makes_tries_fail_together():
    sure = BoatKind(bias_sd=0.01 * DEGREE, run_sd=math.hypot(4, 3) * DEGREE)
    unsure = BoatKind(bias_sd=4 * DEGREE, run_sd=3 * DEGREE)
    one = [chance_to_pass(GateLog(), kind, gate=GATE, tries=1) for kind in (sure, unsure)]
    three = [chance_to_pass(GateLog(), kind, gate=GATE, tries=3) for kind in (sure, unsure)]
    assert one[0] == pytest.approx(one[1], abs=0.02)
    assert three[1] < three[0] - 0.02


def test_a_boat_that_missed_is_likelier_to_miss_again():
    kind = BoatKind()
    chances = [
        chance_to_pass(GateLog(wide=wide, through=through), kind, gate=GATE, tries=2)
        for wide, through in ((0, 3), (0, 0), (3, 0))
    ]
    assert chances == sorted(chances, reverse=True)
    assert chance_to_pass(GateLog(missed=4), kind, gate=GATE, tries=2) < chances[1]
    assert chance_to_pass(GateLog(), kind, gate=GATE, tries=0) == pytest.approx(0.0)


def test_known_spreads_come_back_from_many_boats():
    rng = np.random.default_rng(5)
    logs = []
    for _ in range(400):
        bias = rng.normal(1.0 * DEGREE, 4.0 * DEGREE)
        logs.append(
            GateLog(bearings=tuple(rng.normal(bias, 2.0 * DEGREE, 4)), missed=int(rng.random() < 0.5))
        )
    kind = kind_of(logs)
    assert kind.bias / DEGREE == pytest.approx(1.0, abs=0.6)
    assert kind.bias_sd / DEGREE == pytest.approx(4.0, rel=0.1)
    assert kind.run_sd / DEGREE == pytest.approx(2.0, rel=0.05)
    assert kind.crossed == pytest.approx(4 / 4.5, abs=0.02)


def test_drawn_boats_pass_as_often_as_said():
    rng = np.random.default_rng(8)
    kind = BoatKind()
    said, came = [], []
    for _ in range(1500):
        bias = rng.normal(0.0, kind.bias_sd)
        spread = kind.run_sd * math.exp(0.3 * rng.standard_normal())
        crossed = rng.beta(4.5, 0.5)
        runs = [
            Result(distance=48.0, drift=30.48 * math.tan(b))
            if rng.random() < crossed
            else Result(distance=9.0)
            for b in rng.normal(bias, spread, 5)
        ]
        said.append(chance_to_pass(gate_log(runs[:3], gate=GATE), kind, gate=GATE, tries=2))
        came.append(any(verdict_of(run, gate=GATE) == "through the gate" for run in runs[3:]))
    said, came = np.array(said), np.array(came, dtype=float)
    for low, high in ((0.0, 0.6), (0.6, 0.85), (0.85, 0.95), (0.95, 1.0)):
        some = (said >= low) & (said < high)
        error = math.sqrt(0.25 / some.sum())
        assert abs(said[some].mean() - came[some].mean()) < 3 * error, (low, high, some.sum())

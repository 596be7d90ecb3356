"""The drifts printed in docs/physics/run.md are those the program gives, to the printed digit."""

import math
from pathlib import Path

import pytest

from factories import CALM, ask, middle_run

PAGE = Path(__file__).parents[2] / "docs" / "physics" / "run.md"
DEGREE = math.pi / 180.0
PRINTED = {  # words of the page: measured deviations, entries of the row
    "device 5 mm to starboard": ({"device_y": 0.005}, {}),
    "balance 4 mm to starboard": ({"balance_y": 0.004}, {}),
    "left pad's outer edge 1° high": ({"pad_cant_left": DEGREE}, {}),
    "blade's trailing edge 1° to starboard": ({"blade_yaw": DEGREE}, {}),
    "let go 1° to starboard": ({}, {"start_yaw": DEGREE}),
    "device pointing 1° to starboard": ({}, {"line_y": math.sin(DEGREE)}),
    "floor twisted 1°, starboard steeper": ({"floor_twist": DEGREE}, {}),
    "both pads' toe 1° to starboard": ({"pad_toe_left": DEGREE, "pad_toe_right": DEGREE}, {}),
}


def printed():
    rows = [line.strip("| \n").split(" | ") for line in PAGE.read_text("utf8").splitlines() if " m |" in line]
    return {words: cell.split(" m")[0].replace("−", "-") for words, cell in rows}


@pytest.mark.parametrize("words", PRINTED)
def test_the_pages_drift_is_the_programs(kits, devices, words):
    built, row = PRINTED[words]
    drift = middle_run(ask(kits["fold-62"], devices["whirr-5"], **built), **(CALM | row))["gate_drift"]
    text = printed()[words]
    assert drift == pytest.approx(float(text), abs=0.6 * 10 ** -len(text.partition(".")[2]))


def test_the_pages_crosswind_is_the_programs(kits, devices):
    question = ask(kits["fold-62"], devices["whirr-5"], wind=2.0, wind_from=-90)
    drift = middle_run(question, gust_size=0.0, ripple_size=0.0)["gate_drift"]
    text = next(cell for words, cell in printed().items() if words.startswith("wind 2 m/s from port"))
    assert drift == pytest.approx(float(text), abs=0.06)

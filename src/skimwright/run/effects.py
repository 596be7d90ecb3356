"""What each thing measured on a boat does to its run, by itself.

The run with every cause at its middle is made again once for each measured deviation, with that one thing put
back as drawn, and once without wind.  The difference is the deviation's own doing.  Together they do not add up:
a boat is not a sum.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skimwright.boat import AsBuilt, running_form, spread, with_measured
from skimwright.run import stepping
from skimwright.run.forecast import PERIOD, PIECE, Question, at_rest, line_of
from skimwright.run.limits import critical_speeds
from skimwright.run.setup import run_rows, scene, strip_names, strip_rows
from skimwright.run.spread import BUILD_WORDS, causes, draw
from skimwright.run.stepping import HISTORY, RESULT_ROWS, RESULTS

WIND = "wind"


@dataclass(frozen=True, kw_only=True)
class Effect:
    """One measured deviation, or the wind, and what it does by itself in the middle run."""

    key: str
    words: str
    deviation: float  # measured less drawn: kg, m or rad; the wind: m/s
    drift: float  # change of drift at the gate, to starboard + [m]; nan if the gate is not reached
    distance: float  # change of distance [m]
    gate_time: float  # change of the time to the gate [s]; nan if it is not reached
    critical: float  # change of the air speed at which the front pads carry nothing [m/s]


def effects(question: Question) -> tuple[Effect, ...]:
    """Effect of each measured deviation of one boat, the strongest drift first.

    Parameters
    ----------
    question : Question
        Its runs and seed play no part: only the middle of each cause does.

    Raises
    ------
    InputError
        The kit cannot run, or the boat cannot float.

    Holds
        The middle run only; a ripple or a gust may hide a small effect (docs/physics/run.md).
    Trust
        As the forecast; the sign of a drift is surer than its size.
    """
    built, kit = question.built, question.kit
    spreads = spread(built, kit=kit)
    drawn_values = spread(AsBuilt(boat=built.boat), kit=kit)
    keys = [key for key in built.measured if key in BUILD_WORDS]
    if question.conditions.wind_speed > 0.0:
        keys.append(WIND)
    middle = draw(causes(spreads, question.device), runs=len(keys) + 1, seed=question.seed)
    trial = {key: np.full(len(keys) + 1, values[0]) for key, values in middle.items()}
    for row, key in enumerate(keys, start=1):
        if key == WIND:
            trial["wind_factor"][row] = 0.0
        else:
            trial[key][row] = drawn_values[key].mean
    body = with_measured(kit, built)
    rest, _ = at_rest(question, body.mass, body.centre)
    form = running_form(kit)
    shared = scene(
        form, device=question.device, conditions=question.conditions, gate_distance=question.gate.distance
    )
    rows = run_rows(trial, body=body, line=line_of(question), conditions=question.conditions, rest=rest)
    results = np.zeros((len(rows), RESULTS))
    stepping.run_all(
        rows, strip_rows(form, trial), len(strip_names(form)), shared, results,
        np.zeros((0, 1, HISTORY)), np.zeros(0, dtype=np.int64), PERIOD, PIECE,
    )  # fmt: skip
    critical = critical_speeds(rows, shared, form, results[:, RESULT_ROWS.index("top_speed")])[0]

    def change(row: int, name: str) -> float:
        column = results[:, RESULT_ROWS.index(name)]
        return float(column[0] - column[row])

    found = [
        Effect(
            key=key,
            words=BUILD_WORDS.get(key, "the wind"),
            deviation=question.conditions.wind_speed
            if key == WIND
            else spreads[key].mean - drawn_values[key].mean,
            drift=change(row, "gate_drift"),
            distance=change(row, "x"),
            gate_time=change(row, "gate_time"),
            critical=float(critical[0] - critical[row]),
        )
        for row, key in enumerate(keys, start=1)
    ]
    return tuple(sorted(found, key=lambda e: -abs(e.drift) if np.isfinite(e.drift) else 0.0))

"""Where a boat's run leaves what its models were ever checked for: said beside the figures, never left out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from skimwright.base import Finding
from skimwright.boat import running_form
from skimwright.physics import air, blade, board, crosswind, planing
from skimwright.pond import along_and_across
from skimwright.run import HISTORY_ROWS, WIND_LOW, Forecast, Question

FACES = 0.154  # paper faces of one hobby board, both [kg/m2], second-hand: docs/physics/board.md
SEA_LEVEL = 101_325.0  # [Pa]
HALF_DAMP = 0.5  # a middling humidity: it hardly matters [-]


def outside_known(question: Question, result: Forecast) -> tuple[Finding, ...]:
    """Each model at the extremes this boat meets, and what it says of its own limits.

    Parameters
    ----------
    question : Question
    result : Forecast
        Of that question.
    """
    kit, day = question.kit, question.conditions
    along, across = along_and_across(
        speed=WIND_LOW * (day.wind_gust or day.wind_speed), wind_from=day.wind_from, heading=day.heading
    )
    return (
        *air.envelope(temperature=day.air_temperature, pressure=SEA_LEVEL, humidity=HALF_DAMP),
        *crosswind.envelope(forward_speed=result.top_speed.p50 - along, cross_speed=across),
        *[
            found
            for found in _board(kit.board.areal_density, kit.board.thickness)
            if found.code == "board-mass"
        ],
        *_at_full_speed(question, result),
    )


def _board(areal_density: float, thickness: float) -> tuple[Finding, ...]:
    core = max(areal_density - FACES, 0.05) / thickness
    return board.envelope(areal_density=areal_density, core_density=core)


def _at_full_speed(question: Question, result: Forecast) -> tuple[Finding, ...]:
    """The pads and the blade where the run with every cause at its middle is fastest."""
    speeds = result.middle[:, HISTORY_ROWS.index("speed")]
    if not np.isfinite(speeds).any():
        return ()
    row = result.middle[int(np.nanargmax(speeds))]
    speed, trim = row[HISTORY_ROWS.index("speed")], row[HISTORY_ROWS.index("trim")]
    found: list[Finding] = []
    for plate in running_form(question.kit).plates:
        if plate.name.startswith("pad"):
            side = plate.name.removeprefix("pad-")
            drawn = math.atan2(plate.front[2] - plate.rear[2], plate.rear[0] - plate.front[0])
            angle = drawn + result.built[f"pad_angle_{side}"].mean + trim
            limits = planing.envelope(
                trim=angle, wetted_ratio=1.0, speed_coefficient=speed / math.sqrt(9.80665 * plate.beam)
            )
            found += [replace(limit, where=f"the {side} pad at full speed") for limit in limits]
    yaw = result.built["blade_yaw"].mean
    found += [f for f in blade.envelope(angle=yaw, aspect=1.0) if f.code == "blade-angle"]
    return tuple({finding.code: finding for finding in found}.values())  # each said once, not for both sides

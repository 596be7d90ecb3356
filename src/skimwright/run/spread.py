"""What differs from run to run, and by how much: the builder, the device, the launch, the weather, and the model.

Every cause is drawn for every run from one seed, evenly spread over its range (a Latin hypercube), so that a
thousand runs speak for all of them together.  Run 0 has every cause at its middle: it is the picture of the run,
and takes no part in the ranges.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from skimwright.boat import Spread
from skimwright.physics.thrust import Device
from skimwright.pond import Conditions, along_and_across

Array = NDArray[np.float64]
DEGREE = math.pi / 180.0
Shape = Literal["normal", "factor", "even"]
Group = Literal["build", "device", "launch", "weather", "model"]


@dataclass(frozen=True, kw_only=True)
class Cause:
    """One thing that makes two runs differ."""

    key: str
    words: str  # as a coach would say it
    group: Group
    shape: Shape  # normal: middle and sd; factor: middle and sd of its logarithm; even: between two ends
    middle: float
    wide: float
    unit: str  # of middle and wide, SI; - for none
    status: str = "choice"


WIND_LOW = 0.6  # of the wind at head height that is left down at the boat [-]

# Causes that are the same for every boat.  Sizes are choices until a season's log says better, save where a
# source is named in docs/physics/spread.md.
_ROWS: tuple[tuple[str, Group, Shape, float, float, str, str], ...] = (
    ("start_yaw", "launch", "normal", 0.0, 1.5 * DEGREE, "rad", "the heading it is let go on"),
    ("start_yaw_rate", "launch", "normal", 0.0, 3.0 * DEGREE, "rad/s", "a twist of the hand at the start"),
    ("start_speed", "launch", "even", 0.3, 0.3, "m/s", "the push at the start"),
    ("start_trim", "launch", "normal", 0.0, 1.0 * DEGREE, "rad", "bow up or down at the start"),
    ("start_heel", "launch", "normal", 0.0, 1.5 * DEGREE, "rad", "leaning at the start"),
    ("thrust_toe", "device", "normal", 0.0, 0.7 * DEGREE, "rad", "the device pointing a little sideways"),
    ("thrust_tilt", "device", "normal", 0.0, 1.0 * DEGREE, "rad", "the device pointing a little up or down"),
    ("burn_time", "device", "factor", 1.0, 0.03, "-", "how long the device pushes"),
    ("wind_factor", "weather", "factor", 1.0, 0.2, "-", "the strength of the wind"),
    ("wind_turn", "weather", "normal", 0.0, 12.0 * DEGREE, "rad", "the wind's direction"),
    ("wind_low", "weather", "even", WIND_LOW, 0.12, "-", "how much wind is left down at the boat"),
    ("gust_share", "weather", "even", 0.5, 0.5, "-", "gusts"),
    ("gust_period", "weather", "even", 7.0, 4.0, "s", "how fast gusts come"),
    ("gust_phase", "weather", "even", 0.0, math.pi, "rad", "when the gust comes"),
    ("ripple_factor", "weather", "factor", 1.0, 0.5, "-", "ripples on the water"),
    ("ripple_length", "weather", "even", 0.20, 0.10, "m", "the length of the ripples"),
    ("ripple_turn", "weather", "normal", 0.0, 25.0 * DEGREE, "rad", "which way the ripples run"),
    ("ripple_phase", "weather", "even", 0.0, math.pi, "rad", "where the ripples lie"),
    ("friction_mix", "model", "even", 0.5, 0.5, "-", "smooth or rough flow under the pads"),
    ("lift_factor", "model", "factor", 1.0, 0.15, "-", "the planing lift law"),
    ("hump_strength", "model", "even", 0.2, 0.1, "-", "the wave drag before it skims"),
    ("tunnel_factor", "model", "factor", 1.0, 0.3, "-", "the tunnel's air lift and its leaks"),
    ("deck_factor", "model", "factor", 1.0, 0.25, "-", "the deck's air lift"),
    ("drag_factor", "model", "factor", 0.9, 0.2, "-", "the drag of the blunt bow in the air"),
    ("side_air_factor", "model", "factor", 1.0, 0.25, "-", "how hard a crosswind pushes the sides"),
    ("side_water_factor", "model", "factor", 1.0, 0.5, "-", "the grip of the sponsons' wet sides"),
    ("heave_damping", "model", "factor", 0.3, 0.4, "-", "how the water stills bobbing"),
    ("blade_factor", "model", "factor", 1.0, 0.2, "-", "the grip of the blade"),
    ("vent_angle", "model", "even", 13.0 * DEGREE, 7.0 * DEGREE, "rad", "when air runs down the blade"),
    ("vent_factor", "model", "even", 0.4, 0.1, "-", "how much grip an aired blade keeps"),
)  # fmt: skip
COMMON: tuple[Cause, ...] = tuple(
    Cause(key=key, words=words, group=group, shape=shape, middle=middle, wide=wide, unit=unit)
    for key, group, shape, middle, wide, unit, words in _ROWS
)

BUILD_WORDS = {
    "mass": "the boat's mass",
    "balance_x": "the balance point, fore and aft",
    "balance_y": "weight to one side",
    "balance_z": "the height of the balance point",
    "pad_angle_left": "the left pad's angle",
    "pad_angle_right": "the right pad's angle",
    "pad_toe_left": "the left pad's toe",
    "pad_toe_right": "the right pad's toe",
    "pad_cant_left": "the left pad's cant",
    "pad_cant_right": "the right pad's cant",
    "blade_yaw": "the blade's angle",
    "floor_twist": "twist in the floor",
    "device_y": "the device off the centre line",
    "water_gain": "water soaked up",
}


def causes(built: Mapping[str, Spread], device: Device) -> tuple[Cause, ...]:
    """Every cause for one boat: what was measured on it or left to its class, its device, and the common ones."""
    own = tuple(
        Cause(
            key=key,
            words=words + ("" if built[key].measured else " (not measured)"),
            group="build",
            shape="normal",
            middle=built[key].mean,
            wide=built[key].sd,
            unit="kg" if key in ("mass", "water_gain") else "m" if key[:3] in ("bal", "dev") else "rad",
            status="measured" if built[key].measured else "class spread",
        )
        for key, words in BUILD_WORDS.items()
    )
    push = Cause(
        key="thrust_factor", words="the device's push", group="device", shape="factor", middle=1.0,
        wide=device.impulse_spread, unit="-",
    )  # fmt: skip
    return (*own, push, *COMMON)


def draw(all_causes: tuple[Cause, ...], *, runs: int, seed: int) -> dict[str, Array]:
    """Values of every cause for every run; entry 0 is the middle of each.

    Parameters
    ----------
    all_causes : from :func:`causes`
    runs : int, > 0
        Runs drawn besides run 0.
    seed : int
        Same seed, same draws, on any machine.

    Returns
    -------
    dict of float array (runs + 1,)

    Examples
    --------
    >>> both = [draw(COMMON, runs=8, seed=5)["wind_turn"] for _ in range(2)]
    >>> bool((both[0] == both[1]).all()), float(both[0][0])
    (True, 0.0)
    """
    out: dict[str, Array] = {}
    for index, cause in enumerate(all_causes):
        rng = np.random.Generator(np.random.PCG64([seed, index]))
        even = (rng.permutation(runs) + rng.random(runs)) / runs
        if cause.shape == "even":
            values = cause.middle + cause.wide * (2.0 * even - 1.0)
        else:
            steps = cause.wide * np.clip(ndtri(even), -3.5, 3.5)
            values = cause.middle * np.exp(steps) if cause.shape == "factor" else cause.middle + steps
        out[cause.key] = np.concatenate([[cause.middle], values])
    out["water_gain"] = np.maximum(out["water_gain"], 0.0) if "water_gain" in out else np.zeros(runs + 1)
    return out


def ripple_height(conditions: Conditions) -> float:
    """Usual height of ripples on a small pond, crest over mean level [m]; a choice, wide band.

    0.3 mm on a still day and 0.35 mm more for each m/s of wind.
    """
    if conditions.ripple is not None:
        return conditions.ripple
    return 0.0003 + 0.00035 * conditions.wind_speed


def wind_rows(drawn: Mapping[str, Array], conditions: Conditions) -> dict[str, Array]:
    """Wind, gusts and ripples of every run in the kernel's terms."""
    factor = drawn["wind_factor"] * drawn["wind_low"]
    pairs = [
        along_and_across(
            speed=conditions.wind_speed, wind_from=conditions.wind_from + turn, heading=conditions.heading
        )
        for turn in drawn["wind_turn"]
    ]
    wind = np.array(pairs) * factor[:, None]
    number = 2.0 * math.pi / drawn["ripple_length"]
    off = conditions.wind_from - conditions.heading + math.pi + drawn["ripple_turn"]
    # deep-water ripples: gravity and the tension of the surface
    rate = np.sqrt(9.80665 * number + 0.0735 / 999.0 * number**3)
    return {
        "wind_x": wind[:, 0],
        "wind_y": wind[:, 1],
        "gust_size": conditions.gust_ratio * drawn["gust_share"],
        "gust_rate": 2.0 * math.pi / drawn["gust_period"],
        "gust_phase": drawn["gust_phase"],
        "ripple_size": ripple_height(conditions) * drawn["ripple_factor"],
        "ripple_x": number * np.cos(off),
        "ripple_y": number * np.sin(off),
        "ripple_rate": rate,
        "ripple_phase": drawn["ripple_phase"],
    }

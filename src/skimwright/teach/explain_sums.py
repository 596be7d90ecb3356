"""How each forecast figure is unfolded: its sums, for which bands, each with a second road to the same number.

The words and the printed sum of each stand in the catalogue under the same key.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from skimwright.teach.facts import Band
from skimwright.teach.methods import added_up, halved
from skimwright.teach.numbers import Sum
from skimwright.teach.told import DIGITS

Given = Any
CRESS, RUSH, REED, WILLOW = "Cress", "Rush", "Reed", "Willow"
ALL, OLDER, OLD, OLDEST = (CRESS, RUSH, REED, WILLOW), (RUSH, REED, WILLOW), (REED, WILLOW), (WILLOW,)
YOUNG = (CRESS, RUSH)


@dataclass(frozen=True, kw_only=True)
class Rung:
    """One step of the working."""

    ask: Sum
    bands: tuple[str, ...] = ALL
    closes: bool = False  # its answer is the figure itself


def _less(key: str, a: str, b: str, unit: str, places: int = 0) -> Sum:
    return Sum(
        key=key, needs=(a, b), unit=unit, places=places, first=lambda n: n[a] - n[b],
        again=lambda n: halved(lambda x: n[b] + x < n[a], low=-1e7, high=1e7),
    )  # fmt: skip


def _plus(key: str, a: str, b: str, unit: str, places: int = 0) -> Sum:
    return Sum(
        key=key, needs=(a, b), unit=unit, places=places, first=lambda n: n[a] + n[b],
        again=lambda n: halved(lambda x: x - n[b] < n[a], low=-1e7, high=1e7),
    )  # fmt: skip


def _over(key: str, a: str, b: str, unit: str, factor: int = 1, **style: Any) -> Sum:
    return Sum(
        key=key, needs=(a, b), unit=unit, first=lambda n: factor * n[a] / n[b],
        again=lambda n: halved(lambda x: x * float(n[b]) < factor * float(n[a]), low=-1e7, high=1e7), **style,
    )  # fmt: skip


def _times(key: str, a: str, b: str, unit: str, **style: Any) -> Sum:
    return Sum(
        key=key, needs=(a, b), unit=unit, first=lambda n: n[a] * n[b],
        again=lambda n: halved(lambda x: x / float(n[b]) < float(n[a]), low=-1e7, high=1e7), **style,
    )  # fmt: skip


def _energy(key: str, speed: str) -> Sum:
    return Sum(
        key=key, needs=("mass_kg", speed), unit="J", first=lambda n: 0.5 * n["mass_kg"] * n[speed] ** 2,
        again=lambda n: added_up(lambda v: float(n["mass_kg"]) * v, start=0.0, end=float(n[speed])),
    )  # fmt: skip


def _closing(name: str, middle: str, unit: str, places: int, bands: tuple[str, ...] = ALL) -> list[Rung]:
    """The last step of a simulated figure: the middle run, and what the luck of many runs adds or takes off."""
    same = Sum(
        key=f"{name}_still", needs=(middle, f"{name}_same"), unit=unit, places=places, first=lambda n: n[middle],
        again=lambda n: halved(lambda x: x < n[middle], low=-1e7, high=1e7),
    )  # fmt: skip
    return [
        Rung(ask=same, bands=bands, closes=True),
        Rung(ask=_plus(f"{name}_up", middle, f"{name}_more", unit, places), bands=bands, closes=True),
        Rung(ask=_less(f"{name}_down", middle, f"{name}_less", unit, places), bands=bands, closes=True),
    ]


DRAWN = Sum(
    key="drawn_balance", needs=("board_g", "board_mm", "added_g", "added_mm"), unit="mm", places=0,
    first=lambda n: (n["board_g"] * n["board_mm"] + n["added_g"] * n["added_mm"]) / (n["board_g"] + n["added_g"]),
    again=lambda n: halved(
        lambda x: n["board_g"] * (n["board_mm"] - x) + n["added_g"] * (n["added_mm"] - x) > 0, low=-1e5, high=1e5
    ),
)  # fmt: skip
WEIGHT = Sum(
    key="weight", needs=("mass_kg", "gravity"), unit="N", first=lambda n: n["mass_kg"] * n["gravity"],
    again=lambda n: halved(lambda w: w / float(n["mass_kg"]) < float(n["gravity"]), low=0.0, high=1e5),
)  # fmt: skip
BOX = Sum(
    key="box", needs=("mass", "length_cm", "beam_cm"), unit="mm", places=1,
    first=lambda n: 10 * n["mass"] / (n["length_cm"] * n["beam_cm"]),
    again=lambda n: halved(
        lambda d: d * float(n["length_cm"] * n["beam_cm"]) < 10 * float(n["mass"]), low=0.0, high=1e5
    ),
)  # fmt: skip
STERN_G = Sum(
    key="stern_by_turning", needs=("mass", "stand_mm", "pads_mm", "foot_mm"), unit="g", places=0,
    first=lambda n: n["mass"] * (n["stand_mm"] - n["pads_mm"]) / (n["foot_mm"] - n["pads_mm"]),
    again=lambda n: halved(
        lambda g: g * float(n["foot_mm"] - n["stand_mm"])
        < (float(n["mass"]) - g) * float(n["stand_mm"] - n["pads_mm"]), low=0.0, high=1e5,
    ),
)  # fmt: skip
STERN_SHARE = Sum(
    key="stern_share", needs=("stand_mm", "pads_mm", "foot_mm"), unit="%", places=0,
    first=lambda n: 100 * (n["stand_mm"] - n["pads_mm"]) / (n["foot_mm"] - n["pads_mm"]),
    again=lambda n: 100 * halved(
        lambda s: s * float(n["foot_mm"] - n["stand_mm"]) < (1 - s) * float(n["stand_mm"] - n["pads_mm"]),
        low=0.0, high=1.0,
    ),
)  # fmt: skip
LEANS = Sum(
    key="leans", needs=("mass", "side_mm", "apart_mm"), unit="g", places=1,
    first=lambda n: 2 * n["mass"] * n["side_mm"] / n["apart_mm"],
    again=lambda n: halved(
        lambda more: more * float(n["apart_mm"]) < 2 * float(n["mass"] * n["side_mm"]), low=0.0, high=1e5
    ),
)  # fmt: skip
PUSH_AT_TOP = Sum(
    key="push_at_top", needs=("push_n", "lost_n", "steady_speed"), unit="N", places=2,
    first=lambda n: n["push_n"] - n["lost_n"] * n["steady_speed"],
    again=lambda n: halved(lambda f: n["lost_n"] * n["steady_speed"] + f < n["push_n"], low=-1e3, high=1e3),
)  # fmt: skip
ANGLE = Sum(
    key="angle", needs=("drift", "away_m"), unit="°", figures=2,
    first=lambda n: math.degrees(math.atan(n["drift"] / n["away_m"])),
    again=lambda n: halved(
        lambda a: math.sin(math.radians(a)) * float(n["away_m"]) < math.cos(math.radians(a)) * float(n["drift"]),
        low=0.0, high=90.0,
    ),
)  # fmt: skip
CIRCLE = Sum(
    key="circle", needs=("away_m", "bend"), unit="m",
    first=lambda n: (n["away_m"] ** 2 + n["bend"] ** 2) / (2 * n["bend"]),
    again=lambda n: halved(
        lambda r: float(n["away_m"]) ** 2 + (float(n["bend"]) - r) ** 2 > r * r, low=0.0, high=1e6
    ),
)  # fmt: skip
BELL = Sum(
    key="bell", needs=("half_m", "spread_m", "reach"), unit="%", places=0,
    first=lambda n: n["reach"] * math.erf(n["half_m"] / (n["spread_m"] * math.sqrt(2))),
    again=lambda n: float(n["reach"]) * added_up(
        lambda x: 2 / math.sqrt(2 * math.pi) * math.exp(-x * x / 2), start=0.0,
        end=float(n["half_m"] / n["spread_m"]),
    ),
)  # fmt: skip
MARGIN = Sum(
    key="margin", needs=("lifts", "meets"), places=2,
    first=lambda n: (n["lifts"] / n["meets"]) ** 2 - 1,
    again=lambda n: halved(
        lambda m: (1 + m) * float(n["meets"]) ** 2 < float(n["lifts"]) ** 2, low=-1.0, high=1e5
    ),
)  # fmt: skip
HOLDS = Sum(
    key="holds", needs=("mass_kg", "gravity", "ahead_m"), unit="N m",
    first=lambda n: n["mass_kg"] * n["gravity"] * n["ahead_m"],
    again=lambda n: halved(
        lambda t: t / float(n["ahead_m"]) < float(n["mass_kg"] * n["gravity"]), low=0.0, high=1e5
    ),
)  # fmt: skip
RAISES = Sum(
    key="raises", needs=("holds", "meets", "lifts"), unit="N m",
    first=lambda n: n["holds"] * (n["meets"] / n["lifts"]) ** 2,
    again=lambda n: halved(
        lambda t: t * float(n["lifts"]) ** 2 < float(n["holds"]) * float(n["meets"]) ** 2, low=0.0, high=1e5
    ),
)  # fmt: skip
TRIM = Sum(
    key="trim", needs=("tilt", "length_mm"), unit="°", places=1,
    first=lambda n: math.degrees(math.atan(n["tilt"] / n["length_mm"])),
    again=lambda n: halved(
        lambda a: math.sin(math.radians(a)) * float(n["length_mm"]) < math.cos(math.radians(a)) * float(n["tilt"]),
        low=0.0, high=90.0,
    ),
)  # fmt: skip


def rungs(band: Band) -> dict[str, tuple[Rung, ...]]:
    """Every figure with the steps this band sees."""
    d = DIGITS[band]
    air = max(d.speed, 1)
    every: dict[str, list[Rung]] = {
        "mass": [
            Rung(ask=_plus("drawn_g", "board_g", "added_g", "g")),
            Rung(ask=_less("heavier", "heavy_g", "drawn_g", "g")),
            Rung(ask=_less("lighter", "drawn_g", "light_g", "g")),
            Rung(ask=_over("heavier_share", "heavier", "drawn_g", "%", 100, places=0), bands=OLD),
            Rung(ask=WEIGHT, bands=OLD),
        ],
        "balance": [
            Rung(ask=DRAWN, bands=OLDER),
            Rung(ask=_less("further_back", "back_mm", "drawn_mm", "mm")),
            Rung(ask=_less("further_front", "drawn_mm", "front_mm", "mm")),
            Rung(ask=_over("balance_share", "balance", "length_mm", "%", 100, places=0), bands=OLD),
        ],
        "float_line": [
            Rung(ask=_over("water", "mass", "water_g", "cm³", places=0)),
            Rung(ask=BOX, bands=(RUSH, REED, WILLOW)),
            Rung(ask=_less("tilt", "bow_deep_mm", "stern_mm", "mm", d.depth)),
            Rung(ask=_less("tilt_back", "stern_mm", "bow_high_mm", "mm", d.depth)),
            Rung(ask=TRIM, bands=OLD),
            Rung(ask=_plus("bow_depth", "stern_mm", "tilt", "mm", d.depth), closes=True),
            Rung(ask=_less("bow_height", "stern_mm", "tilt_back", "mm", d.depth), closes=True),
        ],
        "feet": [
            Rung(ask=_less("on_stern", "mass", "on_pads_g", "g"), bands=(CRESS,), closes=True),
            Rung(ask=_less("stern_way", "stand_mm", "pads_mm", "mm"), bands=(RUSH,)),
            Rung(ask=_less("feet_way", "foot_mm", "pads_mm", "mm"), bands=(RUSH,)),
            Rung(ask=STERN_G, bands=(RUSH,), closes=True),
            Rung(ask=STERN_SHARE, bands=OLD, closes=True),
            Rung(ask=STERN_G, bands=OLD),
            Rung(ask=LEANS, bands=OLDEST),
        ],
        "top_speed": [
            Rung(ask=_less("second_gain", "speed_2", "speed_1", "m/s", air), bands=YOUNG),
            Rung(ask=_over("first_gain", "push_n", "mass_kg", "m/s²", figures=2), bands=OLD),
            Rung(ask=PUSH_AT_TOP, bands=OLDER),
            Rung(ask=_times("pull_work", "push_n", "pull_m", "J", figures=3), bands=OLD),
            Rung(ask=_energy("top_energy", "top_speed_mid"), bands=OLD),
            Rung(ask=_less("lost_work", "pull_work", "top_energy", "J", 1), bands=OLD),
            Rung(ask=_times("power", "push_at_top", "steady_speed", "W", figures=3), bands=OLDEST),
            Rung(ask=_over("ceiling", "impulse", "mass_kg", "m/s", figures=3), bands=OLDER),
            *_closing("top_speed", "top_speed_mid", "m/s", d.speed),
        ],
        "gate_time": [
            Rung(ask=_less("second_half", "gate_time_mid", "half_s", "s", d.time)),
            Rung(ask=_over("mean_speed", "gate_m", "gate_time_mid", "m/s", places=air), bands=OLDER),
            Rung(ask=_over("half_speed", "half_way", "second_half", "m/s", places=air), bands=OLD),
            *_closing("gate_time", "gate_time_mid", "s", d.time),
        ],
        "distance": [
            Rung(ask=_less("coast", "distance_mid", "pushed_m", "m", d.way)),
            Rung(ask=_energy("go_energy", "let_go_speed"), bands=OLD),
            Rung(ask=_over("braking", "go_energy", "coast", "N", figures=2), bands=OLD),
            Rung(ask=WEIGHT, bands=OLDEST),
            Rung(ask=_over("braking_share", "braking", "weight", "%", 100, places=0), bands=OLDEST),
            *_closing("distance", "distance_mid", "m", d.way),
        ],
        "drift": [
            Rung(ask=_less("sideways", "along", "against", d.side_unit, d.aside)),
            *_closing("drift", "sideways", d.side_unit, d.aside),
            Rung(ask=ANGLE, bands=OLD),
            Rung(ask=CIRCLE, bands=OLDEST),
        ],
        "gate_chance": [
            Rung(ask=_over("straight", "straight_n", "runs_n", "%", 100, places=0)),
            Rung(ask=_over("aimed", "aimed_n", "runs_n", "%", 100, places=0), closes=True),
            Rung(ask=_less("aiming", "aimed", "straight_if_better", "%"), bands=OLDER),
            Rung(ask=BELL, bands=OLDEST),
        ],
        "reach": [
            Rung(ask=_over("reached", "reached_n", "runs_n", "%", 100, places=0), closes=True),
            Rung(ask=_less("spare_way", "low_spare_m", "away_m", "m", 1)),
            Rung(ask=_less("short_way", "away_m", "low_short_m", "m", 1)),
        ],
        "blow_over": [
            Rung(ask=_less("spare", "spare_lifts", "meets", "m/s", air), bands=YOUNG, closes=True),
            Rung(ask=_less("lacking", "meets", "lacking_lifts", "m/s", air), bands=YOUNG),
            Rung(ask=HOLDS, bands=OLDEST),
            Rung(ask=RAISES, bands=OLDEST),
            Rung(ask=_over("times", "lifts", "meets", "", figures=3), bands=OLD),
            Rung(ask=MARGIN, bands=OLD),
            *_closing("blow_over", "margin", "", 2, bands=OLD),
        ],
        "course": [
            Rung(ask=_less("behind", "acts_mm", "balance", "mm")),
            Rung(ask=_over("course_share", "behind", "length_mm", "%", 100, places=0), closes=True),
        ],
    }  # fmt: skip
    return {name: tuple(rung for rung in steps if band in rung.bands) for name, steps in every.items()}


FIGURES: tuple[str, ...] = tuple(rungs("Cress"))

"""The questions that have a number for an answer: each with a formula, and with a second road to the same number.

Numbers are as printed, in the units their names end in.  Words to each stand in the catalogue under the same key.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from skimwright.physics import flotation, tunnel, weighing
from skimwright.teach.facts import Band
from skimwright.teach.methods import added_up, halved, nudged, stepped
from skimwright.teach.numbers import Number, Sum

Given = Any  # mapping of names to numbers; see `Sum`

# What the questions take as said, in the words of the sheet.
SAID: dict[str, Number] = {
    "coin_g": Number(text="5", unit="g"),
    "coins": Number(text="4"),
    "disc_g": Number(text="20", unit="g"),
    "behind_mm": Number(text="100", unit="mm"),
    "late_s": Number(text="0.1", unit="s"),
    "watch_s": Number(text="0.10", unit="s"),  # start and stop by hand, Am. J. Phys. 87:110 (2019)
    "gravity": Number(text="9.81", unit="m/s²"),
    "forward_mm": Number(text="5", unit="mm"),
    "nose_mm": Number(text="30", unit="mm"),
    "push_s": Number(text="2.0", unit="s"),
    "crush_m": Number(text="0.050", unit="m"),
    "gap_mm": Number(text="10", unit="mm"),
    "air": Number(text="1.2", unit="kg/m³"),
    "change_m": Number(text="1.0", unit="m"),
    "kept": Number(text="0.9"),  # of a weight's pull after one pair of pulleys, common practice
    "lost_each_s": Number(text="1", unit="m/s"),
    "glide_s": Number(text="4", unit="s"),
    "glide_m": Number(text="8.0", unit="m"),
    "halving_m": Number(text="5.0", unit="m"),
}


def _feet(n: Given) -> flotation.Feet:
    return flotation.feet_shares(
        centre_x=n["stand_mm"],
        centre_y=0.0,
        pad_contact=n["pads_mm"],
        stern_contact=n["stern_mm"],
        pad_spread=1.0,
    )


def _turning(n: Given, share: float) -> bool:
    """With so much of the weight on the stern, the boat would still tip stern-down about its balance point."""
    return share * float(n["stern_mm"] - n["stand_mm"]) < (1 - share) * float(n["stand_mm"] - n["pads_mm"])


def _roof(n: Given) -> float:
    """The mean of 1 - (rear gap / gap)^2 under a straight roof, the air's pressure added up along it."""
    rear, rise = float(n["gap_mm"]), float(n["roof_rise_mm"])
    return added_up(lambda along: 1 - (rear / (rear + rise * (1 - along))) ** 2, start=0.0, end=1.0)


def _fade(n: Given) -> float:
    k, m = n["lost_n"], n["mass_kg"]
    return float(n["push_n"] / k * (1 - math.exp(-k * n["push_s"] / m)))


def _spread(n: Given) -> float:
    runs = n["runs_m"]
    mean = math.fsum(runs) / len(runs)
    return math.sqrt(math.fsum((run - mean) ** 2 for run in runs) / (len(runs) - 1))


def _spread_by_pairs(n: Given) -> float:
    runs, count = n["runs_m"], len(n["runs_m"])
    pairs = sum((a - b) ** 2 for i, a in enumerate(runs) for b in runs[:i])
    return math.sqrt(pairs / (count * (count - 1)))


def _water_line(n: Given) -> float:
    """Lower a flat box until the water it pushes aside weighs as much as the boat; a mm3 of water is 0.001 g."""
    bottom = float(n["length_mm"] * n["beam_mm"])
    return halved(
        lambda depth: bottom * depth / 1000 < float(n["mass_g"]), low=0.0, high=1e4 + float(n["mass_g"])
    )


BALLAST = Sum(
    key="new_balance", needs=("mass_g", "balance_mm", "disc_g", "stern_mm"), unit="mm", places=0,
    first=lambda n: weighing.balance_with_ballast(
        mass=n["mass_g"], balance=n["balance_mm"], ballast=n["disc_g"], ballast_place=n["stern_mm"]
    ),
    again=lambda n: halved(
        lambda x: n["mass_g"] * (n["balance_mm"] - x) + n["disc_g"] * (n["stern_mm"] - x) > 0,
        low=0.0, high=float(n["stern_mm"] + n["balance_mm"]),
    ),
)  # fmt: skip
DEPTH = Sum(
    key="depth", needs=("mass_g", "length_mm", "beam_mm"), unit="mm", places=1,
    first=lambda n: 1000 * n["mass_g"] / (n["length_mm"] * n["beam_mm"]), again=_water_line,
)  # fmt: skip
ENERGY = Sum(
    key="energy", needs=("mass_kg", "speed"), unit="J",
    first=lambda n: 0.5 * n["mass_kg"] * n["speed"] ** 2,
    again=lambda n: added_up(lambda v: float(n["mass_kg"]) * v, start=0.0, end=float(n["speed"])),
)  # fmt: skip
MOMENTUM = Sum(
    key="momentum", needs=("mass_kg", "speed"), unit="kg m/s",
    first=lambda n: n["mass_kg"] * n["speed"],
    again=lambda n: halved(lambda p: p / float(n["speed"]) < float(n["mass_kg"]), low=0.0, high=1e5),
)  # fmt: skip
SHARE = Sum(
    key="stern_share", needs=("stand_mm", "pads_mm", "stern_mm"), unit="%", places=0,
    first=lambda n: 100 * _feet(n).stern,
    again=lambda n: 100 * halved(lambda share: _turning(n, share), low=0.0, high=1.0),
)  # fmt: skip
STERN = Sum(
    key="stern_g", needs=("mass_g", "stern_share"), unit="g", places=0,
    first=lambda n: n["mass_g"] * n["stern_share"] / 100,
    again=lambda n: halved(lambda g: g / float(n["mass_g"]) < float(n["stern_share"]) / 100, low=0.0, high=1e5),
)  # fmt: skip


def _speed(*, places: int | None, figures: int = 3) -> Sum:
    return Sum(
        key="speed", needs=("gate_m", "time_s"), unit="m/s", places=places, figures=figures,
        first=lambda n: n["gate_m"] / n["time_s"],
        again=lambda n: halved(lambda v: v * float(n["time_s"]) < float(n["gate_m"]), low=0.0, high=1e4),
    )  # fmt: skip


def _late(key: str, sign: int, **style: Any) -> Sum:
    """The speed if the watch was late (+1) or early (-1)."""
    return Sum(
        key=key, needs=("gate_m", "time_s", "late_s"), unit="m/s",
        first=lambda n: n["gate_m"] / (n["time_s"] + sign * n["late_s"]),
        again=lambda n: halved(
            lambda v: v * float(n["time_s"] + sign * n["late_s"]) < float(n["gate_m"]), low=0.0, high=1e4
        ),
        **style,
    )  # fmt: skip


def _mean(places: int = 1) -> Sum:
    return Sum(
        key="mean", needs=("runs_m",), unit="m", places=places,
        first=lambda n: math.fsum(n["runs_m"]) / len(n["runs_m"]),
        again=lambda n: n["runs_m"][0] + sum(run - n["runs_m"][0] for run in n["runs_m"]) / len(n["runs_m"]),
    )  # fmt: skip


def _range(key: str, part: int) -> Sum:
    return Sum(
        key=key, needs=("runs_m",), unit="m", places=1 if part == 1 else 2,
        first=lambda n: (max(n["runs_m"]) - min(n["runs_m"])) / part,
        again=lambda n: max(a - b for a in n["runs_m"] for b in n["runs_m"]) / part,
    )  # fmt: skip


CRESS = {
    "float": [
        Sum(
            key="water", needs=("mass_g", "coins", "coin_g"), unit="cm³", places=0,
            first=lambda n: n["mass_g"] + n["coins"] * n["coin_g"],
            again=lambda n: n["mass_g"] + sum([n["coin_g"]] * int(n["coins"])),
        ),
    ],
    "balance": [
        Sum(
            key="from_back", needs=("length_mm", "balance_mm"), unit="mm", places=0,
            first=lambda n: n["length_mm"] - n["balance_mm"],
            again=lambda n: halved(lambda x: n["balance_mm"] + x < n["length_mm"], low=-1e4, high=1e4),
        ),
    ],
    "speed": [_speed(places=0)],
    "push": [
        Sum(
            key="half_speed", needs=("speed",), unit="m/s", places=1, first=lambda n: n["speed"] / 2,
            again=lambda n: halved(lambda v: v + v < n["speed"], low=0.0, high=1e4),
        ),
    ],
    "energy": [
        Sum(
            key="lift", needs=("mass_g",), unit="J", places=0,
            first=lambda n: n["mass_g"] / 100,
            again=lambda n: n["mass_g"] / 1000 * 10 * 1,
        ),
    ],
    "coast": [
        Sum(
            key="stop_s", needs=("speed", "lost_each_s"), unit="s", places=0,
            first=lambda n: n["speed"] / n["lost_each_s"],
            again=lambda n: halved(lambda t: t * float(n["lost_each_s"]) < float(n["speed"]), low=0.0, high=1e4),
        ),
    ],
    "drift": [
        Sum(
            key="room", needs=("gate_cm", "drift_cm"), unit="cm", places=0,
            first=lambda n: abs(n["gate_cm"] / 2 - n["drift_cm"]),
            again=lambda n: abs(n["gate_cm"] - 2 * n["drift_cm"]) / 2,
        ),
    ],
    "carry": [
        Sum(
            key="on_pads", needs=("mass_g", "stand_mm", "pads_mm", "stern_mm"), unit="g", places=0, given=True,
            first=lambda n: n["mass_g"] * (_feet(n).left + _feet(n).right),
            again=lambda n: n["mass_g"] * (n["stern_mm"] - n["stand_mm"]) / (n["stern_mm"] - n["pads_mm"]),
        ),
        Sum(
            key="on_stern", needs=("mass_g", "on_pads"), unit="g", places=0,
            first=lambda n: n["mass_g"] - n["on_pads"],
            again=lambda n: halved(lambda x: n["on_pads"] + x < n["mass_g"], low=0.0, high=1e5),
        ),
    ],
    "fair": [_range("range", 1)],
}  # fmt: skip

RUSH = {
    "float": [
        Sum(
            key="bottom", needs=("length_cm", "beam_cm"), unit="cm²", places=0,
            first=lambda n: n["length_cm"] * n["beam_cm"],
            again=lambda n: sum([n["beam_cm"]] * int(n["length_cm"])),
        ),
        Sum(
            key="depth", needs=("mass_g", "bottom"), unit="mm", places=1,
            first=lambda n: 10 * n["mass_g"] / n["bottom"],
            again=lambda n: halved(lambda d: d * float(n["bottom"]) < 10 * float(n["mass_g"]), low=0.0, high=1e5),
        ),
    ],
    "balance": [
        Sum(
            key="other_g", needs=("disc_g", "balance_mm", "behind_mm"), unit="g", places=0,
            first=lambda n: n["disc_g"] * n["balance_mm"] / n["behind_mm"],
            again=lambda n: halved(
                lambda g: g * n["behind_mm"] < n["disc_g"] * n["balance_mm"], low=0.0, high=1e5
            ),
        ),
    ],
    "speed": [_speed(places=1), _late("slower", 1, places=1)],
    "push": [replace(MOMENTUM, places=2)],
    "energy": [replace(ENERGY, places=1)],
    "coast": [
        Sum(
            key="lost_speed", needs=("speed", "glide_s"), unit="m/s", places=1,
            first=lambda n: n["speed"] / n["glide_s"],
            again=lambda n: halved(lambda a: a * float(n["glide_s"]) < float(n["speed"]), low=0.0, high=1e4),
        ),
    ],
    "drift": [
        Sum(
            key="each_metre", needs=("drift_cm", "gate_m"), unit="cm", places=1,
            first=lambda n: n["drift_cm"] / n["gate_m"],
            again=lambda n: halved(lambda x: x * float(n["gate_m"]) < float(n["drift_cm"]), low=0.0, high=1e5),
        ),
    ],
    "carry": [
        Sum(
            key="tenth", needs=("mass_g",), unit="g", places=0, first=lambda n: n["mass_g"] * 0.9,
            again=lambda n: n["mass_g"] - n["mass_g"] / 10,
        ),
    ],
    "fair": [_mean(), _range("range", 1)],
}  # fmt: skip

REED = {
    "float": [
        Sum(
            key="weight", needs=("mass_kg", "gravity"), unit="N",
            first=lambda n: n["mass_kg"] * n["gravity"],
            again=lambda n: halved(lambda w: w / float(n["mass_kg"]) < float(n["gravity"]), low=0.0, high=1e5),
        ),
        DEPTH,
    ],
    "balance": [BALLAST],
    "speed": [_speed(places=None), _late("slower", 1), _late("faster", -1)],
    "push": [
        MOMENTUM,
        Sum(
            key="push_for", needs=("momentum", "push_n"), unit="s", figures=2,
            first=lambda n: n["momentum"] / n["push_n"],
            again=lambda n: halved(lambda t: t * float(n["push_n"]) < float(n["momentum"]), low=0.0, high=1e5),
        ),
    ],
    "energy": [
        ENERGY,
        Sum(
            key="height", needs=("energy", "mass_kg", "gravity"), unit="m", figures=2,
            first=lambda n: n["energy"] / (n["mass_kg"] * n["gravity"]),
            again=lambda n: halved(
                lambda h: h * float(n["mass_kg"] * n["gravity"]) < float(n["energy"]), low=0.0, high=1e5
            ),
        ),
    ],
    "coast": [
        Sum(
            key="glide_n", needs=("energy", "glide_m"), unit="N", figures=2,
            first=lambda n: n["energy"] / n["glide_m"],
            again=lambda n: halved(lambda f: f * float(n["glide_m"]) < float(n["energy"]), low=0.0, high=1e5),
        ),
    ],
    "drift": [
        Sum(
            key="radius", needs=("gate_m", "bend_m"), unit="m",
            first=lambda n: n["gate_m"] ** 2 / (2 * n["bend_m"]),
            again=lambda n: _circle(n) - float(n["bend_m"]) / 2,
        ),
    ],
    "carry": [SHARE, STERN],
    "fair": [_mean(), _range("half_range", 2)],
}  # fmt: skip


def _circle(n: Given) -> float:
    """Radius of the circle that touches the launch line and passes the gate's line at the drift."""
    ahead, aside = float(n["gate_m"]), float(n["bend_m"])
    return halved(
        lambda radius: ahead**2 / (radius + math.sqrt(radius**2 - ahead**2)) > aside, low=ahead, high=1e6
    )


WILLOW = {
    "float": [
        DEPTH,
        Sum(
            key="stiffness", needs=("beam_mm", "depth"), unit="mm", figures=2,
            first=lambda n: n["beam_mm"] ** 2 / (12 * n["depth"]),
            again=lambda n: added_up(
                lambda y: y * y, start=-float(n["beam_mm"]) / 2, end=float(n["beam_mm"]) / 2
            ) / float(n["beam_mm"] * n["depth"]),
        ),
    ],
    "balance": [
        Sum(
            key="lead", needs=("mass_g", "balance_mm", "forward_mm", "nose_mm"), unit="g",
            first=lambda n: weighing.ballast_for_balance(
                mass=n["mass_g"], balance=n["balance_mm"], wanted=n["balance_mm"] - n["forward_mm"],
                ballast_place=n["nose_mm"],
            ),
            again=lambda n: halved(
                lambda g: float(n["mass_g"] * n["forward_mm"])
                > g * float(n["balance_mm"] - n["forward_mm"] - n["nose_mm"]),
                low=0.0, high=1e5,
            ),
        ),
    ],
    "speed": [
        _speed(places=None),
        Sum(
            key="unsure", needs=("gate_m", "time_s", "watch_s"), unit="m/s", figures=2,
            first=lambda n: n["gate_m"] / n["time_s"] ** 2 * n["watch_s"],
            again=lambda n: nudged(
                lambda t: float(n["gate_m"]) / t, at=float(n["time_s"]), by=float(n["watch_s"])
            ),
        ),
    ],
    "push": [
        MOMENTUM,
        Sum(
            key="fading_speed", needs=("push_n", "lost_n", "mass_kg", "push_s"), unit="m/s", first=_fade,
            again=lambda n: stepped(
                lambda v: (float(n["push_n"]) - float(n["lost_n"]) * v) / float(n["mass_kg"]),
                time=float(n["push_s"]),
            ),
        ),
        Sum(
            key="push_for", needs=("momentum", "push_n"), unit="s", figures=2,
            first=lambda n: n["momentum"] / n["push_n"],
            again=lambda n: halved(lambda t: t * float(n["push_n"]) < float(n["momentum"]), low=0.0, high=1e5),
        ),
    ],
    "energy": [
        ENERGY,
        Sum(
            key="stop_n", needs=("energy", "crush_m"), unit="N",
            first=lambda n: n["energy"] / n["crush_m"],
            again=lambda n: halved(lambda f: f * float(n["crush_m"]) < float(n["energy"]), low=0.0, high=1e6),
        ),
    ],
    "coast": [
        Sum(
            key="glide_factor", needs=("mass_kg", "halving_m"), unit="N s²/m²", figures=2,
            first=lambda n: n["mass_kg"] * math.log(2) / n["halving_m"],
            again=lambda n: added_up(
                lambda v: float(n["mass_kg"]) / v, start=1.0, end=2.0
            ) / float(n["halving_m"]),
        ),
        Sum(
            key="glide_drag", needs=("glide_factor", "speed"), unit="N", figures=2,
            first=lambda n: n["glide_factor"] * n["speed"] ** 2,
            again=lambda n: halved(
                lambda f: f / float(n["speed"]) < float(n["glide_factor"] * n["speed"]), low=0.0, high=1e5
            ),
        ),
    ],
    "drift": [
        Sum(
            key="circle", needs=("gate_m", "bend_m"), unit="m",
            first=lambda n: (n["gate_m"] ** 2 + n["bend_m"] ** 2) / (2 * n["bend_m"]), again=_circle,
        ),
        Sum(
            key="turned", needs=("gate_m", "bend_m"), unit="°", figures=2,
            first=lambda n: math.degrees(2 * math.atan(n["bend_m"] / n["gate_m"])),
            again=lambda n: math.degrees(math.asin(float(n["gate_m"]) / _circle(n))),
        ),
    ],
    "carry": [
        SHARE,
        Sum(
            key="roof_share", needs=("gap_mm", "roof_rise_mm"), figures=2,
            first=lambda n: tunnel.roof_lift(exit_gap=n["gap_mm"], entry_gap=n["gap_mm"] + n["roof_rise_mm"]),
            again=_roof,
        ),
        Sum(
            key="roof_n", needs=("roof_share", "air", "speed", "roof_wide_mm", "roof_long_mm"), unit="N", figures=2,
            first=lambda n: n["roof_share"] * 0.5 * n["air"] * n["speed"] ** 2
            * n["roof_wide_mm"] / 1000 * n["roof_long_mm"] / 1000,
            again=lambda n: float(n["roof_share"]) * added_up(
                lambda v: float(n["air"]) * v, start=0.0, end=float(n["speed"])
            ) * float(n["roof_wide_mm"] * n["roof_long_mm"]) / 1e6,
        ),
    ],
    "fair": [
        _mean(),
        Sum(key="deviation", needs=("runs_m",), unit="m", places=2, first=_spread, again=_spread_by_pairs),
        Sum(
            key="repeats", needs=("deviation", "change_m"), places=0,
            first=lambda n: 15.7 * (n["deviation"] / n["change_m"]) ** 2,
            again=lambda n: halved(
                lambda count: 15.7 * float(n["deviation"]) ** 2 > count * float(n["change_m"]) ** 2,
                low=0.0, high=1e9,
            ),
        ),
    ],
}  # fmt: skip

TOPICS: tuple[str, ...] = tuple(CRESS)
SUMS: dict[Band, dict[str, list[Sum]]] = {"Cress": CRESS, "Rush": RUSH, "Reed": REED, "Willow": WILLOW}

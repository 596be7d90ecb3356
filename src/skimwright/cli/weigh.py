"""``skimwright weigh``: mass, balance point, three feet and the next ballast move from what the scales show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright.base import InputError
from skimwright.cli.check import line_data, number_of, ready
from skimwright.cli.table import figures, table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import Measured, WeighIn

LOAD = quantity("mass", "g", low=0, high=20_000)
LENGTH = quantity("length", "mm", low=0, high=5000)


def answer(ask: Ask) -> Answer:
    """Work out one weighing of a boat."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    entry = desk.boat_to_weigh(season, number_of(ask, "weigh"))
    readings = desk.Readings(
        along=_pair(ask, ("front_g", "rear_g", "front_mm", "rear_mm")),
        knife=given["knife_mm"],
        single=given["single_g"],
        across=_across(ask),
        dry=given["dry_g"],
        wet=given["wet_g"],
        wet_runs=given["wet_runs"],
        period=given["twist_s"],
        string_spacing=given["strings_apart_mm"],
        string_length=given["strings_mm"],
    )
    ready(ask)
    found = desk.weigh_boat(
        season, entry, readings, target=given["target_mm"], ballast_place=given["ballast_mm"]
    )
    return Answer(data=as_data(found), text=as_text(found), plain=_plain(found), findings=found.findings)


def _pair(ask: Ask, names: tuple[str, str, str, str]) -> Any:
    """Two scales; all four numbers or none."""
    from skimwright import desk

    front, rear, front_place, rear_place = (ask.given[name] for name in names)
    values = (front, rear, front_place, rear_place)
    if all(value is None for value in values):
        return None
    if any(value is None for value in values):
        missing = [name for name, value in zip(names, values, strict=True) if value is None]
        raise InputError(
            what="two scales need four numbers",
            got=f"no --{missing[0].replace('_', '-')}",
            allowed=", ".join("--" + name.replace("_", "-") for name in names),
            do="Give both loads and where the two supports stand.",
        )
    return desk.TwoScales(front=front, rear=rear, front_place=front_place, rear_place=rear_place)


def _across(ask: Ask) -> Any:
    from skimwright import desk

    port, starboard, apart = (ask.given[name] for name in ("port_g", "starboard_g", "sides_apart_mm"))
    if port is None and starboard is None and apart is None:
        return None
    if port is None or starboard is None or apart is None:
        raise InputError(
            what="side balance needs three numbers",
            allowed="--port-g, --starboard-g, --sides-apart-mm",
            do="Give both loads and how far the two supports are apart.",
        )
    return desk.TwoScales(front=port, rear=starboard, front_place=-0.5 * apart, rear_place=0.5 * apart)


def as_text(found: WeighIn) -> str:
    """The figures, the feet, the next move."""
    rows = []
    for what, value, unit, scale in _figures(found):
        rows.append(
            [
                what,
                f"{figures(value.value * scale, 4)} {unit}",
                f"+-{figures(value.uncertainty * scale)} {unit}",
                f"+-{figures(value.within * scale)} {unit}",
            ]
        )
    said = [
        f"{found.name[0].upper()}{found.name[1:]}",
        "",
        table(["", "", "one standard", "95 of 100"], rows),
    ]
    if found.feet:
        left, right, stern = (100 * share for share in (found.feet.left, found.feet.right, found.feet.stern))
        said += [
            "",
            f"On its three feet: left pad {left:.0f} %, right pad {right:.0f} %, stern {stern:.0f} %.",
        ]
    for line in found.deviations:
        if line.ratio > 1.0:
            said.append(
                f"{line.what[0].upper()}{line.what[1:]} is {line.ratio:.1f} times what is allowed off its drawing."
            )
    said.append(_ballast_words(found))
    return "\n".join(line for line in said if line is not None)


def _figures(found: WeighIn) -> list[tuple[str, Measured, str, float]]:
    every = (
        ("mass", found.mass, "g", 1e3),
        ("balance point from the bow", found.balance_x, "mm", 1e3),
        ("balance point to starboard", found.balance_y, "mm", 1e3),
        ("water soaked up in a run", found.water_gain, "g", 1e3),
        ("turning inertia", found.inertia, "kg mm2", 1e6),
    )
    return [(what, value, unit, scale) for what, value, unit, scale in every if value is not None]


def _ballast_words(found: WeighIn) -> str:
    if found.ballast is None:
        if found.verdict == "ask":
            return "Answer the question below first: nothing is worked out from these numbers."
        return (
            "It balances where it is drawn; no ballast is needed." if found.balance_x and found.mass else ""
        )
    b = found.ballast
    return (
        f"To balance at {b.target * 1e3:.1f} mm: {b.mass * 1e3:.1f} g at {b.place * 1e3:.0f} mm from the bow; it then "
        f"weighs {b.mass_after * 1e3:.0f} g. `skimwright trim` says whether that is worth it."
    )


def _plain(found: WeighIn) -> str:
    shown = ", ".join(
        f"{w} {figures(v.value * s, 4)} +-{figures(v.within * s)} {u}" for w, v, u, s in _figures(found)
    )
    asks = f" {found.findings[0].sentence()}" if found.findings else ""
    return f"{found.name[0].upper()}{found.name[1:]}: {found.verdict}; {shown}.{asks}"


def as_data(found: WeighIn) -> dict[str, Any]:
    """For --json."""
    data: dict[str, Any] = {"name": found.name, "verdict": found.verdict}
    for key, value, scale, unit in (
        ("mass", found.mass, 1e3, "g"),
        ("balance_x", found.balance_x, 1e3, "mm"),
        ("balance_y", found.balance_y, 1e3, "mm"),
        ("water_gain", found.water_gain, 1e3, "g"),
        ("inertia", found.inertia, 1.0, "kg_m2"),
    ):
        data[f"{key}_{unit}"] = (
            None
            if value is None
            else {
                "value": round(value.value * scale, 6),
                "standard_uncertainty": round(value.uncertainty * scale, 6),
                "within_95": round(value.within * scale, 6),
            }
        )
    data["feet"] = (
        None
        if found.feet is None
        else {name: round(getattr(found.feet, name), 4) for name in ("left", "right", "stern")}
    )
    b = found.ballast
    data["ballast"] = (
        None
        if b is None
        else {
            "mass_g": round(b.mass * 1e3, 2),
            "x_mm": round(b.place * 1e3, 1),
            "target_mm": round(b.target * 1e3, 1),
            "mass_after_g": round(b.mass_after * 1e3, 2),
        }
    )
    data["deviations"] = [line_data(line) for line in found.deviations]
    data["findings"] = [finding.as_dict() for finding in found.findings]
    return data


VERB = Verb(
    name="weigh",
    does="mass, balance, feet and the next ballast move from what the scales show",
    tells="Nothing is changed in the season: copy the figures into boats.csv when no question is open. Places are "
    "from the bow. A scale is taken to be good to 1 g, a support to half a millimetre, a knife edge to 2 mm.",
    options=(
        BOAT,
        Option(flag="--front-g", value="M", does="what the front scale shows", read=LOAD),
        Option(flag="--rear-g", value="M", does="what the rear scale shows", read=LOAD),
        Option(flag="--front-mm", value="X", does="where the front support stands", read=LENGTH),
        Option(flag="--rear-mm", value="X", does="where the rear support stands", read=LENGTH),
        Option(flag="--single-g", value="M", does="the whole boat on one scale", read=LOAD),
        Option(flag="--knife-mm", value="X", does="balance point on a knife edge", read=LENGTH),
        Option(flag="--port-g", value="M", does="what the scale under the port side shows", read=LOAD),
        Option(flag="--starboard-g", value="M", does="what the scale under the starboard side shows", read=LOAD),
        Option(
            flag="--sides-apart-mm", value="B", does="between the port and the starboard support",
            read=quantity("length", "mm", low=20, high=2000),
        ),
        Option(flag="--dry-g", value="M", does="weighed dry", read=LOAD),
        Option(flag="--wet-g", value="M", does="weighed wet, drops wiped off", read=LOAD),
        Option(
            flag="--wet-runs", value="N", does="runs between the two, 1 unless given",
            read=whole(low=1, high=50), usual=1,
        ),
        Option(
            flag="--twist-s", value="T", does="one whole twist on two strings",
            read=quantity("time", "s", low=0, high=60),
        ),
        Option(
            flag="--strings-apart-mm", value="B", does="between the strings, 500 unless given",
            read=quantity("length", "mm", low=50, high=2000), usual=0.5,
        ),
        Option(
            flag="--strings-mm", value="L", does="length of the strings, 1000 unless given",
            read=quantity("length", "mm", low=50, high=5000), usual=1.0,
        ),
        Option(flag="--target-mm", value="X", does="balance point wanted; as drawn unless given", read=LENGTH),
        Option(flag="--ballast-mm", value="X", does="where ballast would go; near an end unless given", read=LENGTH),
    ),
    example="weigh --boat 12 --front-g 161 --rear-g 108 --front-mm 200 --rear-mm 560",
    answer=answer,
)  # fmt: skip

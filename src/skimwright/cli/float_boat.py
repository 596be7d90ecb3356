"""``skimwright float``: how a boat lies at rest, and what its three feet carry."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, place_mm, quantity

if TYPE_CHECKING:
    from skimwright.desk import Floating

SPACES = ("hull", "sponson-left", "sponson-right")
SHOWN_HEELS = (5, 10, 20, 30, 45, 60, 90)  # deg


def spaces(given: str, where: Where) -> tuple[str, ...]:
    """Names with commas between."""
    names = tuple(name.strip() for name in given.split(",") if name.strip())
    for name in names:
        if name not in SPACES:
            raise InputError(
                what="the boat has no such space", got=f'"{name}"', allowed=", ".join(SPACES),
                do="Name one of its air spaces.", where=where,
            )  # fmt: skip
    return names


def answer(ask: Ask) -> Answer:
    """One boat or one kit at rest."""
    who, floating = _floating(ask)
    rest, feet = floating.at_rest, floating.feet
    findings = (*rest.findings, *feet.findings)
    if not rest.floats:
        text = (
            f"{who} at {floating.mass * 1e3:.0f} g sinks: "
            f"it is {rest.excess_mass * 1e3:.0f} g heavier than the water it can push aside."
        )
        return Answer(data=as_data(floating), text=text, plain=text, findings=findings)
    trim = math.degrees(rest.trim)
    lies = f"{abs(trim):.2f} deg {'bow-up' if trim > 0 else 'bow-down'}"
    heel = math.degrees(rest.heel)
    leans = "upright" if abs(heel) < 0.05 else f"{abs(heel):.2f} deg to {'starboard' if heel > 0 else 'port'}"
    shown = [lever for lever in rest.righting if round(math.degrees(lever.heel), 6) in SHOWN_HEELS]
    rows = [[f"{math.degrees(lever.heel):.0f}", f"{lever.arm * 1e3:+.1f}"] for lever in shown]
    text = "\n".join(
        [
            f"{who} at {floating.mass * 1e3:.1f} g, balance {floating.centre[0] * 1e3:.1f} mm from the bow, floats "
            f"{lies}, {leans}.",
            f"Water above the running-pad line: {rest.draft_bow * 1e3:.1f} mm at the bow, "
            f"{rest.draft_stern * 1e3:.1f} mm at the stern. It pushes {rest.displaced * 1e6:.0f} cm3 aside.",
            f"Nudged sideways it comes back from up to {math.degrees(rest.rights_up_to):.0f} deg "
            f"(GM {rest.metacentric_height * 1e3:.0f} mm).",
            "",
            table(["heel deg", "righting arm mm"], rows),
            "",
            f"Standing on its three feet: left pad {feet.left * 100:.0f} %, right pad {feet.right * 100:.0f} %, "
            f"stern {feet.stern * 100:.0f} % of the weight.",
        ]
    )
    plain = f"{who}: {lies}, {rest.draft_bow * 1e3:.1f} mm at the bow, {rest.draft_stern * 1e3:.1f} mm at the stern"
    return Answer(data=as_data(floating), text=text, plain=plain, findings=findings)


def _floating(ask: Ask) -> tuple[str, Floating]:
    """Who, and how it lies."""
    from skimwright import desk

    word, number, given = ask.given["kit"], ask.given["boat"], ask.given
    if (word is None) == (number is None):
        raise InputError(
            what="one boat or one kit is needed",
            got="both" if word else "neither",
            allowed="KIT, or --boat N",
            do="For example: `skimwright float --boat 7`.",
        )
    if number is not None:
        if given["mass_g"] is not None or given["balance_mm"] is not None:
            raise InputError(
                what="a boat of the season brings its own mass and balance",
                got=f"--boat {number} with --mass-g or --balance-mm",
                do="Give the kit in place of --boat, or leave the two out.",
            )
        season = ask.season()
        entry = season.boat(number)
        water = season.conditions.water_temperature
        built = desk.float_as_built(
            season.kit_of(entry), entry.built, water_temperature=water, flooded=given["flooded"]
        )
        return f"B{entry.label[1:]}", built
    kit = kit_meant(ask, word)
    floating = desk.float_kit(
        kit,
        mass=given["mass_g"],
        centre=given["balance_mm"],
        water_temperature=given["water_c"],
        flooded=given["flooded"],
    )
    return kit.name, floating


def as_data(floating: Floating) -> dict[str, Any]:
    """For --json; a boat that sinks has null where a number would stand."""
    rest, feet = floating.at_rest, floating.feet
    return {
        "floats": rest.floats,
        "mass_g": _round(floating.mass * 1e3),
        "balance_mm": [_round(value * 1e3) for value in floating.centre],
        "excess_mass_g": _round(rest.excess_mass * 1e3),
        "draft_bow_mm": _round(rest.draft_bow * 1e3),
        "draft_stern_mm": _round(rest.draft_stern * 1e3),
        "trim_deg": _round(math.degrees(rest.trim)),
        "heel_deg": _round(math.degrees(rest.heel)),
        "displaced_cm3": _round(rest.displaced * 1e6),
        "gm_transverse_mm": _round(rest.metacentric_height * 1e3),
        "rights_up_to_deg": _round(math.degrees(rest.rights_up_to)),
        "righting": [
            {"heel_deg": _round(math.degrees(lever.heel)), "arm_mm": _round(lever.arm * 1e3)}
            for lever in rest.righting
        ],
        "feet": {"left": _round(feet.left), "right": _round(feet.right), "stern": _round(feet.stern)},
        "findings": [finding.as_dict() for finding in (*rest.findings, *feet.findings)],
    }


def _round(value: float) -> float | None:
    """Four decimals; None for a number that is not there."""
    return round(value, 4) + 0.0 if math.isfinite(value) else None


VERB = Verb(
    name="float",
    does="how a boat lies at rest, and what its three feet carry",
    tells="Mass and balance are as drawn unless they are given. Drafts are the water above the running-pad line. "
    "Trim is bow-up +, heel is to starboard +. A righting arm is + when the water pushes to starboard "
    "of the weight; at a heel to starboard that brings it upright.",
    options=(
        KIT,
        BOAT,
        Option(
            flag="--mass-g",
            value="M",
            does="ready to run; another unit may stand behind it: 9.5oz",
            read=quantity("mass", "g", low=1, high=20_000),
        ),
        Option(
            flag="--balance-mm",
            value="X,Y,Z",
            does="balance point: from the bow, to starboard, above the running pads",
            read=place_mm,
        ),
        Option(
            flag="--water-c",
            value="T",
            does="temperature of the fresh water, 12 C unless given; a boat of the season takes the season's",
            read=quantity("temperature", "C", low=0, high=35),
            usual=285.15,
        ),
        Option(
            flag="--flooded",
            value="SPACES",
            does="air spaces that have let water in, with commas between: hull, sponson-left, sponson-right",
            read=spaces,
            usual=(),
        ),
    ),
    example='float "Fold 62" --mass-g 269 --balance-mm 345.5,0,59',
    answer=answer,
)

"""``skimwright shape KIT``: parts, mass, balance."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from skimwright.base import show_length, show_mass
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Verb

if TYPE_CHECKING:
    from skimwright.desk import Shape


def answer(ask: Ask) -> Answer:
    """The kit's parts and what they come to."""
    from skimwright import desk

    shape = desk.describe_shape(kit_meant(ask, ask.given["kit"]))
    board, drawn, kit = shape.board, shape.drawn, shape.kit
    rows = [
        [
            line.part,
            str(line.quantity),
            f"{line.area * 1e6:.0f}",
            f"{line.mass * 1e3:.2f}",
            *(f"{value * 1e3:.1f}" for value in line.centroid),
        ]
        for line in shape.parts
    ]
    sheets = "1 sheet" if shape.sheets_at_least == 1 else f"{shape.sheets_at_least} sheets"
    long_side, short_side = (side * 1e3 for side in kit.board.sheets[0])
    text = "\n".join(
        [
            f"{kit.name}, edition {kit.edition}",
            "",
            table(["part", "qty", "mm2 each", "g each", "x mm", "y mm", "z mm"], rows),
            "",
            f"Board: {shape.count} parts, {kit.area:.4f} m2, {show_mass(board.mass)}, balance "
            f"{show_length(float(board.centre[0]))} from the bow, {board.centre[2] * 1e3:.1f} mm up.",
            f"Ready to run as drawn: {show_mass(drawn.mass)}, balance {show_length(float(drawn.centre[0]))} "
            f"from the bow, {drawn.centre[2] * 1e3:.1f} mm up.",
            f"It needs at least {sheets} of {long_side:g} x {short_side:g} mm by area; "
            "`skimwright sheets` says how many it really takes.",
        ]
    )
    plain = f"{kit.name}: {shape.count} parts, board {board.mass * 1e3:.1f} g, balance {board.centre[0] * 1e3:.1f} mm"
    return Answer(data=as_data(shape), text=text, plain=plain, findings=shape.findings)


def as_data(shape: Shape) -> dict[str, Any]:
    """For --json."""
    return {
        "kit": shape.kit.name,
        "edition": shape.kit.edition,
        "parts": [
            {
                "part": line.part,
                "qty": line.quantity,
                "area_mm2": round(line.area * 1e6, 2),
                "mass_g": round(line.mass * 1e3, 4),
                "centroid_mm": [round(value * 1e3, 3) for value in line.centroid],
            }
            for line in shape.parts
        ],
        "board_mass_g": round(shape.board.mass * 1e3, 4),
        "balance_mm": [round(float(value) * 1e3, 3) for value in shape.board.centre],
        "inertia_kg_m2": shape.board.inertia,
        "area_m2": round(shape.kit.area, 6),
        "drawn_mass_g": round(shape.drawn.mass * 1e3, 4),
        "drawn_balance_mm": [round(float(value) * 1e3, 3) for value in shape.drawn.centre],
        "drawn_inertia_kg_m2": shape.drawn.inertia,
        "sheets_at_least": shape.sheets_at_least,
        "findings": [finding.as_dict() for finding in shape.findings],
    }


VERB = Verb(
    name="shape",
    does="parts, mass and balance of a kit",
    tells="Balance and inertia are those of the board alone; the boat as drawn, with glue, paint and device, "
    "stands below. Lengths run from the bow aft, to starboard, and up from the running pads.",
    options=(replace(KIT, must=True),),
    example='shape "Fold 62"',
    answer=answer,
)

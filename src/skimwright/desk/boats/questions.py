"""What to ask about a measured cell: the limits are choices, wide enough that no sound boat is asked about."""

from __future__ import annotations

import math
from collections.abc import Mapping

from skimwright.base import Finding, show_length
from skimwright.boat import Kit, board_mass, total_mass
from skimwright.desk.boats.boat_list import Cell, Check, Entry, ask


def checks_by_column(kits: Mapping[str, Kit]) -> dict[str, Check]:
    """What to ask about a measured cell, by column."""
    board = {name: board_mass(kit).mass for name, kit in kits.items()}
    drawn = {name: total_mass(kit).mass for name, kit in kits.items()}

    def mass(cell: Cell, entry: Entry) -> Finding | None:
        bare, whole = board[entry.kit], drawn[entry.kit]
        low, high = 0.85 * bare, 2 * whole  # the lightest board and no glue; twice the drawn boat [choice]
        light = cell.value < low
        return ask(
            cell, entry, code="mass-too-light" if light else "mass-too-heavy",
            fits=lambda value: low <= value <= high,
            doubt=f"cannot be a {entry.kit}: its board alone weighs {bare * 1e3:.0f} g"
            if light else f"is more than twice a {entry.kit} as drawn, {whole * 1e3:.0f} g",
            tries=("oz",), show=lambda value: f"{value * 1e3:.1f} g",
            otherwise="Is it the wrong boat, or a slipped decimal sign?",
        )  # fmt: skip

    def deck(cell: Cell, entry: Entry) -> Finding | None:
        length = kits[entry.kit].length
        share = cell.value / length - 1
        if 0.015 < abs(share) <= 0.08:
            return _shrunk(cell, entry, length, share)
        return ask(
            cell, entry, code="deck-length", fits=lambda value: abs(value / length - 1) <= 0.08,
            doubt=f"cannot be the deck of a {entry.kit}, drawn {length * 1e3:.0f} mm long",
            tries=("cm", "in"), show=lambda value: f"{value * 1e3:.0f} mm",
            otherwise="Is it the wrong boat, or a slipped digit?",
        )  # fmt: skip

    def balance(cell: Cell, entry: Entry) -> Finding | None:
        length = kits[entry.kit].length
        return ask(
            cell, entry, code="balance-place", fits=lambda value: 0.3 * length <= value <= 0.8 * length,
            doubt=f"from the bow is no balance point of a {entry.kit}, {length * 1e3:.0f} mm long",
            tries=("cm", "in"), show=lambda value: f"{value * 1e3:.0f} mm",
            otherwise="Was it measured from the stern?",
        )  # fmt: skip

    def sideways(cell: Cell, entry: Entry) -> Finding | None:
        return ask(
            cell, entry, code="balance-side", fits=lambda value: abs(value) < 0.020,
            doubt="is far from the centre line", tries=(), slips=False, show=show_length,
            otherwise="Is the device off centre, or a decimal sign slipped?",
        )  # fmt: skip

    def water(cell: Cell, entry: Entry) -> Finding | None:
        if cell.value <= 0.005:  # [choice]
            return None
        return Finding(
            code="takes-up-water",
            severity="warning",
            what=f"It takes up {cell.typed} of water in a run.",
            why="Each run is heavier than the last, and the balance moves.",
            do="Dry it, then seal the board's edges and weigh it again after a run.",
            where=entry.label,
        )

    return {
        **dict.fromkeys(ANGLES, _angle),
        "water_gain_g_per_run": water,
        "mass_g": mass,
        "deck_length_mm": deck,
        "balance_x_mm": balance,
        "balance_y_mm": sideways,
    }


ANGLES = (
    "pad_left_err_deg", "pad_right_err_deg", "pad_left_toe_deg", "pad_right_toe_deg", "pad_left_cant_deg",
    "pad_right_cant_deg", "fin_yaw_deg", "floor_twist_deg",
)  # fmt: skip
FAR_OFF = math.radians(8.0)  # nobody glues so far off without seeing it [choice]


def _angle(cell: Cell, entry: Entry) -> Finding | None:
    """An angle ten times what is usual: a slip of the decimal sign, or a boat to mend before anything is asked."""
    if abs(cell.value) <= FAR_OFF:
        return None
    return Finding(
        code="angle-far-off",
        severity="stop",
        what=f"{cell.typed} in {cell.column} is far more than a boat is ever built off.",
        why=f"Is it {math.degrees(cell.value) / 10:g} deg?",
        do="Write it right; if it was measured so, mend the boat first.",
        where=entry.label,
    )


def _shrunk(cell: Cell, entry: Entry, length: float, share: float) -> Finding:
    """A deck a few percent off: the printer did that, to every part."""
    word, deed = ("short", "shrunk") if share < 0 else ("long", "enlarged")
    bar = 100 * (1 + share)
    return Finding(
        code="printout-scaled",
        severity="warning",
        what=f"The deck measures {show_length(cell.value)}, drawn {show_length(length)}.",
        why=f"Are all lengths {abs(share) * 100:.0f} % {word}? Then the printout was {deed}.",
        do=f"Measure the 100 mm bar on the template: if it reads {bar:.0f} mm, print again at actual size.",
        where=entry.label,
    )

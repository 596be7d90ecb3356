"""What is odd or fragile about a kit, before anybody cuts it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from skimwright.base import Finding, show_length
from skimwright.boat.clash import part_clashes
from skimwright.boat.mass import total_mass
from skimwright.boat.plan import Array, Design, Kit
from skimwright.boat.sizes import in_mm
from skimwright.boat.threepoint import three_point_parts

SMALLEST_SCALE = 0.5  # below it slots and tabs are narrower than the board is thick [choice]
THIN_STRIP = 3.0  # a strip narrower than this many board thicknesses tears or crushes [choice]
CLOSE = 0.05e-3  # parts may press this far into one another [m]
SOLID_RANGE = (30.0, 250.0)  # foam board, paper faces and all [kg/m3] [choice]


def kit_findings(kit: Kit) -> tuple[Finding, ...]:
    """Odd or fragile things in a drawing that is otherwise sound.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    Fold 62 has none.
    """
    found = [*_scale(kit), *_board(kit), *_strips(kit), *_balance(kit)]
    if kit.design:
        found += _tunnel(kit.design, kit.board.thickness)
    if kit.design is None or kit.parts != three_point_parts(kit.design, kit.board):
        found += _clashes(kit)
    return tuple(found)


def _scale(kit: Kit) -> Iterable[Finding]:
    if kit.scale < SMALLEST_SCALE:
        yield Finding(
            code="scale-small",
            severity="warning",
            what=f"The kit is drawn at {kit.scale:g} of its size.",
            why="The board does not shrink with it: slots, tabs and feathered edges all but vanish.",
            do=f"Take thinner board, or a scale of {SMALLEST_SCALE:g} or more.",
            where=kit.name,
        )


def _board(kit: Kit) -> Iterable[Finding]:
    density = kit.board.density
    if not SOLID_RANGE[0] <= density <= SOLID_RANGE[1]:
        yield Finding(
            code="board-density",
            severity="warning",
            what=f"The board weighs {density:.0f} kg/m3 by its thickness and areal density.",
            why="Foam board is lighter or heavier than that; one of the two numbers may be mistyped.",
            do="Weigh a whole sheet and measure its thickness again.",
            where=kit.name,
        )
    if kit.board.grain == "unknown":
        yield Finding(
            code="grain-unknown",
            severity="note",
            what="The board's grain direction is not written down.",
            why="Long parts bend less when they lie along it.",
            do="Bend a sheet both ways and write grain into the kit file.",
            where=kit.name,
        )


def _strips(kit: Kit) -> Iterable[Finding]:
    for part in kit.parts:
        width = _narrowest(np.array(part.outline))
        if width < THIN_STRIP * part.thickness:
            yield Finding(
                code="thin-strip",
                severity="warning",
                what=f"It is only {show_length(width)} wide.",
                why=f"Below {THIN_STRIP:g} board thicknesses a strip tears in cutting and crushes in gluing.",
                do="Make the part wider, or cut it from something stiffer.",
                where=part.name,
            )


def _narrowest(outline: Array) -> float:
    """Least width between two parallel lines that hold the whole piece. [m]"""
    edges = np.roll(outline, -1, axis=0) - outline
    normals = np.column_stack([-edges[:, 1], edges[:, 0]]) / np.linalg.norm(edges, axis=1)[:, None]
    return float(np.ptp(outline @ normals.T, axis=0).min())


def _balance(kit: Kit) -> Iterable[Finding]:
    x, y, _ = total_mass(kit).centre
    pad, stern = kit.contacts
    if not pad < x < stern:
        ahead = x <= pad
        yield Finding(
            code="balance-outside-feet",
            severity="stop",
            what=f"It balances at {show_length(x)}, its feet are at {in_mm(pad)} and {in_mm(stern)}.",
            why="On its feet it falls on its nose." if ahead else "On its feet it sits back on its transom.",
            do="Move the device or ballast aft." if ahead else "Move the device or ballast forward.",
            where=kit.name,
        )
    if abs(y) > 2e-3:
        yield Finding(
            code="balance-sideways",
            severity="warning",
            what=f"It balances {show_length(abs(y))} {'to starboard' if y > 0 else 'to port'} of the middle.",
            why="One sponson carries more and the boat turns.",
            do="Check the y of every added mass.",
            where=kit.name,
        )


def _tunnel(d: Design, t: float) -> Iterable[Finding]:
    entry, leave = d.floor_front, d.floor_height(d.pod_rear)
    if leave >= entry:
        yield Finding(
            code="tunnel-widens",
            severity="warning",
            what=f"The tunnel is {in_mm(entry)} high in front and {in_mm(leave)} where the sponsons end.",
            why="A tunnel that opens aft sucks the boat down instead of lifting it.",
            do="Raise floor_front_mm or lower floor_rear_mm.",
            where="FLOOR-1",
        )
    if leave < t:
        yield Finding(
            code="tunnel-low",
            severity="warning",
            what=f"The tunnel's roof is {show_length(leave)} over the pad plane where the sponsons end.",
            why="The first ripple closes it.",
            do="Raise floor_front_mm.",
            where="FLOOR-1",
        )
    if not d.pad_front < d.pad_contact <= d.pod_rear:
        yield Finding(
            code="contact-off-pad",
            severity="warning",
            what=f"The pads are said to carry at {show_length(d.pad_contact)}, off the pads themselves.",
            why="Shares of weight on the three feet would be wrong.",
            do=f"Put pad_contact_mm between {show_length(d.pad_front)} and {show_length(d.pod_rear)}.",
            where="PAD-1",
        )


def _clashes(kit: Kit) -> Iterable[Finding]:
    for clash in part_clashes(kit.parts):
        if clash.depth > CLOSE:
            yield Finding(
                code="parts-clash",
                severity="warning",
                what=f"{clash.part_a} and {clash.part_b} are {clash.depth * 1e3:.2f} mm into one another.",
                why="Cut like that they do not close.",
                do="Shorten one of them by a board's thickness, or move it.",
                where=kit.name,
            )

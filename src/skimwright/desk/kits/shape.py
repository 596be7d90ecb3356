"""What a kit is made of: parts, board, mass, balance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from skimwright.base import Finding
from skimwright.boat import Kit, MassProperties, Part, board_mass, read_kit_table, total_mass

Point3 = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class PartLine:
    """All parts of one word and number, left and right together."""

    part: str
    quantity: int
    area: float  # each, as cut [m2]
    mass: float  # each [kg]
    centroid: Point3  # of them together, boat axes [m]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """A kit in numbers."""

    kit: Kit
    parts: tuple[PartLine, ...]  # in fitting order
    board: MassProperties  # the board alone
    drawn: MassProperties  # with glue, paint, device and all
    findings: tuple[Finding, ...]

    @property
    def count(self) -> int:
        """Pieces to cut."""
        return len(self.kit.parts)

    @property
    def sheets_at_least(self) -> int:
        """By area alone, of the kit's first sheet size; the nesting may need more."""
        long_side, short_side = self.kit.board.sheets[0]
        return -int(-self.kit.area // (long_side * short_side))


def describe_shape(kit: Kit) -> Shape:
    """Parts, mass and balance of a kit.

    Examples
    --------
    ``describe_shape(fold_62).count`` is 23.
    """
    ordered = sorted(kit.parts, key=lambda part: (part.order, part.code))
    lines = tuple(_line(list(same), kit) for _, same in groupby(ordered, key=lambda part: part.code))
    return Shape(kit=kit, parts=lines, board=board_mass(kit), drawn=total_mass(kit), findings=_findings(kit))


def _line(parts: list[Part], kit: Kit) -> PartLine:
    first, count = parts[0], len(parts)
    x, y, z = (sum(part.centroid[axis] for part in parts) / count for axis in range(3))
    return PartLine(
        part=first.code,
        quantity=count,
        area=first.area,
        mass=first.area * kit.board.density * first.thickness,
        centroid=(x, y, z),
    )


def _findings(kit: Kit) -> tuple[Finding, ...]:
    found = []
    if kit.scale < 0.5:
        found.append(
            Finding(
                code="small-scale",
                severity="warning",
                what=f"At scale {kit.scale:g} the board is thick for the parts.",
                why="Slots and tabs vanish.",
                do="Take thinner board or a scale of 0.5 or more.",
                where=kit.name,
            )
        )
    if kit.board.grain == "unknown":
        found.append(
            Finding(
                code="grain-unknown",
                severity="note",
                what="The board's grain is not written down.",
                do="Bend a sheet both ways; the stiff way is its grain. Write it in [board] grain.",
                where=kit.name,
            )
        )
    return tuple(found)


def read_kit(table: Mapping[str, Any], *, file: str) -> Kit:
    """A kit from the parsed table of its file; see `skimwright.boat.read_kit_table`."""
    return read_kit_table(table, file=file)

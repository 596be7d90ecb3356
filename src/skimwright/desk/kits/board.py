"""A kit on the drawing board: what its numbers come to, and what changes between two kits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from skimwright.base import Finding
from skimwright.base.drawing import Drawing
from skimwright.boat import Kit, MassProperties, Part, board_mass, kit_findings
from skimwright.desk.boats.float_boat import Floating, float_kit
from skimwright.desk.kits.board_views import Looked, board_views
from skimwright.desk.kits.kit_numbers import GROUPS
from skimwright.desk.kits.shape import Shape, describe_shape

SAME = 5e-7  # outlines closer than this are one [m]


@dataclass(frozen=True, kw_only=True)
class DrawnBoard:
    """A kit in pictures and numbers."""

    shape: Shape
    floating: Floating
    views: Mapping[Looked, Drawing]
    findings: tuple[Finding, ...]

    @property
    def kit(self) -> Kit:
        """The kit."""
        return self.shape.kit

    @property
    def leans(self) -> str:
        """``bow-down 1.39 deg``, at rest."""
        trim = math.degrees(self.floating.at_rest.trim)
        return "level" if abs(trim) < 0.005 else f"bow-{'down' if trim < 0 else 'up'} {abs(trim):.2f} deg"


def draw_board(kit: Kit, *, lit: str = "") -> DrawnBoard:
    """Views, mass, balance, float line and sheets of a kit, at once.

    Parameters
    ----------
    lit : str
        Code of a part to show filled; blank: none.

    Raises
    ------
    ModelError
        No resting attitude was found.

    Examples
    --------
    ``draw_board(fold_62).floating.at_rest.trim`` is -1.48 deg: bow-down.
    """
    floating = float_kit(kit)
    return DrawnBoard(
        shape=describe_shape(kit),
        floating=floating,
        views=board_views(kit, floating, lit=lit),
        findings=_once((*floating.at_rest.findings, *kit_findings(kit))),
    )


def _once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops first; each thing said once."""
    rank = {"stop": 0, "warning": 1, "note": 2}
    return tuple(
        sorted({finding.what: finding for finding in findings}.values(), key=lambda f: rank[f.severity])
    )


@dataclass(frozen=True, kw_only=True)
class PartChange:
    """One word of the parts list in two kits."""

    part: str
    quantity: tuple[int, int]  # before, after; nought: it has none
    size: tuple[str, str]  # length by width
    mass: float  # what the change adds to the boat, all of them together [kg]
    balance: float  # how far the change alone moves the board's balance point aft [m]

    @property
    def is_matched(self) -> bool:
        """Both kits have it."""
        return min(self.quantity) > 0


@dataclass(frozen=True, kw_only=True)
class Compared:
    """Two kits side by side."""

    before: DrawnBoard
    after: DrawnBoard
    numbers: tuple[tuple[str, str, str, str], ...]  # what, unit, before, after: as cut
    parts: tuple[PartChange, ...]  # changed ones only, in fitting order
    same: int  # words of the list that did not change

    @property
    def unmatched(self) -> tuple[PartChange, ...]:
        """Parts that only one of the two has."""
        return tuple(part for part in self.parts if not part.is_matched)

    @property
    def effects(self) -> tuple[tuple[str, str, str, str], ...]:
        """What the whole comes to: what with its unit, before, after, the difference."""
        return tuple(_effect(*row) for row in _effects(self.before, self.after))


def compare_kits(before: Kit, after: Kit) -> Compared:
    """Every changed number and part of two kits, and what the changes do.

    Raises
    ------
    ModelError
        One of the two finds no rest on the water.

    Examples
    --------
    ``compare_kits(fold_62, fold_62).parts`` is empty.
    """
    parts, same = _part_changes(before, after)
    return Compared(
        before=draw_board(before),
        after=draw_board(after),
        numbers=tuple(_number_changes(before, after)),
        parts=parts,
        same=same,
    )


def _number_changes(before: Kit, after: Kit) -> Iterable[tuple[str, str, str, str]]:
    for group, labels in GROUPS.items():
        for key, label in labels.items():
            name, _, unit = key.rpartition("_")
            pair = [_number(kit, name) for kit in (before, after)]
            if None not in pair and pair[0] != pair[1]:
                factor = math.degrees(1.0) if unit == "deg" else 1e3
                shown = [
                    f"{value * factor:.2f}".rstrip("0").rstrip(".") for value in pair if value is not None
                ]
                if shown[0] != shown[1]:
                    yield f"{group}: {label}", "g/m2" if unit == "m2" else unit, shown[0], shown[1]


def _number(kit: Kit, name: str) -> float | None:
    """A number of the file, as cut; None for what this kit has not."""
    if name == "areal_density_g":
        return kit.board.areal_density
    if name == "thickness":
        return kit.board.thickness
    return getattr(kit.design, name, None) if kit.design else None


def _part_changes(before: Kit, after: Kit) -> tuple[tuple[PartChange, ...], int]:
    old, new = _by_code(before), _by_code(after)
    board = board_mass(before)
    changed, same = [], 0
    for code in dict.fromkeys([*old, *new]):
        a, b = old.get(code, []), new.get(code, [])
        if len(a) == len(b) and all(map(_is_same, a, b)) and _mass_of(before, a) == _mass_of(after, b):
            same += 1
            continue
        changed.append(
            PartChange(
                part=code,
                quantity=(len(a), len(b)),
                size=(_size(a), _size(b)),
                mass=_mass_of(after, b)[0] - _mass_of(before, a)[0],
                balance=_moved(board, _mass_of(before, a), _mass_of(after, b)),
            )
        )
    return tuple(changed), same


def _by_code(kit: Kit) -> dict[str, list[Part]]:
    found: dict[str, list[Part]] = {}
    for part in sorted(kit.parts, key=lambda part: (part.order, part.name)):
        found.setdefault(part.code, []).append(part)
    return found


def _is_same(a: Part, b: Part) -> bool:
    """Cut alike and standing alike."""
    points = (*a.outline, a.place.origin, (a.thickness,)), (*b.outline, b.place.origin, (b.thickness,))
    return len(points[0]) == len(points[1]) and all(
        abs(x - y) < SAME for p, q in zip(*points, strict=True) for x, y in zip(p, q, strict=True)
    )


def _mass_of(kit: Kit, parts: Sequence[Part]) -> tuple[float, float]:
    """Mass and its moment about the bow. [kg], [kg m]"""
    each = [part.area * kit.board.density * part.thickness for part in parts]
    return sum(each), sum(mass * part.centroid[0] for mass, part in zip(each, parts, strict=True))


def _moved(board: MassProperties, old: tuple[float, float], new: tuple[float, float]) -> float:
    moment = board.mass * float(board.centre[0]) - old[1] + new[1]
    return moment / (board.mass - old[0] + new[0]) - float(board.centre[0])


def _size(parts: Sequence[Part]) -> str:
    if not parts:
        return ""
    u, v = zip(*parts[0].outline, strict=True)
    long, short = sorted((max(u) - min(u), max(v) - min(v)), reverse=True)
    return f"{long * 1e3:.1f} x {short * 1e3:.1f}"


Row = tuple[str, float, float, int]


def _effects(a: DrawnBoard, b: DrawnBoard) -> Iterable[Row]:
    """What, before, after, decimals."""
    yield "board, g", a.shape.board.mass * 1e3, b.shape.board.mass * 1e3, 1
    yield "ready to run, g", a.floating.mass * 1e3, b.floating.mass * 1e3, 1
    yield "balance point from the bow, mm", a.floating.centre[0] * 1e3, b.floating.centre[0] * 1e3, 1
    at, bt = a.floating.at_rest, b.floating.at_rest
    yield "bow-up at rest, deg", math.degrees(at.trim), math.degrees(bt.trim), 2
    yield "water above the pads at the bow, mm", at.draft_bow * 1e3, bt.draft_bow * 1e3, 1
    yield "water above the pads at the stern, mm", at.draft_stern * 1e3, bt.draft_stern * 1e3, 1
    yield "steadiness against rolling (GM), mm", at.metacentric_height * 1e3, bt.metacentric_height * 1e3, 0
    yield "carried by the stern, %", a.floating.feet.stern * 100, b.floating.feet.stern * 100, 1
    yield "board, m2", a.kit.area, b.kit.area, 4
    yield "sheets, at least", a.shape.sheets_at_least, b.shape.sheets_at_least, 0


def _effect(what: str, before: float, after: float, digits: int) -> tuple[str, str, str, str]:
    if math.isnan(before) or math.isnan(after):
        shown = ["it sinks" if math.isnan(value) else f"{value:.{digits}f}" for value in (before, after)]
        return what, shown[0], shown[1], "" if shown[0] == shown[1] else "?"
    a, b = f"{before:.{digits}f}", f"{after:.{digits}f}"
    return what, a, b, "" if a == b else f"{after - before:+.{digits}f}"

"""Flat parts as they lie under the knife: outer face up, with every mark a pair of hands needs.

An outline is that of a part's outer face, so the outer face lies up: a slanted cut starts on the line and
leans in under the part, and a groove is cut from above.  Half of the parts are therefore drawn mirrored.
Every drawing is in mm; sheet axes are those of `Placement` (x along the grain, y up), drawing axes have y down.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from skimwright.base import InputError, MissingError
from skimwright.boat import Kit, Part
from skimwright.kit.parts_on_board import Array, BoardSheet, Nest, NestItem, Placement, turned

MM = 1000.0
NICK = 0.004  # how far a nick reaches into the part [m]
NICK_APART = 0.003  # between the two nicks of a right part [m]


@dataclass(frozen=True, kw_only=True, eq=False)
class Groove:
    """A place cut out of a part for another to stand in."""

    outline: Array  # (n, 2) [m]
    depth: float | None  # from the outer face; None goes right through [m]
    takes: str  # code of the part that stands in it


@dataclass(frozen=True, kw_only=True, eq=False)
class Blank:
    """A part before it is cut: outer face up, its x along the grain it wants."""

    name: str  # "WALL-1 left"
    kit: str
    edition: str
    outline: Array  # (n, 2) of the outer face; the last corner joins the first [m]
    leans: tuple[float, ...]  # how far the cut leans in under the part, edge by edge [rad]
    grooves: tuple[Groove, ...]
    nicks: tuple[Array, ...]  # (2, 2) short lines from the edge in [m]
    order: int  # fitting order: so many dots
    has_grain: bool
    thickness: float  # [m]

    @property
    def key(self) -> str:
        """Its name in a nest of several kits."""
        return f"{self.kit} / {self.name}"


def blank(part: Part, kit: Kit) -> Blank:
    """A part of a kit as it lies under the knife.

    Examples
    --------
    ``blank(fold_62.part("WALL-1 right"), fold_62).nicks`` has two lines of 4 mm.
    """
    u, v, w = (np.array(axis) for axis in (part.place.u, part.place.v, part.place.w))
    lie = np.eye(2)
    if np.cross(u, v) @ w > 0:  # the numbers were written from inside the boat
        lie = np.diag((1.0, -1.0))
    if part.along == "v":
        lie = lie @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    outline = np.array(part.outline) @ lie
    return Blank(
        name=part.name,
        kit=kit.name,
        edition=kit.edition,
        outline=outline,
        leans=part.bevels or (0.0,) * len(outline),
        grooves=tuple(
            Groove(
                outline=np.array(slot.outline) @ lie,
                depth=None if slot.depth > part.thickness - 1e-6 else slot.depth,
                takes=slot.takes,
            )
            for slot in part.slots
        ),
        nicks=tuple(_nicks(outline, part.nicks)),
        order=part.order,
        has_grain=part.along != "any",
        thickness=part.thickness,
    )


def _nicks(outline: Array, count: int) -> list[Array]:
    """On the middle of the longest edge, pointing in."""
    after = np.roll(outline, -1, axis=0)
    which = int(np.argmax(np.linalg.norm(after - outline, axis=1)))
    start, end = outline[which], after[which]
    along = (end - start) / np.linalg.norm(end - start)
    feet = [(start + end) / 2 + along * NICK_APART * (number - (count - 1) / 2) for number in range(count)]
    inward = inward_of(outline, along)
    return [np.array((foot, foot + inward * NICK)) for foot in feet]


def inward_of(outline: Array, along: Array) -> Array:
    x, y = outline.T
    area = x @ np.roll(y, -1) - y @ np.roll(x, -1)
    left = np.array((-along[1], along[0]))
    return left if area > 0 else -left


def blanks(kits: Sequence[Kit]) -> dict[str, Blank]:
    """Every part of the kits by its name in a nest: ``"DECK-1"``, or ``"Fold 62 / DECK-1"`` among several kits.

    Raises
    ------
    InputError
        Two kits have one name.
    """
    names = [kit.name for kit in kits]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise InputError(
            what=f'The kit "{twice}" is given twice', do="Give it once, with the number of boats behind it."
        )
    each = [blank(part, kit) for kit in kits for part in kit.parts]
    return {one.name if len(kits) == 1 else one.key: one for one in each}


def nest_items(kits: Mapping[Kit, int] | Sequence[tuple[Kit, int]], *, grain: str) -> tuple[NestItem, ...]:
    """The parts of so many boats of each kit, ready to nest.

    Parameters
    ----------
    kits : sequence of (Kit, int)
        Kits and how many boats of each.
    grain : str
        Of the board: ``"long side"``, ``"short side"`` or ``"none"``.

    Raises
    ------
    InputError
        Parts want to lie along a grain and nobody knows which way it runs: the message asks.
    """
    pairs = list(kits.items()) if isinstance(kits, Mapping) else list(kits)
    boats = {kit.name: count for kit, count in pairs}
    found = blanks([kit for kit, _ in pairs])
    stiff = sorted({one.name for one in found.values() if one.has_grain})
    if stiff and grain == "unknown":
        raise InputError(
            what=f"It is not known which way the board bends least, and {', '.join(stiff)} must lie that way",
            allowed="long side, short side or none",
            do="Which way does the board bend least? Bend a sheet both ways; then write the answer into the kit "
            'file, [board] grain = "long side", or add --grain long.',
        )
    return tuple(
        NestItem(
            key=key,
            outline=one.outline,
            quantity=boats[one.kit],
            grain_along=one.has_grain and grain != "none",
        )
        for key, one in found.items()
    )


def sheets_along_grain(sizes: Sequence[tuple[float, float]], *, grain: str) -> tuple[BoardSheet, ...]:
    """Sheets with their width along the grain; each size is long side, short side. [m]"""
    return tuple(
        BoardSheet(width=b, height=a) if grain == "short side" else BoardSheet(width=a, height=b)
        for a, b in sizes
    )


def part_codes(kit: Kit) -> dict[str, str]:
    """A short code for each part by name, which changes with anything that its template shows."""
    return {part.name: _code(part) for part in kit.parts}


def _code(part: Part) -> str:
    numbers = [part.thickness, float(part.order), *part.bevels]
    numbers += [number for point in part.outline for number in point]
    numbers += [
        number
        for slot in part.slots
        for number in (slot.depth, *(n for point in slot.outline for n in point))
    ]
    said = "|".join((part.name, part.along, *(f"{number + 0.0:.7f}" for number in numbers)))
    return hashlib.sha256(said.encode()).hexdigest()[:6]


def find_part(kit: Kit, word: str) -> tuple[Part, ...]:
    """The part or pair of parts meant: ``"wall-1"`` is both walls, ``"WALL-1 left"`` one.

    Raises
    ------
    MissingError
        The kit has no such part; the message lists those it has.
    """
    said = " ".join(word.casefold().split())
    found = tuple(part for part in kit.parts if said in (part.name.casefold(), part.code.casefold()))
    if found:
        return found
    raise MissingError(
        what=f"{kit.name} has no such part",
        got=f'"{word}"',
        allowed=", ".join(dict.fromkeys(part.code for part in kit.parts)),
        do="Give one of these words, with left or right behind it for one of a pair.",
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Laid:
    """A blank where it lies on its sheet."""

    blank: Blank
    place: Placement

    def points(self, flat: Array) -> Array:
        """Flat points of the part in sheet axes. [mm]"""
        moved: Array = (turned(flat, self.place.turn) + np.array((self.place.x, self.place.y))) * MM
        return moved

    @property
    def shape(self) -> shapely.Polygon:
        """Its outline on the sheet. [mm]"""
        return shapely.Polygon(self.points(self.blank.outline))


def laid_on(nest: Nest, number: int, parts: Mapping[str, Blank]) -> tuple[Laid, ...]:
    """What lies on one sheet of a nest, counted from 0."""
    return tuple(Laid(blank=parts[p.key], place=p) for p in nest.placements if p.sheet == number)


def single_part_nest(part: Blank) -> tuple[tuple[Laid, ...], BoardSheet]:
    """One part alone on a sheet just large enough, its long side level: for a lost or broken part."""
    turn = 0.0 if np.ptp(part.outline[:, 0]) >= np.ptp(part.outline[:, 1]) else 90.0
    low = turned(part.outline, turn).min(axis=0)
    size = np.ptp(turned(part.outline, turn), axis=0)
    place = Placement(key=part.name, sheet=0, x=float(-low[0]) + 1e-3, y=float(-low[1]) + 1e-3, turn=turn)
    return (Laid(blank=part, place=place),), BoardSheet(
        width=float(size[0]) + 2e-3, height=float(size[1]) + 2e-3
    )

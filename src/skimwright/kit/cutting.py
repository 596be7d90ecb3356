"""What a knife or laser does on one sheet, in the order to do it.

Holes come before outlines, so that a part is still held while it is worked on; long cuts before short ones,
while the sheet is still stiff; and, for hands, all square cuts before each slanted angle in turn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal

import numpy as np
import shapely

from skimwright.base import InputError
from skimwright.kit.parts_on_board import Array, BoardSheet
from skimwright.kit.templates import MM, Laid, inward_of
from skimwright.kit.templates_drawing import free_spot

Layer = Literal["CUT", "SCORE", "MARK"]  # right through, part of the way, a pen's line
Point2 = tuple[float, float]
SQUARE = 100.0  # side of the square that shows the file kept its scale [mm]
WORD_WIDE = 0.62  # of a letter, over its size [-]
SMALLEST_BED = 120.0  # a bed must hold that square [mm]


@dataclass(frozen=True, kw_only=True)
class CutLine:
    """One line of the tool; sheet axes, y up. [mm]"""

    layer: Layer
    what: str  # part and purpose: "DECK-1 outline"
    points: tuple[Point2, ...]
    closed: bool = False


@dataclass(frozen=True, kw_only=True)
class CutWord:
    """A few letters of the pen. [mm]"""

    text: str
    at: Point2  # left end of its base line
    size: float = 4.0
    turn: float = 0.0  # anticlockwise [deg]


@dataclass(frozen=True, kw_only=True)
class CutSheet:
    """Everything for one bed of a cutting machine, in the order to cut it."""

    name: str
    width: float  # [mm]
    height: float  # [mm]
    lines: tuple[CutLine, ...]
    words: tuple[CutWord, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Stroke:
    """A straight cut by hand along one edge."""

    part: str
    length: float  # [mm]


@dataclass(frozen=True, kw_only=True)
class HandStep:
    """Cuts to make without changing how the knife is held."""

    does: str
    strokes: tuple[Stroke, ...]
    has_lengths: bool = True  # False: the parts alone are worth saying


def cut_sheet(
    laid: Sequence[Laid], sheet: BoardSheet, *, name: str, gap: float, kerf: float = 0.0
) -> CutSheet:
    """The lines of one sheet for a machine: marks, grooves, holes and nicks, then outlines, longest first.

    Parameters
    ----------
    laid : sequence of Laid
        What lies on the sheet.
    name : str
        Said on the sheet and in its file.
    gap : float
        Between parts. [m]
    kerf : float
        Width of the tool's cut; outlines are drawn half of it outside, holes half of it inside. [m]

    Raises
    ------
    InputError
        The cut is wider than the gap it runs in.
    """
    if not 0 <= kerf <= gap + 1e-9:
        raise InputError(
            what="The cut is wider than the gap it runs in",
            got=f"a cut of {kerf * MM:g} mm and a gap of {gap * MM:g} mm",
            allowed="0 up to the gap",
            do="Nest again with a gap at least as wide as the cut.",
        )
    half = kerf * MM / 2
    marks: list[CutLine] = []
    scores: list[CutLine] = []
    holes: list[CutLine] = []
    outlines: list[CutLine] = []
    for one in laid:
        part = one.blank
        for groove in part.grooves:
            through = groove.depth is None
            line = _line(
                "CUT" if through else "SCORE",
                f"{part.name} for {groove.takes}",
                _grown(one.points(groove.outline), -half if through else 0.0),
            )
            (holes if through else scores).append(line)
        holes += [
            CutLine(layer="CUT", what=f"{part.name} nick", points=_plain(one.points(nick)))
            for nick in part.nicks
        ]
        marks += _slant_marks(one)
        outlines.append(_line("CUT", f"{part.name} outline", _grown(one.points(part.outline), half)))
    outlines.sort(key=lambda line: -_length(line))
    sized = CutSheet(
        name=name,
        width=sheet.width * MM,
        height=sheet.height * MM,
        lines=(*marks, *scores, *holes, *outlines),
        words=tuple(_word(one) for one in laid),
    )
    return _with_square(sized)


def _line(layer: Layer, what: str, points: Array) -> CutLine:
    return CutLine(layer=layer, what=what, points=_plain(points), closed=True)


def _plain(points: Array) -> tuple[Point2, ...]:
    return tuple((round(float(x), 6), round(float(y), 6)) for x, y in points)


def _grown(points: Array, by: float) -> Array:
    """A closed outline moved outwards (or inwards) by so much, corners kept sharp. [mm]"""
    if by == 0:
        return points
    grown = shapely.Polygon(points).buffer(by, join_style="mitre", mitre_limit=10)
    return np.array(grown.exterior.coords)[:-1]


def _length(line: CutLine) -> float:
    points = np.array(line.points)
    ends = np.roll(points, -1, axis=0) if line.closed else points[1:]
    return float(np.linalg.norm(ends - points[: len(ends)], axis=1).sum())


def _slant_marks(one: Laid) -> list[CutLine]:
    """Where a slanted edge must end on the lower face: machines cut square, hands trim."""
    outline = one.points(one.blank.outline)
    after = np.roll(outline, -1, axis=0)
    lines = []
    for start, end, lean in zip(outline, after, one.blank.leans, strict=True):
        deep = one.blank.thickness * MM * math.tan(lean)
        if deep > 0.15:
            along = (end - start) / np.linalg.norm(end - start)
            inward = inward_of(outline, along)
            what = f"{one.blank.name} trims to here below, {math.degrees(lean):.1f} deg"
            lines.append(
                CutLine(layer="MARK", what=what, points=_plain(np.array((start, end)) + inward * deep))
            )
    return lines


def _word(one: Laid) -> CutWord:
    """Part and edition, level or upright, clear of every line of the part."""
    text, free = f"{one.blank.name} {one.blank.edition}", one.shape.buffer(-1.0)
    for groove in one.blank.grooves:
        free = free.difference(shapely.Polygon(one.points(groove.outline)).buffer(1.0))
    for size in (4.0, 3.0, 2.0):
        wide = WORD_WIDE * size * len(text)
        for turn, box in ((0.0, (wide, size)), (90.0, (size, wide))):
            if spot := free_spot(free, *box, near=free.centroid):
                x, y = spot
                at = (x - wide / 2, y - size * 0.35) if turn == 0 else (x + size * 0.35, y - wide / 2)
                return CutWord(text=text, at=(round(at[0], 3), round(at[1], 3)), size=size, turn=turn)
    x, y = one.shape.representative_point().coords[0]
    return CutWord(text=text, at=(round(x, 3), round(y, 3)), size=2.0)


def _word_box(word: CutWord) -> shapely.Geometry:
    """About the room a word takes, on the wide side."""
    box = shapely.box(0, -0.25 * word.size, WORD_WIDE * word.size * len(word.text), 0.85 * word.size)
    return shapely.affinity.translate(
        shapely.affinity.rotate(box, word.turn, origin=(0, 0)), word.at[0], word.at[1]
    )


def _with_square(sheet: CutSheet) -> CutSheet:
    """A square of 100 mm on the pen's layer, where it crosses as little as can be."""
    parts = [shapely.LineString(line.points).buffer(1.0) for line in sheet.lines if line.layer == "CUT"]
    solid = [shapely.Polygon(line.points) for line in sheet.lines if line.closed and len(line.points) > 2]
    taken = shapely.union_all(parts + solid)
    xs = np.arange(2.0, sheet.width - SQUARE - 2 + 1e-9, 20.0)
    ys = np.arange(2.0, sheet.height - SQUARE - 2 + 1e-9, 20.0)
    if not len(xs) or not len(ys):
        raise InputError(
            what="The bed is too small to show its scale",
            got=f"{sheet.width:g} x {sheet.height:g} mm",
            allowed=f"at least {SMALLEST_BED:g} mm a side",
            do="Give the real size of the cutter's bed.",
        )
    x, y = (grid.ravel() for grid in np.meshgrid(xs, ys))
    covered = shapely.area(shapely.intersection(shapely.box(x, y, x + SQUARE, y + SQUARE), taken))
    best = int(np.argmin(np.round(covered, 3)))
    x0, y0 = float(x[best]), float(y[best])
    corners = ((x0, y0), (x0 + SQUARE, y0), (x0 + SQUARE, y0 + SQUARE), (x0, y0 + SQUARE))
    square = CutLine(layer="MARK", what="scale square 100 mm", points=corners, closed=True)
    says = CutWord(text=f"100 mm square. {sheet.name}", at=(x0 + 2, y0 + 2), size=3.0)
    return replace(sheet, lines=(square, *sheet.lines), words=(*sheet.words, says))


def split_for_bed(sheet: CutSheet, *, width: float, height: float) -> tuple[CutSheet, ...]:
    """One sheet in as many pieces as the bed needs, left to right and bottom to top; empty ones left out.

    Lines are cut where a piece ends and go on in the next; the sheet is moved by whole beds between them.
    A sheet lies on the bed with its longer side along the bed's; one that fits so stays whole.

    Parameters
    ----------
    width, height : float
        Of the cutter's bed. [mm]

    Raises
    ------
    InputError
        The bed is smaller than the scale square.
    """
    if min(width, height) < SMALLEST_BED:
        raise InputError(
            what="The cutter's bed makes no sense",
            got=f"{width:g} x {height:g} mm",
            allowed=f"at least {SMALLEST_BED:g} mm a side",
            do="Measure the bed and write it in millimetres, for example 600x400.",
        )
    if (sheet.width < sheet.height) != (width < height):
        width, height = height, width
    if sheet.width <= width + 1e-6 and sheet.height <= height + 1e-6:
        return (sheet,)
    lines = [line for line in sheet.lines if not line.what.startswith("scale square")]
    words = [word for word in sheet.words if not word.text.startswith("100 mm square")]
    pieces = []
    for row in range(math.ceil(sheet.height / height - 1e-9)):
        for column in range(math.ceil(sheet.width / width - 1e-9)):
            x, y = column * width, row * height
            inside = _inside(lines, x, y, width, height)
            if inside:
                name = f"{sheet.name}, piece {chr(65 + row)}{column + 1}"
                bed = shapely.box(x, y, x + width, y + height)
                here = tuple(
                    replace(word, at=(word.at[0] - x, word.at[1] - y))
                    for word in words
                    if bed.covers(_word_box(word))
                )
                piece = CutSheet(name=name, width=width, height=height, lines=inside, words=here)
                pieces.append(_with_square(piece))
    return tuple(pieces)


def _inside(lines: Sequence[CutLine], x: float, y: float, wide: float, high: float) -> tuple[CutLine, ...]:
    """The pieces of lines that lie on one bed, in its own axes; what runs along its far edges is the next one's."""
    kept = []
    bed = shapely.box(x, y, x + wide, y + high)
    far = shapely.LineString([(x, y + high), (x + wide, y + high), (x + wide, y)])
    for line in lines:
        ring = (*line.points, line.points[0]) if line.closed else line.points
        whole = shapely.LineString(ring)
        if bed.contains_properly(whole):
            points = _plain(np.array(line.points) - (x, y))
            kept.append(replace(line, points=points))
            continue
        cut = shapely.difference(shapely.intersection(whole, bed), far)
        cut = shapely.line_merge(cut) if cut.geom_type == "MultiLineString" else cut
        for piece in getattr(cut, "geoms", [cut]):
            if piece.geom_type == "LineString" and piece.length > 0.01:
                points = _plain(np.array(piece.coords) - (x, y))
                kept.append(replace(line, points=points, closed=False))
    return tuple(kept)


def hand_order(laid: Sequence[Laid]) -> tuple[HandStep, ...]:
    """One sheet by hand: grooves, holes and nicks, square edges, then each slant; long cuts first.

    Examples
    --------
    Fold 62 on one sheet starts with the groove for FIN-2 and the slot for FIN-1.
    """
    steps = []
    grooves = [(one, groove) for one in laid for groove in one.blank.grooves]
    for through, does in ((False, "Grooves, part of the way"), (True, "Slots, right through")):
        strokes = [
            Stroke(part=f"{one.blank.name} for {groove.takes}", length=_around(groove.outline))
            for one, groove in grooves
            if (groove.depth is None) == through
        ]
        if strokes:
            steps.append(HandStep(does=does, strokes=_longest_first(strokes)))
    nicked = [
        Stroke(part=f"{one.blank.name}: {len(one.blank.nicks)}", length=4.0 * len(one.blank.nicks))
        for one in laid
        if one.blank.nicks
    ]
    if nicked:
        steps.append(
            HandStep(does="Nicks, 4 mm in from the edge", strokes=_longest_first(nicked), has_lengths=False)
        )
    edges = [
        (round(math.degrees(lean), 1), Stroke(part=one.blank.name, length=length))
        for one in laid
        for lean, length in zip(one.blank.leans, _edges(one.blank.outline), strict=True)
    ]
    edges.sort(key=lambda pair: (abs(pair[0]), pair[0], -pair[1].length, pair[1].part))
    for lean, same in groupby(edges, key=lambda pair: pair[0]):
        way = "in under the part" if lean > 0 else "out from the part"
        does = "Square edges, knife upright" if lean == 0 else f"Knife leaning {abs(lean):.1f} deg {way}"
        steps.append(HandStep(does=does, strokes=tuple(stroke for _, stroke in same)))
    return tuple(steps)


def _longest_first(strokes: list[Stroke]) -> tuple[Stroke, ...]:
    return tuple(sorted(strokes, key=lambda stroke: (-stroke.length, stroke.part)))


def _edges(outline: Array) -> list[float]:
    return [float(v) * MM for v in np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1)]


def _around(outline: Array) -> float:
    return sum(_edges(outline))

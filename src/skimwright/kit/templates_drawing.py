"""A sheet of parts drawn at full size, with every mark a pair of hands needs.

Millimetres throughout; sheet axes have y up, drawing axes y down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Words
from skimwright.base.lettering import text_width
from skimwright.kit.parts_on_board import Array, BoardSheet
from skimwright.kit.templates import MM, Blank, Groove, Laid, inward_of

BAR = 100.0  # of the bar a ruler checks [mm]
CLEAR = 1.2  # kept between words and lines [mm]


@dataclass(frozen=True, kw_only=True)
class Template:
    """A sheet drawn at full size, and which part lies where on it."""

    drawing: Drawing
    areas: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]  # part words and outlines [mm, y down]


def sheet_template(
    laid: Sequence[Laid], sheet: BoardSheet, *, title: str, foot: str = "", bar: bool = True
) -> Template:
    """Everything on one sheet at full size, black on white.

    Parameters
    ----------
    laid : sequence of Laid
        What lies on the sheet.
    title : str
        "Fold 62, sheet 1 of 2".
    foot : str
        Kit names and edition codes, printed beside the bar.
    bar : bool
        Draw the 100 mm bar with its check box; the smaller pages of a tiled print have their own.
    """
    height = sheet.height * MM
    marks: list[Mark] = []
    for one in laid:
        marks += _part_marks(one, height)
    if bar:
        marks += _check_bar(laid, sheet, foot or title)
    areas = tuple((one.blank.name, _down(one.points(one.blank.outline), height)) for one in laid)
    drawing = Drawing(
        width=sheet.width * MM,
        height=height,
        marks=tuple(marks),
        title=title,
        described=f"{len(laid)} parts at full size, outer face up. {foot}".strip(),
    )
    return Template(drawing=drawing, areas=areas)


def _down(points: Array, height: float) -> tuple[tuple[float, float], ...]:
    """Sheet axes to drawing axes."""
    return tuple((round(float(x), 6), round(height - float(y), 6)) for x, y in points)


def _part_marks(one: Laid, height: float) -> list[Mark]:
    """Outline, nicks, grooves, slanted edges, words, dots and grain arrow of one part."""
    outline = one.points(one.blank.outline)
    marks: list[Mark] = [Path(points=_down(outline, height), closed=True, width=0.3)]
    free = one.shape.buffer(-CLEAR)
    for nick in one.blank.nicks:
        marks.append(Path(points=_down(one.points(nick), height), width=0.5))
        free = free.difference(shapely.LineString(one.points(nick)).buffer(CLEAR))
    for groove in one.blank.grooves:
        drawn, taken = _groove_marks(one, groove, height)
        marks += drawn
        free = free.difference(taken)
    drawn, taken = _lean_marks(one, outline, height, free)
    return marks + drawn + _label(one, free.difference(taken), height)


def _groove_marks(one: Laid, groove: Groove, height: float) -> tuple[list[Mark], shapely.Geometry]:
    cut = one.points(groove.outline)
    through = groove.depth is None
    marks: list[Mark] = [
        Path(points=_down(cut, height), closed=True, width=0.3, dashes=() if through else (0.6, 0.8))
    ]
    shape = shapely.Polygon(cut)
    says = f"{groove.takes}: cut through" if through else f"{groove.takes}: {groove.depth * MM:g} mm deep"  # type: ignore[operator]
    (x0, y0, x1, y1), size = shape.bounds, 2.6
    if x1 - x0 >= y1 - y0:
        at, turn = ((x0 + x1) / 2, height - y1 - CLEAR), 0.0
    else:
        at, turn = (x0 - CLEAR, height - (y0 + y1) / 2), -90.0
    words = Words(at=at, text=says, size=size, anchor="middle", turn=turn)
    return [*marks, words], shape.buffer(CLEAR).union(_word_box(words, height).buffer(CLEAR))


def _word_box(words: Words, height: float) -> shapely.Geometry:
    """The box of a line of words in sheet axes. [mm]"""
    wide = text_width(words.text, size=words.size, bold=words.bold)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    box = shapely.box(left, -0.25 * words.size, left + wide, 0.85 * words.size)
    turned_box = shapely.affinity.rotate(box, -words.turn, origin=(0, 0))
    return shapely.affinity.translate(turned_box, words.at[0], height - words.at[1])


def _lean_marks(
    one: Laid, outline: Array, height: float, free: shapely.Geometry
) -> tuple[list[Mark], shapely.Geometry]:
    """A dashed line where each slanted cut comes out below, and how far the knife leans."""
    marks: list[Mark] = []
    taken: list[shapely.Geometry] = []
    after = np.roll(outline, -1, axis=0)
    for start, end, lean in zip(outline, after, one.blank.leans, strict=True):
        if abs(lean) < 1e-4:
            continue
        length = float(np.linalg.norm(end - start))
        along = (end - start) / length
        inward = inward_of(outline, along)
        deep = one.blank.thickness * MM * math.tan(lean)
        below = shapely.LineString((start + inward * deep, end + inward * deep)).intersection(one.shape)
        if not below.is_empty and deep > 0.15:
            marks.append(Path(points=_down(np.array(below.coords), height), width=0.2, dashes=(2.0, 1.2)))
        says = f"lean {'in' if lean > 0 else 'out'} {abs(math.degrees(lean)):.1f}°"
        words = _along_edge(says, start, end, inward, max(deep, 0.0) + CLEAR, height)
        marks.append(words)
        taken.append(_word_box(words, height).buffer(CLEAR))
        taken.append(shapely.LineString((start, end)).buffer(max(deep, 0.0) + CLEAR, cap_style="flat"))
    return marks, shapely.union_all(taken)


def _along_edge(says: str, start: Array, end: Array, inward: Array, off: float, height: float) -> Words:
    """Words along an edge, inside it, upright or climbing."""
    along = (end - start) / np.linalg.norm(end - start)
    size = min(2.6, 0.9 * float(np.linalg.norm(end - start)) / text_width(says, size=1.0))
    if (along[0], along[1]) < (-1e-9, 0) or (abs(along[0]) < 1e-9 and along[1] < 0):
        along = -along
    up = np.array((-along[1], along[0]))  # of the letters
    lift = 0.25 * size if up @ inward > 0 else -0.85 * size
    foot = (start + end) / 2 + inward * off + up * lift
    turn = -math.degrees(math.atan2(along[1], along[0]))
    at = (round(float(foot[0]), 4), round(height - float(foot[1]), 4))
    return Words(at=at, text=says, size=size, anchor="middle", turn=turn)


def _label(one: Laid, free: shapely.Geometry, height: float) -> list[Mark]:
    """Part word, kit and edition, dots for the fitting order; a grain arrow if the part wants one."""
    here = one.blank
    for size in (10.0, 8.0, 6.5, 5.0, 4.0, 3.2, 2.6):
        small = max(2.4, 0.45 * size)
        under = f"{here.kit}  {here.edition}"
        dots = _dot_places(here.order)
        wide = max(
            text_width(here.name, size=size, bold=True),
            text_width(under, size=small),
            max((x for x, _ in dots), default=0.0) + 1.2,
        )
        rows = 1 + (here.order - 1) // 10 if here.order else 0
        tall = size * 1.15 + small * 1.5 + rows * 2.6
        for turn in (0.0, 90.0):
            box = (wide, tall) if turn == 0 else (tall, wide)
            spot = free_spot(free, *box, near=free.centroid)
            if spot:
                marks = _label_at(here, spot, turn, (wide, tall), size, small, dots, height)
                if here.has_grain:
                    rest = free.difference(shapely.box(*_around(spot, box)).buffer(CLEAR))
                    marks += _grain_arrow(rest, height)
                return marks
    return [_word_across(one, height)]


def _word_across(one: Laid, height: float) -> Words:
    """The word of a part too small for any: along its longer side, over its lines."""
    x0, y0, x1, y1 = one.shape.bounds
    turn = -90.0 if y1 - y0 > x1 - x0 else 0.0
    down = 0.8 if turn == 0 else 0.0  # half a small letter, to bring its middle onto the part's
    at = ((x0 + x1) / 2 + (0.8 - down), height - (y0 + y1) / 2 + down)
    text = f"{one.blank.name} {one.blank.edition}"
    return Words(at=at, text=text, size=2.2, anchor="middle", bold=True, turn=turn)


def _dot_places(order: int) -> list[tuple[float, float]]:
    """Small dots in rows of ten, a gap after each five."""
    return [(2.2 * (n % 10) + (1.6 if n % 10 >= 5 else 0.0), 2.6 * (n // 10)) for n in range(order)]


def _around(spot: tuple[float, float], box: tuple[float, float]) -> tuple[float, float, float, float]:
    (x, y), (w, h) = spot, box
    return x - w / 2, y - h / 2, x + w / 2, y + h / 2


def _label_at(
    here: Blank,
    spot: tuple[float, float],
    turn: float,
    box: tuple[float, float],
    size: float,
    small: float,
    dots: Sequence[tuple[float, float]],
    height: float,
) -> list[Mark]:
    """The block of words with its middle on a spot; turn in [deg], anticlockwise on the sheet."""
    (wide, tall), c, s = box, math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(x: float, y: float) -> tuple[float, float]:
        """From the block's own corner, y down."""
        dx, dy = x - wide / 2, tall / 2 - y
        return round(spot[0] + c * dx - s * dy, 4), round(height - (spot[1] + s * dx + c * dy), 4)

    under = size * 1.15 + small * 1.15
    marks: list[Mark] = [
        Words(at=at(0, size * 0.9), text=here.name, size=size, bold=True, turn=-turn),
        Words(at=at(0, under), text=f"{here.kit}  {here.edition}", size=small, turn=-turn),
    ]
    first = under + small * 0.35 + 1.2
    return marks + [Dot(at=at(0.7 + x, first + y), radius=0.6, width=0.1) for x, y in dots]


def _grain_arrow(free: shapely.Geometry, height: float) -> list[Mark]:
    """Two-headed, along the sheet's x."""
    for length in (80.0, 50.0, 30.0, 20.0):
        spot = free_spot(free, length, 5.0, near=free.centroid)
        if spot:
            x0, x1, y = spot[0] - length / 2, spot[0] + length / 2, height - spot[1] + 1.5
            mid = (x0 + x1) / 2
            return [
                Path(points=((x0, y), (x1, y)), width=0.25),
                Path(points=((x0 + 3, y - 1), (x0, y), (x0 + 3, y + 1)), width=0.25),
                Path(points=((x1 - 3, y - 1), (x1, y), (x1 - 3, y + 1)), width=0.25),
                Words(at=(mid, y - 0.8), text="grain", size=2.6, anchor="middle"),
            ]
    return []


def free_spot(
    free: shapely.Geometry, wide: float, tall: float, *, near: shapely.Point
) -> tuple[float, float] | None:
    """The middle of a box of that size inside a shape, as near to a point as a coarse grid allows."""
    if free.is_empty or free.area < wide * tall:
        return None
    x0, y0, x1, y1 = free.bounds
    if x1 - x0 < wide or y1 - y0 < tall:
        return None
    xs = np.linspace(x0 + wide / 2, x1 - wide / 2, 15)
    ys = np.linspace(y0 + tall / 2, y1 - tall / 2, 15)
    x, y = (grid.ravel() for grid in np.meshgrid(xs, ys))
    x, y = np.append(x, near.x), np.append(y, near.y)
    boxes = shapely.box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)
    shapely.prepare(free)
    inside = np.flatnonzero(shapely.contains(free, boxes))
    if not len(inside):
        return None
    best = inside[np.argmin(np.hypot(x[inside] - near.x, y[inside] - near.y))]
    return float(x[best]), float(y[best])


def _check_bar(laid: Sequence[Laid], sheet: BoardSheet, foot: str) -> list[Mark]:
    """A bar exactly 100 mm long, a box to write what a ruler reads, and whose sheet this is."""
    wide, high = sheet.width * MM, sheet.height * MM
    board = shapely.box(3, 3, wide - 3, high - 3)
    free = board.difference(shapely.union_all([one.shape.buffer(CLEAR) for one in laid]))
    size, says = 3.0, "100 mm at actual size.  I measured"
    long = BAR + 3 + text_width(says, size=size) + 22 + text_width(f"mm   {foot}", size=size) + 2
    spot = _corner_spot(free, long, 7.0)
    if spot is None:  # a full sheet: along its lower margin, small
        x, y, size = 4.0, high - 1.0, 2.4
    else:
        x, y = spot[0] + 1.0, high - spot[1] - 2.0
    if x + long > wide:
        foot = ""  # a sheet hardly longer than the bar; every part has its edition
    return bar_marks(x, y, says=says, foot=foot, size=size)


def bar_marks(x: float, y: float, *, says: str, foot: str, size: float) -> list[Mark]:
    """The bar with its left end at (x, y), words behind it."""
    marks: list[Mark] = [Path(points=((x, y), (x + BAR, y)), width=0.4)]
    for tick in range(0, 101, 10):
        up = 2.4 if tick % 50 == 0 else 1.4
        marks.append(Path(points=((x + tick, y - up), (x + tick, y)), width=0.2))
    at = x + BAR + 3
    marks.append(Words(at=(at, y), text=says, size=size))
    at += text_width(says, size=size) + 2
    marks.append(
        Path(points=((at, y - 3.2), (at + 16, y - 3.2), (at + 16, y + 0.6), (at, y + 0.6)), closed=True)
    )
    return [*marks, Words(at=(at + 18, y), text=f"mm   {foot}", size=size)]


def _corner_spot(free: shapely.Geometry, wide: float, tall: float) -> tuple[float, float] | None:
    """The lower left corner of a free box of that size, as low as there is one."""
    x0, y0, x1, y1 = free.bounds
    if x1 - x0 < wide or y1 - y0 < tall:
        return None
    xs, ys = np.arange(x0, x1 - wide + 1e-9, 5.0), np.arange(y0, y1 - tall + 1e-9, 2.0)
    y, x = (grid.ravel() for grid in np.meshgrid(ys, xs, indexing="ij"))
    shapely.prepare(free)
    fits = np.flatnonzero(shapely.contains(free, shapely.box(x, y, x + wide, y + tall)))
    return (float(x[fits[0]]), float(y[fits[0]])) if len(fits) else None

"""A large drawing on small paper: pages that overlap, with marks that bring them together again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Point, Words

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # [mm]
MARGIN = 10.0  # what nearly every printer can print inside of [mm] [choice]
OVERLAP = 12.0  # of neighbouring pages [mm] [choice]
STRIP = 17.0  # at the foot of each page, for the bar and the check box [mm]
CROSS = 4.0  # half a joining mark [mm]
BAR = 100.0  # [mm]

Area = tuple[str, Sequence[Point]]  # a word and the outline it belongs to


@dataclass(frozen=True, kw_only=True)
class Grid:
    """How windows of one size lie over a drawing."""

    left: float  # of the first window, drawing axes [mm]
    top: float
    wide: float  # of each window
    high: float
    columns: int
    rows: int
    page: tuple[float, float]  # the paper, as it is held

    def window(self, row: int, column: int) -> tuple[float, float, float, float]:
        """Left, top, right, bottom in the drawing. [mm]"""
        x = self.left + column * (self.wide - OVERLAP)
        y = self.top + row * (self.high - OVERLAP)
        return x, y, x + self.wide, y + self.high


def tiles(
    drawing: Drawing, *, paper: Paper, areas: Sequence[Area] = (), foot: str = ""
) -> tuple[Drawing, ...]:
    """The pages of a drawing at true size, those without a line on them left out.

    Parameters
    ----------
    drawing : Drawing
        In mm.
    paper : str
        ``"a4"`` or ``"letter"``; held upright or across, whichever takes fewer pages.
    areas : sequence of (word, outline)
        Each piece of an outline gets its word again on every page where the drawing's own words do not fit.
    foot : str
        Whose pages these are; printed on each.

    Returns
    -------
    tuple of Drawing
        In rows, from the top left corner.  On each: its row and column, the 100 mm bar with its check box, a
        small map, and crosses that lie on those of the neighbours.

    Raises
    ------
    ValueError
        The drawing has no lines.

    Examples
    --------
    A deck of 620 x 280 mm takes six pages of A4.
    """
    ways = [_grid(drawing, PAPERS[paper]), _grid(drawing, PAPERS[paper][::-1])]
    made = [(grid, _filled(drawing, grid)) for grid in ways]
    grid, filled = min(made, key=lambda pair: len(pair[1]))
    shapes = [(word, shapely.Polygon(points)) for word, points in areas]
    pages = []
    for number, (place, marks) in enumerate(filled.items(), start=1):
        window = grid.window(*place)
        marks = [*_without_loose_dots(marks, shapes), *_names(marks, shapes, window)]
        marks = [_moved(mark, MARGIN - window[0], MARGIN - window[1]) for mark in marks]
        marks += _crosses(grid, place, set(filled))
        count = f"page {number} of {len(filled)}"
        marks += _strip(grid, place, set(filled), f"{foot}   {count}".strip())
        pages.append(
            Drawing(
                width=grid.page[0],
                height=grid.page[1],
                marks=tuple(marks),
                title=f"{drawing.title}, {tile_name(*place)}, {count}",
            )
        )
    return tuple(pages)


def tile_name(row: int, column: int) -> str:
    """Row by letter, column by number, counted from the top left: ``B3``."""
    return f"{chr(65 + row)}{column + 1}"


def _grid(drawing: Drawing, page: tuple[float, float]) -> Grid:
    """Windows over the drawing's lines, no more than needed, the spare shared by both sides."""
    points = [point for mark in drawing.marks if isinstance(mark, Path) for point in mark.points]
    if not points:
        raise ValueError("a drawing without lines has no pages")
    x0, y0 = min(x for x, _ in points) - 1, min(y for _, y in points) - 1
    x1, y1 = max(x for x, _ in points) + 1, max(y for _, y in points) + 1
    wide, high = page[0] - 2 * MARGIN, page[1] - 2 * MARGIN - STRIP
    columns, rows = _count(x1 - x0, wide), _count(y1 - y0, high)
    spare_x = wide + (columns - 1) * (wide - OVERLAP) - (x1 - x0)
    spare_y = high + (rows - 1) * (high - OVERLAP) - (y1 - y0)
    return Grid(
        left=x0 - spare_x / 2,
        top=y0 - spare_y / 2,
        wide=wide,
        high=high,
        columns=columns,
        rows=rows,
        page=page,
    )


def _count(length: float, window: float) -> int:
    return max(1, math.ceil((length - OVERLAP) / (window - OVERLAP) - 1e-9))


def _filled(drawing: Drawing, grid: Grid) -> dict[tuple[int, int], list[Mark]]:
    """What lies in each window that has a line in it."""
    filled = {}
    boxes = [(mark, _bounds(mark)) for mark in drawing.marks]
    for row in range(grid.rows):
        for column in range(grid.columns):
            x0, y0, x1, y1 = window = grid.window(row, column)
            near = [m for m, (a, b, c, d) in boxes if a <= x1 and c >= x0 and b <= y1 and d >= y0]
            marks = [piece for mark in near for piece in _clipped(mark, window)]
            if any(isinstance(mark, Path) for mark in marks):
                filled[row, column] = marks
    return filled


def _bounds(mark: Mark) -> tuple[float, float, float, float]:
    if isinstance(mark, Path):
        xs, ys = zip(*mark.points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)
    (x, y), r = mark.at, mark.radius if isinstance(mark, Dot) else len(mark.text) * mark.size
    return x - r, y - r, x + r, y + r


def _clipped(mark: Mark, window: tuple[float, float, float, float]) -> list[Mark]:
    """The pieces of a mark inside a window; words and dots only if they are whole there."""
    box = shapely.box(*window)
    if isinstance(mark, Words):
        return [mark] if box.covers(_word_box(mark)) else []
    if isinstance(mark, Dot):
        return [mark] if box.covers(shapely.Point(mark.at).buffer(mark.radius)) else []
    if mark.fill and len(mark.points) > 2:
        rings = _pieces(shapely.intersection(shapely.Polygon(mark.points), box), "Polygon")
        return [replace(mark, points=tuple(ring.exterior.coords)[:-1]) for ring in rings]
    ring = (*mark.points, mark.points[0]) if mark.closed else mark.points
    whole = shapely.LineString(ring)
    if box.covers(whole):
        return [mark]
    cut = shapely.intersection(whole, box)
    if cut.geom_type != "LineString":
        cut = shapely.line_merge(cut)
    return [replace(mark, points=tuple(piece.coords), closed=False) for piece in _pieces(cut, "LineString")]


def _pieces(geometry: shapely.Geometry, kind: str) -> list[shapely.Geometry]:
    parts = getattr(geometry, "geoms", [geometry])
    return [part for part in parts if part.geom_type == kind and part.length > 0.01]


def _word_box(words: Words) -> shapely.Geometry:
    """About the box of a line of words, on the wide side."""
    wide = 0.62 * words.size * len(words.text)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    box = shapely.box(left, -0.85 * words.size, left + wide, 0.25 * words.size)
    turned = shapely.affinity.rotate(box, words.turn, origin=(0, 0))
    return shapely.affinity.translate(turned, *words.at)


def _names(
    marks: Sequence[Mark],
    areas: Sequence[tuple[str, shapely.Polygon]],
    window: tuple[float, float, float, float],
) -> list[Mark]:
    """A small word in each piece of a part that has lost its own word to another page."""
    box = shapely.box(*window).buffer(-1.0)
    boxes = [(mark.text, _word_box(mark)) for mark in marks if isinstance(mark, Words)]
    lines = shapely.union_all(
        [_as_line(mark).buffer(1.0) for mark in marks if isinstance(mark, Path)]
        + [shape.buffer(0.8) for _, shape in boxes]
    )
    added: list[Mark] = []
    for word, shape in areas:
        seen = shapely.intersection(shape, box)
        if seen.is_empty or any(text == word and shape.contains(place.centroid) for text, place in boxes):
            continue
        free = seen.difference(lines)
        for size in (4.0, 3.0, 2.4):
            found = _room(free, 0.62 * size * len(word), size)
            if found:
                (x, y), turn = found
                at = (x, y + 0.3 * size) if turn == 0 else (x + 0.3 * size, y)
                added.append(Words(at=at, text=word, size=size, anchor="middle", turn=turn))
                break
    return added


def _without_loose_dots(marks: Sequence[Mark], areas: Sequence[tuple[str, shapely.Polygon]]) -> list[Mark]:
    """Dots are counted, so they stand only beside the whole word of their part."""
    words = [(mark.text, shapely.Point(mark.at)) for mark in marks if isinstance(mark, Words)]
    loose = [
        shape for word, shape in areas if not any(text == word and shape.contains(at) for text, at in words)
    ]
    return [
        mark
        for mark in marks
        if not (isinstance(mark, Dot) and any(shape.contains(shapely.Point(mark.at)) for shape in loose))
    ]


def _as_line(mark: Path) -> shapely.Geometry:
    return shapely.LineString((*mark.points, mark.points[0]) if mark.closed else mark.points)


def _room(free: shapely.Geometry, wide: float, tall: float) -> tuple[Point, float] | None:
    """The middle of a place for a word inside a shape, level or upright."""
    if free.is_empty:
        return None
    shapely.prepare(free)
    x0, y0, x1, y1 = free.bounds
    steps = [(i + 0.5) / 12 for i in range(12)]
    order = sorted(steps, key=lambda share: abs(share - 0.5))
    spots = [(x0 + (x1 - x0) * a, y0 + (y1 - y0) * b) for a in order for b in order]
    for turn, (w, h) in ((0.0, (wide, tall)), (-90.0, (tall, wide))):
        boxes = [shapely.box(x - w / 2, y - h / 2, x + w / 2, y + h / 2) for x, y in spots]
        fits = shapely.contains(free, boxes)
        if fits.any():
            return spots[int(fits.argmax())], turn
    return None


def _moved(mark: Mark, x: float, y: float) -> Mark:
    if isinstance(mark, Path):
        return replace(mark, points=tuple((round(a + x, 6), round(b + y, 6)) for a, b in mark.points))
    return replace(mark, at=(round(mark.at[0] + x, 6), round(mark.at[1] + y, 6)))


def _crosses(grid: Grid, place: tuple[int, int], filled: set[tuple[int, int]]) -> list[Mark]:
    """Joining marks in the middle of each overlap, at its corners and its middle, and a thin frame."""
    row, column = place
    x0, y0, x1, y1 = MARGIN, MARGIN, MARGIN + grid.wide, MARGIN + grid.high
    half = OVERLAP / 2
    marks: list[Mark] = [
        Path(points=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True, line="grey", width=0.1)
    ]
    xs = {-1: x0 + half, 0: (x0 + x1) / 2, 1: x1 - half}
    ys = {-1: y0 + half, 0: (y0 + y1) / 2, 1: y1 - half}
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            shared = {(row + a, column + b) for a in {0, down} for b in {0, right}} - {place}
            if shared & filled:
                marks += _cross(xs[right], ys[down])
    beside = {"left": (0, -1), "right": (0, 1), "above": (-1, 0), "below": (1, 0)}
    for side, (down, right) in beside.items():
        other = (row + down, column + right)
        if other in filled:
            marks.append(_beside(side, tile_name(*other), (x0, y0, x1, y1)))
    return marks


def _cross(x: float, y: float) -> list[Mark]:
    return [
        Path(points=((x - CROSS, y), (x + CROSS, y)), width=0.15),
        Path(points=((x, y - CROSS), (x, y + CROSS)), width=0.15),
        Dot(at=(x, y), radius=1.2, fill=None, width=0.15),
    ]


def _beside(side: str, name: str, frame: tuple[float, float, float, float]) -> Words:
    """The neighbour's name in the margin beside it."""
    x0, y0, x1, y1 = frame
    places: dict[str, tuple[Point, float]] = {
        "left": ((x0 - 1.5, (y0 + y1) / 2), -90.0),
        "right": ((x1 + 1.5, (y0 + y1) / 2), 90.0),
        "above": (((x0 + x1) / 2, y0 - 1.5), 0.0),
        "below": (((x0 + x1) / 2, y1 + 3.4), 0.0),
    }
    at, turn = places[side]
    return Words(at=at, text=f"joins {name}", size=2.6, anchor="middle", turn=turn)


def _strip(grid: Grid, place: tuple[int, int], filled: set[tuple[int, int]], foot: str) -> list[Mark]:
    """At the foot: the page's name, the bar, the box for what a ruler reads, a map of the pages."""
    left, low = MARGIN, grid.page[1] - MARGIN
    bar = low - 5.5
    marks: list[Mark] = [
        Words(at=(left, bar), text=tile_name(*place), size=9.0, bold=True),
        Path(points=((left + 18, bar), (left + 18 + BAR, bar)), width=0.4),
    ]
    for tick in range(0, 101, 10):
        up = 3.0 if tick % 50 == 0 else 1.6
        marks.append(Path(points=((left + 18 + tick, bar - up), (left + 18 + tick, bar)), width=0.2))
    at = left + 18 + BAR + 2.5
    box = ((at + 20, bar - 4.4), (at + 35, bar - 4.4), (at + 35, bar + 0.8), (at + 20, bar + 0.8))
    marks += [
        Words(at=(at, bar), text="I measured", size=3.4),
        Path(points=box, closed=True, width=0.3),
        Words(at=(at + 36.5, bar), text="mm", size=3.4),
        Words(
            at=(left, low - 0.6),
            text=f"The bar is 100 mm when printed at actual size.   {foot}",
            size=2.7,
        ),
    ]
    return marks + _map(grid, place, filled)


def _map(grid: Grid, place: tuple[int, int], filled: set[tuple[int, int]]) -> list[Mark]:
    """All pages small, this one black, those left out missing."""
    side = min(4.0, 11.0 / max(grid.rows, 1), 14.0 / max(grid.columns, 1))
    right, top = grid.page[0] - MARGIN - grid.columns * side, grid.page[1] - MARGIN - STRIP + 4.2
    marks: list[Mark] = []
    for row, column in sorted(filled):
        x, y = right + column * side, top + row * side
        corners = ((x, y), (x + side, y), (x + side, y + side), (x, y + side))
        fill: Literal["black", "white"] = "black" if (row, column) == place else "white"
        marks.append(Path(points=corners, closed=True, width=0.15, fill=fill))
    return marks

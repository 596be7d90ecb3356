"""A lane's sign: a shape, a numeral and a hatch, so that two of the three may be lost to rain or a bad copier."""

from __future__ import annotations

import math
from collections.abc import Sequence

from skimwright.base.drawing import Dot, Mark, Path, Point, Words
from skimwright.base.lettering import FIGURE

NAMES = ("circle", "triangle", "square", "diamond", "plus", "star")
# Angles of the hatch lines by lane [deg]; the circle stays white and the star is solid.
HATCH: tuple[tuple[float, ...], ...] = ((), (0.0,), (45.0,), (90.0,), (0.0, 90.0), ())
SOLID = 6
STEP = 0.115  # from hatch line to hatch line, of the sign's size
PATCH = 0.27  # radius of the white patch behind the numeral, of the sign's size


def lane_sign(lane: int, x: float, y: float, *, size: float) -> list[Mark]:
    """The sign of a lane around (x, y).

    Parameters
    ----------
    lane : int
        From 1; beyond six the shape is a six-sided frame and the numeral alone tells.
    x, y : float
        Its middle. [mm]
    size : float
        Its width, about. [mm]

    Returns
    -------
    list of Mark
        Black on white, within `size` of (x, y) both ways.
    """
    corners = [(x + px * size, y + py * size) for px, py in _outline(lane)]
    edge = max(0.05 * size, 0.4)
    marks: list[Mark] = [
        Path(points=tuple(corners), closed=True, width=edge, fill="black" if lane == SOLID else "white")
    ]
    for angle in HATCH[lane - 1] if lane <= len(HATCH) else ():
        for ends in hatch(corners, angle=angle, step=STEP * size):
            marks.append(Path(points=ends, width=max(0.024 * size, 0.2)))
    marks.append(Dot(at=(x, y), radius=PATCH * size, line=None, fill="white"))
    text = str(lane)
    letters = (0.46 if len(text) == 1 else 0.36) * size / FIGURE
    marks.append(Words(at=(x, y + letters * FIGURE / 2), text=text, size=letters, bold=True, anchor="middle"))
    return marks


def _outline(lane: int) -> list[Point]:
    """A shape about one across, around nought."""
    match NAMES[lane - 1] if lane <= len(NAMES) else "":
        case "circle":
            return _ring(48, 0.5)
        case "triangle":
            return [(px, py + 0.04) for px, py in _ring(3, 0.68)]
        case "square":
            return [(-0.44, -0.44), (0.44, -0.44), (0.44, 0.44), (-0.44, 0.44)]
        case "diamond":
            return _ring(4, 0.6)
        case "plus":
            a, b = 0.24, 0.54
            return [
                (-a, -b), (a, -b), (a, -a), (b, -a), (b, a), (a, a),
                (a, b), (-a, b), (-a, a), (-b, a), (-b, -a), (-a, -a),
            ]  # fmt: skip
        case "star":
            outer, inner = _ring(5, 0.62), _ring(5, 0.33, turn=36.0)
            return [point for pair in zip(outer, inner, strict=True) for point in pair]
    return _ring(6, 0.52, turn=30.0)


def _ring(count: int, radius: float, turn: float = 0.0) -> list[Point]:
    """Corners on a circle, the first straight up."""
    angles = [math.radians(turn + 360.0 * k / count) for k in range(count)]
    return [(radius * math.sin(a), -radius * math.cos(a)) for a in angles]


def hatch(corners: Sequence[Point], *, angle: float, step: float) -> list[tuple[Point, Point]]:
    """Parallel lines that fill a closed outline.

    Parameters
    ----------
    corners : sequence of Point
        In order; it may be hollow, but must not cross itself. [mm]
    angle : float
        Of the lines. [deg]
    step : float
        From line to line. [mm]

    Examples
    --------
    >>> len(hatch([(0, 0), (10, 0), (10, 10), (0, 10)], angle=0.0, step=2.5))
    3
    """
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    turned = [(c * px + s * py, c * py - s * px) for px, py in corners]
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    lines = []
    count = max(1, round((high - low) / step))
    for k in range(1, count):
        v = low + (high - low) * k / count
        cuts = sorted(
            u1 + (u2 - u1) * (v - v1) / (v2 - v1)
            for (u1, v1), (u2, v2) in zip(turned, [*turned[1:], turned[0]], strict=True)
            if (v1 <= v) != (v2 <= v)
        )
        for u1, u2 in zip(cuts[::2], cuts[1::2], strict=True):
            lines.append(((c * u1 - s * v, s * u1 + c * v), (c * u2 - s * v, s * u2 + c * v)))
    return lines

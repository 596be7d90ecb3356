"""Clear water ahead of a start: how far a ribbon as wide as the lanes runs before it meets something."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from skimwright.pond.plan import PondMap
from skimwright.pond.survey import Spot

FAR = 1000.0  # no pond is longer [m]


@dataclass(frozen=True, kw_only=True)
class Clear:
    """Clear metres along one heading."""

    on_lines: float  # the shortest of the lane lines: both edges of every lane [m]
    anywhere: float  # the shortest within the ribbon; a corner of an islet between two lines counts [m]
    meets: str  # what the shortest line meets: an islet's name, or "shore"


def course_point(start: Spot, heading: float, *, ahead: float, aside: float) -> Spot:
    """The place so far ahead of the start and so far to starboard of it.

    Parameters
    ----------
    start : Spot
        [m]
    heading : float
        Clockwise from north. [rad]
    ahead, aside : float
        Along the heading, and to starboard of it. [m]

    Examples
    --------
    >>> course_point((0.0, 0.0), 0.0, ahead=2.0, aside=1.0)
    (1.0, 2.0)
    """
    sine, cosine = math.sin(heading), math.cos(heading)
    return start[0] + ahead * sine + aside * cosine, start[1] + ahead * cosine - aside * sine


def clear_water(pond: PondMap, start: Spot, heading: float, *, width: float, lines: int) -> Clear:
    """How far boats can go before an islet or the shore.

    Parameters
    ----------
    pond : PondMap
    start : Spot
        Middle of the start line. [m]
    heading : float
        Clockwise from north. [rad]
    width : float
        Of the ribbon: all lanes together. [m]
    lines : int, 2 or more
        Lines looked along, evenly over the width: one more than there are lanes.

    Returns
    -------
    Clear
        Nought where a line begins on land.

    Holds
        Shapes on the plan only; no depth, no weed, no drift.
    Checked
        tests/unit/pond/test_ribbon.py: the eight values of the demonstration pond, lines 2.5 m apart, and
        line crossings worked out without shapely.
    """
    edges = {name: islet.exterior for name, islet in pond.dry.items()} | {"shore": pond.shore.exterior}
    offsets = np.linspace(-0.5 * width, 0.5 * width, lines)
    met = [_first(pond, start, heading, float(aside), edges.items()) for aside in offsets]
    shortest, what = min(met)
    corners = [
        course_point(start, heading, ahead=ahead, aside=aside)
        for ahead, aside in ((0.0, -0.5 * width), (FAR, -0.5 * width), (FAR, 0.5 * width), (0.0, 0.5 * width))
    ]
    ribbon = Polygon(corners)
    inside = [_nearest(edge.intersection(ribbon), start, heading) for edge in edges.values()]
    return Clear(on_lines=shortest, anywhere=min(shortest, *inside), meets=what)


def distance_to(shape: BaseGeometry, start: Spot, heading: float, *, width: float) -> float | None:
    """How far ahead the ribbon first touches a shape, such as closed reeds; None if it never does. [m]"""
    corners = [
        course_point(start, heading, ahead=ahead, aside=aside)
        for ahead, aside in ((0.0, -0.5 * width), (FAR, -0.5 * width), (FAR, 0.5 * width), (0.0, 0.5 * width))
    ]
    found = _nearest(shape.intersection(Polygon(corners)), start, heading)
    return None if math.isinf(found) else max(found, 0.0)


def _first(
    pond: PondMap, start: Spot, heading: float, aside: float, edges: Iterable[tuple[str, BaseGeometry]]
) -> tuple[float, str]:
    begin = course_point(start, heading, ahead=0.0, aside=aside)
    if not pond.is_water(begin):
        return 0.0, "shore"
    line = LineString([begin, course_point(start, heading, ahead=FAR, aside=aside)])
    return min(
        (Point(begin).distance(met), name)
        for name, edge in edges
        if not (met := line.intersection(edge)).is_empty
    )


def _nearest(shape: BaseGeometry, start: Spot, heading: float) -> float:
    """Least distance along the heading of any corner of a shape; without end when there is none. [m]"""
    if shape.is_empty:
        return math.inf
    sine, cosine = math.sin(heading), math.cos(heading)
    pieces = getattr(shape, "geoms", [shape])
    corners = [
        corner
        for piece in pieces
        for corner in (piece.exterior.coords if piece.geom_type == "Polygon" else piece.coords)
    ]
    return float(min((x - start[0]) * sine + (y - start[1]) * cosine for x, y in corners))

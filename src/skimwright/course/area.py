"""Where nobody may stand: the larger of what the model reaches and what the hard rule says.

The two are different lines with different names.  The *computed reach* is a forecast and belongs to the model; the
*people line* belongs to the safety officer, and no forecast ever moves it nearer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from skimwright.course.compare import on_pond
from skimwright.course.paths import Fleet
from skimwright.course.reach import LoggedRun
from skimwright.pond import Spot, course_point

FOOT = 0.3048  # [m], exact
BEHIND = 15 * FOOT  # borrowed minimum: model rocket code 2012, item 5, D motors and smaller (seen) [m]
ABEAM = 25 * FOOT  # borrowed minimum: model aircraft code 2018 (seen) [m]
AHEAD = 2.0  # times the longest run where there is no barrier, a proposal for the authority to agree [-]
ENOUGH_LOGGED = 10  # with fewer logged runs only the hard rule is shown
HALF_BOAT = 0.5  # a boat's own size about its middle [m]


@dataclass(frozen=True, kw_only=True)
class Area:
    """One area on the plan, with what it rests on."""

    name: str
    shape: BaseGeometry
    rests_on: str


@dataclass(frozen=True, kw_only=True)
class KeepClear:
    """Where nobody may stand."""

    hard_rule: Area
    computed: Area | None  # None: too few runs were logged to show it
    longest: float  # run that the hard rule rests on [m]
    logged: int

    @property
    def shape(self) -> BaseGeometry:
        """The larger of the two: their union.  Its edge is the people line."""
        return (
            unary_union([self.hard_rule.shape, self.computed.shape])
            if self.computed
            else self.hard_rule.shape
        )

    def holds(self, place: BaseGeometry) -> float:
        """Share of a place that lies inside. [-]"""
        length = place.length
        return (
            float(place.intersection(self.shape).length / length)
            if length
            else float(self.shape.covers(place))
        )


def keep_clear(
    fleet: Fleet,
    *,
    start: Spot,
    heading: float,
    lanes: int,
    spacing: float,
    logged: Sequence[LoggedRun] = (),
) -> KeepClear:
    """Both areas for one start and heading.

    Parameters
    ----------
    fleet : Fleet
        Runs on this heading.
    start : Spot
        Middle of the start line. [m]
    heading : float
        [rad]
    lanes : int
    spacing : float
        [m]
    logged : sequence of LoggedRun
        What was seen: a longer run moves the hard rule; fewer than ten hide the computed reach.

    Returns
    -------
    KeepClear
        Whatever the forecast says, never smaller than the hard rule.
    """
    far = [run.distance for run in logged if run.distance is not None]
    longest = max([fleet.longest, *far])
    rule = Area(
        name="people line",
        shape=hard_rule(start, heading, width=lanes * spacing, longest=longest),
        rests_on=f"the longest run {'seen' if far and max(far) >= longest else 'forecast'}, {longest:.1f} m; "
        f"{BEHIND:.1f} m behind and {ABEAM:.1f} m abeam are minima borrowed from other activities",
    )
    computed = None
    if len(logged) >= ENOUGH_LOGGED:
        computed = Area(
            name="computed reach",
            shape=computed_reach(fleet, start, heading, lanes=lanes, spacing=spacing),
            rests_on=f"{fleet.runs} forecast runs of {len(fleet.labels)} boats, hooks carried on and flips thrown",
        )
    return KeepClear(hard_rule=rule, computed=computed, longest=longest, logged=len(logged))


def hard_rule(start: Spot, heading: float, *, width: float, longest: float) -> BaseGeometry:
    """The physical reach, with no chance in it: everything ahead and abeam within the longest run of any lane,
    twice that straight ahead, and the borrowed minima behind and abeam; "abeam" begins as far behind the start.

    Holds
        A boat that turns right round is not in it: keep everybody behind the start behind something solid too.
    """
    half = 0.5 * width

    def at(ahead: float, aside: float) -> Spot:
        return course_point(start, heading, ahead=ahead, aside=aside)

    line = shapely.LineString([at(0.0, -half), at(0.0, half)])
    wide = half + longest + 1.0
    far = longest + wide
    front = Polygon([at(-BEHIND, -wide), at(far, -wide), at(far, wide), at(-BEHIND, wide)])
    arc = line.buffer(longest, quad_segs=64).intersection(front)
    beside = half + ABEAM
    ahead = AHEAD * longest
    lane = Polygon([at(-BEHIND, -beside), at(ahead, -beside), at(ahead, beside), at(-BEHIND, beside)])
    return unary_union([arc, lane, line.buffer(BEHIND, quad_segs=32)])


def computed_reach(fleet: Fleet, start: Spot, heading: float, *, lanes: int, spacing: float) -> BaseGeometry:
    """All the model's runs reach: the hull of every path from every lane, and discs where boats hooked or flipped.

    Every drawn run lies inside, so runs to come stay inside in all but 3/n of cases if the model is right.
    """
    corners = []
    for lane in (0, lanes - 1):
        offset = (lane - 0.5 * (lanes - 1)) * spacing
        begin = course_point(start, heading, ahead=0.0, aside=offset)
        paths = on_pond(fleet, begin, heading, lanes=1, spacing=0.0)
        corners.append(paths.reshape(-1, 2))
    hull = unary_union([MultiPoint(each).convex_hull for each in corners]).convex_hull.buffer(HALF_BOAT)
    discs = []
    for number in (fleet.bound > 0.0).nonzero()[0]:
        ahead, aside = fleet.ended[number]
        for lane in (0, lanes - 1):
            offset = (lane - 0.5 * (lanes - 1)) * spacing
            middle = course_point(start, heading, ahead=float(ahead), aside=float(aside) + offset)
            discs.append(Point(middle).buffer(float(fleet.bound[number]) + HALF_BOAT, quad_segs=16))
    return unary_union([hull, *discs])


def people_posts(area: BaseGeometry, shore: Polygon, *, spacing: float, inland: float) -> tuple[Spot, ...]:
    """Spots along the people line that lie on land and not far from the water, evenly spaced. [m]

    Parameters
    ----------
    area : shape
        The keep-clear area.
    shore : Polygon
    spacing : float
        Between posts, at most. [m]
    inland : float
        How far from the water posts are wanted. [m]
    """
    edge = unary_union([piece.exterior for piece in getattr(area, "geoms", [area])])
    band = shore.buffer(inland).difference(shore.buffer(0.5))
    pieces = edge.intersection(band)
    merged = shapely.line_merge(pieces) if pieces.geom_type == "MultiLineString" else pieces
    found: list[Spot] = []
    for piece in getattr(merged, "geoms", [merged]):
        if piece.geom_type != "LineString" or piece.length < 0.5:
            continue
        steps = max(1, math.ceil(piece.length / spacing))
        found += [
            (at.x, at.y) for at in (piece.interpolate(i / steps, normalized=True) for i in range(steps + 1))
        ]
    return tuple(found)

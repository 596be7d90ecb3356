"""The course on paper: black ink, hatches in place of colours, so that a photocopy says the same."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, MultiLineString, Point, box
from shapely.geometry.base import BaseGeometry

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Words, line, shape
from skimwright.course import Fleet
from skimwright.desk.water.course import CoursePlan
from skimwright.pond import Spot, course_point

WIDE, HIGH = 277.0, 186.0  # of the drawing: A4 across, within its margins [mm]
PAGE = (297.0, 210.0)  # [mm]
MARGIN = 10.0  # [mm]
ON_PAGE = 136.0  # height of the map on the sheet to sign [mm]
EDGE = 4.0  # [mm]
LEGEND = 26.0  # [mm]
AROUND = 22.0  # land shown about the water [m]
DOTS = 500  # ends of runs drawn


@dataclass(frozen=True, kw_only=True)
class Frame:
    """From metres on the pond to millimetres on paper."""

    west: float  # [m]
    north: float  # [m]
    scale: float  # [mm/m]
    view: BaseGeometry  # what is shown [m]

    def at(self, spot: Spot) -> Spot:
        """Where a spot lies on paper. [mm]"""
        return EDGE + (spot[0] - self.west) * self.scale, EDGE + (self.north - spot[1]) * self.scale

    def lines(self, drawn: BaseGeometry, **style: object) -> Iterator[Mark]:
        """The lines of a shape that lie in view."""
        seen = drawn.intersection(self.view)
        for piece in getattr(seen, "geoms", [seen]):
            if piece.geom_type in ("LineString", "LinearRing") and not piece.is_empty:
                yield line(*(self.at(at) for at in piece.coords), **style)


def course_map(plan: CoursePlan, *, high: float = HIGH) -> Drawing:
    """The plan as one drawing, so high. [mm]"""
    frame = _frame(plan, high)
    marks: list[Mark] = [
        *_land(plan, frame),
        *_water(plan, frame),
        *_runs(plan, frame),
        *_lanes(plan, frame),
        *_lines(plan, frame),
        *_pegs(plan, frame),
        *_names(plan, frame),
        *_posts(plan, frame),
        *_legend(plan, frame, high),
        shape((0.2, 0.2), (WIDE - 0.2, 0.2), (WIDE - 0.2, high - 0.2), (0.2, high - 0.2), width=0.4),
    ]
    heading = math.degrees(plan.question.heading)
    return Drawing(
        width=WIDE,
        height=high,
        marks=tuple(marks),
        title=f"Course on {plan.season.site.name}, heading {heading:03.0f}",
        described=plan.rule_of_thumb,
    )


def _frame(plan: CoursePlan, paper: float) -> Frame:
    west, south, east, north = plan.pond.shore.bounds
    spots = [*plan.pond.pegs.values(), *([plan.seats] if plan.seats else [])]
    west = min(west - AROUND, *(x - 6 for x, _ in spots))
    east = max(east + AROUND, *(x + 6 for x, _ in spots))
    south = min(south - AROUND, *(y - 6 for _, y in spots))
    north = max(north + AROUND, *(y + 6 for _, y in spots))
    scale = min((WIDE - 2 * EDGE) / (east - west), (paper - 2 * EDGE - LEGEND) / (north - south))
    wide, high = (WIDE - 2 * EDGE) / scale, (paper - 2 * EDGE - LEGEND) / scale
    middle = 0.5 * (west + east)
    west = middle - 0.5 * wide
    return Frame(west=west, north=north, scale=scale, view=box(west, north - high, west + wide, north))


def hatch(area: BaseGeometry, *, gap: float, turn: float) -> MultiLineString:
    """Straight lines through an area.

    Parameters
    ----------
    area : shape
        [m]
    gap : float
        Between lines. [m]
    turn : float
        Of the lines from east, anticlockwise. [deg]
    """
    if area.is_empty:
        return MultiLineString()
    level = affinity.rotate(area, -turn, origin=(0, 0))
    west, south, east, north = level.bounds
    rows = np.arange(math.floor(south / gap) * gap, north + gap, gap)
    rulings = MultiLineString([[(west - 1, y), (east + 1, y)] for y in rows])
    return affinity.rotate(rulings.intersection(level), turn, origin=(0, 0))


def _land(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    """Land inside the keep-clear area: ruled, so that nobody needs a colour to see it."""
    shut = plan.keep.shape.difference(plan.pond.shore).intersection(frame.view)
    yield from frame.lines(hatch(shut, gap=3.2 / frame.scale, turn=45), width=0.18, line="grey")


def _water(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    pond = plan.pond
    reeds = pond.closed_reeds(plan.season.regatta)
    yield from frame.lines(hatch(reeds, gap=1.6 / frame.scale, turn=90), width=0.25)
    yield from frame.lines(reeds.boundary, width=0.3)
    off = pond.kept_off.intersection(pond.shore)
    yield from frame.lines(hatch(off, gap=1.8 / frame.scale, turn=-45), width=0.25)
    yield from frame.lines(off.boundary, width=0.35, dashes=(1.0, 0.8))
    for islet in pond.dry.values():
        for turn in (45, -45):
            yield from frame.lines(hatch(islet, gap=1.5 / frame.scale, turn=turn), width=0.3)
        yield from frame.lines(islet.exterior, width=0.6)
    yield from frame.lines(pond.shore.exterior, width=0.8)


def _posts(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    """Posts over everything, so that none is lost under a name."""
    for post in plan.posts:
        x, y = frame.at(post.at)
        yield Dot(at=(x, y), radius=2.3, fill="white" if post.bearings else "pale", width=0.5)
        yield Words(at=(x, y + 1.0), text=str(post.number), size=2.7, anchor="middle", bold=True)


def _names(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    """What things are called, over everything else."""
    pond = plan.pond
    for name, islet in pond.dry.items():
        at = frame.at((islet.centroid.x, islet.bounds[3]))
        yield from _label((at[0], at[1] - 2.5), name, anchor="middle")
    for each in pond.reeds:
        if each.is_closed(plan.season.regatta):
            x, y = frame.at(max(each.outline, key=lambda spot: spot[1]))
            yield from _label((x + 3, y - 2), f"{each.name}, closed")
    for hazard in pond.hazards:
        x, y = frame.at(hazard.at)
        yield from _label((x + 3.0, y + 1.0), f"{hazard.name}: keep {hazard.keep_off:g} m off", bold=True)
    for depth in pond.depths:
        x, y = frame.at(depth.at)
        yield from _label((x + 1.5, y + 1.0), f"{depth.depth:.1f} m deep", size=2.6)


def _runs(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    """Where boats lie at last; a ring where one hooked or flipped."""
    fleet: Fleet = plan.fleet
    question = plan.question
    every = max(1, fleet.runs // DOTS)
    for number in range(fleet.runs):
        odd = bool(fleet.carried[number] or fleet.flipped[number])
        if not odd and number % every:
            continue
        lane = (number % question.lanes - 0.5 * (question.lanes - 1)) * question.spacing
        ahead, aside = (float(v) for v in fleet.ends[number])
        spot = course_point(question.start, question.heading, ahead=ahead, aside=aside + lane)
        if frame.view.covers(Point(spot)):
            at = frame.at(spot)
            yield (
                Dot(at=at, radius=0.9, fill="white", width=0.35) if odd else Dot(at=at, radius=0.3, line=None)
            )


def _lanes(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    question = plan.question
    half = 0.5 * question.lanes * question.spacing
    clear = plan.planned.clear.on_lines

    def at(ahead: float, aside: float) -> Spot:
        return course_point(question.start, question.heading, ahead=ahead, aside=aside)

    for lane in range(question.lanes + 1):
        aside = -half + lane * question.spacing
        outer = lane in (0, question.lanes)
        yield from frame.lines(
            LineString([at(0.0, aside), at(clear, aside)]),
            width=0.35 if outer else 0.15,
            dashes=() if outer else (0.6, 1.2),
        )
    yield from frame.lines(LineString([at(0.0, -half), at(0.0, half)]), width=1.4)
    tip, left, right = at(clear * 0.42 + 3.0, 0.0), at(clear * 0.42, -1.5), at(clear * 0.42, 1.5)
    yield shape(*(frame.at(spot) for spot in (tip, left, right)), fill="black")
    name = frame.at(at(clear * 0.2, half + 1.0))
    yield from _label(
        (name[0], name[1] + 3.2),
        f"start, heading {math.degrees(question.heading):03.0f}, {question.lanes} lanes of {question.spacing:g} m, "
        f"{clear:.1f} m clear",
    )


def _lines(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    """The two lines, by two names: the people line heavy, the computed reach dashed."""
    if plan.keep.computed:
        yield from frame.lines(plan.keep.computed.shape.boundary, width=0.6, dashes=(4.0, 1.6))
    yield from frame.lines(plan.keep.shape.boundary.intersection(plan.pond.shore), width=0.5)
    yield from frame.lines(plan.keep.shape.boundary.difference(plan.pond.shore), width=1.5)
    for name, crowd in plan.pond.crowds.items():
        (x0, y0), (x1, y1) = (frame.at(end) for end in (crowd.coords[0], crowd.coords[-1]))
        yield line((x0, y0), (x1, y1), width=1.0, dashes=(2.0, 1.0))
        inside = plan.keep.holds(crowd)
        if inside > 0:
            for part in np.linspace(0.0, 1.0, 9):
                x, y = x0 + part * (x1 - x0), y0 + part * (y1 - y0)
                yield line((x - 1.3, y - 1.3), (x + 1.3, y + 1.3), width=0.5)
                yield line((x - 1.3, y + 1.3), (x + 1.3, y - 1.3), width=0.5)
        said = f"{name}: {'CLOSED to people' if inside > 0 else 'people may stand here'}"
        yield from _label((0.5 * (x0 + x1), max(y0, y1) + 5.0), said, anchor="middle", bold=True)
    if plan.seats:
        x, y = frame.at(plan.seats)
        yield shape(
            (x - 2.2, y - 2.2),
            (x + 2.2, y - 2.2),
            (x + 2.2, y + 2.2),
            (x - 2.2, y + 2.2),
            fill="white",
            width=0.6,
        )
        yield Words(at=(x, y + 1.2), text="S", size=3.4, anchor="middle", bold=True)


def _pegs(plan: CoursePlan, frame: Frame) -> Iterator[Mark]:
    for name, spot in plan.pond.pegs.items():
        x, y = frame.at(spot)
        yield shape((x, y - 2.0), (x - 1.7, y + 1.2), (x + 1.7, y + 1.2), fill="black")
        yield from _label((x + 2.2, y + 2.8), name, bold=True)


def _label(
    at: Spot, text: str, *, size: float = 3.0, anchor: str = "start", bold: bool = False
) -> Iterator[Mark]:
    """Words on a white ground, so that hatching does not run through them."""
    wide = 0.56 * size * len(text) + 0.8
    left = at[0] - (0.5 * wide if anchor == "middle" else 0.4)
    top, bottom = at[1] - 0.85 * size, at[1] + 0.3 * size
    yield shape(
        (left, top), (left + wide, top), (left + wide, bottom), (left, bottom), line=None, fill="white"
    )
    yield Words(at=at, text=text, size=size, anchor="middle" if anchor == "middle" else "start", bold=bold)


def _legend(plan: CoursePlan, frame: Frame, high: float) -> Iterator[Mark]:
    top = high - LEGEND
    yield shape(
        (0.2, top), (WIDE - 0.2, top), (WIDE - 0.2, high - 0.2), (0.2, high - 0.2), fill="white", width=0.4
    )
    rows: list[tuple[Mark, str]] = [
        (
            Path(points=((0, 0), (10, 0)), width=1.5),
            "people line: nobody on its boats' side (the safety officer's line)",
        ),
        (
            Path(points=((0, 0), (10, 0)), width=0.6, dashes=(4.0, 1.6)),
            "computed reach: a forecast, never a reason to stand nearer"
            if plan.keep.computed
            else f"computed reach: not drawn, {plan.keep.logged} runs logged of 10 needed",
        ),
        (
            Dot(at=(5, 0), radius=2.0, fill="white", width=0.5),
            "post, see the post list; grey: no pegs find it yet",
        ),
    ]
    for number, (mark, said) in enumerate(rows):
        y = top + 6.0 + 7.0 * number
        yield _moved(mark, 5.0, y)
        yield Words(at=(19.0, y + 1.0), text=said, size=3.0)
    more: list[tuple[Mark, str]] = [
        (Dot(at=(5, 0), radius=0.4, line=None), "where forecast boats stop; ring: hooked or flipped"),
        (Path(points=((5, -1.8), (3.4, 1.2), (6.6, 1.2)), closed=True, fill="black"), "peg"),
        (Path(points=((3, -2), (7, -2), (7, 2), (3, 2)), closed=True, width=0.6), "S: spectators"),
    ]
    for number, (mark, said) in enumerate(more):
        y = top + 6.0 + 7.0 * number
        yield _moved(mark, 130.0, y)
        yield Words(at=(144.0, y + 1.0), text=said, size=3.0)
    yield from _scale_and_north(frame, top)


def _moved(mark: Mark, x: float, y: float) -> Mark:
    if isinstance(mark, Path):
        return replace(mark, points=tuple((px + x, py + y) for px, py in mark.points))
    return replace(mark, at=(mark.at[0] + x, mark.at[1] + y))


def _scale_and_north(frame: Frame, top: float) -> Iterator[Mark]:
    long = 20.0 * frame.scale
    x, y = WIDE - 24.0 - long, top + 16.0
    yield line((x, y), (x + long, y), width=0.8)
    for end in (x, x + 0.5 * long, x + long):
        yield line((end, y - 1.5), (end, y + 1.5), width=0.5)
    yield Words(at=(x, y - 3.0), text="0", size=3.0, anchor="middle")
    yield Words(at=(x + long, y - 3.0), text="20 m", size=3.0, anchor="middle")
    x, y = WIDE - 11.0, top + 18.0
    yield shape((x, y - 13.0), (x - 2.5, y - 4.0), (x + 2.5, y - 4.0), fill="black")
    yield line((x, y - 4.0), (x, y + 3.0), width=0.6)
    yield Words(at=(x + 4.0, y - 7.0), text="N", size=4.0, anchor="middle", bold=True)


def course_sheet(plan: CoursePlan, *, foot: str) -> Drawing:
    """One page for the safety officer to sign: the rule, the map, and lines for two names."""
    wide, high = PAGE
    drawn = course_map(plan, high=ON_PAGE)
    season, day = plan.season, plan.season.conditions
    stops = [f for f in plan.findings if f.severity == "stop"]
    top = 41.0
    title = f"Course plan, {season.site.name}, {season.regatta:%d %B %Y}"
    gust = f", gusts {day.wind_gust:.1f}" if day.wind_gust else ""
    below = (
        f"Heading {math.degrees(plan.question.heading):03.0f}. Planned for wind {day.wind_speed:.1f} m/s{gust} from "
        f"{math.degrees(day.wind_from):03.0f}; the limits card holds on the day. Lines rest on "
        f"{plan.keep.hard_rule.rests_on}."
    )
    rows = [
        Words(at=(MARGIN, 16.0), text=title, size=6.0, bold=True),
        *_wrapped(plan.rule_of_thumb, at=(MARGIN, 23.0), size=3.6, bold=True),
        *_wrapped(
            "STOP: " + " ".join(f"{f.where}: {f.what} {f.do}" for f in stops) if stops else "",
            at=(MARGIN, 33.0),
            size=3.2,
        ),
        *(_moved(mark, MARGIN, top) for mark in drawn.marks),
        *_wrapped(below, at=(MARGIN, top + ON_PAGE + 4.5), size=2.7),
        *_signing(top + ON_PAGE + 17.0),
        Words(at=(MARGIN, high - 5.0), text=foot + " A forecast is not a safety case.", size=2.6),
    ]
    return Drawing(width=wide, height=high, marks=tuple(rows), title=title, described=plan.rule_of_thumb)


def _wrapped(text: str, *, at: Spot, size: float, bold: bool = False, most: int = 9) -> Iterator[Mark]:
    """Words over as many lines as they need, or as there is room for."""
    letters = int((PAGE[0] - 2 * MARGIN) / (0.52 * size))
    for number, row in enumerate(
        textwrap.wrap(text, letters, max_lines=most, placeholder=" ... see course.html")
    ):
        yield Words(at=(at[0], at[1] + 1.35 * size * number), text=row, size=size, bold=bold)


def _signing(y: float) -> Iterator[Mark]:
    for number, who in enumerate(("safety officer", "for the water owner")):
        x = MARGIN + number * 140.0
        yield line((x, y), (x + 85.0, y), width=0.3)
        yield line((x + 92.0, y), (x + 130.0, y), width=0.3)
        yield Words(at=(x, y + 4.0), text=f"name and signature, {who}", size=2.8)
        yield Words(at=(x + 92.0, y + 4.0), text="date", size=2.8)

"""Headings side by side: clear water, and what the runs meet."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from skimwright.course.paths import Fleet
from skimwright.pond import Clear, PondMap, Spot, clear_water, distance_to

Array = NDArray[np.float64]

CROWD = 3.0  # a path that comes this near to where people stand has reached them [m] [choice]


@dataclass(frozen=True, kw_only=True)
class Heading:
    """One heading from one start."""

    heading: float  # [rad]
    clear: Clear
    reeds_ahead: float | None  # to closed reeds; None: none ahead [m]
    hazard_ahead: float | None  # to a zone to keep off [m]
    runs: int
    islet: float  # share of runs that meet an islet first [-]
    bank: float  # share that meet the shore first [-]
    reeds: float  # share that enter closed reeds [-]
    hazard: float  # share that enter a zone to keep off [-]
    people: float  # share whose path, carried on over land, comes within 3 m of where people stand [-]

    @property
    def limit(self) -> float:
        """A chance that was not seen once is no nought: it may be this. [-]"""
        return min(1.0, 3.0 / self.runs)


def compare_headings(
    pond: PondMap,
    fleets: Sequence[Fleet],
    *,
    start: Spot,
    headings: Sequence[float],
    lanes: int,
    spacing: float,
    day: datetime.date,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Heading, ...]:
    """Lay the fleet's runs along each heading.

    Parameters
    ----------
    pond : PondMap
    fleets : sequence of Fleet
        The one whose wind is nearest is used for each heading.
    start : Spot
        Middle of the start line. [m]
    headings : sequence of float
        [rad]
    lanes : int
    spacing : float
        Between lanes. [m]
    day : date
        Decides which reeds are closed.
    progress : called with (headings done, headings in all)
    """
    width = lanes * spacing
    reeds = pond.closed_reeds(day)
    found = []
    for number, heading in enumerate(headings, 1):
        fleet = min(fleets, key=lambda each: abs(_turn(each.heading, heading)))
        found.append(
            Heading(
                heading=heading,
                clear=clear_water(pond, start, heading, width=width, lines=lanes + 1),
                reeds_ahead=distance_to(reeds, start, heading, width=width),
                hazard_ahead=distance_to(pond.kept_off, start, heading, width=width),
                runs=fleet.runs,
                **_met(pond, reeds, on_pond(fleet, start, heading, lanes=lanes, spacing=spacing)),
            )
        )
        if progress:
            progress(number, len(headings))
    return tuple(found)


def _turn(a: float, b: float) -> float:
    return (a - b + math.pi) % (2.0 * math.pi) - math.pi


def on_pond(fleet: Fleet, start: Spot, heading: float, *, lanes: int, spacing: float) -> Array:
    """Paths east and north, each from the lane its turn gives it: (runs, moments, 2). [m]"""
    lane = (np.arange(fleet.runs) % lanes - 0.5 * (lanes - 1)) * spacing
    ahead, aside = fleet.spots[:, :, 0], fleet.spots[:, :, 1] + lane[:, None]
    sine, cosine = math.sin(heading), math.cos(heading)
    east = start[0] + ahead * sine + aside * cosine
    north = start[1] + ahead * cosine - aside * sine
    return np.stack([east, north], axis=2)


def _met(pond: PondMap, reeds: shapely.Geometry, paths: Array) -> dict[str, float]:
    """Shares of runs by what they meet.  An islet or the shore ends a run; reeds and zones are asked before that."""
    lines = shapely.linestrings(paths)
    edge = pond.shore.exterior
    islets = shapely.union_all(list(pond.dry.values()))
    on_shore, on_islet = _touch(lines, edge), _touch(lines, islets)
    either = on_shore | on_islet
    first = _first_met(lines[either], edge, islets)
    bank, islet = np.zeros(len(lines), bool), np.zeros(len(lines), bool)
    islet[either], bank[either] = first == 1, first == 0
    wet = lines.copy()
    for place in np.flatnonzero(either):  # few
        wet[place] = _until(lines[place], edge, islets)
    crowds = shapely.union_all([line.buffer(CROWD) for line in pond.crowds.values()])
    shares = {
        "islet": islet,
        "bank": bank,
        "reeds": _touch(wet, reeds),
        "hazard": _touch(wet, pond.kept_off),
        "people": _touch(lines, crowds),
    }
    return {name: float(met.mean()) for name, met in shares.items()}


def _touch(lines: NDArray[np.object_], shape: shapely.Geometry) -> NDArray[np.bool_]:
    if shape.is_empty:
        return np.zeros(len(lines), bool)
    shapely.prepare(shape)
    return np.asarray(shapely.intersects(shape, lines))


def _first_met(
    lines: NDArray[np.object_], edge: shapely.Geometry, islets: shapely.Geometry
) -> NDArray[np.int64]:
    """0 where the shore comes first along the line, 1 where an islet does."""
    along = np.stack([[_along(line, shape) for line in lines] for shape in (edge, islets)])
    return np.asarray(along.argmin(axis=0)) if len(lines) else np.zeros(0, dtype=np.int64)


def _along(line: shapely.Geometry, shape: shapely.Geometry) -> float:
    met = line.intersection(shape)
    if met.is_empty:
        return math.inf
    return float(min(line.project(shapely.Point(at)) for at in shapely.get_coordinates(met)))


def _until(line: shapely.Geometry, edge: shapely.Geometry, islets: shapely.Geometry) -> shapely.Geometry:
    """The part of a path before it meets land."""
    from shapely.ops import substring

    return substring(line, 0.0, min(_along(line, edge), _along(line, islets)))

"""The water as surveyed: shore, islets, reeds, hazards, where people stand.  Metres east and north of peg P1."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from shapely import prepare
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from skimwright.pond.survey import Closure, Spot


@dataclass(frozen=True, kw_only=True)
class Reeds:
    """A part of the water that is closed between two days."""

    name: str
    outline: tuple[Spot, ...]  # [m]
    closed_from: datetime.date
    closed_to: datetime.date

    def is_closed(self, day: datetime.date) -> bool:
        """Whether no boat may enter on that day; both ends are closed."""
        return self.closed_from <= day <= self.closed_to


@dataclass(frozen=True, kw_only=True)
class Hazard:
    """A spot to keep away from."""

    name: str
    at: Spot  # [m]
    keep_off: float  # [m]


@dataclass(frozen=True, kw_only=True)
class Depth:
    """How deep the water was found."""

    at: Spot  # [m]
    depth: float  # [m]


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where on the Earth peg P1 stands; for the sun, and for maps."""

    latitude: float  # [rad]
    longitude: float  # [rad]
    utc_offset: float = 0.0  # of the clocks there on race day [h]


@dataclass(frozen=True, kw_only=True)
class PondMap:
    """The water as surveyed."""

    pegs: Mapping[str, Spot]  # [m]
    outline: tuple[Spot, ...]  # [m]
    islets: Mapping[str, tuple[Spot, ...]]  # by name [m]
    reeds: tuple[Reeds, ...]
    people: Mapping[str, tuple[Spot, Spot]]  # where people stand, from and to, by name [m]
    hazards: tuple[Hazard, ...]
    depths: tuple[Depth, ...] = ()
    place: Place | None = None
    for_planning_only: bool = False  # from a phone's walk or a picture: some metres off
    closure: Closure | None = field(default=None, compare=False)  # how the tapes agree; None: not taped

    @property
    def area(self) -> float:
        """Of the water inside the shore, islets and all. [m2]"""
        return float(self.shore.area)

    @cached_property
    def shore(self) -> Polygon:
        """All inside the shore line."""
        shape = Polygon(self.outline)
        prepare(shape)
        return shape

    @cached_property
    def dry(self) -> Mapping[str, Polygon]:
        """The islets."""
        return {name: Polygon(outline) for name, outline in self.islets.items()}

    @cached_property
    def crowds(self) -> Mapping[str, LineString]:
        """Where people stand."""
        return {name: LineString(ends) for name, ends in self.people.items()}

    def closed_reeds(self, day: datetime.date) -> BaseGeometry:
        """Reeds that no boat may enter on that day."""
        return unary_union([Polygon(each.outline) for each in self.reeds if each.is_closed(day)])

    @cached_property
    def kept_off(self) -> BaseGeometry:
        """All round the hazards that no boat may enter."""
        return unary_union([Point(each.at).buffer(each.keep_off, quad_segs=32) for each in self.hazards])

    def is_water(self, spot: Spot) -> bool:
        """Whether a boat can float there."""
        here = Point(spot)
        return bool(self.shore.covers(here)) and not any(
            islet.intersects(here) for islet in self.dry.values()
        )

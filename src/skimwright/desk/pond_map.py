"""``pond.toml``: the water's edge and what lies in it, in metres east and north of peg P1."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shapely.geometry import Point, Polygon
from shapely.validation import explain_validity

from skimwright.base import InputError
from skimwright.desk.fields import Fields

Spot = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Reeds:
    """A part of the water that is closed between two days."""

    name: str
    outline: tuple[Spot, ...]  # [m]
    closed_from: datetime.date
    closed_to: datetime.date


@dataclass(frozen=True, kw_only=True)
class Hazard:
    """A spot to keep away from."""

    name: str
    at: Spot  # [m]
    keep_off: float  # [m]


@dataclass(frozen=True, kw_only=True)
class PondMap:
    """The water as surveyed."""

    pegs: Mapping[str, Spot]  # [m]
    outline: tuple[Spot, ...]  # [m]
    islets: Mapping[str, tuple[Spot, ...]]  # by name [m]
    reeds: tuple[Reeds, ...]
    people: Mapping[str, tuple[Spot, Spot]]  # where people stand, from and to, by name [m]
    hazards: tuple[Hazard, ...]

    @property
    def area(self) -> float:
        """Of the water inside the shore, islets and all. [m2]"""
        return float(Polygon(self.outline).area)

    def is_water(self, spot: Spot) -> bool:
        """Whether a boat can float there."""
        here = Point(spot)
        dry = any(Polygon(islet).intersects(here) for islet in self.islets.values())
        return bool(Polygon(self.outline).covers(here)) and not dry


def read_pond(table: Mapping[str, Any], *, file: str = "pond.toml") -> PondMap:
    """A pond from its parsed file.

    Raises
    ------
    InputError
        An outline crosses itself, or a line is missing or cannot be read.
    """
    top = Fields(table, file=file)
    pegs, water = top.table("pegs"), top.table("water")
    islets, reeds, people, hazards = (top.items(key) for key in ("islets", "reeds", "people", "hazards"))
    top.close()
    found = PondMap(
        pegs={name: pegs.spot(name) for name in pegs.names()},
        outline=_outline(water),
        islets={item.text("name"): _outline(item) for item in islets},
        reeds=tuple(
            Reeds(
                name=item.text("name"),
                outline=_outline(item),
                closed_from=item.day("closed_from"),
                closed_to=item.day("closed_to"),
            )
            for item in reeds
        ),
        people={item.text("name"): (item.spot("from_m"), item.spot("to_m")) for item in people},
        hazards=tuple(
            Hazard(
                name=item.text("name"),
                at=item.spot("at_m"),
                keep_off=item.quantity("keep_off_m", "length", "m", low=0, high=1000),
            )
            for item in hazards
        ),
    )
    for fields in (water, *islets, *reeds, *people, *hazards):
        fields.close()
    return found


def _outline(fields: Fields) -> tuple[Spot, ...]:
    """Corners of a piece of the plan that does not cross itself."""
    spots = fields.spots("outline_m")
    said = explain_validity(Polygon(spots))
    if said != "Valid Geometry":
        place = re.search(r"\[(\S+) (\S+)\]", said)
        at = f" near east {float(place[1]):.1f} m, north {float(place[2]):.1f} m" if place else ""
        raise InputError(
            what=f"the outline crosses itself{at}",
            allowed="the corners in their order along the shore",
            do="Two points are most often exchanged there: put them in order.",
            where=fields.where("outline_m"),
        )
    return spots

"""A drawing as plain data: marks on paper in millimetres, x to the right, y down.

Rooms that know boats and runs make a `Drawing`; the paper room, which knows neither, turns it into SVG.
Black first: every drawing must survive a bad photocopier, so colour never carries meaning by itself.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Ink = Literal["black", "grey", "pale", "white", "blue", "vermilion", "orange", "sky"]
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Path:
    """A line through points, or a closed shape."""

    points: tuple[Point, ...]
    closed: bool = False
    line: Ink | None = "black"
    fill: Ink | None = None
    width: float = 0.3  # [mm]
    dashes: tuple[float, ...] = ()  # on, off, ... [mm]
    opacity: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Dot:
    """A round mark."""

    at: Point
    radius: float  # [mm]
    line: Ink | None = "black"
    fill: Ink | None = "black"
    width: float = 0.3


@dataclass(frozen=True, kw_only=True)
class Words:
    """A short text."""

    at: Point  # its anchor on the base line
    text: str
    size: float = 3.2  # height of the letters' body [mm]
    anchor: Anchor = "start"
    bold: bool = False
    ink: Ink = "black"
    turn: float = 0.0  # clockwise [deg]


Mark = Path | Dot | Words


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Marks on a sheet of a given size."""

    width: float  # [mm]
    height: float  # [mm]
    marks: tuple[Mark, ...]
    title: str  # what it shows, for those who cannot see it
    described: str = field(default="")  # the numbers behind it, in a sentence or two


def line(*points: Point, **style: object) -> Path:
    """An open line; style as in `Path`."""
    return Path(points=points, **style)  # type: ignore[arg-type]


def shape(*points: Point, **style: object) -> Path:
    """A closed shape; style as in `Path`."""
    return Path(points=points, closed=True, **style)  # type: ignore[arg-type]

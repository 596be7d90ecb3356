"""What a nest is made of: parts to lay, sheets to lay them on, and the finished layout.

Sheet axes: x along the sheet's width, y along its height, from one corner; the board's grain runs along x.
A placement turns the outline about its own origin (anticlockwise), then moves it by (x, y).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from skimwright.base import ModelError

Array = NDArray[np.float64]
Stop = Callable[[], bool]

TOLERANCE = 1e-5  # a gap or margin may be this much short: far below what a knife can follow [m]
QUARTERS = (0.0, 90.0, 180.0, 270.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class NestItem:
    """A flat part and how often it is wanted."""

    key: str  # its name, once in a nest: "DECK-1", or "Fold 62 / DECK-1" with several kits
    outline: Array  # (n, 2) corners in order; the last joins the first [m]
    quantity: int = 1
    turns: tuple[float, ...] = QUARTERS  # allowed turns, anticlockwise [deg]
    grain_along: bool = False  # the part's own x must lie along the board's grain

    @property
    def allowed_turns(self) -> tuple[float, ...]:
        """The turns left once the grain has had its say. [deg]"""
        return tuple(t for t in self.turns if not self.grain_along or t % 180 == 0)

    @property
    def shape(self) -> shapely.Polygon:
        """The outline as a polygon."""
        return shapely.Polygon(self.outline)

    def placed(self, *, x: float, y: float, turn: float) -> shapely.Polygon:
        """The outline as it lies on the sheet."""
        return shapely.Polygon(turned(self.outline, turn) + np.array((x, y)))


@dataclass(frozen=True, kw_only=True)
class BoardSheet:
    """One size of board, and how many there are."""

    width: float  # along the grain [m]
    height: float  # [m]
    name: str = ""
    on_hand: int | None = None  # None: as many as it takes

    def __str__(self) -> str:
        size = f"{self.width * 1000:g} x {self.height * 1000:g} mm"
        return f"{self.name} ({size})" if self.name else size

    @property
    def area(self) -> float:
        """The whole sheet. [m2]"""
        return self.width * self.height


@dataclass(frozen=True, kw_only=True)
class Placement:
    """Where one copy of a part lies."""

    key: str
    sheet: int  # counted from 0
    x: float  # [m]
    y: float  # [m]
    turn: float  # [deg]


@dataclass(frozen=True, kw_only=True)
class Nest:
    """A finished layout, with what is needed to check it."""

    items: tuple[NestItem, ...]
    sheets: tuple[BoardSheet, ...]  # one entry for each sheet used
    placements: tuple[Placement, ...]
    margin: float  # kept clear along the sheet's edges [m]
    gap: float  # kept clear between parts [m]
    lower_bound: int  # no layout can use fewer sheets
    proof: str  # why not, in words
    use: tuple[float, ...] = field(default=())  # part area over sheet area, sheet by sheet [-]

    @property
    def is_least(self) -> bool:
        """Proved: no layout can use fewer sheets."""
        return len(self.sheets) == self.lower_bound


@dataclass(frozen=True, kw_only=True)
class StripJob:
    """A question for a strip packer: how short a strip of this height holds these parts?"""

    items: tuple[NestItem, ...]
    height: float  # [m]
    gap: float  # between parts, and from every edge of the strip [m]
    enough: float  # a strip this short will do: stop looking [m]
    seconds: float  # [s]
    seed: int


@dataclass(frozen=True, kw_only=True)
class Strip:
    """The shortest strip found."""

    width: float  # [m]
    placements: tuple[Placement, ...]  # all on sheet 0
    seconds: float  # what it took [s]


class StripPacker(Protocol):
    """Packs one strip; the only part of nesting that needs a library."""

    def pack(
        self, job: StripJob, *, stop: Stop | None = None, progress: Callable[[float], None] | None = None
    ) -> Strip:
        """The best strip found in `job.seconds`, sooner if `job.enough` is met or `stop()` says so.

        `progress` hears each shorter width. [m]  Raises `PackerFailed` if there is nothing to show.
        """


class PackerFailed(ModelError):
    """The packing library gave no answer: it crashed, hung, or was stopped too early."""


def turned(outline: Array, turn: float) -> Array:
    """The outline turned about its origin, exact for quarter turns.  `turn` in [deg]."""
    quarter, rest = divmod(turn % 360, 90)
    angle = np.deg2rad(rest)
    c, s = np.cos(angle), np.sin(angle)
    c, s = ((c, s), (-s, c), (-c, -s), (s, -c))[int(quarter)]
    moved: Array = outline @ np.array([[c, s], [-s, c]])
    return moved


def room(sheet: BoardSheet, margin: float) -> tuple[float, float]:
    """Width and height left inside the margin. [m]"""
    return sheet.width - 2 * margin, sheet.height - 2 * margin


def size_turned(item: NestItem, turn: float) -> tuple[float, float]:
    """Width and height of the part's box once turned. [m]"""
    width, height = np.ptp(turned(item.outline, turn), axis=0)
    return float(width), float(height)


def turns_that_fit(item: NestItem, sheet: BoardSheet, margin: float) -> tuple[float, ...]:
    """The allowed turns in which the part lies inside the sheet's margin. [deg]"""
    wide, high = room(sheet, margin)
    sizes = ((turn, *size_turned(item, turn)) for turn in item.allowed_turns)
    return tuple(t for t, w, h in sizes if w <= wide + TOLERANCE and h <= high + TOLERANCE)

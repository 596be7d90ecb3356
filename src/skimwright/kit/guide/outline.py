"""A flat part as cut, on a page."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Dot, Mark, Path
from skimwright.boat import Part
from skimwright.kit.guide.marks import part_marks

Array = NDArray[np.float64]


def part_outline(
    part: Part,
    x: float,
    y: float,
    *,
    scale: float,
    dots: bool = True,
    line: float = 0.3,
    mark: float = 1.0,
    upright: bool = False,
) -> tuple[list[Mark], float, float]:
    """A flat part as cut, its box's corner at (x, y), with nicks and dots; also its width and height. [mm]

    Parameters
    ----------
    scale : float
        Millimetres of paper to a metre of board; 1000 is full size.
    mark : float
        Size of nicks and dots against full size.
    upright : bool
        The long side down the page instead of across.
    """
    flat = np.array(part.outline)
    turn = (np.ptp(flat[:, 1]) > np.ptp(flat[:, 0])) != upright
    low, size = flat.min(axis=0), np.ptp(flat, axis=0)
    inside = float(np.cross(part.place.u, part.place.v) @ np.array(part.place.w)) > 0  # written from within

    def at(point: Array) -> tuple[float, float]:
        """The outer face up, turned by a quarter if need be."""
        u, v = (float(value) for value in (point - low) * scale)
        v = float(size[1]) * scale - v if inside else v
        if turn:
            return round(x + v, 4), round(y + u, 4)
        return round(x + u, 4), round(y + float(size[1]) * scale - v, 4)

    seats = part_marks(part, size=mark * 1e3 / scale)
    marks: list[Mark] = [Path(points=tuple(at(p) for p in flat), closed=True, width=line)]
    for slot in part.slots:
        marks.append(Path(points=tuple(at(p) for p in np.array(slot.outline)), closed=True, width=line * 0.8))
    for nick in seats.nicks:
        marks.append(Path(points=(at(nick[0]), at(nick[1])), width=max(line * 1.6, 0.4)))
    if dots:
        marks += [Dot(at=at(dot), radius=0.6 * mark, width=0.1) for dot in seats.dots]
    wide, high = (float(value) * scale for value in (size[::-1] if turn else size))
    return marks, wide, high

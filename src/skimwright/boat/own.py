"""Own parts: any flat outline, put anywhere; and the outer skin of a boat made of them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from skimwright.base import InputError, Where
from skimwright.boat.plan import Along, Part, Place, Point2, Point3


def own_part(
    *,
    code: str,
    outline: Sequence[Point2],
    thickness: float,
    origin: Point3 = (0.0, 0.0, 0.0),
    turn: Point3 = (0.0, 0.0, 0.0),
    order: int = 0,
    along: Along = "any",
    where: Where | None = None,
) -> Part:
    """A part from its flat outline and its place.

    Before it is turned the piece lies flat: first number along x, second along y, board upwards.
    It is then turned about x, about y and about z, in that order, and moved to its origin.

    Parameters
    ----------
    outline : sequence of points
        At least three; the last joins the first.  A closing point equal to the first is dropped. [m]
    thickness : float
        [m]
    origin : tuple
        Boat place of the outline's (0, 0). [m]
    turn : tuple
        About x, y and z. [rad]

    Raises
    ------
    InputError
        The outline has no area, or crosses itself: the message tells where.

    Examples
    --------
    ``own_part(code="LID", outline=((0, 0), (0.1, 0), (0.1, 0.2), (0, 0.2)), thickness=0.005).area`` is 0.02.
    """
    points = list(outline)
    if len(points) > 1 and math.dist(points[0], points[-1]) < 1e-9:
        points.pop()
    _check_outline(points, code, where)
    place = Place(origin=origin, **_turned(turn))
    return Part(
        code=code,
        side="middle",
        outline=tuple(points),
        thickness=thickness,
        place=place,
        order=order,
        along=along,
    )


def _turned(turn: Point3) -> dict[str, Point3]:
    """The part's three axes in boat axes."""
    (ca, sa), (cb, sb), (cc, sc) = ((math.cos(a), math.sin(a)) for a in turn)
    return {
        "u": (cc * cb, sc * cb, -sb),
        "v": (cc * sb * sa - sc * ca, sc * sb * sa + cc * ca, cb * sa),
        "w": (cc * sb * ca + sc * sa, sc * sb * ca - cc * sa, cb * ca),
    }


def _check_outline(points: Sequence[Point2], code: str, where: Where | None) -> None:
    if len(points) < 3:
        raise InputError(
            what=f"{code} has an open outline",
            got=f"{len(points)} points",
            allowed="at least three points around an area",
            do="Write every corner of the piece.",
            where=where,
        )
    crossing = _crossing(points)
    if crossing:
        raise InputError(
            what=f"the outline of {code} crosses or touches itself",
            got=f"a crossing at ({crossing[0] * 1e3:.1f}, {crossing[1] * 1e3:.1f}) mm",
            allowed="a line that goes once around the piece",
            do="Put the points into the order in which a knife would meet them.",
            where=where,
        )
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True)) / 2
    if abs(area) < 1e-6:
        raise InputError(
            what=f"the outline of {code} encloses nothing",
            got=f"{abs(area) * 1e6:.2g} mm2",
            allowed="at least 1 mm2",
            do="Check its points.",
            where=where,
        )


def _crossing(points: Sequence[Point2]) -> Point2 | None:
    """The first place where two edges meet that are not neighbours."""
    count = len(points)
    for i in range(count):
        for j in range(i + 1, count):
            if math.dist(points[i], points[j]) < 1e-9:
                return points[i]
            if j - i in (1, count - 1):
                continue
            meet = _meet(points[i], points[i + 1], points[j], points[(j + 1) % count])
            if meet:
                return meet
    return None


def _meet(a: Point2, b: Point2, c: Point2, d: Point2) -> Point2 | None:
    """Where the lines a-b and c-d cross or touch within both; parallel lines never do."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    cross = ux * vy - uy * vx
    if abs(cross) < 1e-15:
        return None
    s = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / cross
    r = ((c[0] - a[0]) * uy - (c[1] - a[1]) * ux) / cross
    return (a[0] + s * ux, a[1] + s * uy) if 0 <= s <= 1 and 0 <= r <= 1 else None

"""How few sheets could ever do, and which nests are hopeless from the start."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from skimwright.base import InputError
from skimwright.kit.parts_on_board import (
    TOLERANCE,
    Array,
    BoardSheet,
    NestItem,
    room,
    turned,
    turns_that_fit,
)

MOST_PARTS = 5000


@dataclass(frozen=True, kw_only=True)
class LeastSheets:
    """A number of sheets that no layout can go below, and why."""

    by_area: int  # part area over sheet area
    by_room: int  # parts grown by half the gap, over the room inside the margin
    by_pairs: int  # parts of which no two can share a sheet
    apart: tuple[str, ...]  # which parts those are
    need: float  # area of the parts grown by half the gap [m2]

    @property
    def count(self) -> int:
        """The best of the three."""
        return max(self.by_area, self.by_room, self.by_pairs)


def least_sheets(
    items: Sequence[NestItem], sheets: Sequence[BoardSheet], *, margin: float, gap: float
) -> LeastSheets:
    """The least number of sheets any layout needs.

    Grow every part by half the gap: grown parts may touch but not overlap, and all of them lie
    inside the margin grown by half the gap.  So their area is a bound that counts gap and margin.
    Large parts add a second bound: those of which no two can lie on one sheet.

    Raises
    ------
    InputError
        There are not enough sheets on hand, whatever the layout.

    Examples
    --------
    >>> square = NestItem(key="lid", outline=np.array([[0, 0], [0.3, 0], [0.3, 0.3], [0, 0.3]]), quantity=5)
    >>> least_sheets([square], [BoardSheet(width=0.5, height=0.5)], margin=0.005, gap=0.003).count
    5
    """
    plain = sum(item.shape.area * item.quantity for item in items)
    need = sum(grown_area(item, gap) * item.quantity for item in items)
    apart = _parts_apart(items, sheets, margin)
    return LeastSheets(
        by_area=_count(plain, [(s.area, s.on_hand) for s in sheets], sheets, plain),
        by_room=_count(need, [(grown_room(s, margin, gap), s.on_hand) for s in sheets], sheets, plain),
        by_pairs=sum(apart.values()),
        apart=tuple(apart),
        need=need,
    )


def grown_area(item: NestItem, gap: float) -> float:
    """Area of one part grown by half the gap (never overstated: arcs are cut by chords). [m2]"""
    return float(item.shape.buffer(max(gap - TOLERANCE, 0.0) / 2, quad_segs=16).area)


def grown_room(sheet: BoardSheet, margin: float, gap: float) -> float:
    """Area inside the margin grown by half the gap. [m2]"""
    wide, high = room(sheet, margin - TOLERANCE)
    return (wide + gap) * (high + gap)


def _count(
    need: float, supply: list[tuple[float, int | None]], sheets: Sequence[BoardSheet], plain: float
) -> int:
    """Sheets used if the largest are taken first and filled to the last corner."""
    used, left = 0, need * (1 - 1e-9)
    for each, on_hand in sorted(supply, key=lambda pair: -pair[0]):
        enough = math.ceil(left / each)
        if on_hand is None or on_hand >= enough:
            return used + enough
        used, left = used + on_hand, left - on_hand * each
    short = used + math.ceil(left / max(each for each, _ in supply))
    raise InputError(
        what="The parts cannot fit on the sheets on hand",
        got=f"{plain:.3f} m2 of parts and {' and '.join(f'{s.on_hand} of {s}' for s in sheets)}",
        allowed=f"at least {short} sheets",
        do="Add sheets, or cut fewer boats.",
    )


def _parts_apart(items: Sequence[NestItem], sheets: Sequence[BoardSheet], margin: float) -> dict[str, int]:
    """Parts of which no two can share a sheet, with how many of each; greedily, most copies first."""

    def share(a: NestItem, b: NestItem) -> bool:
        return any(_can_share(a, b, sheet, margin) for sheet in sheets)

    counts = {item.key: 1 if item.quantity == 1 or share(item, item) else item.quantity for item in items}
    apart: list[NestItem] = []
    for item in sorted(items, key=lambda i: (-counts[i.key], -i.shape.area)):
        if not any(share(item, other) for other in apart):
            apart.append(item)
    return {item.key: counts[item.key] for item in apart}


def _can_share(a: NestItem, b: NestItem, sheet: BoardSheet, margin: float) -> bool:
    """Whether two parts can lie on one sheet without overlap (the gap is left out: errs towards yes)."""
    wide, high = room(sheet, margin)
    ways = [
        (turned(a.outline, s), turned(b.outline, t))
        for s in turns_that_fit(a, sheet, margin)
        for t in turns_that_fit(b, sheet, margin)
    ]
    boxes = [(np.ptp(p, axis=0), np.ptp(q, axis=0)) for p, q in ways]
    if any(p[0] + q[0] <= wide or p[1] + q[1] <= high for p, q in boxes):
        return True
    return any(_can_lie_together(p, q, wide, high) for p, q in ways)


def _can_lie_together(p: Array, q: Array, wide: float, high: float) -> bool:
    """Whether q can be moved clear of p with both still inside a wide x high box.

    The moves that overlap are p with -q added to it point by point; the moves that stay inside are a box.
    """
    inside = np.array((wide, high)) + TOLERANCE
    low, top = p.max(axis=0) - q.min(axis=0) - inside, p.min(axis=0) - q.max(axis=0) + inside
    hulls = [
        shapely.MultiPoint((np.asarray(s)[:, None, :] - np.asarray(t)[None, :, :]).reshape(-1, 2)).convex_hull
        for s in _triangles(p)
        for t in _triangles(q)
    ]
    overlapping = shapely.union_all(hulls).buffer(-TOLERANCE)
    return not overlapping.covers(shapely.box(*low, *top))


def _triangles(outline: Array) -> list[Array]:
    """The outline cut into triangles."""
    parts = shapely.constrained_delaunay_triangles(shapely.Polygon(outline)).geoms
    return [np.asarray(part.exterior.coords)[:3] for part in parts]


def refuse_hopeless(
    items: Sequence[NestItem], sheets: Sequence[BoardSheet], *, margin: float, gap: float, kerf: float
) -> None:
    """Refuse at once, in one sentence, what no search could ever nest.

    Raises
    ------
    InputError
        A sheet, margin, gap, kerf or outline makes no sense, or a part is larger than every sheet.
    """
    _refuse_settings(margin=margin, gap=gap, kerf=kerf)
    _refuse_sheets(sheets, margin=margin)
    _refuse_counts(items)
    for item in items:
        _refuse_outline(item)
        _refuse_too_large(item, sheets, margin)


def _refuse_settings(*, margin: float, gap: float, kerf: float) -> None:
    for name, value, most in (("margin", margin, 0.1), ("gap between parts", gap, 0.05)):
        if not 0 <= value <= most:
            raise InputError(
                what=f"The {name} makes no sense",
                got=f"{value * 1000:g} mm",
                allowed=f"0 to {most * 1000:g} mm",
                do="Use 5 mm for the margin and 3 mm for the gap if you have no reason for another.",
            )
    if not 0 <= kerf <= gap:
        raise InputError(
            what="The cut is wider than the gap it runs in",
            got=f"a cut of {kerf * 1000:g} mm and a gap of {gap * 1000:g} mm",
            allowed="0 up to the gap",
            do="Make the gap at least as wide as the cut.",
        )


def _refuse_sheets(sheets: Sequence[BoardSheet], *, margin: float) -> None:
    if not sheets:
        raise InputError(what="There is no sheet to cut from", do="Give at least one sheet size.")
    for sheet in sheets:
        if not all(0.05 <= side <= 5 for side in (sheet.width, sheet.height)):
            raise InputError(
                what="The sheet size makes no sense",
                got=f"{sheet.width * 1000:g} x {sheet.height * 1000:g} mm",
                allowed="50 to 5000 mm a side",
                do="Measure the sheet and write it in millimetres, for example 841x594.",
            )
        if min(room(sheet, margin)) <= 0:
            raise InputError(
                what="The margin leaves nothing of the sheet",
                got=f"a margin of {margin * 1000:g} mm on {sheet}",
                allowed="less than half the sheet's shorter side",
                do="Make the margin smaller.",
            )
        if sheet.on_hand is not None and sheet.on_hand < 0:
            raise InputError(
                what=f"The number of sheets of {sheet} makes no sense",
                got=str(sheet.on_hand),
                allowed="0 or more",
                do="Count the sheets again.",
            )


def _refuse_counts(items: Sequence[NestItem]) -> None:
    keys = [item.key for item in items]
    for key in keys:
        if keys.count(key) > 1:
            raise InputError(
                what=f'Two parts are called "{key}"',
                do="Give one of them another name, or make one part of both.",
            )
    if any(item.quantity < 1 for item in items) or not 1 <= sum(i.quantity for i in items) <= MOST_PARTS:
        raise InputError(
            what="The number of parts makes no sense",
            got=f"{sum(item.quantity for item in items)} in all",
            allowed=f"at least 1 of each part and at most {MOST_PARTS} in all",
            do="Check how many boats are asked for.",
        )


def _refuse_outline(item: NestItem) -> None:
    """Open, crossing or empty outlines; the crossing is told where it lies."""
    outline = np.asarray(item.outline, dtype=float)
    corners = len(np.unique(outline, axis=0)) if outline.ndim == 2 and outline.shape[1:] == (2,) else 0
    if corners < 3 or not np.isfinite(outline).all():
        raise InputError(
            what=f'The outline of "{item.key}" is open',
            got=f"{corners} corners, or a corner without numbers",
            allowed="three or more corners, joined all the way round",
            do="Close the outline.",
        )
    shape = item.shape
    if not shape.is_valid:
        *_, x, y = shapely.is_valid_reason(shape).strip("]").replace("[", " ").split()
        raise InputError(
            what=f'The outline of "{item.key}" crosses or touches itself',
            got=f"a crossing near {float(x) * 1000:.1f}, {float(y) * 1000:.1f} mm",
            allowed="an outline that goes round once",
            do="Move one of the corners beside the crossing.",
        )
    if shape.area < 1e-6:
        raise InputError(
            what=f'The part "{item.key}" is too small to cut',
            got=f"{shape.area * 1e6:.2f} mm2",
            allowed="1 mm2 or more",
            do="Check that its outline is in the right unit.",
        )


def _refuse_too_large(item: NestItem, sheets: Sequence[BoardSheet], margin: float) -> None:
    if not item.allowed_turns:
        raise InputError(
            what=f'The part "{item.key}" may not be laid in any turn',
            got="a grain direction against every allowed turn",
            allowed="at least one of 0 and 180 degrees",
            do="Allow one of them.",
        )
    if not any(turns_that_fit(item, sheet, margin) for sheet in sheets):
        width, height = np.ptp(item.outline, axis=0) * 1000
        raise InputError(
            what=f'The part "{item.key}" is larger than the sheet in every allowed turn',
            got=f"{width:.1f} x {height:.1f} mm for {' or '.join(map(str, sheets))}",
            allowed=f"parts that leave a margin of {margin * 1000:g} mm all round",
            do="Choose a larger sheet or a smaller boat.",
        )

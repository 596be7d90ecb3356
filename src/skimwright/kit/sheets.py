"""Check a finished nest against the sheets and parts it claims, trusting nothing that made it."""

from __future__ import annotations

from collections import Counter, defaultdict

import shapely

from skimwright.base import Finding
from skimwright.kit.parts_on_board import TOLERANCE, Nest, Placement


def verify_nest(nest: Nest) -> list[Finding]:
    """Everything wrong with a nest; an empty list means it can be cut.

    Each part lies on a sheet as often as it is wanted, in an allowed turn, inside the margin, and no nearer
    to another part than the gap (0.01 mm is forgiven).
    """
    found = _miscounted(nest)
    items = {item.key: item for item in nest.items}
    on_sheet: dict[int, list[tuple[Placement, shapely.Polygon]]] = defaultdict(list)
    for p in nest.placements:
        if p.key not in items:
            continue
        allowed = {t % 360 for t in items[p.key].allowed_turns}
        if p.turn % 360 not in allowed:
            found.append(_fault(p, "turn", f'"{p.key}" is turned {p.turn:g} degrees, which is not allowed.'))
        if not 0 <= p.sheet < len(nest.sheets):
            found.append(_fault(p, "no-sheet", f'"{p.key}" lies on sheet {p.sheet + 1}, which is not there.'))
            continue
        on_sheet[p.sheet].append((p, items[p.key].placed(x=p.x, y=p.y, turn=p.turn)))
    for number, laid in on_sheet.items():
        found += _over_the_edge(nest, number, laid) + _too_near(nest, laid)
    return found


def _miscounted(nest: Nest) -> list[Finding]:
    wanted = Counter({item.key: item.quantity for item in nest.items})
    laid = Counter(p.key for p in nest.placements)
    return [
        Finding(
            code="nest-count",
            severity="stop",
            what=f'"{key}" is wanted {wanted[key]} times and lies there {laid[key]} times.',
            do="Nest the parts again.",
        )
        for key in sorted(wanted | laid)
        if wanted[key] != laid[key]
    ]


def _over_the_edge(nest: Nest, number: int, laid: list[tuple[Placement, shapely.Polygon]]) -> list[Finding]:
    sheet, inset = nest.sheets[number], nest.margin - TOLERANCE
    inside = shapely.box(inset, inset, sheet.width - inset, sheet.height - inset)
    return [
        _fault(p, "margin", f'"{p.key}" comes nearer to the sheet\'s edge than {nest.margin * 1000:g} mm.')
        for p, shape in laid
        if not inside.covers(shape)
    ]


def _too_near(nest: Nest, laid: list[tuple[Placement, shapely.Polygon]]) -> list[Finding]:
    shapes = [shape for _, shape in laid]
    near = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=nest.gap + TOLERANCE)
    found = []
    for i, j in near.T:
        if i >= j:
            continue
        apart = shapes[i].distance(shapes[j])
        if apart < nest.gap - TOLERANCE or (apart == 0 and _overlap(shapes[i], shapes[j])):
            words = f'"{laid[i][0].key}" and "{laid[j][0].key}" are {apart * 1000:.2f} mm apart'
            found.append(_fault(laid[i][0], "gap", f"{words}; the gap is {nest.gap * 1000:g} mm."))
    return found


def _overlap(a: shapely.Polygon, b: shapely.Polygon) -> bool:
    """More than touching: still together with a hair off each."""
    return bool(a.buffer(-TOLERANCE / 2).intersects(b.buffer(-TOLERANCE / 2)))


def _fault(p: Placement, code: str, what: str) -> Finding:
    return Finding(
        code=f"nest-{code}",
        severity="stop",
        what=what,
        do="Nest the parts again.",
        where=f"sheet {p.sheet + 1}",
    )

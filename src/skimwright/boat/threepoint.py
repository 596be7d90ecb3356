"""The three-point form: from some twenty numbers to 23 flat parts that close over one another.

One rule makes every joint true at any board thickness: an outline is drawn on the part's *outer* face.
Parts that meet at a ridge are both slanted by half the ridge's angle (a mitre), parts that stand on
another are cut to its inner face.  So the outside of the boat does not know how thick the board is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from skimwright.boat.plan import (
    Along,
    Board,
    Design,
    Joint,
    JointKind,
    Part,
    Place,
    Point2,
    Point3,
    Side,
    Slot,
)

X: Point3 = (1.0, 0.0, 0.0)
Z: Point3 = (0.0, 0.0, 1.0)
ORDER = (
    *("DECK-1", "RIB-1", "RIB-2", "RIB-3", "RIB-4", "WALL-1", "FLOOR-1", "FLOOR-2"),
    *("POD-4", "POD-3", "POD-1", "POD-2", "PAD-1", "FIN-1", "CRADLE-1", "FIN-2"),
)  # upside down on the flat deck first, then turned over for the last two


def three_point_parts(design: Design, board: Board) -> tuple[Part, ...]:
    """The 23 flat parts of a three-point boat, each with its place.

    Left and right parts have the same outline in mirrored places, so a flat pair can be swapped;
    it cannot be turned end for end.

    Raises
    ------
    ZeroDivisionError
        Numbers that `read_kit_table` would have refused.

    Examples
    --------
    ``len(three_point_parts(design, board))`` is 23.
    """
    makers = (_deck, _floors, _walls, _pods, _ribs, _fins, _cradle)
    parts = [part for make in makers for part in make(design, board.thickness)]
    return tuple(sorted(parts, key=lambda part: (part.order, part.name)))


def wall_profile(design: Design, thickness: float) -> tuple[Point2, ...]:
    """(x, z) of a wall: down the bow, along the sponson's bottom, up to the floor and aft. [m]"""
    d = design
    top = d.deck_height - thickness
    return (
        (0.0, top),
        *pod_bottom(d),
        (d.pod_rear, d.floor_height(d.pod_rear)),
        (d.length, d.floor_rear),
        (d.length, top),
    )


def pod_bottom(design: Design) -> tuple[Point2, Point2, Point2]:
    """(x, z) of the sponson's bottom line: ramp front, pad front, pad rear. [m]"""
    d = design
    return (d.pod_front, d.floor_front), (d.pad_front, d.pad_front_height), (d.pod_rear, 0.0)


def slopes(design: Design, thickness: float) -> tuple[float, float, float]:
    """How steeply bow, ramp and floor fall towards the stern. [rad]"""
    d = design
    bow = math.atan2(d.deck_height - thickness - d.floor_front, d.pod_front)
    ramp = math.atan2(d.floor_front - d.pad_front_height, d.pad_front - d.pod_front)
    return bow, ramp, math.atan(d.floor_slope)


def _part(
    code: str,
    side: Side,
    outline: tuple[Point2, ...],
    thickness: float,
    place: Place,
    *,
    bevels: tuple[float, ...] = (),
    slots: tuple[Slot, ...] = (),
    along: Along = "any",
) -> Part:
    return Part(
        code=code,
        side=side,
        outline=outline,
        thickness=thickness,
        place=place,
        bevels=bevels,
        slots=slots,
        order=ORDER.index(code) + 1,
        along=along,
    )


def _rectangle(length: float, width: float) -> tuple[Point2, ...]:
    return (0.0, 0.0), (length, 0.0), (length, width), (0.0, width)


def _sides() -> tuple[tuple[Side, float], tuple[Side, float]]:
    return ("left", -1.0), ("right", 1.0)


def _downhill(slope: float) -> tuple[Point3, Point3]:
    """Direction aft along a falling plane, and its upward normal."""
    sine, cosine = math.sin(slope), math.cos(slope)
    return (cosine, 0.0, -sine), (sine, 0.0, cosine)


def _deck(d: Design, t: float) -> Iterator[Part]:
    half, hull = d.beam / 2, d.hull_width / 2
    right = (
        (0.0, hull),
        (d.pod_front, half),
        (d.pod_rear, half),
        (d.pod_rear + d.deck_tail, hull),
        (d.length, hull),
    )
    outline = tuple((x, -y) for x, y in right) + right[::-1]
    foot = ((0.0, -t / 2), (d.fin_chord, -t / 2), (d.fin_chord, t / 2), (0.0, t / 2))
    groove = Slot(
        outline=tuple((x + d.fin_place, y) for x, y in foot), depth=min(d.fin_seat, t), takes="FIN-2"
    )
    place = Place(origin=(0.0, 0.0, d.deck_height), u=X, v=(0.0, 1.0, 0.0), w=(0.0, 0.0, -1.0))
    yield _part("DECK-1", "middle", outline, t, place, slots=(groove,), along="u")


def _floors(d: Design, t: float) -> Iterator[Part]:
    bow, _, floor = slopes(d, t)
    wide, knee = d.hull_width - 2 * t, (bow - floor) / 2
    aft, up = _downhill(floor)
    long = (d.length - d.pod_front) / math.cos(floor)
    start = (d.blade_place - d.pod_front) / math.cos(floor) - d.blade_chord / 2
    cut = tuple((start + u, wide / 2 - t / 2 + v) for u, v in _rectangle(d.blade_chord, t))
    slot = Slot(outline=cut, depth=t, takes="FIN-1")
    place = Place(origin=(d.pod_front, -wide / 2, d.floor_front), u=aft, v=(0.0, 1.0, 0.0), w=up)
    yield _part(
        "FLOOR-1",
        "middle",
        _rectangle(long, wide),
        t,
        place,
        bevels=(0.0, floor, 0.0, knee),
        slots=(slot,),
        along="u",
    )
    aft, up = _downhill(bow)
    steep = math.hypot(d.pod_front, d.deck_height - t - d.floor_front)
    place = Place(origin=(0.0, -wide / 2, d.deck_height - t), u=aft, v=(0.0, 1.0, 0.0), w=up)
    # The front edge lies flat under the deck: a long feather.
    bevels = (0.0, knee, 0.0, math.pi / 2 - bow)
    yield _part("FLOOR-2", "middle", _rectangle(steep, wide), t, place, bevels=bevels)


def _walls(d: Design, t: float) -> Iterator[Part]:
    for side, sign in _sides():
        place = Place(origin=(0.0, sign * d.hull_width / 2, 0.0), u=X, v=Z, w=(0.0, -sign, 0.0))
        yield _part("WALL-1", side, wall_profile(d, t), t, place, along="u")


def _pods(d: Design, t: float) -> Iterator[Part]:
    _, ramp, _ = slopes(d, t)
    front, knee, _ = pod_bottom(d)
    top, inner, wide = d.deck_height - t, d.hull_width / 2, d.pod_width - t
    bend, corner = (ramp - d.pad_angle) / 2, (math.pi / 2 - ramp) / 2
    outer = ((d.pod_front, top), *pod_bottom(d), (d.pod_rear, top))
    seat = t / math.cos(d.pad_angle)
    for side, sign in _sides():
        across = (0.0, sign, 0.0)
        place = Place(origin=(0.0, sign * d.beam / 2, 0.0), u=X, v=Z, w=(0.0, -sign, 0.0))
        yield _part("POD-1", side, outer, t, place)
        aft, up = _downhill(ramp)
        place = Place(origin=(front[0], sign * inner, front[1]), u=aft, v=across, w=up)
        length = math.hypot(knee[0] - front[0], front[1] - knee[1])
        yield _part("POD-2", side, _rectangle(length, wide), t, place, bevels=(0.0, bend, 0.0, corner))
        aft, up = _downhill(d.pad_angle)
        place = Place(origin=(knee[0], sign * inner, knee[1]), u=aft, v=across, w=up)
        length = d.pad_length / math.cos(d.pad_angle)
        yield _part("PAD-1", side, _rectangle(length, wide), t, place, bevels=(0.0, d.pad_angle, 0.0, bend))
        place = Place(origin=(d.pod_rear, sign * inner, seat), u=Z, v=across, w=(-1.0, 0.0, 0.0))
        yield _part(
            "POD-3", side, _rectangle(top - seat, wide), t, place, bevels=(0.0, 0.0, 0.0, d.pad_angle)
        )
        place = Place(origin=(front[0], sign * inner, front[1]), u=Z, v=across, w=X)
        yield _part("POD-4", side, _rectangle(top - front[1], wide), t, place, bevels=(0.0, 0.0, 0.0, corner))


def _ribs(d: Design, t: float) -> Iterator[Part]:
    """Cross walls; each is drawn on its aft face and slanted below to lie on the falling floor."""
    bow, _, floor = slopes(d, t)
    wide = d.hull_width - 2 * t
    for number, x in enumerate(rib_places(d, t), start=1):
        # The first rib stands over the knee between floor and bow, and takes the bow's slope.
        foot = d.floor_height(x) + t / math.cos(floor)
        lean = bow if number == 1 else floor
        place = Place(origin=(x + t / 2, -wide / 2, foot), u=Z, v=(0.0, 1.0, 0.0), w=(-1.0, 0.0, 0.0))
        outline = _rectangle(d.deck_height - t - foot, wide)
        yield _part(f"RIB-{number}", "middle", outline, t, place, bevels=(0.0, 0.0, 0.0, lean))


def rib_places(design: Design, thickness: float) -> tuple[float, float, float, float]:
    """x of the middle of each rib; the last one is the transom. [m]"""
    return design.pod_front, design.pod_rear, design.rib_place, design.length - thickness / 2


def _fins(d: Design, t: float) -> Iterator[Part]:
    aft, up = _downhill(math.atan(d.floor_slope))
    c, tab, tip = d.blade_chord, d.blade_tab, d.blade_tab + d.blade_depth
    outline = (
        *((0.0, 0.0), (c, 0.0), (c, tab), (c * 50 / 55, tab)),
        *((c * 42 / 55, tip), (c * 12 / 55, tip), (c * 5 / 55, tab), (0.0, tab)),
    )
    foot = (d.blade_place, 0.0, d.floor_height(d.blade_place))
    corner = tuple(f - c / 2 * a + tab * n for f, a, n in zip(foot, aft, up, strict=True))
    down = (-up[0], 0.0, -up[2])
    place = Place(origin=(corner[0], -t / 2, corner[2]), u=aft, v=down, w=(0.0, 1.0, 0.0))
    yield _part("FIN-1", "middle", outline, t, place)
    c, high = d.fin_chord, d.fin_height
    place = Place(
        origin=(d.fin_place, -t / 2, d.deck_height - min(d.fin_seat, t)), u=X, v=Z, w=(0.0, 1.0, 0.0)
    )
    yield _part("FIN-2", "middle", ((0.0, 0.0), (c, 0.0), (c, high), (c / 2, high)), t, place)


def _cradle(d: Design, t: float) -> Iterator[Part]:
    for side, sign in _sides():
        y = sign * (d.cradle_spread / 2 + t / 2)
        place = Place(
            origin=(d.cradle_place - d.cradle_length / 2, y, d.deck_height), u=X, v=Z, w=(0.0, -sign, 0.0)
        )
        yield _part("CRADLE-1", side, _rectangle(d.cradle_length, d.cradle_height), t, place)


def three_point_joints(design: Design, board: Board) -> tuple[Joint, ...]:
    """Every glued line of the boat, in fitting order of the part that comes.

    Raises
    ------
    ZeroDivisionError
        Numbers that `read_kit_table` would have refused.

    Examples
    --------
    The first line glues RIB-1 to DECK-1.
    """
    joints = [*_hull_joints(design, board.thickness), *_pod_joints(design, board.thickness)]
    joints += _standing_joints(design, board.thickness)
    return tuple(sorted(joints, key=lambda joint: ORDER.index(joint.part_a.split()[0])))


def _joint(kind: JointKind, a: str, b: str, start: Point3, end: Point3) -> Joint:
    return Joint(part_a=a, part_b=b, kind=kind, start=start, end=end)


def _hull_joints(d: Design, t: float) -> Iterator[Joint]:
    half, top = d.hull_width / 2 - t, d.deck_height - t
    floor = math.atan(d.floor_slope)
    for number, x in enumerate(rib_places(d, t), start=1):
        name, foot = f"RIB-{number}", d.floor_height(x) + t / math.cos(floor)
        yield _joint("butt", name, "DECK-1", (x, -half, top), (x, half, top))
        yield _joint("butt", "FLOOR-1", name, (x, -half, foot), (x, half, foot))
        for side, sign in _sides():
            yield _joint("butt", f"WALL-1 {side}", name, (x, sign * half, foot), (x, sign * half, top))
    yield _joint(
        "mitre", "FLOOR-2", "FLOOR-1", (d.pod_front, -half, d.floor_front), (d.pod_front, half, d.floor_front)
    )
    yield _joint("mitre", "FLOOR-2", "DECK-1", (0.0, -half, top), (0.0, half, top))
    for side, sign in _sides():
        wall, y = f"WALL-1 {side}", sign * half
        yield _joint("butt", wall, "DECK-1", (0.0, y, top), (d.length, y, top))
        yield _joint("butt", "FLOOR-1", wall, (d.pod_front, y, d.floor_front), (d.length, y, d.floor_rear))
        yield _joint("butt", "FLOOR-2", wall, (0.0, y, top), (d.pod_front, y, d.floor_front))


def _pod_joints(d: Design, t: float) -> Iterator[Joint]:
    (x0, z0), (x1, z1), (x2, _) = pod_bottom(d)
    top, seat = d.deck_height - t, t / math.cos(d.pad_angle)
    for side, sign in _sides():
        wall, outer = sign * d.hull_width / 2, sign * (d.beam / 2 - t)
        lines = {
            "POD-4": ((x0, top), (x0, z0)),
            "POD-3": ((x2, top), (x2, seat)),
            "POD-2": ((x0, z0), (x1, z1)),
            "PAD-1": ((x1, z1), (x2, 0.0)),
        }
        yield _joint("butt", f"POD-1 {side}", "DECK-1", (x0, outer, top), (x2, outer, top))
        for code, ((xa, za), (xb, zb)) in lines.items():
            name = f"{code} {side}"
            yield _joint("butt", name, f"WALL-1 {side}", (xa, wall, za), (xb, wall, zb))
            pair = (name, f"POD-1 {side}") if code in ("POD-2", "PAD-1") else (f"POD-1 {side}", name)
            yield _joint("butt", *pair, (xa, outer, za), (xb, outer, zb))
        for code, x in (("POD-4", x0), ("POD-3", x2)):
            yield _joint("butt", f"{code} {side}", "DECK-1", (x, wall, top), (x, outer, top))
        yield _joint("mitre", f"POD-2 {side}", f"POD-4 {side}", (x0, wall, z0), (x0, outer, z0))
        yield _joint("mitre", f"PAD-1 {side}", f"POD-2 {side}", (x1, wall, z1), (x1, outer, z1))
        yield _joint("butt", f"PAD-1 {side}", f"POD-3 {side}", (x2, wall, seat), (x2, outer, seat))


def _standing_joints(d: Design, t: float) -> Iterator[Joint]:
    aft, _ = _downhill(math.atan(d.floor_slope))
    ends = [
        (
            d.blade_place + s * d.blade_chord / 2 * aft[0],
            0.0,
            d.floor_height(d.blade_place) + s * d.blade_chord / 2 * aft[2],
        )
        for s in (-1, 1)
    ]
    yield _joint("slot", "FIN-1", "FLOOR-1", ends[0], ends[1])
    foot = d.deck_height - min(d.fin_seat, t)
    yield _joint("slot", "FIN-2", "DECK-1", (d.fin_place, 0.0, foot), (d.fin_place + d.fin_chord, 0.0, foot))
    first, last = d.cradle_place - d.cradle_length / 2, d.cradle_place + d.cradle_length / 2
    for side, sign in _sides():
        y = sign * d.cradle_spread / 2
        yield _joint(
            "butt", f"CRADLE-1 {side}", "DECK-1", (first, y, d.deck_height), (last, y, d.deck_height)
        )

"""A kit on the drawing board: from the side on its three feet, from above, from the bow; and a picture a number."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Point, Words, line, shape
from skimwright.boat import Design, Kit, Part
from skimwright.desk.boats.float_boat import Floating
from skimwright.kit import Scene, View, part_body

Array = NDArray[np.float64]
Put = Callable[[float, float], Point]
Looked = Literal["side", "top", "front"]
# From port, from above with the bow to the left, and from the bow.
FROM: dict[Looked, View] = {
    "side": View(round_about=-math.pi / 2, above=0.0),
    "top": View(round_about=-math.pi / 2, above=math.pi / 2 - 1e-6),
    "front": View(round_about=0.0, above=0.0),
}
WIDE, MARGIN = 180.0, 12.0  # [mm]
FOOT = 22.0  # a bar that carries the whole boat [mm]


def board_views(kit: Kit, floating: Floating, *, lit: str = "") -> dict[Looked, Drawing]:
    """The boat from three sides at one scale.

    Parameters
    ----------
    floating : Floating
        The kit at rest and on its feet.
    lit : str
        Code of the part that is shown filled, "WALL-1"; blank: none.

    Examples
    --------
    ``board_views(fold_62, float_kit(fold_62))["side"].described`` tells the balance point and the float line.
    """
    scale = (WIDE - 2 * MARGIN) / (kit.length * 1e3)  # mm on paper for a mm of boat
    return {
        "side": _side(kit, floating, scale=scale, lit=lit),
        "top": _flat(kit, "top", scale=scale, lit=lit, words=(("bow", "left"), ("port side below", "under"))),
        "front": _flat(kit, "front", scale=scale, lit=lit, words=(("seen from the bow", "under"),)),
    }


def _side(kit: Kit, floating: Floating, *, scale: float, lit: str) -> Drawing:
    low, high = _box(kit, "side")
    sky = 6.0 + high[1] * 1e3 * scale  # height of the pad plane on paper
    put = _placer(scale, left=MARGIN - low[0] * 1e3 * scale, base=sky)
    under = sky - min(low[1], 0.0) * 1e3 * scale
    marks = _boat(kit, "side", put, lit)
    marks += _float_line(kit, floating, put)
    bars, under = _feet(kit, floating, put, under + 3.0)
    marks += bars
    marks += _ruler(kit, floating, put, under + 7.0)
    at_rest = floating.at_rest
    says = (
        f"At rest it lies {abs(math.degrees(at_rest.trim)):.2f} deg bow-{'down' if at_rest.trim < 0 else 'up'}."
        if at_rest.floats
        else "It does not float."
    )
    return Drawing(
        width=WIDE, height=under + 22.0, marks=tuple(marks), title=f"{kit.name} from its port side, on three feet",
        described=f"Balance point {floating.centre[0] * 1e3:.1f} mm from the bow. {says}",
    )  # fmt: skip


def _flat(kit: Kit, view: Looked, *, scale: float, lit: str, words: tuple[tuple[str, str], ...]) -> Drawing:
    low, high = _box(kit, view)
    width, height = (high - low) * 1e3 * scale
    edge = MARGIN if view == "top" else 6.0
    put = _placer(scale, left=edge - low[0] * 1e3 * scale, base=4.0 + high[1] * 1e3 * scale)
    marks = _boat(kit, view, put, lit)
    for text, where in words:
        at = (edge - 1.5, 4.0 + height / 2 + 1.0) if where == "left" else (edge + width / 2, height + 10.0)
        marks.append(Words(at=at, text=text, size=4.2, anchor="end" if where == "left" else "middle"))
    name = {"top": "from above", "front": "from the bow"}[view]
    d = kit.design
    beam, tall = (high - low)[1 if view == "top" else 0] * 1e3, (high - low)[1] * 1e3
    said = (
        f"{kit.length * 1e3:.0f} mm long and {beam:.0f} mm wide." if view == "top" else f"{tall:.0f} mm high."
    )
    if view == "front" and d:
        said = f"The tunnel is {d.floor_front * 1e3:.0f} mm high in front. {said}"
    return Drawing(
        width=WIDE if view == "top" else width + 2 * edge, height=height + 13.0, marks=tuple(marks),
        title=f"{kit.name} {name}", described=said,
    )  # fmt: skip


def _placer(scale: float, *, left: float, base: float) -> Put:
    def put(x: float, y: float) -> Point:
        return round(left + x * 1e3 * scale, 2), round(base - y * 1e3 * scale, 2)

    return put


def _box(kit: Kit, view: Looked) -> tuple[Array, Array]:
    flat = kit.corners() @ FROM[view].matrix()[:2].T
    return flat.min(axis=0), flat.max(axis=0)


def _boat(kit: Kit, view: Looked, put: Put, lit: str) -> list[Mark]:
    """Its visible edges; the lit parts filled, wherever they hide."""
    pieces = Scene([part_body(part) for part in kit.parts], FROM[view]).seen()
    marks: list[Mark] = [
        line(put(*piece.start[:2]), put(*piece.end[:2]), width=0.3) for piece in pieces
    ]  # the rows of a view are metres to the right and up
    rows = FROM[view].matrix()[:2]
    for part in kit.parts:
        if part.code == lit:
            marks += [
                shape(*(put(*point) for point in face), fill="orange", width=0.4, opacity=0.6)
                for face in _faces(part, rows)
            ]
    return marks


def _faces(part: Part, rows: Array) -> Iterable[Array]:
    for face in part_body(part).faces:
        flat = face.contours[0] @ rows.T
        x, y = flat.T
        if abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) > 2e-6:  # not seen edge-on
            yield flat


def _float_line(kit: Kit, floating: Floating, put: Put) -> list[Mark]:
    rest, length = floating.at_rest, kit.length
    if not rest.floats:
        return []
    slope = (rest.draft_stern - rest.draft_bow) / length
    a, b = (put(x, rest.draft_bow + slope * x) for x in (-0.03 * length, 1.02 * length))
    return [
        line(a, b, width=0.4, line="blue", dashes=(2.4, 1.0)),
        Words(at=(a[0], a[1] - 1.3), text="water", size=4.2, ink="blue"),
    ]


def _feet(kit: Kit, floating: Floating, put: Put, top: float) -> tuple[list[Mark], float]:
    """Three bars: what each foot carries; and how far down they reach."""
    feet, grams = floating.feet, floating.mass * 1e3
    pad, stern = (put(x, 0.0)[0] for x in kit.contacts)
    marks: list[Mark] = []
    for x, share, name, side in (
        (pad - 3.6, feet.left, "left pad", "end"),
        (pad + 3.6, feet.right, "right pad", "start"),
        (stern, feet.stern, "stern", "end"),
    ):
        tall = FOOT * min(max(share, 0.0), 1.0)
        bar = ((x - 2.6, top), (x + 2.6, top), (x + 2.6, top + tall), (x - 2.6, top + tall))
        away = -4.0 if side == "end" else 4.0
        marks += [
            shape(*bar, fill="sky", width=0.35),
            Words(at=(x + away, top + 4.4), text=name, size=4.4, anchor=side),  # type: ignore[arg-type]
            Words(at=(x + away, top + 10.2), text=f"{share * grams:.0f} g", size=5.6, bold=True, anchor=side),  # type: ignore[arg-type]
        ]
    most = max(feet.left, feet.right, feet.stern, 0.45)
    return marks, top + FOOT * min(most, 1.0)


def _ruler(kit: Kit, floating: Floating, put: Put, base: float) -> list[Mark]:
    marks: list[Mark] = [line((put(0, 0)[0], base), (put(kit.length, 0)[0], base), width=0.3)]
    step = 10 if kit.length < 1.5 else 50
    for mm in range(0, int(kit.length * 1e3) + 1, step):
        x = put(mm / 1e3, 0)[0]
        tall = 2.6 if mm % (10 * step) == 0 else 1.7 if mm % (5 * step) == 0 else 0.9
        marks.append(line((x, base), (x, base + tall), width=0.2))
        if mm % (10 * step) == 0:
            marks.append(Words(at=(x, base + 7.0), text=str(mm), size=4.2, anchor="middle"))
    marks.append(Words(at=(put(0, 0)[0] - 2.0, base + 12.6), text="mm from the bow", size=4.2))
    x = put(floating.centre[0], 0)[0]
    at = (x, put(0, floating.centre[2])[1])
    return [
        *marks,
        shape((x, base - 0.3), (x - 2.2, base - 5.2), (x + 2.2, base - 5.2), fill="black"),
        line((x, base - 5.2), at, width=0.25, dashes=(0.8, 0.8)),
        Dot(at=at, radius=1.4, fill="white", width=0.5),
        Dot(at=at, radius=0.45),
        Words(
            at=(x + 3.2, base - 1.4), text=f"balance {floating.centre[0] * 1e3:.1f} mm", size=4.4, bold=True
        ),
    ]


# a small picture of what each number changes


def number_picture(kit: Kit, key: str) -> Drawing:
    """What a number of the kit file is, in one line on a small boat.

    Parameters
    ----------
    key : str
        As in the file: "beam_mm".

    Raises
    ------
    KeyError
        No such number, or a kit without such numbers.
    """
    if key in GENERAL:
        return Drawing(width=27.0, height=11.0, marks=GENERAL[key], title="")
    if kit.design is None:
        raise KeyError(key)
    view, start, end = _spans(kit.design)[key]
    low, high = _box(kit, view)
    low, high = np.minimum(low, np.minimum(start, end)), np.maximum(high, np.maximum(start, end))
    scale = min(24.0 / (high[0] - low[0]), 8.6 / (high[1] - low[1])) / 1e3
    left = 13.5 - (high + low)[0] / 2 * 1e3 * scale
    put = _placer(scale, left=left, base=5.5 + (high + low)[1] / 2 * 1e3 * scale)
    rows = FROM[view].matrix()[:2]
    shown = ("WALL-1", "POD-1", "FIN-1", "FIN-2", "CRADLE-1") if view == "side" else ("DECK-1",)
    marks: list[Mark] = []
    for part in kit.parts:
        if part.code in shown and part.side != "right":
            flat = np.array(part.outline)
            points = part.place.to_boat(np.column_stack([flat, np.zeros(len(flat))])) @ rows.T
            marks.append(shape(*(put(*point) for point in points), fill="pale", line="grey", width=0.15))
    if view == "top":
        half, d = kit.design.hull_width / 2, kit.design
        marks += [line(put(0.0, y), put(d.length, y), line="grey", width=0.15) for y in (-half, half)]
    return Drawing(width=27.0, height=11.0, marks=(*marks, *_arrow(put(*start), put(*end))), title="")


def _arrow(a: Point, b: Point) -> list[Mark]:
    """A heavy line with a bar across each end; a dot where there is no length."""
    long = math.dist(a, b)
    if long < 0.7:
        return [Dot(at=a, radius=0.8)]
    across = ((b[1] - a[1]) / long * 1.1, (a[0] - b[0]) / long * 1.1)
    ends = [
        line((x - across[0], y - across[1]), (x + across[0], y + across[1]), width=0.45) for x, y in (a, b)
    ]
    return [line(a, b, width=0.75), *ends]


def _spans(d: Design) -> dict[str, tuple[Looked, Point, Point]]:
    """From where to where each number is measured: view, and two places on it. [m]"""
    over, under = d.deck_height * 1.25, -0.25 * d.deck_height
    floor, deck = d.floor_height(d.blade_place), d.deck_height
    cradle, fin = d.cradle_place - d.cradle_length / 2, d.fin_place + d.fin_chord
    sponson = (d.pod_front + d.pod_rear) / 2
    half, hull = d.beam / 2, d.hull_width / 2
    tip = deck + d.fin_height
    return {
        "length_mm": ("side", (0.0, over), (d.length, over)),
        "beam_mm": ("top", (sponson, -half), (sponson, half)),
        "deck_height_mm": ("side", (-0.02 * d.length, 0.0), (-0.02 * d.length, deck)),
        "floor_front_mm": ("side", (d.pod_front, 0.0), (d.pod_front, d.floor_front)),
        "floor_rear_mm": ("side", (d.length, 0.0), (d.length, d.floor_rear)),
        "deck_tail_mm": ("top", (d.pod_rear, half), (d.pod_rear + d.deck_tail, half)),
        "rib_place_mm": ("side", (0.0, deck / 2), (d.rib_place, deck / 2)),
        "pod_front_mm": ("side", (0.0, under), (d.pod_front, under)),
        "pod_rear_mm": ("side", (0.0, under), (d.pod_rear, under)),
        "pod_width_mm": ("top", (sponson, hull), (sponson, half)),
        "pad_length_mm": ("side", (d.pad_front, under), (d.pod_rear, under)),
        "pad_angle_deg": ("side", (d.pad_front, d.pad_front_height), (d.pod_rear, 0.0)),
        "pad_contact_mm": ("side", (0.0, under), (d.pad_contact, under)),
        "stern_contact_mm": ("side", (0.0, under), (d.stern_contact, under)),
        "blade_place_mm": ("side", (0.0, under), (d.blade_place, under)),
        "blade_chord_mm": (
            "side", (d.blade_place - d.blade_chord / 2, floor), (d.blade_place + d.blade_chord / 2, floor)
        ),
        "blade_depth_mm": ("side", (d.blade_place, floor), (d.blade_place, floor - d.blade_depth)),
        "blade_tab_mm": ("side", (d.blade_place, floor), (d.blade_place, floor + d.blade_tab)),
        "fin_place_mm": ("side", (0.0, over), (d.fin_place, over)),
        "fin_chord_mm": ("side", (d.fin_place, deck), (fin, deck)),
        "fin_height_mm": ("side", (fin, deck - d.fin_seat), (fin, tip - d.fin_seat)),
        "fin_seat_mm": ("side", (d.fin_place, deck), (d.fin_place, deck - d.fin_seat)),
        "cradle_place_mm": ("side", (0.0, over), (d.cradle_place, over)),
        "cradle_length_mm": ("side", (cradle, deck), (cradle + d.cradle_length, deck)),
        "cradle_height_mm": ("side", (cradle, deck), (cradle, deck + d.cradle_height)),
        "cradle_spread_mm": (
            "top", (d.cradle_place, -d.cradle_spread / 2), (d.cradle_place, d.cradle_spread / 2)
        ),
    }  # fmt: skip


def _rectangle(x: float, y: float, wide: float, high: float, **style: object) -> Path:
    return shape((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), **style)


GENERAL: dict[str, tuple[Mark, ...]] = {
    "thickness_mm": (
        _rectangle(3.0, 4.0, 17.0, 3.0, fill="pale", line="grey"), *_arrow((22.5, 4.0), (22.5, 7.0))
    ),
    "areal_density_g_m2": (
        _rectangle(9.5, 1.5, 8.0, 8.0, fill="pale"), Words(at=(13.5, 7.0), text="1 m2", size=3.0, anchor="middle")
    ),
    "scale": (
        _rectangle(3.0, 5.5, 8.0, 3.0, fill="pale", line="grey"),
        _rectangle(13.0, 3.0, 12.0, 5.5, fill="pale", width=0.7),
    ),
}  # fmt: skip


def part_picture(part: Part) -> Drawing:
    """A part's outline as it lies on the sheet, small."""
    flat = np.array(part.outline)
    low, size = flat.min(axis=0), np.ptp(flat, axis=0)
    if size[1] > size[0]:
        flat, low, size = flat[:, ::-1], low[::-1], size[::-1]
    scale = min(34.0 / size[0], 12.0 / size[1])
    off = (np.array([36.0, 14.0]) - size * scale) / 2
    points = [(round(float(x), 2), round(float(y), 2)) for x, y in (flat - low) * scale + off]
    return Drawing(width=36.0, height=14.0, marks=(shape(*points, fill="white", width=0.5),), title="")

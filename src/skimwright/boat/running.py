"""What the run model sees of a kit: plates, tunnel, deck, fins, silhouettes."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from skimwright.boat.form import Deck, Fin, Plate, RunningForm, Tunnel
from skimwright.boat.plan import Array, Design, Kit, Part, Point2
from skimwright.boat.threepoint import pod_bottom, wall_profile

STEP = 1e-4  # the wall's end is a step in the tunnel: two stations this far apart [m]


def running_form(kit: Kit) -> RunningForm:
    """The running surfaces of a kit as drawn.

    A sponson's bottom carries over its whole width: the pad and the edges of the two walls that hold
    it, which lie in one plane.  Own parts give their downward faces as plates, and no tunnel.

    Raises
    ------
    KeyError
        A three-point kit without its deck or fins.

    Examples
    --------
    ``running_form(fold_62).plates[0].name`` is "pad-left".
    """
    if kit.design is None:
        return _own_form(kit)
    d, t = kit.design, kit.board.thickness
    area, middle = _silhouette(_side_view(d, t))
    return RunningForm(
        length=d.length,
        beam=d.beam,
        deck_height=d.deck_height,
        plates=_plates(d, t),
        tunnel=_tunnel(d, t),
        deck=Deck(
            area=kit.part("DECK-1").area, beam=d.beam, length=d.length, front=0.0, height=d.deck_height
        ),
        blade=_blade(d),
        air_fin=_air_fin(kit.part("FIN-2"), d),
        frontal_area=d.hull_width * (d.deck_height - d.floor_rear)
        + 2 * (d.pod_width * d.deck_height + t * d.floor_rear),
        side_area=area,
        side_centre=np.array([middle[0], 0.0, middle[1]]),
        pad_contact=d.pad_contact,
        stern_contact=d.stern_contact,
        pad_spread=d.hull_width + d.pod_width - t,
    )


def _plates(d: Design, t: float) -> tuple[Plate, ...]:
    ramp, pad, rear = pod_bottom(d)
    width, middle = d.pod_width + t, (d.hull_width + d.pod_width - t) / 2
    lines = [
        (f"{name}-{side}", start, end, sign * middle, width)
        for name, start, end in (("pad", pad, rear), ("ramp", ramp, pad))
        for side, sign in (("left", -1), ("right", 1))
    ]
    lines.append(("floor", ramp, (d.length, d.floor_rear), 0.0, d.hull_width))
    lines.append(("bow", (0.0, d.deck_height - t), ramp, 0.0, d.hull_width))
    return tuple(
        Plate(name=name, front=np.array([a[0], y, a[1]]), rear=np.array([b[0], y, b[1]]), beam=beam)
        for name, a, b, y, beam in lines
    )


def _tunnel(d: Design, t: float) -> Tunnel:
    bottom = np.array(pod_bottom(d))
    walled = np.concatenate(
        [np.linspace(d.pod_front, d.pad_front, 9), np.linspace(d.pad_front, d.pod_rear, 6)[1:]]
    )
    open_ = np.linspace(d.pod_rear, d.length, 13)
    open_[0] += STEP
    stations = np.concatenate([walled, open_])
    roof = d.floor_front - d.floor_slope * (stations - d.pod_front)
    wall = np.concatenate([np.interp(walled, bottom[:, 0], bottom[:, 1]), roof[len(walled) :]])
    return Tunnel(stations=stations, roof=roof, wall=np.minimum(wall, roof), width=d.hull_width - 2 * t)


def _side_view(d: Design, t: float) -> Sequence[Point2]:
    return (0.0, d.deck_height), *wall_profile(d, t)[:-1], (d.length, d.deck_height)


def _silhouette(outline: Sequence[Point2]) -> tuple[float, Array]:
    """Area and middle of a side view. [m2], [m]"""
    a = np.array(outline)
    b = np.roll(a, -1, axis=0)
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return abs(float(cross.sum())) / 2, cross @ (a + b) / (3 * cross.sum())


def _blade(d: Design) -> Fin:
    """The water fin below the floor: a trapezium square to the floor."""
    root, tip = d.blade_chord * 45 / 55, d.blade_chord * 30 / 55
    area = (root + tip) / 2 * d.blade_depth
    outline = [
        *((d.blade_chord * 5 / 55, 0.0), (d.blade_chord * 50 / 55, 0.0)),
        *((d.blade_chord * 42 / 55, d.blade_depth), (d.blade_chord * 12 / 55, d.blade_depth)),
    ]
    _, (along, down) = _silhouette(outline)
    slope = math.atan(d.floor_slope)
    along -= d.blade_chord / 2
    floor = d.floor_height(d.blade_place)
    x = d.blade_place + along * math.cos(slope) - down * math.sin(slope)
    z = floor - along * math.sin(slope) - down * math.cos(slope)
    return Fin(
        area=area,
        span=d.blade_depth,
        chord=area / d.blade_depth,
        centre=np.array([x, 0.0, z]),
        tip=floor - d.blade_depth * math.cos(slope),
        root=floor,
    )


def _air_fin(part: Part, d: Design) -> Fin:
    """The air fin above the deck; its foot in the deck does not count."""
    foot = d.deck_height - part.place.origin[2]
    lean = d.fin_chord / 2 / d.fin_height
    outline = (
        (foot * lean, foot),
        (d.fin_chord, foot),
        (d.fin_chord, d.fin_height),
        (d.fin_chord / 2, d.fin_height),
    )
    area, (u, v) = _silhouette(outline)
    span = d.fin_height - foot
    base = part.place.origin
    return Fin(
        area=area,
        span=span,
        chord=area / span,
        centre=np.array([base[0] + u, 0.0, base[2] + v]),
        tip=base[2] + d.fin_height,
        root=d.deck_height,
    )


def _own_form(kit: Kit) -> RunningForm:
    """A boat of own parts: its downward faces, and boxes for the rest."""
    corners = kit.corners()
    low, high = corners.min(axis=0), corners.max(axis=0)
    length, beam, height = (float(size) for size in high - low)
    plates = _downward(kit, float(low[2] + 0.6 * height))
    deck = max(kit.parts, key=lambda part: part.area * abs(part.place.w[2]))
    area = deck.area * abs(deck.place.w[2])
    pad, stern = kit.contacts
    return RunningForm(
        length=length,
        beam=beam,
        deck_height=float(high[2]),
        plates=plates,
        tunnel=None,
        deck=Deck(area=area, beam=beam, length=length, front=float(low[0]), height=float(high[2])),
        blade=None,
        air_fin=None,
        frontal_area=beam * height,
        side_area=length * height,
        side_centre=(low + high) / 2,
        pad_contact=pad,
        stern_contact=stern,
        pad_spread=beam,
    )


def _downward(kit: Kit, ceiling: float) -> tuple[Plate, ...]:
    """The under faces of lying parts in the lower part of the boat."""
    plates = []
    for part in kit.parts:
        if abs(part.place.w[2]) < 0.5:
            continue
        flat = np.column_stack([np.array(part.outline), np.zeros(len(part.outline))])
        faces = [part.place.to_boat(flat), part.place.to_boat(flat + np.array([0.0, 0.0, part.thickness]))]
        face = min(faces, key=lambda points: float(points[:, 2].mean()))
        if face[:, 2].mean() > ceiling:
            continue
        y = float(face[:, 1].max() + face[:, 1].min()) / 2
        front, rear = face[face[:, 0].argmin()], face[face[:, 0].argmax()]
        ends = [np.array([end[0], y, end[2]]) for end in (front, rear)]
        plates.append(Plate(name=part.name, front=ends[0], rear=ends[1], beam=float(np.ptp(face[:, 1]))))
    return tuple(plates)

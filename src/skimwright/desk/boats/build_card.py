"""The build card as it is filled in: twelve steps, each with a picture of the two faces and one sentence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skimwright.base.drawing import Dot, Drawing, Mark, Point, Words, line
from skimwright.boat import Design, Kit
from skimwright.desk.boats.boat_list import MEASURED
from skimwright.desk.boats.check import CARD, Deviation, OnWater, allowed, drawn_value
from skimwright.desk.kits.board_views import Looked, _boat, _box, _placer
from skimwright.desk.seasons.season import Group
from skimwright.desk.seasons.words import sideways_span

WIDE, MARGIN = 180.0, 14.0  # [mm]
# The two faces, and what a plus means.
FACES: dict[str, tuple[str, str, str]] = {
    "deck_length": ("the tip of the bow", "the end of the deck", ""),
    "mass": ("", "", "Everything on that races: device, battery, ballast."),
    "balance_x": ("the tip of the bow", "the edge it balances on", ""),
    "balance_y": ("the middle of the deck", "the balance point", "Plus is to starboard, right as it runs."),
    "pad_angle_left": ("the front of the left pad", "its rear", "Plus is nose-up of the drawing."),
    "pad_angle_right": ("the front of the right pad", "its rear", "Plus is nose-up of the drawing."),
    "pad_toe_left": ("the front of the left pad", "its rear", "Plus when its front points to starboard."),
    "pad_toe_right": ("the front of the right pad", "its rear", "Plus when its front points to starboard."),
    "blade_yaw": ("the blade's front edge", "its trailing edge", "Plus when the trailing edge points to starboard."),
    "floor_twist": ("the two front corners", "the two rear corners", "Plus when it is low at the starboard stern."),
    "device_y": ("the port wall", "the starboard wall", "Plus when the device sits to starboard."),
    "water_gain": ("", "", "Wet less dry, drops wiped off."),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class CardStep:
    """One line of the card, to be measured."""

    number: int  # from 1
    key: str
    column: str  # of boats.csv
    what: str
    tool: str
    unit: str
    drawn: float  # in its unit
    allowed: float  # either way, in its unit
    faces: tuple[str, str]  # measured from one to the other; blank: no two faces
    sign: str  # what a plus means


def card_steps(kit: Kit, group: Group) -> tuple[CardStep, ...]:
    """The twelve steps for a kit, with the room its group's age is given."""
    columns = {column.quantity: name for name, column in MEASURED.items()}
    room = allowed(kit, group)
    return tuple(
        CardStep(
            number=number, key=key, column=columns[key], what=what, tool=tool, unit=unit,
            drawn=drawn_value(kit, key) / si, allowed=room[key] / si, faces=FACES[key][:2], sign=FACES[key][2],
        )
        for number, (key, (what, tool, unit, si)) in enumerate(CARD.items(), 1)
    )  # fmt: skip


def card_picture(kit: Kit, step: CardStep) -> Drawing:
    """The boat with the two faces of one step marked A and B."""
    view, places = _places(kit.design, step.key) if kit.design else ("side", ())
    low, high = _box(kit, view)
    scale = (WIDE - 2 * MARGIN) / (kit.length * 1e3)
    put = _placer(scale, left=MARGIN - low[0] * 1e3 * scale, base=16.0 + high[1] * 1e3 * scale)
    marks: list[Mark] = _boat(kit, view, put, "")
    ends = [put(*place) for place in places]
    if len(ends) == 2 and ends[0] != ends[1]:
        marks.append(line(*ends, width=1.0, line="vermilion"))
    for letter, at in zip("ABAB"[: len(ends)] if len(ends) == 4 else "AB", ends, strict=False):
        marks += _face(at, letter)
    tall = float((high - low)[1]) * 1e3 * scale + 32.0
    a, b = step.faces
    return Drawing(
        width=WIDE, height=tall, marks=tuple(marks), title=f"{step.what}: where it is measured",
        described=f"A: {a}. B: {b}." if a else "",
    )  # fmt: skip


def _face(at: Point, letter: str) -> list[Mark]:
    x, y = at
    return [
        Dot(at=at, radius=4.4, fill="white", width=1.0),
        Words(at=(x, y + 1.9), text=letter, size=5.4, anchor="middle", bold=True),
    ]


def _places(d: Design, key: str) -> tuple[Looked, tuple[tuple[float, float], ...]]:
    over, under = d.deck_height * 1.35, -0.3 * d.deck_height
    middle = (d.beam - d.pod_width) / 2
    hull, half = d.hull_width / 2, d.blade_chord / 2
    places: dict[str, tuple[Looked, tuple[tuple[float, float], ...]]] = {
        "deck_length": ("side", ((0.0, over), (d.length, over))),
        "balance_x": ("side", ((0.0, under), ((d.pad_contact + d.stern_contact) / 2, under))),
        "balance_y": ("top", ((d.length / 2, 0.0), (d.length / 2, hull / 2))),
        "blade_yaw": ("top", ((d.blade_place - 2 * half, 0.0), (d.blade_place + 2 * half, 0.0))),
        "floor_twist": ("top", ((0.2 * d.length, hull), (d.length, hull), (0.2 * d.length, -hull), (d.length, -hull))),
        "device_y": ("top", ((d.cradle_place, -hull), (d.cradle_place, hull))),
    }  # fmt: skip
    for side, y in (("left", -middle), ("right", middle)):
        places[f"pad_angle_{side}"] = ("side", ((d.pad_front, d.pad_front_height), (d.pod_rear, 0.0)))
        places[f"pad_toe_{side}"] = ("top", ((d.pad_front, y), (d.pod_rear, y)))
    return places.get(key, ("side", ()))


def effect_words(effect: OnWater | None) -> str:
    """What one deviation does by itself, drift first, then time, in a few words."""
    if effect is None:
        return "not worked out"
    said = []
    if effect.drift is not None and max(abs(effect.drift.p05), abs(effect.drift.p95)) >= 0.1:
        said.append(sideways_span(effect.drift))
    if effect.gate_time is not None and abs(effect.gate_time.p50) >= 0.02:
        late = effect.gate_time.p50
        said.append(f"{abs(late):.2f} s {'later' if late > 0 else 'sooner'}")
    if not said and effect.distance is not None and abs(effect.distance.p50) >= 0.2:
        far = effect.distance.p50
        said.append(f"{abs(far):.1f} m {'farther' if far > 0 else 'shorter'}")
    return ", ".join(said) or "hardly shows"


def effect_sentence(found: Deviation) -> str:
    """One line of the card in a sentence a builder can act on."""
    if found.ratio <= 1.0:
        stands = "Within what is allowed."
    else:
        stands = (
            f"{found.ratio:.1f} times what is allowed: {abs(found.off):.2g} {found.unit} off the drawing."
        )
    if found.effect is None:
        return stands
    does = effect_words(found.effect)
    if does == "hardly shows":
        return f"{stands} By itself it hardly shows on the water."
    return f"{stands} By itself, nine runs of ten: {does} at the gate."


def row_of_mark(share: float) -> float:
    """Where a measured value lies on the tolerance bar, 0 to 1: the allowed room is its middle half."""
    return float(np.clip(0.5 + 0.25 * share, 0.02, 0.98))

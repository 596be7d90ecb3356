"""Their own boat from the side, and the strip of water with their own runs."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Drawing, Mark, Path, Words, line, shape
from skimwright.boat import Part
from skimwright.teach.facts import Facts
from skimwright.teach.worksheet import Words as Catalogue

WIDE = 180.0  # [mm]


def boat_picture(facts: Facts, words: Catalogue) -> Drawing:
    """From the port side, with a ruler in millimetres; the balance point only if it was measured."""
    length = facts.kit.length
    scale = (WIDE - 16.0) / length
    tall = max(float(_flat(part)[:, 2].max()) for part in facts.kit.parts) * scale
    left, ground = 8.0, tall + 4.0

    def put(x: float, z: float) -> tuple[float, float]:
        return left + x * scale, ground - z * scale

    marks: list[Mark] = []
    for part in facts.kit.parts:
        flat = _flat(part)
        if abs(part.place.w[1]) > 0.9:
            marks.append(shape(*(put(float(x), float(z)) for x, _, z in flat), fill="white", width=0.3))
        elif part.code.startswith("DECK"):
            low, high = flat.min(axis=0), flat.max(axis=0)
            thick = part.thickness
            corners = (
                (low[0], low[2] - thick),
                (high[0], low[2] - thick),
                (high[0], high[2]),
                (low[0], high[2]),
            )
            marks.append(shape(*(put(float(x), float(z)) for x, z in corners), fill="pale", width=0.3))
    base = ground + 9.0
    marks.append(line((put(0, 0)[0], base), (put(length, 0)[0], base), width=0.3))
    for mm in range(0, math.floor(length * 1e3) + 1, 10):
        x, long = put(mm / 1e3, 0)[0], 2.6 if mm % 100 == 0 else 1.2
        marks.append(line((x, base), (x, base + long), width=0.2))
        if mm % 100 == 0:
            marks.append(Words(at=(x, base + 6.0), text=str(mm), size=3.2, anchor="middle"))
    marks.append(Words(at=(WIDE, base + 6.0), text="mm", size=3.2, anchor="end"))
    marks.append(Words(at=(0.0, base - 2.0), text=words.say("page.bow"), size=3.2))
    if facts.balance is not None:
        x = put(facts.balance, 0)[0]
        marks.append(shape((x, base - 0.3), (x - 2.2, base - 5.0), (x + 2.2, base - 5.0), fill="black"))
    return Drawing(width=WIDE, height=base + 8.0, marks=tuple(marks), title=f"{facts.title} from the side")


def _flat(part: Part) -> NDArray[np.float64]:
    corners = np.array(part.outline)
    return part.place.to_boat(np.column_stack([corners, np.zeros(len(corners))]))


def strip_picture(facts: Facts, words: Catalogue) -> Drawing:
    """From above, to scale: start, gate, and each logged run as the circle through its drift at the gate."""
    gate = facts.gate
    known = [r for r in facts.runs if r.drift is not None and r.counts]
    long = 1.12 * gate.distance
    scale = (WIDE - 18.0) / long
    aside = max([0.75 * gate.width, *(abs(r.drift or 0.0) + 0.3 for r in known)])
    aside = min(aside, 0.2 * long)
    middle = 6.0 + aside * scale

    def put(x: float, y: float) -> tuple[float, float]:
        return 8.0 + x * scale, middle + max(-aside, min(aside, y)) * scale

    edge = (
        (8.0, 6.0),
        (WIDE - 4.0, 6.0),
        (WIDE - 4.0, middle + aside * scale),
        (8.0, middle + aside * scale),
    )
    marks: list[Mark] = [
        Path(points=edge, closed=True, width=0.15, line="grey"),
        line(put(0, 0), put(long, 0), width=0.2, dashes=(3.0, 1.2, 0.6, 1.2)),
    ]
    taken: float | None = None
    for run in sorted(known, key=lambda r: r.drift or 0.0):
        bend = 2 * (run.drift or 0.0) / (gate.distance**2 + (run.drift or 0.0) ** 2)
        spots = [put(x, _aside(x, bend)) for x in np.linspace(0.0, gate.distance, 25)]
        marks.append(Path(points=tuple(spots), width=0.5))
        x, y = spots[-1]
        taken = y + 1.1 if taken is None else max(y + 1.1, taken + 3.0)  # no number on top of another
        marks.append(Words(at=(x + 1.6, taken), text=str(run.run), size=3.2, bold=True))
    for side in (-0.5, 0.5):
        x, y = put(gate.distance, side * gate.width)
        marks.append(shape((x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1), fill="black"))
    bottom = middle + aside * scale + 4.5
    x, far = put(gate.distance, 0)[0], words.local(f"{gate.distance:g}")
    marks += [
        Words(at=(8.0, bottom), text=words.say("page.start"), size=3.2),
        Words(at=(x, bottom), text=f"{words.say('page.gate')}, {far} m", size=3.2, anchor="middle"),
    ]
    return Drawing(width=WIDE, height=bottom + 2.0, marks=tuple(marks), title=f"{facts.title} from above")


def _aside(x: float, bend: float) -> float:
    """How far to the side a circle of that bend is after x metres ahead. [m]"""
    return bend * x * x / (1 + math.sqrt(max(0.0, 1 - (bend * x) ** 2)))

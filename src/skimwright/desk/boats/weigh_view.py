"""A weighing to look at: the boat on its two wedges, and its feet before and after the ballast."""

from __future__ import annotations

from skimwright.base.drawing import Drawing, Mark, Words, line, shape
from skimwright.boat import Kit, running_form
from skimwright.desk.boats.pictures import WIDE, walls_and_deck
from skimwright.desk.boats.weigh import Readings, WeighIn
from skimwright.physics import flotation

LEFT, GROUND = 12.0, 40.0  # where the bow and the pads' plane lie on the paper [mm]


def feet_after(kit: Kit, found: WeighIn) -> flotation.Feet | None:
    """What the three feet carry once the ballast is in; None if none is advised."""
    if found.ballast is None:
        return None
    pads, stern = kit.contacts
    side = found.balance_y.value if found.balance_y else 0.0
    before = found.mass.value if found.mass else found.ballast.mass_after
    return flotation.feet_shares(
        centre_x=found.ballast.target, centre_y=side * before / found.ballast.mass_after, pad_contact=pads,
        stern_contact=stern, pad_spread=running_form(kit).pad_spread,
    )  # fmt: skip


def on_wedges(kit: Kit, readings: Readings, found: WeighIn) -> Drawing:
    """The boat from the side on the supports it was weighed on, with what each shows and where it balances."""
    scale = (WIDE - 24.0) / (kit.length * 1e3)

    def put(x: float, z: float) -> tuple[float, float]:
        return LEFT + x * 1e3 * scale, GROUND - z * 1e3 * scale

    base = GROUND + 26.0
    marks = walls_and_deck(kit, put)
    marks += _ruler(kit, put, base)
    if readings.along:
        pair = readings.along
        for place, load in ((pair.front_place, pair.front), (pair.rear_place, pair.rear)):
            marks += _wedge(put(place, 0)[0], base, f"{load * 1e3:.0f} g")
    elif readings.knife is not None:
        marks += _wedge(put(readings.knife, 0)[0], base, "knife edge")
    if found.balance_x is not None:
        marks += _pointer(
            put(found.balance_x.value, 0)[0], base, f"balance {found.balance_x.value * 1e3:.1f} mm"
        )
    if found.ballast is not None:
        b = found.ballast
        marks += _lead(put(b.place, 0.065), f"{b.mass * 1e3:.0f} g")
    words = (
        [] if found.balance_x is None else [f"It balances {found.balance_x.value * 1e3:.1f} mm from the bow."]
    )
    if readings.along:
        words.append(
            f"Wedges at {readings.along.front_place * 1e3:.0f} and {readings.along.rear_place * 1e3:.0f} mm show "
            f"{readings.along.front * 1e3:.0f} and {readings.along.rear * 1e3:.0f} g."
        )
    return Drawing(
        width=WIDE, height=base + 14.0, marks=tuple(marks), title=f"{found.name} as it was weighed",
        described=" ".join(words),
    )  # fmt: skip


def _ruler(kit: Kit, put, base: float) -> list[Mark]:  # type: ignore[no-untyped-def]
    marks: list[Mark] = [line((put(0, 0)[0], base), (put(kit.length, 0)[0], base), width=0.4)]
    for mm in range(0, int(kit.length * 1e3) + 1, 10):
        x = put(mm / 1e3, 0)[0]
        marks.append(line((x, base), (x, base + (2.8 if mm % 100 == 0 else 1.2)), width=0.2))
        if mm % 100 == 0:
            marks.append(Words(at=(x, base + 7.0), text=str(mm), size=3.4, anchor="middle"))
    marks.append(Words(at=(put(0, 0)[0], base + 12.0), text="mm from the bow", size=3.2))
    return marks


def _wedge(x: float, base: float, words: str) -> list[Mark]:
    return [
        shape((x, GROUND + 0.6), (x - 4.0, base), (x + 4.0, base), fill="pale", width=0.5),
        Words(at=(x + 5.0, base - 3.0), text=words, size=4.4, bold=True),
    ]


def _pointer(x: float, base: float, words: str) -> list[Mark]:
    return [
        line((x, 6.0), (x, base), width=0.3, dashes=(1.2, 1.0)),
        shape((x, base - 0.4), (x - 2.2, base - 5.0), (x + 2.2, base - 5.0), fill="black"),
        Words(at=(x + 3.0, GROUND + 8.0), text=words, size=4.0, bold=True),
    ]


def _lead(at: tuple[float, float], words: str) -> list[Mark]:
    x, y = at
    return [
        shape((x - 3.4, y - 3.4), (x + 3.4, y - 3.4), (x + 3.4, y + 3.4), (x - 3.4, y + 3.4), fill="black"),
        Words(at=(x, y - 5.0), text=words, size=4.2, anchor="middle", bold=True),
    ]

"""What a class must buy: boards, glue, tape, ballast, devices, with spares and, where known, what it costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from skimwright.base import InputError, show_mass
from skimwright.boat import Kit, total_mass

SPARES = 0.05  # of boards and devices, at least one [-] [choice]
WASTE = 0.25  # glue in the gun and on the table, over what stays on the boat [-] [choice]
TAPE_OVER = 0.20  # tape to hold seams while the glue sets, over their length [-] [choice]
DISC = 0.005  # a steel washer of about 5 g, four to 20 g [kg] [choice]
TRIM_DISCS = 4  # for trimming, a boat [choice]
MOST_BALLAST = 0.5  # of the boat's own mass; more means the design is wrong [-] [choice]
BALLAST_WORDS = ("lead", "ballast", "washer")

LEAD_NOTE = (
    "Ballast: buy steel washers. They need no special care and do the same work.",
    "If lead is used all the same: an adult cuts it, out of doors or on wiped newspaper, with gloves; every piece is "
    "covered (paint, tape or heat-shrink) before a pupil touches it; everybody washes hands before eating; off-cuts "
    "go to a metal merchant, never into the pond or the bin.",
    "Some places forbid lead near water or in schools: local rules come first. Ask before you buy.",
)


@dataclass(frozen=True, kw_only=True)
class OrderLine:
    """One thing to buy."""

    item: str
    need: float  # used up by the boats
    spare: float
    unit: str  # "sheets", "g", "m", "pieces"
    why: str  # how the number came about
    price: float | None = None  # of one unit; None: not known

    @property
    def order(self) -> float:
        """Need and spares together."""
        return self.need + self.spare

    @property
    def cost(self) -> float | None:
        """What it comes to, if the price is known."""
        return None if self.price is None else self.order * self.price


@dataclass(frozen=True, kw_only=True)
class Order:
    """The whole list."""

    lines: tuple[OrderLine, ...]
    boats: int
    currency: str = ""
    notes: tuple[str, ...] = field(default=LEAD_NOTE)

    @property
    def total(self) -> float:
        """Of everything that has a price."""
        return sum(line.cost for line in self.lines if line.cost is not None)

    @property
    def without_price(self) -> tuple[str, ...]:
        """Things whose price nobody gave."""
        return tuple(line.item for line in self.lines if line.price is None)


@dataclass(frozen=True, kw_only=True)
class Prices:
    """What one unit of a thing costs, by its name in small letters."""

    currency: str = ""
    each: Mapping[str, float] = field(default_factory=dict)

    def of(self, item: str) -> float | None:
        """The price of the thing, or of its kind: "board" for every size of board."""
        name = item.casefold()
        for key in (name, name.split(",")[0], name.split()[0]):
            if key in self.each:
                return self.each[key]
        return None


def spares(need: int) -> int:
    """5 %, rounded up, at least one if any are needed."""
    return max(1, math.ceil(need * SPARES - 1e-9)) if need else 0


def class_order(
    boats: Sequence[tuple[Kit, int]],
    *,
    boards: Mapping[str, int],
    devices: Mapping[str, int] | None = None,
    ballast: float | None = None,
    disc: float = DISC,
    prices: Prices | None = None,
    own_sheets: bool = True,
) -> Order:
    """Everything a class needs.

    Parameters
    ----------
    boats : sequence of (Kit, int)
        Kits and how many boats of each.
    boards : mapping
        Sheets needed by size, from the nest: ``{"841 x 594 mm, 5 mm thick": 12}``.
    devices : mapping, optional
        How many of each device.
    ballast : float, optional
        Wanted on each boat; each kit's own (what is called lead, ballast or washers) if not given. [kg]
    disc : float
        One washer. [kg]
    prices : Prices, optional
        A thing without a price is listed all the same.
    own_sheets : bool
        Each boat was cut from sheets of its own.

    Raises
    ------
    InputError
        No boats, or more ballast than half the boat.

    Examples
    --------
    Six of Fold 62 need 6 sheets, 1 spare.
    """
    pairs = [(kit, count) for kit, count in boats if count > 0]
    if not pairs:
        raise InputError(what="There is no boat to order for", do="Give a kit and how many boats of it.")
    if not 0.0005 <= disc <= 0.1:
        raise InputError(
            what="A ballast disc cannot weigh that",
            got=show_mass(disc),
            allowed="0.5 to 100 g",
            do="Weigh ten of them and divide by ten.",
        )
    count = sum(number for _, number in pairs)
    cost = prices or Prices()
    shared = "each boat on sheets of its own" if own_sheets else "boats share sheets"
    lines = [
        _line(f"board, {size}", number, "sheets", f"from the nest, {shared}", cost, spare=spares(number))
        for size, number in boards.items()
    ]
    lines += _glue_and_tape(pairs, cost)
    lines.append(_discs(pairs, ballast, disc, cost))
    for name, number in (devices or {}).items():
        lines.append(_line(name, number, "pieces", "one a boat", cost, spare=spares(number)))
    return Order(lines=tuple(lines), boats=count, currency=cost.currency)


def _line(item: str, need: float, unit: str, why: str, prices: Prices, *, spare: float) -> OrderLine:
    return OrderLine(item=item, need=need, spare=spare, unit=unit, why=why, price=prices.of(item))


def _glue_and_tape(pairs: Sequence[tuple[Kit, int]], prices: Prices) -> list[OrderLine]:
    lines = []
    added: dict[str, float] = {}
    for kit, number in pairs:
        for item in kit.added:
            if item.spread_out:
                added[item.what] = added.get(item.what, 0.0) + item.mass * number
    for what, mass in added.items():
        grams = math.ceil(mass * 1e3 - 1e-6)
        why = "what stays on the boats as drawn, and a quarter more for the gun and the table"
        lines.append(_line(what, grams, "g", why, prices, spare=math.ceil(grams * WASTE)))
    seams = sum(number * seam_length(kit) for kit, number in pairs)
    if seams:
        metres = math.ceil(seams)
        why = f"{seams:.1f} m of seams, held while the glue sets"
        lines.append(_line("holding tape", metres, "m", why, prices, spare=math.ceil(metres * TAPE_OVER)))
    return lines


def seam_length(kit: Kit) -> float:
    """All glued lines of a boat together. [m]"""
    return sum(math.dist(joint.start, joint.end) for joint in kit.joints)


def own_ballast(kit: Kit) -> float:
    """The ballast a kit is drawn with. [kg]"""
    return sum(item.mass for item in kit.added if any(word in item.what.casefold() for word in BALLAST_WORDS))


def _discs(pairs: Sequence[tuple[Kit, int]], ballast: float | None, disc: float, prices: Prices) -> OrderLine:
    need, words = 0, []
    for kit, number in pairs:
        bare = total_mass(kit).mass - own_ballast(kit)
        mass = own_ballast(kit) if ballast is None else ballast
        if mass > MOST_BALLAST * (bare + (own_ballast(kit))):
            raise InputError(
                what=f"{kit.name}: so much ballast means that the design is wrong",
                got=f"{show_mass(mass)} for a boat of {show_mass(bare + own_ballast(kit))}",
                allowed=f"up to half the boat, {show_mass(MOST_BALLAST * (bare + own_ballast(kit)))}",
                do="Move the device or the pads until the boat balances, then ask again.",
            )
        each = math.ceil(mass / disc - 1e-9)
        need += number * each
        if each:
            words.append(f"{number} x {each} for {kit.name} ({show_mass(mass)})")
    boats = sum(number for _, number in pairs)
    why = ", ".join([*words, f"spare: {TRIM_DISCS} a boat for trimming"])
    item = f"washer, steel, {disc * 1e3:g} g"
    return _line(item, need, "pieces", why, prices, spare=TRIM_DISCS * boats)

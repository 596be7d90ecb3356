"""The changes a crew can make to one boat: what each is, how long it takes, and what it may never do."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from skimwright.base import ConflictError
from skimwright.boat import AsBuilt, Kit, running_form, spread, with_measured
from skimwright.desk.boats.check import drawn_value, mend_of
from skimwright.desk.boats.weigh import ballast_move
from skimwright.desk.seasons.season import Group
from skimwright.run import Move

DEGREE = math.pi / 180.0
Kind = Literal["mend", "ballast", "counter", "print again", "leave it"]

STATIONS = (0.1, 0.3, 0.5, 0.7, 0.9)  # of the length, along the middle [choice]
SHARES = (0.04, 0.08, 0.12)  # of the boat's mass, to whole 5 g [choice]
MOST = 0.15  # of the boat's mass that one change may put on [choice]
LEAST = 0.002  # less ballast than this is lost in the scale's grams [kg]
SHRUNK = 0.015  # a deck so far out was printed at another scale [-]


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One change that could be made."""

    move: Move
    says: str  # what to do
    undo: str
    kind: Kind
    minutes: float  # a crew's time for it [choice]
    mends: tuple[str, ...] = ()  # lines of the build card it puts right


LEAVE_IT = Candidate(
    move=Move(key="leave it"), says="Leave it as it is and run it again.", undo="", kind="leave it", minutes=0.0
)  # fmt: skip


def side(value: float) -> str:
    """starboard or port."""
    return "starboard" if value > 0 else "port"


def candidates(kit: Kit, built: AsBuilt, group: Group) -> tuple[Candidate, ...]:
    """Every change worth a try on this boat, within its class's mass; the device only goes back to its line."""
    body = with_measured(kit, built)
    every = [
        *_mends(kit, built), *_level(kit, built, body.mass), *_back_in_place(kit, built, group, body.mass),
        *counters(kit),
    ]  # fmt: skip
    return tuple(each for each in every if within_class(group, body.mass + each.move.mass))


def within_class(group: Group, mass: float) -> bool:
    """Whether a boat of this mass may start in its class."""
    return (group.mass_min or 0.0) - 1e-9 <= mass <= (group.mass_max or math.inf) + 1e-9


def ballast_cells(kit: Kit, built: AsBuilt, group: Group) -> tuple[Candidate, ...]:
    """Ballast at every place of the map, in three masses, and a little on each sponson."""
    body = with_measured(kit, built)
    height = _shelf(kit, float(body.centre[2]))
    masses = [max(0.005, 0.005 * round(share * body.mass / 0.005)) for share in SHARES]
    cells = [_ballast(mass, (station * kit.length, 0.0, height)) for station in STATIONS for mass in masses]
    if (place := sponson(kit)) is not None:
        cells += [_ballast(masses[0], (place[0], way * place[1], height)) for way in (-1.0, 1.0)]
    return tuple(cell for cell in cells if within_class(group, body.mass + cell.move.mass))


def sponson(kit: Kit) -> tuple[float, float] | None:
    """Middle of the starboard sponson: x and y, None for a boat without pads. [m]"""
    if kit.design is None:
        return None
    d = kit.design
    return 0.5 * (d.pod_front + d.pod_rear), 0.5 * (d.beam - d.pod_width)


def _shelf(kit: Kit, usual: float) -> float:
    return 0.5 * kit.design.deck_height if kit.design else usual


def _ballast(mass: float, place: tuple[float, float, float], mends: tuple[str, ...] = ()) -> Candidate:
    x, y, _ = place
    aside = f" and {abs(y) * 1e3:.0f} mm to {side(y)}" if abs(y) >= 0.001 else ""
    grams = f"{mass * 1e3:.0f} g"
    return Candidate(
        move=Move(key=f"{grams} at {x * 1e3:.0f}, {y * 1e3:.0f}", mass=mass, place=place),
        says=f"Put {grams} {x * 1e3:.0f} mm from the bow{aside}.",
        undo=f"Take the {grams} off again.",
        kind="mend" if mends else "ballast",
        minutes=3.0,
        mends=mends,
    )


def _mends(kit: Kit, built: AsBuilt) -> Iterator[Candidate]:
    """Whatever was measured off its drawing by more than the measurement, put back."""
    spreads = spread(built, kit=kit)
    for key, (minutes, say) in _MENDS.items():
        move = mend_of(kit, built, key)
        if move is None:
            continue
        off = getattr(built, key) - drawn_value(kit, key)
        if (key in ("mass", "water_gain") and off <= 0.0) or abs(off) <= spreads[key].sd:
            continue
        yield Candidate(
            move=move, says=say(off), undo="Put it back as the card said before.", kind="mend",
            minutes=minutes, mends=(key,),
        )  # fmt: skip


def _deg(value: float) -> str:
    return f"{abs(value) / DEGREE:.1f} deg"


_MENDS: dict[str, tuple[float, Callable[[float], str]]] = {
    "blade_yaw": (5.0, lambda d: f"Straighten the blade: turn its trailing edge {_deg(d)} to {side(-d)}."),
    "device_y": (
        15.0, lambda d: f"Move the device {abs(d) * 1e3:.0f} mm to {side(-d)}, back to the centre line.",
    ),
    "pad_angle_left": (10.0, lambda d: f"Shim the left pad {_deg(d)} {'nose-down' if d > 0 else 'nose-up'}."),
    "pad_angle_right": (10.0, lambda d: f"Shim the right pad {_deg(d)} {'nose-down' if d > 0 else 'nose-up'}."),
    "pad_toe_left": (30.0, lambda d: f"Turn the left pad's front {_deg(d)} to {side(-d)}."),
    "pad_toe_right": (30.0, lambda d: f"Turn the right pad's front {_deg(d)} to {side(-d)}."),
    "floor_twist": (
        40.0, lambda d: f"Take {_deg(d)} of twist out of the floor: warm the glue line, square it, glue again.",
    ),
    "mass": (40.0, lambda d: f"Take off up to {d * 1e3:.0f} g of glue and paint, evenly all over."),
    "water_gain": (20.0, lambda d: "Dry it and seal every cut edge with tape or paint."),
}  # fmt: skip


def _level(kit: Kit, built: AsBuilt, mass: float) -> Iterator[Candidate]:
    """Ballast on the light side until it balances in the middle."""
    aside, place = built.balance_y, sponson(kit)
    if aside is None or place is None:
        return
    x, y = place
    ballast = 0.001 * round(1e3 * mass * abs(aside) / y)
    if LEAST <= ballast <= MOST * mass:
        yield _ballast(ballast, (x, -math.copysign(y, aside), _shelf(kit, 0.0)), ("balance_y",))


def _back_in_place(kit: Kit, built: AsBuilt, group: Group, mass: float) -> Iterator[Candidate]:
    """Ballast at an end until it balances where it is drawn."""
    if built.balance_x is None or abs(built.balance_x - drawn_value(kit, "balance_x")) <= 0.002:
        return
    try:
        move = ballast_move(
            kit, group, mass=mass, balance=built.balance_x, target=drawn_value(kit, "balance_x")
        )
    except ConflictError:
        return
    ballast = 0.001 * round(1e3 * move.mass)
    if not LEAST <= ballast <= MOST * mass:
        return
    light = built.mass is not None and built.mass < drawn_value(kit, "mass")
    yield _ballast(
        ballast, (move.place, 0.0, _shelf(kit, 0.0)), ("balance_x", "mass") if light else ("balance_x",)
    )


def counters(kit: Kit) -> Iterator[Candidate]:
    """Changes that mend nothing measured: they set one thing against another."""
    if running_form(kit).blade is not None:
        for way in (-1.0, 1.0):
            yield Candidate(
                move=Move(key=f"blade {side(way)}", shift={"blade_yaw": way * DEGREE}),
                says=f"Turn the blade's trailing edge 1 deg to {side(way)}.",
                undo=f"Turn it 1 deg back to {side(-way)}.", kind="counter", minutes=5.0,
            )  # fmt: skip
    if kit.design is not None:
        for way, word in ((-0.5, "nose-down"), (0.5, "nose-up")):
            both = {"pad_angle_left": way * DEGREE, "pad_angle_right": way * DEGREE}
            yield Candidate(
                move=Move(key=f"pads {word}", shift=both), says=f"Shim both pads 0.5 deg {word}.",
                undo="Take the shims out.", kind="counter", minutes=10.0,
            )  # fmt: skip


def print_again(kit: Kit, built: AsBuilt) -> Candidate | None:
    """A deck so far off its drawing that the whole printout was scaled."""
    if built.deck_length is None or abs(built.deck_length / kit.length - 1.0) < SHRUNK:
        return None
    bar = 100.0 * built.deck_length / kit.length
    return Candidate(
        move=Move(key="print again"),
        says=f"Measure the 100 mm bar on the templates; if it reads {bar:.0f} mm, print again at actual size.",
        undo="", kind="print again", minutes=240.0, mends=("deck_length",),
    )  # fmt: skip


def to_target(kit: Kit, built: AsBuilt, group: Group, target: float) -> Candidate:
    """The ballast that brings the balance point where somebody wants it.

    Raises
    ------
    InputError
        The place is outside the boat, or ballast cannot do it.
    ConflictError
        It would exceed the class's mass; the rule is quoted.
    """
    body = with_measured(kit, built)
    move = ballast_move(kit, group, mass=body.mass, balance=float(body.centre[0]), target=target)
    return _ballast(move.mass, (move.place, 0.0, _shelf(kit, float(body.centre[2]))))

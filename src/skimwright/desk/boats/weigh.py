"""The weigh-in: mass, balance point, three feet and the next ballast move, each with what the tools may be off.

Uncertainties are carried by the published rules (JCGM 100:2008) in `desk.weigh_uncertainty`.  What looks like a
slip is asked about and never changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from skimwright.base import ConflictError, Finding, InputError, MissingError, Where
from skimwright.boat import AsBuilt, Kit, running_form, spread
from skimwright.desk.boats.boat_list import Cell, Entry
from skimwright.desk.boats.check import Deviation, card_lines
from skimwright.desk.boats.questions import checks_by_column
from skimwright.desk.boats.weigh_uncertainty import Measured, combined
from skimwright.desk.seasons.season import Group, Season
from skimwright.physics import flotation, weighing

SCALE = 0.001  # standard uncertainty of one reading of a 1 g scale on a table [kg] [choice]
PLACE = 0.0005  # of a support's place [m] [choice]
KNIFE = 0.002  # of a knife edge: common practice [m] [choice]
PERIOD = 0.02  # of one timing of the twist [s]
STRING = 0.002  # of a string's length or spacing [m] [choice]
SUM_OFF = 0.002  # two scales and one may differ by so much before we ask [kg]
WETTING = 0.005  # water gain a run from which edges should be sealed [kg] [choice]
SIDE = 0.020  # balance so far aside is asked about [m]
WEIGH_RUNS = 96  # paired runs for each weighed deviation
QUICKEST = 0.2  # a shorter twist cannot be timed [s]


@dataclass(frozen=True, kw_only=True)
class TwoScales:
    """A scale under each of two supports."""

    front: float  # load shown [kg]
    rear: float
    front_place: float  # from the bow, or from the port support [m]
    rear_place: float
    resolution: float = SCALE  # standard uncertainty of each reading [kg]

    @property
    def mass(self) -> Measured:
        """Both loads together. [kg]"""
        return Measured(
            value=self.front + self.rear, uncertainty=combined([1.0, 1.0], [self.resolution, self.resolution])
        )

    @property
    def balance(self) -> Measured:
        """Balance point, in the supports' own measure. [m]"""
        spacing = self.rear_place - self.front_place
        value = self.front_place + weighing.balance_from_two_scales(
            front=self.front, rear=self.rear, spacing=spacing
        )
        whole = self.front + self.rear
        slopes = [
            -spacing * self.rear / whole**2,
            spacing * self.front / whole**2,
            self.front / whole,
            self.rear / whole,
        ]
        return Measured(
            value=value, uncertainty=combined(slopes, [self.resolution, self.resolution, PLACE, PLACE])
        )


@dataclass(frozen=True, kw_only=True)
class Readings:
    """What was written down; None is "not measured"."""

    along: TwoScales | None = None
    knife: float | None = None  # from the bow [m]
    single: float | None = None  # one weighing of the whole boat [kg]
    across: TwoScales | None = None  # places from the centre line: port -, starboard +
    dry: float | None = None  # [kg]
    wet: float | None = None  # [kg]
    wet_runs: int = 1  # runs between dry and wet
    period: float | None = None  # one whole twist on two strings [s]
    string_spacing: float = 0.5  # [m]
    string_length: float = 1.0  # [m]


@dataclass(frozen=True, kw_only=True)
class BallastMove:
    """Ballast that brings the balance point to where it is wanted."""

    mass: float  # [kg]
    place: float  # from the bow [m]
    target: float  # balance wanted [m]
    mass_after: float  # [kg]


@dataclass(frozen=True, kw_only=True)
class WeighIn:
    """One weighing of one boat."""

    name: str
    mass: Measured | None
    balance_x: Measured | None
    balance_y: Measured | None
    water_gain: Measured | None  # per run [kg]
    inertia: Measured | None  # about the upright line [kg m2]
    feet: flotation.Feet | None
    ballast: BallastMove | None
    deviations: tuple[Deviation, ...]
    built: AsBuilt  # the boat with what was weighed, for a forecast
    findings: tuple[Finding, ...] = ()

    @property
    def verdict(self) -> str:
        """pass, run with care, or ask: a question is open."""
        if any(finding.severity == "stop" for finding in self.findings):
            return "ask"
        if self.findings or any(line.ratio > 1.0 for line in self.deviations):
            return "run with care"
        return "pass"


def boat_to_weigh(season: Season, number: int) -> Entry:
    """The boat of that number, even if a question about it is open: a weighing may answer it.

    Raises
    ------
    MissingError
        There is no such boat.
    """
    for entry in season.boats:
        if entry.number == number:
            return entry
    raise MissingError(
        what=f"no boat {number} in this season",
        do="Give the number in the first column of boats.csv.",
        where=Where(field="boat"),
    )


def weigh_boat(
    season: Season,
    entry: Entry,
    readings: Readings,
    *,
    target: float | None = None,
    ballast_place: float | None = None,
    runs: int = WEIGH_RUNS,
    seed: int = 30480,
) -> WeighIn:
    """Work out one weighing.

    Parameters
    ----------
    season : Season
    entry : Entry
    readings : Readings
    target : float, optional
        Balance point wanted, from the bow; as drawn unless given. [m]
    ballast_place : float, optional
        Where ballast would go; near the bow or the stern unless given. [m]
    runs : int
        Paired runs for what each weighed deviation does on the water; 0 leaves that out.
    seed : int

    Raises
    ------
    InputError
        A scale shows nought, a place is outside the boat, a twist is too quick, nothing was measured.
    ConflictError
        The ballast would take the boat over its class's mass.
    """
    kit, group = season.kit_of(entry), season.groups[entry.group]
    _refuse(readings, kit)
    mass, mass_questions = _mass(readings)
    questions = [*mass_questions, *_ask_mass(season, entry, mass)]
    balance_x = _balance_x(readings)
    questions += _ask_balance(season, entry, balance_x)
    balance_y = readings.across.balance if readings.across else None
    questions += _ask_side(entry, balance_y)
    water, wet_questions = _water(readings, entry)
    questions += wet_questions
    sure = not any(finding.severity == "stop" for finding in questions)
    built = _with(entry.built, mass, balance_x, balance_y, water) if sure else entry.built
    feet = _feet(kit, balance_x, balance_y)
    wants = _target(kit, target)
    _check_place(kit, ballast_place)
    ballast = None
    if sure and mass and balance_x and (target is not None or abs(wants - balance_x.value) > KNIFE):
        ballast = ballast_move(
            kit, group, mass=mass.value, balance=balance_x.value, target=wants, place=ballast_place
        )
    return WeighIn(
        name=entry.label,
        mass=mass,
        balance_x=balance_x,
        balance_y=balance_y,
        water_gain=water,
        inertia=_inertia(readings, mass),
        feet=feet,
        ballast=ballast,
        deviations=_lines(season, replace(entry, built=built), runs, seed) if sure else (),
        built=built,
        findings=(*questions, *(feet.findings if feet else ())),
    )


def ballast_move(
    kit: Kit, group: Group, *, mass: float, balance: float, target: float, place: float | None = None
) -> BallastMove:
    """Ballast at one place that brings the balance point to where it is wanted.

    Parameters
    ----------
    kit : Kit
    group : Group
        Its class rule is never exceeded.
    mass : float, > 0
        Before. [kg]
    balance : float
        Before, from the bow. [m]
    target : float
        Wanted, from the bow. [m]
    place : float, optional
        Of the ballast, from the bow; a tenth of the length from the end unless given. [m]

    Raises
    ------
    InputError
        The place is outside the boat, or ballast there cannot do it.
    ConflictError
        It would exceed the class's mass.
    """
    length = kit.length
    _check_place(kit, place)
    at = (0.1 * length if target < balance else 0.95 * length) if place is None else place
    ballast = weighing.ballast_for_balance(mass=mass, balance=balance, wanted=target, ballast_place=at)
    after = mass + ballast
    if group.mass_max is not None and after > group.mass_max:
        raise ConflictError(
            what=f"With this ballast the boat is over the mass of {group.name}",
            got=f"{mass * 1e3:.0f} g and {ballast * 1e3:.1f} g = {after * 1e3:.0f} g",
            allowed=f"{group.name}: up to {group.mass_max * 1e3:.0f} g ready to run",
            do="Take something off first, or put less ballast further out.",
        )
    return BallastMove(mass=ballast, place=at, target=target, mass_after=after)


def _refuse(readings: Readings, kit: Kit) -> None:
    """What no weighing can be worked out from."""
    loads = [(f"the {word} scale", load) for word, load in _loads(readings)]
    for word, load in loads:
        if load <= 0.0:
            raise InputError(
                what=f"{word[0].upper()}{word[1:]} shows nought",
                got=f"{load * 1e3:g} g",
                allowed="more than 0 g",
                do="Is it switched on, and does the boat stand on it? Weigh again.",
            )
    if readings.along:
        for place in (readings.along.front_place, readings.along.rear_place):
            if not 0.0 <= place <= kit.length:
                raise InputError(
                    what="A support is outside the boat", got=f"{place * 1e3:.0f} mm",
                    allowed=f"0 to {kit.length * 1e3:.0f} mm from the bow", do="Measure it from the bow.",
                )  # fmt: skip
        if readings.along.rear_place - readings.along.front_place < 0.2 * kit.length:
            raise InputError(
                what="The two supports are too close together",
                got=f"{(readings.along.rear_place - readings.along.front_place) * 1e3:.0f} mm apart",
                allowed=f"{200 * kit.length:.0f} mm or more, the front one nearer the bow",
                do="Put them further apart; a small error of the scales then counts less.",
            )
    if readings.period is not None and readings.period < QUICKEST:
        raise InputError(
            what="Too quick a twist to time",
            got=f"{readings.period:g} s",
            allowed=f"{QUICKEST:g} s or more, for one whole twist",
            do="Use longer strings, or put them closer together, and time ten twists.",
        )
    if not loads and readings.knife is None and readings.period is None:
        raise InputError(
            what="Nothing was weighed",
            allowed="two scales, one scale, a knife edge, or a twist",
            do="For example --front-g 161 --rear-g 108 --front-mm 200 --rear-mm 560.",
        )


def _loads(readings: Readings) -> list[tuple[str, float]]:
    found = []
    for pair, words in ((readings.along, ("front", "rear")), (readings.across, ("port", "starboard"))):
        if pair:
            found += [(words[0], pair.front), (words[1], pair.rear)]
    for word, load in (("single", readings.single), ("dry", readings.dry), ("wet", readings.wet)):
        if load is not None:
            found.append((word, load))
    return found


def _mass(readings: Readings) -> tuple[Measured | None, list[Finding]]:
    """The boat's mass; a single weighing is surer than two scales together."""
    weighed = [
        (word, pair.mass)
        for word, pair in (("two scales", readings.along), ("the two sides", readings.across))
        if pair
    ]
    if readings.single is not None:
        weighed.insert(0, ("one scale", Measured(value=readings.single, uncertainty=SCALE)))
    if not weighed and readings.dry is not None:
        weighed = [("the dry weighing", Measured(value=readings.dry, uncertainty=SCALE))]
    if not weighed:
        return None, []
    first_word, first = weighed[0]
    questions = [
        Finding(
            code="weighings-differ", severity="stop",
            what=f"{first_word[0].upper()}{first_word[1:]} say {first.value * 1e3:.1f} g, {word} "
            f"{other.value * 1e3:.1f} g.",
            why="They should agree within 2 g. Was something left on a scale, or a support touching the table?",
            do="Weigh again.",
        )
        for word, other in weighed[1:]
        if abs(other.value - first.value) > SUM_OFF + 1e-9
    ]  # fmt: skip
    return first, questions


def _ask_mass(season: Season, entry: Entry, mass: Measured | None) -> list[Finding]:
    """Ounces, a slipped decimal, or the wrong boat."""
    if mass is None:
        return []
    cell = Cell(column="mass_g", text=f"{mass.value * 1e3:g}", value=mass.value, has_unit=False)
    asked = checks_by_column(season.kits)["mass_g"](cell, entry)
    if asked is None:
        return []
    fits = [
        kit.name for kit in season.kits.values()
        if kit.name != entry.kit and abs(mass.value / _drawn(kit, "mass") - 1.0) < 0.15
    ]  # fmt: skip
    other = f" Or is it another boat? It weighs as a {' or a '.join(fits)} does." if fits else ""
    return [
        Finding(
            code=asked.code, severity="stop", what=asked.what, why=asked.why + other,
            do="Nothing is changed: weigh again, with the unit behind the number (13.5oz).", where=entry.label,
        )
    ]  # fmt: skip


def _ask_balance(season: Season, entry: Entry, balance: Measured | None) -> list[Finding]:
    if balance is None:
        return []
    cell = Cell(column="balance_x_mm", text=f"{balance.value * 1e3:g}", value=balance.value, has_unit=False)
    asked = checks_by_column(season.kits)["balance_x_mm"](cell, entry)
    return [asked] if asked else []


def _ask_side(entry: Entry, balance: Measured | None) -> list[Finding]:
    if balance is None or abs(balance.value) < SIDE:
        return []
    return [
        Finding(
            code="balance-side",
            severity="stop",
            what=f"It balances {abs(balance.value) * 1e3:.0f} mm to {_side(balance.value)} of the middle.",
            why="Is the device off centre, or were the two supports not equally far from the middle?",
            do="Look at the device first, then weigh the sides again.",
            where=entry.label,
        )
    ]


def _side(value: float) -> str:
    return "starboard" if value > 0 else "port"


def _balance_x(readings: Readings) -> Measured | None:
    if readings.along:
        return readings.along.balance
    return Measured(value=readings.knife, uncertainty=KNIFE) if readings.knife is not None else None


def _water(readings: Readings, entry: Entry) -> tuple[Measured | None, list[Finding]]:
    """Water taken up in a run."""
    if readings.dry is None or readings.wet is None:
        return None, []
    gain = (readings.wet - readings.dry) / readings.wet_runs
    measured = Measured(
        value=gain, uncertainty=combined([1.0 / readings.wet_runs, -1.0 / readings.wet_runs], [SCALE, SCALE])
    )
    if gain < 0.0:
        return None, [
            Finding(
                code="wet-lighter",
                severity="stop",
                what=f"Wet it weighs {readings.wet * 1e3:.1f} g, dry {readings.dry * 1e3:.1f} g.",
                why="Which weighing was which?",
                do="If the two were exchanged, write them the other way round; if not, weigh again.",
                where=entry.label,
            )
        ]
    if gain < WETTING:
        return measured, []
    return measured, [
        Finding(
            code="takes-up-water",
            severity="warning",
            what=f"It takes up {gain * 1e3:.1f} g of water a run: {gain * 4e3:.0f} g after four runs.",
            why="Each run is heavier and slower than the last, and the balance point moves to where the water sits.",
            do="Dry it, seal the edges, and weigh it again after a run.",
            where=entry.label,
        )
    ]


def _inertia(readings: Readings, mass: Measured | None) -> Measured | None:
    """Turning inertia from a twist on two strings."""
    if readings.period is None or mass is None:
        return None
    value = weighing.swing_inertia(
        mass=mass.value, string_spacing=readings.string_spacing, string_length=readings.string_length,
        period=readings.period,
    )  # fmt: skip
    shares = [
        mass.uncertainty / mass.value, 2 * STRING / readings.string_spacing,
        STRING / readings.string_length, 2 * PERIOD / readings.period,
    ]  # fmt: skip
    return Measured(value=value, uncertainty=value * combined([1.0] * 4, shares))


def _feet(kit: Kit, balance_x: Measured | None, balance_y: Measured | None) -> flotation.Feet | None:
    if balance_x is None:
        return None
    pads, stern = kit.contacts
    return flotation.feet_shares(
        centre_x=balance_x.value,
        centre_y=balance_y.value if balance_y else 0.0,
        pad_contact=pads,
        stern_contact=stern,
        pad_spread=running_form(kit).pad_spread,
    )


def _target(kit: Kit, target: float | None) -> float:
    wants = _drawn(kit, "balance_x") if target is None else target
    if not 0.0 < wants < kit.length:
        raise InputError(
            what="The wanted balance point is outside the boat", got=f"{wants * 1e3:.0f} mm",
            allowed=f"0 to {kit.length * 1e3:.0f} mm from the bow", do="Measure it from the bow.",
        )  # fmt: skip
    return wants


def _drawn(kit: Kit, key: str) -> float:
    return float(spread(AsBuilt(boat=""), kit=kit)[key].mean)


def _with(
    built: AsBuilt, mass: Measured | None, x: Measured | None, y: Measured | None, water: Measured | None
) -> AsBuilt:
    """The boat as built with what was weighed in place of what was written before."""
    values: Mapping[str, Measured | None] = {
        "mass": mass, "balance_x": x, "balance_y": y, "water_gain": water,
    }  # fmt: skip
    new: dict[str, Any] = {key: float(m.value) for key, m in values.items() if m is not None}
    return replace(built, **new)


def _lines(season: Season, entry: Entry, runs: int, seed: int) -> tuple[Deviation, ...]:
    """The weighed lines of the build card."""
    keys = [key for key in ("mass", "balance_x", "balance_y", "water_gain") if key in entry.built.measured]
    return card_lines(season, entry, keys=keys, runs=runs, seed=seed)[0]


def _check_place(kit: Kit, place: float | None) -> None:
    if place is not None and not 0.0 <= place <= kit.length:
        raise InputError(
            what="The place for the ballast is outside the boat",
            got=f"{place * 1e3:.0f} mm",
            allowed=f"0 to {kit.length * 1e3:.0f} mm from the bow",
            do="Choose a place on the boat.",
        )

"""The build check: twelve measurements of a boat, what each does on the water, and pass, mend or run with care.

The card is the same for everybody; how far a boat may be from its drawing grows for younger builders.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skimwright.base import Finding, InputError
from skimwright.boat import AsBuilt, Kit, spread
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.boats.turned import turned_pads, turned_parts
from skimwright.desk.seasons.season import Group, Season
from skimwright.run import LEFT_ALONE, Move, Outcome, Range, Trials, difference

DEGREE = math.pi / 180.0
Verdict = Literal["pass", "mend", "run with care"]
Stop = Callable[[], bool]
Progress = Callable[[int, int], None]

CHECK_RUNS = 240  # paired runs for each deviation

# The twelve, in the order of the card: what to call it, what to measure it with, its unit and what that is in SI.
CARD: dict[str, tuple[str, str, str, float]] = {
    "deck_length": ("deck length", "steel rule along the deck", "mm", 1e-3),
    "mass": ("mass, ready to run", "kitchen scale", "g", 1e-3),
    "balance_x": ("balance point from the bow", "two scales or a knife edge", "mm", 1e-3),
    "balance_y": ("balance point to starboard", "a scale under each side", "mm", 1e-3),
    "pad_angle_left": ("left pad's angle error", "angle card", "deg", DEGREE),
    "pad_angle_right": ("right pad's angle error", "angle card", "deg", DEGREE),
    "pad_toe_left": ("left pad's toe", "long ruler along the pad", "deg", DEGREE),
    "pad_toe_right": ("right pad's toe", "long ruler along the pad", "deg", DEGREE),
    "blade_yaw": ("blade's angle", "string along the keel line", "deg", DEGREE),
    "floor_twist": ("twist of the floor", "heights of the four corners on a flat table", "deg", DEGREE),
    "device_y": ("device off the centre line", "ruler from both walls", "mm", 1e-3),
    "water_gain": ("water soaked up in a run", "kitchen scale, dry and wet", "g", 1e-3),
}

# Class spreads that a measurement may be off, by the oldest builder of the group [choice]: nearly every boat of
# older builders (2 standard deviations), with more room for younger hands.
ROOM_BY_AGE: tuple[tuple[int, float], ...] = ((9, 3.0), (11, 2.5), (99, 2.0))
FAR = 1.5  # times the allowed: beyond it the boat is to be mended, within it run with care [choice]
COSTLY = 0.05  # gate chance that a line over its allowance must cost for the boat to be mended [choice]
# Standard uncertainties from which a twist is told: 1.2 deg over 160 mm is then found nine times in ten, and one flat
# floor in eight is measured once more [choice].
TOLD = 1.5
NOSE_CARE = 0.10  # chance of a lifting nose, wind straight ahead, from which a boat is run with care [choice]


@dataclass(frozen=True, kw_only=True)
class OnWater:
    """What one deviation does by itself: the runs with it less the very same runs without it."""

    drift: Range | None  # at the gate's line, to starboard + [m]; None: no run reached it
    distance: Range | None  # [m]
    gate_time: Range | None  # [s]
    through: float  # change of the chance through the gate [-]


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """One line of the card."""

    key: str
    what: str
    unit: str
    measured: float  # in its unit
    drawn: float
    allowed: float  # either way, in its unit
    effect: OnWater | None  # None: it cannot be put into the model

    @property
    def off(self) -> float:
        """Measured less drawn, in its unit."""
        return self.measured - self.drawn

    @property
    def ratio(self) -> float:
        """How many times the allowed it is off; soaking up less than usual is never a fault."""
        off = max(self.off, 0.0) if self.key == "water_gain" else abs(self.off)
        return off / self.allowed


@dataclass(frozen=True, kw_only=True)
class Missing:
    """One line nobody measured."""

    key: str
    what: str
    tool: str
    of_drift: float  # share of the spread of drift that goes with not knowing it [-]
    of_distance: float


@dataclass(frozen=True, kw_only=True)
class Override:
    """An inspector's own verdict; name and reason are kept with it."""

    verdict: Verdict
    name: str
    reason: str

    def __post_init__(self) -> None:
        for what, text in (("name", self.name), ("reason", self.reason)):
            if not text.strip():
                raise InputError(
                    what=f"An override without a {what}",
                    allowed=f"the inspector's {what}",
                    do="Write who decided and why; both are kept with the verdict.",
                )


@dataclass(frozen=True, kw_only=True)
class BuildCheck:
    """The card of one boat, filled in."""

    name: str
    verdict: Verdict
    reasons: tuple[str, ...]  # never empty
    deviations: tuple[Deviation, ...]  # in the order of the card
    missing: tuple[Missing, ...]  # the one that would help most first
    nose: float  # chance that the nose lifts, the day's wind straight ahead [-]
    override: Override | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def stands(self) -> Verdict:
        """The verdict that counts: the inspector's, if there is one."""
        return self.override.verdict if self.override else self.verdict


def room_for(group: Group) -> float:
    """Class spreads that builders of this group may be off. [-]"""
    return next(room for oldest, room in ROOM_BY_AGE if group.age_to <= oldest)


def allowed(kit: Kit, group: Group) -> dict[str, float]:
    """How far each measurement of the card may be from the drawing, either way, in SI."""
    room = room_for(group)
    return {
        key: room * float(getattr(kit.tolerances, key.removesuffix("_left").removesuffix("_right")))
        for key in CARD
    }


def check_boat(
    season: Season,
    entry: Entry,
    *,
    runs: int = CHECK_RUNS,
    seed: int = 30480,
    lengths: Mapping[str, tuple[float, float]] | None = None,
    ends: Mapping[str, tuple[float, float]] | None = None,
    override: Override | None = None,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> BuildCheck:
    """Fill in the card of one boat.

    Parameters
    ----------
    season : Season
    entry : Entry
    runs : int
        Paired runs for each deviation.
    seed : int
    lengths : mapping, optional
        Other parts measured: name to (measured, drawn). [m]
    ends : mapping, optional
        Parts that may be turned end for end: code to heights 50 mm in from the front and from the rear. [m]
    override : Override, optional
    progress, stop : as in :meth:`skimwright.run.moves.Trials.make`

    Raises
    ------
    InputError
        The boat cannot float, or its kit cannot run.
    """
    kit, built = season.kit_of(entry), entry.built
    found, trials, left = card_lines(
        season, entry, keys=built.measured, runs=runs, seed=seed, progress=progress, stop=stop
    )
    odd = (
        *_scale_findings(kit, built, lengths or {}), *turned_pads(kit, built), *turned_parts(kit, ends or {}),
    )  # fmt: skip
    nose = left.mean("nose") if left else math.nan
    verdict, reasons = _judge(found, odd, nose, entry)
    return BuildCheck(
        name=entry.label, verdict=verdict, reasons=reasons, deviations=found,
        missing=_missing(trials, left), nose=nose, override=override,
        findings=(*entry.findings, *(f for f in odd if f.code not in {e.code for e in entry.findings})),
    )  # fmt: skip


def card_lines(
    season: Season,
    entry: Entry,
    *,
    keys: Iterable[str],
    runs: int,
    seed: int,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> tuple[tuple[Deviation, ...], Trials, Outcome | None]:
    """Lines of the card with what each does on the water; the runs they rest on; the boat left alone in them.

    No runs, or stopped: lines without their effect.
    """
    kit, built = season.kit_of(entry), entry.built
    room = allowed(kit, season.groups[entry.group])
    trials = Trials(question_about(season, entry, runs=max(runs, 20), seed=seed))
    mends = {key: mend_of(kit, built, key) for key in CARD if key in keys}
    if runs:
        known = [mend for mend in mends.values() if mend]
        trials.make([LEFT_ALONE, *known], runs=runs, progress=progress, stop=stop)
    left = trials.outcome(LEFT_ALONE) if trials.runs_of(LEFT_ALONE) else None
    lines = []
    for key, mend in mends.items():
        what, _, unit, si = CARD[key]
        lines.append(
            Deviation(
                key=key, what=what, unit=unit, measured=getattr(built, key) / si,
                drawn=drawn_value(kit, key) / si, allowed=room[key] / si,
                effect=_effect(trials, left, mend) if mend and left else None,
            )
        )  # fmt: skip
    return tuple(lines), trials, left


def drawn_value(kit: Kit, key: str) -> float:
    """What the drawing says of one line of the card, in SI."""
    mean: float = spread(AsBuilt(boat=""), kit=kit)[key].mean
    return mean


def mend_of(kit: Kit, built: AsBuilt, key: str) -> Move | None:
    """The change that puts one measured thing back as drawn; None where the model has no place for it."""
    value = getattr(built, key)
    if value is None or key == "deck_length":
        return None
    off = value - drawn_value(kit, key)
    if key == "mass":  # what is too much or too little lies all over the boat
        return Move(key=key, mass=-off)
    if key == "water_gain":
        return Move(key=key, factor={key: drawn_value(kit, key) / value if value > 0 else 1.0})
    return Move(key=key, shift={key: -off})


def _effect(trials: Trials, left: Outcome, mend: Move) -> OnWater:
    mended = trials.outcome(mend)

    def step(name: str) -> Range | None:
        return Range.of(np.asarray(getattr(left, name)) - np.asarray(getattr(mended, name)))

    return OnWater(
        drift=step("drift"),
        distance=step("distance"),
        gate_time=step("gate_time"),
        through=difference(left, mended, "through")[0],
    )


def _missing(trials: Trials, left: Outcome | None) -> tuple[Missing, ...]:
    """Lines nobody measured, with what not knowing them does to the spread."""
    found = []
    for key, (what, tool, _, _) in CARD.items():
        if trials.spreads[key].measured or key == "deck_length":
            continue
        shares = [0.0, 0.0]
        if left is not None:
            cause = trials.drawn[key][1 : left.runs + 1]
            shares = [linear_share(cause, np.asarray(getattr(left, name))) for name in ("drift", "distance")]
        found.append(Missing(key=key, what=what, tool=tool, of_drift=shares[0], of_distance=shares[1]))
    return tuple(sorted(found, key=lambda line: -max(line.of_drift, line.of_distance)))


def linear_share(cause: NDArray[np.float64], result: NDArray[np.float64]) -> float:
    """Share of the variance of ``result`` on a straight line of ``cause``, less what chance gives. [-]"""
    known = np.isfinite(cause) & np.isfinite(result)
    if known.sum() < 20 or np.ptp(cause[known]) == 0 or np.ptp(result[known]) == 0:
        return 0.0
    r = float(np.corrcoef(cause[known], result[known])[0, 1])
    return max(r * r - 1.0 / (int(known.sum()) - 1), 0.0)


def _judge(
    lines: tuple[Deviation, ...], odd: tuple[Finding, ...], nose: float, entry: Entry
) -> tuple[Verdict, tuple[str, ...]]:
    """The verdict and why."""
    reasons = [finding.sentence() for finding in odd]
    over = sorted((line for line in lines if line.ratio > 1.0), key=lambda line: -line.ratio)
    reasons += [
        f"{line.what[0].upper()}{line.what[1:]}: {line.measured:g} {line.unit}, drawn {line.drawn:.3g}, "
        f"{line.ratio:.1f} times what is allowed ({line.allowed:.2g} {line.unit} either way)."
        for line in over
        if line.key != "deck_length" or not odd
    ]
    if nose >= NOSE_CARE:
        reasons.append(
            f"With the day's wind straight ahead its nose lifts in {100 * nose:.0f} of a hundred runs: keep it out of "
            "a headwind until weight is further forward."
        )
    if odd or any(line.ratio > FAR or _costs(line) for line in over):
        return "mend", tuple(reasons)
    if len(lines) < 6:
        reasons.append(
            f"Only {len(lines)} of {len(CARD)} lines are measured; the rest is the class's spread."
        )
    if reasons:
        return "run with care", tuple(reasons)
    return "pass", (
        f"All {len(lines)} measured lines of {len(CARD)} are within what {entry.group} is allowed.",
    )


def _costs(line: Deviation) -> bool:
    return line.effect is not None and line.effect.through <= -COSTLY


def _scale_findings(
    kit: Kit, built: AsBuilt, lengths: Mapping[str, tuple[float, float]]
) -> tuple[Finding, ...]:
    pairs = dict(lengths)
    if built.deck_length is not None:
        pairs = {"DECK-1": (built.deck_length, kit.length), **pairs}
    return printed_scale(pairs)


def printed_scale(lengths: Mapping[str, tuple[float, float]]) -> tuple[Finding, ...]:
    """Are all lengths out by one factor (a scaled printout), or one part only (a cut)?

    Parameters
    ----------
    lengths : mapping
        Part to (measured, drawn). [m]

    Raises
    ------
    InputError
        A length is not positive.

    Holds
        Lengths over about 100 mm: half a millimetre of the rule is half a per cent there.
    """
    for part, (measured, drawn) in lengths.items():
        if measured <= 0.0 or drawn <= 0.0:
            raise InputError(
                what=f"{part} has no length", got=f"{measured * 1e3:g} mm measured, {drawn * 1e3:g} mm drawn",
                allowed="more than 0 mm", do="Measure it again.",
            )  # fmt: skip
    if not lengths:
        return ()
    off = {part: measured / drawn - 1.0 for part, (measured, drawn) in lengths.items()}
    out = {part: share for part, share in off.items() if abs(share) > 0.015}
    if not out:
        return ()
    common = float(np.median(list(off.values())))
    same = all(abs(share - common) < 0.008 for share in off.values())
    if same and abs(common) < 0.10:
        word, deed = ("short", "shrunk") if common < 0 else ("long", "enlarged")
        told = ", ".join(f"{p} {m * 1e3:.0f} for {d * 1e3:.0f} mm" for p, (m, d) in lengths.items())
        return (
            Finding(
                code="printout-scaled", severity="warning", what=f"{told}.",
                why=f"Are all lengths {abs(common) * 100:.0f} % {word}? Then the printout was {deed}.",
                do=f"Measure the 100 mm bar on the template: if it reads {100 * (1 + common):.0f} mm, print again "
                "at actual size.",
            ),
        )  # fmt: skip
    return tuple(
        Finding(
            code="part-length", severity="warning",
            what=f"{part} measures {lengths[part][0] * 1e3:.0f} mm, drawn {lengths[part][1] * 1e3:.0f} mm; "
            f"the others do not differ so.",
            why="One part was cut wrongly, or is another part.", do="Lay it on its template.",
        )
        for part in out
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Twist:
    """Twist of a floor and its standard uncertainty."""

    twist: float  # starboard side low at the stern + [rad]
    uncertainty: float  # [rad]

    @property
    def is_told(self) -> bool:
        """It stands out of what the rule may be off."""
        return abs(self.twist) > TOLD * self.uncertainty


def twist_from_corners(heights: tuple[float, ...], *, spacing: float, within: float = 0.001) -> Twist:
    """Twist of the floor from the heights of its four corners over a flat table.

    Parameters
    ----------
    heights : four floats
        Front left, front right, rear left, rear right. [m]
    spacing : float, > 0
        Between left and right corners. [m]
    within : float, > 0
        Each height is within this, either way, evenly. [m]

    Raises
    ------
    InputError
        Not four heights: any three lie in one plane, so they cannot tell.

    Source
        Geometry; the uncertainty by JCGM 100:2008 4.3.7 (even over +-a: a/sqrt 3), four heights alike (derived).

    Examples
    --------
    >>> found = twist_from_corners((0.034, 0.034, 0.002, 0.0), spacing=0.160)
    >>> round(math.degrees(found.twist), 2), round(math.degrees(found.uncertainty), 2)
    (0.72, 0.41)
    """
    if len(heights) != 4:
        raise InputError(
            what="Twist cannot be told",
            got=f"{len(heights)} heights",
            allowed="four: front left, front right, rear left, rear right",
            do="Any three corners lie in one plane; measure the fourth.",
        )
    if spacing <= 0.0:
        raise InputError(
            what="The corners are not apart", got=f"{spacing * 1e3:g} mm", allowed="more than 0 mm",
            do="Measure between the left and the right corner.",
        )  # fmt: skip
    front_left, front_right, rear_left, rear_right = heights
    twist = math.atan((rear_left - rear_right) / spacing) - math.atan((front_left - front_right) / spacing)
    return Twist(twist=twist, uncertainty=2.0 * within / math.sqrt(3.0) / spacing)


def with_twist(entry: Entry, twist: Twist) -> Entry:
    """The entry with a twist just measured."""
    return replace(entry, built=replace(entry.built, floor_twist=twist.twist))


def twist_findings(twist: Twist) -> tuple[Finding, ...]:
    """A twist that does not stand out of what the rule may be off is told so, never as none."""
    said = f"The corners say {abs(twist.twist) / DEGREE:.1f} deg of twist, +-{2 * twist.uncertainty / DEGREE:.1f} deg"
    if twist.is_told:
        low = "starboard" if twist.twist > 0 else "port"
        return (
            Finding(
                code="twist", severity="note", what=f"{said}, {low} side low at the stern.",
                do="Measure once more before you glue.",
            ),
        )  # fmt: skip
    return (
        Finding(
            code="twist-unsure", severity="note", what=f"{said}: that cannot be told from none.",
            do="Measure to half a millimetre with a steel rule, or further apart.",
        ),
    )  # fmt: skip

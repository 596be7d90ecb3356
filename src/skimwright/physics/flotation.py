"""How a boat floats at rest, how hard it rights itself, and how three feet share its weight.

Rest is the bottom of a bowl: the attitude of least height of the weight over the water it pushes aside.
So every rest found is a stable one, and loll, capsizing and a second rest upside down need no special
case.  Axes and signs as in ``hydrostatics``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from skimwright.base import Finding, InputError, ModelError
from skimwright.boat import Shell
from skimwright.physics.guard import require_positive
from skimwright.physics.hydrostatics import Array
from skimwright.physics.settling import Found, Problem

# Heels of the righting curve, both sides: close together where a flat bottom's edge leaves the water.
_STEPS = (0.0, 1, 2, 3, 5, 7, 10, 15, 20, 30, 40, 50, 60, 75, 90, 105, 120, 135, 150, 165, 180)
HEELS = tuple(math.radians(step) for step in (*(-s for s in _STEPS[:0:-1]), *_STEPS))
_STARTS = tuple(math.radians(heel) for heel in (0, 70, -70, 130, -130, 180))
_UPRIGHT = math.radians(45)  # a rest closer to the drawing than this counts as the right way up
_LISTS = math.radians(1)
_STEEP = math.radians(10)


@dataclass(frozen=True, kw_only=True)
class Attitude:
    """One way of lying at rest."""

    sinkage: float  # how deep the boat's origin lies under the surface [m]
    trim: float  # bow up + [rad]
    heel: float  # starboard down + [rad]
    metacentric_height: float  # slope of the righting arm with heel, here, free to trim [m]


@dataclass(frozen=True, kw_only=True)
class Lever:
    """The righting arm at one heel, the boat free to rise and to trim."""

    heel: float  # starboard down + [rad]
    arm: float  # buoyancy to starboard of the weight, level; + turns the boat to port [m]
    sinkage: float  # [m]
    trim: float  # [rad]


@dataclass(frozen=True, kw_only=True)
class Flotation:
    """A boat at rest.  When it does not float, every number but the excess is missing (nan)."""

    floats: bool
    excess_mass: float = 0.0  # how much too heavy it is [kg]
    draft_bow: float = math.nan  # water over the pad plane at x = 0 on the centre line [m]
    draft_stern: float = math.nan  # the same at the stern [m]
    trim: float = math.nan  # bow up + [rad]
    heel: float = math.nan  # starboard down + [rad]
    displaced: float = math.nan  # [m3]
    metacentric_height: float = math.nan  # GM transverse: slope of the righting arm at rest [m]
    righting: tuple[Lever, ...] = ()  # heel rising from -pi to pi, free to rise and trim
    # largest heel, on its weaker side, it comes back from; 0 if it lolls or turns over [rad]
    rights_up_to: float = math.nan
    largest_arm: float = math.nan  # largest righting arm on that side, of the heels tried [m]
    largest_arm_heel: float = math.nan  # where, counted from upright, without sign [rad]
    attitudes: tuple[Attitude, ...] = ()  # every stable rest found; the one described here comes first
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Feet:
    """Shares of the weight on three feet; a negative share would have to be held down."""

    left: float  # port pad [-]
    right: float  # starboard pad [-]
    stern: float  # [-]
    findings: tuple[Finding, ...] = ()


def rest_attitude(
    shell: Shell,
    *,
    mass: float,
    centre: Array,
    water_density: float,
    length: float | None = None,
    heels: Sequence[float] = HEELS,
) -> Flotation:
    """How a boat floats at rest, and how it answers when nudged.

    Parameters
    ----------
    shell : Shell
        Closed skin of everything that keeps water out.
    mass : float, > 0
        All-up mass. [kg]
    centre : float array (3,)
        Balance point, boat axes. [m]
    water_density : float, > 0
        [kg/m3]
    length : float, optional
        Where the stern draft is read; the shell's rear end if not given. [m]
    heels : floats, optional
        Where the righting curve is asked for, rising. [rad]

    Returns
    -------
    Flotation
        The rest reached from upright, the righting curve, and findings; a boat that turns over says so
        first.

    Raises
    ------
    InputError
        Mass or density is not positive, the balance point is not three finite numbers, or the skin does
        not close.
    ModelError
        No resting attitude was found.

    Holds
        Still water, no wind, a sealed shell that does not bend, no surface tension (which can hold up to
        7 g a metre of waterline).  No angle is assumed small.
    Trust
        Exact for the shape and balance as given.  On a 0.6 m boat, 1 mm of balance point is 0.09 mm at the
        bow.
    Source
        Least potential energy of weight and water; worked out in docs/physics/flotation.md (derived).
    Checked
        tests/published/hydro.csv; tests/properties/test_floating_boats.py.
    """
    problem = Problem.of(shell, mass=mass, centre=centre, water_density=water_density)
    excess = mass - water_density * problem.whole
    if excess >= 0:
        return Flotation(floats=False, excess_mass=excess, findings=(_too_heavy(excess),))
    attitudes = _all_rests(problem)
    rest = attitudes[0]
    stern = problem.length if length is None else length
    righting = _righting_curve(problem, rest, heels)
    side = _weaker_side(problem, rest)
    return Flotation(
        floats=True,
        draft_bow=rest.sinkage,
        draft_stern=rest.sinkage + stern * math.sin(rest.trim),
        trim=rest.trim,
        heel=rest.heel,
        displaced=problem.volume,
        metacentric_height=rest.metacentric_height,
        righting=righting,
        rights_up_to=side.rights_up_to,
        largest_arm=side.arm,
        largest_arm_heel=side.arm_heel,
        attitudes=attitudes,
        findings=_findings(attitudes),
    )


def righting_lever(shell: Shell, *, mass: float, centre: Array, water_density: float, heel: float) -> Lever:
    """The righting arm of a boat held at one heel, free to rise and to trim.

    Parameters
    ----------
    shell : Shell
        Closed skin of everything that keeps water out.
    mass : float, > 0
        All-up mass. [kg]
    centre : float array (3,)
        Balance point, boat axes. [m]
    water_density : float, > 0
        [kg/m3]
    heel : float
        Starboard down is positive. [rad]

    Returns
    -------
    Lever
        Arm, and the sinkage and trim that go with it.

    Raises
    ------
    InputError
        A number is out of its range, or the boat is too heavy to float.
    ModelError
        No balance was found at this heel.

    Holds
        As `rest_attitude`.
    Trust
        Exact for the shape and balance as given.
    Source
        Centre of buoyancy clipped exactly, beside the weight (derived).
    Checked
        tests/published/hydro.csv: foam_gz_1 … foam_gz_10, ssmm_box_25.
    """
    problem = Problem.of(shell, mass=mass, centre=centre, water_density=water_density)
    excess = mass - water_density * problem.whole
    if excess >= 0:
        raise InputError(
            what="The boat is too heavy to float",
            got=f"{mass * 1000:.0f} g",
            allowed=f"less than {(mass - excess) * 1000:.0f} g",
            do="Lighten it or seal more space.",
        )
    found = problem.settle((math.nan, 0.0, heel), free_to_heel=False)
    if found is None:
        raise ModelError(
            what=f"No balance was found at {math.degrees(heel):.0f} degrees of heel",
            do="Check the balance point: it most often lies beyond the end of the hull.",
        )
    return _lever(found)


def feet_shares(
    *, centre_x: float, centre_y: float, pad_contact: float, stern_contact: float, pad_spread: float
) -> Feet:
    """Which of its three feet, two pads and the stern, carries how much of a standing boat.

    Parameters
    ----------
    centre_x, centre_y : float
        Balance point, boat axes. [m]
    pad_contact : float
        How far aft of the bow the pads carry. [m]
    stern_contact : float, > pad_contact
        How far aft of the bow the stern carries, on the centre line. [m]
    pad_spread : float, > 0
        Between the middles of the pads. [m]

    Returns
    -------
    Feet
        Shares, which sum to 1, and a finding for each way it would fall.

    Raises
    ------
    InputError
        The stern foot is not behind the pads, or the pads are not apart.

    Holds
        Three feet on level ground, or running with no other vertical force.
    Trust
        Exact.
    Source
        Moments about the feet (derived).
    Checked
        tests/unit/physics/test_flotation.py.

    Examples
    --------
    >>> feet = feet_shares(
    ...     centre_x=0.3455, centre_y=0.0, pad_contact=0.255, stern_contact=0.605, pad_spread=0.22
    ... )
    >>> round(feet.left + feet.right, 2), round(feet.stern, 2)
    (0.74, 0.26)
    """
    require_positive(distance_from_pads_to_stern_foot=stern_contact - pad_contact, pad_spread=pad_spread)
    pads = (stern_contact - centre_x) / (stern_contact - pad_contact)
    tilt = centre_y / pad_spread
    left, right, stern = pads / 2 - tilt, pads / 2 + tilt, 1 - pads
    return Feet(left=left, right=right, stern=stern, findings=_falls(left, right, stern))


def _falls(left: float, right: float, stern: float) -> tuple[Finding, ...]:
    falls = (
        (stern < 0, "nose", "on its nose", "ahead of the pads", "aft"),
        (left + right < 0, "stern", "on its stern", "behind the stern foot", "forward"),
        (left < 0 < right, "starboard", "to starboard", "too far to starboard", "to port"),
        (right < 0 < left, "port", "to port", "too far to port", "to starboard"),
    )
    return tuple(
        Finding(
            code=f"falls-{code}",
            severity="stop",
            what=f"Stood on its three feet, it will fall {way}.",
            why=f"The balance point lies {place}.",
            do=f"Move weight {cure}.",
        )
        for it_falls, code, way, place, cure in falls
        if it_falls
    )


def _attitude(found: Found) -> Attitude:
    height, trim, heel = map(float, found.state)
    return Attitude(sinkage=-height, trim=trim, heel=heel, metacentric_height=found.slope)


def _lever(found: Found) -> Lever:
    height, trim, heel = map(float, found.state)
    return Lever(heel=heel, arm=found.arm, sinkage=-height, trim=trim)


def _all_rests(problem: Problem) -> tuple[Attitude, ...]:
    """Every different stable rest, the one reached from upright first."""
    found = [problem.settle((math.nan, 0.0, heel), free_to_heel=True) for heel in _STARTS]
    rests: list[Attitude] = []
    for one in found:
        if one is not None and not any(_same(problem, _attitude(one), known) for known in rests):
            rests.append(_attitude(one))
    if found[0] is None or not rests:
        raise _no_rest(problem)
    return tuple(rests)


def _no_rest(problem: Problem) -> ModelError:
    if problem.volume > 0.97 * problem.whole:
        return ModelError(
            what="The boat found no resting attitude",
            got=f"{100 * problem.volume / problem.whole:.1f} % of its sealed space under water",
            do="It is all but sunk: lighten it, or seal more space.",
        )
    return ModelError(
        what="The boat found no resting attitude",
        got=f"balance {problem.centre[0] * 1000:.0f} mm from the bow",
        do="Most often the balance point lies beyond the end of the hull: check it, and try again.",
    )


def _same(problem: Problem, one: Attitude, other: Attitude) -> bool:
    turn = math.remainder(one.heel - other.heel, 2 * math.pi)
    return abs(turn) + abs(one.trim - other.trim) < 1e-4 and (
        abs(one.sinkage - other.sinkage) < 1e-4 * problem.size[0]
    )


def _righting_curve(problem: Problem, rest: Attitude, heels: Sequence[float]) -> tuple[Lever, ...]:
    """Walk outward from the rest on both sides, each answer the next start; leave out what has no balance."""
    levers: list[Lever] = []
    for side in (
        sorted(h for h in heels if h >= rest.heel),
        sorted((h for h in heels if h < rest.heel), reverse=True),
    ):
        near = rest.sinkage, rest.trim
        for heel in side:
            found = problem.settle((-near[0], near[1], heel), free_to_heel=False)
            if found is not None:
                levers.append(_lever(found))
                near = levers[-1].sinkage, levers[-1].trim
    return tuple(sorted(levers, key=lambda lever: lever.heel))


@dataclass(frozen=True, kw_only=True)
class _Side:
    rights_up_to: float
    arm: float
    arm_heel: float


def _weaker_side(problem: Problem, rest: Attitude) -> _Side:
    if abs(rest.heel) > _UPRIGHT:
        return _Side(rights_up_to=0.0, arm=0.0, arm_heel=0.0)
    return min((_side(problem, rest, sign) for sign in (1.0, -1.0)), key=lambda side: side.rights_up_to)


def _side(problem: Problem, rest: Attitude, sign: float) -> _Side:
    """Heel to one side until the arm stops righting, then close in on where."""
    near, best = (-rest.sinkage, rest.trim), (0.0, abs(rest.heel))
    inner, inner_arm = rest.heel, 0.0
    for step in _STEPS[1:]:
        outer = rest.heel + sign * math.radians(step)
        found = problem.settle((*near, outer), free_to_heel=False)
        if found is None:
            break
        if sign * found.arm <= 0:
            limit = _crossing(problem, near, (inner, inner_arm), (outer, found.arm))
            return _Side(rights_up_to=abs(limit), arm=best[0], arm_heel=best[1])
        best = max(best, (sign * found.arm, abs(outer)))
        inner, inner_arm, near = outer, found.arm, (float(found.state[0]), float(found.state[1]))
    return _Side(rights_up_to=abs(inner), arm=best[0], arm_heel=best[1])


def _crossing(
    problem: Problem, near: tuple[float, float], inner: tuple[float, float], outer: tuple[float, float]
) -> float:
    """Where the arm is nothing, to a thousandth of a degree, halving the bracket."""
    (low, _), (high, high_arm) = inner, outer
    while abs(high - low) > 2e-5:
        middle = (low + high) / 2
        found = problem.settle((*near, middle), free_to_heel=False)
        if found is not None and found.arm * high_arm > 0:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def _too_heavy(excess: float) -> Finding:
    grams = math.ceil(excess * 1000)
    return Finding(
        code="too-heavy",
        severity="stop",
        what=f"It does not float: it is {grams} g too heavy.",
        why="Wholly under water, its sealed space pushes aside less than it weighs.",
        do=f"Take out more than {grams} g, or seal more space.",
    )


def _findings(attitudes: tuple[Attitude, ...]) -> tuple[Finding, ...]:
    rest, others = attitudes[0], attitudes[1:]
    said = []
    if abs(rest.heel) > _UPRIGHT:
        said.append(
            Finding(
                code="turns-over",
                severity="stop",
                what=f"Set down upright, it turns over and rests {_heel_words(rest.heel)}.",
                why="The weight sits too high, or too far out, for this hull.",
                do="Move weight down and toward the middle, or widen the hull.",
            )
        )
    over = [other for other in others if abs(other.heel) > _UPRIGHT]
    if over:
        said.append(
            Finding(
                code="rests-capsized",
                severity="note",
                what="It also rests " + ", ".join(_heel_words(other.heel) for other in over) + ".",
                why="Once turned over, it stays so.",
                do="Have a pole ready to fetch it.",
            )
        )
    if _LISTS < abs(rest.heel) <= _UPRIGHT:
        low, high = ("starboard", "port") if rest.heel > 0 else ("port", "starboard")
        said.append(
            Finding(
                code="lists",
                severity="warning",
                what=f"At rest it leans {math.degrees(abs(rest.heel)):.1f} degrees to {low}.",
                why="The weight is off the centre line, or so high that the boat lolls.",
                do=f"Move weight to {high}; if it then leans the other way, move weight down.",
            )
        )
    if len(others) > len(over):
        said.append(
            Finding(
                code="two-rests",
                severity="warning",
                what="It has more than one rest the right way up.",
                why="A nudge can move it from one to the other.",
                do="Move weight down.",
            )
        )
    if abs(rest.trim) > _STEEP:
        end, way = ("stern", "forward") if rest.trim > 0 else ("bow", "aft")
        said.append(
            Finding(
                code="steep-trim",
                severity="warning",
                what=f"At rest its {end} hangs {math.degrees(abs(rest.trim)):.0f} degrees down.",
                why="The balance point is far from the middle of the floating hull.",
                do=f"Move weight {way}.",
            )
        )
    return tuple(said)


def _heel_words(heel: float) -> str:
    degrees = abs(math.degrees(heel))
    if degrees > 175:
        return "upside down"
    return f"at {degrees:.0f} degrees to {'starboard' if heel > 0 else 'port'}"

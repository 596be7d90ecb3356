"""Pegs and tape: from tape readings to places, and from places to the readings that find them again."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.optimize import least_squares

from skimwright.base import InputError

Spot = tuple[float, float]
Side = Literal["left", "right"]

NEAREST_PEGS = 10.0  # pegs closer than this find no post well [m]
TAPE_ERROR = 0.05  # what a tape over grass is good for [m], common practice
POST_ERROR = 0.30  # a post must stand as close as this to its place [m]
LONGEST_TAPE = 60.0  # [m]


@dataclass(frozen=True, kw_only=True)
class Taped:
    """One point of the shore by its tapes."""

    name: str
    tapes: Mapping[str, float]  # from each peg, by the peg's name; two or more [m]
    side: Side  # of the line from the first peg named to the second
    step: float | None = None  # from the point before, a check [m]


@dataclass(frozen=True, kw_only=True)
class Misfit:
    """How far one tape is from the place found."""

    point: str
    tape: str  # the peg's name, or "step"
    off: float  # reading less distance on the plan [m]


@dataclass(frozen=True, kw_only=True)
class Closure:
    """How well tapes agree with each other."""

    spare: int  # tapes more than needed; 0: nothing checks the plan
    rms: float  # of all misfits, over the spare tapes [m]
    worst: Misfit | None


@dataclass(frozen=True, kw_only=True)
class Bearings:
    """How to find a spot again: two tapes from two pegs."""

    first: str
    second: str
    first_tape: float  # [m]
    second_tape: float  # [m]
    side: Side  # of the line from the first peg to the second
    error: float  # how far off it can be, tapes being `TAPE_ERROR` wrong [m]


def locate(pegs: Mapping[str, Spot], points: Sequence[Taped]) -> tuple[tuple[Spot, ...], Closure]:
    """Places of taped points, by least squares over every tape at once.

    Parameters
    ----------
    pegs : mapping
        Their places. [m]
    points : sequence of Taped
        In order along the shore.

    Returns
    -------
    spots : tuple of Spot
        [m]
    closure : Closure
        What the spare tapes say.

    Raises
    ------
    InputError
        A peg is unknown, two pegs stand too close, or tapes cannot meet.

    Checked
        tests/unit/pond/test_survey.py: places known beforehand, and circles crossed by shapely.
    """
    if not points:
        return (), Closure(spare=0, rms=0.0, worst=None)
    guess = np.array([_first_guess(pegs, point) for point in points])
    names = [(i, peg) for i, point in enumerate(points) for peg in point.tapes]
    steps = [(i, point.step) for i, point in enumerate(points) if i and point.step is not None]
    read = np.array([points[i].tapes[peg] for i, peg in names] + [step for _, step in steps])
    at = np.array([i for i, _ in names])
    from_peg = np.array([pegs[peg] for _, peg in names])
    stepped = np.array([i for i, _ in steps], dtype=int)

    def misfits(flat: np.ndarray) -> np.ndarray:
        spots = flat.reshape(-1, 2)
        radial = np.linalg.norm(spots[at] - from_peg, axis=1)
        along = np.linalg.norm(spots[stepped] - spots[stepped - 1], axis=1)
        return np.asarray(read - np.concatenate([radial, along]))

    found = least_squares(misfits, guess.ravel(), xtol=1e-12, ftol=1e-12, gtol=1e-12)
    off = misfits(found.x)
    spots = tuple((float(east), float(north)) for east, north in found.x.reshape(-1, 2))
    spare = len(read) - 2 * len(points)
    worst = int(np.argmax(np.abs(off)))
    point, tape = (
        (points[at[worst]].name, names[worst][1])
        if worst < len(names)
        else (points[stepped[worst - len(names)]].name, "step")
    )
    closure = Closure(
        spare=spare,
        rms=float(math.sqrt(float(off @ off) / spare)) if spare > 0 else 0.0,
        worst=Misfit(point=point, tape=tape, off=float(off[worst])) if spare > 0 else None,
    )
    return spots, closure


def _first_guess(pegs: Mapping[str, Spot], point: Taped) -> Spot:
    """Where the first two tapes cross, on the side seen."""
    if len(point.tapes) < 2:
        raise InputError(
            what=f"point {point.name} has one tape",
            allowed="tapes from two pegs or more",
            do="Measure it from another peg too.",
        )
    for peg in point.tapes:
        if peg not in pegs:
            raise InputError(
                what=f"point {point.name} is measured from a peg that is not there",
                got=f'"{peg}"',
                allowed=", ".join(pegs),
                do="Write one of these, or add the peg.",
            )
    (first, a), (second, b) = list(point.tapes.items())[:2]
    try:
        return meeting(pegs[first], pegs[second], first_tape=a, second_tape=b, side=point.side)
    except InputError as error:
        raise InputError(
            what=f"point {point.name}, tapes from {first} and {second}: {error.what}",
            got=error.got,
            allowed=error.allowed,
            do=error.do,
        ) from error


def meeting(first: Spot, second: Spot, *, first_tape: float, second_tape: float, side: Side) -> Spot:
    """Where two tapes meet.

    Parameters
    ----------
    first, second : Spot
        Places of the pegs. [m]
    first_tape, second_tape : float
        [m]
    side : "left" or "right"
        Of the line from the first peg to the second.

    Raises
    ------
    InputError
        The pegs stand too close together, or the tapes are too short or too long to meet.

    Examples
    --------
    >>> meeting((0.0, 0.0), (10.0, 0.0), first_tape=5.0, second_tape=5.0 * 5**0.5, side="left")
    (0.0, 5.0)
    """
    base = math.dist(first, second)
    if base < NEAREST_PEGS:
        raise InputError(
            what="the two pegs stand too close together",
            got=f"{base:.2f} m apart",
            allowed=f"{NEAREST_PEGS:g} m or more",
            do="Put one of them farther away.",
        )
    along = (first_tape**2 - second_tape**2 + base**2) / (2.0 * base)
    square = first_tape**2 - along**2
    if square < -1e-6:  # less is rounding: the spot lies on the line of the pegs
        raise InputError(
            what="the two tapes do not meet",
            got=f"{first_tape:g} m and {second_tape:g} m from pegs {base:.2f} m apart",
            allowed="together longer than the pegs' distance, and neither longer than the other by more than it",
            do="Measure both again.",
        )
    ahead = ((second[0] - first[0]) / base, (second[1] - first[1]) / base)
    aside = math.sqrt(max(square, 0.0)) * (1.0 if side == "left" else -1.0)
    return (
        first[0] + along * ahead[0] - aside * ahead[1],
        first[1] + along * ahead[1] + aside * ahead[0],
    )


def side_of(spot: Spot, first: Spot, second: Spot) -> Side:
    """On which hand a spot lies when one looks from the first peg to the second."""
    turn = (second[0] - first[0]) * (spot[1] - first[1]) - (second[1] - first[1]) * (spot[0] - first[0])
    return "left" if turn >= 0.0 else "right"


def crossing_error(spot: Spot, first: Spot, second: Spot) -> float:
    """How far off a spot can be found when each tape is `TAPE_ERROR` wrong; huge when nearly in line. [m]

    Two tapes that cross at the angle c leave a kite: its half diagonal is e / sin(c/2) or e / cos(c/2), whichever
    is longer (derived).
    """
    a = math.atan2(spot[1] - first[1], spot[0] - first[0])
    b = math.atan2(spot[1] - second[1], spot[0] - second[0])
    angle = abs((a - b + math.pi) % (2.0 * math.pi) - math.pi)
    narrow = min(math.sin(0.5 * angle), math.cos(0.5 * angle))
    return TAPE_ERROR / max(narrow, 1e-9)


def bearings_of(spot: Spot, pegs: Mapping[str, Spot]) -> Bearings:
    """The two pegs that find a spot best, with their tapes.

    Raises
    ------
    InputError
        No two pegs find it: they stand too close together or nearly in line with it, or are too far away.
    """
    best: Bearings | None = None
    for (first, a), (second, b) in itertools.combinations(pegs.items(), 2):
        tapes = (math.dist(spot, a), math.dist(spot, b))
        if math.dist(a, b) < NEAREST_PEGS or max(tapes) > LONGEST_TAPE:
            continue
        error = crossing_error(spot, a, b)
        if error <= POST_ERROR and (best is None or error < best.error):
            best = Bearings(
                first=first,
                second=second,
                first_tape=tapes[0],
                second_tape=tapes[1],
                side=side_of(spot, a, b),
                error=error,
            )
    if best is None:
        raise InputError(
            what="no two pegs find this spot",
            got=f"east {spot[0]:.1f} m, north {spot[1]:.1f} m",
            allowed=f"two pegs {NEAREST_PEGS:g} m or more apart, each within {LONGEST_TAPE:g} m of it and not in "
            "line with it",
            do="Set another peg nearer, aside of the line, and add it to pond.toml.",
        )
    return best

"""Where every boat goes, run by run, from its own start: ahead and to starboard, at even moments.

The run model ends a run when the boat has turned 60 degrees off or is upside down.  The water does not: a hooked
boat is carried on along its last curve as far as its longest straight run would have gone, and a flipped one is
given the momentum bound.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import with_measured
from skimwright.physics import thrust
from skimwright.run import Question, forecast

Array = NDArray[np.float64]

STEP = 0.2  # between the moments of a path [s]
BATCH = 119  # runs asked for at once: all of them keep their path
GRAVITY = 9.80665  # [m/s2]
UNDER_WAY = 0.45  # the model ends no run so fast but those that hooked or flipped [m/s]
TIPPED = 0.35  # trim or heel of a boat that is going over, a line before the end [rad]
FAR_SPREADS = 4.0  # of a boat's distance over its mean: a normal run in 30,000 goes farther [choice]
NEAR = math.radians(15.0)  # runs of a heading stand for headings this near; the wind differs little
TIME, X, Y, SPEED, TRIM, HEEL = 0, 1, 2, 4, 5, 6  # columns of a kept path


@dataclass(frozen=True, kw_only=True)
class Runner:
    """One entered boat."""

    label: str
    group: str
    question: Question


@dataclass(frozen=True, kw_only=True, eq=False)
class Fleet:
    """Every run of every boat on one day's heading."""

    heading: float  # the wind is felt as on this heading [rad]
    labels: tuple[str, ...]
    groups: tuple[str, ...]  # of each boat
    lengths: Array  # (boats,) deck lengths [m]
    boat: NDArray[np.int64]  # (runs,)
    spots: Array  # (runs, moments, 2) ahead and to starboard of its start, every STEP [m]
    carried: NDArray[np.bool_]  # (runs,) hooked, and carried on
    flipped: NDArray[np.bool_]  # (runs,)
    ended: Array  # (runs, 2) where the model's run ended [m]
    bound: Array  # (runs,) how far from there it could get in any direction; 0: it stopped there [m]
    coasting: Array  # (runs,) the same for flipped boats if the push were cut [m]
    limits: Array  # (boats,) lowest air speed at which the pads lift off: 5 of a hundred builds [m/s]
    fastest: Array  # (boats,) 95 of a hundred runs are slower [m/s]

    @property
    def runs(self) -> int:
        """How many runs."""
        return len(self.boat)

    @property
    def ends(self) -> Array:
        """Where each boat lies at last. [m]"""
        return np.asarray(self.spots[:, -1])

    @property
    def longest(self) -> float:
        """Longest run to reckon with: the longest drawn, or four spreads over some boat's mean, whichever is more.

        The second keeps the rule from shrinking when few runs are drawn. [m]
        """
        distance = np.hypot(self.ended[:, 0], self.ended[:, 1])
        far = [each.mean() + FAR_SPREADS * each.std() for each in self._by_boat(distance)]
        return float(max(distance.max(), *far, 0.0))

    def _by_boat(self, values: Array) -> list[Array]:
        each = [values[self.boat == number] for number in range(len(self.labels))]
        return [those for those in each if len(those)]


def model_headings(headings: Sequence[float], planned: float) -> tuple[float, ...]:
    """The fewest headings whose runs stand for all: the planned one first, the others within 15 degrees of one.

    Examples
    --------
    >>> [round(math.degrees(h)) for h in model_headings([math.radians(d) for d in range(70, 125, 5)], math.radians(95))]
    [95, 75, 115]
    """
    found = [planned]
    for heading in sorted(headings):
        if all(abs(heading - each) > NEAR + 1e-9 for each in found):
            found.append(min(heading + NEAR, max(headings)))
    return tuple(found)


def fleet_paths(
    runners: Sequence[Runner],
    *,
    heading: float,
    runs: int,
    progress: Callable[[int, int], None] | None = None,
) -> Fleet:
    """Run every boat on one heading.

    Parameters
    ----------
    runners : sequence of Runner
        At least one.
    heading : float
        Of the launch line; the wind of each question is kept. [rad]
    runs : int
        For each boat, 20 or more; above 119, rounded up to whole batches of 119.
    progress : called with (runs done, runs in all)

    Returns
    -------
    Fleet
        The same for the same questions, whichever machine.
    """
    size = min(BATCH, max(runs, 20))
    batches = math.ceil(runs / size)
    found: list[dict[str, Array]] = []
    numbers: list[int] = []
    limits, fastest = [], []
    for number, runner in enumerate(runners):
        question = runner.question
        question = replace(question, conditions=replace(question.conditions, heading=heading))
        mass = with_measured(question.kit, question.built).mass
        pages: list[Array] = []
        ends: list[Array] = []
        low, top = math.inf, 0.0
        for batch in range(batches):
            answer = forecast(replace(question, runs=size, seed=question.seed + batch))
            pages += answer.paths
            ends.append(answer.ends[: len(answer.paths)])
            low, top = min(low, answer.blow_over.critical[0]), max(top, answer.top_speed.p95)
            if progress:
                done = (number * batches + batch + 1) * size
                progress(done, len(runners) * batches * size)
        farthest = max(_length(page) for page in pages)
        for page, end in zip(pages, np.concatenate(ends), strict=True):
            found.append(_path(page, end, question.device, mass, farthest))
            numbers.append(number)
        limits.append(low)
        fastest.append(top)
    moments = max(len(path["spots"]) for path in found)
    return Fleet(
        heading=heading,
        labels=tuple(runner.label for runner in runners),
        groups=tuple(runner.group for runner in runners),
        lengths=np.array([runner.question.kit.length for runner in runners]),
        boat=np.array(numbers, dtype=np.int64),
        spots=np.stack([_padded(path["spots"], moments) for path in found]),
        carried=np.array([bool(path["carried"]) for path in found]),
        flipped=np.array([bool(path["flipped"]) for path in found]),
        ended=np.stack([path["ended"] for path in found]),
        bound=np.array([float(path["bound"]) for path in found]),
        coasting=np.array([float(path["coasting"]) for path in found]),
        limits=np.array(limits),
        fastest=np.array(fastest),
    )


def _padded(spots: Array, moments: int) -> Array:
    """A boat that has stopped lies where it is."""
    return np.concatenate([spots, np.repeat(spots[-1:], moments - len(spots), axis=0)])


def _length(page: Array) -> float:
    return float(np.hypot(np.diff(page[:, X]), np.diff(page[:, Y])).sum())


def _path(page: Array, end: Array, device: thrust.Device, mass: float, farthest: float) -> dict[str, Array]:
    """One kept run thinned to even moments, carried on if it hooked, bounded if it flipped."""
    every = max(1, round(STEP / max(page[1, TIME] - page[0, TIME], 1e-3)))
    spots = np.concatenate([page[::every, [X, Y]], end[None]])
    last = page[-1]
    broken_off = bool(last[SPEED] > UNDER_WAY)
    flipped = broken_off and bool(max(abs(last[TRIM]), abs(last[HEEL])) > TIPPED)
    carried = broken_off and not flipped
    bound = coasting = 0.0
    if flipped:
        speed = float(last[SPEED])
        coasting = speed**2 / GRAVITY
        bound = flip_bound(speed=speed, mass=mass, impulse=impulse_left(device, last, mass))
    elif carried:
        bound = max(farthest - _length(page), 0.0)
        spots = np.concatenate([spots, _arc(page, end, bound)])
    return {
        "spots": spots, "ended": end, "carried": np.array(carried), "flipped": np.array(flipped),
        "bound": np.array(bound), "coasting": np.array(coasting),
    }  # fmt: skip


def _arc(page: Array, end: Array, length: float) -> Array:
    """The last curve carried on at the last speed, which no boat keeps: it comes as far and sooner."""
    now, before = page[-1], page[max(0, len(page) - 7)]
    middle = page[max(0, len(page) - 4)]
    ahead = math.atan2(now[Y] - middle[Y], now[X] - middle[X])
    was = math.atan2(middle[Y] - before[Y], middle[X] - before[X])
    turned = (ahead - was + math.pi) % (2.0 * math.pi) - math.pi
    gone = math.hypot(now[X] - middle[X], now[Y] - middle[Y])
    curve = turned / max(gone, 1e-6)
    speed = max(float(now[SPEED]), 1.0)
    steps = max(1, math.ceil(length / (speed * STEP)))
    along = np.linspace(0.0, length, steps + 1)[1:]
    angle = ahead + 0.5 * turned + curve * (along - 0.5 * along[0])
    piece = np.diff(np.concatenate([[0.0], along]))
    return np.asarray(
        end + np.cumsum(np.stack([piece * np.cos(angle), piece * np.sin(angle)], axis=1), axis=0)
    )


def flip_bound(*, speed: float, mass: float, impulse: float) -> float:
    """How far a flipped boat can get at the very most, whichever way it points.

    Parameters
    ----------
    speed : float
        When it flipped. [m/s]
    mass : float, > 0
        [kg]
    impulse : float
        What the device may still give. [N s]

    Returns
    -------
    float
        [m]

    Holds
        An upper bound: all that push in one direction at once, thrown at 45 degrees, no air, no water.
    Source
        (v + I/m)^2 / g: range of a throw from level ground (derived).

    Examples
    --------
    >>> round(flip_bound(speed=8.0, mass=0.3, impulse=0.0), 2)
    6.53
    """
    return (speed + impulse / mass) ** 2 / GRAVITY


def impulse_left(device: thrust.Device, line: Array, mass: float) -> float:
    """The most a device may still give after this line of a path. [N s]"""
    law, time = device.law, float(line[TIME])
    if isinstance(law, thrust.PropellerLaw):
        return law.static_thrust * max(law.timer - time, 0.0)
    if isinstance(law, thrust.Curve):
        given = (
            float(law.impulse_until(np.array([law.times[0] + time]))[0])
            if time < law.duration
            else law.total_impulse
        )
        return (law.total_impulse - given) * (1.0 + 3.0 * device.impulse_spread)
    speed = float(line[SPEED])
    pulled = 2.0 * law.steady_tension * max(law.reach - float(line[X]), 0.0) / mass
    return mass * (math.sqrt(speed**2 + pulled) - speed)

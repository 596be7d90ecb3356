"""What a draw is like, count by count: meetings, lanes, waiting, time of day."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import ceil, sqrt
from typing import Protocol


class Seen(Protocol):
    """A heat as the counts need it."""

    @property
    def number(self) -> int: ...
    @property
    def round(self) -> int: ...
    @property
    def lanes(self) -> Sequence[int | None]: ...


@dataclass(frozen=True, kw_only=True)
class Counts:
    """How fair a draw is; for each of these the smaller number is the better one, but for `shortest_wait`."""

    repeats: int  # sum over pairs of m (m - 1) / 2, m meetings
    most_meetings: int  # of any pair
    lane_excess: int  # starts in a lane beyond a boat's fair share of it
    most_in_one_lane: int  # of any boat
    shortest_wait: int  # heats from one race of a boat to its next; 1 is the very next heat
    longest_wait: int
    wait_spread: float  # root mean square of a wait less the even one, in heats
    lean: float  # root mean square of how far from the middle of the rounds a boat races on the whole, in rounds


def count(heats: Sequence[Seen], *, lanes: int) -> Counts:
    """The counts of a draw's heats, in the order of their numbers."""
    meetings: Counter[tuple[int, int]] = Counter()
    in_lane: dict[int, Counter[int]] = defaultdict(Counter)
    raced: dict[int, list[int]] = defaultdict(list)
    share: dict[int, list[float]] = defaultdict(list)
    of_round: dict[int, list[Seen]] = defaultdict(list)
    for heat in sorted(heats, key=lambda heat: heat.number):
        of_round[heat.round].append(heat)
    for its in of_round.values():
        for place, heat in enumerate(its):
            boats = [(boat, lane) for lane, boat in enumerate(heat.lanes) if boat is not None]
            meetings.update(combinations(sorted(boat for boat, _ in boats), 2))
            for boat, lane in boats:
                in_lane[boat][lane] += 1
                raced[boat].append(heat.number)
                share[boat].append((place + 0.5) / len(its))
    waits = [late - early for numbers in raced.values() for early, late in pairwise(numbers)] or [0]
    even = sum(map(len, of_round.values())) / max(1, len(of_round))
    means = [sum(shares) / len(shares) - 0.5 for shares in share.values()] or [0.0]
    excess = sum(
        max(0, times - ceil(len(raced[boat]) / lanes))
        for boat, lanes_had in in_lane.items()
        for times in lanes_had.values()
    )
    return Counts(
        repeats=sum(m * (m - 1) // 2 for m in meetings.values()),
        most_meetings=max(meetings.values(), default=0),
        lane_excess=excess,
        most_in_one_lane=max((max(had.values()) for had in in_lane.values()), default=0),
        shortest_wait=min(waits),
        longest_wait=max(waits),
        wait_spread=_root_mean_square([wait - even for wait in waits]),
        lean=_root_mean_square(means),
    )


def _root_mean_square(values: Sequence[float]) -> float:
    return sqrt(sum(value * value for value in values) / len(values))

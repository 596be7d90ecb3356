"""The qualifying queue: whose try is next, and when it will be over."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil

from skimwright.regatta.events import Event


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """One crew in the queue."""

    boat: int
    made: int  # tries
    left: int
    turn: int  # how far round the queue it is: a late crew joins the turn the others are at


@dataclass(frozen=True, kw_only=True)
class Queue:
    """The queue at one moment."""

    waiting: tuple[Waiting, ...] = ()  # the next to go first
    through: tuple[int, ...] = ()  # qualified, in the order in which they did
    out_of_tries: tuple[int, ...] = ()
    tries: Mapping[int, tuple[str, ...]] = field(default_factory=dict)  # by boat: how each try ended

    def tries_to_come(self) -> int:
        """If nobody gets through before its last try."""
        return sum(crew.left for crew in self.waiting)

    def ends(self, *, now: float, ramps: int, pace: float) -> float:
        """When it is over at the latest. [s]

        Parameters
        ----------
        now : float
            Since midnight. [s]
        ramps : int
        pace : float
            What one try takes. [s]
        """
        return now + ceil(self.tries_to_come() / ramps) * pace


def qualifying(events: Iterable[Event], allowed: Callable[[int], int]) -> Queue:
    """The queue after what the log says, in its order.

    Crews take turns: no crew has two tries while another that waits has none.  A late crew joins the turn that the
    others are at, behind them; it keeps all its tries.

    Parameters
    ----------
    events : iterable of Event
        The log, each key once.
    allowed : function
        How many tries a boat has.

    Examples
    --------
    >>> log = [Event(kind="queue", boat=b) for b in (7, 8)] + [Event(kind="try", boat=7, said="ran wide")]
    >>> [crew.boat for crew in qualifying(log, lambda boat: 3).waiting]
    [8, 7]
    """
    line: dict[int, tuple[int, int]] = {}  # boat: turn, place in it
    tries: dict[int, tuple[str, ...]] = {}
    through: list[int] = []
    step = 0
    for event in events:
        boat = event.boat
        if boat is None or event.kind not in ("queue", "try", "withdrawal"):
            continue
        step += 1
        if event.kind == "withdrawal":
            line.pop(boat, None)
            continue
        if boat not in line and boat not in tries:
            turn = min((turn for turn, _ in line.values()), default=0)
            line[boat] = (turn, step)
            tries[boat] = ()
        if event.kind == "try":
            tries[boat] = (*tries[boat], event.said)
            turn = line.pop(boat, (0, 0))[0]
            if event.said == "through":
                through += [boat] if boat not in through else []
            elif len(tries[boat]) < allowed(boat):
                line[boat] = (turn + 1, step)
    waiting = tuple(
        Waiting(boat=b, made=len(tries[b]), left=allowed(b) - len(tries[b]), turn=line[b][0])
        for b in sorted(line, key=line.__getitem__)
    )
    return Queue(
        waiting=waiting, through=tuple(through), tries=tries,
        out_of_tries=tuple(b for b in tries if b not in line and b not in through and len(tries[b]) >= allowed(b)),
    )  # fmt: skip

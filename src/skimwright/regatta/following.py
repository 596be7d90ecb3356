"""The lots and the heats as the day goes: what was called and raced stands, only heats to come are drawn anew."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from skimwright.base import Finding, SkimwrightError
from skimwright.regatta.draw import Draw, redraw
from skimwright.regatta.events import Event
from skimwright.regatta.timetable import DayPlan, PlannedHeat, Timetable, timetable

REPORTED = ("finish", "result", "decision")


@dataclass(frozen=True, kw_only=True)
class HeatSoFar:
    """What has been done about one heat since it was last to be raced."""

    calls: int = 0
    called_at: float | None = None  # the last call, by the clock of that phone [s]
    is_started: bool = False
    started_at: float | None = None  # or, if nobody wrote the start, its first report [s]
    phones: Mapping[str, float | None] = field(
        default_factory=dict
    )  # finish phones that reported, and when [s]
    is_reported: bool = False
    missing: Mapping[int, str] = field(
        default_factory=dict
    )  # boat: the director's choice; blank: not yet chosen
    allowed: frozenset[int] = frozenset()  # boats that the director lets race without a tick
    skipped_after: int = 0  # so many heats were started when it was skipped
    is_skipped: bool = False
    is_again: bool = False  # to be run again

    @property
    def is_run(self) -> bool:
        """Whether it has been on the water."""
        return self.is_started or self.is_reported

    @property
    def not_started(self) -> tuple[int, ...]:
        """Boats that the director wrote down as not started."""
        return tuple(sorted(boat for boat, choice in self.missing.items() if choice == "not started"))


@dataclass(frozen=True, kw_only=True)
class LotsChange:
    """What is new for one boat in one round of its group; None is no race."""

    boat: int
    group: str
    round: int
    was: tuple[int, int] | None  # heat of the day, lane
    now: tuple[int, int] | None
    because: str  # in words


@dataclass(frozen=True, kw_only=True)
class Followed:
    """The heats as they now stand."""

    timetable: Timetable
    draws: Mapping[str, Draw]
    heats: Mapping[int, HeatSoFar]
    frontier: int  # the last heat that was called or raced: up to it nothing is redrawn
    changes: tuple[LotsChange, ...]
    findings: tuple[Finding, ...]

    def so_far(self, number: int) -> HeatSoFar:
        """What has been done about a heat."""
        return self.heats.get(number, HeatSoFar())

    @property
    def ahead(self) -> tuple[int, ...]:
        """Heats still to be raced, in the order in which they will be; a skipped one lets the next go first."""
        to_come = [h.number for h in self.timetable.heats if not self.so_far(h.number).is_run and h.boats]
        started = sum(so_far.is_run for so_far in self.heats.values())
        later = [n for n in to_come if self._is_behind(n, started)]
        first = [n for n in to_come if n not in later]
        return (*first[:1], *later, *first[1:])

    def _is_behind(self, number: int, started: int) -> bool:
        so_far = self.so_far(number)
        return so_far.is_skipped and started <= so_far.skipped_after


def follow(plan: DayPlan, draws: Mapping[str, Draw], events: Iterable[Event], entered: Mapping[int, tuple[str, ...]],
) -> Followed:  # fmt: skip
    """The heats after what the log says, in its order.

    Parameters
    ----------
    plan : DayPlan
    draws : mapping of str to Draw
        By group, as published.
    events : iterable of Event
        The log, each key once.
    entered : mapping of int to tuple of str
        The groups of each boat, for late entries.
    """
    state = _Walk(plan, dict(draws), dict(entered))
    for event in events:
        state.take(event)
    return state.done()


class _Walk:
    """The one pass over the log."""

    def __init__(self, plan: DayPlan, draws: dict[str, Draw], entered: dict[int, tuple[str, ...]]) -> None:
        self.plan, self.draws, self.entered = plan, draws, entered
        self.table = timetable(plan, draws)
        self.heats: dict[int, HeatSoFar] = {}
        self.frontier = 0
        self.changes: list[LotsChange] = []
        self.findings: list[Finding] = []
        self.struck: dict[int, int] = {}  # boat that could not be redrawn: from which heat it is out

    def take(self, event: Event) -> None:
        if event.kind in ("withdrawal", "late") and event.boat is not None:
            self._change(event)
        elif event.heat is not None:
            before = self.heats.get(event.heat, HeatSoFar())
            after = self._after(before, event)
            if after is not before:
                self.heats[event.heat] = after

    def _after(self, heat: HeatSoFar, event: Event) -> HeatSoFar:
        number = event.heat or 0
        if event.kind in ("call", "start", *REPORTED, "rerun"):
            self.frontier = max(self.frontier, number)
        if event.kind == "call":
            return replace(heat, calls=heat.calls + 1, called_at=event.when, is_skipped=False)
        if event.kind == "start":
            return replace(heat, is_started=True, started_at=event.when, is_skipped=False)
        if event.kind == "rerun":
            return HeatSoFar(is_again=True, allowed=heat.allowed)
        if event.kind in REPORTED:
            phones = dict(heat.phones)
            if event.kind == "finish":
                phones[event.phone] = event.when
            at = heat.started_at if heat.is_run else event.when
            return replace(
                heat, is_reported=True, started_at=at, phones=MappingProxyType(phones), is_skipped=False
            )
        if event.kind == "missing" and event.boat is not None:
            missing = MappingProxyType({**heat.missing, event.boat: event.said})
            started = sum(each.is_run for each in self.heats.values())
            skipped = event.said == "skip"
            return replace(heat, missing=missing, is_skipped=skipped, skipped_after=started)
        if event.kind == "allow" and event.boat is not None:
            return replace(heat, allowed=heat.allowed | {event.boat})
        return heat

    def _change(self, event: Event) -> None:
        """Redraw the heats to come of every group the boat is in."""
        boat, is_late = event.boat or 0, event.kind == "late"
        stands = max(self.frontier, (event.heat or 1) - 1)
        old = self.table
        for group in self.entered.get(boat, ()):
            draw = self.draws.get(group)
            if draw is None or (boat in draw.boats) == is_late:
                continue
            raced = sum(heat.group == group and heat.number <= stands for heat in old.heats)
            try:
                made = redraw(
                    draw, raced=raced, without=() if is_late else (boat,), late=(boat,) if is_late else ()
                )
            except SkimwrightError as error:
                self._cannot(boat, group, stands, error)
            else:
                self.draws[group] = made.draw
        self.frontier = stands
        self.table = timetable(self.plan, self.draws)
        self._strike()
        why = f"boat {boat:02d} {'came late' if is_late else 'withdrew'}"
        self.changes += _changes(old, self.table, because=why)

    def _cannot(self, boat: int, group: str, stands: int, error: SkimwrightError) -> None:
        self.struck[boat] = min(self.struck.get(boat, stands + 1), stands + 1)
        self.findings.append(
            Finding(
                code="not-redrawn",
                severity="warning",
                what=f"The heats of {group} could not be drawn anew: {error.what.rstrip('.')}.",
                why="Its lanes stay empty.",
                do=error.do or "Ask the director.",
                where=f"boat {boat:02d}",
            )
        )

    def _strike(self) -> None:
        """Empty the lanes of boats that left a group too small to be drawn anew."""
        if self.struck:
            self.table = replace(
                self.table,
                heats=tuple(
                    replace(
                        heat, lanes=tuple(None if self._is_struck(b, heat.number) else b for b in heat.lanes)
                    )
                    for heat in self.table.heats
                ),
            )

    def _is_struck(self, boat: int | None, number: int) -> bool:
        return boat is not None and number >= self.struck.get(boat, number + 1)

    def done(self) -> Followed:
        return Followed(
            timetable=self.table,
            draws=MappingProxyType(self.draws),
            heats=MappingProxyType(self.heats),
            frontier=self.frontier,
            changes=tuple(self.changes),
            findings=tuple(self.findings),
        )


def _changes(old: Timetable, new: Timetable, *, because: str) -> list[LotsChange]:
    """What each crew must be told, in the order of the heats."""
    was, now = _places(old.heats), _places(new.heats)
    both = sorted({*was, *now}, key=lambda key: (now.get(key) or was.get(key) or (0, 0), key))
    return [
        LotsChange(
            boat=boat, group=group, round=turn, was=was.get((group, turn, boat)),
            now=now.get((group, turn, boat)), because=because,
        )
        for group, turn, boat in both
        if was.get((group, turn, boat)) != now.get((group, turn, boat))
    ]  # fmt: skip


def _places(heats: Iterable[PlannedHeat]) -> dict[tuple[str, int, int], tuple[int, int]]:
    return {
        (heat.group, heat.round, boat): (heat.number, lane)
        for heat in heats
        for lane, boat in enumerate(heat.lanes, 1)
        if boat is not None
    }

"""Who is fit to race: the pit steward's ticks, mends, and boats that must be weighed again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from skimwright.regatta.events import Event


@dataclass(frozen=True, kw_only=True)
class Fitness:
    """One boat as the pit knows it."""

    boat: int
    is_fit: bool = False  # has the pit steward's tick
    why_not: str = "not ticked yet by the pit steward"  # in words; blank if it is fit
    must_be_weighed: bool = False  # crash, water, device moved, patch: since then not on a scale
    is_unweighed: bool = False  # ticked without a scale: marked so on its heat card
    mass: str = ""  # as last weighed, with its unit; blank: as on its card
    mends: tuple[Event, ...] = ()


def fitness(events: Iterable[Event], boats: Iterable[int]) -> Mapping[int, Fitness]:
    """Every boat's tick after what the log says, in its order."""
    state = {boat: Fitness(boat=boat) for boat in boats}
    for event in events:
        if event.boat in state and event.kind in STEPS:
            state[event.boat] = STEPS[event.kind](state[event.boat], event)
    return MappingProxyType(state)


def _fit(boat: Fitness, event: Event) -> Fitness:
    return replace(
        boat, is_fit=True, why_not="", is_unweighed=event.said == "unweighed" or boat.must_be_weighed
    )


def _unfit(boat: Fitness, event: Event) -> Fitness:
    return replace(boat, is_fit=False, why_not=event.reason)


def _mend(boat: Fitness, event: Event) -> Fitness:
    return replace(
        boat, is_fit=False, why_not=f"{event.reason}, to be weighed and ticked", must_be_weighed=True,
        mends=(*boat.mends, event),
    )  # fmt: skip


def _weighed(boat: Fitness, event: Event) -> Fitness:
    why = f"weighed {event.said}, not ticked yet" if boat.must_be_weighed else boat.why_not
    return replace(boat, must_be_weighed=False, is_unweighed=False, mass=event.said, why_not=why)


STEPS = {"fit": _fit, "unfit": _unfit, "mend": _mend, "weighed": _weighed}

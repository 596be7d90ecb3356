"""Which sources a boat's forecast rests on, read from the models' own docstrings."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import ModuleType

from skimwright import run
from skimwright.base.sources import SOURCES
from skimwright.physics import (
    air,
    blowover,
    bluff,
    crosswind,
    flotation,
    friction,
    planing,
    plate,
    thrust,
    tunnel,
    water,
)

CITATION = re.compile(r"\[([A-Z]\w+)(?:,\s*([^;\]]+))?;\s*(seen|second-hand|derived|memory)[^\]]*\]")

# What a forecast is made of, in words, and where its laws stand.
MODELS: Mapping[str, ModuleType] = {
    "floating": flotation,
    "water": water,
    "planing pads": planing,
    "skin friction": friction,
    "blade and fins": plate,
    "air in the tunnel": tunnel,
    "air": air,
    "air drag": bluff,
    "crosswind": crosswind,
    "blowing over": blowover,
    "the run": run,
}
LAWS: Mapping[str, tuple[str, ...]] = {  # functions of `thrust` by kind of device
    "propeller": ("propeller_thrust", "static_thrust", "shaft_power"),
    "gas": ("cartridge_curve", "ceiling_impulse", "mass_flow", "thrust_per_flow", "saturation_pressure"),
    "towline": ("line_tension", "boat_acceleration"),
    "motor": ("motor_curve", "letter_class"),
    "curve": ("measure_curve", "letter_class"),
}


@dataclass(frozen=True, kw_only=True)
class Cited:
    """One source in one use."""

    key: str
    use: str  # which model
    places: tuple[str, ...]  # page, equation, table
    status: str  # seen, second-hand, derived, memory: the weakest of its uses there
    reference: str  # author, year, title, report
    is_evidence: bool  # only what was seen or derived may hold up a test


WEAKEST_FIRST = ("memory", "second-hand", "derived", "seen")


def sources_of_forecast(device: thrust.Device) -> tuple[Cited, ...]:
    """Every source named by the models that a forecast with this device goes through."""
    uses: dict[str, list[Callable[..., object]]] = {
        use: list(_laws(module)) for use, module in MODELS.items()
    }
    uses[f"thrust of {device.name}"] = [getattr(thrust, name) for name in LAWS[device.kind]]
    return tuple(cited for use, laws in uses.items() for cited in _cited(use, laws))


def all_sources() -> tuple[Cited, ...]:
    """Every source the program names, wherever it is used."""
    return tuple(
        Cited(
            key=key,
            use="",
            places=(source.seen,),
            status=source.status,
            reference=_reference(key),
            is_evidence=source.status in ("seen", "derived"),
        )
        for key, source in sorted(SOURCES.items())
    )


def _laws(module: ModuleType) -> Iterator[Callable[..., object]]:
    """The functions and classes of ours that a module offers."""
    for name, thing in vars(module).items():
        is_ours = getattr(thing, "__module__", "").startswith("skimwright.")
        if callable(thing) and is_ours and not name.startswith("_"):
            yield thing


def _cited(use: str, laws: list[Callable[..., object]]) -> Iterator[Cited]:
    found: dict[str, list[tuple[str, str]]] = {}
    for law in laws:
        for key, place, status in CITATION.findall(law.__doc__ or ""):
            found.setdefault(key, []).append((" ".join(place.split()), status))
    for key, said in found.items():
        status = min((status for _, status in said), key=WEAKEST_FIRST.index)
        yield Cited(
            key=key,
            use=use,
            places=tuple(dict.fromkeys(place for place, _ in said if place)),
            status=status,
            reference=_reference(key),
            is_evidence=status in ("seen", "derived"),
        )


def _reference(key: str) -> str:
    source = SOURCES.get(key)
    if source is None:
        return ""
    year = "" if source.year is None else f" ({source.year})"
    return f"{source.author}{year}. {source.title}. {source.where}."

"""Experiment cards with what was read, and fair tests planned from a crew's own runs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright import teach
from skimwright.base import InputError, Kind, Where, parse_quantity
from skimwright.base.drawing import Drawing
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import BoatForecast
from skimwright.desk.lessons.lesson import band_for, title_of
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.run import BUILD_WORDS
from skimwright.trials import MINUTES_A_RUN, Run, since_change

KINDS: Mapping[
    str, tuple[Kind, float]
] = {  # unit of a reading: its kind, and how many of it make one SI unit
    "mm": ("length", 1e3),
    "m": ("length", 1.0),
    "g": ("mass", 1e3),
    "kg": ("mass", 1.0),
    "s": ("time", 1.0),
}
USES: tuple[tuple[teach.Use, str], ...] = (("clock", "gate_time"), ("tape", "distance"), ("side", "drift"))
ENOUGH = 3  # runs of one's own for a spread of one's own


@dataclass(frozen=True, kw_only=True)
class MadeCard:
    """An experiment card and its pages."""

    card: teach.ExperimentCard
    pages: tuple[Drawing, ...]


@dataclass(frozen=True, kw_only=True)
class MadePlan:
    """A fair test and its pages."""

    plan: teach.FairTest
    band: teach.Band
    pages: tuple[Drawing, ...]


def experiment_cards(
    season: Season, *, words: Mapping[str, Any], first: Mapping[str, Any], name: str = "all",
    band: str | None = None, entry: Entry | None = None, readings: Mapping[str, str] | None = None,
    paper: teach.Paper = "a4", large: bool = False, foot: str = "",
) -> tuple[MadeCard, ...]:  # fmt: skip
    """One experiment's card, or all of them.

    Parameters
    ----------
    season : Season
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    name : str
        As typed, or "all".
    band : str, optional
        By the boat's group unless given; Reed without a boat.
    entry : Entry, optional
        A boat whose mass and length stand on the card.
    readings : mapping, optional
        What was read, as typed: "5.3" or, where there are several runs, "5.3/5.1".
    paper, large, foot
        As for a lesson.

    Raises
    ------
    InputError
        No such experiment or band, or a reading that cannot be.
    ModelError
        Two ways to a result differ.
    """
    said = teach.words_of(words, first)
    every = name.casefold() == "all"
    if every and readings:
        raise InputError(
            what="readings belong to one experiment", got="all", do="Give the experiment's name.",
            where=Where(field="--readings"),
        )  # fmt: skip
    wanted = list(teach.EXPERIMENTS.values()) if every else [teach.experiment_named(name)]
    chosen: teach.Band = "Reed"
    if band or entry is not None:
        chosen = teach.band_named(band) if band else band_for(season, _known(entry), None)
    made = []
    for experiment in wanted:
        given = {**_of_boat(season, entry, experiment), **_readings(experiment, readings or {})}
        card = teach.experiment_card(experiment, chosen, said, readings=given)
        pages = teach.card_pages(card, said, season=season.name, paper=paper, large=large, foot=foot)
        made.append(MadeCard(card=card, pages=pages))
    return tuple(made)


def _known(entry: Entry | None) -> Entry:
    assert entry is not None
    return entry


def _of_boat(season: Season, entry: Entry | None, experiment: teach.Experiment) -> dict[str, teach.Value]:
    """What is known of the boat already."""
    if entry is None:
        return {}
    mass = entry.built.mass
    known: dict[str, teach.Value] = {
        "mass_g": None if mass is None else teach.number(mass * 1e3, "g", places=0),
        "mass_kg": None if mass is None else teach.number(mass, "kg", places=3),
        "length_mm": teach.number(season.kit_of(entry).length * 1e3, "mm", places=0),
    }
    return {reading.name: known[reading.name] for reading in experiment.readings if reading.name in known}


def _readings(experiment: teach.Experiment, given: Mapping[str, str]) -> dict[str, teach.Value]:
    known = {reading.name: reading for reading in experiment.readings}
    found: dict[str, teach.Value] = {}
    for name, text in given.items():
        where = Where(field=f"--readings {name}")
        if name not in known:
            raise InputError(
                what="not a reading of this experiment", got=f'"{name}"', allowed=", ".join(known),
                do="Give one of these.", where=where,
            )  # fmt: skip
        reading = known[name]
        values = [_value(each, reading, where) for each in (text.split("/") if reading.many else [text])]
        if reading.many and len(values) < 2:
            raise InputError(
                what="one run tells nothing of how runs differ", got=text, allowed="two runs or more: 5.3/5.1",
                do="Run it again.", where=where,
            )  # fmt: skip
        found[name] = tuple(values) if reading.many else values[0]
    return found


def _value(text: str, reading: teach.Reading, where: Where) -> teach.Number:
    """In the reading's unit."""
    if reading.unit:
        kind, of_one = KINDS[reading.unit]
        value = of_one * parse_quantity(text, kind, default_unit=reading.unit, where=where)
    else:
        value = _plain(text, where)
    if not reading.low < value <= reading.high:
        raise InputError(
            what="out of range", got=text,
            allowed=f"over {reading.low:g} and up to {reading.high:g} {reading.unit}".strip(), do="Read it again.",
            where=where,
        )  # fmt: skip
    return teach.Number(text=f"{value:.4f}".rstrip("0").rstrip("."), unit=reading.unit)


def _plain(text: str, where: Where) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError as fault:
        raise InputError(
            what="not a number", got=f'"{text}"', allowed="a number such as 5.3", do="Write the number only.",
            where=where,
        ) from fault  # fmt: skip
    return value


def change_named(word: str) -> str:
    """A change by the name a person types.

    Raises
    ------
    InputError
        No such change.

    Examples
    --------
    >>> change_named("blade yaw")
    'blade_yaw'
    """
    name = "_".join(word.strip().casefold().replace("-", " ").split())
    if name in BUILD_WORDS:
        return name
    raise InputError(
        what="no such change", got=f'"{word}"', allowed=", ".join(key.replace("_", "-") for key in BUILD_WORDS),
        do="Give one of these; it is what a build check measures.", where=Where(field="--change"),
    )  # fmt: skip


def fair_test(
    season: Season, entry: Entry, log: RunLog, found: BoatForecast, *, changes: Sequence[str],
    words: Mapping[str, Any], first: Mapping[str, Any], band: str | None = None, paper: teach.Paper = "a4",
    large: bool = False, foot: str = "",
) -> MadePlan:  # fmt: skip
    """A plan for one change on one boat: what to measure it with, and how many runs it takes.

    Parameters
    ----------
    season : Season
    entry : Entry
    log : RunLog
    found : BoatForecast
        What each change should do is taken from it.
    changes : names
        As typed; two give the reason why the answer would be unclear.
    words, first, band, paper, large, foot
        As for :func:`experiment_cards`.

    Raises
    ------
    InputError
        No such change, or one that was not measured on this boat.
    """
    said, chosen = teach.words_of(words, first), band_for(season, entry, band)
    named = [change_named(change) for change in changes]
    effects = {effect.key: effect for effect in found.effects}
    for name in named:
        if name not in effects:
            raise InputError(
                what=f"{entry.label} has no measurement of {BUILD_WORDS[name]}", got=name.replace("_", "-"),
                allowed=", ".join(key.replace("_", "-") for key in effects if key in BUILD_WORDS) or "none yet",
                do="Measure it first, or choose another change.", where=Where(field="--change"),
            )  # fmt: skip
    spreads = _spreads(season, entry, log)
    measured = {
        name: [
            teach.MeasuredChange(use=use, effect=_finite(-getattr(effects[name], attribute)), **spreads[use])
            for use, attribute in USES
        ]
        for name in named
    }  # fmt: skip
    plan = teach.plan_fair_test(named, measured, said, minutes=MINUTES_A_RUN)
    pages = teach.plan_pages(
        plan, chosen, said, boat=title_of(entry), season=season.name, paper=paper, large=large, foot=foot
    )
    return MadePlan(plan=plan, band=chosen, pages=pages)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _spreads(season: Season, entry: Entry, log: RunLog) -> dict[teach.Use, dict[str, Any]]:
    """How much runs differ: the crew's own from three runs on, else that of all boats of its kit and device."""
    kin = [other for other in season.boats if (other.kit, other.device) == (entry.kit, entry.device)]
    found: dict[teach.Use, dict[str, Any]] = {}
    for use, name in USES:
        own = _known_values(since_change(log.book.of(entry.number)), name)
        is_own = len(own) >= ENOUGH
        groups = [own] if is_own else [_known_values(since_change(log.book.of(k.number)), name) for k in kin]
        found[use] = {"spread": pooled_spread(groups), "own_runs": len(own), "is_own": is_own}
    return found


def _known_values(runs: Iterable[Run], name: str) -> list[float]:
    values = [getattr(run.result, name) for run in runs if run.speaks_of_the_boat]
    return [value for value in values if value is not None]


def pooled_spread(groups: Iterable[Sequence[float]]) -> float | None:
    """One standard deviation within groups; None if no group has two values.

    Examples
    --------
    >>> pooled_spread([[1.0, 3.0], [7.0, 9.0], [4.0]])
    1.4142135623730951
    """
    squares, free = 0.0, 0
    for group in groups:
        mean = math.fsum(group) / len(group) if group else 0.0
        squares += math.fsum((value - mean) ** 2 for value in group)
        free += max(len(group) - 1, 0)
    return math.sqrt(squares / free) if free else None

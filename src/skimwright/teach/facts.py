"""What is known of one crew's boat, and how each age band sees it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import cast

from skimwright.base import InputError, Where
from skimwright.boat import AsBuilt, Kit, running_form
from skimwright.kit import guide
from skimwright.physics.thrust import Curve, Device, PropellerLaw
from skimwright.pond import Gate
from skimwright.teach.numbers import Number, Value, number

Band = guide.AgeGroup
BANDS: tuple[Band, ...] = tuple(guide.GRADE)  # Cress 7-9, Rush 9-11, Reed 11-14, Willow 14-18
AGES: dict[Band, tuple[int, int]] = {"Cress": (7, 9), "Rush": (9, 11), "Reed": (11, 14), "Willow": (14, 18)}


@dataclass(frozen=True, kw_only=True)
class LoggedRun:
    """One run of the log; None is "not recorded", never nought."""

    run: int
    distance: float | None = None  # [m]
    time: float | None = None  # to the gate [s]
    drift: float | None = None  # at the gate, to starboard + [m]
    ending: str = ""
    guess: str = ""
    counts: bool = True  # it ended in an ordinary way


@dataclass(frozen=True, kw_only=True)
class Facts:
    """One boat, as drawn where nothing else can be, as measured where it was."""

    title: str  # number and boat name: nothing of a person
    kit: Kit
    device: Device
    gate: Gate
    mass: float | None  # [kg]
    balance: float | None  # from the bow [m]
    runs: tuple[LoggedRun, ...] = ()
    edited: frozenset[str] = frozenset()  # columns of boats.csv a teacher changed for this sheet


def facts_of(
    *, title: str, kit: Kit, device: Device, gate: Gate, built: AsBuilt,
    runs: Iterable[LoggedRun] = (), edited: Iterable[str] = (),
) -> Facts:  # fmt: skip
    """The facts a sheet is made of."""
    return Facts(
        title=title, kit=kit, device=device, gate=gate, mass=built.mass, balance=built.balance_x,
        runs=tuple(runs), edited=frozenset(edited),
    )  # fmt: skip


def band_named(word: str) -> Band:
    """An age band by its name, or by the school grade its pupils read at.

    Raises
    ------
    InputError
        No such band, or a grade above the highest band's.

    Examples
    --------
    >>> band_named("reed"), band_named("5")
    ('Reed', 'Rush')
    """
    for band in BANDS:
        if word.strip().casefold() == band.casefold():
            return band
    settings = ", ".join(f"{band} (grade {guide.GRADE[band]})" for band in BANDS)
    if word.strip().isdigit():
        grade = int(word)
        fitting = [band for band in BANDS if grade <= guide.GRADE[band]]
        if fitting and grade > 0:
            return fitting[0]
        raise InputError(
            what="a reading grade that no band is set to", got=f"grade {grade}", allowed=settings,
            do="Which band is the sheet for? Give its name.", where=Where(field="--band"),
        )  # fmt: skip
    raise InputError(
        what="no such age band", got=f'"{word}"', allowed=settings, do="Give one of these names.",
        where=Where(field="--band"),
    )  # fmt: skip


def band_for_age(age_to: int) -> Band:
    """The band whose oldest pupils are about as old.

    Examples
    --------
    >>> band_for_age(10), band_for_age(30)
    ('Rush', 'Willow')
    """
    return next((band for band in BANDS if age_to <= AGES[band][1]), BANDS[-1])


def numbers_of(facts: Facts, band: Band) -> dict[str, Value]:
    """Every number a sheet of this band may print, in the band's own units and digits.

    Raises
    ------
    InputError
        The kit's running form cannot be worked out.
    """
    form = running_form(facts.kit)
    run, times = _latest(facts.runs), {"Cress": 0, "Rush": 1}.get(band, 2)
    push, lost = _push(facts.device)
    found: dict[str, Value] = {
        "mass_g": _mm(facts.mass, "g"),
        "length_cm": number(form.length * 100, "cm", places=0),
        "beam_cm": number(form.beam * 100, "cm", places=0),
        "mass_kg": None if facts.mass is None else number(facts.mass, "kg", places=3),
        "balance_mm": _mm(facts.balance, "mm"),
        "length_mm": _mm(form.length, "mm"),
        "beam_mm": _mm(form.beam, "mm"),
        "pads_mm": _mm(form.pad_contact, "mm"),
        "stern_mm": _mm(form.stern_contact, "mm"),
        "gate_m": number(facts.gate.distance, "m", places=0 if band == "Cress" else 2),
        "gate_cm": number(facts.gate.width * 100, "cm", places=0),
        "push_n": None if push is None else number(push, "N", places=2),
        "lost_n": None if lost is None else number(lost, "N", places=3),
        "time_s": None if run is None or run.time is None else number(run.time, "s", places=times),
        "drift_cm": None
        if run is None or run.drift is None
        else number(abs(run.drift) * 100, "cm", places=0),
        "drift_m": None if run is None or run.drift is None else number(abs(run.drift), "m", places=1),
        "runs_m": _distances(facts.runs),
    }
    bend = found["drift_m"]
    found["bend_m"] = bend if isinstance(bend, Number) and bend.exact else None  # no circle is that wide
    if facts.balance is not None and form.pad_contact < facts.balance < form.stern_contact:
        found["stand_mm"] = found["balance_mm"]  # only then do all three feet carry
    if form.tunnel is not None:
        roof = form.tunnel
        found |= {
            "roof_wide_mm": _mm(roof.width, "mm"),
            "roof_long_mm": _mm(float(roof.stations[-1] - roof.stations[0]), "mm"),
            "roof_rise_mm": _mm(float(roof.roof[0] - roof.roof[-1]), "mm"),
        }
    return found


def _mm(value: float | None, unit: str) -> Number | None:
    """Metres as whole millimetres, kilograms as whole grams."""
    return None if value is None else number(value * 1e3, unit, places=0)


def _latest(runs: Iterable[LoggedRun]) -> LoggedRun | None:
    timed = [run for run in runs if run.counts and run.time is not None]
    return max(timed, key=lambda run: run.run, default=None)


def _distances(runs: Iterable[LoggedRun]) -> tuple[Number, ...] | None:
    known = tuple(number(r.distance, "m", places=1) for r in runs if r.counts and r.distance is not None)
    return known if len(known) > 1 else None


def _push(device: Device) -> tuple[float | None, float | None]:
    """The push of a device at the start, and what a propeller loses a metre a second. [N]"""
    law = device.law
    if isinstance(law, PropellerLaw):
        return law.static_thrust, law.thrust_lost
    if isinstance(law, Curve):
        return law.total_impulse / cast(float, device.push_time), None
    return law.steady_tension, None

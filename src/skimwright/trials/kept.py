"""Forecasts as they were made, scored against the runs that came after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np
from numpy.typing import NDArray

from skimwright.pond import Gate
from skimwright.run import STEPS
from skimwright.trials.book import NONE, Run
from skimwright.trials.gate import NOT_TOLD, ODD, THROUGH, verdict_of
from skimwright.trials.scores import crps_draws

Array = NDArray[np.float64]
QUANTITIES = ("distance", "gate_time", "drift")
OTHER_WIND = 1.5  # along or across: beyond it a forecast was made for another day [m/s] [choice]
DRAWS = 200  # that a kept range is told out into


@dataclass(frozen=True, kw_only=True)
class Kept:
    """One forecast as it was made, in SI."""

    boat: int
    made: str  # "forecast" or "learn"
    time: str
    device: str
    after_run: int  # last run of the boat in its log then: later ones score it, whatever clocks say
    wind: tuple[float, float]  # at head height, along the launch line and to starboard [m/s]
    gate: Gate
    through: float  # chance through the gate, let go straight at it [-]
    steps: Mapping[str, tuple[float, ...]]  # by name in QUANTITIES, at run.STEPS; missing where it had none
    edition: str = ""
    mass: float | None = None  # [kg]
    seed: int = 0
    runs: int = 0


@dataclass(frozen=True, kw_only=True)
class Scored:
    """One figure of one run against the forecast made before it."""

    kept: Kept
    run: Run
    quantity: str
    came: float
    held50: bool
    held90: bool
    crps: float  # in the figure's unit
    last: float | None  # the same score of "the last run again"; None before a boat's second run
    kind: float | None  # of "as the other boats of its kind ran"; None with fewer than five such runs


@dataclass(frozen=True, kw_only=True)
class Line:
    """All figures of one sort together."""

    made: str
    quantity: str
    count: int
    held50: float  # share [-]
    held90: float
    crps: float
    both: int  # of them, those that both baselines could be scored on
    crps_there: float  # the forecasts' own score on those
    last: float
    kind: float


@dataclass(frozen=True, kw_only=True)
class Chance:
    """How often boats passed that were given chances."""

    made: str
    count: int
    said: float  # mean of the chances [-]
    came: float  # share that passed [-]
    brier: float  # mean squared difference; 0.25 is a coin [-]


def draws_of(steps: Sequence[float]) -> Array:
    """A kept range told out into even draws: straight between its steps, the outermost carried on to the ends.

    Examples
    --------
    >>> even = draws_of([float(step) for step in range(5, 100, 5)])
    >>> round(float(even[0]), 2), round(float(even[-1]), 2)
    (0.25, 99.75)
    """
    at = np.array([0.0, *STEPS, 1.0])
    values = np.array([2 * steps[0] - steps[1], *steps, 2 * steps[-1] - steps[-2]])
    return np.asarray(np.interp((np.arange(DRAWS) + 0.5) / DRAWS, at, values))


def score(
    kept: Sequence[Kept],
    runs: Mapping[int, tuple[Run, ...]],
    *,
    kinds: Mapping[int, str],
    winds: Mapping[tuple[int, int], tuple[float, float]],
) -> tuple[tuple[Scored, ...], tuple[tuple[Kept, Run, bool], ...], int]:
    """Score every run against the last forecast of each sort made before it.

    Parameters
    ----------
    kept : forecasts in the order in which they were made
    runs : boat number to its runs, in order
    kinds : boat number to its kit
    winds : (boat, run) to the wind that was logged; missing where none was

    Returns
    -------
    scored : figures
    chances : (forecast, run, whether it passed)
    other_wind : int
        Runs left out because they ran in another wind.

    Holds
        Runs with the forecast's own device, ended in an ordinary way, before the boat was changed.  The baselines are
        told out as ranges too, and "its kind" may use all runs of the others, later ones included: that favours it.
    Checked
        tests/unit/trials/test_kept.py.
    """
    scored: list[Scored] = []
    chances: list[tuple[Kept, Run, bool]] = []
    left_out = 0
    for boat, own in runs.items():
        for made in dict.fromkeys(k.made for k in kept if k.boat == boat):
            for run in own:
                before = [k for k in kept if (k.boat, k.made) == (boat, made) and k.after_run < run.run]
                if not before or run.result.device not in (None, before[-1].device):
                    continue
                if _was_changed(own, before[-1].after_run, run.run):
                    continue
                if _other_wind(before[-1], winds.get((boat, run.run))):
                    left_out += 1
                    continue
                said = verdict_of(run.result, gate=before[-1].gate)
                if said not in (NOT_TOLD, ODD):
                    chances.append((before[-1], run, said == THROUGH))
                if run.speaks_of_the_boat:
                    scored += _figures(before[-1], run, own, runs, kinds)
    return tuple(scored), tuple(chances), left_out


def _was_changed(own: Sequence[Run], after: int, until: int) -> bool:
    return any(after < r.run <= until and r.result.change not in (None, NONE) for r in own)


def _other_wind(kept: Kept, wind: tuple[float, float] | None) -> bool:
    return wind is not None and any(abs(a - b) > OTHER_WIND for a, b in zip(wind, kept.wind, strict=True))


def _figures(
    kept: Kept, run: Run, own: Sequence[Run], runs: Mapping[int, tuple[Run, ...]], kinds: Mapping[int, str]
) -> list[Scored]:
    found = []
    for name, steps in kept.steps.items():
        came = getattr(run.result, name)
        if came is None:
            continue
        draws = draws_of(steps)
        q05, q25, q75, q95 = (steps[i] for i in (0, 4, 14, 18))
        others = _values_of_kind(kept, name, runs, kinds)
        flat = np.concatenate(others) if others else np.zeros(0)
        last = [getattr(r.result, name) for r in own if r.run < run.run and r.speaks_of_the_boat]
        known = [value for value in last if value is not None]
        found.append(
            Scored(
                kept=kept, run=run, quantity=name, came=came,
                held50=bool(q25 <= came <= q75), held90=bool(q05 <= came <= q95), crps=crps_draws(draws, came),
                last=_last_again(known[-1], others, came) if known else None,
                kind=crps_draws(flat, came, fair=True) if len(flat) >= 5 else None,
            )
        )  # fmt: skip
    return found


def _values_of_kind(
    kept: Kept, name: str, runs: Mapping[int, tuple[Run, ...]], kinds: Mapping[int, str]
) -> list[Array]:
    found = []
    for boat, theirs in runs.items():
        if boat != kept.boat and kinds.get(boat) == kinds.get(kept.boat):
            values = [
                getattr(r.result, name) for r in theirs
                if r.speaks_of_the_boat and r.result.device in (None, kept.device)
            ]  # fmt: skip
            known = np.array([value for value in values if value is not None])
            if len(known):
                found.append(known)
    return found


def _last_again(last: float, others: Sequence[Array], came: float) -> float:
    """The last value, give or take what runs of one boat differ in its kind; a bare value if that is not known."""
    apart = [float(a - b) for values in others for a, b in zip(values[1:], values[:-1], strict=True)]
    if len(apart) < 5:
        return abs(last - came)
    return crps_draws(np.array([last + step for step in (*apart, *(-a for a in apart))]), came, fair=True)


def lines_of(scored: Sequence[Scored]) -> tuple[Line, ...]:
    """One line for each sort of forecast and figure."""
    found = []
    for made in dict.fromkeys(s.kept.made for s in scored):
        for name in QUANTITIES:
            own = [s for s in scored if (s.kept.made, s.quantity) == (made, name)]
            both = [s for s in own if s.last is not None and s.kind is not None]
            if own:
                found.append(
                    Line(
                        made=made, quantity=name, count=len(own), held50=fmean(s.held50 for s in own),
                        held90=fmean(s.held90 for s in own), crps=fmean(s.crps for s in own), both=len(both),
                        crps_there=fmean(s.crps for s in both) if both else float("nan"),
                        last=fmean(s.last or 0.0 for s in both) if both else float("nan"),
                        kind=fmean(s.kind or 0.0 for s in both) if both else float("nan"),
                    )
                )  # fmt: skip
    return tuple(found)


def chances_of(chances: Sequence[tuple[Kept, Run, bool]]) -> tuple[Chance, ...]:
    """One line for each sort of forecast."""
    found = []
    for made in dict.fromkeys(k.made for k, _, _ in chances):
        own = [(k.through, float(passed)) for k, _, passed in chances if k.made == made]
        found.append(
            Chance(
                made=made, count=len(own), said=fmean(s for s, _ in own), came=fmean(c for _, c in own),
                brier=fmean((s - c) ** 2 for s, c in own),
            )
        )  # fmt: skip
    return tuple(found)

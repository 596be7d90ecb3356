"""After a try that missed: the one likeliest cause, and the one change to make before the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.boats.suspects import (
    DISTANCE,
    DRIFT,
    LineUp,
    short_suspects,
    sideways_suspects,
    trial_of,
)
from skimwright.desk.boats.trim_changes import candidates, print_again, side
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.gate import BoatAtGate, Try
from skimwright.desk.trials.learn import day_of, usable_runs
from skimwright.desk.trials.log_run import RunLog
from skimwright.trials import GATE_EYE, NOT_TOLD, ODD, Explanation, Run, Verdict, explain

SEED = 30480
WIND_SHARE = 0.5  # of the miss that the wind alone brings, from which the wind is named [choice]
TOLD = 0.35  # chance from which one cause is named [choice]
SHRINK = 2.0  # boats that the model's own mean counts for beside the class's [choice]

# What one hook or flip says, and what to do about it.
_OTHERWISE = {
    "hooked": (
        "a hook: one alone says little about the boat",
        "Look whether the blade is whole and straight, let it go level and straight, and try again.",
    ),
    "blew over": (
        "a lifting nose",
        "Move weight forward, or wait for less wind ahead: `trim --boat {boat}`.",
    ),
    "rolled over": ("weight or wind to one side", "Balance it across on a knife edge, then try again."),
    "nosed in": ("too much weight forward", "Move weight aft a little: `trim --boat {boat}` says how much."),
    "still drifting": ("too little push", "Put in a fresh battery or another device of its kind."),
    "swamped": ("water in the hull", "Dry it, weigh it, and tape the seams before it runs again."),
    "hit something": ("something in the way", "Clear the water; the marshal may give the try again."),
}


@dataclass(frozen=True, kw_only=True)
class NearMiss:
    """What to do before the next try."""

    missed: Try
    cause: str  # the likeliest, in words
    key: str  # of the suspect; "wind", "none", an ending, or "asked"
    chance: float | None  # that it is this one [-]; None: not weighed
    change: str  # the one change
    runs: int  # whose figures were weighed
    verdict: Verdict | None = None  # all that were weighed


def near_miss(
    season: Season, entry: Entry, boat: BoatAtGate, log: RunLog, *, seed: int = SEED
) -> NearMiss | None:
    """The likeliest cause of the last try's miss, and one change.

    Parameters
    ----------
    season : Season
    entry : Entry
    boat : BoatAtGate
        The same boat, with its tries.
    log : RunLog
    seed : int

    Returns
    -------
    NearMiss or None
        None if it has made no try, or is through.  A try without figures gets one question, and no cause.

    Raises
    ------
    InputError
        The boat cannot float, or its kit cannot run.
    ModelError
        Too few runs of the model end in an ordinary way.

    Trust
        One cause at a time, by a model that no run has tested; the chance beside it says how sure it is.
    Checked
        tests/unit/desk/test_near_miss.py: ten planted faults.
    """
    if boat.passed or not boat.tries:
        return None
    missed = boat.tries[-1]
    if boat.question is not None:
        return NearMiss(
            missed=missed, cause="", key="asked", chance=None, change=boat.question.sentence(), runs=0
        )
    if missed.says in _OTHERWISE or missed.says.startswith("ran with"):
        cause, change = _OTHERWISE.get(missed.says, ("the device", "Put in one that its class allows."))
        return NearMiss(missed=missed, cause=cause, key=missed.says, chance=None,
                        change=change.format(boat=entry.number), runs=0)  # fmt: skip
    if missed.says in (NOT_TOLD, ODD):
        return None
    output = DISTANCE if missed.says == "stopped short" else DRIFT
    used, _ = usable_runs(log, entry)
    told = [run for run in used if np.isfinite(trial_of(run, season.conditions).values[output])]
    if not told:
        return _unmeasured(missed, output)
    return _weighed(season, entry, missed, told, log, output, seed)


def _unmeasured(missed: Try, output: int) -> NearMiss:
    what = "how far it went" if output == DISTANCE else "how far to which side it crossed the line"
    return NearMiss(
        missed=missed, cause="", key="asked", chance=None, runs=0,
        change=f"Write down {what}: `log --boat {missed.run.boat} --run {missed.run.run}` with --correct.",
    )  # fmt: skip


def _weighed(
    season: Season, entry: Entry, missed: Try, told: Sequence[Run], log: RunLog, output: int, seed: int
) -> NearMiss:
    asked = question_about(season, entry, runs=200, seed=seed)
    line_up = (short_suspects if output == DISTANCE else sideways_suspects)(
        season, entry, asked, day_of(told, season.conditions)
    )
    law = line_up.law
    shifts = [float(law.wind_shift(trial_of(r, season.conditions).wind)[output]) for r in told]
    own = [float(trial_of(r, season.conditions).values[output]) for r in told]
    expected = (
        float(law.middle[output]) + float(np.mean(shifts)) + _class_shift(season, entry, log, line_up, output)
    )
    mean = float(np.mean(own))
    wind = float(law.middle[output] + np.mean(shifts)) if output == DRIFT else 0.0
    half = 0.5 * season.groups[entry.group].gate_width
    verdict = explain(
        line_up.suspects, drift=mean - expected, drift_sd=_sd_of_mean(line_up, output, len(told)),
        other_sd=line_up.other_sd, may_be_chance=True,
    )  # fmt: skip
    if abs(wind) >= WIND_SHARE * abs(mean) and abs(wind) > 0.2 * half and wind * mean > 0:
        return NearMiss(
            missed=missed, cause=f"the wind, {abs(wind):.1f} m to {side(wind)} by itself", key="wind", chance=None,
            change=_aim(mean, season, entry), runs=len(told), verdict=verdict,
        )  # fmt: skip
    first = max(verdict.explanations, key=lambda e: e.chance * _explains(e, line_up, mean - expected))
    key, cause = first.key, first.words
    often = output == DRIFT and len(told) > 1 and abs(mean) > 0.5 * half
    if first.chance < TOLD or (key == "chance" and often):
        key, cause = "none", "not to be told yet"
    return NearMiss(
        missed=missed, cause=cause, key=key, chance=first.chance if key == first.key else None,
        change=_change(season, entry, key, line_up, mean, output), runs=len(told), verdict=verdict,
    )  # fmt: skip


def _explains(each: Explanation, line_up: LineUp, miss: float) -> float:
    """Share of the miss that the likeliest size of a fault would bring: what moves nothing is no cause. [-]"""
    if each.key not in line_up.suspects:
        return 1.0
    part = line_up.suspects[each.key].slope * each.size / miss if miss else 0.0
    return 0.1 + 0.9 * float(np.clip(part, 0.0, 1.0))


def _class_shift(season: Season, entry: Entry, log: RunLog, line_up: LineUp, output: int) -> float:
    """How far the other boats of its kind run from the model's middle, drawn toward nought."""
    found = []
    for other in season.boats:
        alike = (other.kit, other.device) == (entry.kit, entry.device)
        if alike and other.number != entry.number:
            rows = [trial_of(run, season.conditions) for run in usable_runs(log, other)[0]]
            over = [t.values[output] - line_up.law.wind_shift(t.wind)[output] for t in rows]
            known = [value for value in over if np.isfinite(value)]
            if known:
                found.append(float(np.median(known)) - float(line_up.law.middle[output]))
    return float(np.median(found)) * len(found) / (len(found) + SHRINK) if found else 0.0


def _sd_of_mean(line_up: LineUp, output: int, runs: int) -> float:
    """Spread of the mean of so many runs: the run's own, half the wind, the eye."""
    law = line_up.law
    wind = 0.7 * float(np.sqrt(((law.windy[output] * law.wind_sd) ** 2).sum()))
    eye = GATE_EYE if output == DRIFT else 0.01
    return math.hypot(float(law.run_sd[output]), wind, eye) / math.sqrt(runs)


def _change(season: Season, entry: Entry, key: str, line_up: LineUp, mean: float, output: int) -> str:
    """One thing to do about the likeliest cause."""
    kit = season.kit_of(entry)
    if key == "chance":
        return "Change nothing and try again as before."
    if key == "none":
        printed = print_again(kit, entry.built)
        if printed:
            return printed.says
        return (
            _aim(mean, season, entry) if output == DRIFT else "Dry it, put in a fresh battery and try again."
        )
    for each in candidates(kit, entry.built, season.groups[entry.group]):
        if each.mends and each.mends[0] == key:
            return each.says
    return line_up.suspects[key].test


def _aim(mean: float, season: Season, entry: Entry) -> str:
    """The launch line turned against what it has drifted."""
    gate = season.groups[entry.group].gate
    turn = math.degrees(math.atan2(abs(mean), gate.distance))
    return f"Aim {turn:.0f} deg to {side(-mean)} of the gate's middle, and change nothing on the boat."

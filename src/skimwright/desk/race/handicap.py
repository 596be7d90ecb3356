"""A handicap race for boats of a season: who starts where, from the better half of their trials."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from skimwright.base import Finding, InputError, SkimwrightError, Where
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.race.lots import read_boat_number
from skimwright.desk.race.race_pace import race_paces
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.tables import Rows
from skimwright.desk.trials.log_run import RunLog
from skimwright.regatta import Handicap, Pace, lay_out_handicap
from skimwright.run import forecast

HANDICAP_COLUMNS = ("boat", "distance_m")
MODEL_RUNS = 64  # of the model, at each of two distances
SHORTER = 0.15  # of the distance, between the two


@dataclass(frozen=True, kw_only=True)
class HandicapRace:
    """Start places, what they rest on, and what to know."""

    handicap: Handicap
    known: Mapping[int, Pace]
    findings: tuple[Finding, ...]


def handicap_race(
    season: Season,
    log: RunLog,
    boats: Sequence[int],
    *,
    full: float | None = None,
    most: float = 0.25,
    step: float = 0.5,
    last: Mapping[int, float] | None = None,
    late: Mapping[int, float] | None = None,
) -> HandicapRace:
    """Start distances with the same chance for each boat.

    Parameters
    ----------
    season : Season
    log : RunLog
    boats : sequence of int
    full : float, optional
        Of the boat that starts farthest back; the longest qualifying distance of these boats if None. [m]
    most : float
        No boat starts nearer than this share of it. [-]
    step : float
        How far a start may move since last time. [m]
    last : mapping, optional
        Distances last time. [m]
    late : mapping, optional
        From `late_speeds`; without it time is taken to grow in proportion to the distance. [-]

    Raises
    ------
    InputError, MissingError, ModelError
        No such boat, too few, or a number out of range.
    """
    known = race_paces(season, log, boats, best_half=True)
    groups = {entry.number: season.groups[entry.group] for entry in season.boats}
    distances = {groups[boat].qualifying_distance for boat in boats}
    made = lay_out_handicap(known, full=full or max(distances), most=most, step=step, last=last, late=late)
    return HandicapRace(
        handicap=made, known=known, findings=tuple(_findings(made, known, distances, most=most, step=step))
    )


def late_speeds(
    season: Season,
    boats: Sequence[int],
    *,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> dict[int, float]:
    """Mean speed from the start over the speed near the line, by boat, from the model.

    A boat gets up to speed first and runs faster near the line, so that a metre off the start saves less than its
    share of the time.  Asked once for each kit with each device, of its first boat that no question stops; a boat
    whose kind the model cannot run is left out.

    Parameters
    ----------
    season : Season
    boats : sequence of int
    seed : int
        Same seed, same answer.
    progress : called with (kinds asked, in all)
    """
    entries = {entry.number: entry for entry in season.boats if entry.number in boats}
    kinds = {(entry.kit, entry.device): entry for entry in reversed(entries.values()) if not entry.is_stopped}
    found = {}
    for count, (kind, entry) in enumerate(kinds.items(), 1):
        gate = season.groups[entry.group].gate
        asked = question_about(season, entry, runs=MODEL_RUNS, seed=seed)
        nearer = replace(gate, distance=(1.0 - SHORTER) * gate.distance)
        try:
            times = [forecast(replace(asked, gate=each)).gate_time for each in (gate, nearer)]
        except SkimwrightError:
            times = [None, None]
        if progress:
            progress(count, len(kinds))
        far, near = times
        if far is not None and near is not None:
            found[kind] = min(1.0, (1.0 - near.p50 / far.p50) / SHORTER)
    return {n: found[e.kit, e.device] for n, e in entries.items() if (e.kit, e.device) in found}


def _findings(
    made: Handicap, known: Mapping[int, Pace], distances: set[float], *, most: float, step: float
) -> list[Finding]:
    found = []
    wide = [a.boat for a in made.allowances if a.is_wide]
    if wide:
        found.append(
            Finding(
                code="few-runs",
                severity="warning",
                what=f"Fewer than 3 trial runs: {_named(wide)}.",
                why="Its place rests on the others of the race more than on itself, so the range beside it is wide.",
                do=f"Run it more; no boat gets more than {100 * most:.0f} % of the distance whatever its runs say.",
            )
        )
    capped = [a.boat for a in made.allowances if a.is_capped]
    if capped:
        found.append(
            Finding(
                code="allowance-capped",
                severity="warning",
                what=f"It would need to start nearer than {made.full * (1 - most):.1f} m: {_named(capped)}.",
                why="Beyond that the race is decided by the tape, not by the boats.",
                do="Mend it, race it in another heat, or allow more with --most.",
            )
        )
    held = [a.boat for a in made.allowances if a.is_held]
    if held:
        found.append(
            Finding(
                code="one-step",
                severity="note",
                what=f"Moved by one step of {step:g} m only, and will move on next time: {_named(held)}.",
                why="A place moves by agreed steps, so that one slow race buys nothing.",
                do="Leave it so.",
            )
        )
    if len(distances) > 1:
        found.append(
            Finding(
                code="other-distance",
                severity="warning",
                what="These boats had their trials over different distances.",
                why="Speeds are means over their own distance, and getting up to speed weighs more in a short one.",
                do="Race them together only after a trial over one distance.",
            )
        )
    return found


def _named(boats: Sequence[int]) -> str:
    return ", ".join(f"{boat:02d}" for boat in boats)


def read_last_handicap(rows: Rows) -> dict[int, float]:
    """Distances of the last race, from a list of boat and distance_m.

    Raises
    ------
    InputError
        A column is missing, a cell is not a number, a boat stands twice.
    """
    for name in HANDICAP_COLUMNS:
        if name not in rows.columns:
            raise InputError(
                what="this column is missing",
                allowed=", ".join(HANDICAP_COLUMNS),
                do=f"Add a column headed {name}.",
                where=Where(file=rows.file, row=1, field=name),
            )
    found: dict[int, float] = {}
    for row in rows.rows:
        boat = read_boat_number(row.cells["boat"], Where(file=rows.file, row=row.number, field="boat"))
        text = row.cells["distance_m"].replace(",", ".")
        try:
            distance = float(text)
        except ValueError:
            distance = math.nan
        if not 1.0 <= distance <= 1000.0 or boat in found:
            raise InputError(
                what=f"boat {boat} stands twice" if boat in found else "not a distance",
                got="" if boat in found else f'"{row.cells["distance_m"]}"',
                allowed="each boat once, with metres from 1 to 1000",
                do="Copy the list of last time again.",
                where=Where(file=rows.file, row=row.number, field="boat" if boat in found else "distance_m"),
            )
        found[boat] = distance
    return found

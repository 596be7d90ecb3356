"""From the run log to what is known of each boat as a racer."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base import MissingError, Where
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.regatta import Pace, Trials, paces, trials_of
from skimwright.trials import since_change

CLOCK = 0.14  # start and stop by hand [s]; as trials take it


def race_paces(
    season: Season | None, log: RunLog | None, boats: Sequence[int], *, best_half: bool = False
) -> dict[int, Pace]:
    """How each boat runs, from `race_times`.

    Parameters
    ----------
    season, log, boats
        As for `race_times`.
    best_half : bool
        Judge a boat by the better half of its runs.

    Raises
    ------
    MissingError
        A boat is not in the season.
    """
    return paces(race_times(season, log, boats), best_half=best_half, clock=CLOCK)


def race_trials(season: Season | None, log: RunLog | None, boats: Sequence[int]) -> Trials:
    """The same times as a group's learning takes them."""
    return trials_of(race_times(season, log, boats), clock=CLOCK)


def race_times(
    season: Season | None, log: RunLog | None, boats: Sequence[int]
) -> dict[int, list[float | None]]:
    """Trial times of each boat since its last change, with its own device. [s]

    A run that got to the line teaches its speed; one that ended otherwise, None, teaches that the boat may fail.  A
    run without a time that did get there teaches nothing.

    Parameters
    ----------
    season : Season, optional
        None: nothing is known of any boat.
    log : RunLog, optional
    boats : sequence of int
        Whom to say something of.

    Raises
    ------
    MissingError
        A boat is not in the season.
    """
    if season is None or log is None:
        return {boat: [] for boat in boats}
    entries = {entry.number: entry for entry in season.boats}
    for boat in boats:
        if boat not in entries:
            raise MissingError(
                what=f"no boat {boat} in this season",
                allowed="a boat of boats.csv",
                do="Look at its number, or add its row.",
                where=Where(field="boat"),
            )
    longest = max((season.groups[entries[boat].group].qualifying_distance for boat in boats), default=0.0)
    return {boat: _times(season, log, entries[boat], longest) for boat in boats}


def _times(season: Season, log: RunLog, entry: Entry, distance: float) -> list[float | None]:
    """Times of its runs at one mean speed over the distance; None where it did not get there."""
    own = season.groups[entry.group].qualifying_distance
    times: list[float | None] = []
    for run in since_change(log.book.of(entry.number)):
        result = run.result
        if result.device not in (None, entry.device):
            continue
        if result.gate_time is not None:
            times.append(result.gate_time * distance / own)
        elif result.ending is not None and result.ending not in ("through the gate", "ran wide"):
            times.append(None)
    return times

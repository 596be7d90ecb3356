"""From the run log to what is known of each boat as a racer."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base import MissingError, Where
from skimwright.desk.boat_list import Entry
from skimwright.desk.log_run import RunLog
from skimwright.desk.season import Season
from skimwright.regatta import Pace, paces
from skimwright.trials import since_change

CLOCK = 0.14  # start and stop by hand [s]; as trials take it


def race_paces(
    season: Season | None, log: RunLog | None, boats: Sequence[int], *, best_half: bool = False
) -> dict[int, Pace]:
    """How each boat runs, from its trials since its last change, with its own device.

    A run that got to the line teaches its speed; one that ended otherwise teaches that the boat may fail.  A run
    without a time that did get there teaches only that.

    Parameters
    ----------
    season : Season, optional
        None: nothing is known of any boat.
    log : RunLog, optional
    boats : sequence of int
        Whom to say something of.
    best_half : bool
        Judge a boat by the better half of its runs.

    Raises
    ------
    MissingError
        A boat is not in the season.
    """
    if season is None or log is None:
        return paces({boat: [] for boat in boats})
    entries = {entry.number: entry for entry in season.boats}
    for boat in boats:
        if boat not in entries:
            raise MissingError(
                what=f"no boat {boat} in this season",
                allowed="a boat of boats.csv",
                do="Look at its number, or add its row.",
                where=Where(field="boat"),
            )
    longest = max(season.groups[entries[boat].group].qualifying_distance for boat in boats)
    times = {boat: _times(season, log, entries[boat], longest) for boat in boats}
    return paces(times, best_half=best_half, clock=CLOCK)


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

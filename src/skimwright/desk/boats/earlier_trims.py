"""The way back to an earlier trim, by the log."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.base import Finding
from skimwright.boat import spread
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.gate import kind_without
from skimwright.desk.trials.log_run import RunLog
from skimwright.trials import Trim, trims_of, unlogged_change


@dataclass(frozen=True, kw_only=True)
class EarlierTrims:
    """What one boat has run with, and what would come of going back."""

    entry: Entry
    trims: tuple[Trim, ...]  # oldest first; the last is how it is now
    question: Finding | None  # a change nobody wrote down: nothing is compared until it is answered

    @property
    def best(self) -> Trim | None:
        """The trim with the best chance, if it is not the one it has."""
        best = max(self.trims, key=lambda trim: trim.chance, default=None)
        return best if best is not None and best.undo else None


def earlier_trims(season: Season, entry: Entry, log: RunLog) -> EarlierTrims:
    """List the trims of a boat's logged changes.

    Parameters
    ----------
    season : Season
    entry : Entry
    log : RunLog

    Holds
        Runs with the boat's own device.  The prediction is by the log alone: what a trim brought, drawn toward what
        boats of its kind do.
    """
    own = tuple(r for r in log.book.of(entry.number) if r.result.device in (None, entry.device))
    gain = spread(entry.built, kit=season.kit_of(entry))["water_gain"].mean
    question = unlogged_change(own, water_gain=gain)
    rule = season.groups[entry.group]
    trims = () if question else trims_of(own, gate=rule.gate, kind=kind_without(season, log, entry, rule))
    return EarlierTrims(entry=entry, trims=trims, question=question)

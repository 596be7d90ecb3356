"""The race day for the pages: read once for each change of the season, and asked by every page of the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skimwright import desk
from skimwright.base import MissingError, Where

if TYPE_CHECKING:
    from skimwright.web.house import House

PLAN, ENTRIES, RESULTS = "day.toml", "entries.csv", "results.csv"


@dataclass(frozen=True, kw_only=True)
class DayView:
    """Plan, lots, log and points, as they stand."""

    lots: desk.DayLots
    names: dict[int, str]  # boat names by number
    points: desk.DayPoints
    corrected: frozenset[int]  # boats with a corrected result

    def boat(self, number: int) -> str:
        """``07 Gravel``."""
        return f"{number:02d} {self.names.get(number, '')}".strip()

    @property
    def to_come(self) -> Sequence[desk.PlannedHeat]:
        """Heats without a result that counts, in the order of the day."""
        known = self.points.day.heats
        return [h for h in self.lots.timetable.heats if h.number not in known or not known[h.number].counts]


def day_view(house: House) -> DayView:
    """The day.

    Raises
    ------
    MissingError
        There is no plan of the day, or no entries.
    """
    found = house.kept(("day", 0))
    if found is None:
        found = _read(house)
        house.keep(("day", 0), found)
    view: DayView = found
    return view


def _read(house: House) -> DayView:
    season, path = house.season(), house.path
    if not house.files.is_file(path / PLAN):
        raise MissingError(
            what="this season has no plan of the day",
            allowed=f"{PLAN} with its sessions",
            do="Write it, then open this page again.",
            where=Where(file=PLAN),
        )
    listed = house.rows(ENTRIES)
    if listed is None:
        raise MissingError(
            what="nobody is entered", allowed=f"{ENTRIES} with a row for each boat", do="Enter the boats.",
            where=Where(file=ENTRIES),
        )  # fmt: skip
    place = season.pond.place if season.pond else None
    plan = desk.read_day_plan(house.files.table(path / PLAN), date=season.regatta, place=place)
    entries = desk.read_entries(listed)
    rows = house.rows(RESULTS)
    events = desk.read_results(rows, entered=entries.names()) if rows and rows.rows else ()
    changed = {boat for event in events if event.kind == "correction" for boat in event.outcomes}
    return DayView(
        lots=desk.draw_day(plan, entries),
        names=entries.names(),
        points=desk.day_points(events, desk.points_tables["powerboat"], entries=entries),
        corrected=frozenset(changed),
    )

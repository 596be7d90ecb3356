"""The day's plan and its entries as paper shows them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping

from skimwright.desk.day_papers.heats import PaperBoat, PaperDay, PaperHeat
from skimwright.desk.day_papers.pack import PackAsk
from skimwright.desk.day_papers.pond_side import QueueRule
from skimwright.desk.day_plan import DayLots
from skimwright.desk.limits import SiteLimits
from skimwright.desk.lots import Entries
from skimwright.desk.season import Season
from skimwright.regatta import POWERBOAT, PointsTable, clock


def paper_day(
    season: Season,
    lots: DayLots,
    entries: Entries,
    *,
    printed: str = "",
    unweighed: Collection[int] = (),
    unfit: Mapping[int, str] | None = None,
) -> PaperDay:
    """Heats, planned times and names for paper.

    Parameters
    ----------
    printed : str
        When, and with which edition: stands at the foot of every page.
    unweighed : collection of int
        Boats mended, moved or wet since they were weighed.
    unfit : mapping of int to str
        Boats without the pit steward's tick, and why.
    """
    names, why = entries.names(), unfit or {}

    def seat(boat: int | None) -> PaperBoat | None:
        if boat is None:
            return None
        return PaperBoat(
            boat=boat, name=names.get(boat, ""), unweighed=boat in unweighed, unfit=why.get(boat, "")
        )

    heats = tuple(
        PaperHeat(
            number=heat.number,
            group=heat.group,
            round=heat.round,
            planned=clock(heat.start),
            lanes=tuple(seat(boat) for boat in heat.lanes),
        )
        for heat in lots.timetable.heats
    )
    day = f"{season.regatta.day} {season.regatta:%B %Y}"
    lanes = lots.timetable.plan.lanes
    return PaperDay(
        season=season.name, site=season.site.name, day=day, heats=heats, lanes=lanes, printed=printed
    )


def pack_for(
    day: PaperDay, *, table: PointsTable = POWERBOAT, site: SiteLimits | None = None, blanks: int = 4
) -> PackAsk:
    """What the pack needs, from the heats themselves."""
    raced = Counter((heat.group, boat.boat) for heat in day.heats for boat in heat.lanes if boat is not None)
    groups: dict[str, dict[int, PaperBoat]] = {}
    for heat in day.heats:
        for boat in heat.lanes:
            if boat is not None:
                groups.setdefault(heat.group, {})[boat.boat] = boat
    seated = tuple((name, tuple(boats[n] for n in sorted(boats))) for name, boats in groups.items())
    return PackAsk(
        day=day, groups=seated, races=max(raced.values(), default=4), table=table, site=site, blanks=blanks
    )


def queue_rules(season: Season, entries: Entries) -> tuple[QueueRule, ...]:
    """Each age group with its rule and its boats, in the order of the season."""
    return tuple(
        QueueRule(
            group=group.name,
            distance=f"{group.qualifying_distance:.4g} m",
            gate=f"{group.gate_width:g} m",
            tries=group.tries,
            boats=_of(entries, group.name),
        )
        for group in season.groups.values()
    )


def _of(entries: Entries, group: str) -> tuple[PaperBoat, ...]:
    return tuple(
        PaperBoat(boat=row.boat, name=row.name)
        for row in entries.rows
        if row.groups[:1] == (group,) and not row.withdrawn
    )

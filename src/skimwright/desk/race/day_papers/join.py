"""The day's plan and its entries as paper shows them."""

from __future__ import annotations

from collections import Counter

from skimwright.desk.race.day_papers.heats import PaperBoat, PaperDay, PaperHeat
from skimwright.desk.race.day_papers.pack import PackAsk
from skimwright.desk.race.day_papers.pond_side import QueueRule
from skimwright.desk.race.lots import Entries
from skimwright.desk.race.race_day import DayHeat, RaceDay
from skimwright.desk.seasons.season import Season
from skimwright.desk.water.limits import SiteLimits
from skimwright.regatta import POWERBOAT, PointsTable, clock


def paper_day(day: RaceDay, *, season: str, site: str = "", printed: str = "") -> PaperDay:
    """Heats as they stand now, in the order in which they are raced, with names and marks.

    Boats are marked as not ticked only once the pit steward has begun to tick: the evening before nobody has one.

    Parameters
    ----------
    season, site : str
        Their names.
    printed : str
        When, and with which edition: stands at the foot of every page.
    """
    order = [h.number for h in day.heats if h.number not in day.ahead]
    heats = tuple(_heat(day, day.heat(number), has_ticks(day)) for number in (*order, *day.ahead))
    date = f"{day.date.day} {day.date:%B %Y}"
    lanes = day.plan.lanes
    return PaperDay(season=season, site=site, day=date, heats=heats, lanes=lanes, printed=printed)


def has_ticks(day: RaceDay) -> bool:
    """Whether the pit steward has ticked anybody yet."""
    return any(event.kind == "fit" for event in day.events)


def _heat(day: RaceDay, heat: DayHeat, ticking: bool) -> PaperHeat:
    def seat(boat: int | None) -> PaperBoat | None:
        if boat is None or boat in heat.out:
            return None
        why = day.fitness[boat].why_not if ticking and boat in heat.unticked else ""
        return PaperBoat(boat=boat, name=day.names.get(boat, ""), unweighed=boat in heat.unweighed, unfit=why)

    return PaperHeat(
        number=heat.number,
        group=heat.group,
        round=heat.round,
        planned=clock(heat.planned),
        lanes=tuple(seat(boat) for boat in heat.lanes),
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

"""The first page: where to go, and every boat."""

from __future__ import annotations

from starlette.responses import Response

from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import ANYONE, HOMES, VISITOR

doors = Doors()


@doors.get("/", who=ANYONE)
def home(visit: Visit) -> Response:
    """Places and boats; a visitor sees numbers and names only, and a phone with a job goes to its own page."""
    if visit.ticket.boat is not None:
        return visit.to(f"/water/boats/{visit.ticket.boat}")
    if visit.ticket.job in HOMES:
        return visit.to(HOMES[visit.ticket.job])
    season = visit.house.season()
    groups = [
        (group, [entry for entry in season.boats if entry.group == name])
        for name, group in season.groups.items()
    ]
    is_staff = visit.ticket.job != VISITOR
    return visit.page(
        "home.html",
        title=season.name,
        season=season,
        groups=[(group, entries) for group, entries in groups if entries],
        is_staff=is_staff,
    )

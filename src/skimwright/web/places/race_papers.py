"""Papers of the day from the browser: the next heats as sheets, cards and board, and the pack for no electricity."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from starlette.responses import Response

from skimwright.base import MissingError
from skimwright.desk import day_papers
from skimwright.web.day import race_day
from skimwright.web.doors import Doors, Visit

if TYPE_CHECKING:
    from skimwright.base.drawing import Drawing

doors = Doors()
PRINTERS = frozenset({"director", "scorer"})
Heats = tuple[day_papers.PaperHeat, ...]
Drawn = Callable[[day_papers.PaperDay, Heats], "list[Drawing]"]
PAPERS: dict[str, Drawn] = {
    "heats": lambda day, heats: day_papers.heat_sheets(day, heats),
    "cards": lambda day, heats: day_papers.crew_cards(day, heats),
    "board": lambda day, heats: day_papers.call_boards(day, heats, now=heats[0].number if heats else None),
    "pack": lambda day, heats: day_papers.day_pack(day_papers.pack_for(day)),
}


@doors.get("/race/papers/{paper}", who=PRINTERS)
def papers(visit: Visit) -> Response:
    """One paper as PDF, of the next three heats; a boat without a tick gets no card."""
    name = visit.in_path("paper")
    if name not in PAPERS:
        raise MissingError(
            what="there is no such paper", got=f'"{name}"', allowed=", ".join(PAPERS), do="Choose one."
        )
    season, day = visit.house.season(), race_day(visit.house)
    printed = day_papers.paper_day(
        day, season=season.name, site=season.site.name, printed=f"Printed {day.now:%d %b %H:%M}."
    )
    heats = printed.chosen((*day.on_water, *(heat.number for heat in day.next_heats(3)))[:3])
    pdf = visit.house.files.as_pdf(
        PAPERS[name](printed, heats), title=f"{name}, {season.name}", language="en"
    )
    return Response(
        pdf, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}.pdf"'}
    )

"""The boat's book: as drawn, as built, as run; the one page about a boat."""

from __future__ import annotations

from starlette.responses import Response

from skimwright import desk
from skimwright.desk import Entry
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF
from skimwright.web.kits import slug_of
from skimwright.web.work import Work

doors = Doors()
RUNS = 1000
SEED = 30480


@doors.get("/boats/{number:int}", who=STAFF)
def book(visit: Visit) -> Response:
    """One boat."""
    season, entry = visit.house.season(), visit.house.boat(visit.in_path("number"))
    kit = season.kits[entry.kit]
    floating = picture = None
    if not entry.is_stopped:
        floating = desk.float_as_built(
            kit, entry.built, water_temperature=season.conditions.water_temperature
        )
        picture = desk.side_view(kit, floating, name=entry.label)
    runs = desk.read_runs(visit.house.rows("runs.csv"), season)
    return visit.page(
        "book.html", title=f"{entry.number:02d} {entry.name}", season=season, entry=entry, kit=kit,
        measured=_measured(visit, entry), floating=floating, picture=picture,
        runs=runs.book.of(entry.number), run_findings=runs.findings_of(entry.number),
        forecast=visit.house.forecast_of(entry.number), slug=slug_of(visit.house, entry.kit),
    )  # fmt: skip


@doors.post("/boats/{number:int}/forecast", who=STAFF)
def begin_forecast(visit: Visit) -> Response:
    """Work this boat's runs out."""
    entry = visit.house.season().boat(visit.in_path("number"))
    house = visit.house

    def do(work: Work) -> None:
        stamp, season = house.stamp(boats_only=True), house.season()
        question = desk.question_about(season, entry, runs=RUNS, seed=SEED)
        found = desk.forecast_boat(
            question, name=entry.label, findings=entry.findings,
            progress=lambda done, total: work.progress(done, total, "runs worked out"), stop=work.stopped,
        )  # fmt: skip
        house.keep(("forecast", entry.number), found, read_at=stamp)

    work = house.bench.begin(
        f"Forecast of {entry.label}", do, owner=visit.ticket.id, back=f"/boats/{entry.number}/forecast"
    )
    return visit.to(f"/doing/{work.id}")


@doors.get("/boats/{number:int}/forecast", who=STAFF)
def forecast(visit: Visit) -> Response:
    """What it will do on the water."""
    entry = visit.house.boat(visit.in_path("number"))
    found = visit.house.forecast_of(entry.number)
    if found is None:
        return visit.to(
            f"/boats/{entry.number}", said="The boat has changed since it was worked out: do it again."
        )
    page = desk.boat_page(visit.house.season(), entry, found, foot="")
    return visit.page(
        "printed.html", title=page.title, over=page.over, page=page, back=f"/boats/{entry.number}"
    )


def _measured(visit: Visit, entry: Entry) -> list[tuple[str, str]]:
    """What was measured, as typed."""
    rows = visit.house.rows("boats.csv")
    row = next((row for row in rows.rows if row.number == entry.row), None) if rows else None
    cells = row.cells if row else {}
    return [(column, cells.get(column, "")) for column in desk.MEASURED]

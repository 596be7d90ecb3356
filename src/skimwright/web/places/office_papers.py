"""Office papers: the year's checklist, the safety sheet that gates the event, exports, a kept copy."""

from __future__ import annotations

import io
import re
import zipfile

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, MissingError, SkimwrightError
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import ORGANISERS
from skimwright.web.records import records

doors = Doors()
DIRECTOR = frozenset({"director"})


@doors.get("/office/checklist", who=ORGANISERS)
def checklist(visit: Visit) -> Response:
    """The fifteen stretches of the year, each with what the files show of it."""
    lines = desk.season_checklist(records(visit.house))
    return visit.page("lines.html", title="The year", lines=lines, verdict="", told=[])


@doors.get("/office/safety", who=DIRECTOR)
def safety(visit: Visit) -> Response:
    """The safety sheet: one line that stops keeps the water shut."""
    found = records(visit.house)
    lines = desk.safety_sheet(found)
    told = [
        f"{sheet.device.name}: {'open' if sheet.is_open else 'SHUT. ' + '; '.join(sheet.lacks)}"
        for sheet in found.sheets
    ]
    verdict = "open" if desk.may_open(lines) else "shut"
    return visit.page("lines.html", title="Safety sheet", lines=lines, verdict=verdict, told=told)


@doors.post("/office/take-out", who=ORGANISERS)
def take_out(visit: Visit) -> Response:
    """Every plain file of the season, for organisers: names of pupils are in it."""
    house = visit.house
    if house.path.is_dir():
        files, _ = house.files.plain_files(house.path)
    else:
        files = desk.as_plain_files(house.files.season_contents(house.path))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in sorted(files.items()):
            made.writestr(name, content)
    visit.house.diary(visit.ticket, "took out", [("the season's plain files", "", f"{len(files)} files")])
    return visit.download(f"{house.path.stem}.zip", out.getvalue())


@doors.get("/office/results.csv", who=ORGANISERS)
def results(visit: Visit) -> Response:
    """The log of the day as it stands."""
    house = visit.house
    path = house.path / "results.csv"
    if not house.files.is_file(path):
        raise MissingError(
            what="nothing has happened yet, so there are no results", do="Come back after the first heat."
        )
    return visit.download("results.csv", house.files.text(path).encode("utf8"))


@doors.post("/office/keep", who=ORGANISERS)
def keep(visit: Visit) -> Response:
    """A copy of the season file, restored and compared before it counts."""
    house = visit.house
    try:
        if house.path.is_dir():
            raise InputError(
                what="this season is a folder of plain files",
                do="Take its files out as one download instead.",
            )
        kept = house.files.keep_season(house.path, None, re.sub(r"[T:]", "-", house.files.now()[:19]))
    except SkimwrightError as error:
        return visit.again("office.html", error, title="Office", season=house.season())
    house.diary(visit.ticket, "kept a copy", [(str(kept.path), "", f"{kept.size} bytes")])
    return visit.to("/office", said=f"Kept, opened again and whole: {kept.path}, {kept.size / 1000:.0f} kB.")

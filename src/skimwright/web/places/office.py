"""Office: the season's papers, and who has which phone."""

from __future__ import annotations

import io

import segno
from markupsafe import Markup
from starlette.responses import Response

from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import JOBS, ORGANISERS

doors = Doors()
MOST_LINES = 200


@doors.get("/office", who=ORGANISERS)
def office(visit: Visit) -> Response:
    """What is kept here."""
    season = visit.house.season()
    return visit.page("office.html", title="Office", season=season)


@doors.get("/office/phones", who=ORGANISERS)
def phones(visit: Visit) -> Response:
    """The jobs, and a code for each on request."""
    return visit.page("phones.html", title="Phones", jobs=JOBS, code="", job="", picture="", link="")


@doors.post("/office/phones", who=ORGANISERS)
def new_code(visit: Visit) -> Response:
    """A code for one job, to scan or to type."""
    job = visit.typed("job", must=True)
    code = visit.house.keys.new_code(job, now=visit.house.now(), name=visit.typed("name", longest=40))
    visit.house.diary(visit.ticket, "gave a code", [(job, "", "")])
    link = f"{visit.house.address}/join/{code}"
    return visit.page(
        "phones.html", title="Phones", jobs=JOBS, code=code, job=job, picture=scannable(link), link=link
    )


@doors.post("/office/phones/end", who=ORGANISERS)
def end_codes(visit: Visit) -> Response:
    """End a job's codes."""
    job = visit.typed("job", must=True)
    ended = visit.house.keys.end_codes(job)
    visit.house.diary(visit.ticket, "ended codes", [(job, str(ended), "0")])
    return visit.to("/office/phones", said=f"{ended} code{'' if ended == 1 else 's'} of {job} ended.")


@doors.get("/office/diary", who=ORGANISERS)
def diary(visit: Visit) -> Response:
    """Who did what."""
    rows = visit.house.rows("diary.csv")
    lines = [row.cells for row in rows.rows[-MOST_LINES:]] if rows else []
    return visit.page("diary.html", title="Diary", lines=list(reversed(lines)))


def scannable(text: str) -> Markup:
    """A code a phone can read, as a picture."""
    out = io.BytesIO()
    segno.make(text, error="m").save(
        out, kind="svg", scale=5, xmldecl=False, svgns=True, nl=False, title=text
    )
    return Markup(out.getvalue().decode("utf8"))

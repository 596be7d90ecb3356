"""Office: the season's papers, and who has which phone."""

from __future__ import annotations

import datetime
import io
from typing import Any

import segno
from markupsafe import Markup
from starlette.responses import Response

from skimwright.base import InputError, Where
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
    """The jobs, a code for each on request, and the phones that have one."""
    return _phones(visit)


def _boat_of_crew(visit: Visit) -> str:
    text = visit.typed("boat", longest=4)
    if not text:
        return ""
    if not (text.isascii() and text.isdecimal()):
        raise InputError(what="not the number of a boat", got=f'"{text}"', where=Where(field="boat"),
                         do="Write its number, or leave it blank for any boat.")  # fmt: skip
    return f"boat {visit.house.boat(int(text)).number:02d}"


def _phones(visit: Visit, error: InputError | None = None, **new: Any) -> Response:
    context: dict[str, Any] = {"code": "", "job": "", "picture": "", "link": ""} | new
    phones = [
        (key, phone, datetime.datetime.fromtimestamp(phone["at"]))
        for key, phone in visit.house.keys.with_jobs(now=visit.house.now())
    ]
    context |= {"title": "Phones", "jobs": JOBS, "phones": phones}
    return (
        visit.page("phones.html", **context)
        if error is None
        else visit.again("phones.html", error, **context)
    )


@doors.post("/office/phones", who=ORGANISERS)
def new_code(visit: Visit) -> Response:
    """A code for one job, to scan or to type."""
    job = visit.typed("job", must=True)
    try:
        name = _boat_of_crew(visit) if job == "crew" else visit.typed("name", longest=40)
        code = visit.house.keys.new_code(job, now=visit.house.now(), name=name)
    except InputError as error:
        return _phones(visit, error)
    visit.house.diary(visit.ticket, "gave a code", [(job, "", name)])
    link = f"{visit.house.address}/join/{code}"
    return _phones(visit, code=code, job=name or job, picture=scannable(link), link=link)


@doors.post("/office/phones/end", who=ORGANISERS)
def end_codes(visit: Visit) -> Response:
    """End a job's codes."""
    job = visit.typed("job", must=True)
    ended = visit.house.keys.end_codes(job)
    visit.house.diary(visit.ticket, "ended codes", [(job, str(ended), "0")])
    return visit.to("/office/phones", said=f"{ended} code{'' if ended == 1 else 's'} of {job} ended.")


@doors.post("/office/phones/lost", who=ORGANISERS)
def end_phone(visit: Visit) -> Response:
    """Take the job from a phone that is lost or in the wrong hands."""
    name = visit.house.keys.end_phone(visit.typed("phone", must=True, longest=40))
    visit.house.diary(visit.ticket, "ended a phone", [(name, "", "")])
    return visit.to("/office/phones", said=f"One phone of {name} has no job any more.")


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

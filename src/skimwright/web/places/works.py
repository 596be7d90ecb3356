"""Long work: how far it is, and a way to stop it."""

from __future__ import annotations

from starlette.responses import Response

from skimwright.base import MissingError
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import Made
from skimwright.web.jobs import STAFF
from skimwright.web.work import Work

doors = Doors()


def _mine(visit: Visit) -> Work:
    """Of this phone, or of anybody for the organiser."""
    work = visit.house.bench.find(visit.in_path("id"))
    if work.owner != visit.ticket.id and not visit.ticket.may(frozenset()):
        raise MissingError(what="this piece of work belongs to somebody else", do="Begin your own.")
    return work


@doors.get("/doing/{id}", who=STAFF)
def look(visit: Visit) -> Response:
    """How far it is; when it is done, on to what came of it."""
    work = _mine(visit)
    if work.is_over and not work.error:
        return visit.to(work.back)
    return visit.page("work_part.html" if visit.is_part else "work.html", title=work.what, work=work)


@doors.post("/doing/{id}/stop", who=STAFF)
def stop(visit: Visit) -> Response:
    """Ask it to stop."""
    work = _mine(visit)
    work.stop()
    return visit.to(f"/doing/{work.id}", said="Stopping.")


@doors.get("/made/{id}", who=STAFF)
def made(visit: Visit) -> Response:
    """What came of it, with its files."""
    found = _made(visit)
    return visit.page("made.html", title=found.title, made=found, id=visit.in_path("id"))


@doors.get("/made/{id}/{file:path}", who=STAFF)
def file(visit: Visit) -> Response:
    """One of its files."""
    folder = _made(visit).folder.resolve()
    path = (folder / visit.in_path("file")).resolve()
    if not path.is_relative_to(folder) or not path.is_file():
        raise MissingError(what="there is no such file", do="Choose one from the list.")
    return visit.download(path.name, path.read_bytes())


def _made(visit: Visit) -> Made:
    found = visit.house.made(visit.in_path("id"))
    if found is None or not (found.owner == visit.ticket.id or visit.ticket.may(frozenset())):
        raise MissingError(what="this answer is no longer kept", do="Ask for it again.")
    return found

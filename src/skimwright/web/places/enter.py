"""Coming in: a code brings a phone its one job, the password makes an organiser."""

from __future__ import annotations

import contextlib
import secrets

from starlette.responses import Response

from skimwright.base import InputError
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import ANYONE, COOKIE, JOBS, ORGANISER, VISITOR, Ticket

doors = Doors()
ORGANISER_HOURS = 14.0


@doors.get("/enter", who=ANYONE)
def enter(visit: Visit) -> Response:
    """Where a code or the password is typed."""
    return visit.page("enter.html", title="Your code", code=visit.asked("code"))


@doors.get("/join/{code}", who=ANYONE)
def scanned(visit: Visit) -> Response:
    """A scanned code: one tap more, so that a preview in a message app does not use it."""
    return visit.page("enter.html", title="Your code", code=visit.in_path("code"))


@doors.post("/enter", who=ANYONE)
def take_code(visit: Visit) -> Response:
    """Give this phone its job, or make this browser the organiser's."""
    _slow(visit)
    code = visit.typed("code", must=True, longest=60)
    ticket = visit.house.keys.use_code(code, now=visit.house.now())
    if ticket is None and visit.house.keys.is_password(code):
        until = visit.house.now() + ORGANISER_HOURS * 3600.0
        ticket = Ticket(id=secrets.token_hex(8), job=ORGANISER, name="organiser", until=until)
    if ticket is None:
        error = InputError(
            what="this code opens nothing",
            do="Look at the sheet again: eight letters and figures, never 0, O, 1, I or L. Codes end in the evening.",
        )
        return visit.again("enter.html", error, title="Your code", code="")
    visit.house.keys.came_in(ticket, now=visit.house.now())
    visit.house.diary(ticket, "came in", [(ticket.job, "", ticket.name)])
    does = JOBS.get(ticket.job, "may do everything")
    return _with(visit, ticket, said=f"This phone is now: {ticket.name}. It {does}.")


@doors.post("/leave", who=ANYONE)
def leave(visit: Visit) -> Response:
    """Put the job down; nobody takes it up again with the same ticket."""
    with contextlib.suppress(InputError):
        visit.house.keys.end_phone(visit.ticket.id)
    return _with(visit, Ticket(id=secrets.token_hex(8), job=VISITOR), said="This phone has no job any more.")


def _slow(visit: Visit) -> None:
    client = visit.request.client.host if visit.request.client else ""
    if visit.house.guesses.is_too_fast(client):
        raise InputError(
            what="too many codes were tried from this phone", do="Wait five minutes, or ask the organiser."
        )


def _with(visit: Visit, ticket: Ticket, *, said: str) -> Response:
    answer = visit.to("/", said=said)
    answer.set_cookie(COOKIE, visit.house.keys.seal(ticket), path="/", httponly=True, samesite="strict")
    return answer

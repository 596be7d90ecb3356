"""The workbench as one ASGI application: every door behind the same guard."""

from __future__ import annotations

import asyncio
import contextlib
import hmac
import re
import secrets
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path
from typing import Any

from anyio import to_thread
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from skimwright import paper
from skimwright.base import InputError, MissingError, SkimwrightError
from skimwright.web.doors import Door, Visit
from skimwright.web.draw import Draw
from skimwright.web.house import House
from skimwright.web.jobs import COOKIE, ORGANISER, VISITOR, Ticket
from skimwright.web.places import all_doors
from skimwright.web.places.see import Shown
from skimwright.web.safe import HEADERS, LOCAL, Safe, TooLarge

MOST_FIELDS = 400
LONGEST_FIELD = 64 * 1024
THREADS = 8  # pages made at once; more would wait for the same two cores, and hold their own memory
LOOK_EVERY = 1.0  # whether somebody else wrote to the season [s]
STATIC = Path(__file__).parent / "static"
# Signs nobody types: those that end a text, and those that turn its direction about (Unicode, categories Cc and Cf).
UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
OF_A_BOAT = ("/water/boats/{number", "/boats/{number", "/classroom/wall/{number")
PASSED_ON = ("forwarded", "via", "x-forwarded-for", "x-forwarded-host", "x-real-ip")


def workbench(house: House) -> Starlette:
    """The application for one season."""
    draw = Draw()
    routes: list[Any] = [
        Route(door.path, _endpoint(door, house, draw), methods=[door.method]) for door in all_doors()
    ]
    routes += [
        Route("/live", _live(house, house.hub.listen), methods=["GET"]),
        Route("/see/live", _live(house, Shown(house, draw).listen), methods=["GET"]),
        Route("/style.css", _style, methods=["GET"]),
        Mount("/static", StaticFiles(directory=STATIC), name="static"),
    ]
    hosts = None if house.at_pond else frozenset(LOCAL)
    return Starlette(
        routes=routes,
        middleware=[Middleware(Safe, hosts=hosts), Middleware(GZipMiddleware, minimum_size=2000)],
        exception_handlers={
            HTTPException: _http_error(house, draw),
            TooLarge: _too_large,
            Exception: _fault(house, draw),
        },
        lifespan=_lifespan(house),
    )


def _lifespan(house: House) -> Callable[[Starlette], contextlib.AbstractAsyncContextManager[None]]:
    @contextlib.asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        house.hub.open()
        if house.copies is not None:
            house.copies.open()
        to_thread.current_default_thread_limiter().total_tokens = THREADS
        watching = asyncio.create_task(_watch(house))
        yield
        watching.cancel()
        house.close()

    return lifespan


async def _watch(house: House) -> None:
    """Tell the pages when another program wrote to the season."""
    house.told = house.stamp()
    while True:
        await asyncio.sleep(LOOK_EVERY)
        try:
            stamp = await run_in_threadpool(house.stamp)
        except OSError:  # it cannot be looked at now; perhaps in a moment
            stamp = ()
        if stamp != house.told:
            house.told = stamp
            house.hub.tell("season")


# who asks


def _ticket(request: Request, house: House) -> tuple[Ticket, bool]:
    """Who asks, and whether a new cookie is due."""
    kept = house.keys.unseal(request.cookies.get(COOKIE, ""), now=house.now())
    if kept is not None and kept.is_of_desk and not _is_here(request):
        kept = None
    if kept is not None and not (kept.job == VISITOR and _is_here(request)):
        return kept, False
    job = ORGANISER if _is_here(request) else VISITOR
    return Ticket(
        id=kept.id if kept else secrets.token_hex(8), job=job, name="desk" if job == ORGANISER else ""
    ), True


def _is_here(request: Request) -> bool:
    """At the computer Skimwright runs on, not passed on from elsewhere; who sits there may open its files anyway."""
    if any(name in request.headers for name in PASSED_ON):
        return False
    client = request.client.host if request.client else ""
    host = (request.headers.get("host") or "").rsplit(":", 1)[0].strip("[]").lower()
    return client in LOCAL and host in LOCAL


def _endpoint(door: Door, house: House, draw: Draw) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        ticket, is_new = _ticket(request, house)
        visit = Visit(house=house, draw=draw, request=request, ticket=ticket)
        if not ticket.may(door.who) or _is_anothers_boat(door, visit):
            answer = _refused(visit)
        elif ticket.job == VISITOR and _looks_too_fast(door, visit):
            says = "This phone asks for more than a person reads. Wait a minute, then go on."
            answer = visit.page("stop.html", status=429, title="Too fast", says=says)
        elif door.method == "POST":
            answer = await _act(door, visit)
        else:
            answer = await run_in_threadpool(_answer, door, visit)
        if is_new and COOKIE not in answer.headers.get("set-cookie", ""):
            keep(answer, house, ticket)
        return answer

    return endpoint


def _is_anothers_boat(door: Door, visit: Visit) -> bool:
    """A crew's phone that was given one boat reads of all, and writes about its own."""
    mine = visit.ticket.boat
    is_of_boat = door.method == "POST" and door.path.startswith(OF_A_BOAT)
    return mine is not None and is_of_boat and visit.in_path("number") != mine


def _looks_too_fast(door: Door, visit: Visit) -> bool:
    """The spectators' page is made once for all; the others cost something for each look."""
    address = visit.request.client.host if visit.request.client else ""
    return (
        door.method == "GET"
        and door.path != "/see"
        and address not in LOCAL
        and visit.house.looks.is_too_fast(address)
    )


def keep(answer: Response, house: House, ticket: Ticket) -> None:
    """Put a ticket into the browser."""
    answer.set_cookie(COOKIE, house.keys.seal(ticket), path="/", httponly=True, samesite="strict")


async def _act(door: Door, visit: Visit) -> Response:
    if visit.house.pace.is_too_fast(visit.ticket.id):
        return visit.page("stop.html", status=429, title="Too fast",
                          says="This phone sends more than a person can. Wait a minute, then go on.")  # fmt: skip
    try:
        form, files = await _read_form(visit.request, takes_files=door.takes_files)
    except SkimwrightError as fault:
        return visit.page("stop.html", status=400, title="Not taken", says=visit.sentence(fault))
    if any(UNSEEN.search(name + text) for name, text in form.items()):
        error = InputError(
            what="a letter that cannot be written is in what was typed", do="Type it anew; do not paste it."
        )
        return visit.page("stop.html", status=422, title="Not taken", says=visit.sentence(error))
    token = form.pop("token", "") or visit.request.headers.get("X-Form-Token", "")
    if not _is_ours(visit, token):
        return visit.page("stop.html", status=403, title="This page is too old",
                          says="Open it again, then send once more. Nothing was changed.")  # fmt: skip
    filled = Visit(house=visit.house, draw=visit.draw, request=visit.request, ticket=visit.ticket,
                   form=form, files=files)  # fmt: skip
    return await run_in_threadpool(_answer, door, filled)


def _is_ours(visit: Visit, token: str) -> bool:
    """Sent from one of our own pages: the token, and what the browser says of its origin."""
    came = visit.request.headers.get("origin")
    if came is not None and came.partition("://")[2] != visit.request.headers.get("host", ""):
        return False
    return hmac.compare_digest(token.encode("utf8"), visit.house.keys.form_token(visit.ticket).encode("utf8"))


async def _read_form(request: Request, *, takes_files: bool) -> tuple[dict[str, str], dict[str, bytes]]:
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind not in ("application/x-www-form-urlencoded", "multipart/form-data"):
        raise InputError(what="not a form", got=kind or "no kind", do="Send it from the page.")
    fields: dict[str, str] = {}
    files: dict[str, bytes] = {}
    try:
        async with request.form(max_files=8 if takes_files else 0, max_fields=MOST_FIELDS) as form:
            for name, value in form.multi_items():
                if isinstance(value, UploadFile):
                    files[name] = await value.read()
                elif len(value) > LONGEST_FIELD:
                    raise InputError(what="a field is too long", got=f"{len(value)} letters",
                                     allowed=f"up to {LONGEST_FIELD}", do="Send less.")  # fmt: skip
                else:
                    fields[name] = f"{fields[name]},{value}" if name in fields else value
    except (MultiPartException, HTTPException, UnicodeDecodeError, ClientDisconnect, ValueError) as error:
        raise InputError(
            what="the form cannot be read", do="Open the page again and send it once more."
        ) from error
    return fields, files


def _answer(door: Door, visit: Visit) -> Response:
    try:
        return door.answer(visit)
    except MissingError as error:
        return visit.page("stop.html", status=404, title="Not there", says=visit.sentence(error))
    except SkimwrightError as error:
        status = 422 if error.exit_status == 2 else 503
        return visit.page("stop.html", status=status, title="Not taken", says=visit.sentence(error))
    except OSError as error:  # no room, no right, too many files open
        says = f"The computer could not do it: {(error.strerror or 'an unknown fault').lower()}. Go on with paper."
        return visit.page("stop.html", status=503, title="Not taken", says=says)


def _refused(visit: Visit) -> Response:
    title = "This phone has another job"
    if visit.ticket.boat is not None:
        title = f"This phone is for {visit.ticket.name}"
    says = (
        "Scan the code of the job you want, or ask the organiser."
        if visit.ticket.job != VISITOR
        else "This page is for those who have a job here. Scan your code, or ask the organiser."
    )
    return visit.page("stop.html", status=403, title=title, says=says)


# the few doors that are not pages


def _live(
    house: House, listen: Callable[[str], AsyncIterator[str | bytes]]
) -> Callable[[Request], Awaitable[Response]]:
    async def live(request: Request) -> Response:
        address, ticket = request.client.host if request.client else "", _ticket(request, house)[0]
        if not house.hub.has_room(address, for_staff=ticket.job != VISITOR):
            return PlainTextResponse("Too many pages are open; this one looks anew by itself.", 503,
                                     headers={"Retry-After": "10"})  # fmt: skip
        return StreamingResponse(
            listen(address), media_type="text/event-stream", headers={"X-Accel-Buffering": "no"}
        )

    return live


async def _style(request: Request) -> Response:
    """The paper's own style, then the workbench's."""
    text = paper.STYLE + (STATIC / "workbench.css").read_text("utf8")
    return Response(text, media_type="text/css", headers={"Cache-Control": "max-age=60"})


# what went wrong


def _http_error(house: House, draw: Draw) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def handler(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 500
        ticket, _ = _ticket(request, house)
        visit = Visit(house=house, draw=draw, request=request, ticket=ticket)
        says = {404: "There is no such page.", 405: "This address does not take that."}.get(
            status, "That could not be read."
        )
        return visit.page("stop.html", status=status, title="Not there", says=says)

    return handler


async def _too_large(request: Request, error: Exception) -> Response:
    return PlainTextResponse("Too large.", 413)


def _fault(house: House, draw: Draw) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def handler(request: Request, error: Exception) -> Response:
        return PlainTextResponse(
            "Skimwright met a fault of its own and could not answer. Nothing half done was kept. Go on with paper.",
            500, headers=HEADERS | {"Cache-Control": "no-store"},
        )  # fmt: skip

    return handler

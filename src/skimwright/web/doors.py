"""Doors: each page and each action with who may use it, as plain data that tests can walk."""

from __future__ import annotations

import base64
import datetime
import json
import mimetypes
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Literal
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from skimwright.base import InputError, SkimwrightError, Where
from skimwright.web.draw import Draw
from skimwright.web.holds import hold_state
from skimwright.web.house import House
from skimwright.web.jobs import ANYONE, VISITOR, Ticket

SAID = "said"  # the cookie that carries one sentence to the next page
LONGEST_WAIT = 14 * 3600.0  # in a queue [s]
IN_PATHS = "/?=&%#:,;+@!$~*"  # as they are


@dataclass(frozen=True, kw_only=True)
class Visit:
    """One request: who asks, what was typed, and how to answer."""

    house: House
    draw: Draw
    request: Request
    ticket: Ticket
    form: Mapping[str, str] = field(default_factory=dict)  # fields as typed, bounded
    files: Mapping[str, bytes] = field(default_factory=dict)  # uploads, bounded

    @property
    def is_part(self) -> bool:
        """Only a part of a page is wanted, by the script of one that is open."""
        return self.request.headers.get("HX-Request") == "true"

    @property
    def is_queued(self) -> bool:
        """It comes from the queue of a page that is open, which wants a word and no page."""
        return self.request.headers.get("X-Queue") == "1"

    def in_path(self, name: str) -> Any:
        """A piece of the address."""
        return self.request.path_params[name]

    def asked(self, name: str, usual: str = "") -> str:
        """A word behind the question mark of the address."""
        return self.request.query_params.get(name, usual)

    def typed(self, name: str, *, must: bool = False, longest: int = 400) -> str:
        """One field of the form.

        Raises
        ------
        InputError
            It is too long, or left out where it may not be.
        """
        text = " ".join(self.form.get(name, "").split())
        if len(text) > longest:
            raise InputError(what="too long", got=f"{len(text)} letters", allowed=f"up to {longest}",
                             do="Write it shorter.", where=Where(field=name))  # fmt: skip
        if must and not text:
            raise InputError(what="this was left out", do="Fill it in.", where=Where(field=name))
        return text

    def when(self) -> str:
        """The moment it was tapped: now, less the time it waited in the phone, whose clock may be wrong."""
        waited = self.form.get("waited_s", "")
        seconds = min(float(waited), LONGEST_WAIT) if re.fullmatch(r"\d{1,7}", waited) else 0.0
        now = datetime.datetime.fromisoformat(self.house.files.now())
        return (now - datetime.timedelta(seconds=seconds)).isoformat(timespec="seconds")

    def page(self, template: str, *, status: int = 200, **context: Any) -> Response:
        """A page from its template."""
        if self.is_queued and status >= 400:
            says = context.get("wrong") or context.get("says", "")
            return JSONResponse({"key": self.form.get("key", ""), "wrong": says}, status_code=status)
        # a part that is made anew must not take the sentence away from the page that is to show it
        said = "" if self.is_part else _unpack(self.request.cookies.get(SAID, ""))
        text = self.draw.page(template, self._context() | {"said": said} | context)
        answer = HTMLResponse(text, status_code=status)
        if said:
            answer.delete_cookie(SAID, path="/")
        return answer

    def again(self, template: str, error: SkimwrightError, **context: Any) -> Response:
        """The form once more with what was typed, and the sentence that says what is wrong."""
        return self.page(template, status=422, wrong=self.sentence(error), typed=self.form, **context)

    def sentence(self, error: SkimwrightError) -> str:
        """What went wrong, for this phone: no place on this computer, and what a file holds for the organiser only."""
        if self.ticket.job == VISITOR or (self.ticket.has_job and error.where.file):
            error = type(error)(what=error.what, allowed=error.allowed, do=error.do, where=error.where)
        return self.house.plainly(error.sentence())

    def to(self, path: str, *, said: str = "") -> Response:
        """On to another page, with a sentence for its head."""
        answer = RedirectResponse(path, status_code=303)
        if self.is_part:  # the script follows this itself
            answer = Response(status_code=204, headers={"HX-Redirect": quote(path, safe=IN_PATHS)})  # type: ignore[assignment]
        if self.is_queued:
            answer = JSONResponse({"key": self.form.get("key", ""), "said": said, "to": path})  # type: ignore[assignment]
        if said:
            answer.set_cookie(SAID, _pack(said), path="/", httponly=True, samesite="strict", max_age=60)
        return answer

    def download(self, name: str, content: bytes) -> Response:
        """A file to keep; pages made by others never run as ours."""
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        safe = re.sub(r"[^A-Za-z0-9._-]", "-", name)
        headers = {"Content-Disposition": f'attachment; filename="{safe}"'}
        return Response(content, media_type=kind, headers=headers)

    def _context(self) -> dict[str, Any]:
        return {
            "visit": self,
            "held": partial(hold_state, self.house),  # asked only by pages with a hold bar
            "house": self.house,
            "ticket": self.ticket,
            "token": self.house.keys.form_token(self.ticket),
            "here": self.request.url.path,
            "wrong": "",
            "typed": {},
        }


Answerer = Callable[[Visit], Response]


@dataclass(frozen=True, kw_only=True)
class Door:
    """One address, what it does, and who may."""

    path: str
    method: Literal["GET", "POST"]
    who: frozenset[str]
    answer: Answerer
    takes_files: bool = False


class Doors:
    """The doors of one place, in the order in which they are written."""

    def __init__(self) -> None:
        self.all: list[Door] = []

    def get(self, path: str, *, who: frozenset[str] = ANYONE) -> Callable[[Answerer], Answerer]:
        """A page."""
        return self._add(path, "GET", who, takes_files=False)

    def post(
        self, path: str, *, who: frozenset[str], takes_files: bool = False
    ) -> Callable[[Answerer], Answerer]:
        """An action."""
        return self._add(path, "POST", who, takes_files=takes_files)

    def _add(
        self, path: str, method: Literal["GET", "POST"], who: frozenset[str], *, takes_files: bool
    ) -> Callable[[Answerer], Answerer]:
        def keep(answer: Answerer) -> Answerer:
            self.all.append(Door(path=path, method=method, who=who, answer=answer, takes_files=takes_files))
            return answer

        return keep


def _pack(sentence: str) -> str:
    return base64.urlsafe_b64encode(json.dumps(sentence[:600]).encode()).decode()


def _unpack(cookie: str) -> str:
    try:
        found = json.loads(base64.urlsafe_b64decode(cookie)) if cookie else ""
    except (ValueError, RecursionError):
        return ""
    return found if isinstance(found, str) else ""

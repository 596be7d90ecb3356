"""Hold and clear, and what every page of the day shows of it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from starlette.responses import Response

from skimwright.base import SkimwrightError
from skimwright.web import holds
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF

doors = Doors()
CLEARS = frozenset({"director"})
TEMPLATE = "hold.html"


def _here(visit: Visit) -> dict[str, Any]:
    return {
        "title": "Hold",
        "events": list(reversed(holds.hold_events(visit.house)))[:30],
        "may_clear": visit.ticket.may(CLEARS),
    }


@doors.get("/hold", who=STAFF)
def hold(visit: Visit) -> Response:
    """Who holds, since when and why, and the whole log; for the script of an open page only the words of the bar."""
    if visit.is_part and not visit.asked("whole"):
        return visit.page("hold_now.html")
    return visit.page(TEMPLATE, **_here(visit))


@doors.post("/hold", who=STAFF)
def put(visit: Visit) -> Response:
    """Hold, from any phone that has a job."""
    words = visit.typed("words", longest=80)
    said = holds.put_hold(visit.house, visit.ticket, visit.typed("reason", must=True), words)
    return visit.to(_back(visit), said=said)


@doors.post("/hold/clear", who=CLEARS)
def clear(visit: Visit) -> Response:
    """Clear one hold."""
    return _done(visit, lambda: holds.clear_hold(visit.house, visit.ticket, visit.typed("whose", must=True)))


@doors.post("/hold/open", who=CLEARS)
def open_water(visit: Visit) -> Response:
    """Open the water, if every limit is written down."""
    return _done(visit, lambda: holds.open_water(visit.house, visit.ticket))


@doors.post("/hold/stop", who=CLEARS)
def stop(visit: Visit) -> Response:
    """Stop until somebody opens again."""
    return _done(visit, lambda: holds.stop_day(visit.house, visit.ticket, visit.typed("why", longest=200)))


def _done(visit: Visit, act: Callable[[], str]) -> Response:
    try:
        return visit.to(_back(visit), said=act())
    except SkimwrightError as error:
        return visit.again(TEMPLATE, error, **_here(visit))


def _back(visit: Visit) -> str:
    """The page it was said on; only one of our own."""
    page = visit.form.get("back", "")
    return page if re.fullmatch(r"/(?!/)[A-Za-z0-9/_.?=&%-]*", page) else "/hold"

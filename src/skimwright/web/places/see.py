"""What anybody may see of the day: numbers and names of boats, nothing else, on one small page."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, Response

from skimwright.base import MissingError, SkimwrightError
from skimwright.web import day as of_day
from skimwright.web.doors import Doors, Visit
from skimwright.web.draw import Draw
from skimwright.web.holds import WHY, hold_events, hold_state
from skimwright.web.house import House
from skimwright.web.jobs import ANYONE

doors = Doors()
TOPICS = re.compile(r"^event: (race|holds|season)$", re.M)
FRESH = 5.0  # even without news the page is made anew this often [s]


@doors.get("/see", who=ANYONE)
def see(visit: Visit) -> Response:
    """Now, next and the points; the same page for everybody, made once for each piece of news."""
    return HTMLResponse(_text(visit.house, visit.draw))


def _text(house: House, draw: Draw) -> str:
    key = (house.hub.number, int(house.now() / FRESH))
    with house.seeing:
        if house.seen is None or house.seen[0] != key:
            house.seen = (key, draw.page("see.html", _last_good(house)))
        return house.seen[1]


def _last_good(house: House) -> dict[str, Any]:
    """What is to be shown; while it cannot be read, what was shown before."""
    try:
        shown = house.last_seen = _shown(house) | {"is_old": False}
    except (SkimwrightError, OSError):
        if house.last_seen is None:
            raise
        shown = house.last_seen | {"is_old": True}
    return shown


class Shown:
    """The same page for everybody who has it open: made once for each piece of news, and sent along with it."""

    def __init__(self, house: House, draw: Draw) -> None:
        self._house, self._draw = house, draw
        self._number = -1
        self._made: asyncio.Task[bytes] | None = None

    async def listen(self, address: str) -> AsyncIterator[str | bytes]:
        """The news as events with the page in them."""
        async for message in self._house.hub.listen(address):
            if message.startswith("id:") and TOPICS.search(message):
                yield await self._event()
            elif not message.startswith("id:"):
                yield message

    async def _event(self) -> bytes:
        number = self._house.hub.number
        if self._made is None or number != self._number:
            self._number = number
            self._made = asyncio.create_task(run_in_threadpool(self._make))
        return await asyncio.shield(self._made)

    def _make(self) -> bytes:
        try:
            text = _text(self._house, self._draw)
        except (SkimwrightError, OSError):  # nothing good was ever shown: the page says why when it looks
            return b": cannot be read\n\n"
        part = text[text.index("<main") : text.index("</main>") + len("</main>")]
        lines = "".join(f"data: {line}\n" for line in part.splitlines() if line.strip())
        return f"event: page\n{lines}\n".encode()


@doors.get("/calls", who=ANYONE)
def board(visit: Visit) -> Response:
    """The call board, for a screen at the pit: three heats ahead, to be read from five metres."""
    return visit.page("board.html", title="Call board", **_last_good(visit.house))


def _shown(house: House) -> dict[str, Any]:
    shown: dict[str, Any] = {"made": house.files.now()[11:19], "day": None, "turns": []}
    try:
        day = of_day.race_day(house)
    except MissingError:  # the day is not planned yet; the page is there all the same
        season = house.season()
        return shown | {"name": season.name, "date": season.regatta}
    holds = hold_state(house).holds
    last = next((heat for heat in of_day.raced(day) if heat.counts), None)
    return shown | {
        "name": of_day.day_name(house),
        "date": day.date,
        "day": day,
        "turns": of_day.turns(day),
        "is_held": len(holds) > 0 or len(day.results.holds) > 0,
        "is_opened": any(event.what == "open" for event in hold_events(house)),
        "reasons": [hold.why for hold in holds if hold.why in WHY.values()],  # never free words
        "last": last,
        "order": of_day.in_order(last) if last else [],
        "points": of_day.points_of(day),
        "corrected": of_day.corrected_boats(day),
    }

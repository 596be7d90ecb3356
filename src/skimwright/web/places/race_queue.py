"""The queue for late qualifying: whose try is next, and when it is over."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, SkimwrightError, Where
from skimwright.web import day as of_day
from skimwright.web.doors import Doors, Visit
from skimwright.web.places.race import done, shown

doors = Doors()
QUEUE = frozenset({"start", "marshal", "director"})
HERE = "/race/queue"


@doors.get(HERE, who=QUEUE)
def queue(visit: Visit) -> Response:
    """Everybody in turn."""
    return visit.page("queue.html", **_queue(visit))


def _queue(visit: Visit) -> dict[str, Any]:
    found = shown(visit)
    day: desk.RaceDay = found["day"]
    in_it = {crew.boat for crew in day.queue.waiting} | set(day.queue.tries)
    outside = [boat for boat in sorted(day.names) if boat not in in_it]
    ends = None if day.queue_ends is None else desk.clock(day.queue_ends)
    return found | {
        "title": "Qualifying", "queue": day.queue, "ends": ends, "outside": outside, "endings": desk.try_endings,
    }  # fmt: skip


@doors.post(HERE, who=QUEUE)
def join(visit: Visit) -> Response:
    """Crews join it."""

    def again(error: SkimwrightError) -> Response:
        return visit.again("queue.html", error, **_queue(visit))

    try:
        boats = _boats(visit.typed("boats", must=True))
    except InputError as error:
        return again(error)
    return done(
        visit, lambda day, stamp: desk.queue_rows(day, boats, stamp), said="They are in the queue.", back=HERE,
        again=again,
    )  # fmt: skip


@doors.post("/race/queue/tried", who=QUEUE)
def tried(visit: Visit) -> Response:
    """How a try ended."""
    boat, ended = of_day.number_typed(visit, "boat"), visit.typed("ended", must=True)
    return done(
        visit, lambda day, stamp: desk.try_rows(day, boat, ended, stamp), said=f"Boat {boat:02d}: {ended}.",
        back=HERE, again=lambda error: visit.again("queue.html", error, **_queue(visit)),
    )  # fmt: skip


def _boats(said: str) -> list[int]:
    words = said.replace(",", " ").split()
    if not all(word.isascii() and word.isdigit() and len(word) < 5 for word in words):
        raise InputError(what="not numbers of boats", got=f'"{said}"', allowed="such as 3 18 21", do="Write them so.",
                         where=Where(field="boats"))  # fmt: skip
    return [int(word) for word in words]

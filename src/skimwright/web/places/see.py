"""What anybody may see of the day: numbers and names of boats, nothing else, on one small page."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from skimwright.base import MissingError
from skimwright.web.day import day_view
from skimwright.web.doors import Doors, Visit
from skimwright.web.holds import WHY, hold_state
from skimwright.web.jobs import ANYONE

doors = Doors()
FRESH = 5.0  # even without news the page is made anew this often [s]


@doors.get("/see", who=ANYONE)
def see(visit: Visit) -> Response:
    """Now, next and the points; the same page for everybody, made once for each piece of news."""
    key = (visit.house.hub.number, int(visit.house.now() / FRESH))
    kept = visit.house.seen
    if kept is None or kept[0] != key:
        kept = visit.house.seen = (key, _made(visit))
    return HTMLResponse(kept[1])


def _made(visit: Visit) -> str:
    house = visit.house
    season, state = house.season(), hold_state(house)
    try:
        view = day_view(house)
    except MissingError:  # the day is not planned yet; the page is there all the same
        view = None
    return visit.draw.page(
        "see.html",
        {
            "season": season,
            "view": view,
            "state": state,
            "reasons": [hold.why for hold in state.holds if hold.why in WHY.values()],  # never free words
            "made": house.files.now()[11:19],
        },
    )

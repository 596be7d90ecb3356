"""Hold and clear: what every phone of the day can do, and what only the director takes back."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from skimwright import desk
from skimwright.base import ConflictError, InputError, SkimwrightError, Where
from skimwright.web.jobs import Ticket
from skimwright.web.records import records

if TYPE_CHECKING:
    from skimwright.web.house import House

HOLDS = "holds.csv"
WHY = {"lightning": "lightning", "water": "boat in the water", "people": "people too near"}  # one tap each
OTHER = "other"


def hold_events(house: House) -> tuple[desk.Event, ...]:
    """Everything said so far."""
    path = house.path / HOLDS
    return desk.read_holds(house.files.grid(path)) if house.files.is_file(path) else ()


def hold_state(house: House) -> desk.State:
    """Go, hold or stop, now; a log that cannot be read holds everything."""
    try:
        return desk.state_at(hold_events(house), _now(house))
    except SkimwrightError as error:
        return desk.State(
            word="hold", says=f"Hold. The log of holds cannot be read: {house.plainly(error.sentence())}"
        )


def put_hold(house: House, who: Ticket, reason: str, words: str = "") -> str:
    """Hold; thunder starts its clock as well.  Each reason is a hold of its own.

    Returns
    -------
    str
        A sentence for whoever holds.

    Raises
    ------
    InputError
        No reason was given.
    """
    why = words if reason == OTHER else WHY.get(reason, "")
    if reason not in (*WHY, OTHER):
        raise InputError(what="no such reason", got=f'"{reason}"', allowed=", ".join((*WHY.values(), OTHER)),
                         do="Tap one.", where=Where(field="reason"))  # fmt: skip
    why = why or "a reason not said"
    now = _now(house)
    with house.alone():
        standing = desk.state_at(hold_events(house), now).holds
        mine = [hold for hold in standing if _job_of(hold.who) == who.says]
        events = []
        if all(hold.why != why for hold in mine):
            name = f"{who.says} ({why})" if mine else who.says
            events.append(desk.read_event(at=now, who=name, what="hold", why=why))
        if reason == "lightning":
            events.append(desk.read_event(at=now, who=who.says, what="thunder", why=why))
        _write(house, events)
    return f"Hold. Every phone shows it: {why}."


def clear_hold(house: House, who: Ticket, whose: str) -> str:
    """Clear one hold; the others stand.

    Raises
    ------
    ConflictError
        Nobody of that name holds.
    """
    now = _now(house)
    with house.alone():
        event = desk.read_event(at=now, who=whose, what="clear", why=f"cleared by {who.says}")
        state = desk.state_at((*hold_events(house), event), now)  # refuses what clears nothing
        _write(house, [event])
    return f"Cleared: {whose}. {state.says}"


def open_water(house: House, who: Ticket) -> str:
    """Open the water for the day; nobody does while a line of the safety sheet says stop.

    Raises
    ------
    ConflictError
        A limit is empty or a device shut; on the regatta day, the roster has a gap or the plan is not there.
    """
    stops = [line for line in desk.safety_sheet(records(house)) if line.state == "stop"]
    if stops:
        raise ConflictError(
            what="the safety sheet keeps the event shut", got=" ".join(f"{s.what}: {s.says}" for s in stops),
            do=" ".join(s.do for s in stops), where=Where(field="Safety sheet"),
        )  # fmt: skip
    with house.alone():
        _write(house, [desk.read_event(at=_now(house), who=who.says, what="open")])
    return "The water is open."


def stop_day(house: House, who: Ticket, why: str) -> str:
    """Stop for good, until somebody opens the water again.

    Raises
    ------
    InputError
        No reason was given.
    """
    if not why:
        raise InputError(what="a stop without a reason", do="Say why.", where=Where(field="why"))
    with house.alone():
        _write(house, [desk.read_event(at=_now(house), who=who.says, what="stop", why=why)])
    return "Stopped. Open the water to go on."


def _job_of(holder: str) -> str:
    return holder.split(" (", 1)[0]


def _now(house: House) -> datetime.datetime:
    return desk.moment(house.files.now(), Where(field="now"))


def _write(house: House, events: list[desk.Event]) -> None:
    if events:
        house.add(HOLDS, desk.HOLD_COLUMNS, [desk.hold_row(event) for event in events], topic="holds")

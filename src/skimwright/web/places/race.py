"""Race day at the director's laptop: now, next, after; calls; what waits; corrections; the points."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import SkimwrightError
from skimwright.web import day as of_day
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF
from skimwright.web.records import records

doors = Doors()
DIRECTOR = frozenset({"director"})
MARSHALS = frozenset({"director", "marshal"})
STARTERS = frozenset({"director", "start"})
LOOKERS = frozenset({"director", "marshal", "scorer", "announcer", "start"})
Make = Callable[[desk.RaceDay, desk.Stamp], Sequence[Mapping[str, str]]]


def shown(visit: Visit) -> dict[str, Any]:
    """What most pages of the day show."""
    day = of_day.race_day(visit.house)
    return {
        "day": day,
        "turns": of_day.turns(day),
        "waiting": [(heat, of_day.side_by_side(heat)) for heat in of_day.waiting(day)],
        "raced": of_day.raced(day),
    }


def done(
    visit: Visit, make: Make, *, said: str, back: str, again: Callable[[SkimwrightError], Response]
) -> Response:
    """One act of somebody's; where it is refused, the page again with the sentence."""
    try:
        is_new = of_day.act(visit, make)
    except SkimwrightError as error:
        return again(error)
    return visit.to(back, said=said if is_new else "It was in the log already; counted once.")


# the director's page


def _director(visit: Visit) -> dict[str, Any]:
    found = shown(visit)
    day: desk.RaceDay = found["day"]
    changes = [(heat, event) for heat in day.heats for event in heat.corrected]
    return found | {
        "title": "Race day",
        "points": of_day.points_of(day),
        "corrected": of_day.corrected_boats(day),
        "changes": list(reversed(changes)),
        "protests": [(heat, protest) for heat in day.heats for protest in heat.protests],
        "late": _late(day),
        "safety": [line for line in desk.safety_sheet(records(visit.house)) if line.state == "stop"],
        "stops": [
            f for f in day.findings if f.severity == "stop" and f.code not in ("hold-open", "heat-held")
        ],
        "cares": [f for f in day.findings if f.severity == "warning"],
    }


def _late(day: desk.RaceDay) -> float | None:
    """How far the next heat is behind its plan; None while nobody can say. [min]"""
    heat = next(iter(day.next_heats(1)), None)
    return None if heat is None or heat.expected is None else (heat.expected - heat.planned) / 60.0


@doors.get("/race", who=DIRECTOR)
def race(visit: Visit) -> Response:
    """The day in one column."""
    return visit.page("race.html", **_director(visit))


def _on_race(visit: Visit, make: Make, said: str) -> Response:
    def again(error: SkimwrightError) -> Response:
        return visit.again("race.html", error, **_director(visit))

    return done(visit, make, said=said, back="/race", again=again)


@doors.post("/race/call", who=DIRECTOR)
def call(visit: Visit) -> Response:
    """Call a heat, for the first time or again."""
    heat, why = of_day.number_typed(visit, "heat"), visit.typed("why", longest=200)
    return _on_race(
        visit, lambda day, stamp: desk.call_rows(day, heat, stamp, why=why), f"Heat {heat} is called."
    )


@doors.post("/race/missing", who=DIRECTOR)
def missing(visit: Visit) -> Response:
    """A crew has not come: wait, skip the heat, or write the boat down as not started."""
    heat, boat = of_day.number_typed(visit, "heat"), of_day.number_typed(visit, "boat")
    choice = visit.typed("choice", longest=20)
    return _on_race(
        visit, lambda day, stamp: desk.missing_rows(day, heat, boat, stamp, choice=choice),
        f"Heat {heat}, boat {boat:02d}: {choice or 'crew missing'}.",
    )  # fmt: skip


@doors.post("/race/allow", who=DIRECTOR)
def allow(visit: Visit) -> Response:
    """Let a boat race without the pit steward's tick."""
    heat, boat = of_day.number_typed(visit, "heat"), of_day.number_typed(visit, "boat")
    why = visit.typed("why", longest=200)
    return _on_race(
        visit, lambda day, stamp: desk.allow_rows(day, heat, boat, stamp, why=why),
        f"Boat {boat:02d} races heat {heat} without a tick.",
    )  # fmt: skip


@doors.post("/race/without", who=DIRECTOR)
def without(visit: Visit) -> Response:
    """A boat withdraws; only heats to come are drawn anew."""
    boat, why = of_day.number_typed(visit, "boat"), visit.typed("why", longest=200)
    return _on_race(
        visit,
        lambda day, stamp: desk.withdraw_rows(day, boat, stamp, why=why),
        f"Boat {boat:02d} has withdrawn.",
    )


@doors.post("/race/late", who=DIRECTOR)
def late(visit: Visit) -> Response:
    """A boat came late and takes its place in the heats to come."""
    boat, why = of_day.number_typed(visit, "boat"), visit.typed("why", longest=200)
    return _on_race(
        visit, lambda day, stamp: desk.late_rows(day, boat, stamp, why=why), f"Boat {boat:02d} is drawn in."
    )


@doors.post("/race/publish", who=DIRECTOR)
def publish(visit: Visit) -> Response:
    """Publish the lots: seed and mark go into the log."""
    why = visit.typed("why", longest=200)
    return _on_race(
        visit, lambda day, stamp: desk.publish_rows(day, stamp, why=why), "The lots are published."
    )


# the start


@doors.get("/race/start", who=STARTERS)
def start(visit: Visit) -> Response:
    """The heat that is called, and one button."""
    return visit.page("start.html", title="Start", **shown(visit))


@doors.post("/race/start", who=STARTERS)
def started(visit: Visit) -> Response:
    """A heat was let go."""
    heat = of_day.number_typed(visit, "heat")

    def again(error: SkimwrightError) -> Response:
        return visit.again("start.html", error, title="Start", **shown(visit))

    return done(
        visit, lambda day, stamp: desk.start_rows(day, heat, stamp), said=f"Heat {heat} is on the water.",
        back="/race" if visit.typed("back") == "/race" else "/race/start", again=again,
    )  # fmt: skip


# one heat: reports side by side, what was decided, and by whom


@doors.get("/race/marshal", who=MARSHALS)
def marshal(visit: Visit) -> Response:
    """What waits for the marshal."""
    return visit.page("marshal.html", title="Marshal", **shown(visit))


@doors.get("/race/heats/{number:int}", who=LOOKERS)
def heat_page(visit: Visit) -> Response:
    """One heat and everything said about it."""
    return visit.page("heat.html", **_heat(visit, visit.in_path("number")))


def _heat(visit: Visit, number: int) -> dict[str, Any]:
    day = of_day.race_day(visit.house)
    heat = day.heat(number)
    first = heat.outcomes or (heat.reports[0].outcomes if heat.reports else {})
    return {
        "title": f"Heat {number}",
        "day": day,
        "heat": heat,
        "lines": of_day.side_by_side(heat),
        "order": of_day.in_order(heat),
        "first": {boat: outcome.words() for boat, outcome in first.items()},
        "choices": of_day.choices(len(heat.boats)),
        "trail": [event for event in day.log if event.heat == number],
        "may_decide": visit.ticket.may(MARSHALS),
        "may_order": visit.ticket.may(DIRECTOR),
    }


def _on_heat(visit: Visit, make: Callable[[int], Make], said: str) -> Response:
    number = visit.in_path("number")

    def again(error: SkimwrightError) -> Response:
        return visit.again("heat.html", error, **_heat(visit, number))

    return done(visit, make(number), said=said, back=f"/race/heats/{number}", again=again)


@doors.post("/race/heats/{number:int}/decide", who=MARSHALS)
def decide(visit: Visit) -> Response:
    """The marshal's order, over all that was said."""
    why = visit.typed("why", longest=200)
    return _on_heat(
        visit,
        lambda n: (
            lambda day, stamp: desk.finish_rows(
                day, n, of_day.order_typed(visit, day.heat(n)), stamp, kind="decision", why=why
            )
        ),
        "Decided. It counts.",
    )


@doors.post("/race/heats/{number:int}/correct", who=MARSHALS)
def correct(visit: Visit) -> Response:
    """One boat's result anew, with the reason; the old one stays in the log."""
    boat, new = of_day.number_typed(visit, "boat"), visit.typed("new", must=True, longest=40)
    why = visit.typed("why", longest=200)
    return _on_heat(
        visit, lambda n: lambda day, stamp: desk.correct_rows(day, n, {boat: new}, stamp, why=why),
        f"Boat {boat:02d} is corrected. The table says so.",
    )  # fmt: skip


@doors.post("/race/heats/{number:int}/protest", who=STAFF)
def protest(visit: Visit) -> Response:
    """Somebody objects."""
    boat = of_day.number_typed(visit, "boat") if visit.typed("boat", longest=10) else None
    why = visit.typed("why", longest=200)
    return _on_heat(
        visit,
        lambda n: lambda day, stamp: desk.protest_rows(day, n, stamp, why=why, boat=boat),
        "The protest is open.",
    )


@doors.post("/race/heats/{number:int}/ruling", who=MARSHALS)
def ruling(visit: Visit) -> Response:
    """The protests are answered and change nothing."""
    why = visit.typed("why", longest=200)
    return _on_heat(visit, lambda n: lambda day, stamp: desk.ruling_rows(day, n, stamp, why=why), "Ruled.")


@doors.post("/race/heats/{number:int}/rerun", who=DIRECTOR)
def rerun(visit: Visit) -> Response:
    """The heat is raced again."""
    why = visit.typed("why", longest=200)
    return _on_heat(
        visit, lambda n: lambda day, stamp: desk.rerun_rows(day, n, stamp, why=why), "It is to be run again."
    )

"""The forecast with a hunch: the crew guesses first, then sees the water it needs, then where it really stopped."""

from __future__ import annotations

import secrets
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import ConflictError, SkimwrightError
from skimwright.desk import BoatForecast, BoatLearned, Entry
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF
from skimwright.web.work import Work

doors = Doors()
GUESSES = frozenset({"crew", "marshal", "scorer"})
RUNS, SEED = 1000, 30480
TEMPLATE = "hunch.html"


@doors.get("/boats/{number:int}/hunch", who=STAFF)
def hunch(visit: Visit) -> Response:
    """First only a slider; once it is locked, the water."""
    return visit.page(TEMPLATE, **_shown(visit))


@doors.post("/boats/{number:int}/hunch", who=GUESSES)
def lock(visit: Visit) -> Response:
    """Lock it into the run log, then work out the forecast."""
    house, number = visit.house, visit.in_path("number")
    entry = house.season().boat(number)
    try:
        guess = desk.read_hunch(visit.typed("distance_m", must=True, longest=20))
        with house.alone():
            log = desk.read_runs(house.rows("runs.csv"), house.season())
            if log.typed.waiting(number) is not None:
                raise ConflictError(
                    what="the guess for the next run is locked already", do="Run it, then guess again."
                )
            cells = {
                "boat": str(number), "entry": "guess", "guess": guess,
                "key": visit.typed("key", longest=60) or secrets.token_hex(12),
            }  # fmt: skip
            logged = desk.log_run(cells, log, house.season(), now=visit.when(), phone=visit.ticket.says)
            if logged.row is not None:
                house.add("runs.csv", desk.RUN_COLUMNS, [logged.row], topic="runs")
    except SkimwrightError as error:
        return visit.again(TEMPLATE, error, **_shown(visit))
    return _begin(visit, entry)


@doors.post("/boats/{number:int}/hunch/forecast", who=STAFF)
def work_out(visit: Visit) -> Response:
    """The forecast; in bad weather too, in one tap."""
    return _begin(visit, visit.house.season().boat(visit.in_path("number")), bad=bool(visit.typed("bad")))


@doors.post("/boats/{number:int}/hunch/learn", who=STAFF)
def learn(visit: Visit) -> Response:
    """Take the logged runs in."""
    house = visit.house
    entry = house.season().boat(visit.in_path("number"))

    def do(work: Work) -> None:
        stamp, season = house.stamp(), house.season()
        log = desk.read_runs(house.rows("runs.csv"), season)
        learned = desk.learn_boat(
            season, entry, log, runs=RUNS, seed=SEED,
            progress=lambda done, total: work.progress(done, total, "runs of the model"),
        )  # fmt: skip
        house.keep(("learned", entry.number), learned, read_at=stamp)

    work = house.bench.begin(
        f"What its runs teach about {entry.label}", do, owner=visit.ticket.id, back=_here(visit)
    )
    return visit.to(f"/doing/{work.id}")


def _begin(visit: Visit, entry: Entry, *, bad: bool = False) -> Response:
    house = visit.house

    def do(work: Work) -> None:
        stamp, season = house.stamp(boats_only=True), house.season()
        question = desk.question_about(season, entry, runs=RUNS, seed=SEED)
        found = desk.forecast_boat(
            desk.in_bad_weather(question) if bad else question, name=entry.label, findings=entry.findings,
            progress=lambda done, total: work.progress(done, total, "runs worked out"), stop=work.stopped,
        )  # fmt: skip
        house.keep(("bad" if bad else "hunch", entry.number), found, read_at=stamp)

    what = f"Forecast of {entry.label}" + (" in bad weather" if bad else "")
    work = house.bench.begin(what, do, owner=visit.ticket.id, back=_here(visit))
    return visit.to(f"/doing/{work.id}")


def _here(visit: Visit) -> str:
    return f"/boats/{visit.in_path('number')}/hunch"


def _shown(visit: Visit) -> dict[str, Any]:
    house, number = visit.house, visit.in_path("number")
    season, entry = house.season(), house.boat(number)
    log = desk.read_runs(house.rows("runs.csv"), season)
    crew = desk.hunches(log, number)
    found: BoatForecast | None = house.kept(("hunch", number), boats_only=True)
    bad: BoatForecast | None = house.kept(("bad", number), boats_only=True)
    learned: BoatLearned | None = house.kept(("learned", number))
    picture = None
    if found and crew.locked is not None:
        told = learned.found if learned else found
        picture = desk.strip_of_water(told.forecast, name=entry.label, flag=crew.flag, pins=crew.pins)
    return {
        "title": f"How far will {entry.number:02d} go?", "entry": entry, "group": season.groups[entry.group],
        "crew": crew, "may_guess": visit.ticket.may(GUESSES), "picture": picture,
        "found": found, "bad": bad, "learned": learned,
        "runs": log.book.of(number), "wind": desk.wind_picture(season.conditions),
        "columns": _columns(found, bad, learned),
        "because": desk.wrong_because(found.forecast) if found else "",
        "outside": found.findings if found else (),
    }  # fmt: skip


def _columns(
    found: BoatForecast | None, bad: BoatForecast | None, learned: BoatLearned | None
) -> list[tuple[str, dict[str, str]]]:
    """Figures with their ranges, as many versions as there are."""
    told = [("from the drawing and the card", found.forecast if found else None)]
    told += [("with its runs taken in", learned.found.forecast if learned else None)]
    told += [("headwind 3 m/s, soaked +20 g", bad.forecast if bad else None)]
    return [
        (
            words,
            {
                "through the gate": desk.share(f.through_gate, f.runs),
                "stops after": desk.span(f.distance, 1, "m"),
                "time to the gate": desk.span(f.gate_time, 2, "s") if f.gate_time else "too few reach it",
                "drift at the gate": desk.sideways_span(f.drift) if f.drift else "too few reach it",
                "blows over": desk.share(f.blows_over, f.runs),
            },
        )
        for words, f in told
        if f is not None
    ]

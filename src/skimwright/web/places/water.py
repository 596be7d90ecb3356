"""Water: the trial log on a wet phone, a run in four taps; nothing is ever struck out."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, SkimwrightError, Where
from skimwright.desk import Entry, Logged, RunLog
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF
from skimwright.web.pick import boats_by_group

doors = Doors()
LOGS = frozenset({"crew", "marshal", "scorer"})
RUNS = "runs.csv"
LAST = 5  # runs shown under the buttons
OFF_LINE = 5  # an entry that waited longer came from a phone without a line [s]
TEMPLATE = "trial.html"


@doors.get("/water", who=STAFF)
def water(visit: Visit) -> Response:
    """Which boat runs?"""
    log, may_log = _log(visit), visit.ticket.may(LOGS)

    def words(entry: Entry) -> str:
        runs = len(log.book.of(entry.number))
        return f"{runs} run{'' if runs == 1 else 's'}"

    return visit.page(
        "water.html", title="Water", ask="Which boat runs?", path="/water/boats" if may_log else "/boats",
        groups=boats_by_group(visit, words),
    )  # fmt: skip


@doors.get("/water/boats/{number:int}", who=LOGS)
def trial(visit: Visit) -> Response:
    """One boat's trial log: the guess first, then what happened."""
    return visit.page(TEMPLATE, **_shown(visit))


@doors.post("/water/boats/{number:int}/guess", who=LOGS)
def guess(visit: Visit) -> Response:
    """Lock the crew's guess."""
    number = visit.in_path("number")
    said = visit.typed("guess", must=True, longest=80)

    def cells(log: RunLog) -> dict[str, str]:
        waiting = log.typed.waiting(number)
        run = ""
        if waiting is not None and (waiting.phone != visit.ticket.says or _waited(visit)):
            guessed = [e.run for e in log.typed.events if e.boat == number and e.kind == "guess"]
            run = str(max([log.typed.last(number), *guessed]) + 1)
        return {"boat": str(number), "run": run, "entry": "guess", "guess": said}

    return _write(visit, cells, lambda logged: f"Locked for run {logged.event.run}: {logged.event.guess}.")


@doors.post("/water/boats/{number:int}/run", who=LOGS)
def run(visit: Visit) -> Response:
    """Log a run."""
    entry = visit.house.boat(visit.in_path("number"))
    group = visit.house.season().groups[entry.group]

    def cells(log: RunLog) -> dict[str, str]:
        tapped = desk.tapped_cells(
            group, distance=visit.typed("distance_m", longest=20) or visit.typed("tens", longest=20),
            side=visit.typed("side", longest=4), ending=visit.typed("ending", longest=20),
            time=visit.typed("time", longest=20),
        )  # fmt: skip
        return tapped | {
            "boat": str(entry.number), "entry": "run", "change": _change(visit),
            "try": "yes" if visit.typed("as_try") else "",
        } | _guessed(visit, log, entry)  # fmt: skip

    return _write(visit, cells, lambda logged: _told(visit, logged))


@doors.post("/water/boats/{number:int}/undo", who=LOGS)
def undo(visit: Visit) -> Response:
    """Take back the last run: a row more, never one less."""
    house = visit.house
    key = visit.typed("of", longest=60)
    with house.alone():
        log = _log(visit)
        try:
            if not key:
                raise InputError(what="no run to take back", do="Log one first, or correct an older one.")
            logged = desk.take_back(key, log, house.season(), now=visit.when(), phone=visit.ticket.says)
        except SkimwrightError as error:
            return visit.again(TEMPLATE, error, **_shown(visit))
        if logged.row is not None:
            house.add(RUNS, desk.RUN_COLUMNS, [logged.row], topic="runs")
    return visit.to(_here(visit), said=f"Run {logged.event.run} is taken back. Both rows stay in the log.")


def _write(visit: Visit, cells: Any, told: Any) -> Response:
    """Take one entry into the log, alone, so that its number is nobody else's."""
    house = visit.house
    with house.alone():
        log = _log(visit)
        try:
            asked = cells(log) | {"key": visit.typed("key", longest=60) or secrets.token_hex(12)}
            logged = desk.log_run(asked, log, house.season(), now=visit.when(), phone=visit.ticket.says)
        except SkimwrightError as error:
            return visit.again(TEMPLATE, error, **_shown(visit))
        if logged.row is not None:
            house.add(RUNS, desk.RUN_COLUMNS, [logged.row], topic="runs")
    return visit.to(_here(visit), said=told(logged))


def _guessed(visit: Visit, log: RunLog, entry: Entry) -> dict[str, str]:
    """Which run it is: the one whose guess was locked, on this phone or on this page."""
    key, words = visit.typed("guess_key", longest=60), visit.typed("guess", longest=80)
    if key:
        locked = next((e for e in log.typed.events if e.key == key and e.kind == "guess"), None)
        return {"run": str(locked.run)} if locked else {"run": "", "guess": words}
    waiting = log.typed.waiting(entry.number)
    if waiting is not None:
        return {"run": str(waiting.run)}
    raise InputError(
        what="the crew has not guessed yet", allowed="their guess, or skip", do="Lock it, then log the run.",
        where=Where(field="guess"),
    )  # fmt: skip


def _change(visit: Visit) -> str:
    said = visit.typed("changed", longest=20)
    words = visit.typed("change", longest=120)
    return words or said


def _told(visit: Visit, logged: Logged) -> str:
    found = logged.run
    if found is None:
        return "It was in the log already; counted once."
    left = " It stopped before the gate, so no side is logged." if _side_left_out(visit, logged) else ""
    return f"Run {found.run} is logged: {desk.run_words(found)}.{left}"


def _side_left_out(visit: Visit, logged: Logged) -> bool:
    return bool(visit.typed("side")) and logged.event.result.drift is None


def _waited(visit: Visit) -> bool:
    waited = visit.typed("waited_s", longest=10)
    return waited.isdigit() and int(waited) > OFF_LINE


def _log(visit: Visit) -> RunLog:
    with visit.house.alone():  # nobody writes between reading it and keeping it
        log: RunLog | None = visit.house.kept(("runs", 0))
        if log is None:
            stamp = visit.house.stamp()
            log = desk.read_runs(visit.house.rows(RUNS), visit.house.season())
            visit.house.keep(("runs", 0), log, read_at=stamp)
        return log


def _here(visit: Visit) -> str:
    return f"/water/boats/{visit.in_path('number')}"


def _shown(visit: Visit) -> Mapping[str, Any]:
    house, number = visit.house, visit.in_path("number")
    entry, log = house.boat(number), _log(visit)
    group = house.season().groups[entry.group]
    runs = log.book.of(number)
    waiting = log.typed.waiting(number)
    last = log.typed.last(number)
    undoable = _key_of_last(log, number, last)
    return {
        "title": f"{entry.number:02d} {entry.name}",
        "entry": entry,
        "group": group,
        "tens": desk.tens(group),
        "sides": desk.sides(group),
        "endings": desk.TAPPED_ENDINGS,
        "guesses": desk.GUESSES,
        "waiting": waiting,
        "next_run": waiting.run if waiting else last + 1,
        "last": [
            (each, desk.run_words(each), desk.run_track(each, group)) for each in reversed(runs[-LAST:])
        ],
        "undo_of": undoable,
        "undo_run": last,
        "asked": [f for f in log.findings_of(number) if f.severity != "note"],
    }


def _key_of_last(log: RunLog, number: int, last: int) -> str:
    """The key of the last run, if it can be taken back."""
    undone = {e.key for e in log.typed.events if e.kind == "undo"}
    run = next((r for r in log.typed.of(number) if r.run == last), None)
    if run is None or run.corrected:
        return ""
    keys = [
        e.key for e in log.typed.events
        if e.boat == number and e.run == last and e.kind == "run" and e.key and f"undo-{e.key}" not in undone
    ]  # fmt: skip
    return keys[0] if keys else ""

"""Phones with one job on the race day: finish A and B, pit, scorer, announcer."""

from __future__ import annotations

import re
import secrets
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, SkimwrightError, Where
from skimwright.web import day as of_day
from skimwright.web.doors import Doors, Visit
from skimwright.web.places.race import done, shown

doors = Doors()
FINISHERS = frozenset({"finish-a", "finish-b"})
PIT = frozenset({"pit", "director"})
WEIGHERS = frozenset({"pit", "scales", "director"})
SCORERS = frozenset({"scorer", "director"})
ANNOUNCERS = frozenset({"announcer", "director"})
TITLES = {"finish-a": "Finish A", "finish-b": "Finish B"}
AHEAD = 6  # heats that a finish phone has with it when the hotspot drops
MOST_LINES = 60  # of paper at once


# finish A and B


@doors.get("/race/finish", who=FINISHERS)
def finish(visit: Visit) -> Response:
    """Tap the lanes in the order in which they come in, then send."""
    return visit.page("finish.html", **_finish(visit))


def _finish(visit: Visit) -> dict[str, Any]:
    day = of_day.race_day(visit.house)
    mine = [heat for heat in day.heats if _has_said(heat, visit.ticket.says)]
    open_ones = [day.heat(n) for n in (*day.on_water, *day.ahead)] + of_day.waiting(day)
    to_report = [heat for heat in sorted(set_of(open_ones), key=lambda h: _turn(day, h)) if heat not in mine]
    asked = visit.asked("heat")
    if asked.isascii() and asked.isdecimal():
        chosen = day.heat(int(asked))
        to_report = [chosen, *(heat for heat in to_report if heat.number != chosen.number)]
    last = max(mine, key=lambda heat: _said_at(heat, visit.ticket.says), default=None)
    return {
        "title": TITLES.get(visit.ticket.says, visit.ticket.says),
        "day": day,
        "heats": [(heat, secrets.token_hex(8)) for heat in to_report[:AHEAD]],
        "choices": of_day.choices,
        "last": last,
        "lines": of_day.side_by_side(last) if last else [],
    }


def set_of(heats: list[desk.DayHeat]) -> list[desk.DayHeat]:
    """Each heat once."""
    return list({heat.number: heat for heat in heats}.values())


def _turn(day: desk.RaceDay, heat: desk.DayHeat) -> tuple[int, int]:
    """On the water first, then what the other phone reported, then those to come."""
    if heat.state in ("on the water", "waits"):
        return 0, heat.number
    return 1, day.ahead.index(heat.number) if heat.number in day.ahead else heat.number


def _has_said(heat: desk.DayHeat, phone: str) -> bool:
    return any(report.phone == phone for report in heat.reports)


def _said_at(heat: desk.DayHeat, phone: str) -> float:
    return max(report.when or 0.0 for report in heat.reports if report.phone == phone)


@doors.post("/race/finish", who=FINISHERS)
def send(visit: Visit) -> Response:
    """This phone's report of one heat."""
    number, why = of_day.number_typed(visit, "heat"), visit.typed("why", longest=200)

    def again(error: SkimwrightError) -> Response:
        return visit.again("finish.html", error, **_finish(visit))

    return done(
        visit,
        lambda day, stamp: desk.finish_rows(
            day, number, of_day.order_typed(visit, day.heat(number)), stamp, why=why
        ),
        said=f"Heat {number} is sent.", back="/race/finish", again=again,
    )  # fmt: skip


# the pit


def _pit(visit: Visit) -> dict[str, Any]:
    found = shown(visit)
    day: desk.RaceDay = found["day"]
    next_up = {boat: heat.number for heat in reversed(day.next_heats(30)) for boat in heat.boats}
    boats = sorted(day.fitness.values(), key=lambda f: (next_up.get(f.boat, 9999), f.boat))
    return found | {"title": "Pit", "boats": boats, "next_up": next_up}


@doors.get("/race/pit", who=PIT)
def pit(visit: Visit) -> Response:
    """Every boat, the next to race first: a tick, a mend, a mass."""
    return visit.page("pit.html", **_pit(visit))


def _in_pit(visit: Visit, make: Any, said: str) -> Response:
    def again(error: SkimwrightError) -> Response:
        return visit.again("pit.html", error, **_pit(visit))

    return done(visit, make, said=said, back="/race/pit", again=again)


@doors.post("/race/pit/fit", who=PIT)
def fit(visit: Visit) -> Response:
    """Tick one boat, or every boat of a heat."""
    unweighed = visit.typed("unweighed", longest=5) == "yes"
    if visit.typed("heat", longest=10):
        heat = of_day.number_typed(visit, "heat")
        return _in_pit(
            visit,
            lambda day, stamp: desk.fit_rows(day, day.heat(heat).unticked, stamp),
            f"Heat {heat} is ticked.",
        )
    boat = of_day.number_typed(visit, "boat")
    return _in_pit(
        visit, lambda day, stamp: desk.fit_rows(day, [boat], stamp, is_unweighed=unweighed),
        f"Boat {boat:02d} is fit{', marked unweighed' if unweighed else ''}.",
    )  # fmt: skip


@doors.post("/race/pit/unfit", who=PIT)
def unfit(visit: Visit) -> Response:
    """Take the tick away."""
    boat, why = of_day.number_typed(visit, "boat"), visit.typed("why", longest=200)
    return _in_pit(
        visit, lambda day, stamp: desk.unfit_rows(day, boat, stamp, why=why), f"Boat {boat:02d} may not race."
    )


@doors.post("/race/pit/mend", who=PIT)
def mend(visit: Visit) -> Response:
    """Crash, water, device moved, patch: it must be weighed again."""
    boat, why, patch = (
        of_day.number_typed(visit, "boat"),
        visit.typed("why", longest=200),
        visit.typed("patch"),
    )
    return _in_pit(
        visit, lambda day, stamp: desk.mend_rows(day, boat, stamp, why=why, patch=patch),
        f"Boat {boat:02d} is to be mended, then weighed.",
    )  # fmt: skip


@doors.post("/race/pit/weigh", who=WEIGHERS)
def weigh(visit: Visit) -> Response:
    """A boat's mass, as the scale at the pond shows it."""
    boat, mass = of_day.number_typed(visit, "boat"), _grams(visit)
    return _in_pit(
        visit,
        lambda day, stamp: desk.weighed_rows(day, boat, stamp, mass=mass),
        f"Boat {boat:02d} is weighed.",
    )


def _grams(visit: Visit) -> float:
    """A mass in grams. [kg]"""
    text = visit.typed("mass_g", must=True, longest=10)
    if not re.fullmatch(r"[0-9]{1,4}(\.[0-9]{1,2})?", text) or not 10 <= float(text) <= 3000:
        raise InputError(what="not the mass of a boat", got=f'"{text}"', allowed="10 to 3000 g",
                         do="Write what the scale shows.", where=Where(field="mass_g"))  # fmt: skip
    return float(text) / 1e3


# the scorer: paper comes in


def _scorer(visit: Visit) -> dict[str, Any]:
    found = shown(visit)
    return found | {"title": "Scorer", "to_type": [heat for heat in found["day"].heats if not heat.counts]}


@doors.get("/race/scorer", who=SCORERS)
def scorer(visit: Visit) -> Response:
    """Paper heat sheets, one line a heat."""
    return visit.page("scorer.html", **_scorer(visit))


@doors.post("/race/paper", who=SCORERS)
def paper(visit: Visit) -> Response:
    """Paper sheets, a line a heat: its number, then the lanes in the order in which they came in."""
    told: list[str] = []

    def again(error: SkimwrightError) -> Response:
        return visit.again("scorer.html", error, **_scorer(visit))

    def make(day: desk.RaceDay, stamp: desk.Stamp) -> tuple[dict[str, str], ...]:
        typed = desk.read_sheets(sheet_lines(visit.form.get("lines", "")), day)
        told.extend(f"heat {heat.heat}: {heat.says}" for heat in typed.heats)
        return desk.typed_rows(typed, time=f"{stamp.at:%H:%M:%S}", who=stamp.who)

    try:
        of_day.act(visit, make)
    except SkimwrightError as error:
        return again(error)
    return visit.to("/race/scorer", said=f"From paper, {'; '.join(told)}.")


def sheet_lines(text: str) -> desk.Rows:
    """Lines such as ``9 31=5246`` as rows, what stands behind the order is the reason.

    Raises
    ------
    InputError
        There is no line, too many, or one that is none.
    """
    where = Where(field="lines")
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not 1 <= len(lines) <= MOST_LINES:
        raise InputError(what="no line of a heat" if not lines else "too many lines at once", got=str(len(lines)),
                         allowed=f"1 to {MOST_LINES}", do="Write a line for each heat.", where=where)  # fmt: skip
    rows = []
    for number, line in enumerate((" ".join(line.split()) for line in lines), 1):
        match = (
            re.fullmatch(r"([0-9]{1,4})[ :,]+([-0-9=?/x ]+)(?: ([^\W\d_].*)|)", line)
            if len(line) <= 300
            else None
        )
        if match is None:
            raise InputError(what=f"line {number} is not a line of a heat", got=f'"{line[:60]}"',
                             allowed="such as 9 31=524/6", where=where,
                             do="Write the heat, then its lanes, the first to come in first.")  # fmt: skip
        cells = {"heat": str(int(match[1])), "lanes": match[2].strip(), "reason": (match[3] or "").strip()}
        rows.append(desk.Row(number=number, cells=cells))
    return desk.Rows(file="what was typed", columns=("heat", "lanes", "reason"), rows=tuple(rows))


# the announcer


@doors.get("/race/announcer", who=ANNOUNCERS)
def announcer(visit: Visit) -> Response:
    """What to read out: calls, the last result, the leaders."""
    found = shown(visit)
    day: desk.RaceDay = found["day"]
    last = next((heat for heat in found["raced"] if heat.counts), None)
    return visit.page(
        "announcer.html", title="Announcer", **found, last=last, order=of_day.in_order(last) if last else [],
        points=of_day.points_of(day), corrected=of_day.corrected_boats(day),
    )  # fmt: skip

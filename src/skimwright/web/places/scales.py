"""Scales: mass, balance point and feet from two readings; the next weight; the one change worth making."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, SkimwrightError, Where, parse_quantity
from skimwright.desk import Advice, Entry, Readings, TwoScales
from skimwright.web.doors import Doors, Visit
from skimwright.web.pick import boats_by_group
from skimwright.web.work import Work

doors = Doors()
WEIGHS = frozenset({"scales", "inspector", "pit"})
TEMPLATE = "weigh.html"
DISC = 0.005  # a disc of lead sheet as it is cut [kg] [choice]


@doors.get("/scales", who=WEIGHS)
def scales(visit: Visit) -> Response:
    """Which boat is on the scales?"""

    def words(entry: Entry) -> str:
        mass = entry.built.mass
        return (
            "a question is open"
            if entry.is_stopped
            else "not weighed"
            if mass is None
            else f"{mass * 1e3:.0f} g"
        )

    return visit.page(
        "pick.html", title="Scales", ask="Which boat is on the scales?", path="/scales/boats",
        groups=boats_by_group(visit, words),
    )  # fmt: skip


@doors.get("/scales/boats/{number:int}", who=WEIGHS)
def weigh(visit: Visit) -> Response:
    """Where the readings are typed."""
    return visit.page(TEMPLATE, **_form(visit))


@doors.post("/scales/boats/{number:int}", who=WEIGHS)
def weighed(visit: Visit) -> Response:
    """What the readings say; nothing is written yet."""
    house = visit.house
    season, entry = house.season(), house.boat(visit.in_path("number"))
    kit = season.kits[entry.kit]
    try:
        readings = _readings(visit)
        found = desk.weigh_boat(season, entry, readings, ballast_place=_length(visit, "ballast_mm"), runs=0)
    except SkimwrightError as error:
        return visit.again(TEMPLATE, error, **_form(visit))
    context = _form(visit) | {
        "found": found, "picture": desk.on_wedges(kit, readings, found), "feet_after": desk.feet_after(kit, found),
        "discs": round(found.ballast.mass / DISC) if found.ballast else 0, "typed": visit.form, "cells": _cells(found),
    }  # fmt: skip
    return visit.page(TEMPLATE, **context)


@doors.post("/scales/boats/{number:int}/take", who=WEIGHS)
def take(visit: Visit) -> Response:
    """Write what was weighed into the boat's book."""
    number = visit.in_path("number")
    cells = {name: visit.typed(name, longest=20) for name in COLUMNS if visit.typed(name, longest=20)}
    try:
        if not cells:
            raise InputError(what="nothing to write", do="Weigh the boat first.")
        changed = visit.house.set_cells(number, cells, who=visit.ticket, reason="weighed")
    except SkimwrightError as error:
        return visit.again(TEMPLATE, error, **_form(visit))
    said = "; ".join(f"{name} {was or 'blank'} is now {now}" for name, (was, now) in changed.items())
    return visit.to(
        f"/scales/boats/{number}", said=f"In the book: {said}." if said else "The book says so already."
    )


COLUMNS = ("mass_g", "balance_x_mm", "balance_y_mm", "water_gain_g_per_run")


def _cells(found: desk.WeighIn) -> dict[str, str]:
    """What would go into the book."""
    if found.verdict == "ask":
        return {}
    measured = (found.mass, found.balance_x, found.balance_y, found.water_gain)
    return {
        name: f"{value.value * 1e3:.1f}"
        for name, value in zip(COLUMNS, measured, strict=True)
        if value is not None
    }


@doors.get("/scales/boats/{number:int}/trim", who=WEIGHS)
def trim(visit: Visit) -> Response:
    """The one next change, if it was worked out."""
    entry = visit.house.boat(visit.in_path("number"))
    advice: Advice | None = visit.house.kept(("trim", entry.number))
    log = desk.read_runs(visit.house.rows("runs.csv"), visit.house.season())
    earlier = None if entry.is_stopped else desk.earlier_trims(visit.house.season(), entry, log)
    return visit.page(
        "trim.html",
        title=f"Trim {entry.number:02d} {entry.name}",
        entry=entry,
        advice=advice,
        earlier=earlier,
    )


@doors.post("/scales/boats/{number:int}/trim", who=WEIGHS)
def begin_trim(visit: Visit) -> Response:
    """Look for it: a rough answer soon, then a sharp one; stopped, the rough one stays."""
    house, number = visit.house, visit.in_path("number")
    entry = house.season().boat(number)
    try:
        target = _length(visit, "target_mm")
    except SkimwrightError as error:
        return visit.again(
            "trim.html",
            error,
            title=f"Trim {number:02d} {entry.name}",
            entry=entry,
            advice=None,
            earlier=None,
        )

    def do(work: Work) -> None:
        stamp, season = house.stamp(), house.season()
        saying = "Rough answer first"

        def rough(advice: Advice) -> None:
            nonlocal saying
            house.keep(("trim", number), advice, read_at=stamp)
            saying = f"So far: {advice.first.candidate.says} Sharpening"

        advice = desk.trim_boat(
            season, entry, target=target, rough=rough, stop=work.stopped,
            progress=lambda made, total: work.progress(made, total, saying),
        )  # fmt: skip
        house.keep(("trim", number), advice, read_at=stamp)

    work = house.bench.begin(
        f"Trim of {entry.label}", do, owner=visit.ticket.id, back=f"/scales/boats/{number}/trim"
    )
    return visit.to(f"/doing/{work.id}")


def _form(visit: Visit) -> dict[str, Any]:
    house, number = visit.house, visit.in_path("number")
    entry = house.boat(number)
    kit = house.season().kits[entry.kit]
    return {
        "title": f"Weigh {number:02d} {entry.name}", "entry": entry,
        "rests": [round(share * kit.length * 1e3, -1) for share in (0.3, 0.85)], "found": None,
    }  # fmt: skip


def _readings(visit: Visit) -> Readings:
    def load(name: str) -> float | None:
        return _quantity(visit, name, "mass", "g")

    def place(name: str) -> float | None:
        return _length(visit, name)

    return Readings(
        along=_pair(load, place),
        knife=place("knife_mm"),
        single=load("single_g"),
        across=_across(load, place),
        dry=load("dry_g"),
        wet=load("wet_g"),
        period=_quantity(visit, "twist_s", "time", "s"),
        string_spacing=place("strings_apart_mm") or 0.5,
        string_length=place("strings_mm") or 1.0,
        wet_runs=int(visit.typed("wet_runs", longest=2))
        if visit.typed("wet_runs", longest=2).isdecimal()
        else 1,
    )


Read = Callable[[str], float | None]


def _pair(load: Read, place: Read) -> TwoScales | None:
    front, rear = load("front_g"), load("rear_g")
    if front is None and rear is None:
        return None
    ends = place("front_mm"), place("rear_mm")
    if front is None or rear is None or ends[0] is None or ends[1] is None:
        raise InputError(
            what="two scales need four numbers", allowed="both readings, and where the two supports stand",
            do="Fill the one in that is blank.", where=Where(field="front and rear"),
        )  # fmt: skip
    return TwoScales(front=front, rear=rear, front_place=ends[0], rear_place=ends[1])


def _across(load: Read, place: Read) -> TwoScales | None:
    port, starboard, apart = load("port_g"), load("starboard_g"), place("sides_apart_mm")
    if port is None and starboard is None:
        return None
    if port is None or starboard is None or apart is None:
        raise InputError(
            what="side balance needs three numbers", allowed="both readings, and how far the supports are apart",
            do="Fill the one in that is blank.", where=Where(field="port and starboard"),
        )  # fmt: skip
    return TwoScales(front=port, rear=starboard, front_place=-0.5 * apart, rear_place=0.5 * apart)


def _quantity(visit: Visit, name: str, kind: Any, unit: str) -> float | None:
    text = visit.typed(name, longest=20)
    if not text:
        return None
    value = parse_quantity(
        text, kind, default_unit=unit, where=Where(field=name.rsplit("_", 1)[0].replace("_", " "))
    )
    if not 0.0 <= value <= 20.0:
        raise InputError(what="out of range", got=text, allowed="0 to 20 kg, 20 m or 20 s", do="Check the number.",
                         where=Where(field=name.rsplit("_", 1)[0].replace("_", " ")))  # fmt: skip
    return value


def _length(visit: Visit, name: str) -> float | None:
    return _quantity(visit, name, "length", "mm")

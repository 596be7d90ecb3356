"""Bench: the build card, one measurement a screen, each told as what it does on the water."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, MissingError, SkimwrightError, Where, parse_quantity
from skimwright.desk import BuildCheck, CardStep, Entry
from skimwright.web.doors import Doors, Visit
from skimwright.web.pick import boats_by_group
from skimwright.web.work import Work

doors = Doors()
CHECKS = frozenset({"inspector"})
STEP, CARD = "card_step.html", "card.html"
CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
QUICK_RUNS = 96  # paired runs behind the one sentence; the verdict takes more


@doors.get("/bench", who=CHECKS)
def bench(visit: Visit) -> Response:
    """Which boat is checked?"""

    def words(entry: Entry) -> str:
        if entry.is_stopped:
            return "a question is open"
        measured = sum(key in desk.CARD for key in entry.built.measured)
        return f"{measured} of {len(desk.CARD)} measured"

    return visit.page(
        "pick.html", title="Bench", ask="Which boat is checked?", path="/bench/boats",
        groups=boats_by_group(visit, words),
    )  # fmt: skip


@doors.get("/bench/boats/{number:int}", who=CHECKS)
def card(visit: Visit) -> Response:
    """The whole card, its verdict and why."""
    return visit.page(CARD, **_card(visit))


@doors.post("/bench/boats/{number:int}/check", who=CHECKS)
def check(visit: Visit) -> Response:
    """Work the card out."""
    house, number = visit.house, visit.in_path("number")
    entry = house.season().boat(number)

    def do(work: Work) -> None:
        stamp, made = house.stamp(), 0

        def told(piece: int, total: int) -> None:
            nonlocal made
            made += piece
            work.progress(made, total, "runs with and without each deviation")

        season = house.season()
        found = desk.check_boat(season, season.boat(number), progress=told, stop=work.stopped)
        house.keep(("check", number), found, read_at=stamp)

    work = house.bench.begin(
        f"Build check of {entry.label}", do, owner=visit.ticket.id, back=f"/bench/boats/{number}"
    )
    return visit.to(f"/doing/{work.id}")


@doors.post("/bench/boats/{number:int}/override", who=CHECKS)
def override(visit: Visit) -> Response:
    """An inspector's own verdict, with a name and a reason; the card's stays beside it."""
    house, number = visit.house, visit.in_path("number")
    try:
        found: BuildCheck | None = house.kept(("check", number))
        if found is None:
            raise InputError(what="the card has changed", do="Work out its verdict first, then decide.")
        decided = desk.decide(
            found, boat=number, verdict=visit.typed("verdict", must=True, longest=40),
            who=visit.typed("who", longest=60), reason=visit.typed("reason"), now=house.files.now(),
        )  # fmt: skip
    except SkimwrightError as error:
        return visit.again(CARD, error, **_card(visit))
    house.add(desk.OVERRIDES, desk.OVERRIDE_COLUMNS, [desk.decided_row(decided)], topic="boats")
    house.keep(("check", number), found, read_at=house.stamp())  # the card itself is as it was
    return visit.to(f"/bench/boats/{number}", said=f"Decided: {decided.says}. Name and reason are kept.")


@doors.get("/bench/boats/{number:int}/{step:int}", who=CHECKS)
def step(visit: Visit) -> Response:
    """One measurement."""
    return visit.page(STEP, **_step(visit))


@doors.post("/bench/boats/{number:int}/{step:int}", who=CHECKS)
def measured(visit: Visit) -> Response:
    """Write it into the book; then its one sentence."""
    house, number = visit.house, visit.in_path("number")
    shown = _step(visit)
    asked: CardStep = shown["step"]
    try:
        text, told = _typed(visit, asked)
        house.set_cells(number, {asked.column: text}, who=visit.ticket, reason="build card")
    except SkimwrightError as error:
        return visit.again(STEP, error, **shown)
    return visit.to(f"/bench/boats/{number}/{asked.number}?done=yes", said=told)


@doors.get("/bench/boats/{number:int}/{step:int}/effect", who=CHECKS)
def effect(visit: Visit) -> Response:
    """The sentence, worked out while the page is open already."""
    return visit.page("card_effect.html", title="What it does", sentence=_sentence(visit))


def _sentence(visit: Visit) -> str:
    house = visit.house
    entry, asked = house.boat(visit.in_path("number")), _asked(visit)
    if entry.is_stopped or asked.key not in entry.built.measured:
        return ""
    kept: str | None = house.kept((f"effect {asked.key}", entry.number))
    if kept is not None:
        return kept
    stamp = house.stamp()
    lines, _, _ = desk.card_lines(house.season(), entry, keys=[asked.key], runs=QUICK_RUNS, seed=30480)
    sentence = desk.effect_sentence(lines[0])
    house.keep((f"effect {asked.key}", entry.number), sentence, read_at=stamp)
    return sentence


def _typed(visit: Visit, asked: CardStep) -> tuple[str, str]:
    """What goes into the cell, and a sentence."""
    if visit.typed("same"):
        return f"{asked.drawn:.4g}", "Same as the drawing."
    corners = [visit.typed(name, longest=20) for name in CORNERS]
    if asked.key == "floor_twist" and any(corners):
        heights = tuple(
            parse_quantity(text, "length", default_unit="mm", where=Where(field=name.replace("_", " ")))
            for name, text in zip(CORNERS, corners, strict=True)
            if text
        )
        kit = visit.house.season().kits[visit.house.boat(visit.in_path("number")).kit]
        twist = desk.twist_from_corners(heights, spacing=kit.design.hull_width if kit.design else 0.0)
        said = " ".join(finding.sentence() for finding in desk.twist_findings(twist))
        return f"{twist.twist * 57.29578:.2f}", said
    text = visit.typed("value", longest=20)
    if not text:
        raise InputError(what="nothing was measured", allowed=f"a number in {asked.unit}, or go on to the next",
                         do="Type it, or go on; a blank is never a nought.", where=Where(field=asked.what))  # fmt: skip
    return text, f"Written: {asked.what} {text}."


def _asked(visit: Visit) -> CardStep:
    season, entry = visit.house.season(), visit.house.boat(visit.in_path("number"))
    steps = desk.card_steps(season.kits[entry.kit], season.groups[entry.group])
    number: int = visit.in_path("step")
    if not 1 <= number <= len(steps):
        raise MissingError(what="there is no such step", got=str(number), allowed=f"1 to {len(steps)}",
                           do="Choose one from the card.")  # fmt: skip
    return steps[number - 1]


def _step(visit: Visit) -> dict[str, Any]:
    season, entry, asked = visit.house.season(), visit.house.boat(visit.in_path("number")), _asked(visit)
    kit = season.kits[entry.kit]
    has = asked.key in entry.built.measured
    value = getattr(entry.built, asked.key) / desk.CARD[asked.key][3] if has else None
    return {
        "title": asked.what[0].upper() + asked.what[1:], "entry": entry, "step": asked,
        "steps": desk.card_steps(kit, season.groups[entry.group]), "picture": desk.card_picture(kit, asked),
        "value": value, "at": None if value is None else desk.row_of_mark((value - asked.drawn) / asked.allowed),
        "is_done": bool(visit.asked("done")) and has, "has": set(entry.built.measured), "corners": CORNERS,
    }  # fmt: skip


def _card(visit: Visit) -> dict[str, Any]:
    house, number = visit.house, visit.in_path("number")
    season, entry = house.season(), house.boat(number)
    decisions = desk.of_boat(desk.read_overrides(house.rows(desk.OVERRIDES)), number)
    found: BuildCheck | None = house.kept(("check", number))
    if found and decisions:
        found = replace(found, override=decisions[-1].override)
    lines = found.deviations if found else ()
    built = entry.built
    return {
        "title": f"Build card {number:02d} {entry.name}", "entry": entry, "found": found, "decisions": decisions,
        "steps": desk.card_steps(season.kits[entry.kit], season.groups[entry.group]),
        "group": season.groups[entry.group], "has": set(built.measured),
        "values": {k: getattr(built, k) / desk.CARD[k][3] for k in built.measured if k in desk.CARD},
        "effects": {line.key: (line, desk.effect_words(line.effect)) for line in lines},
        "stale": desk.stale(found, decisions) if found else (), "withdrawn": desk.WITHDRAWN,
    }  # fmt: skip

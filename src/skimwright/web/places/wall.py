"""The lesson wall: every crew at its step, who needs an adult next, and a page for each crew's phone."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import ConflictError, InputError, MissingError, SkimwrightError, Where
from skimwright.desk import Entry, MadeWall
from skimwright.web.doors import Doors, Visit
from skimwright.web.house import House
from skimwright.web.jobs import ORGANISER, STAFF
from skimwright.web.kits import slug_of

doors = Doors()
MARKS = "wall.csv"
COLUMNS = (*desk.MARK_COLUMNS, "at", "phone")
ADULTS = frozenset({"director", "marshal", "inspector"})  # with the organiser: they tick
SIGNS = {"done": "●", "waits": "!", "help": "?", "now": "◐", "to come": ""}
WORDS = {"done": "done", "waits": "show me", "help": "stuck", "now": "at it", "to come": ""}
WHY = {
    "help": "asks for help",
    "show": "waits to be looked at",
    "adult step": "an adult does part of this step",
}


@doors.get("/classroom/wall", who=STAFF)
def wall(visit: Visit) -> Response:
    """For the projector."""
    groups = _groups(visit.house)
    group = visit.asked("group", groups[0] if groups else "")
    made = _made(visit.house, group)
    return visit.page(
        "wall.html", title=f"Building, {group}", group=group, groups=groups, wall=made.wall, findings=made.findings,
        numbers=[entry.number for entry in _boats(visit.house, group)], signs=SIGNS, words=WORDS, why=WHY,
    )  # fmt: skip


@doors.get("/classroom/wall/chart/{group}", who=STAFF)
def chart(visit: Visit) -> Response:
    """The same on A3, to mark with a pen."""
    group = visit.in_path("group")
    made = _made(visit.house, group)
    content = visit.house.files.as_pdf([made.chart], title=f"Wall {group}", language="en")
    return visit.download(f"wall-{group.lower()}.pdf", content)


@doors.get("/classroom/wall/{number:int}", who=STAFF)
def crew(visit: Visit) -> Response:
    """One crew's step, on its phone."""
    return _crew(visit)


@doors.post("/classroom/wall/{number:int}", who=STAFF)
def mark(visit: Visit) -> Response:
    """Done, stuck, ticked, or the last of these taken back."""
    entry, house = visit.house.boat(visit.in_path("number")), visit.house
    try:
        said, step = visit.typed("said", must=True), visit.typed("step", must=True)
        _check(visit, said)
        with house.alone():
            row = _row(_made(house, entry.group), house, entry)
            if step != str(row.at or "all"):
                raise ConflictError(what="this step has been marked already", got=f"step {step[:20]}",
                                    do="Look at the page as it is now.")  # fmt: skip
            if row.at is None and said != desk.TAKEN_BACK:
                raise ConflictError(
                    what="every step of this boat is done", do="Take the last one back, or race it."
                )
            house.add(MARKS, COLUMNS, [_mark(visit, entry, said, row.at or row.done)], topic="wall")
    except SkimwrightError as error:
        return _crew(visit, error)
    return visit.to(f"/classroom/wall/{entry.number}")


def _check(visit: Visit, said: str) -> None:
    if said not in ("done", "help", "ticked", desk.TAKEN_BACK):
        raise InputError(what="not a mark", got=f'"{said[:40]}"', allowed="done, help, ticked, back",
                         do="Press one of the buttons.", where=Where(field="said"))  # fmt: skip
    if said == "ticked" and not visit.ticket.may(ADULTS):
        raise InputError(what="only an adult ticks this step", do="Show it to one.")


def _mark(visit: Visit, entry: Entry, said: str, step: int) -> dict[str, str]:
    now = visit.house.files.now()
    rows = visit.house.rows(MARKS)
    first = next((row.cells["at"] for row in rows.rows if row.cells.get("at")), now) if rows else now
    return {
        "boat": f"{entry.number:02d}", "step": str(step), "said": said, "minute": f"{_minutes(first, now):.1f}",
        "at": now, "phone": visit.ticket.says,
    }  # fmt: skip


def _minutes(first: str, now: str) -> float:
    """Between two moments as written.  [min]"""
    try:
        gone = datetime.datetime.fromisoformat(now) - datetime.datetime.fromisoformat(first)
    except (ValueError, TypeError) as fault:
        raise InputError(what="not a moment", got=f'"{first}"', allowed="2031-05-18T10:30:00+01:00", do="Correct it.",
                         where=Where(file=MARKS, field="at")) from fault  # fmt: skip
    return max(0.0, gone.total_seconds() / 60)


def _crew(visit: Visit, error: SkimwrightError | None = None) -> Response:
    house, entry = visit.house, visit.house.boat(visit.in_path("number"))
    made = _made(house, entry.group)
    row = _row(made, house, entry)
    kit = house.season().kit_of(entry)
    group = desk.band_for(house.season(), entry, None)
    words = {key: house.files.table(path) for key, path in house.files.guide_languages().items()}
    steps = desk.step_data(desk.make_guide(kit, desk.GuideAsk(group=group), languages=words, steps_only=True))
    step = steps[row.at - 1] if row.at else None
    context: dict[str, Any] = {
        "title": f"{entry.number:02d} {entry.name}", "entry": entry, "row": row, "step": step, "steps": len(steps),
        "state": row.cells[row.at - 1] if row.at else "done", "slug": slug_of(house, entry.kit), "group": group,
        "may_tick": visit.ticket.job == ORGANISER or visit.ticket.may(ADULTS),
    }  # fmt: skip
    if error is None:
        return visit.page("wall_crew.html", **context)
    return visit.again("wall_crew.html", error, **context)


def _groups(house: House) -> list[str]:
    season = house.season()
    return [name for name in season.groups if any(entry.group == name for entry in season.boats)]


def _boats(house: House, group: str) -> list[Entry]:
    return [entry for entry in house.season().boats if entry.group == group]


def _made(house: House, group: str) -> MadeWall:
    """The wall as it stands, its waiting times as of now."""
    if group not in _groups(house):
        raise MissingError(
            what="there is no such group in this season", got=f'"{group[:40]}"', do="Choose one."
        )
    numbers = {f"{entry.number:02d}" for entry in _boats(house, group)}
    rows = house.rows(MARKS)
    marks = (
        replace(rows, rows=tuple(row for row in rows.rows if row.cells.get("boat") in numbers))
        if rows
        else None
    )
    first = next((row.cells["at"] for row in rows.rows if row.cells.get("at")), "") if rows else ""
    words = house.lesson_words()
    return desk.wall_of(house.season(), group, words=words, first=words, marks=marks,
                        minute=_minutes(first, house.files.now()) if first else None)  # fmt: skip


def _row(made: MadeWall, house: House, entry: Entry) -> Any:
    place = [each.number for each in _boats(house, entry.group)].index(entry.number)
    return made.wall.rows[place]

"""The course: headings compared, where nobody may stand, the posts, the limits and the gate."""

from __future__ import annotations

import math
from typing import Any

from starlette.responses import Response

from skimwright import desk
from skimwright.base import InputError, MissingError, ModelError, SkimwrightError, Where, parse_quantity
from skimwright.base.page import Page
from skimwright.desk import CoursePlan, CourseQuestion, LimitsCard
from skimwright.web.doors import Doors, Visit
from skimwright.web.jobs import STAFF
from skimwright.web.work import Work

doors = Doors()
PLANS = frozenset({"director"})
KEY, LIMITS = ("course", 0), ("limits", 0)
FAN = tuple(math.radians(off) for off in range(-30, 30, 5))  # compared about the planned heading
RUNS, SEED = 119, 30480  # of each boat on each heading whose wind differs
TEMPLATE = "course.html"
NOT_YET = "The course is not worked out yet: compare the headings first."
FOOT = "Ask a person: the safety officer."


@doors.get("/water/course", who=STAFF)
def course(visit: Visit) -> Response:
    """The map and the headings, once they are worked out."""
    return visit.page(TEMPLATE, **_shown(visit))


@doors.post("/water/course", who=PLANS)
def plan(visit: Visit) -> Response:
    """Run every boat on every heading, and draw the lines."""
    house = visit.house
    try:
        question = _question(visit)
        if house.season().pond is None:
            raise MissingError(
                what="this season has no pond.toml", do="Measure the shore with pegs and tape."
            )
    except SkimwrightError as error:
        return visit.again(TEMPLATE, error, **_shown(visit))

    def do(work: Work) -> None:
        stamp, season = house.stamp(), house.season()
        log = desk.read_runs(house.rows("runs.csv"), season)
        pond = season.pond
        assert pond is not None
        found = desk.plan_course(season, pond, question, log=log, progress=_watched(work))
        house.keep(KEY, found, read_at=stamp)

    work = house.bench.begin("The course", do, owner=visit.ticket.id, back="/water/course")
    return visit.to(f"/doing/{work.id}")


@doors.get("/water/course/posts", who=STAFF)
def posts(visit: Visit) -> Response:
    """The list two people with two tapes take to the bank."""
    found = _plan(visit)
    if found is None:
        return visit.to("/water/course", said=NOT_YET)
    return _printed(visit, desk.posts_page(found, foot=FOOT), "/water/course")


@doors.get("/water/course/plan", who=STAFF)
def to_sign(visit: Visit) -> Response:
    """The plan for the safety officer to sign."""
    found = _plan(visit)
    if found is None:
        return visit.to("/water/course", said=NOT_YET)
    return _printed(visit, desk.course_page(found, foot=FOOT), "/water/course")


@doors.get("/water/gate", who=STAFF)
def gate(visit: Visit) -> Response:
    """Who is through the gate, and who is next."""
    season = visit.house.season()
    found = desk.at_the_gate(season, desk.read_runs(visit.house.rows("runs.csv"), season))
    return _printed(visit, desk.gate_page(found, season=season.name, foot="The marshal decides."), "/water")


@doors.get("/water/limits", who=STAFF)
def limits(visit: Visit) -> Response:
    """The limits card of the day, once it is worked out."""
    card: LimitsCard | None = visit.house.kept(LIMITS)
    if card is None:
        return visit.to("/water/course", said="The limits card is not worked out yet.")
    return _printed(visit, desk.limits_page(card, foot=FOOT), "/water/course")


@doors.post("/water/limits", who=PLANS)
def work_limits(visit: Visit) -> Response:
    """Limits from the site and from the least steady boat."""
    house = visit.house
    path = house.path / "limits.toml"
    if not house.files.is_file(path):
        raise MissingError(
            what="this season has no limits.toml, so the water stays shut",
            do="Ask the water's owner and the safety officer for the limits and write them down.",
        )
    site = desk.read_site_limits(house.files.table(path))

    def do(work: Work) -> None:
        stamp, season, watched = house.stamp(), house.season(), _watched(work)
        boats = desk.steadiness(season, seed=SEED, progress=lambda done, total: watched(done, total, "boats"))
        house.keep(LIMITS, desk.limits_card(season, site, boats), read_at=stamp)

    work = house.bench.begin("The limits card", do, owner=visit.ticket.id, back="/water/limits")
    return visit.to(f"/doing/{work.id}")


def _watched(work: Work) -> Any:
    def told(done: float, total: float, what: str) -> None:
        work.progress(done, total, what)
        if work.stopped():
            raise ModelError(what="stopped", do="Begin it again.")

    return told


def _question(visit: Visit) -> CourseQuestion:
    season = visit.house.season()
    usual = season.site.start
    east, north = (
        parse_quantity(text, "length", default_unit="m", where=Where(field=name)) if text else usual[axis]
        for axis, (name, text) in enumerate(
            (name, visit.typed(name, longest=20)) for name in ("start_east", "start_north")
        )
    )
    text = visit.typed("heading_deg", longest=20)
    heading = (
        parse_quantity(text, "angle", default_unit="deg", where=Where(field="heading"))
        if text
        else season.conditions.heading
    )
    lanes = visit.typed("lanes", longest=2) or "6"
    if not 0.0 <= heading <= math.tau + 1e-9 or not lanes.isdecimal() or not 1 <= int(lanes) <= 6:
        raise InputError(
            what="no such course", got=f"heading {text or 'as planned'}, {lanes} lanes",
            allowed="a heading of 0 to 360 deg and 1 to 6 lanes", do="Put it right.",
        )  # fmt: skip
    return CourseQuestion(
        start=(east, north), heading=heading, headings=tuple((heading + off) % math.tau for off in FAN),
        lanes=int(lanes), spacing=season.site.lane_spacing, runs=RUNS, seed=SEED,
    )  # fmt: skip


def _plan(visit: Visit) -> CoursePlan | None:
    found: CoursePlan | None = visit.house.kept(KEY)
    return found


def _printed(visit: Visit, page: Page, back: str) -> Response:
    return visit.page("printed.html", title=page.title, over=page.over, page=page, back=back)


def _shown(visit: Visit) -> dict[str, Any]:
    season = visit.house.season()
    found: CoursePlan | None = visit.house.kept(KEY)
    return {
        "title": "The course", "season": season, "plan": found,
        "map": desk.course_map(found) if found else None,
        "heading": math.degrees(found.question.heading if found else season.conditions.heading),
        "start": found.question.start if found else season.site.start,
        "lanes": found.question.lanes if found else 6,
        "may_plan": visit.ticket.may(PLANS), "has_limits": visit.house.kept(LIMITS) is not None,
        "bearing": desk.bearing, "chance": desk.chance, "wind": desk.wind_picture(season.conditions),
    }  # fmt: skip

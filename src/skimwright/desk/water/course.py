"""The course: where to start, which heading, where nobody may stand, and how to find that line on the ground."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from skimwright.base import Finding, InputError, Where
from skimwright.course import (
    ABEAM,
    BEHIND,
    ENOUGH_LOGGED,
    Fleet,
    Heading,
    KeepClear,
    LoggedRun,
    Reach,
    Runner,
    Tail,
    compare_headings,
    fleet_paths,
    keep_clear,
    model_headings,
    people_posts,
    reach_of,
    tail_of,
    touching,
)
from skimwright.desk.boats.forecast_boat import question_about
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.pond import (
    Bearings,
    PondMap,
    Spot,
    Sun,
    along_and_across,
    bearings_of,
    course_point,
    sun_at,
)

DEGREE = math.pi / 180.0
HOURS = range(9, 17)  # of race day looked at for the sun [choice]
POST_SPACING = 10.0  # [m] [choice]
INLAND = 15.0  # posts are wanted this near the water [m] [choice]
SPACINGS = (1.5, 2.0, 2.5, 3.0, 4.0)  # lane spacings compared [m]
SEATS = 12.0  # spectators are offered a place this far behind the start [m] [demo]


@dataclass(frozen=True, kw_only=True)
class CourseQuestion:
    """Where and how the boats would run."""

    start: Spot  # middle of the start line [m]
    heading: float  # planned [rad]
    headings: tuple[float, ...]  # compared [rad]
    lanes: int = 6
    spacing: float = 2.5  # [m]
    runs: int = 119  # for each boat
    seed: int = 30480
    post_spacing: float = POST_SPACING  # [m]


@dataclass(frozen=True, kw_only=True)
class Post:
    """One post of the people line."""

    number: int
    at: Spot  # [m]
    bearings: Bearings | None  # None: the pegs there are cannot find it


@dataclass(frozen=True, kw_only=True)
class CrowdPlace:
    """A place where people use to stand."""

    name: str
    inside: float  # share of it that lies in the keep-clear area [-]


@dataclass(frozen=True, kw_only=True)
class Glare:
    """The sun at one hour of race day."""

    hour: int
    sun: Sun
    from_starboard: bool  # it dazzles timers who stand to starboard of the finish and look across to port
    from_port: bool  # the same for those on the port side


@dataclass(frozen=True, kw_only=True)
class CoursePlan:
    """Everything the course's page says."""

    season: Season
    pond: PondMap
    question: CourseQuestion
    fleet: Fleet  # on the planned heading
    headings: tuple[Heading, ...]
    best: Heading
    planned: Heading
    reach: tuple[Reach, ...]
    tail: Tail  # of the logged runs
    keep: KeepClear
    posts: tuple[Post, ...]
    crowds: tuple[CrowdPlace, ...]
    seats: Spot | None  # a place behind the start that lies outside, on land [m]
    touching: tuple[tuple[float, float], ...]  # lane spacing [m], chance that two boats of a heat touch
    glare: tuple[Glare, ...]  # empty: the pond does not say where on the Earth it is
    logged: tuple[LoggedRun, ...]
    findings: tuple[Finding, ...]

    def sun_hours(self, heading: float) -> tuple[int, int] | None:
        """Hours of race day in which the sun dazzles timers to starboard of the lanes, and those to port."""
        if not self.glare:
            return None
        starboard, port = heading - 0.5 * math.pi, heading + 0.5 * math.pi
        suns = [glare.sun for glare in self.glare]
        return sum(sun.dazzles(starboard) for sun in suns), sum(sun.dazzles(port) for sun in suns)

    def wind_on(self, heading: float) -> tuple[float, float]:
        """The day's mean wind along a heading (from ahead is negative) and to starboard of it. [m/s]"""
        day = self.season.conditions
        return along_and_across(speed=day.wind_speed, wind_from=day.wind_from, heading=heading)

    @property
    def rule_of_thumb(self) -> str:
        """What an officer may keep in mind."""
        longest = self.keep.longest
        return (
            f"Nobody within {math.ceil(longest)} m ahead or abeam of the start on the boats' side, nobody within "
            f"{math.ceil(2 * longest)} m straight ahead without a barrier, nobody nearer than {BEHIND:.1f} m (15 ft) "
            f"behind the start or {ABEAM:.1f} m (25 ft) beside the lanes."
        )


def plan_course(
    season: Season,
    pond: PondMap,
    question: CourseQuestion,
    *,
    log: RunLog | None = None,
    progress: Callable[[float, float, str], None] | None = None,
) -> CoursePlan:
    """Compare headings, and draw the lines.

    Parameters
    ----------
    season : Season
        Its boats that no open question stops are run.
    pond : PondMap
        The season's own, or another.
    question : CourseQuestion
    log : RunLog, optional
        What was seen; a longer run moves the people line, and fewer than ten hide the computed reach.
    progress : called with (done, in all, what)

    Raises
    ------
    InputError
        The start lies on land, or no boat can be run.
    """
    _require_water(pond, question)
    runners = [
        Runner(
            label=entry.label,
            group=entry.group,
            question=question_about(season, entry, runs=question.runs, seed=question.seed),
        )
        for entry in season.ready
    ]
    if not runners:
        raise InputError(
            what="no boat of this season can be run",
            allowed="at least one boat without an open question",
            do="Answer the questions about boats.csv first.",
        )
    fleets = _fleets(runners, question, progress)
    plan = lay_course(season, pond, question, fleets, logged=logged_runs(log) if log else ())
    return replace(plan, findings=(*_about_doubts(log, plan.keep.longest), *plan.findings)) if log else plan


def logged_runs(log: RunLog) -> tuple[LoggedRun, ...]:
    """What of the run log the course needs: how far, how far off, and how each run ended."""
    return tuple(
        LoggedRun(
            boat=run.boat,
            distance=run.result.distance,
            drift=run.result.drift,
            ending=run.result.ending or "",
        )
        for run in log.book.runs
    )


def _about_doubts(log: RunLog, longest: float) -> tuple[Finding, ...]:
    """A doubtful distance is left out of the log; one that would move the people line must be settled first."""
    return tuple(
        Finding(
            code="doubtful-distance",
            severity="stop",
            what=f"{run.result.distance:g} m is written for it, and is in doubt.",
            why=f"If it is true, the people line must stand {run.result.distance - longest:.0f} m farther out.",
            do="Ask who saw it, and correct it or write its unit behind it, before anybody stands by this line.",
            where=run.label,
        )
        for run in log.typed.runs
        if run.result.distance is not None and run.result.distance > longest
    )


def _fleets(
    runners: Sequence[Runner], question: CourseQuestion, progress: Callable[[float, float, str], None] | None
) -> tuple[Fleet, ...]:
    headings = model_headings(question.headings, question.heading)
    found = []
    for number, heading in enumerate(headings):

        def tell(done: int, total: int, number: int = number) -> None:
            if progress:
                progress(number * total + done, len(headings) * total, "runs")

        found.append(fleet_paths(runners, heading=heading, runs=question.runs, progress=tell))
    return tuple(found)


def lay_course(
    season: Season,
    pond: PondMap,
    question: CourseQuestion,
    fleets: Sequence[Fleet],
    *,
    logged: Sequence[LoggedRun] = (),
) -> CoursePlan:
    """The plan from runs already made; quick, so that another start or spacing can be tried.

    Parameters
    ----------
    fleets : sequence of Fleet
        The planned heading's first.
    """
    _require_water(pond, question)
    lanes, spacing, start = question.lanes, question.spacing, question.start
    every = sorted({*question.headings, question.heading})
    headings = compare_headings(
        pond, fleets, start=start, headings=every, lanes=lanes, spacing=spacing, day=season.regatta
    )
    planned = next(each for each in headings if each.heading == question.heading)
    keep = keep_clear(
        fleets[0], start=start, heading=question.heading, lanes=lanes, spacing=spacing, logged=logged
    )
    strays = sum(run.is_stray(0.5 * lanes * spacing) for run in logged)
    plan = CoursePlan(
        season=season,
        pond=pond,
        question=question,
        fleet=fleets[0],
        headings=headings,
        best=best_heading(headings),
        planned=planned,
        reach=reach_of(fleets[0]),
        tail=tail_of(len(logged), strays),
        keep=keep,
        posts=_posts(pond, keep, question),
        crowds=tuple(CrowdPlace(name=name, inside=keep.holds(line)) for name, line in pond.crowds.items()),
        seats=_seats(pond, keep, question),
        touching=_touching(fleets[0], question),
        glare=_glare(pond, season.regatta, question.heading),
        logged=tuple(logged),
        findings=(),
    )
    return replace(plan, findings=_findings(plan))


def _touching(fleet: Fleet, question: CourseQuestion) -> tuple[tuple[float, float], ...]:
    gaps = sorted({*SPACINGS, question.spacing})
    chances = touching(fleet, lanes=question.lanes, spacings=gaps, seed=question.seed)
    return tuple(zip(gaps, chances, strict=True))


def _require_water(pond: PondMap, question: CourseQuestion) -> None:
    if not pond.is_water(question.start):
        raise InputError(
            what="the start lies on land",
            got=f"east {question.start[0]:g} m, north {question.start[1]:g} m",
            allowed="a spot inside the shore and off the islets",
            do="Measure it again from peg P1.",
            where=Where(field="--start-m"),
        )


def best_heading(headings: Sequence[Heading]) -> Heading:
    """Fewest runs into people first, then fewest into anything else, then the longest clear water."""
    return min(headings, key=lambda h: (h.people, h.islet + h.bank + h.reeds + h.hazard, -h.clear.on_lines))


def _posts(pond: PondMap, keep: KeepClear, question: CourseQuestion) -> tuple[Post, ...]:
    spots = people_posts(keep.shape, pond.shore, spacing=question.post_spacing, inland=INLAND)
    found = []
    for number, spot in enumerate(spots, 1):
        try:
            bearings = bearings_of(spot, pond.pegs)
        except InputError:
            bearings = None
        found.append(Post(number=number, at=spot, bearings=bearings))
    return tuple(found)


def _seats(pond: PondMap, keep: KeepClear, question: CourseQuestion) -> Spot | None:
    """A place behind the start, on land and outside the keep-clear area; not before the shore is 2 m behind."""
    from shapely.geometry import Point

    for behind in range(round(SEATS), 60, 2):
        spot = course_point(question.start, question.heading, ahead=-float(behind), aside=0.0)
        here = Point(spot)
        if pond.shore.distance(here) > 2.0 and not keep.shape.intersects(here):
            return spot
    return None


def _glare(pond: PondMap, day: datetime.date, heading: float) -> tuple[Glare, ...]:
    place = pond.place
    if place is None:
        return ()
    zone = datetime.timezone(datetime.timedelta(hours=place.utc_offset))
    found = []
    for hour in HOURS:
        when = datetime.datetime(day.year, day.month, day.day, hour, tzinfo=zone)
        sun = sun_at(when, latitude=place.latitude, longitude=place.longitude)
        found.append(
            Glare(
                hour=hour,
                sun=sun,
                from_starboard=sun.dazzles(heading - 0.5 * math.pi),
                from_port=sun.dazzles(heading + 0.5 * math.pi),
            )
        )
    return tuple(found)


def _findings(plan: CoursePlan) -> tuple[Finding, ...]:
    found = [*_about_people(plan), *_about_water(plan), *_about_plan(plan)]
    weight = {"stop": 0, "warning": 1, "note": 2}
    return tuple(sorted(found, key=lambda finding: weight[finding.severity]))


def _about_people(plan: CoursePlan) -> list[Finding]:
    found = [
        Finding(
            code="people-inside",
            severity="stop",
            what=f"{place.inside:.0%} of it lies inside the keep-clear area.",
            why="A stray boat can reach it, whatever the heading.",
            do="Close it, or move people behind the people line, before any boat runs.",
            where=place.name,
        )
        for place in plan.crowds
        if place.inside > 0.0
    ]
    lost = [post for post in plan.posts if post.bearings is None]
    if lost:
        names = ", ".join(str(post.number) for post in lost[:12]) + (" and more" if len(lost) > 12 else "")
        middle = lost[len(lost) // 2].at
        found.append(
            Finding(
                code="posts-without-pegs",
                severity="warning",
                what=f"{len(lost)} of {len(plan.posts)} posts cannot be found from the pegs there are: {names}.",
                why="They are in line with the pegs, or farther than a 60 m tape.",
                do=f"Set another peg on land near east {middle[0]:.0f} m, north {middle[1]:.0f} m, aside of the line "
                "of posts, and add it to pond.toml.",
            )
        )
    if plan.seats is None:
        found.append(
            Finding(
                code="no-seats",
                severity="warning",
                what="No place for spectators was found behind the start.",
                do="Choose one with the safety officer, outside the people line.",
            )
        )
    return found


def _about_water(plan: CoursePlan) -> list[Finding]:
    found = []
    planned, longest = plan.planned, plan.keep.longest
    heading = round(math.degrees(planned.heading))
    if planned.clear.anywhere < longest:
        found.append(
            Finding(
                code="short-of-water",
                severity="warning",
                what=f"Heading {heading:03d} has {planned.clear.anywhere:.1f} m of clear water, and the longest run is "
                f"{longest:.1f} m.",
                why=f"Some boats will run onto the {planned.clear.meets}."
                if planned.clear.meets == "shore"
                else f"Some boats will run onto {planned.clear.meets}.",
                do=f"Try heading {round(math.degrees(plan.best.heading)):03d}, or move the start.",
            )
        )
    for ahead, what in ((planned.reeds_ahead, "closed reeds"), (planned.hazard_ahead, "a zone to keep off")):
        if ahead is not None and ahead < longest:
            found.append(
                Finding(
                    code="zone-ahead",
                    severity="warning",
                    what=f"Heading {heading:03d} meets {what} after {ahead:.0f} m; the longest run is {longest:.0f} m.",
                    do="Put a catch line before it, or choose another heading.",
                )
            )
    flips = int(plan.fleet.flipped.sum())
    if flips:
        names = sorted({plan.fleet.labels[i] for i in plan.fleet.boat[plan.fleet.flipped]})
        found.append(
            Finding(
                code="flips",
                severity="warning",
                what=f"{flips} of {plan.fleet.runs} runs flip: {', '.join(names)}.",
                why=f"With the push cut at once a flipped boat gets up to {plan.fleet.coasting.max():.0f} m; with the "
                f"device pushing on, up to {plan.fleet.bound.max():.0f} m in any direction, by momentum alone.",
                do="Do not run these boats on this day, or fit a cut-off.",
            )
        )
    return found


def _about_plan(plan: CoursePlan) -> list[Finding]:
    found = []
    if plan.pond.for_planning_only:
        found.append(
            Finding(
                code="planning-only",
                severity="stop",
                what="This shore was walked with a phone or taken from a map: some metres off. For planning only.",
                do="Measure it with pegs and tape before anybody stands by these lines.",
            )
        )
    closure = plan.pond.closure
    if closure is not None and closure.spare <= 0:
        found.append(
            Finding(
                code="no-spare-tapes",
                severity="warning",
                what="Nothing checks the tapes: there are just enough of them.",
                do="Measure each point from a third peg, or the step from the point before.",
            )
        )
    if plan.keep.computed is None:
        found.append(
            Finding(
                code="few-logged-runs",
                severity="note",
                what=f"{plan.keep.logged} runs are logged; under {ENOUGH_LOGGED}, only the hard rule is drawn.",
                why="A forecast nobody has checked on this water must not draw a line that people trust.",
                do="Log trial runs.",
            )
        )
    if not plan.glare:
        found.append(
            Finding(
                code="no-place",
                severity="note",
                what="The sun was not worked out: pond.toml does not say where on the Earth P1 stands.",
                do="Add [place] with latitude_deg, longitude_deg and utc_offset_h.",
            )
        )
    return found

"""``skimwright course``: where to start, which heading, and where nobody may stand."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, MissingError, Where, parse_quantity
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.base.page import Page
    from skimwright.desk import CoursePlan, PondMap, RunLog, Season

FAN = tuple(range(-30, 30, 5))  # compared about the planned heading unless told otherwise [deg]


def answer(ask: Ask) -> Answer:
    """Compare headings and lay out the people line."""
    from skimwright import desk

    season = ask.season()
    pond = _pond(ask, season)
    ask.ready_model()
    question = _question(ask, season)
    plan = desk.plan_course(
        season,
        pond,
        question,
        log=_log(ask, season),
        progress=lambda d, t, what: ask.progress.update(d, t, what),
    )
    data = as_data(plan)
    files = [str(ask.files.write(path, text)) for path, text in _files(ask, plan)] if ask.given["out"] else []
    data["files"] = files
    text = as_text(plan) + ("\n\nWritten: " + ", ".join(files) if files else "")
    best = plan.best
    plain = (
        f"Heading {desk.bearing(best.heading)}: {best.clear.on_lines:.1f} m clear to the {best.clear.meets}. "
        f"{plan.rule_of_thumb}"
    )
    return Answer(data=data, text=text, plain=plain, findings=plan.findings)


def _pond(ask: Ask, season: Season) -> PondMap:
    """The pond file asked for, else the season's."""
    from skimwright import desk

    word = ask.given["pond"]
    if word:
        path = Path(word)
        if path.suffix.casefold() in (".json", ".geojson"):
            return desk.read_geojson(ask.files.text(path), file=path.name)
        return desk.read_pond(ask.files.table(path), file=path.name)
    if season.pond is None:
        raise MissingError(
            what="this season has no pond.toml",
            allowed="a pond.toml in its folder, or a POND file named here",
            do="Measure the shore with pegs and tape and write it down.",
        )
    return season.pond


def _question(ask: Ask, season: Season) -> Any:
    from skimwright import desk

    given = ask.given
    heading = given["heading_deg"] if given["heading_deg"] is not None else season.conditions.heading
    return desk.CourseQuestion(
        start=given["start_m"] or season.site.start,
        heading=heading,
        headings=given["headings_deg"] or tuple((heading + math.radians(off)) % math.tau for off in FAN),
        lanes=given["lanes"],
        spacing=given["spacing_m"] or season.site.lane_spacing,
        runs=given["runs"],
        seed=given["seed"],
        post_spacing=given["post_spacing_m"],
    )


def _log(ask: Ask, season: Season) -> RunLog:
    from skimwright import desk

    return desk.read_runs(ask.files.runs(ask.season_chosen), season)


def _files(ask: Ask, plan: CoursePlan) -> list[tuple[Path, str | bytes]]:
    from skimwright import desk

    folder = Path(ask.given["out"])
    foot = f"Skimwright, {ask.files.today()}. Ask a person: the safety officer."
    pages: dict[str, Page] = {
        "course": desk.course_page(plan, foot=foot),
        "posts": desk.posts_page(plan, foot=foot),
    }
    found: list[tuple[Path, str | bytes]] = [
        (folder / f"{name}.html", ask.files.as_html(page)) for name, page in pages.items()
    ]
    sheet = desk.course_sheet(plan, foot=foot)
    printed = ask.files.as_pdf([sheet], title=sheet.title, language="en")
    found += [
        (folder / "course-map.svg", ask.files.as_svg(desk.course_map(plan))),
        (folder / "plan-to-sign.pdf", printed),
    ]
    if plan.pond.place:
        found.append((folder / "pond.geojson", desk.pond_as_geojson(plan.pond)))
    return found


def as_text(plan: CoursePlan) -> str:
    """Headings in a table, the rule in a sentence, posts by count."""
    from skimwright import desk

    planned, keep = plan.planned, plan.keep
    rows = [
        [
            desk.bearing(h.heading) + ("*" if h is planned else "") + ("+" if h is plan.best else ""),
            f"{h.clear.on_lines:.1f}",
            f"{h.clear.anywhere:.1f}",
            h.clear.meets,
            *(desk.chance(value, h.runs) for value in (h.islet, h.bank, h.reeds, h.people)),
        ]
        for h in plan.headings
    ]
    posted = sum(post.bearings is not None for post in plan.posts)
    near, far = plan.reach
    lines = [
        f"{plan.season.site.name}: {len(plan.fleet.labels)} boats, {plan.fleet.runs} runs on the planned heading",
        "",
        table(["heading", "clear m", "least m", "meets", "islet", "bank", "reeds", "people"], rows),
        "* planned, + best. Chances: what a run meets, hooked boats carried on.",
        "",
        f"People line (hard rule): {plan.rule_of_thumb}",
        f"Computed reach: 9 of 10 runs within {_m(near.distance)}, 99 of 100 within {_m(far.distance)} of the start "
        f"and {_m(far.sideways)} of the launch line"
        + ("." if keep.computed else f"; not drawn, {keep.logged} runs logged of 10 needed."),
        f"Posts: {len(plan.posts)} along the line, {posted} found by two tapes from two pegs.",
        f"Lanes {plan.question.spacing:g} m apart: two boats touch in "
        f"{desk.share(dict(plan.touching)[plan.question.spacing], 1000)} of heats of {plan.question.lanes}.",
    ]
    return "\n".join(lines)


def _m(value: float | None) -> str:
    return "a distance too few runs can tell" if value is None else f"{value:.0f} m"


def as_data(plan: CoursePlan) -> dict[str, Any]:
    """Everything for ``--json``."""
    from skimwright import desk

    keep, question = plan.keep, plan.question
    return {
        "site": plan.season.site.name,
        "area_m2": round(plan.pond.area, 1),
        "for_planning_only": plan.pond.for_planning_only,
        "start_m": list(question.start),
        "heading_deg": _deg(question.heading),
        "best_heading_deg": _deg(plan.best.heading),
        "lanes": question.lanes,
        "spacing_m": question.spacing,
        "boats": list(plan.fleet.labels),
        "runs": plan.fleet.runs,
        "headings": [
            {
                "heading_deg": _deg(h.heading),
                "clear_m": round(h.clear.on_lines, 2),
                "clear_least_m": round(h.clear.anywhere, 2),
                "meets": h.clear.meets,
                "reeds_ahead_m": _round(h.reeds_ahead),
                "hazard_ahead_m": _round(h.hazard_ahead),
                "islet": h.islet,
                "bank": h.bank,
                "reeds": h.reeds,
                "hazard": h.hazard,
                "people": h.people,
                "runs": h.runs,
                "wind_along_m_s": round(plan.wind_on(h.heading)[0], 2),
                "wind_to_starboard_m_s": round(plan.wind_on(h.heading)[1], 2),
                "sun": desk.sun_words(plan, h.heading),
                "unseen_limit": h.limit,
            }
            for h in plan.headings
        ],
        "reach_m": {
            f"p{round(100 * r.share)}": {
                "distance": _round(r.distance),
                "sideways": _round(r.sideways),
                "behind": _round(r.behind),
            }
            for r in plan.reach
        },
        "longest_m": round(keep.longest, 2),
        "logged": {"runs": plan.tail.runs, "strays": plan.tail.strays, "stray_limit": plan.tail.limit},
        "computed_reach_shown": keep.computed is not None,
        "keep_clear": {
            "area_m2": round(keep.shape.area, 1),
            "people_line_m": _edge(keep.shape),
            "hard_rule_m": _edge(keep.hard_rule.shape),
            "computed_reach_m": _edge(keep.computed.shape) if keep.computed else None,
        },
        "posts": [
            {
                "post": post.number,
                "at_m": [round(post.at[0], 3), round(post.at[1], 3)],
                "tapes_m": None
                if post.bearings is None
                else {
                    post.bearings.first: round(post.bearings.first_tape, 3),
                    post.bearings.second: round(post.bearings.second_tape, 3),
                },
                "side": post.bearings.side if post.bearings else None,
                "good_to_m": _round(post.bearings.error) if post.bearings else None,
            }
            for post in plan.posts
        ],
        "people": [{"name": place.name, "inside": round(place.inside, 4)} for place in plan.crowds],
        "spectators_m": None if plan.seats is None else [round(v, 2) for v in plan.seats],
        "flips": {
            "runs": int(plan.fleet.flipped.sum()),
            "bound_m": round(float(plan.fleet.bound[plan.fleet.flipped].max(initial=0.0)), 2),
        },
        "touching": [{"spacing_m": gap, "chance": chance} for gap, chance in plan.touching],
        "sun": [
            {
                "hour": g.hour,
                "height_deg": _deg(g.sun.height),
                "azimuth_deg": _deg(g.sun.azimuth),
                "dazzles_from_starboard": g.from_starboard,
                "dazzles_from_port": g.from_port,
            }
            for g in plan.glare
        ],
        "rule_of_thumb": plan.rule_of_thumb,
        "findings": [finding.as_dict() for finding in plan.findings],
    }


def _edge(shape: Any) -> list[list[list[float]]]:
    """Corners of each piece's edge."""
    return [
        [[round(x, 2), round(y, 2)] for x, y in piece.exterior.coords]
        for piece in getattr(shape, "geoms", [shape])
    ]


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _deg(angle: float) -> float:
    return round(math.degrees(angle), 3)


def spot(given: str, where: Where) -> tuple[float, float]:
    """Reads ``E,N`` in metres."""
    parts = given.split(",")
    if len(parts) != 2:
        raise InputError(
            what="not a place on the pond",
            got=f'"{given}"',
            allowed="metres east and north of peg P1, such as 4,2",
            do="Write two numbers with a comma between; behind an = if the first is negative.",
            where=where,
        )
    east, north = (parse_quantity(part, "length", default_unit="m", where=where) for part in parts)
    return east, north


def headings(given: str, where: Where) -> tuple[float, ...]:
    """Reads ``75,80,85`` or ``60:115:5`` in degrees."""
    try:
        if ":" in given:
            first, last, step = (float(part) for part in given.split(":"))
            count = int((last - first) / step + 1.0001)
            degrees = [first + step * i for i in range(count)] if step > 0 else []
        else:
            degrees = [float(part) for part in given.split(",")]
    except ValueError:
        degrees = []
    if not 1 <= len(degrees) <= 72 or not all(0 <= each <= 360 for each in degrees):
        raise InputError(
            what="not a list of headings",
            got=f'"{given}"',
            allowed="1 to 72 headings from 0 to 360 deg, such as 75,80,85 or 60:115:5",
            do="Write it so.",
            where=where,
        )
    return tuple(math.radians(each) for each in degrees)


VERB = Verb(
    name="course",
    does="headings compared, what the boats reach, and the people line with its posts",
    tells="POND is a pond.toml or a GeoJSON map; the season's own unless given. Every boat of the season without an "
    "open question is run on the planned heading and as many others as its wind needs. The computed reach is a "
    "forecast; the people line is a rule, and no forecast moves it nearer. A clear distance is that of the lane "
    "lines; the least anywhere in the ribbon stands beside it.",
    options=(
        Option(flag="POND", does="a pond.toml or a .geojson file"),
        Option(
            flag="--start-m",
            value="E,N",
            does="middle of the start line, metres east and north of peg P1",
            read=spot,
        ),
        Option(
            flag="--heading-deg",
            value="A",
            does="planned heading, clockwise from north",
            read=quantity("angle", "deg", low=0, high=360),
        ),
        Option(
            flag="--headings-deg",
            value="LIST",
            does="headings to compare: 75,80,85 or 60:115:5; twelve about the planned one unless given",
            read=headings,
        ),
        Option(
            flag="--lanes",
            value="N",
            does="boats in a heat, 6 unless given",
            read=whole(low=1, high=6),
            usual=6,
        ),
        Option(
            flag="--spacing-m",
            value="D",
            does="between lanes; the season's unless given",
            read=quantity("length", "m", low=0.5, high=20),
        ),
        Option(
            flag="--runs",
            value="N",
            does="runs of each boat on each heading whose wind differs, 119 unless given",
            read=whole(low=20, high=20_000),
            usual=119,
        ),
        Option(
            flag="--seed",
            value="S",
            does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1),
            usual=30480,
        ),
        Option(
            flag="--post-spacing-m",
            value="D",
            does="between posts of the people line, 10 m unless given",
            read=quantity("length", "m", low=2, high=50),
            usual=10.0,
        ),
        Option(flag="--out", value="DIR", does="write the plan, the post list, the map and the pond there"),
    ),
    example="course --headings-deg 75:110:5 --out plan",
    answer=answer,
)

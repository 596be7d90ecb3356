"""The course's plan as pages: one for the safety officer to sign, and the list of posts."""

from __future__ import annotations

import math

from skimwright.base.page import Block, Heading, Notice, Page, Picture, Table, Text
from skimwright.course import ABEAM, AHEAD, BEHIND, HEATS
from skimwright.desk.seasons.words import share
from skimwright.desk.water.course import CoursePlan, Post
from skimwright.desk.water.course_map import course_map

BORROWED = (
    f"{BEHIND:.3f} m (15 ft) behind the start is borrowed from a model rocket safety code (2012 text, item 5, "
    f"motors to D), {ABEAM:.2f} m (25 ft) abeam from a model aircraft safety code (2018). They are minima from "
    f"other activities, not approvals: no published distance for model boats was found. {AHEAD:g} times the longest "
    "run ahead is a proposal for the authority to agree."
)
NOT_A_CASE = (
    "A forecast is not a safety case. The authority having jurisdiction, the water's owner, the insurer and the school "
    "decide; where they ask for more, theirs holds."
)


def bearing(angle: float) -> str:
    """``095``."""
    return f"{round(math.degrees(angle)) % 360:03d}"


def course_page(plan: CoursePlan, *, foot: str) -> Page:
    """The plan to sign."""
    question, day = plan.question, plan.season.conditions
    gust = f", gusts {day.wind_gust:.1f}" if day.wind_gust else ""
    blocks: list[Block] = [
        Text(
            text=f"Start at east {question.start[0]:g} m, north {question.start[1]:g} m of peg P1, heading "
            f"{bearing(question.heading)}, {question.lanes} lanes {question.spacing:g} m apart. Planned for wind "
            f"{day.wind_speed:.1f} m/s{gust} from {bearing(day.wind_from)}. {plan.season.regatta:%d %B %Y}."
        ),
        Notice(state="care", text=plan.rule_of_thumb),
        *(
            Notice(state="stop" if f.severity == "stop" else "care", text=f.sentence())
            for f in plan.findings
            if f.severity != "note"
        ),
        Picture(drawing=course_map(plan), caption=_caption(plan)),
        _sign(),
        Heading(text="What was computed, and what is a rule"),
        Table(head=("line", "whose", "rests on"), rows=_lines(plan)),
        Text(text=BORROWED, small=True),
        Text(text=NOT_A_CASE, small=True),
        Heading(text="Headings compared"),
        headings_table(plan),
        Text(text=_far_tail(plan)),
        Heading(text="Lanes"),
        lanes_table(plan),
        *_sun(plan),
        *(Text(text=f.sentence(), small=True) for f in plan.findings if f.severity == "note"),
        Heading(text="Retrieval"),
        Text(
            text="Two adults in the boat, both in life jackets, and a throw line on the bank. No boat runs while "
            "anybody is in the water; nobody swims after a boat. Nobody rows and times at once."
        ),
    ]
    return Page(
        title="Course plan",
        over=f"{plan.season.name}, {plan.season.site.name}",
        blocks=tuple(blocks),
        foot=foot,
    )


def posts_page(plan: CoursePlan, *, foot: str) -> Page:
    """The list that two people with two tapes take to the bank."""
    blocks: list[Block] = [
        Text(
            text="Hook one tape on each peg, pull both tight, and drive the post where the two readings meet, on the "
            "side told. A post without tapes needs another peg first."
        ),
        Table(
            head=("post", "first tape", "second tape", "side", "good to", "set by"),
            rows=tuple(_post_row(post) for post in plan.posts),
            caption="Side: as seen from the first peg looking to the second. Good to: for tapes 5 cm out.",
        ),
        Table(
            head=("peg", "east m", "north m"),
            rows=tuple((name, f"{x:.2f}", f"{y:.2f}") for name, (x, y) in plan.pond.pegs.items()),
            numbers=(1, 2),
        ),
        _sign(),
    ]
    return Page(
        title="Posts of the people line",
        over=f"{plan.season.name}, {plan.season.site.name}, heading {bearing(plan.question.heading)}",
        blocks=tuple(blocks),
        foot=foot,
    )


def _post_row(post: Post) -> tuple[str, ...]:
    b = post.bearings
    if b is None:
        return (str(post.number), "another peg needed", "", "", "", "")
    return (
        str(post.number),
        f"{b.first_tape:.2f} m from {b.first}",
        f"{b.second_tape:.2f} m from {b.second}",
        b.side,
        f"{b.error:.2f} m",
        "",
    )


def _caption(plan: CoursePlan) -> str:
    seats = plan.seats
    where = f" S: spectators, east {seats[0]:.0f} m, north {seats[1]:.0f} m." if seats else ""
    return (
        f"Ruled land lies inside the people line: nobody there.{where} Walk the line with the safety officer."
    )


def _sign() -> Table:
    blank = "_" * 28
    return Table(
        head=("agreed by", "name", "signed", "date"),
        rows=tuple((who, blank, blank, "_" * 12) for who in ("safety officer", "water owner's person")),
    )


def _lines(plan: CoursePlan) -> tuple[tuple[str, ...], ...]:
    keep = plan.keep
    computed = (
        keep.computed.rests_on
        if keep.computed
        else f"not shown: {keep.logged} logged runs, 10 needed; the hard rule alone is drawn"
    )
    return (
        (
            "people line",
            "the safety officer's",
            keep.hard_rule.rests_on + "; moved out wherever the computed reach is larger",
        ),
        ("computed reach", "the model's", computed),
    )


def chance(value: float, runs: int) -> str:
    """A chance as `share` says it, the small ones too: ``0.04 %``."""
    return f"{100 * value:.2g} %" if 0.0 < value < 0.001 else share(value, runs)


def wind_words(plan: CoursePlan, heading: float) -> str:
    """``1.8 behind, 1.8 from starboard``."""
    along, across = plan.wind_on(heading)
    ends, sides = ("behind" if along >= 0 else "ahead"), ("port" if across >= 0 else "starboard")
    return f"{abs(along):.1f} from {ends}, {abs(across):.1f} from {sides}"


def sun_words(plan: CoursePlan, heading: float) -> str:
    """``port: never``."""
    hours = plan.sun_hours(heading)
    if hours is None:
        return "not known"
    side, count = min((("starboard", hours[0]), ("port", hours[1])), key=lambda each: each[1])
    return f"{side}: {'never' if count == 0 else f'{count} h'}"


def headings_table(plan: CoursePlan) -> Table:
    """Headings side by side."""
    rows = tuple(
        (
            bearing(h.heading)
            + (" planned" if h is plan.planned else "")
            + (" best" if h is plan.best else ""),
            f"{h.clear.on_lines:.1f}"
            + (f" ({h.clear.anywhere:.1f})" if h.clear.anywhere < h.clear.on_lines - 0.05 else ""),
            h.clear.meets,
            *(chance(value, h.runs) for value in (h.islet, h.bank, h.reeds, h.hazard, h.people)),
            wind_words(plan, h.heading),
            sun_words(plan, h.heading),
        )
        for h in plan.headings
    )
    return Table(
        head=(
            "heading",
            "clear m",
            "meets",
            "islet",
            "bank",
            "reeds",
            "hazard",
            "people",
            "wind m/s",
            "sun in timers' eyes",
        ),
        rows=rows,
        numbers=(1,),
        caption="Clear along the lane lines (in brackets: the least anywhere in the ribbon). Chance that a run meets "
        "each, hooked boats carried on; people: a path carried on over land that comes within 3 m of where people "
        "stand. Sun: the better side for timers, and hours from 9 to 16 it dazzles them there. "
        "Each heading has the day's own wind, or that of a heading within 15 deg.",
    )


def lanes_table(plan: CoursePlan) -> Table:
    """Spacing against touching."""
    return Table(
        head=("lanes apart m", f"two of {plan.question.lanes} boats touch in"),
        rows=tuple((f"{gap:g}", share(chance, HEATS) + " of heats") for gap, chance in plan.touching),
        numbers=(0,),
        caption="All start together and none is steered; touching counts boats that come within a boat's length.",
    )


def _far_tail(plan: CoursePlan) -> str:
    ninety, ninety_nine = plan.reach
    parts = []
    for said, reach in (("Nine of ten", ninety), ("99 of a hundred", ninety_nine)):
        if reach.distance is not None and reach.sideways is not None:
            parts.append(
                f"{said} forecast runs stay within {reach.distance:.0f} m of the start and {reach.sideways:.0f} m of "
                "the launch line."
            )
    runs = plan.fleet.runs
    parts.append(
        f"{runs} runs can say nothing of what happens more seldom than {300 / runs:.2g} times in a hundred (3/n), and "
        "nothing of faults the model does not know."
    )
    tail = plan.tail
    if tail.runs == 0:
        parts.append("No run has been logged here, so the chance of a stray is not known at all.")
    elif tail.strays == 0:
        parts.append(
            f"{tail.runs} logged runs without a stray: the chance may still be {tail.limit:.0%} (3/n), "
            f"{tail.limit * 186:.0f} in a day of 186 runs."
        )
    else:
        parts.append(f"{tail.strays} of {tail.runs} logged runs strayed: the chance may be {tail.limit:.0%}.")
    return " ".join(parts)


def _sun(plan: CoursePlan) -> tuple[Block, ...]:
    if not plan.glare:
        return ()
    rows = tuple(
        (
            f"{g.hour:02d}:00",
            f"{math.degrees(g.sun.height):.0f}",
            bearing(g.sun.azimuth),
            "in their eyes" if g.from_starboard else "clear",
            "in their eyes" if g.from_port else "clear",
        )
        for g in plan.glare
    )
    return (
        Heading(text="Sun"),
        Table(
            head=(
                "clock",
                "height deg",
                "stands at",
                "timers to starboard, looking to port",
                "timers to port",
            ),
            rows=rows,
            numbers=(1,),
            caption="In their eyes: lower than 45 deg and within 25 deg of where they look.",
        ),
    )

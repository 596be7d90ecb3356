"""One boat on one page: the first thing to look at, then the run, then what it all rests on."""

from __future__ import annotations

import math
from typing import Literal

from skimwright.base import Finding, show_mass
from skimwright.base.drawing import Drawing
from skimwright.base.page import Block, Columns, Heading, Notice, Page, Picture, State, Table, Text
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import DEVICE_CLOSED, BoatForecast
from skimwright.desk.boats.pictures import run_history, side_view, strip_of_water
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.words import closed, share, sideways, sideways_span, span, turn
from skimwright.run import BUILD_WORDS, Forecast

UNTESTED = (
    "Untested, wide: no logged run is taken in here, so every range rests on the model and on the class's "
    "spread. Runs in the log will narrow it."
)
NOT_A_SAFETY_CASE = (
    "A forecast is not a safety case. Where people stand is decided by the keep-clear rule and the officer in charge, "
    "never by these ranges."
)
CAUTIONS = {
    "propeller": "Ring guard on, arming plug out until the boat is in the water, nobody in the plane of the propeller.",
    "towline": "Nobody in the recoil arc of the line; a box under the falling weight.",
    "gas": "Keep cartridges out of the sun and use them outdoors only; nobody in front of the jet.",
    "motor": "",
    "curve": "",
}


def boat_page(season: Season, entry: Entry, found: BoatForecast, *, foot: str, home: str = "") -> Page:
    """The page of one boat.

    Parameters
    ----------
    season : Season
    entry : Entry
    found : BoatForecast
    foot : str
        What it was made with and when.
    home : str
        Link to the table of all boats.
    """
    result = found.forecast
    question = found.question
    first = found.first
    blocks: list[Block] = []
    if question.device.needs_permission:
        blocks.append(Notice(state="stop", text=closed(question.device.name)))
    blocks += [
        Notice(state=_state(first.weight, first.key), text=f"{first.says} {first.does} {first.do}"),
        Text(text=UNTESTED),
        Heading(text="On the water"),
        Picture(
            drawing=strip_of_water(result, name=entry.label),
            caption="From above, to scale. Pale: nine runs of ten. Dark: half of the runs. Dots: where runs end. "
            f"The fan is drawn from {len(result.paths)} of the {result.runs} runs. " + _aim_sentence(found),
        ),
        Columns(
            stacks=((_numbers(result), *_endings(result)), (_limits(result),)),
        ),
        Heading(text="On its three feet"),
        Picture(
            drawing=side_view(question.kit, found.floating, name=entry.label),
            caption=_feet_sentence(found),
        ),
        Heading(text="As built"),
        *_as_built(found),
        Heading(text="The run in time"),
        Picture(
            drawing=run_history(result, name=entry.label),
            caption="The run with every cause at its middle. Real runs scatter around it.",
        ),
        Heading(text="What makes its runs differ"),
        *_terms(result),
        *_findings(found.findings),
        Heading(text="What this rests on"),
        Text(text=NOT_A_SAFETY_CASE),
        Text(text=CAUTIONS[question.device.kind]) if CAUTIONS[question.device.kind] else Text(text=""),
        Text(
            text=f"{result.runs} runs drawn from seed {result.seed}; a chance near one half is good to about "
            f"{100 * result.chance_half_width:.0f} points by the number of runs alone. Wind {_wind(found)}. "
            f"`skimwright cite --boat {entry.number}` lists the published sources and what is only a choice.",
            small=True,
        ),
    ]
    return Page(
        title=f"{entry.number:02d} {entry.name}",
        over=f"{season.name} · {entry.group} · {entry.kit} · {entry.device}",
        blocks=tuple(block for block in blocks if block != Text(text="")),
        foot=f"{entry.kit}, edition {question.kit.edition}. {foot}",
        home=home,
    )


def _state(weight: float, key: str) -> Literal["ok", "care", "stop"]:
    if key in ("course", "flip"):
        return "stop"
    return "care" if weight > 0.4 else "ok"


def _wind(found: BoatForecast) -> str:
    day = found.question.conditions
    gust = f", gusts {day.wind_gust:.1f}" if day.wind_gust else ""
    return (
        f"{day.wind_speed:.1f} m/s{gust} from {math.degrees(day.wind_from):.0f} deg, start heading "
        f"{math.degrees(day.heading):.0f} deg"
    )


def _aim_sentence(found: BoatForecast) -> str:
    if found.aim is None:
        return "In this wind, aim straight at the gate."
    carried = "port" if found.aim > 0 else "starboard"
    return (
        f"Its usual run goes to {carried} (wind and boat together): aim about {turn(found.aim)} of the gate, if "
        "that line is clear."
    )


def _numbers(result: Forecast) -> Table:
    rows: list[tuple[str, str, str]] = [
        ("Through the gate, aimed off", share(result.through_aimed, result.runs), ""),
        ("the same, straight at it", share(result.through_gate, result.runs), ""),
        ("Crosses the gate's line", share(result.reaches, result.runs), ""),
        ("Stops after", f"{result.distance.p50:.0f} m", span(result.distance, 0, "m")),
        ("Top speed", f"{result.top_speed.p50:.1f} m/s", span(result.top_speed, 1, "m/s")),
    ]
    if result.gate_time and result.drift:
        rows += [
            ("Time to the gate", f"{result.gate_time.p50:.2f} s", span(result.gate_time, 2, "s")),
            ("Drift at the gate", sideways(result.drift.p50), sideways_span(result.drift)),
        ]
    return Table(
        head=("", "middle", "nine runs of ten"),
        rows=tuple(rows),
        caption=f"Gate: {result.gate.distance:.2f} m ({result.gate.distance / 0.3048:.0f} ft), "
        f"{result.gate.width:g} m wide.",
        numbers=(1, 2),
    )


def _endings(result: Forecast) -> list[Block]:
    said = ", ".join(f"{word} {share(part, result.runs)}" for word, part in result.endings.items())
    return [
        Text(
            text=f"How its runs end: {said}. A hooked run is broken off at 60 deg, still moving; 'stops after' is of "
            "the runs that came to rest, time and drift of those that cross the line.",
            small=True,
        )
    ]


def _limits(result: Forecast) -> Table:
    low, middle, high = result.blow_over.critical
    met = result.blow_over.met
    straight = result.straight
    course = (
        f"yes: side force acts {100 * straight.margin:.0f} % of the length behind the balance point"
        if straight.stable
        else "NO: it turns away from its course"
    )
    return Table(
        head=("", "", "nine of ten"),
        rows=(
            ("Holds its course", course, ""),
            (
                "Front pads lift at, push over",
                f"{middle:.1f} m/s of air",
                f"{low:.1f} to {high:.1f} m/s",
            ),
            ("the same, pushing", f"{result.blow_over.thrust_on:.1f} m/s of air", ""),
            ("Air speed it meets", f"{met[1]:.1f} m/s", f"{met[0]:.1f} to {met[2]:.1f} m/s"),
            ("Meets more air than that", share(result.blow_over.beyond, result.runs), ""),
            ("Turned over in the sum", share(result.blows_over, result.runs), ""),
        ),
        caption="Air speed is speed over the water plus headwind, gusts in. The limit is for the level boat; bow up it "
        "is lower. Take the worse of the last two rows.",
        numbers=(),
    )


def _feet_sentence(found: BoatForecast) -> str:
    floating = found.floating
    feet, grams = floating.feet, floating.mass * 1e3
    rest = floating.at_rest
    lies = (
        f"At rest it lies {abs(math.degrees(rest.trim)):.1f} deg {'bow-up' if rest.trim > 0 else 'bow-down'}, "
        f"water {rest.draft_bow * 1e3:.0f} mm over the pad line at the bow and {rest.draft_stern * 1e3:.0f} mm at the "
        "stern."
        if rest.floats
        else "It does not float."
    )
    return (
        f"{show_mass(floating.mass)}, balance {floating.centre[0] * 1e3:.0f} mm from the bow: left pad "
        f"{feet.left * grams:.0f} g, right pad {feet.right * grams:.0f} g, stern {feet.stern * grams:.0f} g. {lies}"
    )


def _as_built(found: BoatForecast) -> list[Block]:
    rows = [(look.says, look.does, look.do) for look in found.looks if look.is_measured]
    as_drawn = [
        effect.words for effect in found.effects if effect.key not in {look.key for look in found.looks}
    ]
    unknown = [BUILD_WORDS[key] for key in BUILD_WORDS if not found.forecast.built[key].measured]
    blocks: list[Block] = [
        Table(head=("measured against drawn", "what it does by itself", "what to do"), rows=tuple(rows))
        if rows
        else Text(text="Nothing was measured on this boat: every figure is the class's.")
    ]
    as_drawn = [words for words in as_drawn if words != "the wind"]
    if as_drawn:
        blocks.append(Text(text=f"As drawn, as near as can be measured: {', '.join(as_drawn)}.", small=True))
    if unknown:
        words = ", ".join(unknown)
        blocks.append(
            Text(
                text=f"Not measured, so taken from the class's spread, never as nought: {words}.", small=True
            )
        )
    return blocks


def _terms(result: Forecast) -> list[Block]:
    rows = tuple(
        (term.words[0].upper() + term.words[1:], _part(term.distance), _part(term.drift))
        for term in result.terms[:8]
    )
    alone = result.terms_explained
    return [
        Table(head=("cause", "of distance", "of drift at the gate"), rows=rows, numbers=(1, 2)),
        Text(
            text=f"Share of the spread that goes with each cause alone. Together they explain {100 * alone[0]:.0f} % "
            f"of distance and {100 * alone[1]:.0f} % of drift; the rest is causes working together, so changing one "
            "thing may do less or more than its share.",
            small=True,
        ),
    ]


def _part(value: float) -> str:
    return f"{100 * value:.0f} %" if value >= 0.02 else "–"


def _findings(findings: tuple[Finding, ...]) -> list[Block]:
    findings = tuple(finding for finding in findings if finding.code != DEVICE_CLOSED)  # it stands on top
    if not findings:
        return []
    states: dict[str, State] = {"note": "", "warning": "care", "stop": "stop"}
    return [
        Heading(text="Also noticed"),
        *(Notice(state=states[finding.severity], text=finding.sentence()) for finding in findings),
    ]


def stopped_page(season: Season, entry: Entry, *, foot: str, home: str = "") -> Page:
    """The page of a boat that waits for an answer: the question, and nothing worked out."""
    return Page(
        title=f"{entry.number:02d} {entry.name}",
        over=f"{season.name} · {entry.group} · {entry.kit} · {entry.device}",
        blocks=(
            *(
                Notice(state="stop", text=finding.sentence())
                for finding in entry.findings
                if finding.severity == "stop"
            ),
            Text(text="Nothing is worked out for this boat until the question is answered in boats.csv."),
        ),
        foot=foot,
        home=home,
    )


def pictures_of(found: BoatForecast) -> dict[str, Drawing]:
    """The three pictures of a boat's page by name."""
    return {
        "strip-of-water": strip_of_water(found.forecast, name=found.name),
        "side-view": side_view(found.question.kit, found.floating, name=found.name),
        "run-history": run_history(found.forecast, name=found.name),
    }


def page_name(number: int) -> str:
    """File name of a boat's page."""
    return f"boat-{number:02d}.html"

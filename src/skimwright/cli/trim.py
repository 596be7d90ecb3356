"""``skimwright trim``: the one next change for a boat, with what else it does."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from skimwright.cli.check import SEED, number_of, ready
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, quantity

if TYPE_CHECKING:
    from skimwright.desk import Advice, Change, Entry, Prospects, Season, Trim


def answer(ask: Ask) -> Answer:
    """Advise one boat of the season."""
    from skimwright import desk

    season = ask.season()
    entry = season.boat(number_of(ask, "trim"))
    if ask.given["back"]:
        return _back(ask, season, entry)
    ready(ask)
    so_far: list[Advice] = []

    def rough(advice: Advice) -> None:
        so_far.append(advice)
        ask.progress.say(f"So far: {advice.first.candidate.says} Sharpening; Ctrl-C keeps this answer.")

    try:
        found = desk.trim_boat(
            season,
            entry,
            target=ask.given["target"],
            seed=ask.given["seed"],
            quick=ask.given["quick"],
            rough=None if ask.given["quick"] else rough,
            progress=lambda made, total: ask.progress.update(made, total, "runs"),
        )
    except KeyboardInterrupt:
        if not so_far:
            raise
        found = so_far[-1]
    name = f"{found.name[0].upper()}{found.name[1:]}"
    plain = f"{name}: {found.first.candidate.says} {_gain(found.first)}"
    return Answer(data=as_data(found), text=as_text(found, name), plain=plain, findings=found.findings)


def _back(ask: Ask, season: Season, entry: Entry) -> Answer:
    """The trims it has run with, and the way back to each."""
    from skimwright import desk

    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    found = desk.earlier_trims(season, entry, log)
    name = f"{entry.label[0].upper()}{entry.label[1:]}"
    findings = (found.question,) if found.question else ()
    if found.question:
        says = f"{name}: no trims are compared until a question is answered."
    elif len(found.trims) < 2:
        says = f"{name}: no earlier trim is logged."
    elif found.best is None:
        says = f"{name}: none of its earlier trims has the better chance; leave it."
    else:
        says = f"{name}: trim {found.best.number} has the better chance: {_way(found.best)}."
    rows = [
        [str(t.number), t.change or "as first run", str(len(t.runs)), _side(t.drift),
         "" if t.distance is None else f"{t.distance:.1f}", f"{100 * t.chance:.0f}", _way(t)]
        for t in found.trims
    ]  # fmt: skip
    heads = ["trim", "after", "runs", "drift, m", "stopped, m", "next run through %", "the way back"]
    more = (
        ["", table(heads, rows), "", "By the log alone, drawn toward its kind; few runs say little."]
        if rows
        else []
    )
    data = {
        "boat": entry.number,
        "trims": [
            {"trim": t.number, "change": t.change, "runs": [r.run for r in t.runs], "undo": list(t.undo),
             "through_gate": round(t.chance, 4), "drift_m": None if t.drift is None else round(t.drift[0], 3),
             "drift_within_m": None if t.drift is None else round(t.drift[1], 3),
             "distance_m": None if t.distance is None else round(t.distance, 2)}
            for t in found.trims
        ],
        "best": None if found.best is None else found.best.number,
        "findings": [finding.as_dict() for finding in findings],
    }  # fmt: skip
    return Answer(data=data, text="\n".join([says, *more]), plain=says, findings=findings)


def _way(trim: Trim) -> str:
    if not trim.undo:
        return "it is so now"
    if trim.is_bundle:
        return "several changes at once lie between: weigh and check it first"
    return "undo " + ", then ".join(f'"{change}"' for change in trim.undo)


def _side(drift: tuple[float, float] | None) -> str:
    return "" if drift is None else f"{drift[0]:+.1f} +-{drift[1]:.1f}"


def as_text(found: Advice, name: str) -> str:
    """The next change, its side effects, the runners-up, the map and the verdict on mass."""
    first = found.first
    state = found.before
    said = [
        f"{name}: {first.candidate.says}",
        f"  {_gain(first)} {_why(first)}".rstrip(),
        *(f"  It also: {effect}." for effect in first.side_effects),
    ]
    if first.candidate.undo:
        said.append(f"  To undo: {first.candidate.undo}")
    if found.asked:
        a = found.asked
        said += [
            "",
            f"Asked for: {a.candidate.says} {_gain(a)}",
            *(f"  It also: {e}." for e in a.side_effects),
        ]
    said += [
        "",
        f"As it is: through the gate {100 * state.through:.0f} %, nose lifting if the wind comes straight ahead "
        f"{100 * state.nose:.1f} %, stops after {state.distance:.1f} m"
        + (f", gate after {state.gate_time:.2f} s." if state.gate_time else "."),
    ]
    if abs(found.aim) >= math.radians(0.5):
        said.append(
            f"All of this with the launch line aimed {abs(math.degrees(found.aim)):.0f} deg to "
            f"{'starboard' if found.aim > 0 else 'port'} for the wind."
        )
    if len(found.changes) > 1:
        rows = [[c.candidate.says, _points(c), _span(c)] for c in found.changes]
        said += ["", table(["change", "points", "80 % of draws"], rows)]
    if found.map:
        said += ["", _map(found)]
    if found.mass:
        said += [
            "",
            f"Lighter or heavier? {found.mass.says[0].upper()}{found.mass.says[1:]}: {found.mass.interval[0]:+.1f} to "
            f"{found.mass.interval[1]:+.1f} points for 10 g more (80 %), with nothing crooked. {found.mass.why}",
        ]
    if found.measure_first:
        said += ["", f"Not measured, and it hides much of the drift: {found.measure_first}."]
    if found.rough:
        said += ["", "Rough: few runs of each change. Let it run on, or ask again without --quick."]
    said += [
        "",
        "A point is a hundredth of a run through the gate. Untested: change one thing, run it, log it.",
    ]
    return "\n".join(said)


def _gain(change: Change) -> str:
    if math.isnan(change.gain):
        return "What that is worth cannot be worked out."
    if change.candidate.kind == "leave it":
        return "No safe change is worth its time."
    return f"Worth {_points(change)} points ({_span(change)})."


def _why(change: Change) -> str:
    if change.mends and change.gain == change.gain:
        return "What was measured outside the card is mended first; trim comes after."
    return ""


def _points(change: Change) -> str:
    return "-" if math.isnan(change.gain) else f"{change.gain:+.1f}"


def _span(change: Change) -> str:
    return "-" if math.isnan(change.gain) else f"{change.low:+.1f} to {change.high:+.1f}"


def _map(found: Advice) -> str:
    """Ballast at every place: points, with nose and distance."""
    rows = [
        [
            f"{c.candidate.move.place[0] * 1e3:.0f}, {c.candidate.move.place[1] * 1e3:+.0f}",
            f"{c.candidate.move.mass * 1e3:.0f}",
            f"{100 * c.after.through:.0f}",
            f"{100 * c.after.nose:.1f}",
            f"{c.after.distance:.1f}",
            f"{c.gain:+.1f}",
        ]
        for c in found.map
        if c.candidate.move.place and c.after
    ]
    heads = ["ballast at x, y mm", "g", "through %", "nose lifts %", "stops m", "points"]
    return table(heads, rows)


def as_data(found: Advice) -> dict[str, Any]:
    """For --json; what cannot be worked out is null."""
    return {
        "name": found.name,
        "tested": False,
        "rough": found.rough,
        "aim_deg": round(math.degrees(found.aim), 2),
        "before": _state(found.before),
        "changes": [_change(change) for change in found.changes],
        "asked": None if found.asked is None else _change(found.asked),
        "map": [_change(change) for change in found.map],
        "mass_verdict": None
        if found.mass is None
        else {
            "says": found.mass.says,
            "interval": [round(value, 4) for value in found.mass.interval],
            "interval_is": "points for 10 g more, 80 %",
            "why": found.mass.why,
            "x_mm": round(found.mass.slope.place[0] * 1e3, 1),
            "through_gate_per_10_g": round(found.mass.slope.through.mean, 5),
            "distance_m_per_10_g": round(found.mass.slope.distance.mean, 4),
            "nose_lifts_per_10_g": round(found.mass.slope.nose.mean, 5),
        },
        "measure_first": found.measure_first or None,
        "findings": [finding.as_dict() for finding in found.findings],
    }


def _change(change: Change) -> dict[str, Any]:
    move = change.candidate.move
    place = move.place
    return {
        "what": change.candidate.says,
        "kind": change.candidate.kind,
        "mass_g": round(move.mass * 1e3, 2),
        "x_mm": None if place is None else round(place[0] * 1e3, 1),
        "y_mm": None if place is None else round(place[1] * 1e3, 1),
        "gain": _number(change.gain),
        "gain_interval": [_number(change.low), _number(change.high)],
        "mends": list(change.mends),
        "side_effects": list(change.side_effects),
        "undo": change.candidate.undo,
        "before": _state(change.before),
        "after": None if change.after is None else _state(change.after),
    }


def _number(value: float | None) -> float | None:
    return None if value is None or math.isnan(value) else round(value, 4)


def _state(state: Prospects) -> dict[str, Any]:
    return {
        "through_gate": round(state.through, 4),
        "nose_lifts_in_headwind": round(state.nose, 5),
        "blows_over": round(state.flips, 4),
        "distance_m": round(state.distance, 3),
        "gate_time_s": _number(state.gate_time),
        "drift_m": _number(state.drift),
        "mass_g": round(state.mass * 1e3, 2),
        "balance_x_mm": round(state.balance_x * 1e3, 2),
        "balance_y_mm": round(state.balance_y * 1e3, 2),
    }


VERB = Verb(
    name="trim",
    does="the one next change for a boat, ballast map, lighter or heavier",
    tells="Changes are judged over build, device, launch and weather on the season's day, with the launch line aimed "
    "off for the wind. What was measured outside the card is mended first. Ballast never takes a boat over its "
    "class's mass, and the device only goes back to its line.",
    options=(
        BOAT,
        Option(
            flag="--target", value="MM", does="also say what it takes to balance there, from the bow",
            read=quantity("length", "mm", low=1, high=5000),
        ),
        Option(flag="--quick", does="the rough answer only"),
        Option(flag="--back", does="earlier trims by the log, what each would bring, and how to go back"),
        SEED,
    ),
    example="trim --boat 18",
    answer=answer,
)  # fmt: skip

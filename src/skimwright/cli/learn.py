"""``skimwright learn``: one boat's forecast with its logged runs taken in."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError
from skimwright.cli.forecast import KEEP, USUAL_RUNS, USUAL_SEED, as_data, kept
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import BoatLearned, Range, Season


def answer(ask: Ask) -> Answer:
    """Learn one boat."""
    from skimwright import desk

    number = ask.given["boat"]
    if ask.given["scores"]:
        return _scores(ask)
    if number is None:
        raise InputError(what="which boat", got="no --boat", allowed="its number", do="Add --boat N.")
    ask.ready_model()
    season = with_wind(ask, ask.season())
    entry = season.boat(number)
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    known = desk.learn_boat(
        season,
        entry,
        log,
        runs=ask.given["runs"],
        seed=ask.given["seed"],
        progress=lambda done, total: ask.progress.update(done, total, "runs of the model"),
    )
    text = as_text(known)
    after = known.found.forecast
    plain = (
        f"{known.found.name}, {len(known.used)} runs: through the gate {desk.share(after.through_gate, after.runs)}, "
        f"before {desk.share(known.before.through_gate, known.before.runs)}. {known.next_test.do}"
    )
    data = data_of(known)
    data["kept"], kept_words = kept(ask, known.found, made="learn")
    return Answer(data=data, text=text + kept_words, plain=plain, findings=known.found.findings)


def with_wind(ask: Ask, season: Season) -> Season:
    """The season on a day with another wind."""
    given = ask.given
    changes: dict[str, Any] = {}
    if given["wind_m_s"] is not None:
        changes |= {"wind_speed": given["wind_m_s"], "wind_gust": None}
    if given["wind_from_deg"] is not None:
        changes["wind_from"] = given["wind_from_deg"]
    return replace(season, conditions=replace(season.conditions, **changes))


def _scores(ask: Ask) -> Answer:
    """How good the kept forecasts were."""
    from skimwright import desk

    season = ask.season()
    path = ask.files.season_folder(ask.season_chosen) / desk.FORECASTS
    made = desk.read_forecasts(ask.files.rows(path) if ask.files.is_file(path) else None)
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    if ask.given["boat"] is not None:
        season.boat(ask.given["boat"])
    found = desk.score_season(season, log, made, boat=ask.given["boat"])
    files = []
    if ask.given["out"]:
        foot = f"Skimwright, {ask.files.today()}."
        page = desk.scores_page(found, season=season.name, foot=foot)
        files = [str(ask.files.write(Path(ask.given["out"]) / "scores.html", ask.files.as_html(page)))]
    lines = [found.says]
    if found.lines:
        lines += ["", table(desk.SCORE_HEAD, desk.score_rows(found)), "", "A lower score (CRPS) is better."]
    lines += desk.chance_lines(found)
    lines += [f"{found.other_wind} runs in another wind are left out."] if found.other_wind else []
    lines += [f"Written: {file}" for file in files]
    data = {
        "kept": found.kept,
        "figures": len(found.scored),
        "scores": [
            {"made": line.made, "what": line.quantity, "figures": line.count, "held_50": round(line.held50, 4),
             "held_90": round(line.held90, 4), "crps": round(line.crps, 4), "figures_compared": line.both,
             "crps_compared": finite(line.crps_there), "crps_last_run": finite(line.last),
             "crps_kind": finite(line.kind)}
            for line in found.lines
        ],
        "chances": [
            {"made": c.made, "runs": c.count, "said": round(c.said, 4), "came": round(c.came, 4),
             "brier": round(c.brier, 4)}
            for c in found.chances
        ],
        "other_wind": found.other_wind,
        "files": files,
        "findings": [],
    }  # fmt: skip
    return Answer(data=data, text="\n".join(lines), plain=found.says)


def finite(value: float) -> float | None:
    """For --json, which knows no nan."""
    return round(value, 4) if math.isfinite(value) else None


def data_of(known: BoatLearned) -> dict[str, Any]:
    """For --json."""
    after, before, learned = known.found.forecast, known.before, known.learned
    forecast = as_data(known.found)
    forecast["tested"] = bool(known.used)
    fleet = learned.fleet
    return {
        "boat": known.found.name,
        "runs_used": len(known.used),
        "left_out": [{"run": run.run, "why": why} for run, why in known.left_out],
        "forecast": forecast,
        "shift": {
            "distance_m": _moved(before.distance, after.distance),
            "gate_time_s": _moved(before.gate_time, after.gate_time),
            "drift_m": _moved(before.drift, after.drift),
            "through_gate": {"before": before.through_gate, "after": after.through_gate},
            "run_to_run": {
                name: round(float(learned.spread[:, k].mean()), 3)
                for k, name in enumerate(("distance", "gate_time", "drift"))
            },
        },
        "effective_sample": round(learned.cloud.effective, 1),
        "steps": learned.cloud.steps,
        "fleet": {"boats": fleet.boats, "runs": fleet.runs, "model_doubt_taken": round(fleet.taught, 3)},
        "law_explains": {
            name: round(float(v), 4)
            for name, v in zip(("distance", "gate_time", "drift"), learned.law.explained, strict=True)
        },
        "learned": [
            {"cause": words, "share": round(share, 3)}
            for words, share in sorted(
                ((w, learned.taught[k]) for k, w in zip(learned.law.keys, learned.law.words, strict=True)),
                key=lambda pair: -pair[1],
            )
            if share >= 0.1
        ],
        "not_learned": [
            {"what": n.what, "why": n.why, "teaches": n.teaches, "share": round(n.taught, 3)} for n in known.not_learned
        ],
        "next_test": {
            "do": known.next_test.do,
            "why": known.next_test.why,
            "value": round(known.next_test.value, 4),
            "minutes": known.next_test.minutes,
        },
        "changes": [
            {"run": c.run, "change": c.change, "before": c.before, "after": c.after, "says": c.says,
             "drift_m": None if c.drift is None else {"change": round(c.drift[0], 3), "sd": round(c.drift[1], 3)}}
            for c in known.credits
        ],
        "runs_to_tell": round(known.runs_to_tell),
        "spread_is_own": known.spread_is_own,
        "chance_in_tries": round(known.in_tries, 4),
        "explanations": None
        if known.verdict is None
        else {
            "faults": [
                {"what": e.words, "chance": round(e.chance, 4)} for e in known.verdict.explanations if e.chance > 0.01
            ],
            "test": known.verdict.test,
            "minutes": known.verdict.minutes,
            "alike": known.verdict.alike,
        },
        "findings": forecast["findings"],
    }  # fmt: skip


def _moved(before: Range | None, after: Range | None) -> dict[str, float | None]:
    return {
        "before": None if before is None else round(before.p50, 4),
        "after": None if after is None else round(after.p50, 4),
        "width_before": None if before is None else round(before.p95 - before.p05, 4),
        "width_after": None if after is None else round(after.p95 - after.p05, 4),
    }


def as_text(known: BoatLearned) -> str:
    """Before and after in one table, and what to do."""
    from skimwright import desk

    before, after = known.before, known.found.forecast
    rows = [
        [
            "through the gate",
            desk.share(before.through_gate, before.runs),
            desk.share(after.through_gate, after.runs),
        ],
        [
            "crosses the gate's line",
            desk.share(before.reaches, before.runs),
            desk.share(after.reaches, after.runs),
        ],
        ["stops after", desk.span(before.distance, 1, "m"), desk.span(after.distance, 1, "m")],
    ]
    if before.gate_time and after.gate_time:
        rows.append(
            ["time to the gate", desk.span(before.gate_time, 2, "s"), desk.span(after.gate_time, 2, "s")]
        )
    if before.drift and after.drift:
        rows.append(["drift at the gate", desk.sideways_span(before.drift), desk.sideways_span(after.drift)])
    used, fleet = len(known.used), known.learned.fleet
    lines = [
        f"{known.found.name}: learned from {used} run{'' if used == 1 else 's'} of its own and {fleet.runs} of "
        f"{fleet.boats} other boats of its kind; the season's wind. Nine runs of ten:",
        "",
        table(["", "before", "now"], rows),
        "",
        f"Chance to pass in its tries: {100 * known.in_tries:.0f} %.",
    ]
    lines += [f"Run {run.run} is left out: {why}." for run, why in known.left_out]
    lines += [f'Change at run {c.run}, "{c.change}": {c.says}' for c in known.credits]
    if known.verdict is not None:
        best = ", ".join(f"{e.words} {100 * e.chance:.0f} %" for e in known.verdict.explanations[:3])
        alike = " The first two fit about alike." if known.verdict.alike else ""
        lines.append(f"If one thing alone explains its drift: {best}.{alike} To tell: {known.verdict.test}")
    lines.append(
        "These runs cannot teach: "
        + "; ".join(f"{n.what} (what can: {n.teaches})" for n in known.not_learned)
        + "."
    )
    test = known.next_test
    lines.append(
        f"Next: {test.do} {test.why} Worth {100 * test.value:.1f} tries in 100, {test.minutes:.0f} min."
    )
    whose = "its own" if known.spread_is_own else "its class's"
    lines.append(
        f"To see a change of a tenth of the gate's width take {known.runs_to_tell:.0f} runs each way ({whose} spread). "
        f"Of the model's trial boats as many as {known.learned.cloud.effective:.0f} still fit what was seen."
    )
    return "\n".join(lines)


VERB = Verb(
    name="learn",
    does="what a boat's logged runs teach, and its forecast with them taken in",
    tells="The boat learns from its own runs since the last change and from all boats of its kind. What the runs "
    "cannot teach is said, with what would, and the next most useful test with its worth in tries of a hundred. "
    "--scores sets kept forecasts beside the runs that came after.",
    options=(
        BOAT,
        Option(
            flag="--runs",
            value="N",
            does="runs of the model, 1000 unless given",
            read=whole(low=200, high=20_000),
            usual=USUAL_RUNS,
        ),
        Option(
            flag="--seed",
            value="S",
            does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1),
            usual=USUAL_SEED,
        ),
        Option(
            flag="--wind-m-s", value="W", does="another wind than the season's, at head height",
            read=quantity("speed", "m/s", low=0, high=20),
        ),
        Option(
            flag="--wind-from-deg", value="A", does="where it comes FROM, clockwise from north",
            read=quantity("angle", "deg", low=0, high=360),
        ),
        KEEP,
        Option(flag="--scores", does="how good the kept forecasts were, of all boats or of --boat N"),
        Option(flag="--out", value="DIR", does="with --scores: also write scores.html"),
    ),
    example="learn --boat 7",
    answer=answer,
)  # fmt: skip

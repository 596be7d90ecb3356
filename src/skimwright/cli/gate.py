"""``skimwright gate``: who is through the gate, what to change after a miss, and appeals."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import Finding, InputError, Where, parse_quantity
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import AtTheGate, BoatAtGate, ClassAtGate, Group, NearMiss, RunLog, Season, TapedGate

RUNS = "runs.csv"


def answer(ask: Ask) -> Answer:
    """The class tables; with a boat, its tries and the next change; with an appeal, one row more."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    if given["diagonals_m"]:
        return _taped(ask, season)
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    files: list[str] = []
    if given["appeal"] is not None:
        log, file = _appealed(ask, season, log)
        files.append(file)
    elif given["result"] or given["by"] or given["reason"]:
        raise InputError(what="a result without its try", allowed="--appeal K with --result, --by and --reason",
                         do="Add --boat N and --appeal K.")  # fmt: skip
    every = given["every_run"]
    found = desk.at_the_gate(season, log, group=given["group"], ramps=given["ramps"], every_run=every)
    if given["out"]:
        foot = f"Skimwright, {ask.files.today()}. Ask a person: the marshal decides."
        page = desk.gate_page(found, season=season.name, foot=foot)
        files.append(str(ask.files.write(Path(given["out"]) / "gate.html", ask.files.as_html(page))))
    if given["boat"] is not None:
        return _one(ask, season, log, found, files)
    return _all(found, files)


def _taped(ask: Ask, season: Season) -> Answer:
    """Where the gate of a class really stands."""
    from skimwright import desk

    given = ask.given
    group = season.groups.get(given["group"] or "")
    if group is None:
        raise InputError(
            what="the gate of which class was taped", got=f'"{given["group"] or ""}"', allowed=", ".join(season.groups),
            do="Add --group NAME.", where=Where(field="--group"),
        )  # fmt: skip
    port, starboard = given["diagonals_m"]
    width = given["start_width_m"] or group.gate.width
    found = desk.tape_gate(group.gate, from_port=port, from_starboard=starboard, start_width=width)
    findings = _gate_findings(found, group)
    side = "to starboard" if found.aside > 0 else "to port"
    says = (
        f"{group.name}: the gate stands {found.distance:.2f} m away (within {found.distance_within:.2f} m; "
        f"{group.gate.distance:.2f} m is the rule), its middle {abs(found.aside):.2f} m {side} of the launch line "
        f"(within {found.aside_within:.2f} m)."
    )
    data = {
        "group": group.name,
        "distance_m": round(found.distance, 4),
        "distance_within_m": round(found.distance_within, 4),
        "aside_m": round(found.aside, 4),
        "aside_within_m": round(found.aside_within, 4),
        "diagonals_differ_m": round(found.apart, 4),
        "tape_again": found.again,
        "files": [],
        "findings": [finding.as_dict() for finding in findings],
    }
    return Answer(data=data, text=says, plain=says, findings=findings)


def _gate_findings(found: TapedGate, group: Group) -> tuple[Finding, ...]:
    off = found.distance - group.gate.distance
    if found.again:
        return (
            Finding(
                code="diagonals-differ", severity="stop", do="Tape both again, then move the posts.",
                what=f"The two diagonals differ by {found.apart:.2f} m; 0.10 m is allowed.",
            ),
        )  # fmt: skip
    if abs(off) <= max(found.distance_within, 0.1):
        return ()
    return (
        Finding(
            code="gate-distance", severity="warning", do="Move the posts, or write the distance into season.toml.",
            what=f"The gate stands {abs(off):.2f} m {'too far' if off > 0 else 'too near'} for {group.name}.",
        ),
    )  # fmt: skip


def _two_lengths(given: str, where: Where) -> tuple[float, float]:
    """Reads ``D1,D2``.  [m]"""
    parts = given.split(",")
    if len(parts) != 2:
        raise InputError(what="not two diagonals", got=f'"{given}"', allowed="such as 30.90,30.86", do="Write both.",
                         where=where)  # fmt: skip
    one, other = (parse_quantity(part, "length", default_unit="m", where=where) for part in parts)
    return one, other


def _appealed(ask: Ask, season: Season, log: RunLog) -> tuple[RunLog, str]:
    from skimwright import desk

    given = ask.given
    if given["boat"] is None or not given["result"]:
        raise InputError(
            what="an appeal needs its boat and the new result",
            got=" ".join(f"--{k}" for k in ("boat", "result") if given[k] is not None) or "neither",
            allowed="--boat N --appeal K --result WORDS --by JOB --reason WORDS",
            do="The result is an ending such as through the gate, or again: the try is given again.",
        )
    _, boat = desk.at_the_gate(season, log, every_run=given["every_run"]).boat(given["boat"])
    logged = desk.appeal(
        season, log, boat, number=given["appeal"], result=given["result"], who=given["by"] or "",
        why=given["reason"] or "", now=ask.files.now(),
    )  # fmt: skip
    path = ask.files.season_folder(ask.season_chosen) / RUNS
    if logged.row is not None:
        ask.files.add_rows(path, desk.RUN_COLUMNS, [logged.row])
    return desk.read_runs(ask.files.runs(ask.season_chosen), season), str(path)


def _all(found: AtTheGate, files: list[str]) -> Answer:
    from skimwright import desk

    boats = [boat for each in found.classes for boat in each.boats]
    through = sum(boat.passed is not None for boat in boats)
    plain = f"{through} of {len(boats)} boats through the gate."
    parts = ["\n".join(_class_lines(each)) for each in found.classes]
    below = [desk.LETTERS]
    if found.none_marked:
        below.append("No run is marked as a try yet (`log --try yes`): the chances are by the practice runs.")
    if found.queue:
        names = ", ".join(f"{b.entry.number:02d}" for b in found.queue[:8])
        below.append(
            f"Next at the ramp: {names}. Fewest tries first; a late crew keeps its place. "
            f"If every try that is left is made: {found.minutes:.0f} minutes."
        )
    text = "\n\n".join([*parts, "\n".join(below), *([f"Written: {', '.join(files)}"] if files else [])])
    data = {
        "through": through,
        "boats": len(boats),
        "classes": [_class_data(each) for each in found.classes],
        "queue": [boat.entry.number for boat in found.queue],
        "minutes_left": round(found.minutes, 1),
        "none_marked": found.none_marked,
        "files": files,
        "findings": [finding.as_dict() for finding in found.findings],
    }
    return Answer(data=data, text=text, plain=plain, findings=found.findings)


def _class_lines(each: ClassAtGate) -> list[str]:
    from skimwright import desk

    head = f"{each.group.name}: {desk.rule_words(each.group)}."
    if each.question:
        return [head, "No try is judged until the question about its distance is answered."]
    rows = [
        [
            f"{b.entry.number:02d} {b.entry.name}",
            b.marks,
            b.says,
            "" if b.passed else str(b.left),
            "" if b.chance is None else desk.chance_words(b),
        ]
        for b in each.boats
    ]
    return [head, table(["boat", "tries", "so far", "left", "chance to pass"], rows)]


def _one(ask: Ask, season: Season, log: RunLog, found: AtTheGate, files: list[str]) -> Answer:
    from skimwright import desk

    each, boat = found.boat(ask.given["boat"])
    miss = None
    if each.question is None and boat.tries and not boat.passed:
        if boat.question is None and not boat.entry.is_stopped:
            ask.ready_model()
        miss = desk.near_miss(season, boat.entry, boat, log, seed=ask.given["seed"])
    findings = (each.question,) if each.question else (boat.question,) if boat.question else ()
    name = f"{boat.entry.label[0].upper()}{boat.entry.label[1:]}"
    says = f"{name}: {boat.says}."
    if miss and miss.cause:
        says += f" Likeliest: {miss.cause}. {miss.change}"
    lines = [f"{name}: {boat.says}.", f"{each.group.name}: {desk.rule_words(each.group)}."]
    lines += [f"  Try {t.number} (run {t.run.run}): {t.says}{_figures(t.run.result)}" for t in boat.tries]
    lines += [f"  {_appeal_words(run.run, change)}" for run, change in boat.appeals]
    if boat.chance is not None:
        others = each.kinds[boat.entry.kit, boat.entry.device].boats - bool(boat.used)
        lines.append(
            f"Chance to pass in the {boat.left} left: {desk.chance_words(boat)}, by {len(boat.used)} runs of its own "
            f"and {others} other boats of its kind. Only the log speaks in it, not the model."
        )
    lines += [f"Run {run.run} is not counted in it: {why}." for run, why in boat.left_out]
    if miss and miss.cause:
        sure = "" if miss.chance is None else f", {100 * miss.chance:.0f} in a hundred"
        lines += [f"Likeliest cause of the last miss: {miss.cause}{sure}.", f"Do: {miss.change}"]
    elif miss and not findings:
        lines.append(miss.change)
    lines += [f"Written: {file}" for file in files]
    return Answer(data=_boat_page(each, boat, miss, files, findings), text="\n".join(lines), plain=says,
                  findings=findings)  # fmt: skip


def _figures(result: Any) -> str:
    said = [
        f"{result.distance:.1f} m" if result.distance is not None else "",
        f"{result.gate_time:.2f} s" if result.gate_time is not None else "",
        f"{abs(result.drift):.1f} m to {'starboard' if result.drift > 0 else 'port'}"
        if result.drift is not None
        else "",
    ]
    told = ", ".join(each for each in said if each)
    return f" ({told})" if told else ""


def _appeal_words(run: int, change: Any) -> str:
    if change.field == "as_try":
        return f"Run {run} no longer counts as a try: {change.who}, {change.reason}"
    return f'Run {run} was "{change.old or "not told"}", now "{change.new}": {change.who}, {change.reason}'


def _class_data(each: ClassAtGate) -> dict[str, Any]:
    rule = each.group
    return {
        "class": rule.name,
        "rule": {
            "qualifying_distance_m": rule.qualifying_distance,
            "gate_width_m": rule.gate_width,
            "tries": rule.tries,
            "devices": list(rule.devices),
        },
        "asked": each.question.sentence() if each.question else None,
        "table": [_boat_data(boat) for boat in each.boats],
    }


def _boat_data(boat: BoatAtGate) -> dict[str, Any]:
    return {
        "boat": boat.entry.number,
        "name": boat.entry.name,
        "says": boat.says,
        "through": boat.passed is not None,
        "tries": [{"try": t.number, "run": t.run.run, "result": t.says} for t in boat.tries],
        "left": boat.left,
        "chance_to_pass": None if boat.chance is None else round(boat.chance, 4),
        "appeals": [
            {"run": run.run, "field": "result" if c.field == "ending" else "counts", "old": c.old, "new": c.new,
             "who": c.who, "why": c.reason, "time": c.time}
            for run, c in boat.appeals
        ],
    }  # fmt: skip


def _boat_page(
    each: ClassAtGate, boat: BoatAtGate, miss: NearMiss | None, files: list[str], findings: tuple[Any, ...]
) -> dict[str, Any]:
    data = {"class": each.group.name, "rule": _class_data(each)["rule"], **_boat_data(boat)}
    data["runs_used"] = [run.run for run in boat.used]
    data["left_out"] = [{"run": run.run, "why": why} for run, why in boat.left_out]
    data["near_miss"] = None if miss is None else {
        "try": miss.missed.number, "cause": miss.cause or None, "key": miss.key,
        "chance": None if miss.chance is None else round(miss.chance, 4), "change": miss.change,
        "runs": miss.runs,
    }  # fmt: skip
    return {**data, "files": files, "findings": [finding.as_dict() for finding in findings]}


VERB = Verb(
    name="gate",
    does="who is through the gate, tries left, and the one change after a miss",
    tells="Tries are the runs logged with `log --try yes`; the rule stands in season.toml, class by class. With "
    "--boat it shows the chance to pass in the tries left, from the boat's own runs with its own device, and after a "
    "miss the likeliest cause with one change. An appeal adds a row: old and new result, who and why all stay.",
    options=(
        BOAT,
        Option(flag="--group", value="NAME", does="one class; all unless given"),
        Option(flag="--every-run", does="take every logged run for a try, marked or not"),
        Option(flag="--ramps", value="R", does="boats started side by side, for the time to the end",
               read=whole(low=1, high=20), usual=1),
        Option(flag="--appeal", value="K", does="change the result of the boat's try K",
               read=whole(low=1, high=20)),
        Option(flag="--result", value="WORDS", does="what it is now: an ending, or `again` to give the try again"),
        Option(flag="--by", value="JOB", does="who decided the appeal"),
        Option(flag="--reason", value="WORDS", does="why"),
        Option(flag="--diagonals-m", value="D1,D2", does="tape a class's gate: port start mark to starboard post, "
               "starboard mark to port post", read=_two_lengths),
        Option(flag="--start-width-m", value="W", does="between the start marks; as wide as the gate unless given",
               read=quantity("length", "m", low=0.3, high=50)),
        Option(flag="--seed", value="S", does="same seed, same answer; 30480 unless given",
               read=whole(low=0, high=2**31 - 1), usual=30480),
        Option(flag="--out", value="DIR", does="also write gate.html, a sheet to post"),
    ),
    example="gate --boat 8",
    answer=answer,
)  # fmt: skip

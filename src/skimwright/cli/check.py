"""``skimwright check``: the build check of one boat, each deviation told as what it does on the water."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where, parse_quantity
from skimwright.cli.table import figures, table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import BuildCheck, Decided, Deviation, Range

VERDICTS = {"pass": "pass", "mend": "mend", "care": "run with care", "card": "as the card says"}


def answer(ask: Ask) -> Answer:
    """Check one boat of the season."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    entry = season.boat(number_of(ask, "check"))
    findings: list[Any] = []
    if given["corners_mm"] is not None:
        twist = desk.twist_from_corners(given["corners_mm"], spacing=_spacing(ask, season.kit_of(entry)))
        entry = desk.with_twist(entry, twist)
        findings = list(desk.twist_findings(twist))
    lengths = dict(given["lengths_mm"] or {})
    ends = dict(given["ends_mm"] or {})
    desk.turned_parts(season.kit_of(entry), ends)  # refuses before anything is run
    _override(ask)
    path = ask.files.season_folder(ask.season_chosen) / desk.OVERRIDES
    decisions = desk.read_overrides(ask.files.rows(path) if ask.files.is_file(path) else None)
    decisions = desk.of_boat(decisions, entry.number)
    ready(ask)
    found = desk.check_boat(
        season,
        entry,
        runs=given["runs"],
        seed=given["seed"],
        lengths=lengths,
        ends=ends,
        progress=meter(ask),
    )
    files = []
    if given["override"]:
        decided = desk.decide(
            found, boat=entry.number, verdict=given["override"], who=given["by"] or "", reason=given["reason"] or "",
            now=ask.files.now(),
        )  # fmt: skip
        files = [str(ask.files.add_rows(path, desk.OVERRIDE_COLUMNS, [desk.decided_row(decided)]))]
        decisions = (*decisions, decided)
    if decisions:
        found = replace(found, override=decisions[-1].override)
    below = (*found.findings, *findings, *desk.stale(found, decisions))
    data = as_data(found)
    data["overrides"] = [
        {"time": d.time, "card": d.card, "verdict": d.says, "name": d.who, "reason": d.reason}
        for d in decisions
    ]
    data["files"] = files
    data["findings"] = [finding.as_dict() for finding in below]
    data["adult_help"] = entry.adult_help or None
    plain = f"{found.name[0].upper()}{found.name[1:]}: {found.stands}. {found.reasons[0]}"
    helped = f"Adult help: {entry.adult_help or 'not recorded'}."
    return Answer(data=data, text=f"{as_text(found, decisions)}\n\n{helped}", plain=plain, findings=below)


def number_of(ask: Ask, verb: str) -> int:
    """The boat meant."""
    if ask.given["boat"] is None:
        raise InputError(
            what="one boat is needed", got="no --boat", allowed="--boat N",
            do=f"For example: `skimwright {verb} --boat 7`.",
        )  # fmt: skip
    number: int = ask.given["boat"]
    return number


def ready(ask: Ask) -> None:
    """A word before the model is compiled."""
    ask.ready_model()


def meter(ask: Ask) -> Any:
    """Progress of runs made piece by piece."""
    made = 0

    def told(piece: int, total: int) -> None:
        nonlocal made
        made += piece
        ask.progress.update(made, total, "runs")

    return told


def _spacing(ask: Ask, kit: Any) -> float:
    apart: float | None = ask.given["corners_apart_mm"]
    if apart is not None:
        return apart
    return float(kit.design.hull_width if kit.design else 0.0)


def _override(ask: Ask) -> None:
    """Refuse a name or a reason that belongs to nothing, and a verdict without them, before anything is run."""
    given = ask.given
    said = [bool(given[name]) for name in ("override", "by", "reason")]
    if any(said) and not all(said):
        raise InputError(
            what="a verdict of one's own needs a name and a reason",
            got=" and ".join(
                f"--{n}" for n, yes in zip(("override", "by", "reason"), said, strict=True) if yes
            ),
            allowed="--override with --by and --reason",
            do="Give all three, or none; they are kept together.",
        )


def as_text(found: BuildCheck, decisions: tuple[Decided, ...] = ()) -> str:
    """The card, the verdict and why."""
    from skimwright import desk

    rows = [
        [
            line.what,
            f"{line.measured:.4g} {line.unit}",
            f"{line.drawn:.3g} {line.unit}",
            f"{figures(line.allowed)} {line.unit}",
            "over" if line.ratio > 1.0 else "",
            desk.effect_words(line.effect),
        ]
        for line in found.deviations
    ]
    said = [
        f"{found.name[0].upper()}{found.name[1:]}: {found.stands.upper()}.",
        *(f"  {reason}" for reason in found.reasons),
    ]
    if found.override:
        o = found.override
        said.append(f"  {o.name} decided so in place of {found.verdict}: {o.reason}")
    said += [
        f"  Before that {d.who} decided {d.says}: {d.reason}"
        for d in reversed(decisions)
        if d.override != found.override
    ]
    if rows:
        heads = ["", "measured", "drawn", "allowed", "", "by itself, nine runs of ten"]
        said += ["", table(heads, rows)]
    if found.missing:
        best = found.missing[0]
        names = ", ".join(line.what for line in found.missing)
        said += ["", f"Not measured, so the class's spread is taken: {names}."]
        if max(best.of_drift, best.of_distance) >= 0.02:
            said.append(
                f"Measure {best.what} next ({best.tool}): not knowing it makes "
                f"{100 * max(best.of_drift, best.of_distance):.0f} % of the spread of "
                f"{'drift' if best.of_drift >= best.of_distance else 'distance'}."
            )
    return "\n".join(said)


def as_data(found: BuildCheck) -> dict[str, Any]:
    """For --json."""
    return {
        "name": found.name,
        "verdict": found.stands,
        "verdict_of_the_card": found.verdict,
        "reasons": list(found.reasons),
        "override": None
        if found.override is None
        else {
            "verdict": found.override.verdict,
            "name": found.override.name,
            "reason": found.override.reason,
        },
        "deviations": [line_data(line) for line in found.deviations],
        "missing": [
            {
                "key": line.key,
                "what": line.what,
                "tool": line.tool,
                "of_drift": round(line.of_drift, 4),
                "of_distance": round(line.of_distance, 4),
            }
            for line in found.missing
        ],
        "nose_lifts_in_headwind": None if found.nose != found.nose else round(found.nose, 4),
    }


def line_data(line: Deviation) -> dict[str, Any]:
    """One line of the card for --json."""
    return {
        "key": line.key,
        "what": line.what,
        "unit": line.unit,
        "measured": round(line.measured, 4),
        "drawn": round(line.drawn, 4),
        "allowed": round(line.allowed, 4),
        "times_allowed": round(line.ratio, 3),
        "effect": None
        if line.effect is None
        else {
            "drift_m": _range(line.effect.drift),
            "distance_m": _range(line.effect.distance),
            "gate_time_s": _range(line.effect.gate_time),
            "through_gate": round(line.effect.through, 4),
        },
    }


def _range(values: Range | None) -> dict[str, float] | None:
    if values is None:
        return None
    return {key: round(getattr(values, key), 4) for key in ("p05", "p50", "p95", "mean")}


def lengths_mm(given: str, where: Where) -> tuple[float, ...]:
    """Reads numbers in mm with commas between.  [m]"""
    return tuple(parse_quantity(part, "length", default_unit="mm", where=where) for part in given.split(","))


def parts_mm(given: str, where: Where) -> dict[str, tuple[float, float]]:
    """Reads ``WALL-1=601/620,RIB-1=116/120``: part, measured, drawn.  [m]"""
    found = {}
    for item in given.split(","):
        name, _, numbers = item.partition("=")
        both = numbers.split("/")
        if not name.strip() or len(both) != 2:
            raise InputError(
                what="not a list of lengths", got=f'"{item}"', allowed="part=measured/drawn in mm",
                do="Write it like WALL-1=601/620,RIB-1=116/120.", where=where,
            )  # fmt: skip
        measured, drawn = (parse_quantity(n, "length", default_unit="mm", where=where) for n in both)
        found[name.strip()] = (measured, drawn)
    return found


def verdict(given: str, where: Where) -> str:
    """Reads a verdict."""
    if given not in VERDICTS:
        raise InputError(
            what="not a verdict",
            got=f'"{given}"',
            allowed=", ".join(VERDICTS),
            do="Give one of these.",
            where=where,
        )
    return VERDICTS[given]


RUNS = Option(
    flag="--runs", value="N", does="runs of each change, 240 unless given",
    read=whole(low=40, high=20_000), usual=240,
)  # fmt: skip
SEED = Option(
    flag="--seed", value="S", does="same seed, same answer; 30480 unless given",
    read=whole(low=0, high=2**31 - 1), usual=30480,
)  # fmt: skip

VERB = Verb(
    name="check",
    does="the build check of a boat: pass, mend or run with care, and why",
    tells="Each measured line of the card of twelve is set beside the drawing and what its age group is allowed, and "
    "told as what it does on the water by itself: the same runs with it and without it.",
    options=(
        BOAT,
        RUNS,
        SEED,
        Option(
            flag="--corners-mm",
            value="FL,FR,RL,RR",
            does="heights of the floor's corners over a flat table: twist",
            read=lengths_mm,
        ),
        Option(
            flag="--corners-apart-mm",
            value="B",
            does="between left and right corner; the hull's width unless given",
            read=quantity("length", "mm", low=10, high=2000),
        ),
        Option(
            flag="--lengths-mm",
            value="PART=M/D",
            does="other parts measured and drawn, commas between: a scaled printout",
            read=parts_mm,
        ),
        Option(
            flag="--ends-mm",
            value="PART=F/R",
            does="heights 50 mm in from a part's front and rear: is it turned? WALL-1=33/64",
            read=parts_mm,
        ),
        Option(
            flag="--override",
            value="VERDICT",
            does="an inspector's own verdict: pass, mend, care; card takes the last one back",
            read=verdict,
        ),
        Option(flag="--by", value="NAME", does="who decided so; kept with the verdict"),
        Option(flag="--reason", value="WORDS", does="why; kept with the verdict"),
    ),
    example="check --boat 11",
    answer=answer,
)

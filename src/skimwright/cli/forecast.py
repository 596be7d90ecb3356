"""``skimwright forecast``: what one boat, as built, will do on the water."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, MissingError, StoreError, Where
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.show import show_finding
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, place_mm, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import BoatForecast, Range

USUAL_RUNS, USUAL_SEED = 1000, 30480


def answer(ask: Ask) -> Answer:
    """Forecast a boat of the season, or a kit with a device."""
    from skimwright import desk

    ask.ready_model()
    name, question, findings = _question(ask)
    if ask.given["bad_weather"]:
        question, name = desk.in_bad_weather(question), f"{name} in bad weather, soaked"
    found = desk.forecast_boat(
        question,
        name=name,
        findings=findings,
        progress=lambda done, total: ask.progress.update(done, total, "runs"),
    )
    sources = desk.sources_of_forecast(question.device)
    logged = _logged(ask)
    data = as_data(found)
    data["runs_logged"] = logged
    data["sources"] = [{"key": c.key, "where": "; ".join(c.places), "status": c.status} for c in sources]
    files = []
    if ask.given["out"]:
        files = [str(ask.files.write(path, text)) for path, text in _pictures(ask, found)]
        data["files"] = files
    text = as_text(found, logged=logged) + ("\n\nWritten: " + ", ".join(files) if files else "")
    data["kept"], kept_words = kept(ask, found, made="forecast")
    text += kept_words
    result = found.forecast
    plain = (
        f"{name}: through the gate {desk.share(result.through_aimed, result.runs)} aimed off, "
        f"{desk.share(result.through_gate, result.runs)} straight at it, stops after "
        f"{result.distance.p05:.0f} to {result.distance.p95:.0f} m. {found.first.says} {found.first.do}"
    )
    below = tuple(finding for finding in found.findings if finding.code != desk.DEVICE_CLOSED)
    return Answer(data=data, text=text, plain=plain, findings=below)


def _question(ask: Ask) -> tuple[str, Any, tuple[Any, ...]]:
    """Whose boat, the question put to the model, and what the season already says of it."""
    from skimwright import desk

    given = ask.given
    word, number = given["kit"], given["boat"]
    if (word is None) == (number is None):
        raise InputError(
            what="one boat or one kit is needed",
            got="both" if word else "neither",
            allowed="KIT with --device, or --boat N",
            do="For example: `skimwright forecast --boat 7`.",
        )
    _one_weather(given)
    runs, seed = given["runs"], given["seed"]
    if number is not None:
        for flag, name in (("--mass-g", "mass_g"), ("--balance-mm", "balance_mm")):
            if given[name] is not None:
                raise InputError(
                    what="a boat of the season brings its own mass and balance",
                    got=f"--boat {number} with {flag}",
                    do="Give the kit in place of --boat, or leave it out.",
                )
        season = ask.season()
        entry = season.boat(number)
        device = _device(ask, given["device"]) if given["device"] else None
        question = desk.question_about(
            season, entry, runs=runs, seed=seed, conditions=_day(ask, season.conditions), device=device
        )
        return entry.label[0].upper() + entry.label[1:], question, entry.findings
    if given["device"] is None:
        raise InputError(
            what="a kit runs with a device",
            got="no --device",
            allowed="a device file, or the name of a device of the season",
            do='For example: `skimwright forecast "Fold 62" --device "Whirr 5"`.',
        )
    kit = kit_meant(ask, word)
    question = desk.question_for_kit(
        kit,
        _device(ask, given["device"]),
        mass=given["mass_g"],
        balance=given["balance_mm"],
        conditions=_day(ask, desk.Conditions()),
        gate=desk.Gate(distance=given["gate_m"] or 30.48, width=given["gate_width_m"] or 5.0),
        runs=runs,
        seed=seed,
    )
    return f"{kit.name} with {question.device.name}", question, ()


def _one_weather(given: Any) -> None:
    """The bad-weather version brings its own wind, and no log is scored against it."""
    clash = [flag for flag, name in (("--wind-m-s", "wind_m_s"), ("--gust-m-s", "gust_m_s"),
                                     ("--wind-from-deg", "wind_from_deg"), ("--keep", "keep"))
             if given[name] not in (None, False)]  # fmt: skip
    if given["bad_weather"] and clash:
        raise InputError(
            what="the bad-weather version brings its own wind and is not kept",
            got=f"--bad-weather with {clash[0]}", allowed="one of the two",
            do="Leave one of them out.",
        )  # fmt: skip


def kept(ask: Ask, found: BoatForecast, *, made: str) -> tuple[str | None, str]:
    """The file this forecast was kept in, and a line that says so; nothing is written unless somebody asked."""
    from skimwright import desk

    number = ask.given["boat"]
    if number is None:
        if ask.given["keep"]:
            raise InputError(what="only a boat's forecast can be kept", got="--keep with a kit",
                             allowed="--boat N with --keep", do="No run will ever score a drawing.")  # fmt: skip
        return None, ""
    season = ask.season()
    if ask.given.get("bad_weather") or not (ask.given["keep"] or season.keeps_forecasts):
        return None, ""
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    row = desk.forecast_row(
        found, season.boat(number), log, made=made, now=ask.files.now(), edition=ask.files.edition()
    )
    path = ask.files.season_folder(ask.season_chosen) / desk.FORECASTS
    try:
        ask.files.add_rows(path, desk.FORECAST_COLUMNS, [row])
    except StoreError:
        if ask.given["keep"]:
            raise
        return None, f"\n\nIt could not be kept: nobody may write {path}."
    return str(path), f"\n\nKept in {path}, to be scored by the runs that come."


def _device(ask: Ask, word: str) -> Any:
    """The device in that file, or of that name in the season."""
    from pathlib import Path

    path = Path(word)
    if ask.files.is_file(path) or path.suffix == ".toml":
        from skimwright import desk

        return desk.read_device(ask.files.table(path), file=path.name)
    devices = ask.season().devices
    for name, device in devices.items():
        if name.casefold() == word.casefold():
            return device
    raise MissingError(
        what="no device file and no device of the season has this name",
        got=f'"{word}"',
        allowed=", ".join(devices),
        do="Give a file's name or one of these.",
        where=Where(field="--device"),
    )


def _day(ask: Ask, usual: Any) -> Any:
    """The weather asked for, else the usual one."""
    from dataclasses import replace

    given = ask.given
    changes: dict[str, float | None] = {}
    if given["wind_m_s"] is not None:
        changes |= {"wind_speed": given["wind_m_s"], "wind_gust": None}
    if given["gust_m_s"] is not None:
        changes["wind_gust"] = given["gust_m_s"]
    if given["wind_from_deg"] is not None:
        changes["wind_from"] = given["wind_from_deg"]
    if given["heading_deg"] is not None:
        changes["heading"] = given["heading_deg"]
    return replace(usual, **changes)


def _logged(ask: Ask) -> int:
    """Runs of this boat in the season's log."""
    from skimwright import desk

    number = ask.given["boat"]
    rows = None if number is None else ask.files.runs(ask.season_chosen)
    return 0 if rows is None else len(desk.read_runs(rows, ask.season()).book.of(number))


def as_text(found: BoatForecast, *, logged: int = 0) -> str:
    """A short table and the sentence a coach can act on."""
    from skimwright import desk

    result, question = found.forecast, found.question
    day = question.conditions
    rows = [
        ["through the gate, aimed off", desk.share(result.through_aimed, result.runs), ""],
        ["the same, straight at it", desk.share(result.through_gate, result.runs), ""],
        ["crosses the gate's line", desk.share(result.reaches, result.runs), ""],
        ["meets more air than its pads hold", desk.share(result.blow_over.beyond, result.runs), ""],
        ["turned over in the sum", desk.share(result.blows_over, result.runs), ""],
        ["stops after", f"{result.distance.p50:.1f} m", desk.span(result.distance, 1, "m")],
        ["top speed", f"{result.top_speed.p50:.1f} m/s", desk.span(result.top_speed, 1, "m/s")],
    ]
    if result.gate_time is not None and result.drift is not None:
        rows += [
            ["time to the gate", f"{result.gate_time.p50:.2f} s", desk.span(result.gate_time, 2, "s")],
            ["drift at the gate", desk.sideways(result.drift.p50), desk.sideways_span(result.drift)],
        ]
    limit = result.blow_over
    rows += [
        [
            "front pads lift at, push over",
            f"{limit.critical[1]:.1f} m/s of air",
            f"{limit.critical[0]:.1f} to {limit.critical[2]:.1f} m/s",
        ],
        ["air speed it meets", f"{limit.met[1]:.1f} m/s", f"{limit.met[0]:.1f} to {limit.met[2]:.1f} m/s"],
    ]
    course = (
        f"It holds its course: the side force acts {100 * result.straight.margin:.0f} % of the length behind "
        "the balance point."
        if result.straight.stable
        else "It does NOT hold its course: the drift above means nothing until it does."
    )
    causes = ", ".join(
        f"{t.words} ({100 * max(t.distance, t.drift):.0f} % of {'distance' if t.distance > t.drift else 'drift'})"
        for t in result.terms[:4]
    )
    shut = [show_finding(finding) for finding in found.findings if finding.code == desk.DEVICE_CLOSED]
    return "\n".join(
        [
            *(part for line in shut for part in (line, "")),
            f"{found.name}: gate {result.gate.distance:.2f} m ({result.gate.distance / 0.3048:.0f} ft), "
            f"{result.gate.width:g} m wide; wind {day.wind_speed:.1f} m/s from {math.degrees(day.wind_from):.0f} deg, "
            f"heading {math.degrees(day.heading):.0f} deg. "
            + (
                f"{logged} run{'' if logged == 1 else 's'} of it logged and not taken in here: `skimwright learn` does."
                if logged
                else "Untested, wide: no run is logged."
            ),
            "",
            table(["", "middle", "nine runs of ten"], rows),
            "",
            course,
            f"A turn on a circle of {desk.turn_radius(result.gate):.0f} m takes it past the gate's post, "
            f"{0.5 * result.gate.width:g} m off.",
            "How its runs end: "
            + ", ".join(f"{word} {desk.share(part, result.runs)}" for word, part in result.endings.items())
            + ".",
            *([f"What makes its runs differ most: {causes}."] if causes else []),
            f"First thing to look at: {found.first.says} {found.first.does} {found.first.do}",
            *(
                [f"Aim {desk.turn(found.aim)} of the gate, if that line is clear."]
                if found.aim is not None
                else []
            ),
            f"{result.runs} runs from seed {result.seed}. A forecast is not a safety case.",
        ]
    )


def as_data(found: BoatForecast) -> dict[str, Any]:
    """For --json; what no run reached is null, never nought."""
    from skimwright import desk

    result = found.forecast
    limit = result.blow_over
    low, middle, high = limit.critical
    return {
        "name": found.name,
        "tested": False,
        "runs": result.runs,
        "seed": result.seed,
        "gate": {
            "distance_m": result.gate.distance,
            "width_m": result.gate.width,
            "turn_radius_m": round(desk.turn_radius(result.gate), 2),
        },
        "distance_m": _range(result.distance),
        "gate_time_s": _range(result.gate_time),
        "drift_m": _range(result.drift),
        "top_speed_m_s": _range(result.top_speed),
        "reaches": result.reaches,
        "reaches_gate": result.reaches,
        "through_aimed": result.through_aimed,
        "through_gate": result.through_gate,
        "blows_over": result.blows_over,
        "endings": result.endings,
        "blow_over": {
            "margin": round(limit.margin, 4),
            "margin_p05": round(limit.margin_low, 4),
            "critical_air_speed_m_s": {
                "p05": round(low, 4),
                "p50": round(middle, 4),
                "p95": round(high, 4),
            },
            "thrust_on": round(limit.thrust_on, 4),
            "thrust_off": round(limit.thrust_off, 4),
            "beyond": limit.beyond,
        },
        "directional": {"stable": result.straight.stable, "margin": round(result.straight.margin, 4)},
        "terms": [
            {
                "cause": term.words,
                "group": term.group,
                "of_distance": round(max(term.distance, 0.0), 4),
                "of_drift": round(max(term.drift, 0.0), 4),
            }
            for term in result.terms
        ],
        "terms_explain": {
            "distance": round(result.terms_explained[0], 4),
            "drift": round(result.terms_explained[1], 4),
        },
        "looks": [
            {"what": look.says, "effect": look.does, "do": look.do, "weight": round(look.weight, 3)}
            for look in found.looks
        ],
        "aim_deg": None if found.aim is None else round(math.degrees(found.aim), 2),
        "findings": [finding.as_dict() for finding in found.findings],
    }


def _range(values: Range | None) -> dict[str, float] | None:
    if values is None:
        return None
    return {
        "p05": round(values.p05, 4),
        "p50": round(values.p50, 4),
        "p95": round(values.p95, 4),
        "mean": round(values.mean, 4),
    }


def _pictures(ask: Ask, found: BoatForecast) -> list[tuple[Any, str]]:
    from pathlib import Path

    from skimwright import desk

    folder = Path(ask.given["out"])
    return [
        (folder / f"{name}.svg", ask.files.as_svg(drawing))
        for name, drawing in desk.pictures_of(found).items()
    ]


KEEP = Option(
    flag="--keep", does="keep this forecast in the season's forecasts.csv, to be scored by later runs"
)

VERB = Verb(
    name="forecast",
    does="what a boat, as built, will do on the water",
    tells="A boat of the season is taken as measured, on the season's day and through its class's gate; a kit is "
    "taken as drawn, in still air unless a wind is given, through 100 ft. Distances are straight from the start; "
    "drift is to starboard of the launch line. A range holds nine runs of ten.",
    options=(
        KIT,
        BOAT,
        Option(flag="--device", value="D", does="a device file, or the name of a device of the season"),
        Option(
            flag="--mass-g",
            value="M",
            does="ready to run; another unit may stand behind it: 9.5oz",
            read=quantity("mass", "g", low=1, high=20_000),
        ),
        Option(
            flag="--balance-mm",
            value="X,Y,Z",
            does="balance point: from the bow, to starboard, above the running pads",
            read=place_mm,
        ),
        Option(
            flag="--wind-m-s",
            value="W",
            does="mean wind at head height; a unit may stand behind it: 9km/h",
            read=quantity("speed", "m/s", low=0, high=20),
        ),
        Option(
            flag="--gust-m-s",
            value="G",
            does="strongest gust of ten minutes",
            read=quantity("speed", "m/s", low=0, high=30),
        ),
        Option(
            flag="--wind-from-deg",
            value="A",
            does="where the wind comes FROM, clockwise from north",
            read=quantity("angle", "deg", low=0, high=360),
        ),
        Option(
            flag="--heading-deg",
            value="A",
            does="of the launch line, clockwise from north",
            read=quantity("angle", "deg", low=0, high=360),
        ),
        Option(
            flag="--bad-weather",
            does="launched into 3 m/s of wind, soaked by rain and 20 g heavier",
            usual=False,
        ),
        Option(
            flag="--gate-m",
            value="D",
            does="distance of the gate for a kit, 30.48 m unless given",
            read=quantity("length", "m", low=1, high=200),
        ),
        Option(
            flag="--gate-width-m",
            value="W",
            does="between the gate's posts for a kit, 5 m unless given",
            read=quantity("length", "m", low=0.5, high=20),
        ),
        Option(
            flag="--runs",
            value="N",
            does="runs drawn, 1000 unless given",
            read=whole(low=20, high=200_000),
            usual=USUAL_RUNS,
        ),
        Option(
            flag="--seed",
            value="S",
            does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1),
            usual=USUAL_SEED,
        ),
        KEEP,
        Option(flag="--out", value="DIR", does="write the three pictures there as SVG"),
    ),
    example="forecast --boat 7",
    answer=answer,
)

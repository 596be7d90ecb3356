"""``skimwright demo``: the demonstration season, from its plain files to a page for each boat."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright import __version__
from skimwright.base.page import Link
from skimwright.cli.demo_day import SCRIPT, play_day
from skimwright.cli.parse import parse
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import BoatForecast, Season

# The rest of the year, as a person would type it; {season} and {out} are filled in.
REST: tuple[tuple[str, ...], ...] = (
    *(
        step
        for kit, group, folder in (
            ("Fold 50", "Cress", "fold-50"),
            ("Fold 62", "Rush", "fold-62"),
            ("Fold 74", "Willow", "fold-74"),
        )
        for step in (
            ("sheets", kit, "--out", f"{{out}}/kits/{folder}/sheets"),
            ("print", kit, "--out", f"{{out}}/kits/{folder}/templates"),
            ("guide", kit, "--group", group, "--out", f"{{out}}/kits/{folder}/guide.pdf"),
        )
    ),
    ("labels", "--out", "{out}/kits/labels"),
    ("order", "--out", "{out}/kits/order"),
    ("gate", "--out", "{out}/gate"),
    ("course", "--runs", "40", "--out", "{out}/course"),
    ("lesson", "--group", "Rush", "--key", "--out", "{out}/lessons"),
    ("explain", "all", "--boat", "7", "--out", "{out}/lessons"),
    ("experiment", "--boat", "7", "--out", "{out}/lessons"),
    ("experiment", "fair-test", "--boat", "7", "--change", "mass", "--out", "{out}/lessons"),
    ("notes", "--out", "{out}/lessons"),
    ("training", "--out", "{out}/lessons"),
    ("wall", "--group", "Rush", "--out", "{out}/lessons"),
    ("lots", "{season}/entries.csv", "--group", "Rush", "--rounds", "4", "--seed", "1906"),
    ("print", "day", "--out", "{out}/papers"),
    ("points", "{season}/results.csv", "--entries", "{season}/entries.csv"),
    ("points", "--group", "Willow", "--how-sure"),
    ("handicap", "--group", "Open", "--out", "{out}/race-day/starts.csv"),
    ("rehearse", "--out", "{out}/race-day"),
    ("crew",),
    ("results", "--out", "{out}/after"),
    ("certificates", "--out", "{out}/after"),
    ("report", "--out", "{out}/after"),
    ("forget", "Wren B", "--out", "{out}/kept-about-one-child.json"),
)

# What a person would type in answer to the one question that stops a boat.
ANSWERS = {(20, "mass_g"): "13.5 oz"}
DAY = "regatta-day"  # folder of the season in which the regatta day is played
CLOSED_RUNS = 300  # runs of a closed device, for the permission talk


def answer(ask: Ask) -> Answer:
    """Lay the season out, read it back, forecast every boat, write the pages."""
    folder = Path(ask.given["dir"])
    ask.ready_model()
    laid, kept = ask.files.copy_demo_season(folder / "season")
    as_typed = ask.files.season(str(folder / "season"))
    season = ask.files.season(str(folder / "season"), ANSWERS)
    found = _forecast_all(ask, season)
    trials = _closed_devices(ask, season)
    rest = _walk_the_rest(ask, folder)
    day, of_day = play_day(ask, folder / DAY)
    written = _write_pages(ask, folder, as_typed, season, found, trials, rest)
    data = as_data(folder, [*laid, *of_day], written, as_typed, found, [*rest, *day])
    return Answer(
        data=data,
        text=as_text(folder, written, as_typed, season, found, rest, kept, day),
        plain=_plain(folder, found),
    )


def _walk_the_rest(ask: Ask, folder: Path) -> list[tuple[str, Answer]]:
    """Each command of the year as typed, and its answer."""
    from skimwright.cli.verbs import all_verbs

    verbs = all_verbs()
    answers = []
    for place, step in enumerate(REST):
        words = [word.format(season=folder / "season", out=folder) for word in step]
        verb = verbs[words[0]]
        given = parse(verb, [*words[1:], "--season", str(folder / "season")])
        part = verb.answer(
            Ask(given=given, files=ask.files, progress=ask.progress, season_chosen=given["season"])
        )
        answers.append((shlex.join(words), part))
        ask.progress.update(place + 1, len(REST), "commands of the year")
    return answers


def _forecast_all(ask: Ask, season: Season) -> dict[int, BoatForecast]:
    from skimwright import desk

    found = {}
    for place, entry in enumerate(season.ready):
        question = desk.question_about(season, entry, runs=ask.given["runs"], seed=ask.given["seed"])
        found[entry.number] = desk.forecast_boat(question, name=entry.label, findings=entry.findings)
        ask.progress.update(place + 1, len(season.ready), "boats forecast")
    return found


def _closed_devices(ask: Ask, season: Season) -> dict[str, tuple[str, Any]]:
    """What the closed devices would do on a boat as drawn."""
    from skimwright import desk

    kit = season.kits["Fold 62"]
    shut = [device for device in season.devices.values() if device.needs_permission]
    result = {}
    for device in shut:
        question = desk.question_for_kit(
            kit, device, mass=None, balance=None, conditions=season.conditions, gate=desk.Gate(),
            runs=CLOSED_RUNS, seed=ask.given["seed"],
        )  # fmt: skip
        result[device.name] = (kit.name, desk.forecast(question))
    return result


def _write_pages(
    ask: Ask,
    folder: Path,
    as_typed: Season,
    season: Season,
    found: dict[int, BoatForecast],
    trials: dict[str, tuple[str, Any]],
    rest: list[tuple[str, Answer]],
) -> list[Path]:
    from skimwright import desk

    foot = f"Made by Skimwright {__version__} on {ask.files.today()}. Invented demonstration data."
    answered = {number: f"{cell} = {text}" for (number, cell), text in ANSWERS.items()}
    index = desk.season_page(
        season,
        found,
        answered=answered,
        trials=trials,
        foot=foot,
        asked=as_typed.stopped,
        more=_links(folder, rest),
    )
    written = [ask.files.write(folder / "index.html", ask.files.as_html(index))]
    for entry in season.boats:
        if entry.number in found:
            page = desk.boat_page(season, entry, found[entry.number], foot=foot, home="index.html")
        else:
            page = desk.stopped_page(season, entry, foot=foot, home="index.html")
        written.append(ask.files.write(folder / desk.page_name(entry.number), ask.files.as_html(page)))
    return written


def _links(folder: Path, rest: list[tuple[str, Answer]]) -> tuple[tuple[str, Link], ...]:
    """What the other commands wrote for people to read, with links from the first page."""
    rows = []
    for words, answer in rest:
        for file in answer.data.get("files", ()):
            path = Path(str(file))
            if path.suffix in (".pdf", ".html", ".csv"):
                inside = path.relative_to(folder).as_posix()
                rows.append((f"skimwright {words.split(' --')[0]}", Link(text=inside, to=inside)))
    return tuple(rows)


def as_text(
    folder: Path,
    written: list[Path],
    as_typed: Season,
    season: Season,
    found: dict[int, BoatForecast],
    rest: list[tuple[str, Answer]],
    kept: list[Path],
    day: list[tuple[str, Answer]],
) -> str:
    """All boats in one table, what was asked, what was written, and what to do next."""
    from skimwright import desk

    rows = []
    for entry in season.boats:
        result = found[entry.number].forecast
        rows.append(
            [
                f"{entry.number:02d} {entry.name}",
                desk.share(result.through_aimed, result.runs),
                desk.share(max(result.blows_over, result.blow_over.beyond), result.runs),
                f"{result.distance.p05:.0f} to {result.distance.p95:.0f}",
                f"{result.drift.p05:+.1f} to {result.drift.p95:+.1f}" if result.drift else "-",
                found[entry.number].first.says,
            ]
        )
    yours = ", ".join(path.name for path in kept)
    questions = [finding.sentence() for finding in as_typed.findings if finding.severity == "stop"]
    return "\n".join(
        [
            f"{season.name}: {len(season.boats)} boats read from {folder / 'season'}, each forecast with "
            f"{next(iter(found.values())).forecast.runs} runs.",
            "",
            table(
                [
                    "boat",
                    "through, aimed",
                    "may turn over",
                    "stops after m",
                    "drift m",
                    "first thing to look at",
                ],
                rows,
            ),
            "",
            *([f"Left as you changed them, and used so: {yours}."] if kept else []),
            "Drift is at the gate, to starboard +, let go straight at it. A range holds nine runs of ten.",
            "May turn over: the worse of the runs that meet more air than their pads hold and those that turned over.",
            *(f"Asked before it was worked out: {question}" for question in questions),
            "For this walk the answer 13.5 oz was given; the file was not changed.",
            "Lantern 1 to 4 stay closed until the permission sheet is complete. A forecast is not a safety case.",
            "",
            "The rest of the year, each as you would type it:",
            *(f"  skimwright {words}\n      {answer.plain}" for words, answer in rest),
            "",
            f"The regatta day, played into {folder / DAY}; every command of it stands in {folder / DAY / SCRIPT}:",
            *(f"  skimwright {_short(words)}\n      {answer.plain}" for words, answer in day),
            "",
            f"Written: {len(written)} pages; sheets, templates, guides and the order in {folder / 'kits'}; the plan of "
            f"the water in {folder / 'course'}. Open {folder / 'index.html'}.",
            "Next: change a number in boats.csv or a kit, then `skimwright forecast --boat 7 --season "
            f"{folder / 'season'}`.",
        ]
    )


def _short(words: str) -> str:
    """A command of the day without the season and the key it was given."""
    return words.split(" --key ")[0]


def _plain(folder: Path, found: dict[int, BoatForecast]) -> str:
    return f"{len(found)} boats forecast; open {folder / 'index.html'}"


def as_data(
    folder: Path,
    laid: list[Path],
    written: list[Path],
    as_typed: Season,
    found: dict[int, BoatForecast],
    rest: list[tuple[str, Answer]],
) -> dict[str, Any]:
    """For --json."""
    return {
        "season": str(folder / "season"),
        "files": [
            *(str(path) for path in (*laid, *written)),
            *(str(file) for _, answer in rest for file in answer.data.get("files", ())),
        ],
        "steps": [
            {"step": "laid out", "what": f"{len(laid)} plain files"},
            {
                "step": "read",
                "what": f"{len(as_typed.boats)} boats, {len(as_typed.stopped)} stopped by a question",
            },
            {"step": "forecast", "what": f"{len(found)} boats"},
            {"step": "written", "what": f"{len(written)} pages"},
            *({"step": words, "what": answer.plain} for words, answer in rest),
        ],
        "boats": [
            {
                "boat": number,
                "through_gate": each.forecast.through_gate,
                "through_aimed": each.forecast.through_aimed,
                "blows_over": each.forecast.blows_over,
                "distance_m": each.forecast.distance.p50,
                "drift_m": each.forecast.drift.p50 if each.forecast.drift else None,
                "first": each.first.says,
            }
            for number, each in found.items()
        ],
    }


VERB = Verb(
    name="demo",
    does="lay out the demonstration season and walk the whole job",
    tells="Copies the season's plain files into DIR/season, reads them back as a user's would be read, forecasts "
    "every boat, writes a page for each and plays the whole regatta day. One boat's mass was typed in ounces: the walk "
    "shows the question, then goes on with the answer.",
    options=(
        Option(flag="DIR", does="folder to write into", usual="demo-season"),
        Option(
            flag="--runs", value="N", does="runs for each boat, 1000 unless given", read=whole(low=20, high=20_000),
            usual=1000,
        ),
        Option(
            flag="--seed", value="S", does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1), usual=30480,
        ),
    ),
    example="demo demo-season",
    answer=answer,
)  # fmt: skip

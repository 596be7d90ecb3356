"""``skimwright rehearse``: will the regatta day end in time, and who would help most."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright import __version__
from skimwright.base import Finding, InputError, MissingError, Where
from skimwright.cli.crew import read_roster
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import RehearsedDay


def time_of_day(given: str, where: Where) -> float:
    """Reads ``15:40``. [s]"""
    match = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", given.strip())
    if match is None:
        raise InputError(
            what="not a time of day", got=f'"{given}"', allowed="hours and minutes such as 15:40", do="Write it so.",
            where=where,
        )  # fmt: skip
    return int(match[1]) * 3600.0 + int(match[2]) * 60.0


def answer(ask: Ask) -> Answer:
    """Rehearse the plan."""
    from skimwright import desk

    season, folder = ask.season(), ask.files.season_folder(ask.season_chosen)
    if not ask.files.is_file(folder / "day.toml"):
        raise MissingError(
            what="this season has no day.toml to rehearse",
            allowed="a plan of the day with its sessions",
            do="Write one; the demonstration season has an example.",
        )
    plan = desk.read_day_plan(ask.files.table(folder / "day.toml"), date=season.regatta)
    lots = desk.draw_day(plan, desk.read_entries(ask.files.rows(folder / "entries.csv")))
    path = folder / "rehearsal.toml"
    notes: tuple[Finding, ...] = ()
    if not ask.files.is_file(path):
        path, notes = ask.files.demo_season() / "rehearsal.toml", (desk.NO_GUESSES,)
    guesses, helpers = desk.read_guesses(ask.files.table(path))
    roster = None
    if ask.files.is_file(folder / "helpers.csv"):
        roster = desk.hands_on_roster(read_roster(ask, season))
    helpers, about_hands = desk.hands_for(helpers, roster)
    notes += about_hands
    day = desk.rehearse_day(
        lots, guesses, helpers, days=ask.given["days"], seed=ask.given["seed"], by=ask.given["by"]
    )
    findings = (*notes, *day.findings)
    files = []
    if ask.given["out"]:
        foot = f"Skimwright {__version__}, {ask.files.today()}. Ask a person: the director."
        page = desk.rehearsal_page(day, title=f"{season.name}, {season.regatta:%d %B %Y}", foot=foot)
        files = [str(ask.files.write(Path(ask.given["out"]) / "rehearsal.html", ask.files.as_html(page)))]
    data = as_data(day, files) | {"findings": [finding.as_dict() for finding in findings]}
    return Answer(data=data, text=_text(day, files), plain=desk.rehearsal_says(day), findings=findings)


def _text(day: RehearsedDay, files: list[str]) -> str:
    from skimwright import desk

    made = day.made

    def lines(word: str, whats: Any) -> str:
        rows = [[w.what, desk.minutes(w), f"{100 * w.on_time:.0f}"] for w in whats]
        return table([word, "sooner, min", "in time, of 100"], rows)

    hands = ", ".join(f"{number} {job}{'s' if number > 1 else ''}" for job, number in day.helpers.items())
    return "\n".join(
        [
            desk.rehearsal_says(day),
            desk.racing_says(day),
            desk.best_helper(day),
            "",
            lines("without", made.costs),
            "",
            lines("with", made.helpers),
            "",
            f"{len(made.days.finish)} days with {hands}; the same luck for each line. If every time is its mean and "
            f"nothing goes wrong it ends at {desk.clock(made.steady)}, by the plan at {desk.clock(made.planned)}.",
            *(f"Written: {file}" for file in files),
        ]
    )


def as_data(day: RehearsedDay, files: list[str]) -> dict[str, Any]:
    """For --json; times of day in seconds since midnight, and as a clock shows them."""
    from skimwright import desk

    made = day.made
    low, high = made.days.on_time_range

    def what_ifs(whats: Any) -> list[dict[str, Any]]:
        return [
            {
                "what": w.what,
                "sooner_s": round(w.gains, 1),
                "error_s": round(w.gains_error, 1),
                "on_time": round(w.on_time, 4),
            }
            for w in whats
        ]

    return {
        "days": len(made.days.finish),
        "by": desk.clock(made.days.by),
        "on_time": round(made.days.on_time, 4),
        "on_time_range": [round(low, 4), round(high, 4)],
        "finish": {
            "mean": desk.clock(made.days.mean),
            "mean_s": round(made.days.mean),
            "p05": desk.clock(made.days.usual[0]),
            "p95": desk.clock(made.days.usual[1]),
        },
        "racing_over_mean_s": round(float(made.racing.mean())),
        "planned": desk.clock(made.planned),
        "steady": desk.clock(made.steady),
        "costs": what_ifs(made.costs),
        "helpers": what_ifs(made.helpers),
        "best_helper": desk.best_helper(day),
        "source": day.guesses.source,
        "files": files,
    }


VERB = Verb(
    name="rehearse",
    does="will the regatta day end in time, what costs most, and which helper is worth most",
    tells="Plays the plan in day.toml many times over with the times and mishaps in rehearsal.toml: boats checked in "
    "the pit while others race, armed, run and fetched, crews that miss the call, heats raced again, thunder with its "
    "30 minutes. Each what-if meets the same luck.",
    options=(
        Option(flag="--days", value="N", does="days to play, 1000 unless given", read=whole(low=100, high=20_000),
               usual=1000),
        Option(flag="--by", value="HH:MM", does="when it should be over; clear water by the plan unless given",
               read=time_of_day),
        Option(flag="--seed", value="S", does="same seed, same days; 1 unless given",
               read=whole(low=0, high=2**31 - 1), usual=1),
        Option(flag="--out", value="DIR", does="write rehearsal.html, a page for the director"),
    ),
    example="rehearse --by 16:00 --out race-day",
    answer=answer,
)  # fmt: skip

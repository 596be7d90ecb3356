"""The demonstration's regatta day, played command by command into a season of its own."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.cli.parse import parse
from skimwright.cli.verb import Answer, Ask

if TYPE_CHECKING:
    from skimwright.desk import TypedStep

LOGS = ("results.csv", "holds.csv")  # written by the day itself
SCRIPT = "race-day.txt"


def play_day(ask: Ask, folder: Path) -> tuple[list[tuple[str, Answer]], list[Path]]:
    """Play the whole day into `folder`; the commands worth telling with their answers, and the files written.

    Played again into the same folder nothing is added: every act has its key.
    """
    from skimwright import desk

    laid, kept = ask.files.copy_demo_season(folder, without=LOGS)
    season = ask.files.season(str(folder))
    plan = desk.read_day_plan(
        ask.files.table(folder / "day.toml"),
        date=season.regatta,
        place=season.pond.place if season.pond else None,
    )
    steps = desk.demo_day(plan, desk.read_entries(ask.files.rows(folder / "entries.csv")), season)
    told = play_steps(
        ask, folder, steps, lambda done: ask.progress.update(done, len(steps), "commands of the day")
    )
    script = "\n".join(f"skimwright {shlex.join(step.words)}" for step in steps) + "\n"
    written = [ask.files.write(folder / SCRIPT, script), *(folder / name for name in LOGS)]
    return told, [*laid, *kept, *written]


def play_steps(
    ask: Ask, folder: Path, steps: tuple[TypedStep, ...], done: Callable[[int], None]
) -> list[tuple[str, Answer]]:
    """Each command as typed; those worth telling, with their answers."""
    from skimwright.cli.verbs import all_verbs

    verbs = all_verbs()
    told = []
    for place, step in enumerate(steps, 1):
        given = parse(verbs[step.words[0]], [*step.words[1:], "--season", str(folder)])
        answer = verbs[step.words[0]].answer(
            Ask(given=given, files=ask.files, progress=ask.progress, season_chosen=given["season"])
        )
        if step.is_told:
            told.append((shlex.join(step.words), answer))
        done(place)
    return told

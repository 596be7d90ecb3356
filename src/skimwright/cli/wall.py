"""``skimwright wall``: which crew is at which building step, and who needs an adult next."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skimwright.cli.crew import list_if_there
from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

SIGNS = {"done": "x", "waits": "!", "help": "?", "now": ">", "to come": "."}
WHY = {"help": "asks for help", "show": "waits for a tick", "adult step": "an adult does part of this step"}


def answer(ask: Ask) -> Answer:
    """Show the wall, and with ``--out`` write its chart and the crews' job rotas."""
    from skimwright import desk

    given = ask.given
    said = spoken(ask)
    season = ask.season()
    marks = ask.files.rows(Path(given["marks"])) if given["marks"] else list_if_there(ask, "wall.csv")
    minute = None if given["minute"] is None else given["minute"] / 60.0
    foot = said.foot
    made = desk.wall_of(
        season, given["group"], words=said.words, first=said.first, marks=marks, minute=minute, foot=foot
    )
    files = []
    if given["out"]:
        folder, name = Path(given["out"]), given["group"].strip().lower()
        chart = ask.files.as_pdf([made.chart], title=f"wall {name}", language=ask.given["language"])
        files.append(str(ask.files.write(folder / f"wall-{name}.pdf", chart)))
        crews = desk.read_crews(list_if_there(ask, "crews.csv"))
        group = [entry.crew for entry in season.boats if entry.group.casefold() == name]
        known = [(crew, crews.first_names_of(crew)) for crew in group if crews.first_names_of(crew)]
        if known:
            pages = [
                desk.rota_of(crew, names, words=said.words, first=said.first, foot=foot)
                for crew, names in known
            ]
            rota = ask.files.as_pdf(pages, title=f"jobs {name}", language=ask.given["language"])
            files.append(str(ask.files.write(folder / f"jobs-{name}.pdf", rota)))
    data = as_data(made) | {"files": files}
    turns = [f"{turn['boat']}: step {turn['step']}, {WHY[turn['why']]}" for turn in data["next"]]
    plain = "Next: " + turns[0] if turns else "Nobody waits for an adult."
    steps = made.wall.steps
    head = ["", *(f"{s.number}{'*' if s.show_me else ''}" for s in steps)]
    rows = [[row.crew, *(SIGNS[cell] for cell in row.cells)] for row in made.wall.rows]
    text = "\n".join(
        [
            table(head, rows),
            "",
            "x done, > at work, ! waits for a tick, ? asks for help; * SHOW ME",
            "",
            *turns[:6],
        ]
    ) + ("\n\nWritten: " + ", ".join(files) if files else "")
    return Answer(data=data, text=text, plain=plain, findings=made.findings)


def as_data(made: Any) -> dict[str, Any]:
    """For --json."""
    wall = made.wall
    return {
        "steps": [{"step": s.number, "show_me": s.show_me, "adult": s.adult} for s in wall.steps],
        "rows": [
            {"boat": row.crew, "cells": list(row.cells), "done": row.done, "at_step": row.at}
            for row in wall.rows
        ],
        "next": [{"boat": t.crew, "step": t.step, "why": t.why, "waits_min": t.waits} for t in wall.turns],
        "findings": [finding.as_dict() for finding in made.findings],
    }


VERB = Verb(
    name="wall",
    does="the wall of a building lesson: which crew is at which step, and who needs an adult next",
    tells="Without marks it is a blank chart for the wall, A3. A file of marks has the columns boat, step, said and "
    "minute; said is done, ticked (by an adult), help, or back, which takes the boat's last one away. A SHOW ME step "
    "is done when an adult ticked it.",
    options=(
        Option(flag="--group", value="NAME", does="a group of the season", must=True),
        Option(flag="--marks", value="FILE", does="what was said so far, as CSV; the season's wall.csv unless given"),
        Option(
            flag="--minute", value="M", does="of the lesson, now; the last mark's unless given",
            read=quantity("time", "min", low=0, high=600),
        ),
        LANGUAGE,
        Option(flag="--out", value="DIR", does="write the chart there, and the crews' job rotas"),
    ),
    example="wall --group Rush --out wall",
    answer=answer,
)  # fmt: skip

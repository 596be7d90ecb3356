"""``skimwright experiment``: experiment cards, results from readings, and fair tests planned."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import Finding, InputError, Where
from skimwright.base.drawing import Drawing
from skimwright.cli.forecast import USUAL_RUNS, USUAL_SEED
from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.lesson import paper
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import MadeCard, MadePlan

FAIR = "fair-test"


def answer(ask: Ask) -> Answer:
    """A card, all cards, or a plan."""
    name = "-".join(ask.given["name"].casefold().replace("_", " ").replace("-", " ").split())
    return _plan(ask) if name == FAIR else _cards(ask)


def _common(ask: Ask) -> dict[str, Any]:
    said = spoken(ask)
    return {
        "words": said.words, "first": said.first, "band": ask.given["band"], "paper": ask.given["paper"],
        "large": ask.given["large_print"], "foot": said.foot,
    }  # fmt: skip


def _cards(ask: Ask) -> Answer:
    from skimwright import desk

    given = ask.given
    if given["change"]:
        raise InputError(
            what="a change belongs to a fair test", got=f"--change with {given['name']}",
            do=f"Type `skimwright experiment {FAIR} --boat 7 --change mass`.", where=Where(field="--change"),
        )  # fmt: skip
    season = ask.season()
    entry = None if given["boat"] is None else season.boat(given["boat"])
    made = desk.experiment_cards(
        season, name=given["name"], entry=entry, readings=given["readings"], **_common(ask)
    )
    name = given["name"].casefold().replace(" ", "-").replace("_", "-")
    files = _write(ask, [page for each in made for page in each.pages], f"experiment-{name}")
    data = {"experiments": [as_data(each) for each in made], "files": files}
    plain = "; ".join(_plain(each) for each in made)
    text = "\n\n".join(_text(each) for each in made) + _written(files)
    return Answer(data=data, text=text, plain=plain)


def _plan(ask: Ask) -> Answer:
    from skimwright import desk

    given = ask.given
    if given["boat"] is None:
        raise InputError(
            what="a fair test is planned for one boat", got="no --boat", do="Give --boat N.",
            where=Where(field="--boat"),
        )  # fmt: skip
    season = ask.season()
    entry = season.boat(given["boat"])
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    ask.ready_model()
    question = desk.question_about(season, entry, runs=USUAL_RUNS, seed=USUAL_SEED)
    found = desk.forecast_boat(
        question, name=entry.label, progress=lambda done, total: ask.progress.update(done, total, "runs")
    )
    made = desk.fair_test(season, entry, log, found, changes=given["change"] or [], **_common(ask))
    files = _write(ask, list(made.pages), f"fair-test-boat-{entry.number:02d}")
    return Answer(
        data={**plan_data(made), "boat": entry.number, "files": files},
        text="\n".join([made.plan.title, "", *made.plan.says]) + _written(files),
        plain=" ".join(made.plan.says[:2]), findings=() if made.plan.clear else (_unclear(made),),
    )  # fmt: skip


def _unclear(made: MadePlan) -> Finding:
    return Finding(
        code="test-unclear", severity="warning", what="The answer of this test would not be clear.",
        do="Choose one change.",
    )  # fmt: skip


def _write(ask: Ask, pages: list[Drawing], name: str) -> list[str]:
    if not ask.given["out"]:
        return []
    content = ask.files.as_pdf(pages, title=name, language=ask.given["language"])
    return [str(ask.files.write(Path(ask.given["out"]) / f"{name}.pdf", content))]


def _written(files: list[str]) -> str:
    return "\n\nWritten: " + ", ".join(files) if files else ""


def as_data(made: MadeCard) -> dict[str, Any]:
    """For --json; the result is empty while a reading is missing."""
    card = made.card
    return {
        "experiment": card.experiment.key.replace("_", "-"),
        "band": card.band,
        "title": card.title,
        "minutes": card.experiment.minutes,
        "people": card.experiment.people,
        "needs": list(card.needs),
        "steps": list(card.steps),
        "adult": list(card.adult),
        "safety": list(card.safety),
        "goes_wrong": list(card.wrong),
        "readings": [reading.name for reading in card.experiment.readings],
        "result": [{"says": s.says, "sum": s.sum, "answer": str(s.answer)} for s in card.result],
        "verdict": card.verdict,
        "reading_grade": None if card.reading_grade is None else round(card.reading_grade, 2),
        "reading_limit": card.reading_limit,
    }


def plan_data(made: MadePlan) -> dict[str, Any]:
    """For --json."""
    plan = made.plan
    return {
        "clear": plan.clear,
        "band": made.band,
        "says": list(plan.says),
        "rulers": [
            {"use": r.use, "effect": str(r.effect), "spread": str(r.spread), "runs_each_way": r.runs}
            for r in plan.rulers
        ],
        "best": None if plan.best is None else plan.best.use,
    }


def _plain(made: MadeCard) -> str:
    result = ", ".join(f"{step.sum}" for step in made.card.result)
    return f"{made.card.title}: {result}" if result else made.card.title


def _text(made: MadeCard) -> str:
    card = made.card
    lines = [card.title, card.tells]
    for head, part in (
        ("You need", card.needs), ("Do this", card.steps), ("Only an adult", card.adult), ("Safe?", card.safety),
        ("What often goes wrong", card.wrong),
    ):  # fmt: skip
        lines += [f"{head}:", *(f"  - {line}" for line in part)]
    names = ", ".join(r.name for r in card.experiment.readings)
    lines.append(f"Readings: {names}")
    steps = card.result or card.example_steps
    if steps:
        lines.append("Result:" if card.result else "An example, with invented readings:")
    lines += [f"  {step.says}\n    {step.sum}" for step in steps]
    return "\n".join([*lines, *([card.verdict] if card.verdict else [])])


def readings(given: str, where: Where) -> dict[str, str]:
    """Reads ``way_m=2.00,time_s=0.32``; runs have a stroke between them."""
    found = {}
    for part in given.split(","):
        name, sign, value = (piece.strip() for piece in part.partition("="))
        if not (name and sign and value):
            raise InputError(
                what="not a reading", got=f'"{part}"', allowed="NAME=VALUE, commas between; runs as 5.3/5.1",
                do="Write for example time_s=0.32, with a full stop as decimal sign.", where=where,
            )  # fmt: skip
        found[name] = value
    return found


def changes(given: str, where: Where) -> list[str]:
    """Reads ``mass`` or ``mass,blade-yaw``."""
    return [part for part in (piece.strip() for piece in given.split(",")) if part]


VERB = Verb(
    name="experiment",
    does="experiment cards, results from readings, and fair tests for a crew's own spread",
    tells="A card says what is needed, what only an adult does, what often goes wrong, and the sum that turns readings "
    "into a result. fair-test plans one change: what to measure it with and how many runs it takes. Two changes give "
    "the reason why the answer would be unclear.",
    options=(
        Option(
            flag="NAME", usual="all",
            does="two-strings, float-line, water-balance, tow, thrust-stand, coast-down, with-without; fair-test; all "
            "cards unless given",
        ),
        BOAT,
        Option(
            flag="--band", value="NAME",
            does="Cress, Rush, Reed or Willow, or a reading grade; by the boat's group, else Reed",
        ),
        Option(
            flag="--readings", value="LIST", does="what was read: way_m=2.00,time_s=0.32; runs as 5.3/5.1",
            read=readings,
        ),
        Option(flag="--change", value="LIST", does="for a fair test: mass, blade-yaw, ...", read=changes),
        LANGUAGE,
        Option(flag="--large-print", does="large letters"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="write it there as a PDF"),
    ),
    example="experiment fair-test --boat 7 --change mass",
    answer=answer,
)  # fmt: skip

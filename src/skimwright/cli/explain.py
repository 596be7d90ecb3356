"""``skimwright explain``: one number of a boat's forecast, unfolded into its working."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.cli.forecast import USUAL_RUNS, USUAL_SEED
from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.lesson import paper
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import ExplainedNumber


def answer(ask: Ask) -> Answer:
    """Forecast the boat, then show how a figure of it comes about."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    entry = season.boat(given["boat"])
    said = spoken(ask)
    desk.figures_named(given["number"])
    desk.band_for(season, entry, given["band"])
    ask.ready_model()
    question = desk.question_about(season, entry, runs=given["runs"], seed=given["seed"])
    found = desk.forecast_boat(
        question, name=entry.label, findings=entry.findings,
        progress=lambda done, total: ask.progress.update(done, total, "runs"),
    )  # fmt: skip
    made = desk.explain_numbers(
        season, entry, found, words=said.words, first=said.first, figure=given["number"], band=given["band"],
        paper=given["paper"], large=given["large_print"], foot=said.foot,
    )  # fmt: skip
    files = _write(ask, made, entry.number) if given["out"] else []
    data = {
        "boat": entry.number,
        "numbers": [as_data(each) for each in made],
        "runs": question.runs,
        "seed": question.seed,
        "files": files,
        "findings": [finding.as_dict() for finding in found.findings],
    }
    text = "\n\n".join(as_text(each) for each in made) + ("\n\nWritten: " + ", ".join(files) if files else "")
    return Answer(
        data=data, text=text, plain=" ".join(each.explained.shown for each in made), findings=found.findings
    )


def _write(ask: Ask, made: tuple[ExplainedNumber, ...], boat: int) -> list[str]:
    name = "all" if len(made) > 1 else made[0].explained.figure.replace("_", "-")
    content = ask.files.as_pdf(
        [page for each in made for page in each.pages],
        title=f"explained {name}",
        language=ask.given["language"],
    )
    path = Path(ask.given["out"]) / f"explain-boat-{boat:02d}-{name}.pdf"
    return [str(ask.files.write(path, content))]


def as_data(made: ExplainedNumber) -> dict[str, Any]:
    """For --json; a figure the forecast does not have is null."""
    each = made.explained
    return {
        "number": each.figure.replace("_", "-"),
        "band": each.band,
        "value": None if each.value is None else str(each.value),
        "says": each.shown,
        "tells": each.tells,
        "steps": [{"says": s.says, "sum": s.sum, "answer": str(s.answer)} for s in each.steps],
        "range": each.range,
        "changes": list(each.changes),
        "reading_grade": None if each.reading_grade is None else round(each.reading_grade, 2),
        "reading_limit": each.reading_limit,
        "sources": [
            {"key": c.key, "where": "; ".join(c.places), "status": c.status, "use": c.use}
            for c in made.sources
        ],
    }


def as_text(made: ExplainedNumber) -> str:
    """As it would stand on paper."""
    each = made.explained
    keys = list(dict.fromkeys(f"{c.key} [{c.status}]" for c in made.sources))
    return "\n".join(
        [
            each.shown,
            each.tells,
            *(f"  {i}. {s.says}\n     {s.sum}" for i, s in enumerate(each.steps, start=1)),
            *([each.range] if each.range else []),
            *(f"  - {line}" for line in each.changes),
            f"Rests on: {', '.join(keys) or 'what was measured'}.",
        ]
    )


VERB = Verb(
    name="explain",
    does="one number of a boat's forecast, unfolded into its working for an age band",
    tells="Every sum is worked out in two ways, with this boat's numbers, in the words and units of the band. Then "
    "its range, what would change it, and the sources it rests on.",
    options=(
        Option(
            flag="NUMBER", must=True,
            does="mass, balance, float-line, feet, top-speed, gate-time, distance, drift, gate-chance, reach, "
            "blow-over, course; or all",
        ),
        replace(BOAT, must=True),
        Option(
            flag="--band", value="NAME",
            does="Cress, Rush, Reed or Willow, or a reading grade; by the group's ages unless given",
        ),
        Option(
            flag="--runs", value="N", does="runs drawn, 1000 unless given", read=whole(low=20, high=200_000),
            usual=USUAL_RUNS,
        ),
        Option(
            flag="--seed", value="S", does="same seed, same answer; 30480 unless given",
            read=whole(low=0, high=2**31 - 1), usual=USUAL_SEED,
        ),
        LANGUAGE,
        Option(flag="--large-print", does="large letters"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="write it there as a PDF"),
    ),
    example="explain gate-time --boat 7 --band Rush",
    answer=answer,
)  # fmt: skip

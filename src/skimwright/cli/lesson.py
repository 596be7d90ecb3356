"""``skimwright lesson``: worksheets true for one crew's boat, with their keys."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Lesson, Lessons

WORDS = Path(__file__).parents[1] / "teach" / "words" / "en.toml"


def answer(ask: Ask) -> Answer:
    """Write the sheets, and with ``--key`` their keys."""
    from skimwright import desk

    given = ask.given
    said = spoken(ask)
    season = ask.season()
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    wanted = desk.LessonAsk(
        boat=given["boat"], group=given["group"], band=given["band"], paper=given["paper"],
        large=given["large_print"], edits=given["edit"],
    )  # fmt: skip
    made = desk.make_lessons(season, log, wanted, words=said.words, first=said.first, foot=said.foot)
    files = _write(ask, made, said.letters)
    data = as_data(made, files)
    count = len(made.lessons)
    plain = f"{'1 sheet' if count == 1 else f'{count} sheets'}, written: {', '.join(files)}"
    return Answer(data=data, text=_text(data, plain), plain=plain, findings=(*made.findings, *said.findings))


def _write(ask: Ask, made: Lessons, language: str) -> list[str]:
    folder = Path(ask.given["out"] or ".")
    one = made.lessons[0].boat if ask.given["boat"] is not None else None
    name = (
        f"boat-{one:02d}" if one is not None else re.sub(r"\W+", "-", ask.given["group"].lower()).strip("-")
    )
    kinds: list[tuple[str, Any]] = [("lesson", lambda lesson: lesson.pages)]
    if ask.given["key"]:
        kinds.append(("key", lambda lesson: lesson.key))
    files = []
    for kind, of in kinds:
        sheets = [page for lesson in made.lessons for page in of(lesson)]
        content = ask.files.as_pdf(sheets, title=f"{kind} {name}", language=language)
        files.append(str(ask.files.write(folder / f"{kind}-{name}.pdf", content)))
    return files


def as_data(made: Lessons, files: list[str]) -> dict[str, Any]:
    """For --json; an answer that waits for a measurement is null."""
    return {
        "files": files,
        "sheets": [_sheet(lesson) for lesson in made.lessons],
        "findings": [finding.as_dict() for finding in made.findings],
    }


def _sheet(lesson: Lesson) -> dict[str, Any]:
    sheet = lesson.sheet
    return {
        "boat": lesson.boat,
        "band": sheet.band,
        "pages": len(lesson.pages),
        "reading_grade": None if sheet.reading_grade is None else round(sheet.reading_grade, 2),
        "reading_limit": sheet.reading_limit,
        "words": sheet.word_count,
        "edited": list(sheet.edited),
        "answers": {
            question.key: None if question.answer is None else str(question.answer)
            for topic in sheet.topics
            for question in topic.questions
        },
    }


def _text(data: dict[str, Any], plain: str) -> str:
    rows = []
    for sheet in data["sheets"]:
        blanks = sum(value is None for value in sheet["answers"].values())
        grade = "-" if sheet["reading_grade"] is None else f"{sheet['reading_grade']:.1f}"
        rows.append([f"{sheet['boat']:02d}", sheet["band"], str(sheet["pages"]), grade, str(blanks or "")])
    return "\n".join([plain, "", table(["boat", "band", "pages", "reads at grade", "blanks"], rows)])


def edits(given: str, where: Where) -> dict[str, str]:
    """Reads ``mass_g=300,balance_x_mm=350``."""
    found = {}
    for part in given.split(","):
        name, sign, value = (piece.strip() for piece in part.partition("="))
        if not (name and sign and value):
            raise InputError(
                what="not an edited fact", got=f'"{part}"', allowed="NAME=VALUE, commas between",
                do="Write for example mass_g=300.", where=where,
            )  # fmt: skip
        found[name] = value
    return found


def paper(given: str, where: Where) -> str:
    """Reads a4 or letter."""
    if given.casefold() not in ("a4", "letter"):
        raise InputError(
            what="no such paper",
            got=f'"{given}"',
            allowed="a4 or letter",
            do="Give one of them.",
            where=where,
        )
    return given.casefold()


VERB = Verb(
    name="lesson",
    does="worksheets from each crew's own boat and runs, with answer keys",
    tells="The hunch comes first. What was not measured is a line to write on. Every answer is worked out in two "
    "ways, and nothing is printed where they differ. Boats are named by number and boat name only.",
    options=(
        BOAT,
        Option(flag="--group", value="NAME", does="every boat of a group; all: every boat of the season"),
        Option(
            flag="--band", value="NAME",
            does="Cress, Rush, Reed or Willow, or a reading grade; by the group's ages unless given",
        ),
        Option(flag="--key", does="write the answer keys too, in a file of their own"),
        Option(
            flag="--edit", value="FACTS", does="other facts for one boat, marked as edited: mass_g=300", read=edits
        ),
        LANGUAGE,
        Option(flag="--large-print", does="large letters"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="folder for the PDFs; this one unless given"),
    ),
    example="lesson --group Rush --key --out lessons",
    answer=answer,
)  # fmt: skip

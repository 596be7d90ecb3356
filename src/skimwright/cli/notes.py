"""``skimwright notes``: the physics of a topic on a page, for teachers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.languages import LANGUAGE, spoken
from skimwright.cli.lesson import paper
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import MadeNote


def answer(ask: Ask) -> Answer:
    """Show the notes, and with ``--out`` write them."""
    from skimwright import desk

    given = ask.given
    said = spoken(ask)
    made = desk.teacher_notes(
        words=said.words, first=said.first, topic=given["topic"], edits=given["edit"], paper=given["paper"],
        large=given["large_print"], foot=said.foot,
    )  # fmt: skip
    files = []
    if given["out"]:
        name = "notes" if len(made) > 1 else f"notes-{made[0].note.topic.replace('_', '-')}"
        content = ask.files.as_pdf(
            [page for each in made for page in each.pages],
            title=name,
            language=ask.given["language"],
        )
        files = [str(ask.files.write(Path(given["out"]) / f"{name}.pdf", content))]
    text = _list(made) if len(made) > 1 else _text(made[0])
    plain = "; ".join(each.note.title for each in made)
    written = "\n\nWritten: " + ", ".join(files) if files else ""
    return Answer(
        data={"notes": [as_data(each) for each in made], "files": files}, text=text + written, plain=plain
    )


def as_data(made: MadeNote) -> dict[str, Any]:
    """For --json."""
    note = made.note
    return {
        "topic": note.topic.replace("_", "-"),
        "title": note.title,
        "tells": list(note.tells),
        "facts": [{"says": fact, "edited_here": edited} for fact, edited in note.facts],
        "wrong_ideas": [{"idea": i.idea, "truth": i.truth, "show": i.demo} for i in note.ideas],
        "standards": [{"code": code, "asks": asks} for code, asks in note.standards],
        "reading_grade": None if note.reading_grade is None else round(note.reading_grade, 2),
        "words": note.word_count,
    }


def _list(made: tuple[MadeNote, ...]) -> str:
    rows = [
        [
            m.note.topic.replace("_", "-"),
            m.note.title,
            _grade(m),
            ", ".join(code for code, _ in m.note.standards),
        ]
        for m in made
    ]
    return table(["topic", "title", "reads at grade", "standards"], rows)


def _grade(made: MadeNote) -> str:
    return "-" if made.note.reading_grade is None else f"{made.note.reading_grade:.1f}"


def _text(made: MadeNote) -> str:
    note = made.note
    return "\n".join(
        [
            note.title,
            *note.tells,
            *(
                f"  {n}. {f}{' (edited here)' if edited else ''}"
                for n, (f, edited) in enumerate(note.facts, 1)
            ),
            *(
                line
                for i in note.ideas
                for line in (f'  "{i.idea}"', f"     {i.truth}", f"     Show it: {i.demo}")
            ),
            *(f"  {code}: {asks}" for code, asks in note.standards),
        ]
    )


def edits(given: str, where: Where) -> dict[int, str]:
    """Reads ``2=Our water is salty.``"""
    number, sign, text = (piece.strip() for piece in given.partition("="))
    if not (sign and number.isdigit()):
        raise InputError(
            what="not an edited fact", got=f'"{given}"', allowed="NUMBER=SENTENCE",
            do='Write for example "2=Our water is salty."', where=where,
        )  # fmt: skip
    return {int(number): text}


VERB = Verb(
    name="notes",
    does="teacher notes: the physics of a topic on a page, wrong ideas and how to show them, standards",
    tells="Each wrong idea has a demonstration of five minutes. A fact you put your own sentence in place of prints "
    '"edited here".',
    options=(
        Option(
            flag="TOPIC", usual="all",
            does="floats, balance, feet, planing, thrust-drag, momentum, drift, blow-over, fair, energy; all unless "
            "given",
        ),
        Option(flag="--edit", value="FACT", does='your own sentence for a fact: "2=Our water is salty."', read=edits),
        LANGUAGE,
        Option(flag="--large-print", does="large letters"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", read=paper, usual="a4"),
        Option(flag="--out", value="DIR", does="write them there as a PDF"),
    ),
    example="notes drift --out notes",
    answer=answer,
)  # fmt: skip

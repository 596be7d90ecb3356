"""``skimwright guide KIT``: the build guide as a PDF, or the page of one lost part."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import MadeGuide


def answer(ask: Ask) -> Answer:
    """Pages, steps, and the file written."""
    from skimwright import desk

    given = ask.given
    kit = kit_meant(ask, given["kit"])
    wanted = desk.GuideAsk(
        group=given["group"],
        large_print=given["large_print"],
        language=given["language"],
        paper=given["paper"],
        supervision=given["supervision"] or "",
        part=given["part"] or "",
    )
    languages = {letters: ask.files.table(path) for letters, path in ask.files.guide_languages().items()}
    made = desk.make_guide(kit, wanted, languages=languages)
    path = Path(given["out"] or _file_name(kit.name, wanted.part))
    title = f"{kit.name}, edition {kit.edition}"
    written = ask.files.write(
        path, ask.files.as_pdf(made.pages, title=title, language=given["language"].lower())
    )
    data = as_data(made, file=str(written), steps=desk.step_data(made))
    pages = "1 page" if len(made.pages) == 1 else f"{len(made.pages)} pages"
    plain = f"{kit.name}, edition {kit.edition}: {pages} in {written}"
    return Answer(data=data, text=_text(data, plain), plain=plain, findings=made.findings)


def as_data(made: MadeGuide, *, file: str, steps: list[dict[str, Any]]) -> dict[str, Any]:
    """For --json."""
    return {
        "kit": made.kit.name,
        "edition": made.kit.edition,
        "group": made.guide.group,
        "pages": len(made.pages),
        "minutes": round(made.guide.time / 60, 1),
        "glue_g": round(made.guide.glue_mass * 1e3, 2),
        "reading_grade": None if made.reading_grade is None else round(made.reading_grade, 2),
        "reading_limit": made.reading_limit,
        "steps": steps,
        "files": [file],
        "findings": [finding.as_dict() for finding in made.findings],
    }


def _text(data: dict[str, Any], plain: str) -> str:
    rows = [
        [
            str(step["step"]),
            ", ".join(step["parts"]),
            f"{step['minutes']:.0f}",
            f"{step['glue_g']:.1f}",
            "show me" if step["show_me"] else "",
        ]
        for step in data["steps"]
    ]
    grade = data["reading_grade"]
    level = "not measured in this language" if grade is None else f"grade {grade:.1f}"
    return "\n".join(
        [
            plain,
            "",
            table(["step", "parts", "min", "glue g", ""], rows),
            "",
            f"For {data['group']}: about {data['minutes']:.0f} minutes and {data['glue_g']:.0f} g of glue.",
            f"Reading level: {level}, setting {data['reading_limit']} or less.",
        ]
    )


def _file_name(kit: str, part: str) -> str:
    words = re.sub(r"[^a-z0-9]+", "-", f"{kit} {part or 'guide'}".lower()).strip("-")
    return f"{words}.pdf"


def ratio(given: str, where: Where) -> str:
    """Reads adults to pupils, ``1:4``; none to look after (``1:0``) counts as not set."""
    found = re.fullmatch(r"\s*(\d{1,2})\s*:\s*(\d{1,2})\s*", given)
    if not found or found[1] == "0":
        raise InputError(
            what="not a ratio of adults to pupils",
            got=f'"{given}"',
            allowed="two whole numbers such as 1:4",
            do="Take it from the school's own rules, or leave it out.",
            where=where,
        )
    return "" if int(found[2]) == 0 else f"{int(found[1])}:{int(found[2])}"


VERB = Verb(
    name="guide",
    does="the build guide of a kit as a PDF",
    tells="A cover, the parts of the bag, one page a step, cards to cut out, the inspection card and the mend "
    "card, all made from the drawing; its edition code stands on every page. Times are common practice.",
    options=(
        replace(KIT, must=True),
        Option(
            flag="--group", value="NAME", does="Cress, Rush, Reed or Willow; Rush unless given", usual="Rush"
        ),
        Option(flag="--large-print", does="large letters"),
        Option(flag="--language", value="XX", does="two letters; en unless given", usual="en"),
        Option(flag="--paper", value="SIZE", does="a4 or letter; a4 unless given", usual="a4"),
        Option(
            flag="--supervision",
            value="1:N",
            does="adults to pupils at glue and knife, as the school says",
            read=ratio,
        ),
        Option(flag="--part", value="WORD", does="only the page of this part, lost or broken, at full size"),
        Option(flag="--out", value="FILE", does="the PDF to write; named after the kit unless given"),
    ),
    example='guide "Fold 62" --group Cress --out fold-62-guide.pdf',
    answer=answer,
)

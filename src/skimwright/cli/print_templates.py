"""``skimwright print``: a kit's true-size templates, or the papers of the regatta day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.nesting_options import (
    BOATS,
    GAP,
    GRAIN,
    MARGIN,
    SECONDS,
    SEED,
    SHEET,
    kits_meant,
    nest_settings,
    one_of,
)
from skimwright.cli.print_day import DAY_OPTIONS, PAPERS, answer_day
from skimwright.cli.stopping import stoppable
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

if TYPE_CHECKING:
    from skimwright.base.drawing import Drawing
    from skimwright.desk import Kit, Layout, Template


def answer(ask: Ask) -> Answer:
    """The day's papers if one is named; else a kit's pages, or a verdict on pages already printed."""
    what = ask.given["what"]
    named = [word.casefold() for word in what]
    if any(word in PAPERS for word in named):
        return answer_day(ask, named)
    ask = replace(ask, given={**ask.given, "kit": what, "out": ask.given["out"] or "templates"})
    return _templates(ask)


def _templates(ask: Ask) -> Answer:
    from skimwright import desk

    kits = kits_meant(ask)
    given = ask.given
    if given["edition"]:
        desk.refuse_other_edition(_one(kits, "--edition"), given["edition"])
    if given["bar_reads"] is not None:
        return _verdict(_one(kits, "--bar-reads"), given["bar_reads"])
    folder = Path(given["out"])
    if given["part"]:
        kit = _one(kits, "--part")
        return _write(ask, desk.part_templates(kit, given["part"]), folder, kits)
    layout = _layout(ask, kits)
    if given["paper"] == "sheet":
        drawings = [template.drawing for template in desk.templates(layout)]
        path = ask.files.write(
            folder / "sheets.pdf", ask.files.as_pdf(drawings, language="en", title=layout.title)
        )
        return _said(kits, [path], len(drawings), "sheet", "")
    return _write(ask, desk.templates(layout, bar=False), folder, kits)


def _one(kits: Sequence[tuple[Kit, int]], flag: str) -> Kit:
    if len(kits) == 1:
        return kits[0][0]
    raise InputError(
        what="it is about one kit", got=f"{len(kits)} kits", do="Name one.", where=Where(field=flag)
    )


def _layout(ask: Ask, kits: list[tuple[Kit, int]]) -> Layout:
    from skimwright import desk

    if ask.given["layout"]:
        path = Path(ask.given["layout"])
        return desk.saved_layout(ask.files.json(path), [kit for kit, _ in kits], file=path.name)
    with stoppable(ask, best="layout") as stop:
        return desk.lay_out(
            kits,
            margin=ask.given["margin_mm"],
            gap=ask.given["gap_mm"],
            stop=stop,
            **nest_settings(ask),
        )


def _write(ask: Ask, templates: Sequence[Template], folder: Path, kits: Sequence[tuple[Kit, int]]) -> Answer:
    paper = ask.given["paper"] if ask.given["paper"] != "sheet" else "a4"
    foot = ", ".join(f"{kit.name} edition {kit.edition}" for kit, _ in kits)
    pages: list[Drawing] = []
    for number, template in enumerate(templates, start=1):
        here = (
            template.drawing.title.split(", ", 1)[-1]
            if ask.given["part"]
            else f"sheet {number} of {len(templates)}"
        )
        pages += ask.files.as_tiles(template, paper, f"{foot}   {here}")
    name = f"{ask.given['part'].replace(' ', '-')}-{paper}.pdf" if ask.given["part"] else f"tiles-{paper}.pdf"
    path = ask.files.write(folder / name, ask.files.as_pdf(pages, language="en", title=foot))
    return _said(kits, [path], len(pages), paper, ask.given["part"] or "")


def _said(kits: Sequence[tuple[Kit, int]], files: list[Path], pages: int, paper: str, part: str) -> Answer:
    on = {"a4": "A4", "letter": "Letter", "sheet": "full size"}[paper]
    what = part or ", ".join(kit.name for kit, _ in kits)
    text = (
        f"{what}: {pages} page{'s' if pages > 1 else ''}, {on}: {', '.join(map(str, files))}.\n"
        'Print at "actual size" or 100 %. Then measure the bar on one page: 100 mm is right. If it is not, ask '
        "`skimwright print KIT --bar-reads 97` before anybody cuts."
    )
    if paper != "sheet" and not part:
        text += "\nLay page on page so that the crosses meet, tape them, and fix them on the board."
    data: dict[str, Any] = {
        "kits": [{"kit": kit.name, "edition": kit.edition, "boats": count} for kit, count in kits],
        "paper": paper,
        "pages": pages,
        "files": [str(path) for path in files],
    }
    return Answer(data=data, text=text, plain=f"{what}: {pages} pages, {on}, {files[0]}")


def _verdict(kit: Kit, reading: float) -> Answer:
    from skimwright import desk

    read = desk.read_bar(kit, reading=reading)
    data = {
        "kit": kit.name,
        "edition": kit.edition,
        "bar_reads_mm": round(read.reading * 1e3, 4),
        "factor": round(read.factor, 6),
        "parts_accepted": read.is_true,
        "says": read.says,
    }
    plain = f"bar {reading * 1e3:g} mm, factor {read.factor:.3g}: {'true' if read.is_true else 'do not cut'}"
    return Answer(data=data, text=read.says, plain=plain, status=0 if read.is_true else 1)


VERB = Verb(
    name="print",
    does="a kit's true-size templates, or the papers of the regatta day",
    tells="WHAT is a kit (name, or TOML file; =6 behind it asks for six boats), or one of these papers of the day: "
    + ", ".join(f"{word} ({does})" for word, does in PAPERS.items())
    + ". Every page of templates has a 100 mm bar and a box for what a ruler reads. With --bar-reads nothing is "
    "printed: the answer says whether the pages may be cut (exit status 1 if not).",
    options=(
        Option(flag="WHAT", does="a kit, or a paper of the day", must=True, many=True),
        Option(flag="--paper", value="P", does="a4, letter or sheet; a4 unless given. A call board is twice as large",
               read=one_of("a4", "letter", "sheet"), usual="a4"),
        *DAY_OPTIONS,
        Option(flag="--part", value="WORD", does="only this part, lost or broken: \"POD-1 left\""),
        Option(flag="--bar-reads", value="MM", does="what a ruler reads on the printed bar",
               read=quantity("length", "mm", low=0, high=1000)),
        Option(flag="--edition", value="CODE", does="the code on pages in hand: are they of this drawing?"),
        Option(flag="--layout", value="FILE", does="a sheets.json to print, in place of nesting now"),
        BOATS, SHEET, MARGIN, GAP, GRAIN, SECONDS, SEED,
        Option(flag="--out", value="DIR", does="folder to write into; templates, or day-papers, unless given"),
    ),
    example='print "Fold 62" --paper a4',
    answer=answer,
)  # fmt: skip

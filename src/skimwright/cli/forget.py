"""``skimwright forget CHILD``: what is kept about one child, written out, and erased."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, MissingError, Where
from skimwright.cli.crew import list_if_there
from skimwright.cli.new import counted
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Kept, SeasonContents


def answer(ask: Ask) -> Answer:
    """Show, write out, erase."""
    from skimwright import desk

    given = ask.given
    season, place = ask.season(), ask.files.season_folder(ask.season_chosen)
    rows = list_if_there(ask, "crews.csv")
    if rows is None:
        raise MissingError(
            what="this season has no crews.csv, so nothing is kept about a child by name",
            do="Look at paper and at other computers.",
        )
    crews = desk.read_crews(rows)
    child = crews.child(given["child"], crew=given["crew"])
    kept = desk.kept_about(_contents(ask, place), crews, child)
    boats = [entry for entry in season.boats if entry.crew.casefold() == child.crew.casefold()]
    copies = _copies(ask, place)
    data = _data(kept, copies, [{"boat": e.number, "name": e.name, "group": e.group} for e in boats])
    files = []
    if given["out"]:
        text = json.dumps(data, ensure_ascii=False, indent=1) + "\n"
        out = Path(given["out"])
        if _is_within(out, place):
            raise InputError(
                what="the export would lie inside the season, and be kept there", got=str(out),
                allowed="a place outside it", do="Name another place, such as the family's stick.",
                where=Where(field="--out"),
            )  # fmt: skip
        files = [str(ask.files.write(out, text))]
    did = _erase(ask, place, kept) if given["erase"] else ""
    return Answer(
        data=data | {"erased": bool(did), "files": files},
        text=_text(kept, boats, copies, did, files),
        plain=did or f"kept about this child: {len(kept.mentions)} places; nothing was erased",
        findings=kept.findings,
    )


def _copies(ask: Ask, place: Path) -> list[str]:
    """What `keep` wrote beside the season, unless told another place."""
    kept = place.parent / "kept"
    _, others = ask.files.plain_files(kept, is_season=False)
    return [str(kept / name) for name in others if name.endswith(".season")]


def _is_within(out: Path, place: Path) -> bool:
    return place.resolve() in out.resolve().parents


def _contents(ask: Ask, place: Path) -> SeasonContents:
    from skimwright import desk

    if place.suffix == ".season" and not place.is_dir():
        contents = ask.files.season_contents(place)
        if contents.is_damaged:
            raise InputError(
                what="this season file is damaged, so it cannot be told what is in it",
                do="Save the rest with `skimwright export`, make a new season of it, and come back.",
                where=Where(file=str(place)),
            )
        return contents
    folder = place.parent if place.name == "season.toml" else place
    return desk.SeasonContents(files=ask.files.plain_files(folder)[0])


def _erase(ask: Ask, place: Path, kept: Kept) -> str:
    """Write the season without the child, with one line that says so and not whom."""
    from skimwright import desk

    line = desk.audit_row(kept, at=ask.files.now(), by=ask.given["by"], is_exported=bool(ask.given["out"]))
    audit = place / desk.AUDIT
    before = ask.files.text(audit) if ask.files.is_file(audit) else f"{','.join(desk.AUDIT_COLUMNS)}\n"
    more = io.StringIO()
    csv.DictWriter(more, desk.AUDIT_COLUMNS, lineterminator="\n").writerow(line)
    files = {**kept.files, desk.AUDIT: (before + more.getvalue()).encode("utf8")}
    ask.files.erase(place, files, kept.events)
    places, inside = counted(int(line["places"]), "place"), counted(int(line["files"]), "file")
    return f"Erased: {places} in {inside}; {desk.AUDIT} has a line without the name."


def _text(kept: Kept, boats: list[Any], copies: list[str], did: str, files: list[str]) -> str:
    from skimwright import desk

    def rows(mentions: Any) -> str:
        return table(
            ["file", "row", "column", "what stands there"],
            [[m.file, str(m.row or ""), m.column, m.text] for m in mentions],
        )

    lines = [
        f"{kept.child.called}, {kept.child.crew}"
        + (f"; the crew's {', '.join(entry.label for entry in boats)}" if boats else ""),
        "",
        rows(kept.erased),
    ]
    if kept.left:
        lines += ["", "Left alone, for a person to look at:", rows(kept.left)]
    lines += ["", "Runs, measurements and results are the boat's and the crew's; they stay."]
    lines += [f"Written out: {file}" for file in files]
    lines += [did or "Nothing was erased: add --erase."]
    return "\n".join(
        [*lines, "Out of reach, and to be seen to by hand:", *(f"  {each}" for each in desk.OUT_OF_REACH)]
    )


def _data(kept: Kept, copies: list[str], boats: list[dict[str, Any]]) -> dict[str, Any]:
    from skimwright import desk

    def told(mentions: Any) -> list[dict[str, Any]]:
        return [{"file": m.file, "row": m.row, "column": m.column, "text": m.text} for m in mentions]

    return {
        "child": kept.child.called,
        "crew": kept.child.crew,
        "boats": boats,
        "kept": told(kept.erased),
        "left_to_look_at": told(kept.left),
        "old_copies": copies,
        "out_of_reach": list(desk.OUT_OF_REACH),
        "findings": [finding.as_dict() for finding in kept.findings],
    }


VERB = Verb(
    name="forget",
    does="write out what is kept about one child, and erase it",
    tells="CHILD is a first name, with the initial if need be. Without --erase it only shows. With it the row in "
    "crews.csv goes, and the name wherever people wrote it, in a folder or inside a NAME.season, whose gaps are "
    "emptied too; the audit line does not say who. What the program cannot reach is listed each time.",
    options=(
        Option(flag="CHILD", does='first name and initial: "Wren B"', must=True),
        Option(flag="--crew", value="NAME", does="if more than one is called so"),
        Option(flag="--out", value="FILE.json", does="write out what is kept, for the family"),
        Option(flag="--erase", does="erase it; there is no way back", usual=False),
        Option(flag="--by", value="JOB", does="who does it, by job, for the audit line", usual="organiser"),
    ),
    example='forget "Wren B" --out wren.json --erase',
    answer=answer,
)

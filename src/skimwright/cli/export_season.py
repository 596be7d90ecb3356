"""``skimwright export``: the season's plain files, as they were taken in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.base import ConflictError, Finding, Where
from skimwright.cli.import_season import season_file
from skimwright.cli.new import counted
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import SeasonContents

DAMAGED = 1  # exit status when something in the season could not be read


def answer(ask: Ask) -> Answer:
    """Write every plain file, byte for byte, and say what damage has taken."""
    from skimwright import desk

    season, folder = season_file(ask), Path(ask.given["dir"])
    contents = ask.files.season_contents(season)
    files = desk.as_plain_files(contents)
    there, _ = ask.files.plain_files(folder, is_season=False)
    _refuse_other(folder, sorted(name for name in files if there.get(name, files[name]) != files[name]), ask)
    written = [str(ask.files.write(folder / name, raw)) for name, raw in files.items()]
    others = sorted(set(there) - set(files))
    findings = as_findings(contents, season)
    said = f"{folder}: {counted(len(written), 'file')} written, {counted(len(contents.events), 'event')} among them."
    text = [
        said,
        *([f"Also in {folder}, and not of this season: {', '.join(others)}."] if others else []),
    ]
    data = {
        "season": str(season),
        "files": written,
        "events": len(contents.events),
        "lost": list(contents.lost),
        "others": others,
        "news": list(contents.news),
        "findings": [finding.sentence() for finding in findings],
    }
    status = DAMAGED if contents.is_damaged else 0
    return Answer(data=data, text="\n".join(text), plain=said, findings=findings, status=status)


def _refuse_other(folder: Path, differ: Sequence[str], ask: Ask) -> None:
    if differ and not ask.given["over"]:
        raise ConflictError(
            what=f"{len(differ)} of these files are there already and say something else; nothing was written",
            got=", ".join(differ[:5]),
            do="Import them first, choose another folder, or write over them with --over.",
            where=Where(file=str(folder)),
        )


def as_findings(contents: SeasonContents, season: Path) -> tuple[Finding, ...]:
    """What a person should know of the file's state."""
    found = []
    if contents.is_damaged:
        lost = ", ".join(contents.lost) or "nothing: all its files and events could be read"
        found.append(
            Finding(
                code="season-damaged",
                severity="warning",
                what=f"The season file is damaged. Lost: {lost}.",
                why="What was read is as it was written; each line was checked.",
                do="Make a new one from what was written, with `skimwright new NAME.season --from DIR`, and take "
                "what is lost from the last kept copy.",
                where=str(season),
            )
        )
    if contents.news:
        found.append(
            Finding(
                code="season-older",
                severity="note",
                what=f"An older edition made this season. {' '.join(contents.news)}",
                why="It was read as it is; the first change written to it brings it up to date.",
                do="Keep a copy first if the older edition must still open it.",
                where=str(season),
            )
        )
    return tuple(found)


VERB = Verb(
    name="export",
    does="write the season's plain files into a folder",
    tells="Every file comes out byte for byte as it went in, and the events as events.csv; `import` takes them back. "
    "From a damaged season all that can still be read is written, and what is lost is named.",
    options=(
        Option(flag="DIR", does="the folder to write into", must=True),
        Option(flag="--over", does="write over files in DIR that say something else"),
    ),
    example="export plain --season our.season",
    answer=answer,
)

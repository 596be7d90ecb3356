"""``skimwright new``: a season of one's own, in one file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.base import SkimwrightError, Where
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import SeasonContents


def answer(ask: Ask) -> Answer:
    """Make the file from plain files, the demonstration season, or one boat to begin with."""
    path, source = Path(ask.given["file"]), ask.given["from"]
    contents, left_out = _contents(ask, path, source)
    ask.files.new_season(path, contents)
    season = ask.files.season(str(path))
    made = f"{path}: {season.name}, {counted(len(contents.files), 'file')}, {counted(len(season.boats), 'boat')}."
    then = "Write your own boats over the one in it" if source is None else "Look at it with a spreadsheet"
    text = [
        made,
        *([f"Not taken in: {', '.join(left_out)}."] if left_out else []),
        f"{then}: `skimwright export plain --season {path}`, edit, `skimwright import plain --season {path}`.",
    ]
    data = {
        "season": str(path),
        "name": season.name,
        "boats": len(season.boats),
        "files": sorted(contents.files),
        "events": len(contents.events),
        "left_out": list(left_out),
    }
    return Answer(data=data, text="\n".join(text), plain=made)


def _contents(ask: Ask, path: Path, source: str | None) -> tuple[SeasonContents, tuple[str, ...]]:
    from skimwright import desk

    if source is None:
        demo, _ = ask.files.plain_files(ask.files.demo_season())
        parts = {name: raw for name, raw in demo.items() if name.startswith(("kits/", "devices/"))}
        blank = desk.blank_season(path.stem, day=ask.files.today())
        parts |= {name: text.encode("utf8") for name, text in blank.items()}
        return desk.SeasonContents(files=parts), ()
    folder = ask.files.demo_season() if source == "demo" else Path(source)
    files, left_out = ask.files.plain_files(folder)
    check_readable(ask, folder)
    return desk.from_plain_files(files), left_out


def counted(number: int, thing: str) -> str:
    """``1 boat``, ``2 boats``."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def check_readable(ask: Ask, folder: Path) -> None:
    """Refuse a folder that is no whole season before anything is changed.

    Raises
    ------
    InputError, MissingError
        A file in it cannot be read; file, row and field are named.
    """
    try:
        ask.files.season(str(folder))
    except SkimwrightError as error:
        raise type(error)(
            what=error.what,
            got=error.got,
            allowed=error.allowed,
            do=f"{error.do} Nothing was taken in yet.",
            where=error.where if error.where.file else Where(file=str(folder), field=error.where.field),
        ) from error


VERB = Verb(
    name="new",
    does="make a season in one file",
    tells="Without --from it holds the three kits, the devices and one boat to write over; with --from a folder of "
    "plain files, or `demo`, all that is there. A file that is there already is left as it is.",
    options=(
        Option(flag="FILE", does="the new file, NAME.season", must=True),
        Option(
            flag="--from", value="DIR", does="a folder of plain files, or demo for the demonstration season"
        ),
    ),
    example="new our.season --from demo",
    answer=answer,
)

"""``skimwright import``: plain files into the season file."""

from __future__ import annotations

from pathlib import Path

from skimwright.base import InputError, Where
from skimwright.cli.new import check_readable, counted
from skimwright.cli.verb import Answer, Ask, Option, Verb


def answer(ask: Ask) -> Answer:
    """Take in what changed; the rest, and what the folder does not speak of, stays."""
    from skimwright import desk

    folder = Path(ask.given["dir"])
    season = season_file(ask)
    files, left_out = ask.files.plain_files(folder)
    check_readable(ask, folder)
    taken = desk.from_plain_files(files)
    before = ask.files.season_contents(season)
    gone = sorted(set(before.files) - set(taken.files))
    written: dict[str, bytes | None] = dict(taken.files)
    if ask.given["drop"]:
        written |= dict.fromkeys(gone)
    changed = ask.files.write_season(season, written, taken.events)
    known = {event.key for event in before.events}
    fresh = sum(event.key not in known for event in taken.events)
    stays = [] if ask.given["drop"] else gone
    said = f"{season}: {len(changed)} of {len(files)} files changed, {counted(fresh, 'new event')}."
    text = [
        said,
        *(f"  {name}{' taken out' if name in gone else ''}" for name in changed),
        *([f"In the season and not in {folder}, so they stay: {', '.join(stays)}. --drop takes them out."]
          if stays else []),
        *([f"Not taken in: {', '.join(left_out)}."] if left_out else []),
    ]  # fmt: skip
    data = {
        "season": str(season), "files": sorted(files), "changed": list(changed), "events": fresh, "stays": stays,
        "left_out": list(left_out),
    }  # fmt: skip
    return Answer(data=data, text="\n".join(text), plain=said)


def season_file(ask: Ask) -> Path:
    """The season meant, which must be one file.

    Raises
    ------
    InputError
        It is a folder.
    """
    path = ask.files.season_folder(ask.season_chosen)
    if not ask.files.is_file(path):
        raise InputError(
            what="this season is a folder of plain files", got=f'"{path}"', allowed="a NAME.season",
            do=f"Make one file of it with `skimwright new NAME.season --from {path}`.", where=Where(field="--season"),
        )  # fmt: skip
    return path


VERB = Verb(
    name="import",
    does="take plain files into the season file",
    tells="Each file of DIR that differs is taken in whole, all of them or none; a line in the season's diary says so. "
    "Events that are there already are not taken twice. A folder that cannot be read as a season is refused.",
    options=(
        Option(flag="DIR", does="the folder of plain files", must=True),
        Option(flag="--drop", does="take out of the season what DIR no longer has"),
    ),
    example="import plain --season our.season",
    answer=answer,
)

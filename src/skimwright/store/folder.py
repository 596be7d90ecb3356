"""A season folder: ``season.toml``, ``boats.csv``, ``kits/``, ``devices/``, perhaps ``runs.csv``."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from skimwright.base import InputError, MissingError, Where
from skimwright.desk import Season, SeasonTables, read_season
from skimwright.store.csv_rows import read_rows
from skimwright.store.toml_table import read_table

VARIABLE = "SKIMWRIGHT_SEASON"


def read_season_folder(folder: Path, *, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
    """The season in a folder of plain files.

    Parameters
    ----------
    folder : Path
        The folder, or the ``season.toml`` in it.
    answers : mapping, optional
        What to read in place of a cell of ``boats.csv``: ``{(20, "mass_g"): "13.5 oz"}``.

    Raises
    ------
    InputError, MissingError, StoreError
        A file is wrong, not there, or will not open; file, row and field are named.
    """
    return read_season(read_tables(folder), answers=answers)


def read_tables(folder: Path) -> SeasonTables:
    """What the files of a season folder say, unjudged."""
    folder = folder.parent if folder.name == "season.toml" else folder
    if not folder.is_dir():
        raise MissingError(
            what="no such season folder",
            do="Give the folder that holds season.toml and boats.csv.",
            where=Where(file=str(folder)),
        )
    pond, runs = folder / "pond.toml", folder / "runs.csv"
    return SeasonTables(
        season=read_table(folder / "season.toml"),
        kits=_tables(folder / "kits", "kit"),
        devices=_tables(folder / "devices", "device"),
        boats=read_rows(folder / "boats.csv"),
        pond=read_table(pond) if pond.exists() else None,
        runs=read_rows(runs) if runs.exists() else None,
    )


def _tables(folder: Path, thing: str) -> dict[str, dict[str, Any]]:
    """Each TOML file of a folder under its name, in order of name."""
    files = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    if not files:
        raise MissingError(
            what=f"no {thing} files here",
            allowed=f"at least one {folder.name}/NAME.toml",
            do=f"Put the season's {thing} files into it.",
            where=Where(file=f"{folder.name}/"),
        )
    return {
        f"{folder.name}/{file.name}": read_table(file, name=f"{folder.name}/{file.name}") for file in files
    }


def find_season(chosen: str | None, *, environment: Mapping[str, str], here: Path) -> Path:
    """The season folder meant: the one asked for, else the environment's, else the only one here.

    Raises
    ------
    MissingError
        None of these is a folder with a ``season.toml``.
    InputError
        There are several here.
    """
    for text, source in ((chosen, "--season"), (environment.get(VARIABLE), VARIABLE)):
        if text:
            folder = Path(text).parent if Path(text).name == "season.toml" else Path(text)
            if (folder / "season.toml").is_file():
                return folder
            raise MissingError(
                what="no season there",
                got=f'"{text}"',
                allowed="a folder with a season.toml in it",
                do="Check the name.",
                where=Where(field=source),
            )
    if (here / "season.toml").is_file():
        return here
    found = sorted(path.parent for path in here.glob("*/season.toml"))
    if len(found) == 1:
        return found[0]
    if found:
        raise InputError(
            what="more than one season here",
            got=", ".join(folder.name for folder in found),
            do="Say which with --season FOLDER.",
        )
    raise MissingError(
        what="no season here",
        allowed="a folder with a season.toml in it",
        do="Say where it is with --season FOLDER, or make one with `skimwright demo FOLDER`.",
    )

"""A season's plain files, in a folder or in one season file, and which season is meant."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from skimwright.base import InputError, MissingError, Where
from skimwright.desk import Season, SeasonTables, as_plain_files, is_file_name, read_season
from skimwright.store.csv_rows import rows_of
from skimwright.store.season_file.inside import SUFFIX, bytes_in, contents_of, inside, is_season_file
from skimwright.store.text import decode, read_raw, read_text
from skimwright.store.toml_table import table_of

VARIABLE = "SKIMWRIGHT_SEASON"
MOST_FILES = 2000  # in a folder that may be a season


def read_season_folder(folder: Path, *, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
    """The season in a folder of plain files, or in one season file.

    Parameters
    ----------
    folder : Path
        The folder, the ``season.toml`` in it, or a ``NAME.season``.
    answers : mapping, optional
        What to read in place of a cell of ``boats.csv``: ``{(20, "mass_g"): "13.5 oz"}``.

    Raises
    ------
    InputError, MissingError, StoreError
        A file is wrong, not there, or will not open; file, row and field are named.
    """
    return read_season(read_tables(folder), answers=answers)


@dataclass(frozen=True)
class _Texts:
    """The plain files of a season, wherever they are."""

    names: tuple[str, ...]
    text: Callable[[str], str]


def read_tables(folder: Path) -> SeasonTables:
    """What the files of a season say, unjudged."""
    texts = _texts_of_file(folder) if is_season_file(folder) else _texts_of_folder(folder)
    return SeasonTables(
        season=table_of(texts.text("season.toml"), "season.toml"),
        kits=_tables(texts, "kits", "kit"),
        devices=_tables(texts, "devices", "device"),
        boats=rows_of(texts.text("boats.csv"), "boats.csv"),
        pond=table_of(texts.text("pond.toml"), "pond.toml") if "pond.toml" in texts.names else None,
        runs=rows_of(texts.text("runs.csv"), "runs.csv") if "runs.csv" in texts.names else None,
    )


def _texts_of_folder(folder: Path) -> _Texts:
    folder = folder.parent if folder.name == "season.toml" else folder
    if not folder.is_dir():
        raise MissingError(
            what="no such season folder",
            do="Give the folder that holds season.toml and boats.csv.",
            where=Where(file=str(folder)),
        )
    found = (path for pattern in ("*", "kits/*.toml", "devices/*.toml") for path in folder.glob(pattern))
    names = tuple(sorted(path.relative_to(folder).as_posix() for path in found))
    return _Texts(names, lambda name: read_text(folder / name, name=name))


def _texts_of_file(path: Path) -> _Texts:
    """All from one moment of the file."""
    contents = contents_of(path)
    return _Texts(
        (*contents.files, *contents.lost), lambda name: decode(bytes_in(contents, name), Where(file=name))
    )


def _tables(texts: _Texts, folder: str, thing: str) -> dict[str, dict[str, Any]]:
    """Each TOML file of a folder under its name, in order of name."""
    names = [name for name in texts.names if PurePosixPath(name).match(f"{folder}/*.toml")]
    if not names:
        raise MissingError(
            what=f"no {thing} files here",
            allowed=f"at least one {folder}/NAME.toml",
            do=f"Put the season's {thing} files into it.",
            where=Where(file=f"{folder}/"),
        )
    return {name: table_of(texts.text(name), name) for name in sorted(names)}


def find_season(chosen: str | None, *, environment: Mapping[str, str], here: Path) -> Path:
    """The season meant: the one asked for, else the environment's, else the only one here.

    A ``NAME.season`` here comes before folders: an exported one often lies beside it.

    Raises
    ------
    MissingError
        None of these is a season file, or a folder with a ``season.toml``.
    InputError
        There are several here.
    """
    for text, source in ((chosen, "--season"), (environment.get(VARIABLE), VARIABLE)):
        if text:
            return _named(Path(text), source)
    files = sorted(path for path in here.glob(f"*{SUFFIX}") if path.is_file())
    if len(files) == 1:
        return files[0]
    if files:
        raise InputError(
            what="more than one season here",
            got=", ".join(path.name for path in files),
            do="Say which with --season FILE.",
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
        allowed="a NAME.season, or a folder with a season.toml in it",
        do="Say where it is with --season FILE or --season FOLDER, or make one with `skimwright new NAME.season`.",
    )


def _named(path: Path, source: str) -> Path:
    """The season somebody named."""
    if is_season_file(path) and path.is_file():
        return path
    folder = path.parent if path.name == "season.toml" else path
    if (folder / "season.toml").is_file():
        return folder
    raise MissingError(
        what="no season there",
        got=f'"{path}"',
        allowed="a NAME.season, or a folder with a season.toml in it",
        do="Check the name.",
        where=Where(field=source),
    )


def is_file(path: Path) -> bool:
    """Whether there is such a file, on the disk or in a season file."""
    if spot := inside(path):
        contents = contents_of(spot[0])
        return spot[1] in as_plain_files(contents) or spot[1] in contents.lost
    return path.is_file()


def plain_files(folder: Path, *, is_season: bool = True) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The files of a folder that a season takes in, and the names of those it does not.

    Parameters
    ----------
    folder : Path
        The folder.
    is_season : bool
        Whether it must be one; if not, it may hold anything or not be there.

    Raises
    ------
    MissingError
        The folder is not there, or holds no ``season.toml``.
    InputError
        There is far more in it than a season, or a file is too large.
    StoreError
        A file will not open.
    """
    if is_season and not (folder / "season.toml").is_file():
        raise MissingError(
            what="no season.toml in this folder" if folder.is_dir() else "no such folder",
            allowed="a folder with a season.toml in it", do="Check the name.", where=Where(file=str(folder)),
        )  # fmt: skip
    found = list(itertools.islice(folder.rglob("*"), MOST_FILES + 1))
    if len(found) > MOST_FILES:
        raise InputError(
            what="far more in this folder than a season", got=f"more than {MOST_FILES} files",
            do="Put the season's files into a folder of their own.", where=Where(file=str(folder)),
        )  # fmt: skip
    names = {path.relative_to(folder).as_posix(): path for path in sorted(found) if path.is_file()}
    taken = {name for name, path in names.items() if is_file_name(name) and not path.is_symlink()}
    return {name: read_raw(names[name], name=name) for name in sorted(taken)}, tuple(
        sorted(set(names) - taken)
    )

"""Writing a file whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from skimwright.base import StoreError, Where
from skimwright.desk import SeasonEvent
from skimwright.store.season_file.inside import inside, is_season_file, write_inside


def write_file(path: Path, content: str | bytes) -> Path:
    """Write a file beside its place and move it there, so that no half of it is ever seen.

    The place may be in a season file: ``our.season/holds.csv``.

    Raises
    ------
    StoreError
        The folder cannot be made or the file not be written.
    """
    raw = content.encode("utf8") if isinstance(content, str) else content
    if spot := inside(path):
        write_inside(*spot, raw)
        return path
    beside = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_bytes(raw)
        os.replace(beside, path)
    except OSError as error:
        beside.unlink(missing_ok=True) if beside.parent.is_dir() else None
        raise StoreError(
            what="could not be written",
            got=(error.strerror or "an unknown fault").lower(),
            do="Choose a folder you may write in, and check that its disk is not full.",
            where=Where(file=str(path)),
        ) from error
    return path


def copy_files(
    source: Path, folder: Path, patterns: tuple[str, ...], without: Sequence[str] = ()
) -> tuple[list[Path], list[Path]]:
    """Copy the files of a folder and its sub-folders that match a pattern, but for those named in `without`.

    A file that is there already and differs is somebody's work: it is left alone.

    Returns
    -------
    tuple
        The files that stand as copied, and those left alone; both in order.

    Raises
    ------
    StoreError
        The folder cannot be made or a file not be written.
    """
    found = sorted(
        {path for pattern in patterns for path in source.rglob(pattern) if path.name not in without}
    )
    copied: list[Path] = []
    kept: list[Path] = []
    for path in found:
        target, content = folder / path.relative_to(source), path.read_bytes()
        if target.is_file() and target.read_bytes() != content:
            kept.append(target)
        else:
            copied.append(write_file(target, content))
    return copied, kept


def erase(season: Path, files: Mapping[str, bytes], events: Mapping[str, SeasonEvent]) -> tuple[str, ...]:
    """Write files and events of a season anew, with nothing left of what stood there; the files that changed.

    Parameters
    ----------
    season : Path
        A folder, or a season file.
    files : mapping
        By name, as they should be.
    events : mapping
        By key, as they should be; a folder's stand in its ``events.csv``.

    Raises
    ------
    SkimwrightError
        It cannot be written, or another program has the season open.
    """
    if is_season_file(season):
        from skimwright.store.season_file.erasing import erase as erase_inside

        return erase_inside(season, files, events)
    for name, raw in files.items():
        write_file(season / name, raw)
    return tuple(files)

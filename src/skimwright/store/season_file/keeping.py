"""A copy of a season while it is in use, tried out before anyone relies on it."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from skimwright.base import MissingError, StoreError, Where
from skimwright.desk import KeptSeason, SeasonContents
from skimwright.store.season_file.faults import damaged, plain_faults
from skimwright.store.season_file.layout import SUFFIX, check_head, check_layout
from skimwright.store.season_file.reading import must_exist, read_contents, reader
from skimwright.store.season_file.writing import put_in_place


def keep_season(path: Path, place: Path | None, *, stamp: str) -> KeptSeason:
    """Copy a season safely while others write in it, then restore the copy elsewhere and compare.

    Parameters
    ----------
    path : Path
        The season file.
    place : Path, optional
        A folder, such as a stick, or a new file's name; the folder ``kept`` beside the season if None.
    stamp : str
        What tells this copy's name from others, such as 2027-05-22-1431.

    Raises
    ------
    MissingError
        The season or the folder is not there.
    StoreError
        It could not be written, the season is damaged, or the copy does not give back what went in.
    """
    must_exist(path)
    with plain_faults(path):
        check_head(path)
        before = read_contents(path)
    if before.is_damaged:
        raise damaged(path)
    target = _free_name(path, place, stamp)
    beside = target.with_name(f".{target.name}.new")
    with plain_faults(target):
        try:
            _copy(path, beside)
            again = _restored(beside)
            _compare(before, again, target)
            put_in_place(beside, target)
        finally:
            for left in ("", "-wal", "-shm", "-journal"):
                beside.with_name(beside.name + left).unlink(missing_ok=True)
        return KeptSeason(path=str(target), size=target.stat().st_size, contents=again)


def _free_name(path: Path, place: Path | None, stamp: str) -> Path:
    if place is None:
        place = path.parent / "kept"
        with plain_faults(place):
            place.mkdir(exist_ok=True)
    if place.suffix == SUFFIX and not place.is_dir():
        folder, names = place.parent, [place.name]
    else:
        folder, names = place, [f"{path.stem}-{stamp}{more}{SUFFIX}" for more in ("", "-2", "-3", "-4", "-5")]
    if not folder.is_dir():
        raise MissingError(
            what="no such folder; nothing was copied", got=f'"{folder}"', allowed="a folder that is there",
            do="Is the stick in? Put it in, or name another folder.",
        )  # fmt: skip
    free = [folder / name for name in names if not (folder / name).exists()]
    return free[0] if free else folder / names[-1]  # the last is refused when it is put in place


def _copy(path: Path, beside: Path) -> None:
    """One moment of the season in one file, on the disk."""
    beside.unlink(missing_ok=True)
    with closing(reader(path)) as source:
        check_layout(source, path)
        with closing(sqlite3.connect(beside, isolation_level=None)) as copy:
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")  # so that a stick marked read-only opens too
    with beside.open("rb+") as file:
        os.fsync(file.fileno())


def _restored(beside: Path) -> SeasonContents:
    """What the copy gives back somewhere else, read from the bytes on the disk."""
    with tempfile.TemporaryDirectory(prefix="skimwright-keep-") as folder:
        trial = Path(folder) / f"trial{SUFFIX}"
        trial.write_bytes(beside.read_bytes())
        return read_contents(trial)


def _compare(before: SeasonContents, again: SeasonContents, target: Path) -> None:
    """Events stored before the copy began must be in it; others may have come since."""
    lacks = again.events[: len(before.events)] != before.events or set(before.files) - set(again.files)
    if again.is_damaged or lacks:
        raise StoreError(
            what="the copy does not give back what went in; it was thrown away",
            do="Use another stick or disk, and keep the season again at once.", where=Where(file=str(target)),
        )  # fmt: skip

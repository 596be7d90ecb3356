"""What SQLite says, in one sentence a person can act on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from skimwright.base import InputError, SkimwrightError, StoreError, Where

DAMAGE = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
RESCUE = "`skimwright export DIR --season FILE` saves what can still be read, or take the last kept copy."


@contextmanager
def plain_faults(path: Path) -> Iterator[None]:
    """Turn a fault of SQLite, or of the library above it, into one of ours.

    Raises
    ------
    StoreError
        The file is busy, full, read-only, damaged, or cannot be opened; what was being written was not kept.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise as_ours(error, path) from error
    except SkimwrightError:
        raise
    except UnicodeDecodeError as error:  # SQLite's complaint quotes damaged words
        raise damaged(path) from error
    except OSError as error:
        raise StoreError(
            what="could not be read or written", got=(error.strerror or "an unknown fault").lower(),
            do="Check that the disk is there, is not full and may be written by you.", where=Where(file=str(path)),
        ) from error  # fmt: skip
    except Exception as error:  # the library above wraps SQLite's own
        inner = getattr(error, "orig", None)
        if isinstance(inner, sqlite3.Error):
            raise as_ours(inner, path) from error
        raise


def code_of(error: sqlite3.Error) -> int:
    """SQLite's own number for a fault, without the finer part."""
    return (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF


def as_ours(error: sqlite3.Error, path: Path) -> SkimwrightError:
    """The sentence for a fault."""
    where, code = Where(file=str(path)), code_of(error)
    if code in _BUSY:
        return StoreError(
            what="another program is writing in this season just now; nothing was changed",
            do="Wait until it is done, or close it, and try again.", where=where,
        )  # fmt: skip
    if code == sqlite3.SQLITE_FULL:
        return StoreError(
            what="the disk is full; nothing was changed", got="no room for one more entry",
            do="Write it on paper, make room on the disk, and try again.", where=where,
        )  # fmt: skip
    if code == sqlite3.SQLITE_READONLY:
        return read_only(path)
    if code in DAMAGE:
        return damaged(path)
    return StoreError(
        what="could not be read or written", got=f"{error}".split("\n")[0].lower(),
        do="Check that the disk is there and may be written by you, and try again.", where=where,
    )  # fmt: skip


def damaged(path: Path) -> StoreError:
    """Part of the file is not as it was written."""
    return StoreError(what="this season file is damaged", do=f"Nothing was changed. {RESCUE}",
                      where=Where(file=str(path)))  # fmt: skip


def read_only(path: Path) -> StoreError:
    """It may be read and no more."""
    return StoreError(
        what="this season may be read but not changed", got="a file or folder marked read-only",
        do="Copy it to a folder of yours, or ask whoever keeps it.", where=Where(file=str(path)),
    )  # fmt: skip


def not_a_season(path: Path, got: str) -> InputError:
    """Some other file."""
    return InputError(
        what="not a season file", got=got, allowed="a file that `skimwright new` made",
        do="Check the name; if it was once a season, take the last kept copy.", where=Where(file=str(path)),
    )  # fmt: skip


def too_new(path: Path, *, layout: int, known: int) -> InputError:
    """Made by an edition that knows more than this one."""
    return InputError(
        what="made by a newer edition of Skimwright", got=f"layout {layout}", allowed=f"up to layout {known}",
        do="Open it with that edition; its `skimwright export` writes plain files that every edition reads.",
        where=Where(file=str(path)),
    )  # fmt: skip

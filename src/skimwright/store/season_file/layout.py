"""The tables of a season file, and the steps that bring an older file up to them."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

from skimwright.desk import SeasonEvent, digest
from skimwright.store.season_file.faults import not_a_season, read_only, too_new

SUFFIX = ".season"
APPLICATION = 0x536B696D  # marks the file as ours, in its head
HEAD = b"SQLite format 3\0"


def _to_1(connection: sqlite3.Connection) -> None:
    """Plain files by name, and events."""
    connection.execute(
        "CREATE TABLE file (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, content BLOB NOT NULL)"
    )
    connection.execute(
        "CREATE TABLE event (number INTEGER PRIMARY KEY AUTOINCREMENT, key TEXT NOT NULL UNIQUE,"
        " kind TEXT NOT NULL, at TEXT NOT NULL, who TEXT NOT NULL, payload TEXT NOT NULL)"
    )


def _to_2(connection: sqlite3.Connection) -> None:
    """Phones, a diary, and a digest by which damage shows; events can only be added."""
    connection.execute("ALTER TABLE file ADD COLUMN sha256 TEXT NOT NULL DEFAULT ''")
    connection.execute("ALTER TABLE event ADD COLUMN phone TEXT NOT NULL DEFAULT ''")
    connection.execute("ALTER TABLE event ADD COLUMN sha256 TEXT NOT NULL DEFAULT ''")
    connection.execute(
        "CREATE TABLE change (number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, who TEXT NOT NULL,"
        " what TEXT NOT NULL, name TEXT NOT NULL, before TEXT NOT NULL, after TEXT NOT NULL)"
    )
    for number, name, content in connection.execute("SELECT id, name, content FROM file").fetchall():
        connection.execute("UPDATE file SET sha256 = ? WHERE id = ?", (digest_of_file(name, content), number))
    rows = connection.execute("SELECT number, key, kind, at, who, payload FROM event").fetchall()
    for number, *cells, payload in rows:
        check = digest_of_cells([*cells, "", payload])
        connection.execute("UPDATE event SET sha256 = ? WHERE number = ?", (check, number))
    for table in ("event", "change"):
        for deed in ("UPDATE", "DELETE"):
            connection.execute(
                f"CREATE TRIGGER {table}_{deed.lower()} BEFORE {deed} ON {table}"
                f" BEGIN SELECT RAISE(ABORT, 'a line of this list stays as it is'); END"
            )


STEPS: tuple[tuple[str, Callable[[sqlite3.Connection], None]], ...] = (
    ("files and events", _to_1),
    ("each event now names its phone, a diary of changes is kept, and damage to any line shows", _to_2),
)
LAYOUT = len(STEPS)


def digest_of_file(name: str, content: bytes) -> str:
    """Of the name too: a sound file must not come back under another's."""
    return digest(name.encode("utf8") + b"\0" + content)


def digest_of_cells(cells: list[str]) -> str:
    """As `SeasonEvent.check`, from cells as stored: key, kind, at, who, phone, payload."""
    return hashlib.sha256("\n".join(cells).encode("utf8")).hexdigest()


def upgrade(connection: sqlite3.Connection, *, at: str) -> tuple[str, ...]:
    """Take the steps a file still lacks, inside the transaction that is open; what each of them brought."""
    was = layout_of(connection)
    for number, (_, step) in enumerate(STEPS[was:], was + 1):
        step(connection)
        connection.execute(f"PRAGMA user_version = {number}")
    if 0 < was < LAYOUT:
        connection.execute(
            "INSERT INTO change (at, who, what, name, before, after) VALUES (?, '', 'upgraded', 'layout', ?, ?)",
            (at, str(was), str(LAYOUT)),
        )
    return steps_after(was)


def steps_after(layout: int) -> tuple[str, ...]:
    """What each later layout brings, in a sentence."""
    return tuple(f"Layout {n}: {says}." for n, (says, _) in enumerate(STEPS[layout:], layout + 1))


def layout_of(connection: sqlite3.Connection) -> int:
    """The number of steps a file has been through."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def check_layout(connection: sqlite3.Connection, path: Path) -> int:
    """That number, if this edition knows it.

    Raises
    ------
    InputError
        A newer edition made the file.
    """
    layout = layout_of(connection)
    if layout > LAYOUT:
        raise too_new(path, layout=layout, known=LAYOUT)
    return layout


def check_head(path: Path) -> None:
    """Look at the first hundred bytes.

    Raises
    ------
    InputError
        They are not those of a season.
    """
    with path.open("rb") as file:
        head = file.read(100)
    if not head:
        raise not_a_season(path, "an empty file")
    if not head.startswith(HEAD):
        raise not_a_season(path, "a file that does not begin as a season does")
    if int.from_bytes(head[68:72], "big") != APPLICATION:
        raise not_a_season(path, "another program's file")


def may_write(path: Path) -> bool:
    """Whether neither the file nor its folder is marked read-only."""
    return bool(path.stat().st_mode & 0o222 and path.parent.stat().st_mode & 0o222) and (
        os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    )


def refuse_read_only(path: Path) -> None:
    """Say so before anything is begun.

    Raises
    ------
    StoreError
        The file may not be changed.
    """
    if not may_write(path):
        raise read_only(path)


def as_event(key: str, kind: str, at: str, who: str, phone: str, payload: str) -> SeasonEvent:
    """An event from its cells.

    Raises
    ------
    ValueError
        The payload is not JSON.
    """
    return SeasonEvent(key=key, kind=kind, at=at, who=who, phone=phone, payload=json.loads(payload))

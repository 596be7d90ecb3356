"""Everything in a season file, and what damage has taken from it.

Reading never changes the file, whatever edition made it; damaged parts are left out and named.  It uses the plain
library, so that a forecast need not wait for the larger one that writing uses.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from skimwright.base import MissingError, Where
from skimwright.desk import SeasonContents, SeasonEvent, is_file_name
from skimwright.store.season_file.faults import DAMAGE, code_of, damaged, plain_faults
from skimwright.store.season_file.layout import (
    as_event,
    check_head,
    check_layout,
    digest_of_cells,
    digest_of_file,
    may_write,
    steps_after,
)

WAIT = 5.0  # for another program to be done [s]
_FILE = ("name", "content", "sha256")
_EVENT = ("key", "kind", "at", "who", "phone", "payload", "sha256")
_MOST = 10_000_000  # events in a season; a larger count is damage speaking
_MISSES = 1000  # numbers without a row before a damaged list is taken to be at its end


def read_contents(path: Path) -> SeasonContents:
    """The files and events of a season file of this or an older edition.

    Raises
    ------
    MissingError
        There is no such file.
    InputError
        It is not a season, or a newer edition made it.
    StoreError
        It will not open, or nothing in it can be read.
    """
    must_exist(path)
    with plain_faults(path):
        check_head(path)
        with closing(reader(path)) as connection:
            layout = check_layout(connection, path)
            connection.execute("BEGIN")  # one moment of the file, whoever is writing meanwhile
            return _read(connection, path, layout)


def must_exist(path: Path) -> None:
    """Say so if there is no such file.

    Raises
    ------
    MissingError
        There is none.
    """
    if not path.is_file():
        there = path.parent.is_dir()
        raise MissingError(
            what="no such season file" if there else "no such folder",
            allowed="a file that `skimwright new` made",
            do="Check the name." if there else "Check the name; is the stick in?",
            where=Where(file=str(path if there else path.parent)),
        )


def reader(path: Path) -> sqlite3.Connection:
    """A connection that changes nothing; it leaves nothing beside the file either."""
    uri = path.resolve().as_uri()
    waiting = path.with_name(path.name + "-wal")  # left by a program that was killed
    has_waiting = waiting.exists() and waiting.stat().st_size > 0
    if may_write(path):
        connection = sqlite3.connect(f"{uri}?mode=rw", uri=True, timeout=WAIT, isolation_level=None)
        connection.execute("PRAGMA query_only = 1")
        if has_waiting or _has_room(connection):
            return connection
        connection.close()
    how = "mode=ro" if has_waiting else "mode=ro&immutable=1"
    return sqlite3.connect(f"{uri}?{how}", uri=True, timeout=WAIT, isolation_level=None)


def _has_room(connection: sqlite3.Connection) -> bool:
    """Whether the disk has room for the small file SQLite keeps beside one it shares; a full one can still be read."""
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError as error:
        return code_of(error) not in (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN)
    except sqlite3.DatabaseError:
        pass  # damage is told where it is met
    return True


def is_sound(connection: sqlite3.Connection) -> bool:
    """What SQLite itself says of every page."""
    try:
        return bool(connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")
    except UnicodeDecodeError:  # a complaint that quotes damaged words
        return False
    except sqlite3.Error as error:
        if code_of(error) in DAMAGE or code_of(error) == sqlite3.SQLITE_ERROR:
            return False
        raise


def _read(connection: sqlite3.Connection, path: Path, layout: int) -> SeasonContents:
    sound = is_sound(connection)
    connection.text_factory = bytes  # a damaged word must not stop the reading of the others
    lost: list[str] = []
    last: int | None = None
    files: dict[str, bytes] = {}
    for _, row in _rows(connection, path, "file", "id", _FILE, sound):
        name = _words(row[:1])
        if not name or not is_file_name(name[0]):  # nor is a name believed that leads out of the folder
            lost.append("a file whose name cannot be read")
        elif row[2] and digest_of_file(name[0], row[1]).encode() != row[2]:
            lost.append(name[0])
        else:
            files[name[0]] = row[1]
    events: dict[int, SeasonEvent] = {}
    bad: list[int] = []
    for number, row in _rows(connection, path, "event", "number", _EVENT, sound):
        event = _event(row)
        if event:
            events[number] = event
        else:
            bad.append(number)
    if not sound:
        lost += sorted(_written(connection, path) - set(files) - set(lost))
        last = _last_number(connection)
        bad = _gaps(events, last or 0)
    lost += _spoken(bad)
    if not sound and last is None:
        lost.append(f"perhaps events after {max(events, default=0)}")
    if not files and (lost or not sound):
        raise damaged(path)
    return SeasonContents(
        files=dict(sorted(files.items())), events=tuple(events[n] for n in sorted(events)), lost=tuple(lost),
        is_damaged=not sound or bool(lost), news=steps_after(layout),
    )  # fmt: skip


def _rows(
    connection: sqlite3.Connection, path: Path, table: str, number: str, columns: tuple[str, ...], sound: bool
) -> Iterator[tuple[int, tuple[bytes, ...]]]:
    """The rows of a table in order; a column that an older layout lacks is blank."""
    try:
        there = {row[1].decode() for row in connection.execute(f"PRAGMA table_info({table})")}
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise damaged(path) from error
    if number not in there:
        if not sound:
            raise damaged(path)
        return
    asked = ", ".join(column if column in there else "x''" for column in columns)
    if sound:
        for row in connection.execute(f"SELECT {number}, {asked} FROM {table} ORDER BY {number}"):
            yield row[0], row[1:]
        return
    misses = at = 0
    while misses < _MISSES:  # each by its own number: what cannot be reached is passed over
        at += 1
        misses += 1
        try:
            found = connection.execute(f"SELECT {asked} FROM {table} WHERE {number} = ?", (at,)).fetchone()
        except (sqlite3.Error, UnicodeDecodeError):
            continue
        if found and all(isinstance(cell, bytes) for cell in found):
            misses = 0
            yield at, found


def _words(cells: tuple[bytes, ...]) -> list[str]:
    """Cells as text; none if one of them is not."""
    try:
        return [cell.decode("utf8") for cell in cells]
    except (UnicodeDecodeError, AttributeError):
        return []


def _event(row: tuple[bytes, ...]) -> SeasonEvent | None:
    """The event, if it is as it was written."""
    cells = _words(row)
    if not cells or (cells[6] and digest_of_cells(cells[:6]) != cells[6]):
        return None
    try:
        return as_event(*cells[:6])
    except ValueError:
        return None


def _written(connection: sqlite3.Connection, path: Path) -> set[str]:
    """The files there should be by the diary."""
    names: set[str] = set()
    for _, row in _rows(connection, path, "change", "number", ("what", "name"), sound=False):
        words = _words(row)
        if words and words[0] == "wrote":
            names.add(words[1])
        elif words and words[0] == "removed":
            names.discard(words[1])
    return names


def _last_number(connection: sqlite3.Connection) -> int | None:
    """The number of the last event ever stored; None if that can no longer be told."""
    try:
        found = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'event'").fetchone()
        last = int(found[0]) if found else 0
    except (sqlite3.Error, TypeError, ValueError):  # UnicodeDecodeError is one of these
        return None
    return last if 0 <= last < _MOST else None


def _gaps(events: dict[int, SeasonEvent], last: int) -> list[int]:
    return [number for number in range(1, max([*events, last]) + 1) if number not in events]


def _spoken(numbers: list[int]) -> list[str]:
    """``events 12 to 40`` for numbers that follow each other."""
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return [f"event {a}" if a == b else f"events {a} to {b}" for a, b in spans]

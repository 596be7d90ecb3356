"""Writing in a season file: whole or not at all, and on the disk before anyone is told so."""

from __future__ import annotations

import datetime
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects.sqlite import insert as sqlite_insert

from skimwright.base import ConflictError, InputError, Where
from skimwright.desk import EVENTS, SeasonChange, SeasonEvent, check_event, digest, is_file_name
from skimwright.store.season_file.faults import damaged, plain_faults
from skimwright.store.season_file.layout import (
    APPLICATION,
    SUFFIX,
    as_event,
    check_head,
    check_layout,
    digest_of_file,
    refuse_read_only,
    upgrade,
)
from skimwright.store.season_file.reading import WAIT, is_sound, must_exist

Clock = Callable[[], str]

_META = sa.MetaData()
FILE = sa.Table(
    "file", _META,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False, unique=True),
    sa.Column("content", sa.LargeBinary, nullable=False),
    sa.Column("sha256", sa.Text, nullable=False),
)  # fmt: skip
EVENT = sa.Table(
    "event", _META,
    sa.Column("number", sa.Integer, primary_key=True),
    *(sa.Column(name, sa.Text, nullable=False)
      for name in ("key", "kind", "at", "who", "payload", "phone", "sha256")),
)  # fmt: skip
CHANGE = sa.Table(
    "change", _META,
    sa.Column("number", sa.Integer, primary_key=True),
    *(sa.Column(name, sa.Text, nullable=False) for name in ("at", "who", "what", "name", "before", "after")),
)  # fmt: skip


def now() -> str:
    """The moment, with its difference from UTC."""
    return datetime.datetime.now().astimezone().isoformat(timespec="seconds")


class SeasonFile:
    """A season file open for writing; close it, or use it in a ``with``.

    Parameters
    ----------
    path : Path
        The file.
    clock : callable
        Tells the moment for the diary.
    wait : float
        How long to wait for another program that is writing. [s]

    Raises
    ------
    MissingError, InputError
        No such file, not a season, or made by a newer edition.
    StoreError
        It is damaged, read-only, busy, or will not open.
    """

    def __init__(self, path: Path, *, clock: Clock = now, wait: float = WAIT) -> None:
        must_exist(path)
        self.path, self._clock = path, clock
        with plain_faults(path):
            check_head(path)
            refuse_read_only(path)
        self._engine = _engine(path, wait=wait)
        try:
            self.news = self._make_ready()
        except BaseException:
            self.close()
            raise

    def __enter__(self) -> SeasonFile:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Put everything into the one file and let go of it."""
        self._engine.dispose()

    def log(self, events: Sequence[SeasonEvent]) -> tuple[int, ...]:
        """Store events and give each its number; they are on the disk when this returns.

        An event sent again, by its key, gets the number it has.

        Raises
        ------
        InputError
            An event is not plain data.
        ConflictError
            Two different events have one key; none of these was stored.
        StoreError
            It could not be written; none was stored.
        """
        checked = [check_event(event) for event in events]
        with self._writing() as connection:
            return tuple(_store_event(connection, event) for event in checked)

    def events(self) -> tuple[SeasonEvent, ...]:
        """Every event in the order it was stored."""
        columns = (EVENT.c[name] for name in ("key", "kind", "at", "who", "phone", "payload"))
        with plain_faults(self.path), self._engine.begin() as connection:
            return tuple(
                as_event(*row) for row in connection.execute(sa.select(*columns).order_by(EVENT.c.number))
            )

    def write(
        self, files: Mapping[str, bytes | None], *, events: Sequence[SeasonEvent] = (), who: str = ""
    ) -> tuple[str, ...]:
        """Put plain files in, or take out those that are None, and store events with them.

        Returns
        -------
        tuple of str
            The files that changed, with a line each in the diary.

        Raises
        ------
        InputError
            A name cannot be that of a season's file, or an event is not plain data.
        ConflictError, StoreError
            As `log`.
        """
        checked = [check_event(event) for event in events]
        with self._writing() as connection:
            changed = [name for name, raw in files.items() if self._put(connection, name, raw, who)]
            for event in checked:
                _store_event(connection, event)
        return tuple(changed)

    def rewrite(self, name: str, how: Callable[[bytes | None], bytes], *, who: str = "") -> None:
        """Make a file from what it holds now; nobody else writes in between.

        Raises
        ------
        StoreError
            As `log`.
        """
        with self._writing() as connection:
            was = connection.execute(sa.select(FILE.c.content).where(FILE.c.name == name)).scalar()
            self._put(connection, name, how(was), who)

    def changes(self) -> tuple[SeasonChange, ...]:
        """The season's diary: what was changed, when, and by whom."""
        columns = (CHANGE.c[name] for name in ("number", "at", "who", "what", "name"))
        with plain_faults(self.path), self._engine.begin() as connection:
            rows = connection.execute(sa.select(*columns).order_by(CHANGE.c.number)).mappings()
            return tuple(SeasonChange(**row) for row in rows)

    @contextmanager
    def _writing(self) -> Iterator[sa.Connection]:
        """One transaction, begun as the only writer."""
        with plain_faults(self.path), self._engine.execution_options(writes=True).begin() as connection:
            yield connection

    def _make_ready(self) -> tuple[str, ...]:
        with plain_faults(self.path), self._engine.connect() as connection:
            raw = _raw(connection)
            if not is_sound(raw):
                raise damaged(self.path)
            check_layout(raw, self.path)
        with self._writing() as connection:
            return upgrade(_raw(connection), at=self._clock())

    def _put(self, connection: sa.Connection, name: str, raw: bytes | None, who: str) -> bool:
        there = connection.execute(sa.select(FILE.c.content).where(FILE.c.name == name)).scalar()
        before = "" if there is None else digest(there)  # as it is, not as it should be
        after = "" if raw is None else digest(raw)
        if before == after:
            return False
        if raw is None:
            connection.execute(sa.delete(FILE).where(FILE.c.name == name))
        else:
            row = {"content": raw, "sha256": digest_of_file(name, raw)}
            new = sqlite_insert(FILE).values(name=_checked_name(name), **row)
            connection.execute(new.on_conflict_do_update(index_elements=["name"], set_=row))
        line = {"at": self._clock(), "who": who, "what": "removed" if raw is None else "wrote", "name": name}
        connection.execute(sa.insert(CHANGE).values(**line, before=before, after=after))
        return True


def new_season(
    path: Path,
    files: Mapping[str, bytes],
    events: Sequence[SeasonEvent] = (),
    *,
    clock: Clock = now,
    who: str = "",
) -> Path:
    """Make a season file; it appears under its name only when it is whole.

    Raises
    ------
    InputError
        The name does not end in ``.season``, or a file's name or an event cannot be taken.
    ConflictError
        There is a file of this name.
    StoreError
        It could not be written.
    """
    if path.suffix != SUFFIX or not path.stem:
        raise InputError(
            what="not the name of a season file", got=f'"{path.name}"', allowed=f"a name that ends in {SUFFIX}",
            do=f"Call it {path.stem or 'our-season'}{SUFFIX}.",
        )  # fmt: skip
    _refuse_taken(path)
    beside = path.with_name(f".{path.name}.new")
    with plain_faults(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            beside.unlink(missing_ok=True)
            with closing(sqlite3.connect(beside, isolation_level=None)) as connection:
                connection.execute("PRAGMA synchronous = FULL")
                connection.execute("BEGIN IMMEDIATE")
                connection.execute(f"PRAGMA application_id = {APPLICATION}")
                upgrade(connection, at=clock())
                connection.execute("COMMIT")
            with SeasonFile(beside, clock=clock) as season:
                season.write(files, events=events, who=who)
            put_in_place(beside, path)
        finally:
            for left in ("", "-wal", "-shm", "-journal"):
                beside.with_name(beside.name + left).unlink(missing_ok=True)
    return path


def put_in_place(beside: Path, path: Path) -> None:
    """Give a finished file its name, never one that is taken, and bring the name to the disk."""
    _refuse_taken(path)
    os.replace(beside, path)
    if os.name == "posix":
        handle = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _refuse_taken(path: Path) -> None:
    if path.exists():
        raise ConflictError(
            what="there is a file of this name already; it was left as it is",
            do="Choose another name, or move that file away first.", where=Where(file=str(path)),
        )  # fmt: skip


def _checked_name(name: str) -> str:
    if not is_file_name(name) or name == EVENTS:  # events have a table of their own
        raise InputError(
            what="not the name of a season's file", got=repr(name),
            allowed=f"letters and figures, ending in .toml, .csv, .json, .geojson, .txt or .md; not {EVENTS}",
            do="Give it such a name.",
        )  # fmt: skip
    return name


def _store_event(connection: sa.Connection, event: SeasonEvent) -> int:
    """Its number, new or had before; numbers have no gaps, so that a lost event shows."""
    same_key = sa.select(EVENT.c.number, EVENT.c.sha256).where(EVENT.c.key == event.key)
    found = connection.execute(same_key).one_or_none()
    if found is None:
        row = {name: getattr(event, name) for name in ("key", "kind", "at", "who", "phone")}
        row |= {"payload": event.payload_text, "sha256": event.check}
        return int(connection.execute(sa.insert(EVENT).values(row)).inserted_primary_key[0])  # type: ignore[index]
    if found.sha256 != event.check:
        raise ConflictError(
            what=f"event {found.number} has this key and says something else; nothing was stored",
            got=f'key "{event.key}"', do="Send the new event with a key of its own.", where=Where(field="key"),
        )  # fmt: skip
    return int(found.number)


def _engine(path: Path, *, wait: float) -> sa.Engine:
    """Connections with our settings; each transaction says itself whether it will write."""
    uri = f"{path.resolve().as_uri()}?mode=rw"

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(uri, uri=True, timeout=wait, isolation_level=None, check_same_thread=False)

    engine = sa.create_engine("sqlite://", creator=connect, poolclass=sa.QueuePool)

    @sa.event.listens_for(engine, "connect")
    def set_up(raw: sqlite3.Connection, record: Any) -> None:
        raw.execute(f"PRAGMA busy_timeout = {round(wait * 1000)}")
        raw.execute("PRAGMA journal_mode = WAL")
        raw.execute("PRAGMA synchronous = FULL")
        raw.execute("PRAGMA foreign_keys = ON")

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def _raw(connection: sa.Connection) -> sqlite3.Connection:
    raw = connection.connection.dbapi_connection
    assert isinstance(raw, sqlite3.Connection)
    return raw


def write_files(
    path: Path, files: Mapping[str, bytes | None], events: Iterable[SeasonEvent] = (), *, who: str = ""
) -> tuple[str, ...]:
    """Open, write, close: as `SeasonFile.write`.

    Raises
    ------
    SkimwrightError
        As `SeasonFile` and its `write`.
    """
    with SeasonFile(path) as season:
        return season.write(files, events=tuple(events), who=who)

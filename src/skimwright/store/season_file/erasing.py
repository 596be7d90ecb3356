"""Taking something out of a season file so that its bytes are gone, events too.

Events stay as they are, with one exception: a child's name must go when it is asked to.  Then the event is
written anew without it, the diary says that this was done, and the file is packed so that nothing is left in the
gaps.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

import sqlalchemy as sa

from skimwright.base import StoreError, Where
from skimwright.desk import SeasonEvent, check_event
from skimwright.store.season_file.faults import plain_faults
from skimwright.store.season_file.reading import WAIT
from skimwright.store.season_file.writing import CHANGE, EVENT, Clock, SeasonFile, now

GUARD = "event_update"


def erase(
    path: Path,
    files: Mapping[str, bytes | None],
    events: Mapping[str, SeasonEvent],
    *,
    clock: Clock = now,
    who: str = "",
) -> tuple[str, ...]:
    """Write files and events anew, and leave nothing of what stood there.

    Parameters
    ----------
    path : Path
        The season file; nobody else may be writing in it.
    files : mapping
        By name, as they should be; None takes one out.
    events : mapping
        By the key of the event that stands there.
    clock, who
        For the diary.

    Returns
    -------
    tuple of str
        The files that changed.

    Raises
    ------
    SkimwrightError
        As `SeasonFile`; then nothing was changed.  StoreError also if the file was changed but could not be packed.
    """
    checked = {key: check_event(event) for key, event in events.items()}
    with SeasonFile(path, clock=clock) as season, season._writing() as connection:
        changed = [name for name, raw in files.items() if season._put(connection, name, raw, who)]
        if checked:
            _write_events_anew(connection, checked, at=clock(), who=who)
    _pack(path)
    return tuple(changed)


def _write_events_anew(
    connection: sa.Connection, events: Mapping[str, SeasonEvent], *, at: str, who: str
) -> None:
    """The guard of the list is lifted inside this one transaction."""
    guard = connection.execute(
        sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = :name"), {"name": GUARD}
    ).scalar_one()
    connection.exec_driver_sql(f"DROP TRIGGER {GUARD}")
    for key, event in events.items():
        cells = {name: getattr(event, name) for name in ("key", "kind", "at", "who", "phone")}
        cells |= {"payload": event.payload_text, "sha256": event.check}
        connection.execute(sa.update(EVENT).where(EVENT.c.key == key).values(cells))
    connection.exec_driver_sql(guard)
    line = {
        "at": at,
        "who": who,
        "what": "erased",
        "name": f"{len(events)} events",
        "before": "",
        "after": "",
    }
    connection.execute(sa.insert(CHANGE).values(line))


def _pack(path: Path) -> None:
    """Make the file anew without its gaps, and empty the helper file beside it.

    Raises
    ------
    StoreError
        Another program has the season open.
    """
    with plain_faults(path), closing(sqlite3.connect(path, timeout=WAIT, isolation_level=None)) as connection:
        connection.execute("PRAGMA secure_delete = ON")
        connection.execute("VACUUM")
        busy, *_ = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    if busy:
        raise StoreError(
            what="another program has this season open, so old pages of it are still there",
            got="the name is out of every list",
            do="Close the other program and give the same command again.", where=Where(file=str(path)),
        )  # fmt: skip

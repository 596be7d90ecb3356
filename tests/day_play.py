"""A race day played in memory with the functions the command line and a browser use: rows are added, never changed."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from skimwright import app, desk

DEMO = Path(app.__file__).parent / "demo_season"
ZONE = datetime.timezone(datetime.timedelta(hours=1))
DATE = datetime.date(2027, 5, 22)
OPENED = ["2027-05-22T08:05:00+01:00", "safety officer", "open", ""]


def moment(clock: str) -> datetime.datetime:
    """``10:15`` or ``10:15:30`` of the demonstration's day."""
    return datetime.datetime.combine(DATE, datetime.time.fromisoformat(clock), ZONE)


def later(at: datetime.datetime, *, minutes: float) -> datetime.datetime:
    return at + datetime.timedelta(minutes=minutes)


def tables(name: str) -> dict[str, Any]:
    return tomllib.loads((DEMO / name).read_text("utf8"))


class Play:
    """A season's race day and its log."""

    def __init__(self, *, is_open: bool = True, is_ticked: bool = True, **changes: Any) -> None:
        self.season, self.day_table, self.pond = (
            tables("season.toml"),
            tables("day.toml"),
            tables("pond.toml"),
        )
        self.entries = changes.pop("entries", None) or app.Disk().rows(DEMO / "entries.csv")
        self.day_table |= changes
        self.rows: list[dict[str, str]] = []
        self.holds: list[list[str]] = [list(desk.HOLD_COLUMNS), *([OPENED] if is_open else [])]
        self.at = moment("10:10")
        if is_ticked:
            self.do(desk.fit_rows, sorted(desk.read_entries(self.entries).names()), who="pit steward")

    def tables(self) -> desk.DayTables:
        columns = tuple(desk.RESULT_COLUMNS)
        rows = tuple(
            desk.Row(number=n, cells={c: row.get(c, "") for c in columns})
            for n, row in enumerate(self.rows, 2)
        )
        log = desk.Rows(file="results.csv", columns=columns, rows=rows)
        return desk.DayTables(
            season=self.season, day=self.day_table, entries=self.entries, results=log, holds=self.holds,
            pond=self.pond,
        )  # fmt: skip

    def read(self, at: datetime.datetime | None = None) -> desk.RaceDay:
        return desk.read_day(self.tables(), now=at or self.at)

    def do(self, act: Callable[..., desk.LogRows], *words: Any, **more: Any) -> desk.RaceDay:
        """One act at the clock of the play; who, phone and key are its stamp."""
        stamp = desk.Stamp(at=self.at, **{n: more.pop(n) for n in ("who", "phone", "key") if n in more})
        self.rows += act(self.read(), *words, stamp, **more)
        return self.read()

    def hold(self, clock: str, who: str, what: str, why: str = "") -> None:
        self.holds.append([moment(clock).isoformat(), who, what, why])

    def race(self, number: int, order: Sequence[int] | None = None, *, phones: Sequence[str] = ("finish A", "finish B"),
    ) -> desk.RaceDay:  # fmt: skip
        """Call, start and report a heat; in the order of its lanes unless given."""
        self.do(desk.call_rows, number)
        self.do(desk.start_rows, number)
        boats = order if order is not None else self.read().heat(number).boats
        places = {boat: str(place) for place, boat in enumerate(boats, 1)}
        for phone in phones:
            self.do(desk.finish_rows, number, places, phone=phone)
        self.at = later(self.at, minutes=9)
        return self.read()

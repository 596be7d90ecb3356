"""What a season file holds, as plain data: files by name, and events in the order they were stored."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from skimwright.base import InputError, Where

EVENTS = "events.csv"  # the events of a season among its plain files
COLUMNS = ("key", "kind", "at", "who", "phone", "payload")
KINDS_OF_FILE = (".toml", ".csv", ".json", ".geojson", ".txt", ".md")  # what a season takes in


@dataclass(frozen=True, kw_only=True)
class SeasonEvent:
    """Something that happened and is never taken back: a run, a result, a correction."""

    key: str  # made once by whoever saw it; sent again it is the same event
    kind: str  # "run", "result" ...
    at: str  # when, as the phone said
    who: str = ""  # a job, such as "finish A"
    phone: str = ""
    payload: Mapping[str, Any] = field(default_factory=dict)  # what JSON can hold

    @property
    def payload_text(self) -> str:
        """The payload, always written the same way."""
        return json.dumps(self.payload, ensure_ascii=False, allow_nan=False, sort_keys=True)

    @property
    def check(self) -> str:
        """A digest by which damage to a stored event shows."""
        return digest("\n".join(as_cells(self)).encode("utf8"))


@dataclass(frozen=True, kw_only=True)
class SeasonContents:
    """Everything in a season file, and what damage has taken from it."""

    files: Mapping[str, bytes]  # by name: "season.toml", "kits/fold-62.toml"
    events: tuple[SeasonEvent, ...] = ()
    lost: tuple[str, ...] = ()  # what could not be read
    is_damaged: bool = False
    news: tuple[str, ...] = ()  # what this edition will do differently with an older file


@dataclass(frozen=True, kw_only=True)
class KeptSeason:
    """A copy of a season file that was opened again somewhere else and found whole."""

    path: str
    size: int  # [bytes]
    contents: SeasonContents  # as the copy gives them back


@dataclass(frozen=True, kw_only=True)
class SeasonChange:
    """One line of a season's own diary."""

    number: int
    at: str
    who: str
    what: str  # "wrote", "removed" or "upgraded"
    name: str


def digest(raw: bytes) -> str:
    """Sixty-four letters that differ when anything differs."""
    return hashlib.sha256(raw).hexdigest()


def check_event(event: SeasonEvent) -> SeasonEvent:
    """The same event, if it can be stored.

    Raises
    ------
    InputError
        It has no key, kind or time, a cell is not one line of text, or its payload is not plain data.
    """
    for name in COLUMNS[:5]:
        cell = getattr(event, name)
        if (not cell and name in ("key", "kind", "at")) or len(cell) > 400 or not _is_one_line(cell):
            raise InputError(
                what="not one line of text", got=repr(cell[:40]), allowed="1 to 400 letters on one line",
                do="Send the event again with it put right.", where=Where(file="event", field=name),
            )  # fmt: skip
    try:
        event.payload_text.encode("utf8")
    except (TypeError, ValueError) as error:
        raise InputError(
            what="not plain data", allowed="words, finite numbers, yes and no, lists and tables of these",
            do="Send the event again with it put right.", where=Where(file="event", field="payload"),
        ) from error  # fmt: skip
    return event


def _is_one_line(cell: str) -> bool:
    return re.search(r"[\x00-\x1f\x7f\x85\u2028\u2029\ud800-\udfff]", cell) is None


def as_cells(event: SeasonEvent) -> list[str]:
    """An event as a row of ``events.csv``."""
    return [event.key, event.kind, event.at, event.who, event.phone, event.payload_text]


def events_text(events: Sequence[SeasonEvent]) -> str:
    """``events.csv``."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([COLUMNS, *map(as_cells, events)])
    return out.getvalue()


def read_events(text: str, *, file: str = EVENTS) -> tuple[SeasonEvent, ...]:
    """The events that `events_text` wrote.

    Raises
    ------
    InputError
        A row is not an event; it is named.
    """
    events: list[SeasonEvent] = []
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        for number, cells in enumerate(reader, 1):
            if number == 1 and tuple(cells) != COLUMNS:
                raise _bad_row(file, 1, "the heading row is not that of a list of events")
            if number > 1 and cells:
                events.append(_event(cells, file, number))
    except csv.Error as error:
        raise _bad_row(file, reader.line_num, "the row breaks off") from error
    return tuple(events)


def _event(cells: list[str], file: str, number: int) -> SeasonEvent:
    try:
        *texts, payload_text = cells
        payload = json.loads(payload_text)
        event = SeasonEvent(**dict(zip(COLUMNS, texts, strict=False)), payload=payload)
    except (TypeError, ValueError) as error:
        raise _bad_row(file, number, "not an event") from error
    if len(cells) != len(COLUMNS) or not isinstance(payload, dict):
        raise _bad_row(file, number, "not an event")
    try:
        return check_event(event)
    except InputError as error:
        raise _bad_row(file, number, f"{error.where.field}: {error.what}") from error


def _bad_row(file: str, number: int, what: str) -> InputError:
    return InputError(
        what=what, allowed=f"{','.join(COLUMNS)}, the payload as JSON",
        do="Copy the list again from where it was exported.", where=Where(file=file, row=number),
    )  # fmt: skip


def as_plain_files(contents: SeasonContents) -> dict[str, bytes]:
    """Every plain file of a season, its events among them if there are any."""
    files = dict(sorted(contents.files.items()))
    if contents.events:
        files[EVENTS] = events_text(contents.events).encode("utf8")
    return files


def from_plain_files(files: Mapping[str, bytes]) -> SeasonContents:
    """What `as_plain_files` was made of.

    Raises
    ------
    InputError
        ``events.csv`` cannot be read.
    """
    rest = dict(files)
    raw = rest.pop(EVENTS, b"")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = raw.count(b"\n", 0, error.start) + 1
        raise _bad_row(EVENTS, row, "not UTF-8 text") from error
    return SeasonContents(files=rest, events=read_events(text) if text else ())


def is_file_name(name: str) -> bool:
    """Whether a season may hold a file of this name: inside its folder, on every system."""
    parts = name.split("/")
    plain = all(re.fullmatch(r"[^\x00-\x1f\x7f\\/:*?\"<>|\ud800-\udfff]+", p) and p[0] != "." for p in parts)
    return plain and len(parts) <= 4 and len(name) <= 200 and name.lower().endswith(KINDS_OF_FILE)


def blank_season(name: str, *, day: str) -> dict[str, str]:
    """``season.toml`` and ``boats.csv`` to begin with: one of each, to be written over.

    Parameters
    ----------
    name : str
        What the season is called.
    day : str
        Its first day, such as 2026-10-01.
    """
    return {
        "season.toml": _BLANK.format(name=json.dumps(name, ensure_ascii=False), day=day),
        "boats.csv": "boat,name,group,crew,kit,device,mass_g,balance_x_mm,balance_y_mm,note\n"
        "01,First Boat,Everyone,Crew 1,Fold 62,Whirr 5,,,,write over this row\n",
    }


_BLANK = """# What each line means is in the guide to a season's files.  Write over what is not yours.

[season]
name = {name}
first_day = {day}
regatta = {day}
last_day = {day}
keep_forecasts = true  # each one made goes into forecasts.csv, to be scored later

[site]
name = "Our water"

[start]              # metres east and north of peg P1; heading clockwise from north
heading_deg = 0

[conditions]         # wind is named for where it comes from
wind_mean_m_s = 2
wind_from_deg = 0

[groups.Everyone]
age_from = 7
age_to = 18
"""

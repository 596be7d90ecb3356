"""``day.toml`` and the lots of every group: the whole day in one count of heats."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from skimwright.base import Finding, InputError, MissingError, SkimwrightError, Where
from skimwright.desk.race.lots import Entries
from skimwright.desk.seasons.fields import Fields, nearest
from skimwright.pond import Place, sunset_at
from skimwright.regatta import (
    DayPlan,
    Draw,
    Session,
    Timetable,
    check_plan,
    draw_lots,
    timetable,
)

FILE = "day.toml"
KINDS = ("heats", "qualifying", "pause")


@dataclass(frozen=True, kw_only=True)
class DayLots:
    """The lots of the day as published: every group's draw, and all heats in one count."""

    draws: Mapping[str, Draw]  # by group
    timetable: Timetable
    findings: tuple[Finding, ...] = ()


def read_day_plan(
    table: Mapping[str, Any], *, date: datetime.date, place: Place | None = None, file: str = FILE
) -> DayPlan:
    """The plan of the regatta day.

    Parameters
    ----------
    table : mapping
        ``day.toml`` as parsed.
    date : date
        The day of the regatta.
    place : Place, optional
        Of the pond; then sunset is a limit too.
    file : str
        For messages.

    Raises
    ------
    InputError, ConflictError
        A line is missing, unknown or makes no sense; a start after sunset, an end before its start.
    """
    top = Fields(table, file=file)
    day, limits = top.table("day"), top.table("no_heat_after")
    items = top.items("sessions")
    top.close()
    if not items:
        raise InputError(
            what="no sessions", allowed="at least one [[sessions]] with its groups", do="Write one.",
            where=Where(file=file, field="[[sessions]]"),
        )  # fmt: skip
    plan = DayPlan(
        opens=_time(day, "opens"),
        clear=_time(day, "clear"),
        lanes=day.whole("lanes", low=2, high=16, default=6),
        ask_after=day.quantity("ask_marshal_after_s", "time", "s", low=10, high=1800, default=60),
        sessions=tuple(_session(item) for item in items),
        limits={name.replace("_", " "): _time(limits, name) for name in limits.names()},
    )
    for fields in (day, limits, *items):
        fields.close()
    sunset = None if place is None else sunset_at(date, place)
    try:
        return check_plan(plan, sunset=sunset)
    except SkimwrightError as error:
        raise error.at(Where(file=file)) from error


def _session(item: Fields) -> Session:
    kind = item.text("kind", default="heats")
    if kind not in KINDS:
        raise InputError(
            what="no such kind of session", got=f'"{kind}"', allowed=", ".join(KINDS), do=nearest(kind, KINDS),
            where=item.where("kind"),
        )  # fmt: skip
    name, start = item.text("name"), _time(item, "start")
    if kind == "heats":
        groups = item.texts("groups", default=())
        if not groups:
            raise InputError(
                what="no groups race in this session", allowed='a list such as ["Cress", "Rush"]',
                do="Name them in the order in which they take turns.", where=item.where("groups"),
            )  # fmt: skip
        return Session(
            name=name, kind="heats", start=start, groups=groups,
            rounds=item.whole("rounds", low=1, high=40),
            seed=item.whole("seed", low=0, high=999_999_999),
            pace=item.quantity("minutes_a_heat", "time", "min", low=1, high=60, default=9),
        )  # fmt: skip
    end = _time(item, "end")
    if kind == "pause":
        return Session(name=name, kind="pause", start=start, end=end)
    return Session(
        name=name, kind="qualifying", start=start, end=end,
        ramps=item.whole("ramps", low=1, high=20, default=1),
        pace=item.quantity("minutes_a_try", "time", "min", low=0.5, high=60, default=4),
    )  # fmt: skip


def _time(fields: Fields, key: str) -> float:
    """A time of day. [s]"""
    text = fields.text(key)
    match = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", text.strip())
    if match is None:
        raise InputError(
            what="not a time of day", got=f'"{text}"', allowed='hours and minutes in quotes, such as "10:15"',
            do="Write it so.", where=fields.where(key),
        )  # fmt: skip
    return int(match[1]) * 3600.0 + int(match[2]) * 60.0


def draw_day(plan: DayPlan, entries: Entries, *, without: frozenset[int] = frozenset()) -> DayLots:
    """The lots of every group of the plan, and the timetable that comes of them.

    Parameters
    ----------
    plan : DayPlan
        From `read_day_plan`.
    entries : Entries
        From `read_entries`; who is marked withdrawn there is not drawn.
    without : set of int
        Boats that came late and were not in the published lots.

    Raises
    ------
    MissingError, InputError
        A group of the plan has no entries; too few boats.
    """
    draws: dict[str, Draw] = {}
    known = {name.casefold(): name for name in entries.groups}
    for session in plan.sessions:
        for group in session.groups:
            if group.casefold() not in known:
                raise MissingError(
                    what="nobody is entered in this group", got=f'"{group}"', allowed=", ".join(entries.groups),
                    do=nearest(group, entries.groups), where=Where(file=FILE, field=session.name),
                )  # fmt: skip
            racing = tuple(
                sorted(r.boat for r in entries.of_group(group) if not r.withdrawn and r.boat not in without)
            )
            try:
                draws[group] = _drawn(racing, session.rounds, plan.lanes, session.seed)
            except SkimwrightError as error:
                raise error.at(Where(file=entries.file, field=group)) from error
    made = timetable(plan, draws)
    return DayLots(draws=draws, timetable=made, findings=(*made.findings, *_not_racing(plan, entries)))


@lru_cache(maxsize=64)
def _drawn(boats: tuple[int, ...], rounds: int, lanes: int, seed: int) -> Draw:
    """Lots depend on nothing else, and a day asks for them often."""
    return draw_lots(boats, rounds=rounds, lanes=lanes, seed=seed)


def _not_racing(plan: DayPlan, entries: Entries) -> list[Finding]:
    racing = {group.casefold() for session in plan.sessions for group in session.groups}
    idle = [group for group in entries.groups if group.casefold() not in racing]
    return [
        Finding(
            code="group-without-session",
            severity="warning",
            what=f"{group} is entered but races in no session.",
            do="Name it in a session of day.toml, or take it out of entries.csv.",
            where=FILE,
        )
        for group in idle
    ]

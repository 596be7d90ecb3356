"""The points of a day: which table, which heats, which groups."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright.base import Finding, InputError, MissingError, SkimwrightError, Where
from skimwright.desk.race.lots import Entries
from skimwright.desk.seasons.fields import Fields, nearest
from skimwright.regatta import CODES, TIE_BREAKS, Day, Event, PointsTable, Standings, replay, standings

WORDS = {
    "not_started": "DNS",
    "not_finished": "DNF",
    "disqualified": "DSQ",
    "retired": "RET",
    "not_come": "DNC",
}


@dataclass(frozen=True, kw_only=True)
class GroupPoints:
    """The points table of one group; its name is blank where the log names none."""

    group: str
    standings: Standings
    corrected: tuple[int, ...] = ()  # heats of which a result was corrected after it counted


@dataclass(frozen=True, kw_only=True)
class DayPoints:
    """Every group's points, and what the log asks."""

    table: PointsTable
    groups: tuple[GroupPoints, ...]
    day: Day
    findings: tuple[Finding, ...]


def read_points_table(table: Mapping[str, Any], *, file: str) -> PointsTable:
    """A points table of the site's own, from a TOML file.

    Raises
    ------
    InputError
        A line is unknown, missing or makes no sense.

    Examples
    --------
    >>> read_points_table({"name": "ours", "points": [5, 3, 1], "codes": {"not_finished": 1}}, file="").of_place(2)
    3.0
    """
    fields = Fields(table, file=file)
    points = _numbers(table.get("points", []), fields.where("points"))
    wins = _word(fields, "wins", "most" if points else "least", ("most", "least"))
    base = _word(fields, "base", "fixed" if points else "entries", ("fixed", "entries", "starters"))
    rules = fields.texts("tie_breaks", default=("best-scores", "last-race"))
    for rule in rules:
        if rule not in TIE_BREAKS:
            raise InputError(
                what="no such rule for ties",
                got=f'"{rule}"',
                allowed=", ".join(TIE_BREAKS),
                do=nearest(rule, TIE_BREAKS),
                where=fields.where("tie_breaks"),
            )
    name = fields.text("name", default=file)
    discards = fields.whole("discards", low=0, high=20, default=0)
    codes = fields.table("codes")
    worth = {}
    for word in codes.names():
        code = WORDS.get(word.casefold().replace(" ", "_"), word.upper())
        if code not in CODES:
            raise InputError(
                what="no such code",
                got=f'"{word}"',
                allowed=", ".join((*WORDS, *CODES)),
                do=nearest(word, (*WORDS, *CODES)),
                where=fields.where("codes"),
            )
        (worth[code],) = _numbers([table["codes"][word]], codes.where(word))
    left = {key: value for key, value in table.items() if key not in ("points", "codes")}
    _close(left, fields)
    try:
        return PointsTable(
            name=name,
            points=points,
            most_wins=wins == "most",
            base=base,  # type: ignore[arg-type]
            code_points=worth,
            discards=discards,
            tie_breaks=tuple(rules),  # type: ignore[arg-type]
            source=f"the site's own, {file}",
        )
    except SkimwrightError as error:
        raise error.at(Where(file=file, field="points")) from error


KNOWN = ("name", "points", "wins", "base", "discards", "tie_breaks", "codes")


def _close(left: Mapping[str, Any], fields: Fields) -> None:
    for key in left:
        if key not in KNOWN:
            raise InputError(
                what="unknown name",
                allowed=", ".join(KNOWN),
                do=nearest(key, KNOWN),
                where=fields.where(key),
            )


def _word(fields: Fields, key: str, usual: str, allowed: tuple[str, ...]) -> str:
    word = fields.text(key, default=usual)
    if word not in allowed:
        raise InputError(
            what="not one of the words",
            got=f'"{word}"',
            allowed=", ".join(allowed),
            do=nearest(word, allowed),
            where=fields.where(key),
        )
    return word


def _numbers(values: Any, where: Where) -> tuple[float, ...]:
    for value in values if isinstance(values, list) else [values]:
        if not isinstance(value, (int, float)) or isinstance(value, bool) or not 0 <= value <= 100_000:
            raise InputError(
                what="not a number of points",
                got=str(value),
                allowed="numbers from 0 to 100000, such as [10, 9, 8]",
                do="Write them without quotes.",
                where=where,
            )
    if not isinstance(values, list) or len(values) > 500:
        raise InputError(
            what="not a list of points",
            allowed="[10, 9, 8]",
            do="Put square brackets around them.",
            where=where,
        )
    return tuple(map(float, values))


def day_points(
    events: Sequence[Event],
    table: PointsTable,
    *,
    group: str | None = None,
    entries: Entries | None = None,
    discards: int | None = None,
) -> DayPoints:
    """Points for each group of the log.

    Parameters
    ----------
    events : sequence of Event
        The log, in its order.
    table : PointsTable
        What places are worth.
    group : str, optional
        Only this one.
    entries : Entries, optional
        Scored for every round even if they never raced.
    discards : int, optional
        In place of the table's own.

    Raises
    ------
    MissingError
        No heat of this group is in the log.
    """
    day = replay(events)
    named = tuple(dict.fromkeys(heat.group for heat in day.heats.values()))
    chosen = named
    if group is not None:
        chosen = tuple(name for name in named if name.casefold() == group.casefold())
        if not chosen:
            raise MissingError(
                what="no heat of this group is in the log",
                got=f'"{group}"',
                allowed=", ".join(name for name in named if name) or "a column headed group",
                do=nearest(group, [name for name in named if name]) or "Leave --group out.",
                where=Where(field="--group"),
            )
    made = []
    for name in chosen:
        entered: Sequence[int] = ()
        if entries is not None and (not name or name in entries.groups):
            entered = [row.boat for row in entries.of_group(name or None)]
        only = name if len(named) > 1 or name else None
        made.append(
            GroupPoints(
                group=name,
                standings=standings(day, table, group=only, entries=entered, discards=discards),
                corrected=tuple(
                    h.number for h in day.heats.values() if h.corrected and only in (None, h.group)
                ),
            )
        )
    theirs = [
        Finding(code=f.code, severity=f.severity, what=f.what, why=f.why, do=f.do, where=f.where or one.group)
        for one in made
        for f in one.standings.findings
    ]
    return DayPoints(table=table, groups=tuple(made), day=day, findings=(*day.findings, *theirs))

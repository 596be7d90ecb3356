"""``helpers.csv`` and ``people.toml``: the fourteen jobs of the day, and how many pupils one adult may have."""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright.base import ConflictError, Finding, InputError, Where
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.people.crews import Crews, read_crews
from skimwright.desk.race.day_plan import read_day_plan
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.regatta import Job, clock

HELPER_COLUMNS = ("job", "person", "group", "from", "until")
# Without these the day cannot open: fourteen people.
MINIMUM = {
    "director": 1, "safety officer": 1, "marshal": 1, "start": 1, "boat crew": 2, "finish": 2, "inspector": 2,
    "scorer": 1, "pit steward": 1, "gate steward": 1, "first aider": 1,
}  # fmt: skip
WITH_GROUP = "group adult"  # stays with the pupils of one group, and has no other job
JOBS = (*MINIMUM, WITH_GROUP)
NOT_SET = "not set: ask your school"
DAY = (8 * 3600.0, 16 * 3600.0)  # if there is no plan [s]


@dataclass(frozen=True, kw_only=True)
class Helper:
    """One person at one job."""

    job: str
    person: str  # a label such as "teacher A", never a name
    group: str = ""  # of a group adult
    begins: float  # since midnight [s]
    ends: float  # [s]
    row: int = 0


@dataclass(frozen=True, kw_only=True)
class JobLine:
    """One job: who does it, and when too few do."""

    job: str
    needed: int
    helpers: tuple[Helper, ...]
    gaps: tuple[tuple[float, float, int], ...]  # from, until, how many are missing [s]


@dataclass(frozen=True, kw_only=True)
class GroupLine:
    """One group: pupils, adults, and what its school set."""

    group: str
    pupils: int
    adults: int
    ratio: int | None  # pupils to one adult; None: not set

    @property
    def needed(self) -> int | None:
        """Adults that the ratio asks for; None if it is not set."""
        return None if self.ratio is None else -(-self.pupils // self.ratio)

    @property
    def says(self) -> str:
        """``1:5``, or that it is not set."""
        return NOT_SET if self.ratio is None else f"1:{self.ratio}"


@dataclass(frozen=True, kw_only=True)
class Roster:
    """Who does what on the day."""

    helpers: tuple[Helper, ...]
    day: tuple[float, float]  # from opening to clear water [s]
    jobs: tuple[JobLine, ...]
    groups: tuple[GroupLine, ...]
    findings: tuple[Finding, ...]

    @property
    def may_open(self) -> bool:
        """No job lacks anybody, nobody is in two places, no group lacks an adult."""
        return all(finding.severity != "stop" for finding in self.findings)


def read_helpers(
    rows: Rows | None, *, groups: Sequence[str], day: tuple[float, float] = DAY
) -> tuple[Helper, ...]:
    """Every row of ``helpers.csv``; none if there is no such file.

    Parameters
    ----------
    rows : Rows, optional
    groups : sequence of str
        Of the season.
    day : tuple of float
        A blank time is that of opening or of clear water. [s]

    Raises
    ------
    InputError
        A column, job, group or time that is none; a job without a person.
    """
    if rows is None:
        return ()
    for name in ("job", "person"):
        if name not in rows.columns:
            raise InputError(
                what="this column is missing", allowed=", ".join(HELPER_COLUMNS), do=f"Add a column headed {name}.",
                where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip
    for name in rows.columns:
        if name not in HELPER_COLUMNS:
            raise InputError(
                what="unknown column", allowed=", ".join(HELPER_COLUMNS), do=nearest(name, HELPER_COLUMNS),
                where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip
    return tuple(_helper(row, rows.file, groups, day) for row in rows.rows)


def _helper(row: Row, file: str, groups: Sequence[str], day: tuple[float, float]) -> Helper:
    cells = {name: " ".join(row.cells.get(name, "").split()) for name in HELPER_COLUMNS}

    def where(field: str) -> Where:
        return Where(file=file, row=row.number, field=field)

    job = next((known for known in JOBS if known == cells["job"].casefold()), None)
    if job is None:
        raise InputError(
            what="no such job", got=f'"{cells["job"]}"', allowed=", ".join(JOBS), do=nearest(cells["job"], JOBS),
            where=where("job"),
        )  # fmt: skip
    if not cells["person"]:
        raise InputError(
            what="nobody is named", allowed='a label such as "teacher A"', do="Write one, or delete the row.",
            where=where("person"),
        )  # fmt: skip
    group = next((name for name in groups if name.casefold() == cells["group"].casefold()), None)
    if (job == WITH_GROUP or cells["group"]) and group is None:
        raise InputError(
            what="no such group", got=f'"{cells["group"]}"', allowed=", ".join(groups),
            do=nearest(cells["group"], groups), where=where("group"),
        )  # fmt: skip
    begins = _time(cells["from"], day[0], where("from"))
    ends = _time(cells["until"], day[1], where("until"))
    if ends <= begins:
        raise InputError(
            what="it ends before it begins", got=f"{clock(begins)} to {clock(ends)}", do="Correct one of the two.",
            where=where("until"),
        )  # fmt: skip
    return Helper(
        job=job, person=cells["person"], group=group or "", begins=begins, ends=ends, row=row.number
    )


def _time(text: str, usual: float, where: Where) -> float:
    if not text:
        return usual
    match = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])", text)
    if match is None:
        raise InputError(
            what="not a time of day", got=f'"{text}"', allowed="hours and minutes such as 13:15",
            do="Write it so, or leave it blank for the whole day.", where=where,
        )  # fmt: skip
    return int(match[1]) * 3600.0 + int(match[2]) * 60.0


def read_ratios(
    table: Mapping[str, Any] | None, *, groups: Sequence[str], file: str = "people.toml"
) -> dict[str, int]:
    """Pupils to one adult by group, as the school set them; a group that is left blank is not in it.

    Raises
    ------
    InputError
        Not such a group, or not a number of pupils.
    """
    if table is None:
        return {}
    for key in table:
        if key != "pupils_to_one_adult":
            raise InputError(
                what="unknown table", allowed="[pupils_to_one_adult]", do="Take it out.",
                where=Where(file=file, field=key),
            )  # fmt: skip
    given = table.get("pupils_to_one_adult", {})
    found = {}
    for name, value in given.items() if isinstance(given, Mapping) else [("", given)]:
        where = Where(file=file, field=f"[pupils_to_one_adult] {name}".strip())
        if name not in groups:
            raise InputError(
                what="no such group",
                got=f'"{name}"',
                allowed=", ".join(groups),
                do=nearest(name, groups),
                where=where,
            )
        if value == "":
            continue
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 40:
            raise InputError(
                what="not a number of pupils", got=str(value), allowed='1 to 40, or "" if the school has not said',
                do="Ask the school; do not guess.", where=where,
            )  # fmt: skip
        found[name] = value
    return found


def make_roster(
    helpers: Sequence[Helper],
    crews: Crews,
    boats: Sequence[Entry],
    *,
    groups: Sequence[str],
    ratios: Mapping[str, int],
    day: tuple[float, float] = DAY,
) -> Roster:
    """Who does what, where nobody does, who would have to be in two places.

    Parameters
    ----------
    helpers, crews, boats
        As read.
    groups : sequence of str
    ratios : mapping
        From `read_ratios`.
    day : tuple of float
        From opening to clear water. [s]
    """
    jobs = []
    for job, needed in MINIMUM.items():
        own = tuple(helper for helper in helpers if helper.job == job)
        jobs.append(JobLine(job=job, needed=needed, helpers=own, gaps=tuple(_gaps(own, needed, day))))
    crew_group = {entry.crew.casefold(): entry.group for entry in boats}
    lines = []
    for group in groups:
        pupils = sum(crew_group.get(child.crew.casefold()) == group for child in crews.children)
        own = tuple(helper for helper in helpers if helper.job == WITH_GROUP and helper.group == group)
        lines.append(GroupLine(group=group, pupils=pupils, adults=_least(own, day), ratio=ratios.get(group)))
    findings = (
        *_job_findings(jobs),
        *_clashes(helpers),
        *(f for line in lines for f in _group_findings(line)),
    )
    return Roster(helpers=tuple(helpers), day=day, jobs=tuple(jobs), groups=tuple(lines), findings=findings)


def roster_of(
    season: Season, *, rows: Callable[[str], Rows | None], table: Callable[[str], Mapping[str, Any] | None]
) -> Roster:
    """The roster from a season's lists.

    Parameters
    ----------
    season : Season
    rows, table : called with a file's name
        The list or the TOML file; None if the season has none.

    Raises
    ------
    InputError
        A list cannot be read.
    """
    groups, plan, day = tuple(season.groups), table("day.toml"), DAY
    if plan is not None:
        made = read_day_plan(plan, date=season.regatta)
        day = (made.opens, made.clear)
    helpers = read_helpers(rows("helpers.csv"), groups=groups, day=day)
    ratios = read_ratios(table("people.toml"), groups=groups)
    return make_roster(
        helpers, read_crews(rows("crews.csv")), season.boats, groups=groups, ratios=ratios, day=day
    )


def refuse_gaps(roster: Roster) -> None:
    """Nobody opens a regatta day with a gap in its roster.

    Raises
    ------
    ConflictError
        A job has nobody, somebody is in two places, or a group lacks an adult.
    """
    stops = [finding for finding in roster.findings if finding.severity == "stop"]
    if stops:
        more = f" and {len(stops) - 1} more" if len(stops) > 1 else ""
        raise ConflictError(
            what="the roster has a gap, so the regatta day cannot be opened", got=f"{stops[0].what.rstrip('.')}{more}",
            do="Put it right in helpers.csv; `skimwright crew` lists them all.",
        )  # fmt: skip


def hands_on_roster(roster: Roster) -> dict[Job, int]:
    """The fewest people at each job the rehearsal knows, at any time of the day; boat crews count two by two."""
    least = {line.job: _least(line.helpers, roster.day) for line in roster.jobs}
    return {
        "inspector": least["inspector"], "armer": least["start"], "timer": least["finish"],
        "boat crew": least["boat crew"] // 2,
    }  # fmt: skip


def _least(helpers: Sequence[Helper], day: tuple[float, float]) -> int:
    """Fewest at any time of the day."""
    edges = sorted({day[0], *(h.begins for h in helpers), *(h.ends for h in helpers)})
    return min(sum(h.begins <= at < h.ends for h in helpers) for at in edges if day[0] <= at < day[1])


def _gaps(helpers: Sequence[Helper], needed: int, day: tuple[float, float]) -> list[tuple[float, float, int]]:
    edges = sorted({*day, *(h.begins for h in helpers), *(h.ends for h in helpers)})
    edges = [edge for edge in edges if day[0] <= edge <= day[1]]
    gaps: list[tuple[float, float, int]] = []
    for begins, ends in itertools.pairwise(edges):
        there = len({h.person.casefold() for h in helpers if h.begins <= begins < h.ends})
        if there < needed:
            if gaps and gaps[-1][1] == begins and gaps[-1][2] == needed - there:
                begins = gaps.pop()[0]
            gaps.append((begins, ends, needed - there))
    return gaps


def _job_findings(jobs: Sequence[JobLine]) -> list[Finding]:
    found = []
    for line in jobs:
        for begins, ends, missing in line.gaps:
            whom = "Nobody is" if missing == line.needed else f"{missing} of {line.needed} are missing as"
            found.append(
                Finding(
                    code="job-not-filled", severity="stop",
                    what=f"{whom} {line.job} from {clock(begins)} to {clock(ends)}.",
                    why="The day does not open until the fourteen jobs are filled.",
                    do="Find somebody, or move somebody who is not needed then.", where="helpers.csv",
                )
            )  # fmt: skip
    return found


def _clashes(helpers: Sequence[Helper]) -> list[Finding]:
    by_person: dict[str, list[Helper]] = defaultdict(list)
    for helper in helpers:
        by_person[helper.person.casefold()].append(helper)
    found = []
    for own in by_person.values():
        own.sort(key=lambda h: (h.begins, h.row))
        for n, one in enumerate(own):
            for other in own[n + 1 :]:
                begins, ends = max(one.begins, other.begins), min(one.ends, other.ends)
                if begins < ends:
                    found.append(
                        Finding(
                            code="person-in-two-places", severity="stop",
                            what=f"{one.person} is {one.job} and {other.job} from {clock(begins)} to {clock(ends)}.",
                            do="Give one of the two to somebody else.",
                            where=f"helpers.csv, rows {one.row} and {other.row}",
                        )
                    )  # fmt: skip
    return found


def _group_findings(line: GroupLine) -> list[Finding]:
    if line.pupils == 0:
        return []
    if line.needed is None:
        return [
            Finding(
                code="ratio-not-set", severity="warning",
                what=f"{line.group}: how many pupils one adult may have is {NOT_SET}.",
                why="The number is the school's; we have none to offer.",
                do="Write it into people.toml.", where="people.toml",
            )
        ]  # fmt: skip
    if line.adults >= line.needed:
        return []
    return [
        Finding(
            code="too-few-adults", severity="stop",
            what=f"{line.group}: {line.pupils} pupils and {line.adults} group adults; the school's {line.says} "
            f"asks for {line.needed}.",
            do="Find more adults who have no other job then.", where="helpers.csv",
        )
    ]  # fmt: skip

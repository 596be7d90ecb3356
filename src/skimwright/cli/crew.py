"""``skimwright crew``: who is in which crew, who does which job on the day, and what is missing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright.base import MissingError
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import Crews, Roster, Season


def list_if_there(ask: Ask, name: str) -> Any:
    """A list of the season; None if it has none of that name."""
    path = ask.files.season_folder(ask.season_chosen) / name
    return ask.files.rows(path) if ask.files.is_file(path) else None


def read_roster(ask: Ask, season: Season) -> Roster:
    """The jobs of the day, from the season's lists."""
    from skimwright import desk

    folder = ask.files.season_folder(ask.season_chosen)

    def table_if_there(name: str) -> Any:
        return ask.files.table(folder / name) if ask.files.is_file(folder / name) else None

    return desk.roster_of(season, rows=lambda name: list_if_there(ask, name), table=table_if_there)


def answer(ask: Ask) -> Answer:
    """Crews and jobs."""
    from skimwright import desk

    season = ask.season()
    crews = desk.read_crews(list_if_there(ask, "crews.csv"))
    if ask.given["crew"]:
        return _one_crew(ask, season, crews, ask.given["crew"])
    roster = read_roster(ask, season)
    findings = (*crews.findings, *desk.crews_and_boats(crews, season.boats), *roster.findings)
    stops = [finding for finding in findings if finding.severity == "stop"]
    says = (
        f"The day may open: {sum(line.needed for line in roster.jobs)} jobs are filled."
        if roster.may_open
        else f"The day cannot open: {len([f for f in roster.findings if f.severity == 'stop'])} to settle."
    )
    data = _data(season, crews, roster) | {"findings": [finding.as_dict() for finding in findings]}
    return Answer(
        data=data, text=f"{says}\n\n{_text(season, crews, roster)}", plain=says, findings=findings,
        status=1 if stops else 0,
    )  # fmt: skip


def _one_crew(ask: Ask, season: Season, crews: Crews, name: str) -> Answer:
    from skimwright import desk

    children = crews.of(name)
    boats = [entry for entry in season.boats if entry.crew.casefold() == name.casefold()]
    if not children and not boats:
        raise MissingError(
            what="no such crew", got=f'"{name}"', allowed=f"{len(crews.names)} crews in crews.csv",
            do="Look at the list with `skimwright crew`.",
        )  # fmt: skip
    names = [child.called for child in children]
    rota = desk.job_rota(names, lessons=ask.given["lessons"])
    lines = [
        f"{name}: {', '.join(names) or 'nobody listed'}; {', '.join(entry.label for entry in boats) or 'no boat'}"
    ]
    if rota:
        rows = [[str(n), *row] for n, row in enumerate(rota, 1)]
        lines += ["", table(["lesson", *desk.JOBS_AT_THE_TABLE], rows)]
        most = max(sum(row[3] == each for row in rota) for each in names)
        lines += ["", f"Nobody writes more than {most} times in {len(rota)} lessons."]
    elif names:
        lines += ["A crew of one needs no rota."]
    data = {
        "crew": name,
        "children": names,
        "boats": [entry.number for entry in boats],
        "rota": [dict(zip(desk.JOBS_AT_THE_TABLE, row, strict=True)) for row in rota],
        "findings": [finding.as_dict() for finding in crews.findings],
    }
    return Answer(data=data, text="\n".join(lines), plain=lines[0], findings=crews.findings)


def _text(season: Season, crews: Crews, roster: Roster) -> str:
    from skimwright import desk

    boat_of = {entry.crew.casefold(): entry for entry in season.boats}
    members = []
    for crew in crews.names:
        entry = boat_of.get(crew.casefold())
        called = ", ".join(child.called if child.asks is None else "?" for child in crews.of(crew))
        members.append([f"{entry.number:02d}" if entry else "", entry.name if entry else "", crew, called])
    jobs = []
    for line in roster.jobs:
        people = ", ".join(
            helper.person
            if (helper.begins, helper.ends) == (line.helpers[0].begins, line.helpers[0].ends)
            and not line.gaps
            else f"{helper.person} {desk.clock(helper.begins)} to {desk.clock(helper.ends)}"
            for helper in line.helpers
        )
        jobs.append(["STOP" if line.gaps else "ok", line.job, str(line.needed), people or "nobody"])
    groups = [
        [
            line.group,
            str(line.pupils),
            str(line.adults),
            line.says,
            "" if line.needed is None else str(line.needed),
        ]
        for line in roster.groups
    ]
    parts = [
        table(["", "job", "needed", "who"], jobs),
        table(["group", "pupils", "group adults", "school's ratio", "so needed"], groups),
    ]
    if members:
        parts.append(table(["boat", "name", "crew", "who"], members))
        parts.append("For organisers: these names stay on this computer.")
    else:
        parts.append("No crews.csv: no pupils are listed.")
    return "\n\n".join(parts)


def _data(season: Season, crews: Crews, roster: Roster) -> dict[str, Any]:
    from skimwright import desk

    return {
        "may_open": roster.may_open,
        "jobs": [
            {
                "job": line.job,
                "needed": line.needed,
                "people": [
                    {"person": h.person, "from": desk.clock(h.begins), "until": desk.clock(h.ends)}
                    for h in line.helpers
                ],
                "gaps": [
                    {"from": desk.clock(a), "until": desk.clock(b), "missing": missing}
                    for a, b, missing in line.gaps
                ],
            }
            for line in roster.jobs
        ],
        "groups": [
            {
                "group": line.group,
                "pupils": line.pupils,
                "adults": line.adults,
                "ratio": line.says,
                "adults_needed": line.needed,
            }
            for line in roster.groups
        ],
        "crews": [
            {"crew": crew, "children": [child.called for child in crews.of(crew) if child.asks is None]}
            for crew in crews.names
        ],
    }


VERB = Verb(
    name="crew",
    does="who is in which crew, who does which of the fourteen jobs, what is missing",
    tells="From crews.csv, helpers.csv and people.toml. The day does not open while a job has nobody or somebody would "
    "have to be in two places. How many pupils one adult may have is the school's number; if it is blank, that is "
    "said. With --crew: one crew, and its rota at the table.",
    options=(
        Option(flag="--crew", value="NAME", does="one crew, with who glues, holds, checks and writes"),
        Option(flag="--lessons", value="N", does="of that rota; 6 unless given", read=whole(low=1, high=40), usual=6),
    ),
    example='crew --crew "Rush crew 2"',
    answer=answer,
)  # fmt: skip

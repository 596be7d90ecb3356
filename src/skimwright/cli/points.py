"""``skimwright points RESULTS``: the points table from the day's log."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import MissingError, Where
from skimwright.cli.lots import path_meant
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, whole

if TYPE_CHECKING:
    from skimwright.desk import DayPlan, DayPoints, GroupPoints, GroupSure, RunLog, Season


def answer(ask: Ask) -> Answer:
    """Standings of each group."""
    from skimwright import desk

    given = ask.given
    log = path_meant(ask, given["results"], "results.csv")
    listed = Path(given["entries"]) if given["entries"] else None
    if not given["results"] and listed is None and ask.files.is_file(log.with_name("entries.csv")):
        listed = log.with_name("entries.csv")
    entries = desk.read_entries(ask.files.rows(listed)) if listed else None
    names = entries.names() if entries else {}
    events = desk.read_results(ask.files.rows(log), entered=names)
    points = desk.day_points(
        events, table_meant(ask), group=given["group"], entries=entries, discards=given["discards"]
    )
    data, findings = as_data(points, names), points.findings
    shown: list[str] = []
    if given["how_sure"]:
        season, runs, plan = _season_at_hand(ask)
        sure, notes = desk.day_sureness(points, season=season, log=runs, plan=plan)
        findings += notes
        data |= {"how_sure": [_sure_data(one) for one in sure], "findings": [f.as_dict() for f in findings]}
        shown = [_sure_text(one, names) for one in sure]
    first = [row for one in points.groups for row in one.standings.rows[:1]]
    plain = ", ".join(f"{_label(row.boat, names)} {_number(row.points)}" for row in first)
    tables = [_text(one, names, points.table.name) for one in points.groups]
    return Answer(
        data=data,
        text="\n\n".join([*tables, *shown]),
        plain=f"{points.table.name}, first: {plain or 'nobody yet'}",
        findings=findings,
    )


def _season_at_hand(ask: Ask) -> tuple[Season | None, RunLog | None, DayPlan | None]:
    """The boats' trials and the day's plan, if the season is at hand; the log of results may be a bare file."""
    from skimwright import desk

    if ask.given["results"] and not ask.season_chosen:
        return None, None, None
    season, path = ask.season(), ask.files.season_folder(ask.season_chosen) / "day.toml"
    plan = None
    if ask.files.is_file(path):
        plan = desk.read_day_plan(ask.files.table(path), date=season.regatta)
    return season, desk.read_runs(ask.files.runs(ask.season_chosen), season), plan


def _sure_text(one: GroupSure, names: dict[int, str]) -> str:
    head = f"How sure the {one.group + ' ' if one.group else ''}order is, for organisers only\n\n"
    if one.sure is None:
        return head + one.says
    rows = [
        [
            f"{boat.boat:02d}", names.get(boat.boat, ""), _share(boat.fastest), _share(boat.in_front),
            _share(boat.again), str(one.known[boat.boat].runs),
        ]
        for boat in one.sure.boats
    ]  # fmt: skip
    heading = [
        "boat",
        "name",
        "truly fastest",
        f"truly in first {one.sure.front}",
        "would win again",
        "trials",
    ]
    return (
        f"{head}{table(heading, rows)}\n\n{one.says} Exact to {100 * one.sure.error:.0f} in 100, if the day was "
        "as its trials."
    )


def _share(value: float) -> str:
    return f"{100 * value:.0f} %"


def _sure_data(one: GroupSure) -> dict[str, Any]:
    return {
        "group": one.group,
        "rounds": one.rounds,
        "too_early": one.rounds < 2,
        "says": one.says,
        "front": one.sure.front if one.sure else None,
        "days": one.sure.days if one.sure else 0,
        "error": round(one.sure.error, 4) if one.sure else None,
        "boats": [
            {
                "boat": boat.boat,
                "fastest": round(boat.fastest, 4),
                "in_front": round(boat.in_front, 4),
                "again": round(boat.again, 4),
                "trial_runs": one.known[boat.boat].runs,
            }
            for boat in one.in_order
        ],
    }


def table_meant(ask: Ask) -> Any:
    """One of ours by name, or a file."""
    from skimwright import desk

    word = ask.given["table"]
    if word in desk.points_tables:
        return desk.points_tables[word]
    path = Path(word)
    if not ask.files.is_file(path) and path.suffix != ".toml":
        raise MissingError(
            what="no points table of this name, and no such file",
            got=f'"{word}"',
            allowed=f"{', '.join(desk.points_tables)}, or a TOML file",
            do="Name one of these.",
            where=Where(field="--table"),
        )
    return desk.read_points_table(ask.files.table(path), file=path.name)


def _text(one: GroupPoints, names: dict[int, str], name: str) -> str:
    rows = one.standings.rows
    some_dropped = any(row.dropped for row in rows)
    lines = [
        [
            f"{row.place}{'=' * row.is_shared}",
            f"{row.boat:02d}",
            names.get(row.boat, ""),
            _number(row.points),
            " ".join(_number(score.points) for score in row.counted),
            *([" ".join(_number(score.points) for score in row.dropped)] if some_dropped else []),
            row.tie_broken_by,
        ]
        for row in rows
    ]
    heading = [
        "place",
        "boat",
        "name",
        "points",
        "counted",
        *(["left out"] if some_dropped else []),
        "how a tie was parted",
    ]
    keep = [n for n in range(len(heading)) if any(line[n] for line in lines)] or [0]
    said = table([heading[n] for n in keep], [[line[n] for n in keep] for line in lines])
    races = one.standings.rounds
    head = f"{one.group + ': ' if one.group else ''}{name} points after {races} {'race' if races == 1 else 'races'}"
    if one.standings.discards:
        head += (
            f", each boat's {one.standings.discards} worst left out"
            if one.standings.discards > 1
            else ", each boat's worst left out"
        )
    body = [head, said if rows else "No heat counts yet."]
    if one.corrected:
        heats = ", ".join(map(str, one.corrected))
        body.append(
            f"Corrected: heat{'s' * (len(one.corrected) > 1)} {heats}. Old, new and why stand in the log."
        )
    return "\n\n".join(body)


def _label(boat: int, names: dict[int, str]) -> str:
    return f"{boat:02d} {names.get(boat, '')}".strip()


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def as_data(points: DayPoints, names: dict[int, str]) -> dict[str, Any]:
    """For --json; groups follow each other, best first in each."""
    return {
        "table": [
            {
                "place": row.place,
                "boat": row.boat,
                "name": names.get(row.boat, ""),
                "group": one.group,
                "points": row.points,
                "counted": [score.points for score in row.counted],
                "dropped": [score.points for score in row.dropped],
                "tie_broken_by": row.tie_broken_by,
                "is_shared": row.is_shared,
                "races": [
                    {
                        "heat": s.heat,
                        "result": s.outcome.words(),
                        "points": s.points,
                        "is_dropped": s.is_dropped,
                    }
                    for s in row.scores
                ],
            }
            for one in points.groups
            for row in one.standings.rows
        ],
        "points_table": points.table.name,
        "source": points.table.source,
        "races": {one.group: one.standings.rounds for one in points.groups},
        "discards": {one.group: one.standings.discards for one in points.groups},
        "held_heats": [number for number, heat in points.day.heats.items() if heat.waits_for],
        "corrected_heats": {one.group: list(one.corrected) for one in points.groups},
        "holds": [hold.reason for hold in points.day.holds],
        "withdrawn": [{"boat": boat, "from_heat": heat} for boat, heat in sorted(points.day.gone.items())],
        "findings": [finding.as_dict() for finding in points.findings],
    }


VERB = Verb(
    name="points",
    does="the points table from the day's log of results",
    tells="RESULTS is a list of events in the order in which they happened; heat, boat and place are enough. A "
    "correction is a new row with a reason, never a change to an old one. A heat on which two finish phones "
    "differ does not count until the marshal has decided. How each tie was parted stands beside it in words.",
    options=(
        Option(flag="RESULTS", does="the log; the season's results.csv and entries.csv unless given"),
        Option(
            flag="--table",
            value="TABLE",
            does="powerboat (unless given), low-point, or a TOML file of your own",
            usual="powerboat",
        ),
        Option(
            flag="--discards",
            value="K",
            does="worst races of each boat to leave out; the table's own number unless given",
            read=whole(low=0, high=20),
        ),
        Option(flag="--group", value="NAME", does="one group; each in its turn unless given"),
        Option(
            flag="--how-sure",
            does="for organisers: the chance that each boat truly is among the fastest, given these places",
            usual=False,
        ),
        Option(
            flag="--entries",
            value="FILE",
            does="the list of entries: names, and boats that are scored though they never raced",
        ),
    ),
    example="points results.csv --table low-point --discards 1",
    answer=answer,
)

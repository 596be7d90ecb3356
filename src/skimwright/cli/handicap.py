"""``skimwright handicap``: start places from which each boat has the same chance to be first."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.lots import path_meant
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import HandicapRace


def numbers(given: str, where: Where) -> tuple[int, ...]:
    """Reads ``7,8,19``."""
    found = [part.strip() for part in given.split(",")]
    if not all(part.isdecimal() and part.isascii() and 0 < int(part) <= 9999 for part in found):
        raise InputError(
            what="not a list of boats", got=f'"{given}"', allowed="boat numbers with commas between: 7,8,19",
            do="Write it so.", where=where,
        )  # fmt: skip
    boats = [int(part) for part in found]
    if len(set(boats)) < len(boats):
        raise InputError(what="a boat is named twice", got=f'"{given}"', do="Name it once.", where=where)
    return tuple(boats)


def answer(ask: Ask) -> Answer:
    """Lay the race out."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    entries = None
    path = path_meant(ask, given["entries"], "entries.csv")
    if given["entries"] or ask.files.is_file(path):
        entries = desk.read_entries(ask.files.rows(path))
    if given["boats"]:
        boats = given["boats"]
    elif entries is not None:
        boats = tuple(row.boat for row in entries.of_group(given["group"]) if not row.withdrawn)
    else:
        boats = tuple(entry.number for entry in season.boats)
    late: dict[int, float] = {}
    if not given["by_distance"]:
        ask.ready_model()
        late = desk.late_speeds(
            season,
            boats,
            progress=lambda done, of: ask.progress.update(done, of, "kinds of boat in the model"),
        )
    race = desk.handicap_race(
        season,
        log,
        boats,
        full=given["distance_m"],
        most=given["most"] / 100,
        step=given["step_m"],
        last=desk.read_last_handicap(ask.files.rows(Path(given["last"]))) if given["last"] else None,
        late=late,
    )
    names = {entry.number: entry.name for entry in season.boats}
    files = []
    if given["out"]:
        rows = "".join(f"{a.boat:02d},{a.distance:.1f}\n" for a in race.handicap.allowances)
        files = [str(ask.files.write(Path(given["out"]), f"{','.join(desk.HANDICAP_COLUMNS)}\n{rows}"))]
    made = race.handicap
    plain = (
        f"{len(boats)} boats start {min(a.distance for a in made.allowances):.1f} to {made.full:.1f} m from the line, "
        f"chances within {100 * made.apart:.1f} points of each other"
    )
    return Answer(
        data=as_data(race, names, late, files),
        text=_text(race, names, late, files),
        plain=plain,
        findings=race.findings,
    )


def _text(race: HandicapRace, names: dict[int, str], late: dict[int, float], files: list[str]) -> str:
    made = race.handicap
    rows = [
        [
            f"{a.boat:02d}", names[a.boat], str(race.known[a.boat].runs), f"{a.distance:.1f}", f"{a.ahead:.1f}",
            f"{a.fair[0]:.1f} to {a.fair[1]:.1f}", _percent(a.one_line), _percent(a.by_means), _percent(a.chance),
        ]
        for a in made.allowances
    ]  # fmt: skip
    heading = [
        "boat", "name", "runs", "starts at, m", "ahead, m", "could be, m", "one line", "by means", "chance",
    ]  # fmt: skip
    lines = [
        "Each boat's start, in metres before the finish; chance to be first from there, beside those of a start from "
        "one line and of a handicap by mean speeds.",
        "",
        table(heading, rows),
        "",
        f"Equal would be {_percent(made.equal)} each; nobody finishes in {_percent(made.nobody)} of races.",
        "Worked out, not drawn by lot: failures and the spread of each boat's runs are in it; speeds are from the "
        f"better half of its runs. {_late_says(late)}",
    ]
    return "\n".join([*lines, *(f"Written: {file}; give it as --last next time." for file in files)])


def _late_says(late: dict[int, float]) -> str:
    if not late:
        return "Time is taken to grow in proportion to the distance."
    low, high = sorted((1 / max(late.values()), 1 / min(late.values())))
    times = f"{low:.2f}" if high - low < 0.005 else f"{low:.2f} to {high:.2f}"
    return f"Near the line a boat runs at {times} times its mean speed, by the model: a metre off the start saves less."


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def as_data(
    race: HandicapRace, names: dict[int, str], late: dict[int, float], files: list[str]
) -> dict[str, Any]:
    """For --json."""
    made = race.handicap
    return {
        "starts": [
            {
                "boat": a.boat,
                "name": names[a.boat],
                "runs": race.known[a.boat].runs,
                "distance_m": a.distance,
                "ahead_m": a.ahead,
                "could_be_m": [round(v, 2) for v in a.fair],
                "chance": round(a.chance, 5),
                "chance_one_line": round(a.one_line, 5),
                "chance_by_means": round(a.by_means, 5),
                "fails": round(race.known[a.boat].fails, 4),
                "late_speed_ratio": round(1 / late[a.boat], 4) if a.boat in late else 1.0,
                "is_capped": a.is_capped,
                "is_held": a.is_held,
                "is_wide": a.is_wide,
            }
            for a in made.allowances
        ],
        "full_m": made.full,
        "chance_equal": round(made.equal, 5),
        "chance_nobody": round(made.nobody, 6),
        "apart": round(made.apart, 5),
        "files": files,
        "findings": [finding.as_dict() for finding in race.findings],
    }


VERB = Verb(
    name="handicap",
    does="start places from which each boat has the same chance to be first",
    tells="A slower boat starts nearer. Not by mean speeds: how much a boat's runs differ and how often it fails "
    "are taken in. A boat is judged by the better half of its runs, and its place moves by agreed steps, so that "
    "dawdling buys nothing.",
    options=(
        Option(flag="ENTRIES", does="the list of entries; the season's entries.csv unless given"),
        Option(flag="--group", value="NAME", does="one group of it, such as Open"),
        Option(flag="--boats", value="N,...", does="these boats, in place of a list", read=numbers),
        Option(flag="--distance-m", value="D", does="farthest start; the qualifying distance unless given",
               read=quantity("length", "m", low=2, high=1000)),
        Option(flag="--most", value="PERCENT", does="no boat starts nearer by more than this; 25 unless given",
               read=whole(low=0, high=60), usual=25),
        Option(flag="--last", value="FILE", does="starts of the last race: boat, distance_m"),
        Option(flag="--step-m", value="D", does="farthest a start moves since then; 0.5 unless given",
               read=quantity("length", "m", low=0.1, high=100), usual=0.5),
        Option(flag="--by-distance", does="leave the model out: time in proportion to the distance", usual=False),
        Option(flag="--out", value="FILE.csv", does="write the starts, for the tape and for next time"),
    ),
    example="handicap --group Open --out starts.csv",
    answer=answer,
)  # fmt: skip

"""``skimwright log``: a guess, a run or a correction into the season's run log."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skimwright.base import InputError
from skimwright.cli.table import table
from skimwright.cli.verb import BOAT, Answer, Ask, Option, Verb, whole

FILE = "runs.csv"
# Options that are columns of the log, as typed.
CELLS = (
    "device", "batch", "mass_g", "distance_m", "gate_time_s", "drift_m", "ending", "wind_m_s", "wind_from_deg",
    "change", "guess", "try",
)  # fmt: skip


def answer(ask: Ask) -> Answer:
    """Add to the log, or show what is in it."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    rows = ask.files.runs(ask.season_chosen)
    log = desk.read_runs(rows, season)
    path = ask.files.season_folder(ask.season_chosen) / FILE
    if given["file"]:
        return _typed_in(ask, season, log, path)
    if given["boat"] is None:
        raise InputError(
            what="whose run is it",
            got="neither --boat nor --file",
            allowed="--boat N with what the run brought, or --file FILE.csv",
            do="For example: `skimwright log --boat 7 --guess skip --distance-m 48 --gate-time-s 5.05`.",
        )
    cells = {name: given[name] or "" for name in CELLS}
    if not any(cells.values()):
        return _shown(season.boat(given["boat"]).label, log, given["boat"])
    cells |= {"boat": str(given["boat"]), "run": "" if given["run"] is None else str(given["run"])}
    entry = _kind(cells, given["correct"])
    cells |= {"entry": entry, "reason": given["correct"] or ""}
    logged = desk.log_run(cells, log, season, now=ask.files.now(), phone=given["phone"])
    files = []
    if logged.row is not None:
        files = [str(ask.files.add_rows(path, desk.RUN_COLUMNS, [logged.row]))]
    event = logged.event
    did = {"run": "Logged", "guess": "Guess locked", "correction": "Corrected"}[entry]
    says = (
        f"{did}: boat {event.boat:02d}, run {event.run}."
        if files
        else "It was in the log already; counted once."
    )
    data = {
        "boat": event.boat,
        "run": event.run,
        "entry": entry,
        "added": len(files),
        "runs": logged.runs,
        "row": dict(logged.row) if logged.row else None,
        "files": files,
        "findings": [f.as_dict() for f in log.findings_of(event.boat)],
    }
    more = f" {logged.runs} run{'' if logged.runs == 1 else 's'} of this boat logged."
    return Answer(data=data, text=says + more, plain=says, findings=log.findings_of(event.boat))


def _kind(cells: dict[str, str], reason: str | None) -> str:
    if reason is not None:
        if not cells["run"]:
            raise InputError(what="which run is to be corrected", got="no --run", allowed="its number",
                             do="Add --run K.")  # fmt: skip
        return "correction"
    return "guess" if not any(cells[name] for name in CELLS if name != "guess") else "run"


def _typed_in(ask: Ask, season: Any, log: Any, path: Path) -> Answer:
    from skimwright import desk

    source = Path(ask.given["file"])
    after, rows = desk.log_paper(ask.files.rows(source), log, season, phone=ask.given["phone"])
    files = [str(ask.files.add_rows(path, desk.RUN_COLUMNS, rows))] if rows else []
    runs = len(after.book.runs) - len(log.book.runs)
    says = (
        f"{source.name}: {len(rows)} new row{'' if len(rows) == 1 else 's'}, {runs} new run{'' if runs == 1 else 's'}; "
        f"{len(after.book.runs)} runs in the log."
    )
    fresh = tuple(f for f in after.findings if f not in log.findings)
    data = {
        "added": len(rows),
        "runs": len(after.book.runs),
        "files": files,
        "findings": [f.as_dict() for f in fresh],
    }
    return Answer(data=data, text=says, plain=says, findings=fresh)


def _shown(label: str, log: Any, boat: int) -> Answer:
    """The runs of one boat as they stand."""

    def cell(value: float | None, pattern: str) -> str:
        return "" if value is None else format(value, pattern)

    rows = []
    for run in log.book.of(boat):
        r = run.result
        rows.append(
            [str(run.run), cell(r.distance, ".1f"), cell(r.gate_time, ".2f"), cell(r.drift, "+.1f"), r.ending or "",
             run.guess or "", r.change or ""]
        )  # fmt: skip
    data = {
        "boat": boat,
        "runs": len(rows),
        "log": [
            {"run": run.run, "time": run.time, "distance_m": run.result.distance, "gate_time_s": run.result.gate_time,
             "drift_m": run.result.drift, "ending": run.result.ending, "guess": run.guess,
             "change": run.result.change,
             "corrected": [{"field": c.field, "old": c.old, "new": c.new, "reason": c.reason} for c in run.corrected]}
            for run in log.book.of(boat)
        ],
        "findings": [f.as_dict() for f in log.findings_of(boat)],
    }  # fmt: skip
    heading = ["run", "stopped, m", "gate, s", "drift, m", "ending", "guess", "change"]
    label = label[0].upper() + label[1:]
    text = f"{label}: {len(rows)} runs logged" + (f"\n\n{table(heading, rows)}" if rows else "")
    return Answer(data=data, text=text, plain=text.split("\n")[0], findings=log.findings_of(boat))


VERB = Verb(
    name="log",
    does="a trial run into the run log, the pupil's guess first",
    tells="With --boat alone it shows that boat's runs. A guess is locked when it is written; a run needs one, or "
    "`--guess skip`. Nothing is ever changed: a correction is a new row with its reason. --file takes a paper form "
    "typed back in, or another phone's log; rows that are in the log already are passed over.",
    options=(
        BOAT,
        Option(
            flag="--run", value="K", does="which run; the next one unless given", read=whole(low=1, high=9999)
        ),
        Option(flag="--guess", value="WORDS", does="how the crew thinks it will end, or skip"),
        Option(
            flag="--distance-m", value="D", does="from the start to where it stopped; or with a unit: 157ft"
        ),
        Option(flag="--gate-time-s", value="T", does="to the gate's line"),
        Option(flag="--drift-m", value="Y", does="at the gate's line, to starboard; to port as --drift-m=-2"),
        Option(flag="--ending", value="WORDS", does="through the gate, ran wide, stopped short, hooked ..."),
        Option(flag="--wind-m-s", value="W", does="mean wind at head height"),
        Option(flag="--wind-from-deg", value="A", does="where it comes FROM, clockwise from north"),
        Option(flag="--mass-g", value="M", does="as run"),
        Option(flag="--device", value="D", does="if it is not the boat's own"),
        Option(flag="--batch", value="B", does="of the device: which battery, which box"),
        Option(flag="--change", value="WORDS", does="since the run before: none, one change, or several"),
        Option(flag="--try", value="yes", does="it counts as a try at the gate"),
        Option(flag="--correct", value="REASON", does="this corrects run K, and why"),
        Option(flag="--phone", value="NAME", does="who writes; `desk` unless given", usual="desk"),
        Option(flag="--file", value="FILE.csv", does="rows of a paper form or of another phone"),
    ),
    example="log --boat 7 --guess skip --distance-m 48 --gate-time-s 5.05 --drift-m 1.2",
    answer=answer,
)

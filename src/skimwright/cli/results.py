"""``skimwright results``: the results as lists for a spreadsheet, and as a page for everybody."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.cli.crew import list_if_there
from skimwright.cli.handicap import numbers
from skimwright.cli.lots import path_meant
from skimwright.cli.points import table_meant
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Published


def answer(ask: Ask) -> Answer:
    """Write the lists and the page."""
    from skimwright import desk

    given = ask.given
    season = ask.season()
    log = path_meant(ask, given["results"], "results.csv")
    listed = list_if_there(ask, "entries.csv")
    entries = desk.read_entries(listed) if listed else None
    names = {entry.number: entry.name for entry in season.boats}
    names = {**(entries.names() if entries else {}), **names}
    events, spoilt = desk.read_log(ask.files.rows(log), entered=names)
    made = desk.publish(
        desk.day_points(events, table_meant(ask), group=given["group"], entries=entries),
        events, names, desk.read_crews(list_if_there(ask, "crews.csv")), season=season.name, fine=given["fine"],
    )  # fmt: skip
    findings = (*spoilt, *made.findings)
    files = _write(ask, made, Path(given["out"])) if given["out"] else []
    data = desk.published_data(made)
    says = (
        f"{season.name}: {len(data['heats'])} results of {len({row['heat'] for row in data['heats']})} heats, "
        f"{data['corrected']} corrected"
    )
    text = [says + ".", "Numbers and boat names only: this may be posted."]
    text += [f"Written: {file}" for file in files] or ["Nothing was written: say --out DIR."]
    return Answer(
        data=data | {"files": files, "findings": [finding.as_dict() for finding in findings]},
        text="\n".join(text), plain=says, findings=findings,
    )  # fmt: skip


def _write(ask: Ask, made: Published, folder: Path) -> list[str]:
    from skimwright import desk

    made_at = f"{ask.files.today()}, {ask.files.now()[11:16]}"
    contents = {
        "results.html": ask.files.as_html(desk.results_page(made, made_at=made_at)),
        "points.csv": desk.csv_text(desk.points_rows(made), desk.POINT_COLUMNS),
        "heats.csv": desk.csv_text(desk.heat_rows(made), desk.HEAT_COLUMNS),
        "results.json": json.dumps(desk.published_data(made), ensure_ascii=False, indent=1) + "\n",
    }
    if ask.given["organisers"]:
        contents["corrections-organisers-only.csv"] = desk.csv_text(
            desk.correction_rows(made), desk.CORRECTION_COLUMNS
        )
    return [str(ask.files.write(folder / name, content)) for name, content in contents.items()]


VERB = Verb(
    name="results",
    does="the results as lists for a spreadsheet, and as a page for everybody",
    tells="Boat numbers and boat names only. A result that was corrected says so and shows what it was; why and by "
    "whom stands in a list of its own, for organisers. A name that may hold a surname is left out and asked about.",
    options=(
        Option(flag="RESULTS", does="the log; the season's results.csv unless given"),
        Option(flag="--out", value="DIR", does="write results.html, points.csv, heats.csv and results.json"),
        Option(flag="--organisers", does="also corrections-organisers-only.csv, with reasons", usual=False),
        Option(flag="--table", value="TABLE", does="powerboat (unless given), low-point, or a TOML file of your own",
               usual="powerboat"),
        Option(flag="--group", value="NAME", does="one group; all unless given"),
        Option(flag="--fine", value="N,...", does="boats whose names were asked about and are fine", read=numbers,
               usual=()),
    ),
    example="results --out public",
    answer=answer,
)  # fmt: skip

"""``skimwright report``: the season in one page, from its files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from skimwright import __version__
from skimwright.base import SkimwrightError
from skimwright.cli.certificates import points_if_raced
from skimwright.cli.crew import list_if_there
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Records, Season


def answer(ask: Ask) -> Answer:
    """Count and say."""
    from skimwright import desk

    season = ask.season()
    crews = desk.read_crews(list_if_there(ask, "crews.csv"))
    log = desk.read_runs(ask.files.runs(ask.season_chosen), season)
    rows = list_if_there(ask, "results.csv")
    events, spoilt = desk.read_log(rows) if rows else ((), ())
    points = points_if_raced(ask)
    names = {entry.number: entry.name for entry in season.boats}
    published = desk.publish(points, events, names, crews, season=season.name) if points else None
    made = desk.season_report(season, log, crews, events, published, _records(ask, season))
    findings = (*log.findings, *spoilt)
    files = []
    if ask.given["out"]:
        foot = f"Skimwright {__version__}, {ask.files.today()}. Counted from the season's own files."
        page = ask.files.as_html(desk.report_page(made, foot=foot))
        files = [str(ask.files.write(Path(ask.given["out"]) / "season-report.html", page))]
    counted = [[word, str(made.counts[key]), file] for key, (word, file) in desk.COUNTED.items()]
    lines = [f"{made.season}", "", table(["", "", "counted in"], counted), ""]
    lines += [f"{number:2d} {phase.name}: {phase.text}" for number, phase in enumerate(made.phases, 1)]
    data = {
        **made.counts,
        "phases": [{"phase": p.name, "recorded": bool(p.says), "says": p.text} for p in made.phases],
        "files": files,
        "findings": [finding.as_dict() for finding in findings],
    }
    empty = sum(not phase.says for phase in made.phases)
    plain = ", ".join(f"{made.counts[key]} {word.lower()}" for key, (word, _) in desk.COUNTED.items())
    return Answer(
        data=data, text="\n".join([*lines, *(f"Written: {file}" for file in files)]),
        plain=f"{plain}; {empty} phases not recorded", findings=findings,
    )  # fmt: skip


def _records(ask: Ask, season: Season) -> Records:
    """What else the season has; a list that cannot be read counts as none."""
    from skimwright import desk

    folder = ask.files.season_folder(ask.season_chosen)

    def has(name: str) -> bool:
        return ask.files.is_file(folder / name)

    permits = 0
    if has("permits.toml"):
        try:
            permits = len(
                desk.read_grants(ask.files.table(folder / "permits.toml"), devices=tuple(season.devices))
            )
        except SkimwrightError:
            permits = 0  # the verb `permit` says what is wrong with it
    holds: tuple[str, ...] = ()
    if has("holds.csv"):
        said = desk.read_holds(ask.files.grid(folder / "holds.csv"))
        on_the_day = (event for event in said if event.at.date() == season.regatta)
        holds = tuple(f"{e.what} {e.at:%H:%M}" for e in on_the_day if e.what in ("hold", "thunder"))
    helpers, forgotten = list_if_there(ask, "helpers.csv"), list_if_there(ask, desk.AUDIT)
    return desk.Records(
        has_pond=season.pond is not None, has_limits=has("limits.toml"), permits=permits,
        helpers=len({row.cells.get("person", "") for row in helpers.rows} - {""}) if helpers else 0,
        forgotten=len(forgotten.rows) if forgotten else 0, has_prices=has("prices.toml"), holds=holds,
    )  # fmt: skip


VERB = Verb(
    name="report",
    does="the season in one page: five counts, and what each phase of the year left behind",
    tells="Everything is counted from the season's files; a phase they say nothing of is not recorded. Boats by number "
    "and name, pupils only counted.",
    options=(Option(flag="--out", value="DIR", does="write season-report.html"),),
    example="report --out after",
    answer=answer,
)

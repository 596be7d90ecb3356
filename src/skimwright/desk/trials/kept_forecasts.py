"""``forecasts.csv``: each forecast of a boat as it was made, and how good they turned out."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from skimwright.base import InputError, Where
from skimwright.base.page import Block, Heading, Page, Table, Text
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.boats.forecast_boat import BoatForecast
from skimwright.desk.boats.suspects import trial_of
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.desk.trials.log_run import RunLog
from skimwright.pond import Gate, along_and_across
from skimwright.run import STEPS, Range
from skimwright.trials import Chance, Kept, Line, Scored, chances_of, lines_of, score

FORECASTS = "forecasts.csv"
FORECAST_COLUMNS = (
    "time", "boat", "made", "device", "mass_g", "after_run", "wind_along_m_s", "wind_across_m_s", "gate_m",
    "gate_width_m", "through_gate", "distance_m", "gate_time_s", "drift_m", "runs", "seed", "edition",
)  # fmt: skip
_STEPS = {"distance_m": "distance", "gate_time_s": "gate_time", "drift_m": "drift"}
FEW = 20  # scored figures below which nothing is said of coverage [choice]


def forecast_row(
    found: BoatForecast, entry: Entry, log: RunLog, *, made: str, now: str, edition: str
) -> dict[str, str]:
    """A forecast as a row: its ranges in nineteen steps of a twentieth each, blanks between.

    Parameters
    ----------
    found : BoatForecast
    entry : Entry
    log : RunLog
        What was logged when it was made.
    made : str
        The verb: ``forecast`` or ``learn``.
    now : str
        The clock.
    edition : str
        Of the program and its laws.
    """
    result, question = found.forecast, found.question
    day = question.conditions
    along, across = along_and_across(speed=day.wind_speed, wind_from=day.wind_from, heading=day.heading)
    row = {
        "time": now, "boat": f"{entry.number:02d}", "made": made, "device": question.device.name,
        "mass_g": "" if entry.built.mass is None else f"{entry.built.mass * 1e3:.1f}",
        "after_run": str(log.book.last(entry.number)), "wind_along_m_s": f"{along:.2f}",
        "wind_across_m_s": f"{across:.2f}", "gate_m": f"{result.gate.distance:.4g}",
        "gate_width_m": f"{result.gate.width:.4g}", "through_gate": f"{result.through_gate:.4f}",
        "runs": str(result.runs), "seed": str(result.seed), "edition": edition,
    }  # fmt: skip
    for column, name in _STEPS.items():
        values: Range | None = getattr(result, name)
        row[column] = "" if values is None else " ".join(f"{value:.4g}" for value in values.steps)
    return {name: row[name] for name in FORECAST_COLUMNS}


def read_forecasts(rows: Rows | None) -> tuple[Kept, ...]:
    """The forecasts that were kept, in the order of the file.

    Raises
    ------
    InputError
        A row cannot be read; a forecast with a hole in it would be scored wrongly.
    """
    return () if rows is None else tuple(_kept(row, rows.file) for row in rows.rows)


def _kept(row: Row, file: str) -> Kept:
    cells = {name: row.cells.get(name, "") for name in FORECAST_COLUMNS}

    def number(name: str) -> float:
        return _number(cells[name], Where(file=file, row=row.number, field=name))

    steps = {}
    for column, name in _STEPS.items():
        if cells[column]:
            steps[name] = _steps(cells[column], Where(file=file, row=row.number, field=column))
    return Kept(
        boat=int(number("boat")), made=cells["made"], time=cells["time"], device=cells["device"],
        mass=number("mass_g") / 1e3 if cells["mass_g"] else None, after_run=int(number("after_run")),
        wind=(number("wind_along_m_s"), number("wind_across_m_s")),
        gate=Gate(distance=number("gate_m"), width=number("gate_width_m")), through=number("through_gate"),
        steps=steps, runs=int(number("runs")), seed=int(number("seed")), edition=cells["edition"],
    )  # fmt: skip


def _number(text: str, where: Where) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise InputError(
            what="not a number", got=f'"{text}"', allowed="figures with a full stop",
            do="Leave this file to the program; take the row out if it was changed.", where=where,
        )  # fmt: skip
    return value


def _steps(text: str, where: Where) -> tuple[float, ...]:
    try:
        values = tuple(float(word) for word in text.split())
    except ValueError:
        values = ()
    rising = all(a <= b for a, b in itertools.pairwise(values))
    if len(values) != len(STEPS) or not rising or not all(map(math.isfinite, values)):
        raise InputError(
            what="not the steps of a range", got=f'"{text[:40]}"', allowed=f"{len(STEPS)} numbers, none smaller than "
            "the one before it", do="Leave this file to the program; take the row out if it was changed.", where=where,
        )  # fmt: skip
    return values


@dataclass(frozen=True, kw_only=True)
class SeasonScores:
    """How good the kept forecasts were."""

    kept: int
    scored: tuple[Scored, ...]
    lines: tuple[Line, ...]
    chances: tuple[Chance, ...]
    other_wind: int  # runs left out because they ran in another wind

    @property
    def says(self) -> str:
        """One sentence, never surer than the count allows."""
        if not self.kept:
            return "No forecast has been kept: add --keep, or write keep_forecasts = true into season.toml."
        if not self.scored:
            return f"{self.kept} forecasts are kept; no run that could score them has been logged since."
        figures, held = len(self.scored), sum(s.held90 for s in self.scored)
        if figures < FEW:
            return f"{figures} figures scored: too few to judge by."
        words = "as they should" if 0.85 <= held / figures <= 0.95 else "where nine of ten should be"
        return f"The ranges held {held} of {figures} figures, {words}."


def score_season(
    season: Season, log: RunLog, kept: tuple[Kept, ...], *, boat: int | None = None
) -> SeasonScores:
    """Score the kept forecasts against the runs that came after them.

    Parameters
    ----------
    season : Season
    log : RunLog
    kept : forecasts in the order in which they were made
    boat : int, optional
        One boat's only.
    """
    meant = tuple(k for k in kept if boat in (None, k.boat))
    runs = {entry.number: log.book.of(entry.number) for entry in season.boats}
    winds = {}
    for own in runs.values():
        for run in own:
            wind = trial_of(run, season.conditions).wind
            if wind is not None:
                winds[run.boat, run.run] = wind
    kinds = {entry.number: entry.kit for entry in season.boats}
    scored, chances, left_out = score(meant, runs, kinds=kinds, winds=winds)
    return SeasonScores(
        kept=len(meant),
        scored=scored,
        lines=lines_of(scored),
        chances=chances_of(chances),
        other_wind=left_out,
    )


_WORDS = {"distance": ("stops after", "m"), "gate_time": ("time to the gate", "s"), "drift": ("drift", "m")}
SCORE_HEAD = (
    "made by", "what", "figures", "half held", "nine of ten held", "score", "on", "score", "last run again", "its kind",
)  # fmt: skip


def score_rows(found: SeasonScores) -> tuple[tuple[str, ...], ...]:
    """The table: coverage, then the scores, forecasts beside what needs no model.  A lower score is better."""
    rows = []
    for line in found.lines:
        what, unit = _WORDS[line.quantity]
        there = [line.crps_there, line.last, line.kind]
        said = [f"{value:.2f} {unit}" if math.isfinite(value) else "–" for value in there]
        rows.append(
            (line.made, what, str(line.count), f"{100 * line.held50:.0f} %", f"{100 * line.held90:.0f} %",
             f"{line.crps:.2f} {unit}", str(line.both), *said)
        )  # fmt: skip
    return tuple(rows)


def scores_blocks(found: SeasonScores) -> tuple[Block, ...]:
    """For a page: what was foretold and what came."""
    blocks: list[Block] = [Heading(text="What was foretold, and what came"), Text(text=found.says)]
    if found.lines:
        caption = (
            "Score: how far the whole range was from what came (CRPS), 0 is perfect. Beside it, on the same runs, what "
            "needs no model: the last run again, and how its kind ran."
        )
        blocks.append(
            Table(
                head=SCORE_HEAD,
                rows=score_rows(found),
                caption=caption,
                numbers=tuple(range(2, len(SCORE_HEAD))),
            )
        )
    blocks += [Text(text=_chance_words(each)) for each in found.chances]
    if found.other_wind:
        blocks.append(Text(text=f"{found.other_wind} runs in another wind are left out.", small=True))
    return tuple(blocks)


def chance_lines(found: SeasonScores) -> tuple[str, ...]:
    """How often boats passed that were given chances, in sentences."""
    return tuple(_chance_words(each) for each in found.chances)


def _chance_words(each: Chance) -> str:
    return (
        f"Through the gate, by {each.made}: {100 * each.said:.0f} % was said, {100 * each.came:.0f} % of {each.count} "
        f"runs came (squared error {each.brier:.2f}; a coin has 0.25)."
    )


def scores_page(found: SeasonScores, *, season: str, foot: str) -> Page:
    """The same as a page of its own."""
    return Page(title="How good were the forecasts?", over=season, blocks=scores_blocks(found), foot=foot)

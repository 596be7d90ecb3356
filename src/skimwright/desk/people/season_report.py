"""The season in one report: five counts that agree with the files, and what each phase of the year left behind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skimwright.base.page import Block, Heading, Page, Table
from skimwright.desk.lessons.lesson import title_of
from skimwright.desk.people.certificates import in_words
from skimwright.desk.people.crews import Crews
from skimwright.desk.race.publish import Published
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.regatta import Event, clock
from skimwright.trials import ENDINGS, SKIP

NOT_RECORDED = "Not recorded."


@dataclass(frozen=True, kw_only=True)
class Phase:
    """One phase of the year."""

    name: str
    says: tuple[str, ...]  # none: not recorded

    @property
    def text(self) -> str:
        """What is known of it."""
        return " ".join(self.says) or NOT_RECORDED


@dataclass(frozen=True, kw_only=True)
class SeasonReport:
    """A season looked back on."""

    season: str
    counts: Mapping[str, int]  # boats, pupils, trial runs, heats, starts
    phases: tuple[Phase, ...]


@dataclass(frozen=True, kw_only=True)
class Records:
    """Which other files the season has, and what they count."""

    has_pond: bool = False
    has_limits: bool = False
    permits: int = 0
    helpers: int = 0
    forgotten: int = 0
    has_prices: bool = False
    holds: tuple[str, ...] = ()  # of the regatta day, such as "thunder 14:31"


def season_report(
    season: Season,
    log: RunLog,
    crews: Crews,
    events: Sequence[Event],
    published: Published | None,
    records: Records,
) -> SeasonReport:
    """What the files say of the year, phase by phase.

    Parameters
    ----------
    season, log, crews, events
        As read; empty where there is no such file.
    published : Published, optional
        Of the regatta; None if it was not raced.
    records : Records
        Of the season's other files.
    """
    heats = [heat for heat in published.points.day.heats.values() if heat.counts] if published else []
    counts = {
        "boats": len(season.boats),
        "pupils": len(crews.children),
        "trial_runs": len(log.book.runs),
        "heats": len(heats),
        "starts": sum(o.code not in ("DNC", "DNS") for heat in heats for o in heat.outcomes.values()),
    }
    phases = (
        Phase(name="Shape of the season", says=_shape(season, records)),
        Phase(name="Changes to the kit", says=()),
        Phase(
            name="Buying, cutting, packing",
            says=("Prices are kept in prices.toml.",) if records.has_prices else (),
        ),
        Phase(name="Training the teachers", says=()),
        Phase(name="Build lessons", says=()),
        Phase(name="Build check", says=_build_check(season)),
        Phase(name="Weigh-in", says=_weigh_in(season)),
        Phase(name="Guesses and lessons", says=_guesses(log)),
        Phase(name="Trials", says=_trials(season, log)),
        Phase(name="The water and its safety", says=_water(records)),
        Phase(name="Qualifying", says=_qualifying(events)),
        Phase(name="Regatta day", says=_day(events, counts, records)),
        Phase(name="Repairs", says=_repairs(events)),
        Phase(name="Results", says=_results(published)),
        Phase(name="Putting away", says=_put_away(season, crews, records)),
    )
    return SeasonReport(season=season.name, counts=counts, phases=phases)


def _n(count: int, word: str, many: str = "") -> str:
    return f"{count} {word if count == 1 else many or word + 's'}"


def _shape(season: Season, records: Records) -> tuple[str, ...]:
    groups = Counter(entry.group for entry in season.boats)
    said = ", ".join(f"{name} {count}" for name, count in groups.items())
    days = (
        f"{in_words(season.first_day)} to {in_words(season.last_day)}, regatta on {in_words(season.regatta)}."
    )
    kits = ", ".join(sorted({entry.kit for entry in season.boats}))
    more = (f"{_n(records.permits, 'permission')} written down.",) if records.permits else ()
    return (days, f"Boats by group: {said}.", f"Kits built: {kits}.", *more)


def _build_check(season: Season) -> tuple[str, ...]:
    """Weighing is another phase."""
    weighing = {"mass", "balance_x", "balance_y", "balance_z", "water_gain"}
    checked = sum(bool(set(entry.built.measured) - weighing) for entry in season.boats)
    return (f"{checked} of {len(season.boats)} boats were measured.",) if checked else ()


def _weigh_in(season: Season) -> tuple[str, ...]:
    weighed = sum(entry.built.mass is not None for entry in season.boats)
    balanced = sum(entry.built.balance_x is not None for entry in season.boats)
    asked = len(season.stopped)
    if not weighed:
        return ()
    more = (f"{_n(asked, 'boat')} with a figure still in question.",) if asked else ()
    return (f"{_n(weighed, 'boat')} weighed, {balanced} with a balance point.", *more)


def _guesses(log: RunLog) -> tuple[str, ...]:
    guessed = [run for run in log.book.runs if run.guess not in (None, SKIP)]
    if not guessed:
        return ()
    told = [run for run in guessed if run.guess in ENDINGS and run.result.ending is not None]
    right = sum(run.guess == run.result.ending for run in told)
    score = f", right {right} of {len(told)} times" if told else ""
    return (f"{_n(len(guessed), 'guess', 'guesses')} before a run{score}.",)


def _trials(season: Season, log: RunLog) -> tuple[str, ...]:
    runs = log.book.runs
    if not runs:
        return ()
    days = {run.time[:10] for run in runs if run.time}
    boats = {run.boat for run in runs}
    endings = Counter(run.result.ending for run in runs if run.result.ending)
    far = [run.result.distance for run in runs if run.result.distance is not None]
    corrected = sum(bool(run.corrected) for run in runs)
    when = f" on {_n(len(days), 'day')}" if days else ""
    said = [f"{_n(len(runs), 'run')} of {_n(len(boats), 'boat')}{when}."]
    if endings:
        said.append(
            "How they ended: " + ", ".join(f"{name} {count}" for name, count in endings.most_common()) + "."
        )
    if far:
        said.append(f"Farthest: {max(far):.1f} m.")
    if corrected:
        said.append(f"{_n(corrected, 'run')} corrected.")
    idle = [title_of(entry) for entry in season.boats if entry.number not in boats]
    if idle:
        said.append(f"No run of {', '.join(idle)}.")
    return tuple(said)


def _water(records: Records) -> tuple[str, ...]:
    said = []
    if records.has_pond:
        said.append("The water is measured.")
    if records.has_limits:
        said.append("Its limits are written down.")
    return tuple(said)


def _qualifying(events: Sequence[Event]) -> tuple[str, ...]:
    tries = [event for event in events if event.kind == "try"]
    if not tries:
        return ()
    through = {event.boat for event in tries if event.said == "through"}
    boats = {event.boat for event in tries}
    return (
        f"{_n(len(tries), 'try', 'tries')} of {_n(len(boats), 'boat')}; {len(through)} through the gate.",
    )


def _day(events: Sequence[Event], counts: Mapping[str, int], records: Records) -> tuple[str, ...]:
    if not counts["heats"]:
        return ()
    kinds = Counter(event.kind for event in events)
    said = [f"{_n(counts['heats'], 'heat')} with {_n(counts['starts'], 'start')}."]
    told = (
        (kinds["rerun"], "heat raced again", "heats raced again"),
        (kinds["withdrawal"], "boat withdrawn", "boats withdrawn"),
        (kinds["protest"], "protest", "protests"),
    )
    said += [f"{_n(count, one, many)}." for count, one, many in told if count]
    logged = tuple(f"hold {clock(e.when)}" for e in events if e.kind == "hold" and e.when is not None)
    if logged or records.holds:
        said.append(f"Racing held: {', '.join((*logged, *records.holds))}.")
    if records.helpers:
        said.append(f"{_n(records.helpers, 'helper')} on the roster.")
    return tuple(said)


def _repairs(events: Sequence[Event]) -> tuple[str, ...]:
    mends = [event for event in events if event.kind == "mend"]
    return (f"{_n(len(mends), 'mend')} written down, {len({m.boat for m in mends})} boats.",) if mends else ()


def _results(published: Published | None) -> tuple[str, ...]:
    if published is None:
        return ()
    firsts = [
        f"{one.group or 'all'} {row.boat:02d} {published.names.get(row.boat, '')}".strip()
        for one in published.points.groups
        for row in one.standings.rows[:1]
    ]
    changed = len({(c.heat, c.boat) for c in published.corrections})
    return (f"First: {', '.join(firsts)}.", f"{_n(changed, 'result')} corrected after it had counted.")


def _put_away(season: Season, crews: Crews, records: Records) -> tuple[str, ...]:
    said = []
    if records.forgotten:
        said.append(f"Data of {_n(records.forgotten, 'child', 'children')} erased when asked to.")
    if crews.children:
        pupils = _n(len(crews.children), "pupil")
        said.append(f"Names of {pupils} are still kept: erase them after {in_words(season.last_day)}.")
    return tuple(said)


COUNTED = {
    "boats": ("Boats", "boats.csv"),
    "pupils": ("Pupils", "crews.csv"),
    "trial_runs": ("Trial runs", "runs.csv"),
    "heats": ("Heats that count", "results.csv"),
    "starts": ("Starts in them", "results.csv"),
}


def report_page(report: SeasonReport, *, foot: str) -> Page:
    """The report, boats by number and name, pupils only counted."""
    blocks: list[Block] = [
        Table(
            head=("", "", "counted in"),
            rows=tuple((word, str(report.counts[key]), file) for key, (word, file) in COUNTED.items()),
            numbers=(1,),
        )
    ]
    rows = tuple((str(number), phase.name, phase.text) for number, phase in enumerate(report.phases, 1))
    blocks += [
        Heading(text="The year, phase by phase"),
        Table(head=("", "phase", "what the files say"), rows=rows),
    ]
    return Page(title="The season", over=report.season, blocks=tuple(blocks), foot=foot)

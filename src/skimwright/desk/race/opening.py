"""May the event open, and how far the year is: both read off what the season's files say, nothing ticked by hand."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.people.roster import Roster
from skimwright.desk.race.race_day import RaceDay
from skimwright.desk.seasons.season import Season
from skimwright.desk.water.limits import SiteLimits
from skimwright.desk.water.permit import Sheet

State = Literal["ok", "care", "stop", ""]  # blank: the files cannot show it
ENOUGH_RUNS = 3  # of a boat, before a coach can say much


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of either sheet."""

    what: str
    state: State
    says: str
    do: str = ""  # the one next thing; blank if nothing is


@dataclass(frozen=True, kw_only=True)
class Records:
    """What the two sheets are read from; None: the season has no such file, or it cannot be read."""

    season: Season
    today: datetime.date
    limits: SiteLimits | None = None
    no_limits: str = ""  # why there are none, in a sentence
    sheets: tuple[Sheet, ...] = ()
    roster: Roster | None = None
    day: RaceDay | None = None
    runs: tuple[int, ...] = ()  # the boat of each logged run
    is_kept: bool = False  # a copy of the season has been made


# the safety sheet


def safety_sheet(records: Records) -> tuple[Line, ...]:
    """What must be in place before the water is opened; one line that stops keeps it shut."""
    return (
        _limits(records),
        _devices(records),
        _for_the_day(_roster(records.roster), records),
        _pond(records.season),
        _for_the_day(_plan(records.day), records),
        _questions(records.season),
    )


def _for_the_day(line: Line, records: Records) -> Line:
    """Only the regatta needs its people and its plan; a trial day may open without them."""
    if line.state == "stop" and records.today != records.season.regatta:
        return replace(
            line, state="care", says=f"{line.says} It keeps the regatta day shut, not a trial day."
        )
    return line


def may_open(lines: Sequence[Line]) -> bool:
    """Whether nothing stands in the way; the officer in charge still decides."""
    return all(line.state != "stop" for line in lines)


def _limits(records: Records) -> Line:
    site = records.limits
    if site is None:
        return Line(
            what="Limits of the site", state="stop", says=records.no_limits, do="Fill in limits.toml."
        )
    return Line(
        what="Limits of the site", state="ok",
        says=f"Wind {site.wind_mean:g} m/s, gusts {site.wind_gust:g} m/s, heat index {site.heat_stop - 273.15:.0f} C, "
        f"water {site.water_stop - 273.15:.0f} C. Decides: {site.officer}.",
    )  # fmt: skip


def _devices(records: Records) -> Line:
    used = {entry.device for entry in records.season.boats}
    shut = [sheet for sheet in records.sheets if sheet.device.name in used and not sheet.is_open]
    if shut:
        return Line(
            what="Permission for each device", state="stop",
            says=" ".join(f"{sheet.device.name} is shut: {'; '.join(sheet.lacks)}." for sheet in shut),
            do="Have its sheet signed, or take those boats out.",
        )  # fmt: skip
    needed = [sheet.device.name for sheet in records.sheets if sheet.device.name in used and sheet.is_needed]
    says = f"In date: {', '.join(needed)}." if needed else "No device in use needs a sheet of its own."
    return Line(what="Permission for each device", state="ok", says=says)


def _roster(roster: Roster | None) -> Line:
    what = "People: jobs and ratios"
    if roster is None:
        return Line(what=what, state="care", says="Nobody can be read off helpers.csv.", do="Fill it in.")
    stops = [finding for finding in roster.findings if finding.severity == "stop"]
    if stops:
        return Line(
            what=what, state="stop", says=" ".join(f.sentence() for f in stops[:6]), do="See command crew."
        )
    return Line(what=what, state="ok", says=f"{sum(line.needed for line in roster.jobs)} jobs are filled.")


def _pond(season: Season) -> Line:
    if season.pond is None:
        return Line(
            what="The water", state="care", says="It is not surveyed: no people line is known.",
            do="Measure it and write pond.toml.",
        )  # fmt: skip
    return Line(what="The water", state="ok", says="Surveyed: course, posts and people line can be laid.")


def _plan(day: RaceDay | None) -> Line:
    what = "Plan of the day and lots"
    if day is None:
        return Line(
            what=what, state="stop", says="The day is not planned.", do="Write day.toml and entries.csv."
        )
    wrong = [f for f in day.findings if f.code in ("seed-changed", "lots-differ")]
    if wrong:
        return Line(what=what, state="stop", says=" ".join(f.sentence() for f in wrong))
    if not any(event.kind == "lots" for event in day.events):
        return Line(
            what=what, state="care", says="The lots are not published yet.", do="Publish them: Race day."
        )
    return Line(
        what=what, state="ok", says=f"{len(day.heats)} heats; the lots are published with seed and mark."
    )


def _questions(season: Season) -> Line:
    asked = [entry.label for entry in season.boats if entry.is_stopped]
    if asked:
        return Line(
            what="Questions about boats", state="care", says=f"Open about {', '.join(asked)}.",
            do="Answer them on the boat's page.",
        )  # fmt: skip
    return Line(what="Questions about boats", state="ok", says="None is open.")


# the year


def season_checklist(records: Records) -> tuple[Line, ...]:
    """The fifteen stretches of the year, each with what the files show of it."""
    season, boats = records.season, records.season.boats
    weighed = sum(entry.built.mass is not None for entry in boats)
    run = {boat: records.runs.count(boat) for boat in set(records.runs)}
    often = sum(count >= ENOUGH_RUNS for count in run.values())
    safety, day = safety_sheet(records), records.day
    raced = sum(heat.counts for heat in day.heats) if day else 0
    done = day is not None and raced == len(day.heats)
    return (
        Line(what="1 Permission and shape", state=safety[1].state, says=safety[1].says, do=safety[1].do),
        _count("2 Kit", len(season.kits), "kit", "Draw one, or change last year's."),
        Line(what="3 Buy, cut, pack", state="", says=f"{len(boats)} boats are entered; what is bought no file shows.",
             do="Order, sheets and bags: Board."),
        Line(what="4 Train the teachers", state="", says="Files cannot show this.", do="Print the training day."),
        _share("5 Build lessons", sum(_is_begun(entry) for entry in boats), len(boats), "far enough to be measured"),
        _share("6 Build check", sum(_is_checked(entry) for entry in boats), len(boats), "with both pads measured"),
        _share("7 Weigh-in and balance", weighed, len(boats), "weighed"),
        _share("8 Forecast", sum(not entry.is_stopped for entry in boats), len(boats), "ready for a forecast"),
        _share("9 Trials", often, len(boats), f"run {ENOUGH_RUNS} times or more"),
        Line(
            what="10 Survey and safety plan", state=_worst(safety[0], safety[3]),
            says=f"{safety[3].says} {safety[0].says}",
        ),
        _qualifying(day, len(boats)),
        Line(
            what="12 Regatta day", state="ok" if done else "care",
            says=f"{raced} of {len(day.heats) if day else 0} heats count.",
        ),
        _mends(day),
        Line(what="14 Results, thanks, learning", state="ok" if done else "care",
             says="Every result is in: print certificates and the report." if done else "Results are still to come."),
        Line(what="15 Look back and put away", state="ok" if records.is_kept else "care",
             says="A copy of the season is kept." if records.is_kept else "No copy of the season is kept yet.",
             do="" if records.is_kept else "Keep one; forget the names when their time is over."),
    )  # fmt: skip


def _is_begun(entry: Entry) -> bool:
    return entry.built.mass is not None or _is_checked(entry)


def _is_checked(entry: Entry) -> bool:
    return entry.built.pad_angle_left is not None and entry.built.pad_angle_right is not None


def _worst(*lines: Line) -> State:
    states = [line.state for line in lines]
    return "stop" if "stop" in states else "care" if "care" in states else "ok"


def _count(what: str, number: int, noun: str, do: str) -> Line:
    says = f"{number} {noun}{'' if number == 1 else 's'}."
    return Line(what=what, state="ok" if number else "care", says=says, do="" if number else do)


def _share(what: str, done: int, of: int, words: str) -> Line:
    return Line(what=what, state="ok" if of and done == of else "care", says=f"{done} of {of} boats {words}.")


def _qualifying(day: RaceDay | None, boats: int) -> Line:
    through = len(day.queue.through) if day else 0
    return Line(
        what="11 Qualifying",
        state="ok" if through else "care",
        says=f"{through} of {boats} boats are through.",
    )


def _mends(day: RaceDay | None) -> Line:
    open_ones = [f"{fit.boat:02d}" for fit in day.fitness.values() if fit.must_be_weighed] if day else []
    says = (
        f"Mended and not weighed again: {', '.join(open_ones)}."
        if open_ones
        else "Nothing waits for the scale."
    )
    return Line(what="13 Repairs", state="care" if open_ones else "ok", says=says)

"""Worksheets of a season's boats, from what was measured and logged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from skimwright import teach
from skimwright.base import Finding, InputError, MissingError, Where, parse_quantity
from skimwright.base.drawing import Drawing
from skimwright.desk.boats.boat_list import MEASURED, Entry
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.trials import ENDINGS, Run

EDITABLE = ("mass_g", "balance_x_mm")
EVERY = "all"


@dataclass(frozen=True, kw_only=True)
class LessonAsk:
    """Whose sheets, and how they are wanted."""

    boat: int | None = None
    group: str | None = None  # a group of the season, or "all"
    band: str | None = None  # None: by the group's ages
    paper: teach.Paper = "a4"
    large: bool = False
    edits: Mapping[str, str] | None = None  # columns of boats.csv and what to take in their place


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """One boat's sheet and key."""

    boat: int
    sheet: teach.Worksheet
    pages: tuple[Drawing, ...]
    key: tuple[Drawing, ...]

    @property
    def blanks(self) -> tuple[str, ...]:
        """Keys of the questions that wait for a measurement."""
        return tuple(q.key for topic in self.sheet.topics for q in topic.questions if q.answer is None)


@dataclass(frozen=True, kw_only=True)
class Lessons:
    """What was asked for."""

    lessons: tuple[Lesson, ...]
    findings: tuple[Finding, ...]


def make_lessons(
    season: Season, log: RunLog, ask: LessonAsk, *, words: Mapping[str, Any],
    first: Mapping[str, Any] | None = None, foot: str = "",
) -> Lessons:  # fmt: skip
    """The sheets and keys asked for.

    A value in question is left blank on the sheet, and the question is handed on.

    Parameters
    ----------
    season : Season
    log : RunLog
    ask : LessonAsk
    words : mapping
        The parsed catalogue of a language.
    first : mapping, optional
        The parsed catalogue of the first language, for what the other lacks.
    foot : str
        What stands below every page.

    Raises
    ------
    InputError
        Neither a boat nor a group or both, no such group, band or paper, or an edit that cannot be.
    MissingError
        No such boat.
    ModelError
        Two ways to an answer differ.
    """
    entries = _entries(season, ask)
    said = teach.words_of(words, first or words)
    edits = _edits(ask)
    made, found = [], []
    for entry in entries:
        entry = replace(entry, built=replace(entry.built, **dict(edits.values())))  # type: ignore[arg-type]
        facts = _facts(season, entry, log, frozenset(edits))
        sheet = teach.make_worksheet(facts, band_for(season, entry, ask.band), said)
        lesson = Lesson(
            boat=entry.number,
            sheet=sheet,
            pages=teach.sheet_pages(
                sheet, said, season=season.name, paper=ask.paper, large=ask.large, foot=foot
            ),
            key=teach.key_pages(sheet, said, season=season.name, paper=ask.paper, large=ask.large, foot=foot),
        )
        made.append(lesson)
        found += [replace(f, severity="warning") if f.severity == "stop" else f for f in entry.findings]
        found += _of_sheet(lesson)
    return Lessons(lessons=tuple(made), findings=tuple(found))


def _entries(season: Season, ask: LessonAsk) -> tuple[Entry, ...]:
    if (ask.boat is None) == (ask.group is None):
        raise InputError(
            what="one boat or one group is needed", got="neither" if ask.boat is None else "both",
            allowed="--boat N, or --group NAME", do="For example: `skimwright lesson --group Rush`.",
        )  # fmt: skip
    if ask.boat is not None:
        found = tuple(entry for entry in season.boats if entry.number == ask.boat)
        if not found:
            numbers = [entry.number for entry in season.boats]
            raise MissingError(
                what=f"no boat {ask.boat} in this season", allowed=f"boats {min(numbers)} to {max(numbers)}",
                do="Give the number in the first column of boats.csv.", where=Where(field="--boat"),
            )  # fmt: skip
        return found
    if ask.edits:
        raise InputError(
            what="a fact is edited for one boat at a time", got="--edit with --group", do="Give --boat N.",
            where=Where(field="--edit"),
        )  # fmt: skip
    name = str(ask.group).strip().casefold()
    if name == EVERY:
        return season.boats
    if name not in [group.casefold() for group in season.groups]:
        known = (*season.groups, EVERY)
        raise InputError(
            what="no such group in this season", got=f'"{ask.group}"', allowed=", ".join(known),
            do=nearest(str(ask.group), known) or "Give one of these.", where=Where(field="--group"),
        )  # fmt: skip
    return tuple(entry for entry in season.boats if entry.group.casefold() == name)


def _edits(ask: LessonAsk) -> dict[str, tuple[str, float]]:
    """Column to quantity and value, in SI."""
    found = {}
    for column, text in (ask.edits or {}).items():
        if column not in EDITABLE:
            raise InputError(
                what="not a fact a sheet can be edited in", got=f'"{column}"', allowed=", ".join(EDITABLE),
                do="Write for example mass_g=300.", where=Where(field="--edit"),
            )  # fmt: skip
        c = MEASURED[column]
        where = Where(field=f"--edit {column}")
        value = parse_quantity(text, c.kind, default_unit=c.unit, where=where)
        low, high = (parse_quantity(end, c.kind, default_unit=c.unit) for end in (c.low, c.high))
        if not low <= value <= high:
            raise InputError(
                what="out of range", got=text, allowed=f"{c.low:g} to {c.high:g} {c.unit}",
                do="Measure it again.", where=where,
            )  # fmt: skip
        found[column] = (c.quantity, value)
    return found


def band_for(season: Season, entry: Entry, word: str | None) -> teach.Band:
    """The band asked for, else by the ages of the boat's group.

    Raises
    ------
    InputError
        No such band.
    """
    return teach.band_named(word) if word else teach.band_for_age(season.groups[entry.group].age_to)


def title_of(entry: Entry) -> str:
    """Number and boat name; the number alone if the name may be a child's."""
    doubtful = any(finding.code == "surname-in-name" for finding in entry.findings)
    return f"{entry.number:02d}" if doubtful else f"{entry.number:02d} {entry.name}"


def _facts(season: Season, entry: Entry, log: RunLog, edited: frozenset[str]) -> teach.Facts:
    return teach.facts_of(
        title=title_of(entry), kit=season.kit_of(entry), device=season.devices[entry.device],
        gate=season.groups[entry.group].gate, built=entry.built,
        runs=[_run(run) for run in log.book.of(entry.number)], edited=edited,
    )  # fmt: skip


def _run(run: Run) -> teach.LoggedRun:
    """A logged run; a guess in a pupil's own words is left out, for it may name somebody."""
    result = run.result
    return teach.LoggedRun(
        run=run.run, distance=result.distance, time=result.gate_time, drift=result.drift,
        ending=result.ending or "", guess=run.guess if run.guess in ENDINGS else "",
        counts=run.speaks_of_the_boat,
    )  # fmt: skip


def _of_sheet(lesson: Lesson) -> list[Finding]:
    sheet, where = lesson.sheet, f"boat {lesson.boat:02d}"
    found = []
    if lesson.blanks:
        count = len(lesson.blanks)
        found.append(
            Finding(
                code="lesson-blank", severity="note", where=where,
                what=f"{'1 question waits' if count == 1 else f'{count} questions wait'} for a measurement.",
                do="Let the crew measure and fill in the lines.",
            )
        )  # fmt: skip
    if sheet.reading_grade is not None and sheet.reading_grade > sheet.reading_limit:
        found.append(
            Finding(
                code="lesson-reading", severity="warning", where=where,
                what=f"The sheet reads at grade {sheet.reading_grade:.1f}, and {sheet.band} is set to "
                f"{sheet.reading_limit}.",
                why="Pupils skip what they cannot read.",
                do="Which band is it for? Give --band, or shorten the sentences in the file of words.",
            )
        )  # fmt: skip
    return found


def printed_on(words: Mapping[str, Any], first: Mapping[str, Any], *, day: str) -> str:
    """What stands below every page: when it was printed."""
    return teach.words_of(words, first).say("page.printed", day=day)


def missing_words(words: Mapping[str, Any], first: Mapping[str, Any], letters: str) -> tuple[Finding, ...]:
    """Which sentences a language does not have yet; those are printed in the first.

    Parameters
    ----------
    words, first : mapping
        The parsed catalogue of the language, and of the first.
    letters : str
        Of the language.
    """
    gaps = teach.gaps_between(words, first)
    if not gaps:
        return ()
    return (
        Finding(
            code="lesson-words", severity="note", where=letters,
            what=f"{len(gaps)} sentences are not in {letters} yet: {', '.join(gaps)}.",
            do="They are printed in the first language; add them to its file of words.",
        ),
    )  # fmt: skip

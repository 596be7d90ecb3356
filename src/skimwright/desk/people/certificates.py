"""Certificates from a crew's own evidence: what it changed, what happened, one small graph."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skimwright.base import Finding, MissingError
from skimwright.base.drawing import Drawing
from skimwright.base.lettering import text_width
from skimwright.base.sheet import SIZES, Paper, Sheet
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.lessons.lesson import title_of
from skimwright.desk.people.crews import Crews
from skimwright.desk.race.points import DayPoints
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.words import sideways
from skimwright.desk.trials.log_run import RunLog
from skimwright.regatta import Outcome
from skimwright.trials import ENDINGS, NONE, SEVERAL, Run

MARGIN = 22.0
LETTERS = (5.2, 4.7, 4.2, 3.7, 3.3)  # [mm]
ROOM = 105.0  # for the graph and what stands below [mm]
MOST_CHANGES, MOST_RUNS = 3, 10  # the last ones, where there are more
MOST_LETTERS = 70  # of a change in a crew's words


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """What a crew can show."""

    boat: int
    title: str  # number and boat name; the number alone while its name is asked about
    group: str
    names: tuple[str, ...]  # first names; none: the boat stands for its crew
    changed: tuple[str, ...]
    happened: tuple[str, ...]
    distances: tuple[float | None, ...]  # of its runs, in order [m]
    marks: tuple[int, ...]  # runs before which something was changed, counted from 0
    line: float  # the qualifying distance [m]
    place: str = ""  # only if wanted


@dataclass(frozen=True, kw_only=True)
class Certificates:
    """Pages, one for each crew or each pupil."""

    pages: tuple[Drawing, ...]
    evidence: tuple[Evidence, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, kw_only=True)
class CertificateAsk:
    """What is wanted."""

    group: str | None = None
    boat: int | None = None
    each_pupil: bool = False
    with_place: bool = False
    issue: int = 1  # above 1: it replaces one that was wrong
    paper: Paper = "a4"


def make_certificates(
    season: Season, log: RunLog, crews: Crews, points: DayPoints | None, asked: CertificateAsk
) -> Certificates:
    """A page for each crew, or for each pupil.

    Parameters
    ----------
    season, log, crews
        As read.
    points : DayPoints, optional
        Of the regatta; None if it has not been raced.
    asked : CertificateAsk

    Raises
    ------
    MissingError
        No such boat or group.
    """
    entries = _wanted(season, asked)
    found = [_evidence(season, entry, log, crews, points, asked) for entry in entries]
    pages = []
    for evidence in found:
        heads = (
            [(name,) for name in evidence.names] if asked.each_pupil and evidence.names else [evidence.names]
        )
        pages += [_page(season, evidence, names, asked) for names in heads]
    return Certificates(
        pages=tuple(pages),
        evidence=tuple(found),
        findings=tuple(_findings(entries, crews, found, points, asked, log)),
    )


def _wanted(season: Season, asked: CertificateAsk) -> list[Entry]:
    if asked.boat is not None and asked.boat not in {entry.number for entry in season.boats}:
        raise MissingError(what=f"no boat {asked.boat} in this season", do="Give the number in boats.csv.")
    names = list(season.groups)
    group = next((name for name in names if asked.group and name.casefold() == asked.group.casefold()), None)
    if asked.group and group is None:
        raise MissingError(what="no such group", got=f'"{asked.group}"', do=nearest(asked.group, names))
    return [
        entry
        for entry in season.boats
        if (asked.boat is None or entry.number == asked.boat) and (group is None or entry.group == group)
    ]


def _evidence(
    season: Season, entry: Entry, log: RunLog, crews: Crews, points: DayPoints | None, asked: CertificateAsk
) -> Evidence:
    runs = log.book.of(entry.number)
    marks = tuple(n for n, run in enumerate(runs) if run.result.change not in (None, NONE))
    raced = _outcomes(points, entry.number)
    return Evidence(
        boat=entry.number,
        title=title_of(entry),
        group=entry.group,
        names=crews.first_names_of(entry.crew),
        changed=tuple(_changes(runs, marks)),
        happened=(*_runs_in_words(runs, season, entry), *_guesses(runs), *_race_in_words(raced)),
        distances=tuple(run.result.distance for run in runs),
        marks=marks,
        line=season.groups[entry.group].qualifying_distance,
        place=_place(points, entry) if asked.with_place else "",
    )


def _changes(runs: Sequence[Run], marks: Sequence[int]) -> list[str]:
    if not runs:
        return ["No run was written down."]
    if not marks:
        return ["Nothing, from run to run: so the runs can be compared."]
    said = []
    for n in marks[-MOST_CHANGES:]:
        change = runs[n].result.change or ""
        text = "several things at once" if change == SEVERAL else change
        text = text if len(text) <= MOST_LETTERS else f"{text[:MOST_LETTERS].rsplit(' ', 1)[0]} and more"
        said.append(f"Before run {runs[n].run}: {text.rstrip('.')}.{_before_and_after(runs, n)}")
    return said


def _before_and_after(runs: Sequence[Run], n: int) -> str:
    """The drift on both sides of a change, without saying that it was the cause."""
    before = runs[n - 1].result.drift if n else None
    after = runs[n].result.drift
    if before is None or after is None:
        return ""
    return f" Drift at the gate before: {sideways(before)}; after: {sideways(after)}."


def _runs_in_words(runs: Sequence[Run], season: Season, entry: Entry) -> list[str]:
    if not runs:
        return []
    said = []
    far = [run.result.distance for run in runs if run.result.distance is not None]
    if far:
        said.append(f"{_counted(len(runs), 'run')} written down; the farthest went {max(far):.1f} m.")
    else:
        said.append(f"{_counted(len(runs), 'run')} written down.")
    through = sum(run.result.ending == "through the gate" for run in runs)
    distance = f"{season.groups[entry.group].qualifying_distance:g} m"
    said.append(
        f"Through the gate at {distance} on {through} of them."
        if through
        else f"Not yet through the gate at {distance}."
    )
    times = [run.result.gate_time for run in runs if run.result.gate_time is not None]
    if times:
        said.append(f"Best time to the gate: {min(times):.2f} s.")
    return said


def _guesses(runs: Sequence[Run]) -> list[str]:
    guessed = [run for run in runs if run.guess in ENDINGS and run.result.ending is not None]
    right = sum(run.guess == run.result.ending for run in guessed)
    return (
        []
        if not right
        else [f"Guessed beforehand how it would end: right {right} of {_counted(len(guessed), 'time')}."]
    )


def _outcomes(points: DayPoints | None, boat: int) -> list[Outcome]:
    if points is None:
        return []
    return [
        heat.outcomes[boat] for heat in points.day.heats.values() if heat.counts and boat in heat.outcomes
    ]


def _race_in_words(raced: Sequence[Outcome]) -> list[str]:
    started = [outcome for outcome in raced if outcome.code not in ("DNC", "DNS")]
    if not started:
        return []
    home = sum(outcome.place is not None for outcome in started)
    return [
        f"Raced {_counted(len(started), 'heat')} at the regatta and finished {home if home < len(started) else 'all'}."
    ]


def _place(points: DayPoints | None, entry: Entry) -> str:
    for one in points.groups if points else ():
        if one.group == entry.group:
            for row in one.standings.rows:
                if row.boat == entry.number:
                    shared = ", shared" if row.is_shared else ""
                    return f"Place {row.place}{shared} of {len(one.standings.rows)} in {one.group}"
    return ""


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def together(names: Sequence[str]) -> str:
    """``Wren, Idris and Marlow``."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _findings(
    entries: Sequence[Entry],
    crews: Crews,
    found: Sequence[Evidence],
    points: DayPoints | None,
    asked: CertificateAsk,
    log: RunLog,
) -> list[Finding]:
    made = [f for f in crews.findings if f.code == "surname-in-roster"]
    made += [f for entry in entries for f in entry.findings if f.code == "surname-in-name"]
    nameless = [f"{evidence.boat:02d}" for evidence in found if not evidence.names]
    if nameless:
        made.append(
            Finding(
                code="boat-name-instead", severity="note",
                what=f"No first names for boat {', '.join(nameless)}; its own name stands there.",
                do="Add the crew's rows to crews.csv if they want their names.",
            )
        )  # fmt: skip
    appealed = [f"{n:02d}" for n in (entry.number for entry in entries) if _was_changed(n, log, points)]
    if appealed and asked.issue == 1:
        made.append(
            Finding(
                code="result-changed", severity="note",
                what=f"A result of boat {', '.join(appealed)} was changed after an appeal or a correction.",
                why="A certificate handed out before may be wrong.",
                do="If one was, print it again with --boat N --issue 2; the page then says that it replaces the first.",
            )
        )  # fmt: skip
    if asked.with_place and points is None:
        made.append(
            Finding(
                code="no-places", severity="warning", what="There are no results yet, so no place is printed.",
                do="Print again after the regatta.",
            )
        )  # fmt: skip
    return made


def _was_changed(boat: int, log: RunLog, points: DayPoints | None) -> bool:
    """By an appeal at the gate, or by a correction of a heat that counted."""
    at_gate = any(c.field in ("ending", "as_try") for run in log.book.of(boat) for c in run.corrected)
    heats = points.day.heats.values() if points else ()
    return at_gate or any(boat in event.outcomes for heat in heats for event in heat.corrected)


# on paper


def _page(season: Season, evidence: Evidence, names: Sequence[str], asked: CertificateAsk) -> Drawing:
    width, height = SIZES[asked.paper]
    for size in LETTERS:  # as large as leaves room for the graph
        sheet = Sheet(width=width, height=height)
        y = _words(sheet, season, evidence, names, size=size)
        if y <= height - ROOM:
            break
    if any(distance is not None for distance in evidence.distances):
        _graph(sheet, evidence, top=max(y, height - 124), foot=height - 42)
    _foot(sheet, season, asked)
    title = together(names) if names else evidence.title
    return sheet.drawing(f"Certificate for {title}", " ".join([*evidence.changed, *evidence.happened]))


def _words(sheet: Sheet, season: Season, evidence: Evidence, names: Sequence[str], *, size: float) -> float:
    """Who, what was changed, what happened; where the graph may begin. [mm]"""
    right, wide = sheet.width - MARGIN, sheet.width - 2 * MARGIN
    sheet.line((MARGIN, 22), (right, 22), width=1.0)
    sheet.word(MARGIN, 30.5, season.name, size=5.0, bold=True)
    sheet.word(right, 30.5, f"{season.first_day:%Y} to {season.last_day:%Y}", size=5.0, anchor="end")
    y = _large(sheet, together(names) if names else evidence.title, y=58.0, wide=wide)
    did = f"built and ran boat {evidence.title}" if names else "built, ran and understood by its crew"
    sheet.label(MARGIN, y + 11, f"{did}, {evidence.group}", width=wide, size=6.2)
    y += 27
    for head, lines in (("What we changed", evidence.changed), ("What happened", evidence.happened)):
        sheet.word(MARGIN, y, head, size=1.1 * size, bold=True)
        y += 0.8 * size
        for line in lines or ("Not recorded.",):
            y = sheet.text(MARGIN, y, line, width=wide, size=size) + 1.2
        y += 1.9 * size
    if evidence.place:
        sheet.word(MARGIN, y, evidence.place, size=1.1 * size, bold=True)
        y += 9
    return y


def _large(sheet: Sheet, title: str, *, y: float, wide: float) -> float:
    """The name, as large as it fits in one line, or in two if that would be small."""
    words = title.split(" ")
    best = [title]
    if text_width(title, size=12.0, bold=True) > wide and len(words) > 1:
        cut = min(
            range(1, len(words)), key=lambda n: abs(len(" ".join(words[:n])) - len(" ".join(words[n:])))
        )
        best = [" ".join(words[:cut]), " ".join(words[cut:])]
    size = min(17.0, *(17.0 * wide / text_width(line, size=17.0, bold=True) for line in best))
    for n, line in enumerate(best):
        sheet.word(MARGIN, y + n * size * 1.2, line, size=size, bold=True)
    return y + (len(best) - 1) * size * 1.2


def _graph(sheet: Sheet, evidence: Evidence, *, top: float, foot: float) -> None:
    """How far each run went, with the line of the gate and a mark where something was changed."""
    sheet.word(MARGIN, top, "How far each run went", size=5.4, bold=True)
    start = max(0, len(evidence.distances) - MOST_RUNS)
    shown = list(enumerate(evidence.distances))[start:]
    marks = [n for n in evidence.marks if n >= start]
    far = max((d for _, d in shown if d is not None), default=evidence.line)
    scale = (sheet.width - 2 * MARGIN - 46) / (max(far, evidence.line) * 1.02)
    left, first = MARGIN + 18, top + 13
    gap = 5.0 if len(marks) <= MOST_CHANGES else 0.0  # a line only, where there are many
    pitch = min(9.0, (foot - first - len(marks) * gap) / len(shown))
    bottom = first + len(shown) * pitch + len(marks) * gap
    gate, size = left + evidence.line * scale, min(4.2, pitch * 0.8)
    y = first
    for n, distance in shown:
        if n in marks:
            sheet.line((MARGIN, y + gap * 0.6), (left, y + gap * 0.6), width=0.6)
            if gap > 2.0:
                sheet.word(left + 2, y + gap * 0.6 + 1.2, "changed here", size=3.6)
            y += gap
        sheet.word(left - 3, y + pitch * 0.68, f"run {n + 1}", size=size, anchor="end")
        told, at = "not recorded", left + 2
        if distance is not None:
            sheet.box(left, y + pitch * 0.15, distance * scale, pitch * 0.7, fill="pale")
            told, at = f"{distance:.1f} m", left + distance * scale + 2
        if at < gate + 1 < at + text_width(told, size=size) + 2:
            at = gate + 2  # clear of the gate's line
        sheet.word(at, y + pitch * 0.68, told, size=size)
        y += pitch
    sheet.line((left, first - 3), (left, bottom), width=0.5)
    sheet.line((gate, first - 3), (gate, bottom), width=0.9, dashes=(2.0, 1.2))
    sheet.word(gate, first - 4.5, f"gate, {evidence.line:g} m", size=3.8, anchor="middle")


def _foot(sheet: Sheet, season: Season, asked: CertificateAsk) -> None:
    height = sheet.height
    y = height - 34
    half = (sheet.width - 2 * MARGIN - 12) / 2
    for x, says in ((MARGIN, "for the crew"), (MARGIN + half + 12, "for the season")):
        sheet.line((x, y), (x + half, y), width=0.4)
        sheet.word(x, y + 5, says, size=3.8)
    issue = f" Issue {asked.issue}; it replaces the one before." if asked.issue > 1 else ""
    said = f"From the crew's own log. {season.site.name}, {in_words(season.regatta)}.{issue}"
    sheet.word(MARGIN, height - 16, said, size=3.8)


def in_words(day: datetime.date) -> str:
    """``22 May 2027``."""
    return f"{day.day} {day:%B %Y}"


def certificates_as_data(made: Certificates) -> list[Mapping[str, object]]:
    """For --json; first names are not repeated there."""
    return [
        {
            "boat": e.boat,
            "title": e.title,
            "group": e.group,
            "names": len(e.names),
            "changed": list(e.changed),
            "happened": list(e.happened),
            "distances_m": [None if d is None or math.isnan(d) else d for d in e.distances],
            "place": e.place,
        }
        for e in made.evidence
    ]

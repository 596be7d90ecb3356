"""Teacher notes, the training day and the lesson wall of a season."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from skimwright import teach
from skimwright.base import Finding, InputError, MissingError, Where
from skimwright.base.drawing import Drawing
from skimwright.boat import AsBuilt, Kit
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.lessons.lesson import title_of
from skimwright.desk.people.crews import JOBS_AT_THE_TABLE, job_rota
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.tables import Rows
from skimwright.kit import guide
from skimwright.physics.thrust import Device
from skimwright.pond import Conditions, Gate
from skimwright.run import Question, effects

MARK_COLUMNS = ("boat", "step", "said", "minute")
PLANTED = 3.0  # class spreads a planted fault is large, where no boat of the season shows one [choice]
LEAST = 1.5  # class spreads below which a boat's fault is too small to be planted [choice]


@dataclass(frozen=True, kw_only=True)
class MadeNote:
    """A teacher note and its pages."""

    note: teach.Note
    pages: tuple[Drawing, ...]


def teacher_notes(
    *, words: Mapping[str, Any], first: Mapping[str, Any], topic: str = "all",
    edits: Mapping[int, str] | None = None, paper: teach.Paper = "a4", large: bool = False, foot: str = "",
) -> tuple[MadeNote, ...]:  # fmt: skip
    """One topic's note, or all of them.

    Parameters
    ----------
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    topic : str
        As typed, or "all".
    edits : mapping, optional
        Number of a fact to the school's own sentence in its place; for one topic at a time.
    paper, large, foot
        As for a lesson.

    Raises
    ------
    InputError
        No such topic or fact, or edits for all at once.
    """
    said = teach.words_of(words, first)
    every = topic.casefold() == "all"
    if every and edits:
        raise InputError(
            what="a fact is edited in one topic at a time", got="--edit with all", do="Give the topic's name.",
            where=Where(field="--edit"),
        )  # fmt: skip
    made = []
    for name in teach.NOTES if every else (teach.note_named(topic),):
        note = teach.teacher_note(name, said, edits=edits)
        made.append(
            MadeNote(note=note, pages=teach.note_pages(note, said, paper=paper, large=large, foot=foot))
        )
    return tuple(made)


@dataclass(frozen=True, kw_only=True)
class MadeTraining:
    """The training day and its pages."""

    day: teach.TrainingDay
    kit: str
    device: str
    pages: tuple[Drawing, ...]


def training_pack(
    season: Season, *, words: Mapping[str, Any], first: Mapping[str, Any], seed: int, only_answers: bool = False,
    paper: teach.Paper = "a4", large: bool = False, foot: str = "",
) -> MadeTraining:  # fmt: skip
    """A day of training on the season's commonest kit, with faults as large as the season's boats had them.

    Parameters
    ----------
    season : Season
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    seed : int
        Which fault gets which letter; the same seed prints the same answers again.
    only_answers : bool
        The sealed page alone.
    paper, large, foot
        As for a lesson.

    Raises
    ------
    MissingError
        The season has no boats.
    """
    if not season.boats:
        raise MissingError(what="this season has no boats", do="Write boats.csv first.")
    kinds = [(entry.kit, entry.device) for entry in season.boats]
    kit_name, device_name = max(dict.fromkeys(kinds), key=kinds.count)
    kit, device = season.kits[kit_name], season.devices[device_name]
    said = teach.words_of(words, first)
    faults = [_fault(key, kit, device, season.boats) for key in teach.FAULTS]
    day = teach.training_day(faults, said, seed=seed)
    pages = teach.training_pages(
        day, said, season=season.name, only_answers=only_answers, paper=paper, large=large, foot=foot
    )
    return MadeTraining(day=day, kit=kit_name, device=device_name, pages=pages)


def _fault(key: str, kit: Kit, device: Device, boats: Iterable[Entry]) -> teach.Fault:
    """One fault alone on a boat as drawn, in still air; its size from the season's worst boat of any kit."""
    if key == "deck_length":
        return teach.Fault(key=key, size=0.97, drift=None, gate_time=None, critical=None)
    wide = float(getattr(kit.tolerances, key.removesuffix("_left")))
    drawn = _drawn(kit, key)
    seen = [getattr(entry.built, key) for entry in boats if entry.kit == kit.name or key != "balance_x"]
    offs = [value - drawn for value in seen if value is not None]
    size = max(offs, key=abs, default=0.0)
    if abs(size) < LEAST * wide or (key in ("balance_x", "pad_angle_left") and size < 0):
        size = PLANTED * wide
    built = AsBuilt(boat="drawn", **{key: drawn + size})
    found = effects(
        Question(kit=kit, device=device, built=built, conditions=Conditions(), gate=Gate(), runs=20, seed=1)
    )
    effect = next(each for each in found if each.key == key)
    return teach.Fault(
        key=key, size=size, drift=_finite(effect.drift), gate_time=_finite(effect.gate_time),
        critical=_finite(effect.critical),
    )  # fmt: skip


def _drawn(kit: Kit, key: str) -> float:
    from skimwright.boat import total_mass

    return float(total_mass(kit).centre[0]) if key == "balance_x" else 0.0


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


TAKEN_BACK = "back"


@dataclass(frozen=True, kw_only=True)
class MadeWall:
    """The wall of one group and its chart."""

    wall: teach.Wall
    chart: Drawing
    findings: tuple[Finding, ...]


def wall_of(
    season: Season, group: str, *, words: Mapping[str, Any], first: Mapping[str, Any], marks: Rows | None = None,
    minute: float | None = None, foot: str = "",
) -> MadeWall:  # fmt: skip
    """Where each crew of a group stands in building, and who needs an adult next.

    Parameters
    ----------
    season : Season
    group : str
        As typed.
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    marks : Rows, optional
        What was said: boat, step, said (done, ticked, help, back), minute of the lesson; back takes the boat's
        last mark away. Boats of other groups may stand there too. None: a blank wall.
    minute : float, optional
        Of the lesson, now; the last mark's unless given. [min]
    foot : str
        What stands below.

    Raises
    ------
    InputError
        No such group, two kits in it with other steps, or a mark that cannot be read.
    """
    said = teach.words_of(words, first)
    name = next((each for each in season.groups if each.casefold() == group.strip().casefold()), None)
    if name is None:
        raise InputError(
            what="no such group in this season", got=f'"{group}"', allowed=", ".join(season.groups),
            do=nearest(group, tuple(season.groups)) or "Give one of these.", where=Where(field="--group"),
        )  # fmt: skip
    boats = [entry for entry in season.boats if entry.group == name]
    band = teach.band_for_age(season.groups[name].age_to)
    columns = {
        entry.kit: teach.wall_steps(guide.build_guide(season.kits[entry.kit], group=band)) for entry in boats
    }
    if len(set(columns.values())) > 1:
        raise InputError(
            what=f"the boats of {name} are built in different steps", got=", ".join(columns),
            allowed="one kit in a group", do="Make a wall for each kit.",
        )  # fmt: skip
    steps = next(iter(columns.values()), ())
    titles = {entry.number: title_of(entry) for entry in boats}
    others = frozenset(entry.number for entry in season.boats) - titles.keys()
    read = _standing(marks, titles, others) if marks else []
    now = minute if minute is not None else max((mark.minute for mark in read), default=0.0)
    wall = teach.lesson_wall(list(titles.values()), steps, read, minute=now)
    title = said.say("wall.title", season=season.name, group=name)
    return MadeWall(
        wall=wall, chart=teach.wall_page(wall, said, title=title, foot=foot), findings=wall.findings
    )


def _standing(marks: Rows, titles: Mapping[int, str], others: frozenset[int]) -> list[teach.StepMark]:
    """The marks that nobody took back; those of other groups' boats are passed over."""
    found: list[teach.StepMark] = []
    for row in marks.rows:
        if (boat := row.cells.get("boat", "").strip()).isdecimal() and int(boat) in others:
            continue
        is_back = row.cells.get("said", "").strip().casefold() == TAKEN_BACK
        mark = _mark({**row.cells, "said": "done"} if is_back else row.cells, row.number, marks.file, titles)
        if not is_back:
            found.append(mark)
            continue
        last = next((place for place in reversed(range(len(found))) if found[place].crew == mark.crew), None)
        if last is not None:
            found.pop(last)
    return found


def _mark(cells: Mapping[str, str], row: int, file: str, titles: Mapping[int, str]) -> teach.StepMark:
    def bad(field: str, allowed: str) -> InputError:
        return InputError(
            what="this mark cannot be read", got=f'"{cells.get(field, "")}"', allowed=allowed,
            do="Correct it.", where=Where(file=file, row=row, field=field),
        )  # fmt: skip

    try:
        boat = int(cells.get("boat", ""))
        step = int(cells.get("step", ""))
        minute = float(cells.get("minute", ""))
    except ValueError as fault:
        raise bad(
            next(f for f in ("boat", "step", "minute") if not _is_number(cells.get(f, ""))), "a number"
        ) from fault
    if boat not in titles:
        raise bad("boat", f"boats {min(titles)} to {max(titles)}")
    said = cells.get("said", "").strip().casefold()
    if said not in teach.SAID:
        raise bad("said", ", ".join((*teach.SAID, TAKEN_BACK)))
    return teach.StepMark(crew=titles[boat], step=step, said=cast(Any, said), minute=minute)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def rota_of(
    crew: str, names: Iterable[str], *, words: Mapping[str, Any], first: Mapping[str, Any], lessons: int = 6,
    foot: str = "",
) -> Drawing:  # fmt: skip
    """Who glues, holds, checks and writes in which lesson, as a page for the crew's bag.

    Parameters
    ----------
    crew : str
    names : iterable of str
        First names; nothing more of a child.
    words, first : mapping
        The parsed catalogue of the language wanted, and of the first.
    lessons : int
    foot : str
        What stands below.
    """
    rota = job_rota(tuple(names), lessons=lessons)
    return teach.rota_page(rota, JOBS_AT_THE_TABLE, teach.words_of(words, first), crew=crew, foot=foot)

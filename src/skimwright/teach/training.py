"""A day of training: run sheet, six boats with one planted fault each, sealed answers, a check-in later."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skimwright.base.drawing import Drawing
from skimwright.teach.layout import MARGIN, SIZES, Paper, Stack, pages
from skimwright.teach.numbers import BLANK, Number, number
from skimwright.teach.pages import LARGE
from skimwright.teach.worksheet import Words

# Faults that can be planted in a half-built boat and found with the tools of the build check.
FAULTS: tuple[str, ...] = (
    "blade_yaw", "device_y", "pad_angle_left", "floor_twist", "balance_x", "deck_length",
)  # fmt: skip
LETTERS = "ABCDEF"
ENOUGH = 4  # of six, to have passed the day [choice]
STARTS = 9 * 60  # minute of the day [choice]
MINUTES = (20, 60, 15, 45, 60, 45, 60, 15, 45, 25)  # of the run sheet's lines, in order [choice]


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One fault, as planted, and what it does by itself on a calm day with the kit as drawn."""

    key: str
    size: float  # in SI, as `AsBuilt` has it
    drift: float | None  # at the gate, to starboard + [m]
    gate_time: float | None  # later + [s]
    critical: float | None  # air speed at which the front pads lift, change [m/s]


@dataclass(frozen=True, kw_only=True)
class TrainingBoat:
    """One of the six."""

    letter: str
    fault: Fault
    plant: str  # for the trainer
    answer: str  # sealed
    does: str  # sealed: on the water


@dataclass(frozen=True, kw_only=True)
class TrainingDay:
    """All of it as plain data."""

    seed: int
    sheet: tuple[tuple[str, str, str], ...]  # when, what, with what
    boats: tuple[TrainingBoat, ...]
    later: tuple[str, ...]  # questions four weeks on


def training_day(faults: Sequence[Fault], words: Words, *, seed: int) -> TrainingDay:
    """The day; the same seed gives every fault the same letter again, so that lost answers can be printed anew.

    Parameters
    ----------
    faults : sequence of Fault
        One for each of `FAULTS`.
    words : Words
    seed : int
        For the letters.

    Raises
    ------
    InputError
        A fault in the file of words.
    """
    order = np.random.Generator(np.random.PCG64(seed)).permutation(len(faults))
    boats = tuple(_boat(letter, faults[i], words) for letter, i in zip(LETTERS, order, strict=True))
    what, needs = words.lines("training.sheet.what"), words.lines("training.sheet.needs")
    minute, rows = STARTS, []
    for long, does, with_what in zip(MINUTES, what, needs, strict=True):
        rows.append((f"{_clock(minute)} – {_clock(minute + long)}", does, with_what))
        minute += long
    return TrainingDay(
        seed=seed, sheet=tuple(rows), boats=boats, later=tuple(words.lines("training.later.asks"))
    )


def _clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def _boat(letter: str, fault: Fault, words: Words) -> TrainingBoat:
    size = _size(fault)
    side = words.say(f"explain.side.{'right' if fault.size > 0 else 'left'}")
    says = {"size": size, "side": side}
    return TrainingBoat(
        letter=letter, fault=fault, plant=words.say(f"training.plant.{fault.key}", **says),
        answer=words.say(f"training.answer.{fault.key}", **says), does=_does(fault, words),
    )  # fmt: skip


def _size(fault: Fault) -> Number:
    if fault.key in ("blade_yaw", "pad_angle_left", "floor_twist"):
        return number(abs(fault.size) * 57.29577951308232, "°", places=1)
    if fault.key == "deck_length":
        return number(100 * fault.size, "%", places=0)
    return number(abs(fault.size) * 1e3, "mm", places=0)


def _does(fault: Fault, words: Words) -> str:
    """The strongest thing it does, else that it hardly shows."""
    parts = []
    if fault.drift is not None and abs(fault.drift) >= 0.1:
        side = words.say(f"explain.side.{'right' if fault.drift > 0 else 'left'}")
        parts.append(words.say("training.does.drift", way=number(abs(fault.drift), "m", places=1), side=side))
    if fault.gate_time is not None and abs(fault.gate_time) >= 0.05:
        key = "training.does.later" if fault.gate_time > 0 else "training.does.sooner"
        parts.append(words.say(key, time=number(abs(fault.gate_time), "s", places=2)))
    if fault.critical is not None and fault.critical <= -0.2:
        parts.append(words.say("training.does.lifts", speed=number(-fault.critical, "m/s", places=1)))
    if fault.key == "deck_length":
        parts.append(words.say("training.does.short"))
    return " ".join(parts) or words.say("training.does.little")


def training_pages(
    day: TrainingDay, words: Words, *, season: str, only_answers: bool = False, paper: Paper = "a4",
    large: bool = False, foot: str = "",
) -> tuple[Drawing, ...]:  # fmt: skip
    """The pack: run sheet, what to plant, the trainees' card, sealed answers, the check-in four weeks later.

    Parameters
    ----------
    day : TrainingDay
    words : Words
    season : str
        Its name.
    only_answers : bool
        The sealed page alone, when it was lost.
    paper : str
        "a4" or "letter".
    large : bool
        Large print.
    foot : str
        What stands below every page.
    """
    scale = LARGE if large else 1.0
    parts = [("answers", _answers(day, words, paper, scale))]
    if not only_answers:
        parts = [
            ("sheet", _sheet(day, words, paper, scale)),
            ("plant", _plants(day, words, paper, scale)),
            ("card", _card(day, words, paper, scale)),
            *parts,
            ("later", _later(day, words, paper, scale)),
        ]
    made: list[Drawing] = []
    for name, stacks in parts:
        title = words.say(f"training.{name}.title")
        top = Stack(width=SIZES[paper][0] - 2 * MARGIN, scale=scale)
        top.text(words.say("training.page.over", season=season, number=day.seed), size=3.4)
        top.text(title, size=7.0, bold=True, after=2.0)

        def below(page: int, of: int, title: str = title) -> str:
            return words.say("training.page.foot", title=title, page=page, pages=of, foot=foot).strip()

        made += pages([top, *stacks], paper=paper, title=title, foot=below, scale=scale)
    return tuple(made)


def _stack(paper: Paper, scale: float) -> Stack:
    return Stack(width=SIZES[paper][0] - 2 * MARGIN, scale=scale)


def _sheet(day: TrainingDay, words: Words, paper: Paper, scale: float) -> list[Stack]:
    made = []
    for place, row in enumerate([tuple(words.lines("training.sheet.head")), *day.sheet]):
        stack = _stack(paper, scale)
        stack.table([row], shares=(2.2, 6, 4), size=3.8, head=not place)
        made.append(stack)
    last = _stack(paper, scale)
    last.text(words.say("training.sheet.pass", enough=ENOUGH, count=len(day.boats)), size=4.0)
    return [*made, last]


def _plants(day: TrainingDay, words: Words, paper: Paper, scale: float) -> list[Stack]:
    made = []
    for boat in day.boats:
        stack = _stack(paper, scale)
        stack.text(words.say("training.page.boat", letter=boat.letter), size=4.6, bold=True)
        stack.text(boat.plant, size=4.0)
        made.append(stack)
    return made


def _card(day: TrainingDay, words: Words, paper: Paper, scale: float) -> list[Stack]:
    first = _stack(paper, scale)
    first.text(words.say("training.card.tells", enough=ENOUGH, count=len(day.boats)), size=4.2)
    made = [first]
    for boat in day.boats:
        stack = _stack(paper, scale)
        for ask in words.lines("training.card.asks", letter=boat.letter):
            stack.write(1, says=ask, size=3.8)
        made.append(stack)
    return made


def _answers(day: TrainingDay, words: Words, paper: Paper, scale: float) -> list[Stack]:
    seal = _stack(paper, scale)
    seal.text(words.say("training.answers.seal"), size=4.6, bold=True)
    made = [seal]
    for boat in day.boats:
        stack = _stack(paper, scale)
        stack.text(words.say("training.page.boat", letter=boat.letter), size=4.6, bold=True)
        stack.text(boat.answer, size=4.0)
        stack.text(boat.does, size=4.0)
        made.append(stack)
    return made


def _later(day: TrainingDay, words: Words, paper: Paper, scale: float) -> list[Stack]:
    first = _stack(paper, scale)
    first.text(words.say("training.later.tells"), size=4.2)
    first.text(f"{words.say('training.later.name')} {BLANK}{BLANK}", size=4.2)
    made = [first]
    for place, ask in enumerate(day.later, start=1):
        stack = _stack(paper, scale)
        stack.text(f"{place}. {ask}", size=4.2)
        stack.write(2)
        made.append(stack)
    return made

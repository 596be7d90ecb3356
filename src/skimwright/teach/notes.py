"""Teacher notes: the physics of a topic on a page, common wrong ideas with a short demonstration each, standards."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skimwright.base import InputError, Where
from skimwright.base.drawing import Drawing
from skimwright.kit import guide
from skimwright.teach.fair import REPEATS
from skimwright.teach.layout import MARGIN, SIZES, Paper, Stack, pages
from skimwright.teach.methods import added_up, halved
from skimwright.teach.numbers import Number, Sum, Value, worked
from skimwright.teach.pages import LARGE
from skimwright.teach.worksheet import MEASURED, Words

LEVEL = guide.GRADE["Willow"]  # notes are for adults in a hurry: no harder than the oldest pupils' sheet
DEMO_MINUTES = 5

# Topics with their curriculum standards by code; what each says stands in the catalogue, in our words.
NOTES: Mapping[str, tuple[str, ...]] = {
    "floats": ("K-2-ETS1-2", "3-PS2-1", "MS-PS2-2"),
    "balance": ("3-PS2-1", "MS-PS2-2", "MS-ETS1-3"),
    "feet": ("3-PS2-1", "MS-PS2-2", "MS-ETS1-4"),
    "planing": ("3-PS2-1", "MS-PS2-1", "HS-PS2-1"),
    "thrust_drag": ("3-PS2-1", "MS-PS2-2", "HS-PS2-1"),
    "momentum": ("MS-PS2-1", "HS-PS2-2", "HS-PS2-3"),
    "drift": ("3-PS2-2", "MS-ETS1-3", "HS-ETS1-4"),
    "blow_over": ("3-5-ETS1-3", "MS-PS2-2", "HS-ETS1-3"),
    "fair": ("3-5-ETS1-3", "MS-ETS1-3", "MS-ETS1-4"),
    "energy": ("4-PS3-1", "MS-PS3-1", "MS-PS3-5", "HS-PS3-1", "HS-PS3-3"),
}
FROM_MEMORY = frozenset({"HS-PS3-1", "HS-PS3-3", "HS-ETS1-3", "HS-ETS1-4"})  # wording not seen by us


def _given(**texts: tuple[str, str]) -> dict[str, Value]:
    return {name: Number(text=text, unit=unit) for name, (text, unit) in texts.items()}


# What the facts take as said, and the numbers worked out from it, each in two ways.
GIVEN: dict[str, Value] = _given(
    boat_g=("269", "g"), boat_kg=("0.300", "kg"), brisk=("10", "m/s"), half=("5", "m/s"), gate=("30.48", "m"),
    off=("2.5", "m"), watch=("0.10", "s"), run_s=("3.00", "s"), crush=("0.050", "m"), hard=("0.005", "m"),
    gap=("10", "mm"), front_gap=("40", "mm"), pads=("255", "mm"), foot=("605", "mm"), stand=("345", "mm"),
    glue_s=("0.26", "s"), sd_s=("0.27", "s"), glue_m=("1.8", "m"), sd_m=("5.0", "m"), disc=("20", "g"),
)  # fmt: skip


def _half_m_v2(key: str, speed: str) -> Sum:
    return Sum(
        key=key, needs=("boat_kg", speed), unit="J", first=lambda n: 0.5 * n["boat_kg"] * n[speed] ** 2,
        again=lambda n: added_up(lambda v: float(n["boat_kg"]) * v, start=0.0, end=float(n[speed])),
    )  # fmt: skip


def _stop(key: str, way: str) -> Sum:
    return Sum(
        key=key, needs=("hit", way), unit="N", figures=2, first=lambda n: n["hit"] / n[way],
        again=lambda n: halved(lambda f: f * float(n[way]) < float(n["hit"]), low=0.0, high=1e7),
    )  # fmt: skip


def _runs(key: str, effect: str, spread: str) -> Sum:
    return Sum(
        key=key, needs=(effect, spread), places=0,
        first=lambda n: REPEATS.first({"effect": n[effect], "spread": n[spread]}),
        again=lambda n: REPEATS.again({"effect": n[effect], "spread": n[spread]}),
    )  # fmt: skip


SUMS: tuple[Sum, ...] = (
    _half_m_v2("hit", "brisk"),
    _half_m_v2("hit_half", "half"),
    _stop("soft", "crush"),
    _stop("stiff", "hard"),
    Sum(
        key="radius", needs=("gate", "off"), unit="m", places=0, first=lambda n: n["gate"] ** 2 / (2 * n["off"]),
        again=lambda n: halved(lambda r: 2 * r * float(n["off"]) < float(n["gate"]) ** 2, low=0.0, high=1e6),
    ),
    Sum(
        key="angle", needs=("gate", "off"), unit="°", places=1,
        first=lambda n: math.degrees(math.atan(n["off"] / n["gate"])),
        again=lambda n: halved(
            lambda a: math.tan(math.radians(a)) * float(n["gate"]) < float(n["off"]), low=0.0, high=80.0
        ),
    ),
    Sum(
        key="speed_off", needs=("gate", "run_s", "watch"), unit="m/s", figures=2,
        first=lambda n: n["gate"] / n["run_s"] ** 2 * n["watch"],
        again=lambda n: halved(
            lambda u: u * float(n["run_s"]) ** 2 < float(n["gate"] * n["watch"]), low=0.0, high=1e3
        ),
    ),
    Sum(
        key="share", needs=("stand", "pads", "foot"), unit="%", places=0,
        first=lambda n: 100 * (n["stand"] - n["pads"]) / (n["foot"] - n["pads"]),
        again=lambda n: 100 * halved(
            lambda s: s * float(n["foot"] - n["stand"]) < (1 - s) * float(n["stand"] - n["pads"]),
            low=0.0, high=1.0,
        ),
    ),
    Sum(
        key="moved", needs=("boat_g", "stand", "disc", "foot"), unit="mm", places=0,
        first=lambda n: n["disc"] * (n["foot"] - n["stand"]) / (n["boat_g"] + n["disc"]),
        again=lambda n: halved(
            lambda x: n["boat_g"] * x < n["disc"] * (n["foot"] - n["stand"] - x), low=0.0, high=1e4
        ),
    ),
    Sum(
        key="roof", needs=("gap", "front_gap"), figures=2, first=lambda n: 1 - n["gap"] / n["front_gap"],
        again=lambda n: added_up(
            lambda s: 1 - (float(n["gap"]) / (float(n["front_gap"]) - float(n["front_gap"] - n["gap"]) * s)) ** 2,
            start=0.0, end=1.0,
        ),
    ),
    _runs("by_clock", "glue_s", "sd_s"),
    _runs("by_tape", "glue_m", "sd_m"),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class WrongIdea:
    """What pupils, and many adults, think; what is so; and how to show it."""

    idea: str
    truth: str
    demo: str  # five minutes


@dataclass(frozen=True, kw_only=True)
class Note:
    """One topic."""

    topic: str
    title: str
    tells: tuple[str, ...]
    facts: tuple[tuple[str, bool], ...]  # with whether the teacher has edited it
    ideas: tuple[WrongIdea, ...]
    standards: tuple[tuple[str, str], ...]  # code, what it asks
    reading_grade: float | None
    word_count: int

    @property
    def edited(self) -> bool:
        """A fact is not ours."""
        return any(edited for _, edited in self.facts)


def note_named(word: str) -> str:
    """A topic by the name a person types.

    Raises
    ------
    InputError
        No such topic.

    Examples
    --------
    >>> note_named("Blow-over")
    'blow_over'
    """
    name = "_".join(word.casefold().replace("-", " ").split())
    if name in NOTES:
        return name
    raise InputError(
        what="no such topic", got=f'"{word}"', allowed=", ".join(topic.replace("_", "-") for topic in NOTES),
        do="Give one of these.", where=Where(field="TOPIC"),
    )  # fmt: skip


def teacher_note(topic: str, words: Words, *, edits: Mapping[int, str] | None = None) -> Note:
    """The note of a topic.

    Parameters
    ----------
    topic : str
        One of `NOTES`.
    words : Words
    edits : mapping, optional
        Number of a fact, from 1, to the teacher's own sentence in its place.

    Raises
    ------
    InputError
        No fact of that number, or an empty one.
    ModelError
        Two ways to a number differ.
    """
    numbers = dict(GIVEN)
    for each in SUMS:
        numbers[each.key] = worked(each, numbers)
    fields = {name: str(value) for name, value in numbers.items()}
    facts = [(line, False) for line in words.lines(f"note.{topic}.facts", **fields)]
    for place, text in (edits or {}).items():
        if not 1 <= place <= len(facts) or not text.strip():
            raise InputError(
                what="no such fact to edit, or nothing in its place", got=f"{place}={text}".strip(),
                allowed=f"1 to {len(facts)}, and a sentence", do='Write for example --edit "2=Our water is salty."',
                where=Where(field="--edit"),
            )  # fmt: skip
        facts[place - 1] = (" ".join(text.split()), True)
    tells = tuple(words.lines(f"note.{topic}.tells", **fields))
    ideas = tuple(
        WrongIdea(idea=idea, truth=truth, demo=demo)
        for idea, truth, demo in zip(
            *(words.lines(f"note.{topic}.{part}", **fields) for part in ("ideas", "truths", "demos")),
            strict=True,
        )
    )
    lines = [*tells, *(fact for fact, _ in facts), *(f"{each.truth} {each.demo}" for each in ideas)]
    said = [MEASURED.sub(" ", line) for line in lines]
    return Note(
        topic=topic, title=words.say(f"note.{topic}.title"), tells=tells, facts=tuple(facts), ideas=ideas,
        standards=tuple((code, words.say(f"standard.{code}")) for code in NOTES[topic]),
        reading_grade=guide.reading_grade(said) if words.find("about.reading") == "flesch-kincaid" else None,
        word_count=sum(len([w for w in line.split() if w[:1].isalpha()]) for line in said),
    )  # fmt: skip


def note_pages(
    note: Note, words: Words, *, paper: Paper = "a4", large: bool = False, foot: str = ""
) -> tuple[Drawing, ...]:
    """A note on paper, one page in usual print.

    Parameters
    ----------
    note : Note
    words : Words
    paper : str
        "a4" or "letter".
    large : bool
        Large print.
    foot : str
        What stands below every page.
    """
    scale = LARGE if large else 1.0
    say = words.say

    def stack() -> Stack:
        return Stack(width=SIZES[paper][0] - 2 * MARGIN, scale=scale)

    top = stack()
    top.text(say("note.page.over"), size=3.4)
    top.text(note.title, size=7.0, bold=True, after=1.5)
    for line in note.tells:
        top.text(line, size=4.3)
    facts = stack()
    facts.text(say("note.page.facts"), size=5.0, bold=True)
    for place, (fact, edited) in enumerate(note.facts, start=1):
        facts.text(f"{place}. {fact}{' ' + say('page.edited') if edited else ''}", size=4.3, inset=2.0)
    stacks = [top, facts]
    for place, each in enumerate(note.ideas):
        idea = stack()
        if not place:
            idea.text(say("note.page.ideas", minutes=DEMO_MINUTES), size=5.0, bold=True)
        idea.text(say("note.page.quote", idea=each.idea), size=4.3, bold=True)
        idea.text(each.truth, size=4.3, inset=3.0)
        idea.text(f"{say('note.page.show')} {each.demo}", size=4.3, inset=3.0)
        stacks.append(idea)
    last = stack()
    last.text(say("note.page.standards"), size=5.0, bold=True)
    for code, asks in note.standards:
        memory = f" {say('note.page.memory')}" if code in FROM_MEMORY else ""
        last.text(f"{code}: {asks}{memory}", size=3.9, inset=2.0, after=0.6)
    last.text(_level(note, words), size=3.2)
    if note.edited:
        last.text(say("note.page.edited"), size=3.2)
    stacks.append(last)

    def below(page: int, of: int) -> str:
        return say("note.page.foot", title=note.title, page=page, pages=of, foot=foot).strip()

    return pages(stacks, paper=paper, title=note.title, foot=below, scale=scale)


def _level(note: Note, words: Words) -> str:
    if note.reading_grade is None:
        return words.say("page.reading_none")
    return words.say(
        "note.page.reading", grade=f"{note.reading_grade:.1f}", count=note.word_count, limit=LEVEL
    )


def all_notes(words: Words, topics: Sequence[str] = tuple(NOTES)) -> tuple[Note, ...]:
    """Every topic's note."""
    return tuple(teacher_note(topic, words) for topic in topics)

"""One crew's worksheet as plain data: what is asked, what the answer is, and how hard the text reads."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from skimwright.kit import guide
from skimwright.teach.facts import AGES, Band, Facts, numbers_of
from skimwright.teach.numbers import BLANK, Number, Sum, Value, worked
from skimwright.teach.sums import SAID, SUMS

POINT = re.compile(r"(?<=\d)\.(?=\d)")  # of a decimal


@dataclass(frozen=True, kw_only=True)
class Words(guide.GuideWords):
    """The words of one language, with its decimal sign in every number put into them."""

    def say(self, key: str, **fields: object) -> str:
        """The sentence under "section.name", filled in."""
        return super().say(key, **{name: self.local(value) for name, value in fields.items()})

    def lines(self, key: str, **fields: object) -> list[str]:
        """A list of sentences, filled in."""
        return super().lines(key, **{name: self.local(value) for name, value in fields.items()})

    def local(self, value: object) -> str:
        """A number or a text as this language writes it."""
        return POINT.sub(str(self.find("about.decimal")), str(value))

    def joined(self, parts: Iterable[object]) -> str:
        """A row of numbers: where the decimal sign is a comma, something else must stand between them."""
        return str(self.find("about.between")).join(self.local(part) for part in parts)


UNITS = {"g": "g", "kg": "kg", "mm": "mm", "cm": "cm", "m": "m", "s": "s", "n": "N"}
MEASURED = re.compile(rf"(?:\d[\d.,]*|{BLANK})(?:\s?(?:kg/m³|g/mm³|m/s²|m/s|mm|cm|kg|[gmsNJ])(?![A-Za-z]))?")
COLUMN = {  # of boats.csv: what a sheet makes of it
    "mass_g": ("mass_g", "mass_kg"),
    "balance_x_mm": ("balance_mm", "stand_mm"),
}


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question; its answer is None where a measurement is missing."""

    key: str
    asks: str
    answer: Number | None
    working: str  # with the answer in it; blank where there is none
    missing: tuple[str, ...] = ()  # names of the catalogue


@dataclass(frozen=True, kw_only=True)
class Topic:
    """One idea: a hunch, what it is about, and what to work out."""

    key: str
    title: str
    hunch: str
    tells: str
    questions: tuple[Question, ...]


@dataclass(frozen=True, kw_only=True)
class Worksheet:
    """A sheet with its answers."""

    facts: Facts
    band: Band
    numbers: tuple[tuple[str, str], ...]  # what, value or a line to write on
    topics: tuple[Topic, ...]
    reading_grade: float | None  # None: no formula for this language
    word_count: int
    edited: tuple[str, ...] = ()  # in words

    @property
    def reading_limit(self) -> int:
        """The band's setting."""
        return guide.GRADE[self.band]

    @property
    def answers(self) -> tuple[Number | None, ...]:
        """In order."""
        return tuple(question.answer for topic in self.topics for question in topic.questions)


def words_of(table: Mapping[str, Any], first: Mapping[str, Any]) -> Words:
    """The words of a language; what it lacks is taken from the first."""
    return Words(table=table, first=first)


def gaps_between(table: Mapping[str, Any], first: Mapping[str, Any], above: str = "") -> tuple[str, ...]:
    """Keys of the first language that another lacks, or has a list of another length for.

    Examples
    --------
    >>> gaps_between({"a": {"b": "x"}}, {"a": {"b": "y", "c": "z"}})
    ('a.c',)
    """
    found: list[str] = []
    for key, value in first.items():
        other = table.get(key)
        if isinstance(value, Mapping):
            found += gaps_between(other if isinstance(other, Mapping) else {}, value, f"{above}{key}.")
        elif other is None or (isinstance(value, list) and len(other) != len(value)):
            found.append(f"{above}{key}")
    return tuple(found)


def make_worksheet(facts: Facts, band: Band, words: Words) -> Worksheet:
    """The sheet of one boat for one age band.

    Parameters
    ----------
    facts : Facts
    band : Band
    words : Words
        Of one language, from :func:`words_of`.

    Raises
    ------
    ModelError
        Two ways to an answer differ: there is no sheet then.
    InputError
        A fault in the file of words.

    Examples
    --------
    ``make_worksheet(gravel, "Rush", words).topics[0].questions[1].answer`` is 1.8 mm.
    """
    numbers: dict[str, Value] = {**SAID, **numbers_of(facts, band)}
    units = {**_units(numbers), **{ask.key: ask.unit for asks in SUMS[band].values() for ask in asks}}
    topics = tuple(_topic(name, asks, numbers, units, band, words) for name, asks in SUMS[band].items())
    marked = {name for column in facts.edited for name in COLUMN[column]}
    rows = tuple(
        (
            words.say(f"name.{name}"),
            _shown(name, numbers, units, words, edited=words.say("page.edited") * (name in marked)),
        )
        for name in words.find(f"numbers.{band}")
    )
    text = _sentences(topics)
    grade = guide.reading_grade(text) if words.find("about.reading") == "flesch-kincaid" else None
    return Worksheet(
        facts=facts, band=band, numbers=rows, topics=topics, reading_grade=grade,
        word_count=sum(len([w for w in line.split() if w[:1].isalpha()]) for line in text),
        edited=tuple(f"{words.say(f'name.{COLUMN[column][0]}')} {words.local(numbers[COLUMN[column][0]])}"
                     for column in sorted(facts.edited)),
    )  # fmt: skip


def _topic(
    name: str, asks: list[Sum], numbers: dict[str, Value], units: Mapping[str, str], band: Band, words: Words
) -> Topic:
    questions = []
    for ask in asks:
        before = {key: _shown(key, numbers, units, words) for key in numbers}
        answer = numbers[ask.key] = worked(ask, numbers)
        if ask.given:
            continue
        fields = {key: _shown(key, numbers, units, words) for key in numbers}
        questions.append(
            Question(
                key=ask.key,
                asks=words.say(f"ask.{band}.{ask.key}", **{**_blanks(units), **before}),
                answer=answer if isinstance(answer, Number) else None,
                working=words.say(f"key.{band}.{ask.key}", **fields) if answer else "",
                missing=tuple(need for need in ask.needs if numbers.get(need) is None),
            )
        )
    shown = {key: _shown(key, numbers, units, words) for key in numbers}
    return Topic(
        key=name, title=words.say(f"topic.{name}"), hunch=words.say(f"hunch.{name}"),
        tells=words.say(f"tell.{band}.{name}", **{**_blanks(units), **shown}), questions=tuple(questions),
    )  # fmt: skip


def _units(numbers: Mapping[str, Value]) -> dict[str, str]:
    """The unit that stands behind a blank line."""
    return {name: UNITS.get(name.rsplit("_", 1)[-1], "") for name in numbers}


def _blanks(units: Mapping[str, str]) -> dict[str, str]:
    return {name: f"{BLANK} {unit}".strip() for name, unit in units.items()}


def _shown(
    name: str, numbers: Mapping[str, Value], units: Mapping[str, str], words: Words, edited: str = ""
) -> str:
    value = numbers.get(name)
    if value is None:
        return f"{BLANK} {units.get(name, UNITS.get(name.rsplit('_', 1)[-1], ''))}".strip()
    if isinstance(value, tuple):
        return f"{words.joined(each.text for each in value)} {value[0].unit}"
    return f"{words.local(value)} {edited}".strip()


def _sentences(topics: tuple[Topic, ...]) -> list[str]:
    """The running text; titles, tables, figures and their short units would flatter the level."""
    text: list[str] = []
    for topic in topics:
        text += [topic.tells, *(question.asks for question in topic.questions)]
    return [MEASURED.sub(" ", line) for line in text]


def ages_of(band: Band, words: Words) -> str:
    """``9 to 11``."""
    low, high = AGES[band]
    return words.say("page.ages", low=low, high=high)

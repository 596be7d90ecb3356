"""The build guide of a kit, ready to print, with what was measured of it."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skimwright.base import Finding, InputError, MissingError, Where
from skimwright.base.drawing import Drawing
from skimwright.boat import Kit
from skimwright.kit import guide as book

FIRST_LANGUAGE = "en"


@dataclass(frozen=True, kw_only=True)
class GuideAsk:
    """How a guide is wanted."""

    group: str = "Rush"
    large_print: bool = False
    language: str = FIRST_LANGUAGE
    paper: str = "a4"
    supervision: str = ""  # the school's own adults to pupils, "1:4"; blank: not set
    part: str = ""  # only the page of this part, lost or broken; blank: the whole guide


@dataclass(frozen=True, kw_only=True)
class MadeGuide:
    """A guide as pages, and its steps as data."""

    kit: Kit
    guide: book.Guide
    words: book.GuideWords
    pages: tuple[Drawing, ...]
    reading_grade: float | None  # None: no formula for this language
    findings: tuple[Finding, ...]

    @property
    def reading_limit(self) -> int:
        """The group's setting."""
        return book.GRADE[self.guide.group]


def make_guide(
    kit: Kit, ask: GuideAsk, *, languages: Mapping[str, Mapping[str, Any]], steps_only: bool = False
) -> MadeGuide:
    """The pages of a kit's guide, or the one page of a lost part.

    Parameters
    ----------
    kit : Kit
        What is built.
    ask : GuideAsk
        For whom and on what paper.
    languages : mapping
        Parsed files of words by their two letters; "en" must be among them.
    steps_only : bool
        Draw no pages: for screens, which show a step at a time.

    Raises
    ------
    InputError
        An age group, paper or language that is not there, or a fault in a file of words.
    MissingError
        The kit has no such part.

    Examples
    --------
    ``len(make_guide(fold_62, GuideAsk(), languages={"en": words}).pages)`` is 20.
    """
    group: book.AgeGroup = _one_of(ask.group, tuple(book.GRADE), "--group")  # type: ignore[assignment]
    paper: book.Paper = _one_of(ask.paper, ("a4", "letter"), "--paper")  # type: ignore[assignment]
    language = _one_of(ask.language, tuple(sorted(languages)), "--language")
    words = book.GuideWords(table=languages[language], first=languages[FIRST_LANGUAGE])
    built = book.build_guide(kit, group=group)
    pages: tuple[Drawing, ...] = ()
    if ask.part:
        pages = (book.reprint_page(built, ask.part, words, paper=paper),)
    elif not steps_only:
        setting = book.Setting(paper=paper, large_print=ask.large_print, supervision=ask.supervision)
        pages = book.guide_pages(built, words, setting)
    grade = book.reading_level(built, words)
    return MadeGuide(
        kit=kit,
        guide=built,
        words=words,
        pages=pages,
        reading_grade=grade,
        findings=(*_without_joints(kit), *_findings(words, grade, group, language)),
    )


def _without_joints(kit: Kit) -> list[Finding]:
    glued = {name for joint in kit.joints for name in (joint.part_a, joint.part_b)}
    loose = [part.name for part in kit.parts if part.name not in glued]
    if not loose:
        return []
    return [
        Finding(
            code="no-joint",
            severity="warning",
            what=f"No joint is drawn for {', '.join(loose)}.",
            why="The guide keeps the order of the drawing there and shows no glue line.",
            do="Look through the steps before you hand it out; write the parts in building order in the kit file.",
            where=kit.name,
        )
    ]


def _findings(
    words: book.GuideWords, grade: float | None, group: book.AgeGroup, language: str
) -> list[Finding]:
    found = []
    if words.gaps:
        found.append(
            Finding(
                code="words-missing",
                severity="note",
                what=f"{len(words.gaps)} sentences are not in {language} yet: {', '.join(words.gaps)}.",
                do="They are printed in English; add them to the file of words.",
                where=language,
            )
        )
    if grade is not None and grade > book.GRADE[group]:
        found.append(
            Finding(
                code="reading-level",
                severity="warning",
                what=f"The text reads at grade {grade:.1f}; the setting for {group} is {book.GRADE[group]}.",
                why="Pupils will skip what they cannot read.",
                do="Make the sentences in the file of words shorter.",
                where=language,
            )
        )
    return found


def _one_of(word: str, choices: tuple[str, ...], field: str) -> str:
    for choice in choices:
        if choice.casefold() == word.casefold():
            return choice
    close = difflib.get_close_matches(word, choices, n=1, cutoff=0.5)
    raise InputError(
        what="not one of those we have",
        got=f'"{word}"',
        allowed=", ".join(choices),
        do=f"Did you mean {close[0]}?" if close else "Give one of these.",
        where=Where(field=field),
    )


def step_data(made: MadeGuide) -> list[dict[str, Any]]:
    """Every step as plain data for other pages and programs; outside units."""
    found = []
    for step in made.guide.steps:
        said = book.step_words(made.guide, step, made.words)
        found.append(
            {
                "step": step.number,
                "group": step.group,
                "title": said.title,
                "parts": list(step.parts),
                "joints": [[joint.part_a, joint.part_b, joint.kind] for joint in step.joints],
                "deck_down": step.deck_down,
                "turn_over": step.turn_over,
                "marks": [
                    {"part": mark.part, "from_bow_mm": round(mark.from_bow * 1e3, 2)} for mark in step.marks
                ],
                "do": list(said.lines),
                "check": said.check,
                "why": said.why,
                "show_me": step.show_me,
                "jobs": book.jobs_line(step, made.words, group=made.guide.group),
                "minutes": round(step.time / 60, 1),
                "glue_mm": round(step.glue_length * 1e3, 1),
                "glue_g": round(step.glue_mass * 1e3, 2),
            }
        )
    return found


def step_drawings(made: MadeGuide, number: int, *, width: float = 100.0) -> tuple[Drawing, ...]:
    """The picture of a step for a screen; a second one if the first hides a joint.

    Parameters
    ----------
    number : int
        Of the step, from 1.
    width : float
        Of the picture. [mm]

    Raises
    ------
    MissingError
        The guide has no such step.
    """
    if not 1 <= number <= len(made.guide.steps):
        raise MissingError(
            what="the guide has no such step", got=str(number), allowed=f"1 to {len(made.guide.steps)}",
            do="Go to one of these.",
        )  # fmt: skip
    step = made.guide.steps[number - 1]
    said = {"bow": made.words.say("page.bow"), "title": book.step_words(made.guide, step, made.words).title}
    first = book.step_picture(
        made.guide, step, width=width, height=0.8 * width, said=said, size=0.034 * width
    )
    other = book.other_side(
        made.guide,
        step,
        first,
        width=width,
        height=0.6 * width,
        title=f"{said['title']}, from the other side",
    )
    return (first.drawing, *([other] if other else []))

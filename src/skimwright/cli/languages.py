"""In which language lessons and the adults' pages are printed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skimwright.base import Finding, InputError, Where
from skimwright.cli.verb import Ask, Option

FIRST = "en"


def letters(given: str, where: Where) -> str:
    """Reads two letters."""
    return given.strip().lower()


LANGUAGE = Option(
    flag="--language", value="XX", does="two letters: en or de; en unless given", usual=FIRST, read=letters
)


@dataclass(frozen=True, kw_only=True)
class Spoken:
    """The sentences of a language, and those of the first to fall back on."""

    letters: str
    words: Mapping[str, Any]
    first: Mapping[str, Any]
    foot: str  # what stands below every page
    findings: tuple[Finding, ...]  # sentences it does not have yet


def spoken(ask: Ask) -> Spoken:
    """The language asked for.

    Raises
    ------
    InputError
        There are no sentences in it.
    """
    from skimwright import desk

    chosen = ask.given["language"]
    known = ask.files.lesson_languages()
    if chosen not in known:
        raise InputError(
            what="no such language", got=f'"{chosen}"', allowed=", ".join(known),
            do="Give one of these; a new one is a copy of teach/words/en.toml.", where=Where(field="--language"),
        )  # fmt: skip
    first = ask.files.table(known[FIRST])
    words = first if chosen == FIRST else ask.files.table(known[chosen])
    return Spoken(
        letters=chosen, words=words, first=first,
        foot=desk.printed_on(words, first, day=ask.files.today()), findings=desk.missing_words(words, first, chosen),
    )  # fmt: skip

"""What one source is: who wrote it, where it stands, and what of it we have read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

SourceStatus = Literal["seen", "second-hand", "derived", "memory"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """One book, paper, standard, or sum of our own.

    ``seen`` is read in the source's own text, ``second-hand`` as somebody else quotes it, ``derived`` worked out
    by us from a stated law, ``memory`` written down from memory: the last never holds up a test.
    """

    author: str
    year: int | None
    title: str
    where: str  # journal, report number, page on the web
    status: SourceStatus
    seen: str  # which part, by whom, when


def cite(source: Source) -> str:
    """One line for a reference list.

    Examples
    --------
    >>> cite(Source(author="A. Sample", year=1964, title="Boats", where="J. Boats 1", status="seen", seen="all"))
    'A. Sample (1964). Boats. J. Boats 1. [seen: all]'
    """
    year = "" if source.year is None else f" ({source.year})"
    return f"{source.author}{year}. {source.title}. {source.where}. [{source.status}: {source.seen}]"

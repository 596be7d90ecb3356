"""A page as plain data: sentences, tables and drawings in the order a person reads them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from skimwright.base.drawing import Drawing

State = Literal["ok", "care", "stop", ""]


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading within the page."""

    text: str


@dataclass(frozen=True, kw_only=True)
class Text:
    """A paragraph."""

    text: str
    small: bool = False


@dataclass(frozen=True, kw_only=True)
class Notice:
    """A sentence that must be seen: shape, word and border carry it, colour only helps."""

    state: State
    text: str


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows under a heading row; a cell may carry a link."""

    head: tuple[str, ...]
    rows: tuple[tuple[str | Link, ...], ...]
    caption: str = ""
    numbers: tuple[int, ...] = ()  # columns set flush right


@dataclass(frozen=True, kw_only=True)
class Link:
    """Words that lead to another page of the same folder."""

    text: str
    to: str


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A drawing with what stands under it."""

    drawing: Drawing
    caption: str = ""


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Two or more stacks beside each other on a wide sheet, one after another on a phone."""

    stacks: tuple[tuple[Block, ...], ...]


Block = Heading | Text | Notice | Table | Picture | Columns


@dataclass(frozen=True, kw_only=True)
class Page:
    """One page."""

    title: str
    over: str = ""  # the line above the title: season, group
    blocks: tuple[Block, ...]
    foot: str = ""
    home: str = ""  # link back, blank on the first page
    language: str = "en"

"""What a season keeps about one child, and how to erase it."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from skimwright.base import Finding
from skimwright.desk.people.crews import Child, Crews
from skimwright.desk.seasons.keep_season import SeasonContents, SeasonEvent

SOMEBODY = "a pupil"
FREE_TEXT = (
    "note",
    "reason",
    "guess",
    "change",
    "who",
    "why",
    "what",
    "phone",
    "person",
)  # columns people write in
AUDIT = "forgotten.csv"
AUDIT_COLUMNS = ("at", "by", "what", "files", "places")
# In words, every time: it must be known what a program cannot do.
OUT_OF_REACH = (
    "paper: certificates, worksheets, lists and labels that were printed",
    "copies: what `keep` wrote to a stick or into the folder kept, what `export` wrote, pages and PDFs made before",
    "other people's phones, messages and photographs",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Mention:
    """One place where the child stands."""

    file: str
    row: int | None  # of a list
    column: str
    text: str
    is_erased: bool  # False: shown to a person, for it may be another or a boat's name


@dataclass(frozen=True, kw_only=True)
class Kept:
    """Everything a season keeps about one child, and the season without it."""

    child: Child
    mentions: tuple[Mention, ...]
    files: Mapping[str, bytes]  # those that change, as they will be
    events: Mapping[str, SeasonEvent] = field(default_factory=dict)  # by key, those that change
    findings: tuple[Finding, ...] = ()

    @property
    def erased(self) -> tuple[Mention, ...]:
        """What goes."""
        return tuple(mention for mention in self.mentions if mention.is_erased)

    @property
    def left(self) -> tuple[Mention, ...]:
        """What a person must look at."""
        return tuple(mention for mention in self.mentions if not mention.is_erased)


def kept_about(contents: SeasonContents, crews: Crews, child: Child) -> Kept:
    """Every place in a season where one child stands.

    The row in ``crews.csv`` goes.  First name with initial goes wherever it stands.  The bare first name goes from the
    columns people write in, if nobody else of the season has it; elsewhere it may be a boat's name or a word, and is
    shown.

    Parameters
    ----------
    contents : SeasonContents
        The season's files and events.
    crews : Crews
        Its pupils.
    child : Child
        The one meant.
    """
    shared = sum(c.first_name.casefold() == child.first_name.casefold() for c in crews.children) > 1
    look = _Look(child, is_only=not shared)
    files: dict[str, bytes] = {}
    mentions: list[Mention] = []
    for name, raw in sorted(contents.files.items()):
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError:
            mentions += [Mention(file=name, row=None, column="", text="cannot be read", is_erased=False)]
            continue
        found, after = look.in_list(name, text) if name.endswith(".csv") else look.in_text(name, text)
        mentions += found
        if after != text:
            files[name] = after.encode("utf8")
    events = {}
    for number, event in enumerate(contents.events, 1):
        found, changed = look.in_event(event, number)
        mentions += found
        if changed != event:
            events[event.key] = changed
    kept = Kept(child=child, mentions=tuple(mentions), files=files, events=events)
    return replace(kept, findings=tuple(_findings(kept, shared=shared)))


class _Look:
    """Finds one name, and writes it out."""

    def __init__(self, child: Child, *, is_only: bool) -> None:
        first = re.escape(child.first_name)
        self._child, self._is_only = child, is_only
        self._bare = re.compile(rf"(?<![^\W_]){first}(?![^\W_])", re.I)
        initial = re.escape(child.initial[:1])
        self._full = (
            re.compile(rf"(?<![^\W_]){first}\s+{initial}(?:\.|(?![^\W_]))", re.I) if initial else None
        )

    def _without(self, text: str, *, is_free: bool) -> str:
        after = self._full.sub(SOMEBODY, text) if self._full else text
        return self._bare.sub(SOMEBODY, after) if is_free and self._is_only else after

    def in_list(self, name: str, text: str) -> tuple[list[Mention], str]:
        """A CSV file; the child's own row goes whole."""
        separator = max(",;\t", key=text.split("\n", 1)[0].count)
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
        heading = [cell.strip().lower().replace(" ", "_") for cell in rows[0]] if rows else []
        found: list[Mention] = []
        after = []
        for number, cells in enumerate(rows, 1):
            if name == "crews.csv" and number == self._child.row:
                found.append(Mention(file=name, row=number, column="", text=", ".join(cells), is_erased=True))
                continue
            kept = []
            for n, cell in enumerate(cells):
                column = heading[n] if n < len(heading) else ""
                mentions, clean = self._cell(name, number, column, cell, is_free=column in FREE_TEXT)
                found += mentions if name != "crews.csv" else []  # another's row
                kept.append(clean if name != "crews.csv" else cell)
            after.append(kept)
        if after == rows:
            return found, text
        out = io.StringIO()
        csv.writer(out, delimiter=separator, lineterminator="\n").writerows(after)
        return found, out.getvalue()

    def in_text(self, name: str, text: str) -> tuple[list[Mention], str]:
        """Any other text, line by line."""
        found: list[Mention] = []
        after = []
        for number, line in enumerate(text.split("\n"), 1):
            mentions, clean = self._cell(name, number, "", line, is_free=name.endswith((".txt", ".md")))
            found += mentions
            after.append(clean)
        return found, "\n".join(after)

    def in_event(self, event: SeasonEvent, number: int) -> tuple[list[Mention], SeasonEvent]:
        """What a phone sent."""
        name = "events.csv"
        found: list[Mention] = []
        changed = {}
        for column, text in (("who", event.who), ("phone", event.phone), ("payload", event.payload_text)):
            mentions, clean = self._cell(name, number, column, text, is_free=True)
            found += mentions
            if clean != text:
                changed[column] = json.loads(clean) if column == "payload" else clean
        return found, replace(event, **changed) if changed else event  # type: ignore[arg-type]

    def _cell(
        self, name: str, row: int, column: str, cell: str, *, is_free: bool
    ) -> tuple[list[Mention], str]:
        if not self._bare.search(cell):
            return [], cell
        clean = self._without(cell, is_free=is_free)
        gone = not self._bare.search(clean)
        return [Mention(file=name, row=row, column=column, text=cell.strip()[:200], is_erased=gone)], clean


def _findings(kept: Kept, *, shared: bool) -> list[Finding]:
    found = []
    if kept.left:
        why = (
            "Another pupil has this first name."
            if shared
            else "There it may be a boat's name or only a word."
        )
        found.append(
            Finding(
                code="look-at-these", severity="warning",
                what=f"The first name also stands in {len(kept.left)} "
                f"{'place' if len(kept.left) == 1 else 'places'} that were left alone.",
                why=why, do="Look at each, and change it by hand if it means this child.",
            )
        )  # fmt: skip
    return found


def audit_row(kept: Kept, *, at: str, by: str, is_exported: bool) -> dict[str, str]:
    """One line that says what was done, and not to whom."""
    files = {mention.file for mention in kept.erased}
    did = "written out and erased" if is_exported else "erased"
    return {
        "at": at, "by": by, "what": f"one child's data {did}", "files": str(len(files)),
        "places": str(len(kept.erased)),
    }  # fmt: skip

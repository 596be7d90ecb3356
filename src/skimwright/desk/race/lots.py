"""Lots for a list of entries: who is in, the draw, and what a withdrawal or a late entry changes."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from skimwright.base import Finding, InputError, MissingError, Where
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.tables import Row, Rows
from skimwright.regatta import Change, Draw, draw_lots, redraw

COLUMNS = ("boat", "name", "group", "also", "entered", "withdrawn", "note")


@dataclass(frozen=True, kw_only=True)
class RaceEntry:
    """One row of ``entries.csv``: a boat and the races it is in."""

    boat: int
    name: str = ""
    groups: tuple[str, ...] = ()  # its own first, then those it enters as well
    withdrawn: str = ""  # when or why, in the organiser's words; blank if it races
    row: int = 0

    @property
    def label(self) -> str:
        """``07 Gravel``."""
        return f"{self.boat:02d} {self.name}".strip()


@dataclass(frozen=True, kw_only=True)
class Entries:
    """The list of entries."""

    file: str
    rows: tuple[RaceEntry, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def groups(self) -> tuple[str, ...]:
        """Every group named, in the order of the list."""
        return tuple(dict.fromkeys(group for row in self.rows for group in row.groups))

    def of_group(self, group: str | None) -> tuple[RaceEntry, ...]:
        """Who races in a group; everybody if it is None.

        Raises
        ------
        MissingError
            No entry names this group.
        """
        if group is None:
            return self.rows
        chosen = next((name for name in self.groups if name.casefold() == group.casefold()), None)
        if chosen is None:
            raise MissingError(
                what="nobody is entered in this group",
                got=f'"{group}"',
                allowed=", ".join(self.groups) or "a column headed group",
                do=nearest(group, self.groups) or "Leave --group out.",
                where=Where(file=self.file, field="group"),
            )
        return tuple(row for row in self.rows if chosen in row.groups)

    def names(self) -> dict[int, str]:
        """Boat names by number."""
        return {row.boat: row.name for row in self.rows}


@dataclass(frozen=True, kw_only=True)
class Step:
    """One change after the lots were published: a boat leaves or comes after a heat."""

    boat: int
    after_heat: int = 0


@dataclass(frozen=True, kw_only=True)
class Lots:
    """The lots as they stand, what changed since they were published, and what to know."""

    draw: Draw
    published: Draw
    entries: tuple[RaceEntry, ...]
    changes: tuple[Change, ...] = ()
    findings: tuple[Finding, ...] = ()


def read_entries(rows: Rows) -> Entries:
    """Every row of ``entries.csv``.

    Only the column ``boat`` must be there.  Columns we do not know are passed over with a note, unless one
    looks like a misspelt one of ours.

    Raises
    ------
    InputError
        No such column, no rows, a number that is none, a number twice.
    """
    findings = _check_columns(rows)
    entries: dict[int, RaceEntry] = {}
    for row in rows.rows:
        entry = _read_entry(row, rows.file)
        if entry.boat in entries:
            raise InputError(
                what=f"boat {entry.boat} is entered already, in row {entries[entry.boat].row}",
                allowed="each boat once",
                do="Delete one of the two; further races go into the column also, parted by semicolons.",
                where=Where(file=rows.file, row=row.number, field="boat"),
            )
        entries[entry.boat] = entry
    if not entries:
        raise InputError(
            what="nobody is entered below the heading",
            allowed="one row for each boat",
            do="Write a row.",
            where=Where(file=rows.file),
        )
    return Entries(file=rows.file, rows=tuple(entries.values()), findings=tuple(findings))


def _check_columns(rows: Rows) -> list[Finding]:
    if "boat" not in rows.columns:
        raise InputError(
            what="this column is missing",
            allowed=f"a column boat; if wanted {', '.join(COLUMNS[1:])}",
            do="Head the column of boat numbers boat.",
            where=Where(file=rows.file, row=1, field="boat"),
        )
    strange = [name for name in rows.columns if name not in COLUMNS]
    missing = [name for name in COLUMNS if name not in rows.columns]
    for name in strange:
        close = difflib.get_close_matches(name, missing, n=1, cutoff=0.75)
        if close:
            raise InputError(
                what="unknown column",
                allowed=", ".join(COLUMNS),
                do=f'Did you mean "{close[0]}"?',
                where=Where(file=rows.file, row=1, field=name),
            )
    if not strange:
        return []
    return [
        Finding(
            code="columns-not-read",
            severity="note",
            what=f"These columns have no part in the lots: {', '.join(strange)}.",
            do="Leave them, or take them out.",
            where=rows.file,
        )
    ]


def _read_entry(row: Row, file: str) -> RaceEntry:
    cells = row.cells
    number = read_boat_number(cells["boat"], Where(file=file, row=row.number, field="boat"))
    also = [part.strip() for part in cells.get("also", "").split(";")]
    groups = [part for part in (cells.get("group", ""), *also) if part]
    return RaceEntry(
        boat=number,
        name=" ".join(cells.get("name", "").split()),
        groups=tuple(dict.fromkeys(groups)),
        withdrawn=cells.get("withdrawn", ""),
        row=row.number,
    )


def read_boat_number(text: str, where: Where) -> int:
    """The number painted on a boat.

    Raises
    ------
    InputError
        It is not a whole number from 1 to 9999.
    """
    if not re.fullmatch(r"[0-9]{1,4}", text) or int(text) == 0:
        raise InputError(
            what="not a boat number",
            got=f'"{text}"',
            allowed="a whole number from 1 to 9999",
            do="Write the number painted on the boat.",
            where=where,
        )
    return int(text)


def draw_entries(
    entries: Entries,
    *,
    group: str | None = None,
    rounds: int,
    lanes: int,
    seed: int,
    without: Sequence[Step] = (),
    late: Sequence[Step] = (),
    mark: str = "",
) -> Lots:
    """Lots for a group, with each later change in the order of the heats.

    Parameters
    ----------
    entries : Entries
        From `read_entries`.
    group : str, optional
        One group; everybody together if None.
    rounds, lanes, seed : int
        As for `regatta.draw_lots`.
    without, late : sequences of Step
        Boats that left or came, and after which heat.
    mark : str
        The mark printed on the published lots, to compare with; blank for none.

    Raises
    ------
    InputError, MissingError, ConflictError
        No such group, boat or heat; too few boats.
    """
    chosen = entries.of_group(group)
    known = {row.boat for row in chosen}
    for step in late:
        if step.boat not in known:
            raise MissingError(
                what=f"boat {step.boat} is not among the entries",
                allowed="a row for each late entry too",
                do="Write its row first.",
                where=Where(file=entries.file),
            )
    latecomers = {step.boat for step in late}
    racing = [row.boat for row in chosen if not row.withdrawn and row.boat not in latecomers]
    published = draw_lots(racing, rounds=rounds, lanes=lanes, seed=seed)
    draw = published
    for after in sorted({step.after_heat for step in (*without, *late)}):
        draw = redraw(
            draw,
            raced=after,
            without=[step.boat for step in without if step.after_heat == after],
            late=[step.boat for step in late if step.after_heat == after],
        ).draw
    return Lots(
        draw=draw,
        published=published,
        entries=chosen,
        changes=draw.changes_since(published),
        findings=(
            *entries.findings,
            *_mixed(chosen, group, entries),
            *_left_out(chosen),
            *_compared(mark, published, draw),
        ),
    )


def _mixed(chosen: Sequence[RaceEntry], group: str | None, entries: Entries) -> list[Finding]:
    own = dict.fromkeys(row.groups[0] for row in chosen if row.groups)
    if group is not None or len(own) < 2:
        return []
    return [
        Finding(
            code="groups-together",
            severity="note",
            what=f"These groups are drawn together: {', '.join(own)}.",
            do="Say --group NAME to draw one of them.",
            where=entries.file,
        )
    ]


def _left_out(chosen: Sequence[RaceEntry]) -> list[Finding]:
    return [
        Finding(
            code="withdrawn-not-drawn",
            severity="note",
            what=f"It is marked withdrawn ({row.withdrawn}), so the lots are drawn without it from the first heat.",
            do="If they were published with it, blank that cell and say --without "
            f"{row.boat}@HEAT, the last heat raced before it left.",
            where=f"boat {row.label}",
        )
        for row in chosen
        if row.withdrawn
    ]


def _compared(mark: str, published: Draw, now: Draw) -> list[Finding]:
    if not mark or mark.casefold() in (published.mark, now.mark):
        return []
    return [
        Finding(
            code="mark-differs",
            severity="stop",
            what=f"These are not the published lots: their mark is {published.mark}, not {mark}.",
            why="The seed, the entries, the rounds or the lanes have been changed since.",
            do="Look for the change; publish new lots only with a reason.",
        )
    ]

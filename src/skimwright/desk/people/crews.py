"""``crews.csv``: who is in which crew, by first name and initial, kept apart from the boats."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from skimwright.base import ConflictError, Finding, InputError, MissingError, Where
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.tables import Row, Rows

CREW_COLUMNS = ("crew", "first_name", "initial")
JOBS_AT_THE_TABLE = ("glues", "holds", "checks", "writes")  # as the build guide names them


@dataclass(frozen=True, kw_only=True)
class Child:
    """One pupil: no more is kept than this."""

    crew: str
    first_name: str
    initial: str = ""
    row: int = 0
    asks: Finding | None = None  # is this a surname

    @property
    def called(self) -> str:
        """``Wren B``."""
        return f"{self.first_name} {self.initial}".strip()


@dataclass(frozen=True, kw_only=True)
class Crews:
    """Every pupil of the season."""

    children: tuple[Child, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The crews, in the order of the list."""
        return tuple(dict.fromkeys(child.crew for child in self.children))

    def of(self, crew: str) -> tuple[Child, ...]:
        """The pupils of one crew; none if it is not in the list."""
        return tuple(child for child in self.children if child.crew.casefold() == crew.casefold())

    def first_names_of(self, crew: str) -> tuple[str, ...]:
        """First names alone, for a certificate; who is asked about is left out."""
        return tuple(child.first_name for child in self.of(crew) if child.asks is None)

    def child(self, called: str, *, crew: str | None = None) -> Child:
        """The one pupil meant.

        Raises
        ------
        MissingError
            Nobody is called so.
        ConflictError
            More than one is; their crews are shown.
        """
        said = " ".join(called.replace(".", " ").split()).casefold()
        found = [
            child
            for child in self.children
            if said in (child.first_name.casefold(), child.called.casefold())
            and (crew is None or child.crew.casefold() == crew.casefold())
        ]
        if not found:
            if crew is not None and not self.of(crew):
                raise MissingError(
                    what="no such crew",
                    got=f'"{crew}"',
                    do=nearest(crew, self.names),
                    where=Where(field="--crew"),
                )
            raise MissingError(
                what="nobody of this name in crews.csv", got=f'"{called}"',
                allowed="a first name, with the initial if need be",
                do="Look at the list with `skimwright crew`.",
            )  # fmt: skip
        if len(found) > 1:
            shown = "; ".join(f"{child.called} of {child.crew}" for child in found)
            one_crew = len({child.crew for child in found}) == 1
            raise ConflictError(
                what=f"{len(found)} pupils are called so", got=f'"{called}"', allowed=shown,
                do="Add the initial." if one_crew else 'Say which crew: --crew "NAME".',
            )  # fmt: skip
        return found[0]


def read_crews(rows: Rows | None) -> Crews:
    """Everybody in ``crews.csv``.

    Parameters
    ----------
    rows : Rows, optional
        The list as read; None if the season keeps none.

    Raises
    ------
    InputError
        A column is missing, or one that should not be kept; a row without crew or first name.
    """
    if rows is None:
        return Crews()
    for name in CREW_COLUMNS[:2]:
        if name not in rows.columns:
            raise InputError(
                what="this column is missing", allowed=", ".join(CREW_COLUMNS), do=f"Add a column headed {name}.",
                where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip
    for name in rows.columns:
        if name not in CREW_COLUMNS:
            raise InputError(
                what="nothing more than a first name and an initial is kept about a child",
                got=f"a column {name}", allowed=", ".join(CREW_COLUMNS), do="Take the column out.",
                where=Where(file=rows.file, row=1, field=name),
            )  # fmt: skip
    children = tuple(_child(row, rows.file) for row in rows.rows)
    return Crews(
        children=children, findings=(*(c.asks for c in children if c.asks), *_twice(children, rows.file))
    )


def _child(row: Row, file: str) -> Child:
    cells = {name: " ".join(row.cells.get(name, "").split()) for name in CREW_COLUMNS}
    for name in CREW_COLUMNS[:2]:
        if not cells[name]:
            raise InputError(
                what="this cell is empty", allowed="a crew and a first name in each row", do="Write it.",
                where=Where(file=file, row=row.number, field=name),
            )  # fmt: skip
    initial = cells["initial"].rstrip(".")
    asks = None
    words = cells["first_name"].split()
    if len(initial) > 1:
        asks = _ask(initial, "initial", row.number, file)
    elif len(words) > 1 and any(len(word.rstrip(".")) > 2 and word[0].isupper() for word in words[1:]):
        asks = _ask(words[-1], "first_name", row.number, file)
    elif not re.fullmatch(r"[^\W\d_]+(?:[ '’-][^\W\d_]+)*\.?", cells["first_name"]):
        raise InputError(
            what="not a first name", got=f'"{cells["first_name"]}"', allowed="letters", do="Write the first name.",
            where=Where(file=file, row=row.number, field="first_name"),
        )  # fmt: skip
    return Child(
        crew=cells["crew"], first_name=cells["first_name"], initial=initial, row=row.number, asks=asks
    )


def _ask(word: str, column: str, row: int, file: str) -> Finding:
    return Finding(
        code="surname-in-roster",
        severity="stop",
        what=f"Is a word of {len(word)} letters under {column} a surname?",  # not repeated: it may be one
        why="Surnames are not kept; until it is answered this pupil is left out of everything that is printed.",
        do=f"If so, leave its first letter, {word[0]}. Two first names are written with a hyphen.",
        where=f"{file}, row {row}",
    )


def _twice(children: Sequence[Child], file: str) -> list[Finding]:
    seen: dict[tuple[str, str], Child] = {}
    found = []
    for child in children:
        key = (child.crew.casefold(), child.called.casefold())
        if key in seen:
            found.append(
                Finding(
                    code="pupil-twice", severity="warning",
                    what=f"The same name and crew as in row {seen[key].row}.",
                    do="Delete one of the two, or add an initial if they are two pupils.",
                    where=f"{file}, row {child.row}",
                )
            )  # fmt: skip
        seen.setdefault(key, child)
    return found


def crews_and_boats(crews: Crews, boats: Sequence[Entry]) -> tuple[Finding, ...]:
    """Crews without a boat, and boats whose crew is not in the list."""
    manned = {entry.crew.casefold() for entry in boats}
    listed = {name.casefold() for name in crews.names}
    without = [name for name in crews.names if name.casefold() not in manned]
    empty = [
        f"{entry.number:02d}" for entry in boats if crews.children and entry.crew.casefold() not in listed
    ]
    found = []
    if without:
        found.append(
            Finding(
                code="crew-without-boat", severity="warning", what=f"No boat has this crew: {', '.join(without)}.",
                do="Is it spelt as in boats.csv?", where="crews.csv",
            )
        )  # fmt: skip
    if empty:
        found.append(
            Finding(
                code="boat-without-crew", severity="note", what=f"Nobody is in the crew of boat {', '.join(empty)}.",
                do="Add its rows, or leave it so.", where="crews.csv",
            )
        )  # fmt: skip
    return tuple(found)


def job_rota(names: Sequence[str], *, lessons: int) -> tuple[tuple[str, ...], ...]:
    """Who does which job at the table in each lesson, everybody each job in turn; empty for a crew of one.

    A row for each lesson; in it the jobs of `JOBS_AT_THE_TABLE`.  Whoever writes does not write again before all
    others have.

    Examples
    --------
    >>> job_rota(["Wren", "Idris", "Marlow"], lessons=2)
    (('Wren', 'Idris', 'Marlow', 'Wren'), ('Marlow', 'Wren', 'Idris', 'Marlow'))
    """
    if len(names) < 2:
        return ()
    count = len(names)
    return tuple(
        tuple(names[(job - lesson) % count] for job in range(len(JOBS_AT_THE_TABLE)))
        for lesson in range(lessons)
    )

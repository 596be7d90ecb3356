"""A CSV list as rows of cells, whichever way a spreadsheet wrote it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from skimwright.base import InputError, Where
from skimwright.desk import Row, Rows
from skimwright.store.text import read_text

SEPARATORS = ",;\t"


def read_rows(path: Path, *, name: str = "") -> Rows:
    """The rows of a CSV file, numbered as a spreadsheet numbers them: the heading is row 1.

    Commas, semicolons or tabs may part the cells; the heading decides.  Blank rows and empty last
    columns are passed over.  Column names are told apart without regard to capitals.

    Raises
    ------
    InputError
        No heading, a column given twice, a row with too many or too few cells, a file that breaks off.
    MissingError, StoreError
        The file is not there, or will not open.
    """
    return rows_of(read_text(path, name=name), name or path.name)


def rows_of(text: str, file: str) -> Rows:
    """As `read_rows`, from text."""
    records = _records(text, file)
    if not records:
        raise InputError(
            what="the list is empty",
            allowed="a heading row, then one row for each boat",
            do="Write it again, or copy it from a backup.",
            where=Where(file=file),
        )
    heading_row, heading = records[0]
    columns = _columns(heading, Where(file=file, row=heading_row))
    last = records[-1][0] if not text.endswith("\n") else None  # a row that may be broken off
    rows = tuple(
        _row(cells, columns, len(heading), Where(file=file, row=number), broken_off=number == last)
        for number, cells in records[1:]
    )
    return Rows(file=file, columns=columns, rows=rows)


def _records(text: str, file: str) -> list[tuple[int, list[str]]]:
    """Numbered records that hold anything at all."""
    lines = text.split("\n")
    skip = 1 if lines[0].lower().startswith("sep=") else 0  # a hint some spreadsheets write for each other
    first = next((line for line in lines[skip:] if line.strip()), "")
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    records = []
    try:
        for number, cells in enumerate(reader, 1):
            if number > skip and any(cell.strip() for cell in cells):
                records.append((number, [cell.strip() for cell in cells]))
    except csv.Error as error:
        raise InputError(
            what="a quotation mark is opened and not closed, or the file breaks off here",
            do="Put quotes at both ends of the cell, or copy the whole file again.",
            where=Where(file=file, row=reader.line_num),
        ) from error
    return records


def _columns(heading: list[str], where: Where) -> tuple[str, ...]:
    names = [name.lower().replace(" ", "_") for name in heading]
    while names and not names[-1]:
        names.pop()
    for place, name in enumerate(names, 1):
        if not name:
            raise InputError(
                what=f"column {place} has no name", do="Name it, or delete the column.", where=where
            )
        if name in names[: place - 1]:
            raise InputError(
                what="this column is given twice",
                got=f"columns {names.index(name) + 1} and {place}",
                do="Keep one of the two.",
                where=Where(file=where.file, row=where.row, field=name),
            )
    return tuple(names)


def _row(cells: list[str], columns: tuple[str, ...], wide: int, where: Where, *, broken_off: bool) -> Row:
    """One row; it must be as wide as the heading, for a cell too many moves all that follow."""
    if len(cells) != wide or any(cells[len(columns) :]):
        what = "too many cells" if len(cells) >= wide else "too few cells"
        do = "Count the separators in this row; put a number with a decimal comma in quotes."
        if broken_off and len(cells) < wide:
            what, do = "the file breaks off in this row", "Copy the whole file again, or finish the row."
        raise InputError(
            what=what,
            got=f"{len(cells)} cells",
            allowed=f"{len(columns)} cells, as in the heading",
            do=do,
            where=where,
        )
    return Row(number=where.row or 0, cells=dict(zip(columns, cells, strict=False)))


def read_grid(path: Path, *, name: str = "") -> list[list[str]]:
    """The cells of a CSV file, one list a row and blank rows kept, so that row numbers stay true.

    Raises
    ------
    InputError, MissingError, StoreError
        As `read_rows`, but rows may differ in length.
    """
    return grid_of(read_text(path, name=name), name or path.name)


def grid_of(text: str, file: str) -> list[list[str]]:
    """As `read_grid`, from text."""
    records = dict(_records(text, file))
    return [records.get(number, []) for number in range(1, max(records, default=0) + 1)]

"""Adding rows to a list so that they are all in it, on the disk, or none is."""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from skimwright.base import InputError, StoreError, Where
from skimwright.store.csv_rows import SEPARATORS, grid_of
from skimwright.store.season_file.inside import inside, rewrite_inside
from skimwright.store.text import decode, read_text

# A cell that a spreadsheet would work out; plain numbers with a sign are none.
FORMULA = re.compile(r"[=@]|[+-](?!\.?\d[\d.,]* ?[A-Za-z%°]{0,4}$)")


def add_rows(path: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> Path:
    """Add rows at the end of a CSV list, making it if need be; what stands in it stays as it is.

    The new list is written beside the old one, brought to the disk, and put in its place in one step.  Rows that
    name a column the list does not have add that column at its right end.

    Raises
    ------
    StoreError
        The folder or file cannot be written; then nothing was added.
    InputError
        The list that is there cannot be read, or could not be with these rows in it.
    """
    _refuse_unreadable(path.name, rows)
    if spot := inside(path):  # the season file keeps others out meanwhile
        rewrite_inside(*spot, lambda was: _added_raw(was, path.name, columns, rows))
        return path
    with _alone(path):
        _put(path, _added(read_text(path) if path.exists() else None, path.name, columns, rows))
    return path


def change_row(path: Path, column: str, key: str, cells: Mapping[str, str]) -> dict[str, str]:
    """Write some cells of the one row that has this key in this column; every other cell stays as it is.

    Keys that are numbers are compared as numbers: 7 finds 07.  A column the list does not have is added.

    Returns
    -------
    dict
        What stood in those cells.

    Raises
    ------
    InputError
        No row, or more than one, has that key.
    StoreError
        It could not be written; then nothing was changed.
    """
    before: dict[str, str] = {}

    def change(text: str) -> str:
        changed, was = _changed(text, path.name, column, key, cells)
        before.update(was)
        return changed

    if spot := inside(path):
        rewrite_inside(*spot, lambda raw: change(decode(raw or b"", Where(file=path.name))).encode("utf8"))
        return before
    with _alone(path):
        _put(path, change(read_text(path)))
    return before


def _changed(
    text: str, file: str, column: str, key: str, cells: Mapping[str, str]
) -> tuple[str, dict[str, str]]:
    grid = grid_of(text, file)
    at = next((i for i, row in enumerate(grid) if row), 0)
    heading = [name.lower().replace(" ", "_") for name in grid[at]] if grid else []
    rows = [
        i for i, row in enumerate(grid)
        if i > at and column in heading and len(row) > heading.index(column)
        and _same(row[heading.index(column)], key)
    ]  # fmt: skip
    if len(rows) != 1:
        raise InputError(
            what="no row has this number" if not rows else "more than one row has this number", got=key,
            allowed="one row", do=f"Look at the column {column}.", where=Where(file=file, field=column),
        )  # fmt: skip
    for name in cells:
        if name not in heading:
            heading.append(name)
            grid[at].append(name)
    row = grid[rows[0]]
    row.extend([""] * (len(heading) - len(row)))
    before = {name: row[heading.index(name)] for name in cells}
    for name, cell in cells.items():
        row[heading.index(name)] = cell
    return _lines([row for row in grid if row], _separator(text)), before


def _same(one: str, other: str) -> bool:
    one, other = one.strip(), other.strip()
    return one == other or (one.isdigit() and other.isdigit() and int(one) == int(other))


def _separator(text: str) -> str:
    first = next(line for line in text.split("\n") if line.strip() and not line.lower().startswith("sep="))
    return max(SEPARATORS, key=first.count)


def _refuse_unreadable(file: str, rows: Sequence[Mapping[str, str]]) -> None:
    """A sign that no list is read with would shut the whole list."""
    for row in rows:
        for name, cell in row.items():
            if "\0" in cell or any("\ud800" <= sign <= "\udfff" for sign in cell):
                raise InputError(
                    what="a sign that no list can hold", allowed="letters, figures and punctuation",
                    do="Type it again; it may have come along with a copy.", where=Where(file=file, field=name),
                )  # fmt: skip


def _added_raw(
    was: bytes | None, file: str, columns: Sequence[str], rows: Sequence[Mapping[str, str]]
) -> bytes:
    text = None if was is None else decode(was, Where(file=file))
    return _added(text, file, columns, rows).encode("utf8")


def _added(text: str | None, file: str, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    """The text of the list with its new rows; None: there is no list yet."""
    used = {name for row in rows for name, cell in row.items() if cell}
    if text is None:
        return _lines([list(columns), *([row.get(name, "") for name in columns] for row in rows)], ",")
    grid = grid_of(text, file)
    at = next(i for i, cells in enumerate(grid) if cells)
    heading = [name.lower().replace(" ", "_") for name in grid[at]]
    missing = [name for name in columns if name in used and name not in heading]
    separator = _separator(text)
    if missing:
        wide = len(heading)
        text = _lines(
            [[*cells, *[""] * (wide - len(cells)), *(missing if i == at else [""] * len(missing))]
             for i, cells in enumerate(grid) if cells],
            separator,
        )  # fmt: skip
    heading += missing
    end = "" if text.endswith("\n") else "\n"
    return text + end + _lines([[row.get(name, "") for name in heading] for row in rows], separator)


def _put(path: Path, text: str) -> None:
    """The new list in the place of the old one, in one step, and on the disk."""
    beside = path.with_name(f".{path.name}.new")
    try:
        with beside.open("wb") as file:
            file.write(text.encode("utf8"))
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise _cannot(path, error) from error


def _lines(rows: Sequence[Sequence[str]], separator: str) -> str:
    """Rows as text; words that would be a formula get a blank before them, which no reader here sees."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows(
        [f" {cell}" if FORMULA.match(cell) else cell for cell in row] for row in rows
    )
    return out.getvalue()


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Nobody else adds to this list meanwhile."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.with_name(f".{path.name}.lock").open("a") as lock:
            _hold(lock.fileno())
            yield
    except OSError as error:
        raise _cannot(path, error) from error


def _hold(file: int) -> None:
    try:
        import fcntl
    except ImportError:  # a system without it has one writer at a time
        return
    fcntl.flock(file, fcntl.LOCK_EX)


def _sync_folder(folder: Path) -> None:
    """Bring the new name to the disk too, where the system can."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _cannot(path: Path, error: OSError) -> StoreError:
    return StoreError(
        what="could not be written; nothing was added",
        got=(error.strerror or "an unknown fault").lower(),
        do="Write the run on paper, check the disk and who may write here, and try again.",
        where=Where(file=str(path)),
    )

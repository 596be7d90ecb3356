"""What of the run log the course needs: how far, how far off, and how each run ended."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base import InputError, Where, parse_quantity
from skimwright.course import LoggedRun

NEEDED = ("boat", "distance_m")


def read_logged_runs(grid: Sequence[Sequence[str]], *, file: str = "runs.csv") -> tuple[LoggedRun, ...]:
    """Runs from the rows of ``runs.csv``.

    Raises
    ------
    InputError
        A column is missing or a cell is no number; a blank cell is no number seen, never nought.
    """
    rows = [(number, row) for number, row in enumerate(grid, 1) if any(cell.strip() for cell in row)]
    if not rows:
        return ()
    names = [cell.strip().casefold() for cell in rows[0][1]]
    for name in NEEDED:
        if name not in names:
            raise InputError(
                what="a column is missing", got=f'no "{name}"', allowed=", ".join(NEEDED),
                do="Add it to the heading row.", where=Where(file=file, row=1),
            )  # fmt: skip

    def cell(row: Sequence[str], name: str) -> str:
        place = names.index(name) if name in names else len(row)
        return row[place].strip() if place < len(row) else ""

    def number(row: Sequence[str], name: str, at: int) -> float | None:
        said = cell(row, name)
        where = Where(file=file, row=at, field=name)
        return parse_quantity(said, "length", default_unit="m", where=where) if said else None

    found = []
    for at, row in rows[1:]:
        boat = cell(row, "boat")
        if not boat.isdigit():
            raise InputError(
                what="not a boat's number", got=f'"{boat}"', allowed="a whole number",
                do="Write the number of the boat.", where=Where(file=file, row=at, field="boat"),
            )  # fmt: skip
        found.append(
            LoggedRun(
                boat=int(boat),
                distance=number(row, "distance_m", at),
                drift=number(row, "drift_m", at),
                ending=cell(row, "ending"),
            )
        )
    return tuple(found)

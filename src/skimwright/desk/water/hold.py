"""The log of holds: who said what and when, a line each, nothing ever taken out."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Sequence

from skimwright.base import InputError, Where
from skimwright.pond import Event, State, read_event, state_at

HOLD_COLUMNS = ("at", "who", "what", "why")


def read_holds(grid: Sequence[Sequence[str]], *, file: str = "holds.csv") -> tuple[Event, ...]:
    """Events from the rows of ``holds.csv``.

    Raises
    ------
    InputError
        A row cannot be read; a log with a hole in it lets nothing run.
    """
    rows = [(number, row) for number, row in enumerate(grid, 1) if any(cell.strip() for cell in row)]
    if not rows:
        return ()
    if tuple(cell.strip().casefold() for cell in rows[0][1]) != HOLD_COLUMNS:
        raise InputError(
            what="the heading row is not that of a log of holds", allowed=",".join(HOLD_COLUMNS), do="Put it back.",
            where=Where(file=file, row=1),
        )  # fmt: skip
    found = []
    for number, row in rows[1:]:
        cells = [cell.strip() for cell in row] + [""] * 4
        try:
            found.append(
                read_event(at=moment(cells[0], Where(field="at")), who=cells[1], what=cells[2], why=cells[3])
            )
        except InputError as error:
            raise error.at(Where(file=file, row=number)) from error
    return tuple(found)


def hold_row(event: Event) -> dict[str, str]:
    """One line of the log; it is added behind the others, never written over them."""
    values = (event.at.isoformat(timespec="seconds"), event.who, event.what, event.why)
    return dict(zip(HOLD_COLUMNS, values, strict=True))


def moment(said: str, where: Where) -> datetime.datetime:
    """A moment with its difference from UTC.

    Raises
    ------
    InputError
        It is no such moment.
    """
    found: datetime.datetime | None = None
    with contextlib.suppress(ValueError):
        found = datetime.datetime.fromisoformat(said)
    if found is None or found.tzinfo is None:
        raise InputError(
            what="not a moment",
            got=f'"{said}"',
            allowed="a day and time with its difference from UTC, such as 2027-05-22T14:31:00+01:00",
            do="Write it so.",
            where=where,
        )
    return found


__all__ = ["HOLD_COLUMNS", "Event", "State", "hold_row", "moment", "read_event", "read_holds", "state_at"]

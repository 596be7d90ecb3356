"""What went wrong, in one sentence a person can act on.

SkimwrightError
├── InputError      the question cannot be answered as asked: something typed or written is wrong
├── MissingError    a thing asked for is not there
├── ConflictError   two things cannot both be so
├── ModelError      the sum did not come out (no rest attitude, no convergence)
└── StoreError      a file or folder could not be read or written

Every error is built from named fields, so that none can be left half filled in::

    fold.toml, [board] thickness_mm: got -5 mm; allowed: more than 0 and up to 20 mm. Write the
    board's real thickness, for example 5.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Where:
    """The place a message speaks of: a file, a row in it, a field of that row; each may be blank."""

    file: str = ""
    row: int | None = None
    field: str = ""

    def __str__(self) -> str:
        row = "" if self.row is None else f"row {self.row}"
        return ", ".join(part for part in (self.file, row, self.field) if part)


class SkimwrightError(Exception):
    """The root of everything Skimwright raises on purpose.

    Parameters
    ----------
    what : what is wrong, as a statement without its full stop.
    got : what was found, with its unit; blank if nothing was.
    allowed : what would be right.
    do : the next thing to do, a sentence with a verb.
    where : file, row, field.
    """

    exit_status = 1

    def __init__(
        self, *, what: str, got: str = "", allowed: str = "", do: str = "", where: Where | None = None
    ) -> None:
        self.what, self.got, self.allowed, self.do = what, got, allowed, do
        self.where = where or Where()
        super().__init__(self.sentence())

    def sentence(self) -> str:
        """The whole message on one line."""
        head = ": ".join(part for part in (str(self.where), self.what.rstrip(".")) if part)
        middle = "; ".join(
            part
            for part in (
                f"got {self.got}" if self.got else "",
                f"allowed: {self.allowed}" if self.allowed else "",
            )
            if part
        )
        first = ": ".join(part for part in (head, middle) if part) + "."
        return f"{first} {self.do}".strip()

    def at(self, where: Where) -> SkimwrightError:
        """The same error, told where it happened; a place already known is kept."""
        merged = Where(
            file=self.where.file or where.file,
            row=self.where.row if self.where.row is not None else where.row,
            field=self.where.field or where.field,
        )
        return type(self)(what=self.what, got=self.got, allowed=self.allowed, do=self.do, where=merged)


class InputError(SkimwrightError):
    """Something typed or written is wrong, and only a person can put it right."""

    exit_status = 2


class MissingError(SkimwrightError):
    """A thing asked for is not there."""

    exit_status = 2


class ConflictError(SkimwrightError):
    """Two things cannot both be so."""

    exit_status = 2


class ModelError(SkimwrightError):
    """The sum did not come out."""


class StoreError(SkimwrightError):
    """A file or folder could not be read or written."""

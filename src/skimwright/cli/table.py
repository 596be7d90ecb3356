"""Small tables of text, columns in line."""

from __future__ import annotations

from collections.abc import Sequence


def table(heading: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Words to the left, numbers to the right.

    Examples
    --------
    >>> print(table(["part", "g"], [["DECK-1", "59.5"], ["PAD-1", "1.7"]]))
    part       g
    DECK-1  59.5
    PAD-1    1.7
    """
    lines = [heading, *rows]
    wide = [max(len(line[i]) for line in lines) for i in range(len(heading))]
    is_number = [all(_is_number(row[i]) for row in rows) for i in range(len(heading))]
    made = (
        "  ".join(
            cell.rjust(w) if right else cell.ljust(w)
            for cell, w, right in zip(line, wide, is_number, strict=True)
        )
        for line in lines
    )
    return "\n".join(line.rstrip() for line in made)


def _is_number(cell: str) -> bool:
    """A number, with at most a short unit behind it."""
    number, _, unit = cell.lstrip("+-−").partition(" ")
    return not cell or (number[:1].isdigit() and len(unit) <= 4 and not unit[:1].isupper())


def figures(value: float, digits: int = 2) -> str:
    """So many figures that count, never as a power of ten.

    Examples
    --------
    >>> figures(208.3), figures(0.0449), figures(12345.0, 4)
    ('210', '0.045', '12340')
    """
    return f"{float(f'{value:.{digits}g}'):.12g}"

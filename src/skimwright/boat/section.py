"""One section of a kit file: takes values out, and says what is wrong with them in the writer's own words."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from skimwright.base import InputError, Kind, Where, parse_quantity

Table = Mapping[str, Any]
UNIT_KINDS: dict[str, Kind] = {"mm": "length", "g": "mass", "deg": "angle"}
FACTOR = {"mm": 1e-3, "g": 1e-3, "deg": math.pi / 180}


@dataclass(frozen=True)
class Section:
    """One table of the file, with its place for messages."""

    table: Table
    title: str
    file: str

    def where(self, key: str) -> Where:
        return Where(file=self.file, field=f"{self.title} {key}".strip())

    def only(self, allowed: Iterable[str]) -> None:
        """Refuse a key that nobody reads, and guess which was meant."""
        known = list(allowed)
        for key in self.table:
            if key in known:
                continue
            near = difflib.get_close_matches(key, known, n=1)
            raise InputError(
                what="nothing is read from this key",
                got=key,
                allowed=", ".join(known),
                do=f"Did you mean {near[0]}?" if near else "Take the line out, or use one of these.",
                where=self.where(key),
            )

    def need(self, key: str, *, kind: type | tuple[type, ...], say: str) -> Any:
        """A value of the right sort."""
        value = self.table.get(key)
        if value is None:
            raise InputError(
                what="missing", allowed=say, do=f"Write {key} into the file.", where=self.where(key)
            )
        if not isinstance(value, kind) or isinstance(value, bool):
            raise InputError(
                what="not the right sort of value",
                got=f"{value!r}",
                allowed=say,
                do=f"Write {key} as {say}.",
                where=self.where(key),
            )
        return value

    def number(
        self, key: str, *, usual: float | None = None, least: float = -math.inf, most: float = math.inf
    ) -> float:
        """An SI number; the key's ending is its unit, the limits are in that unit."""
        value = self.table.get(key, usual)
        return to_number(
            self.need(key, kind=(int, float, str), say="a number") if value is None else value,
            unit_of(key),
            self.where(key),
            least=least,
            most=most,
        )

    def numbers(self, key: str, count: int, *, usual: Sequence[float] | None = None) -> tuple[float, ...]:
        """So many SI numbers."""
        row = self.table.get(key, usual)
        if row is None:
            row = self.need(key, kind=list, say=f"a list of {count} numbers")
        return to_row(row, count, unit_of(key), self.where(key))

    def one_of(self, key: str, choices: Sequence[str], *, usual: str, do: str) -> str:
        """One of a few words."""
        word = self.table.get(key, usual)
        if word not in choices:
            raise InputError(
                what="not one of the words we know",
                got=f"{word!r}",
                allowed=", ".join(f'"{choice}"' for choice in choices),
                do=do,
                where=self.where(key),
            )
        return str(word)

    def section(self, key: str, *, optional: bool = False) -> Section:
        """The section headed [key]."""
        table = self.table.get(key, {} if optional else None)
        if not isinstance(table, Mapping):
            raise InputError(
                what="missing" if table is None else "not a section",
                allowed=f"a section headed [{key}]",
                do=f"Add a line [{key}] and its values below it.",
                where=self.where(f"[{key}]"),
            )
        return Section(table, f"[{key}]", self.file)

    def items(self, key: str) -> Iterator[Section]:
        """The sections headed [[key]], perhaps none."""
        rows = self.table.get(key, [])
        if not isinstance(rows, Sequence) or not all(isinstance(row, Mapping) for row in rows):
            raise InputError(
                what="not a list of sections",
                allowed=f"sections headed [[{key}]]",
                do=f"Head each of them [[{key}]], with two brackets.",
                where=self.where(f"[[{key}]]"),
            )
        for number, row in enumerate(rows, start=1):
            yield Section(row, f"[[{key}]] {number}", self.file)


def unit_of(key: str) -> str:
    return key.rsplit("_", 1)[-1]


def to_number(
    value: Any, unit: str, where: Where, *, least: float = -math.inf, most: float = math.inf
) -> float:
    """One number in SI, checked in the unit it was written in."""
    number = parse_quantity(value, UNIT_KINDS[unit], default_unit=unit, where=where)
    shown = number / FACTOR[unit]
    if not least <= shown <= most or (least == 0 and shown == 0):
        low = "more than 0" if least == 0 else f"from {least:g}"
        raise InputError(
            what="out of range",
            got=f"{shown:g} {unit}",
            allowed=f"{low} to {most:g} {unit}",
            do="Measure or read it again and correct the file.",
            where=where,
        )
    return number


def to_row(row: Any, count: int, unit: str, where: Where) -> tuple[float, ...]:
    if not isinstance(row, Sequence) or isinstance(row, str) or len(row) != count:
        raise InputError(
            what="not the right number of values",
            got=f"{row!r}",
            allowed=f"a list of {count} numbers in {unit}",
            do=f"Write {count} numbers in square brackets.",
            where=where,
        )
    return tuple(to_number(value, unit, where) for value in row)

"""Taking typed values out of a table, one by one, so that what is left over can be named."""

from __future__ import annotations

import datetime
import difflib
from collections.abc import Iterable, Mapping
from typing import Any

from skimwright.base import InputError, Kind, Where, parse_quantity


def nearest(name: str, known: Iterable[str]) -> str:
    """``Did you mean "Fold 62"?`` or a list of what there is.

    Examples
    --------
    >>> nearest("Fold 26", ["Fold 62", "Fold 50"])
    'Did you mean "Fold 62"?'
    """
    names = list(known)
    by_fold = {each.casefold(): each for each in names}
    close = difflib.get_close_matches(name.casefold(), by_fold, n=1, cutoff=0.5)
    if close:
        return f'Did you mean "{by_fold[close[0]]}"?'
    return f"There is {', '.join(names)}." if names else ""


class Fields:
    """One TOML table; each value may be taken once, and `close` names what nobody asked for."""

    def __init__(self, table: Mapping[str, Any], *, file: str, name: str = "") -> None:
        self._left, self._file, self.name = dict(table), file, name
        self._known: list[str] = []

    def where(self, key: str) -> Where:
        """The place of a key, for a message."""
        heading = (
            f"[{self.name}]"
            if not self.name.startswith("[")
            else self.name.replace("[", "[[").replace("]", "]]")
        )
        return Where(file=self._file, field=f"{heading} {key}" if self.name else key)

    def table(self, key: str) -> Fields:
        """A table inside this one; empty if it is not there."""
        return Fields(self._mapping(key), file=self._file, name=f"{self.name}.{key}" if self.name else key)

    def tables(self, key: str) -> dict[str, Fields]:
        """The named tables inside a table, in their order."""
        outer = self._mapping(key)
        for name, inner in outer.items():
            if not isinstance(inner, Mapping):
                raise InputError(
                    what="a line where a table belongs",
                    allowed=f"[{key}.NAME] and its lines below",
                    do=f"Write a heading such as [{key}.Rush] above it.",
                    where=Where(file=self._file, field=f"[{key}] {name}"),
                )
        return {name: Fields(inner, file=self._file, name=f"{key}.{name}") for name, inner in outer.items()}

    def items(self, key: str) -> list[Fields]:
        """The tables of a list such as ``[[islets]]``."""
        rows = self._take(key, [])
        if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
            raise InputError(
                what="not a list of tables",
                allowed=f"tables headed [[{key}]]",
                do=f"Head each of them [[{key}]], with two brackets.",
                where=self.where(key),
            )
        return [Fields(row, file=self._file, name=f"[{key}] {number}") for number, row in enumerate(rows, 1)]

    def has_unit(self, key: str) -> bool:
        """Whether a line not yet taken has its unit written behind the number."""
        value = self._left.get(key)
        return isinstance(value, str) and any(c.isalpha() for c in value)

    def names(self) -> tuple[str, ...]:
        """What has not been taken yet."""
        return tuple(self._left)

    def _mapping(self, key: str) -> Mapping[str, Any]:
        value = self._take(key, {})
        if not isinstance(value, Mapping):
            raise InputError(
                what="not a table",
                got=_said(value),
                allowed=f"[{key}] and its lines below",
                do="Write it so.",
                where=self.where(key),
            )
        return value

    def quantity(
        self, key: str, kind: Kind, unit: str, *, low: float, high: float, default: float | None = None
    ) -> float:
        """A quantity in SI units; `low`, `high` and `default` are in the field's own unit."""
        value = self._take(key, default)
        self._no_blank(key, value, f"{low:g} to {high:g} {unit}")
        number = parse_quantity(value, kind, default_unit=unit, where=self.where(key))
        ends = [parse_quantity(end, kind, default_unit=unit) for end in (low, high)]
        if not ends[0] <= number <= ends[1]:
            bare = isinstance(value, (int, float)) or not any(c.isalpha() for c in value)
            raise InputError(
                what="out of range",
                got=f"{value} {unit}" if bare else str(value),
                allowed=f"{low:g} to {high:g} {unit}",
                do="Check the number, and write its unit behind it if it has another one.",
                where=self.where(key),
            )
        return number

    def quantity_or_none(self, key: str, kind: Kind, unit: str, *, low: float, high: float) -> float | None:
        """The same for a line that may be left out."""
        self._known.append(key)
        return self.quantity(key, kind, unit, low=low, high=high) if key in self._left else None

    def spot(self, key: str) -> tuple[float, float]:
        """A place on the plan, east and north. [m]"""
        return self._spot(key, self._take(key, None))

    def spots(self, key: str) -> tuple[tuple[float, float], ...]:
        """Three or more places. [m]"""
        value = self._take(key, None)
        self._no_blank(key, value, "a list of places")
        if not isinstance(value, list) or len(value) < 3:
            raise InputError(
                what="not an outline",
                got=f"{len(value)} places" if isinstance(value, list) else _said(value),
                allowed="three or more places such as [2, -9]",
                do="Write each corner as [east, north] in metres.",
                where=self.where(key),
            )
        return tuple(self._spot(key, each) for each in value)

    def _spot(self, key: str, value: Any) -> tuple[float, float]:
        self._no_blank(key, value, "a place such as [2, -9]")
        if not isinstance(value, list) or len(value) != 2:
            raise InputError(
                what="not a place",
                got=_said(value),
                allowed="east and north in metres, such as [2, -9]",
                do="Write two numbers in square brackets.",
                where=self.where(key),
            )
        east, north = (
            parse_quantity(each, "length", default_unit="m", where=self.where(key)) for each in value
        )
        return east, north

    def whole(self, key: str, *, low: int, high: int, default: int | None = None) -> int:
        """A whole number."""
        value = self._take(key, default)
        self._no_blank(key, value, f"a whole number from {low} to {high}")
        if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
            raise InputError(
                what="not such a number",
                got=_said(value),
                allowed=f"a whole number from {low} to {high}",
                do="Write it without quotes or decimals.",
                where=self.where(key),
            )
        return value

    def number(self, key: str, *, low: float, high: float) -> float:
        """A number without a unit, such as a share."""
        value = self._take(key, None)
        self._no_blank(key, value, f"{low:g} to {high:g}")
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
            raise InputError(
                what="not such a number",
                got=_said(value),
                allowed=f"{low:g} to {high:g}, without quotes",
                do="A share is written 0.04 for 4 in a hundred.",
                where=self.where(key),
            )
        return float(value)

    def flag(self, key: str, *, default: bool) -> bool:
        """Yes or no."""
        value = self._take(key, default)
        if not isinstance(value, bool):
            raise InputError(
                what="neither yes nor no", got=_said(value), allowed="true or false, without quotes",
                do="Write one of the two.", where=self.where(key),
            )  # fmt: skip
        return value

    def text(self, key: str, *, default: str | None = None) -> str:
        """Some words."""
        value = self._take(key, default)
        self._no_blank(key, value, "some words") if default is None else None
        if not isinstance(value, str):
            raise InputError(
                what="not words",
                got=_said(value),
                allowed='words in "double quotes"',
                do="Put quotes around it.",
                where=self.where(key),
            )
        return value.strip()

    def texts(self, key: str, *, default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of words."""
        value = self._take(key, default)
        self._no_blank(key, value, "a list of names")
        if not isinstance(value, (list, tuple)) or not all(isinstance(each, str) and each for each in value):
            raise InputError(
                what="not a list of names",
                got=_said(value),
                allowed='names in square brackets, such as ["Tug", "Whirr 5"]',
                do="Write it so.",
                where=self.where(key),
            )
        return tuple(value)

    def day(self, key: str) -> datetime.date:
        """A date."""
        value = self._take(key, None)
        self._no_blank(key, value, "a date")
        if isinstance(value, datetime.datetime) or not isinstance(value, datetime.date):
            raise InputError(
                what="not a date",
                got=_said(value),
                allowed="year-month-day without quotes, such as 2027-05-22",
                do="Write it so.",
                where=self.where(key),
            )
        return value

    def close(self) -> None:
        """Name the first line that nobody asked for."""
        for key, value in self._left.items():
            kind = "table" if isinstance(value, Mapping) else "name"
            raise InputError(
                what=f"unknown {kind}",
                allowed=", ".join(self._known),
                do=f'{nearest(key, self._known)} Another unit goes behind the number: "100 ft".'.strip(),
                where=self.where(key),
            )

    def _take(self, key: str, default: Any) -> Any:
        self._known.append(key)
        return self._left.pop(key, default)

    def _no_blank(self, key: str, value: Any, allowed: str) -> None:
        if value is None or (isinstance(value, str) and not value.strip()):
            raise InputError(
                what="this line is missing" if value is None else "this line is empty",
                allowed=allowed,
                do="Write it.",
                where=self.where(key),
            )


def _said(value: object) -> str:
    """A value as it stands in a TOML file."""
    if isinstance(value, str):
        return f'"{value}"'
    return str(value).lower() if isinstance(value, bool) else str(value)

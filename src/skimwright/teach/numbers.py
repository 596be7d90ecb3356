"""Numbers as a sheet prints them: what a pupil reads is what the answers are worked out from."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from skimwright.base import ModelError

BLANK = "______"
NOUGHT = 1e-12  # two ways to nought may differ by so much
AGREE = 1e-6  # of the answer: two methods that differ by more print nothing [choice]


@dataclass(frozen=True, kw_only=True)
class Number:
    """A number with its unit, in the digits printed."""

    text: str
    unit: str = ""

    @property
    def exact(self) -> Fraction:
        """Exactly what is printed."""
        return Fraction(self.text)

    def __str__(self) -> str:
        return f"{self.text.replace('-', '−')}{'' if self.unit == '°' else ' '}{self.unit}".strip()


Value = Number | tuple[Number, ...] | None  # None: not measured
Numbers = Mapping[str, Value]
Method = Callable[[Mapping[str, Any]], Any]


def number(value: float | Fraction, unit: str = "", *, places: int) -> Number:
    """Rounded to decimal places, halves away from nought.

    Examples
    --------
    >>> str(number(0.25, "s", places=1)), str(number(Fraction(5, 2), places=0))
    ('0.3 s', '3')
    """
    exact = value if isinstance(value, Fraction) else Fraction(repr(float(value)))
    whole = int(abs(exact) * Fraction(10) ** places + Fraction(1, 2)) * (1 if exact >= 0 else -1)
    return Number(text=f"{Decimal(whole).scaleb(-places):f}", unit=unit)


def places_for(value: float, *, figures: int) -> int:
    """Decimal places that show so many significant figures; below nought it rounds to tens.

    Examples
    --------
    >>> places_for(0.01234, figures=3), places_for(45.6, figures=3), places_for(1234, figures=3)
    (4, 1, -1)
    """
    return 0 if value == 0 else figures - 1 - math.floor(math.log10(abs(value)))


@dataclass(frozen=True, kw_only=True)
class Sum:
    """One question with a number for an answer, and two ways to it that share nothing but the printed numbers."""

    key: str  # of the catalogue, and of the answer for later questions
    needs: tuple[str, ...]  # what must have been measured
    first: Method  # floats
    again: Method  # exact fractions, or another road in floats
    unit: str = ""
    given: bool = False  # printed in a later question, not asked for
    places: int | None = None
    figures: int = 3  # significant, where places is None


def worked(ask: Sum, numbers: Numbers) -> Number | None:
    """The answer, worked out twice; None where a measurement is missing.

    Raises
    ------
    ModelError
        The two ways differ: nothing may be printed.
    """
    given = {name: numbers.get(name) for name in ask.needs}
    if any(value is None for value in given.values()):
        return None
    exact = {name: _exact(value) for name, value in given.items()}
    plain = {name: _float(value) for name, value in exact.items()}
    first, again = ask.first(plain), ask.again(exact)
    if not abs(float(first) - float(again)) <= max(AGREE * max(abs(float(first)), abs(float(again))), NOUGHT):
        raise ModelError(
            what=f'The answer to "{ask.key}" comes out as {float(first):.8g} one way and {float(again):.8g} another',
            do="Print nothing; tell whoever looks after the program.",
        )
    best = again if isinstance(again, Fraction) else float(f"{float(first):.12g}")  # a half stays a half
    places = places_for(float(best), figures=ask.figures) if ask.places is None else ask.places
    return number(best, ask.unit, places=places)


def _exact(value: Value) -> Any:
    if isinstance(value, tuple):
        return tuple(each.exact for each in value)
    assert value is not None
    return value.exact


def _float(value: Any) -> Any:
    return tuple(map(float, value)) if isinstance(value, tuple) else float(value)

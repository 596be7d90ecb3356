"""What a person typed, in SI; and SI, as a person reads it.

A unit behind the number is always believed.  A bare number is in the unit its field's name ends in.
A comma is a decimal sign, as it is in half of the world's classrooms.
"""

from __future__ import annotations

import math
import re
from typing import Literal

from skimwright.base.errors import InputError, Where

Kind = Literal["length", "mass", "angle", "speed", "force", "time", "temperature"]

# In SI, exact by definition (international yard and pound, 1959; standard gravity).
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665
FOOT = 12 * INCH
DEGREE = math.pi / 180

UNITS: dict[str, dict[str, float]] = {
    "length": {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "km": 1e3, "in": INCH, "ft": FOOT, "yd": 3 * FOOT},
    "mass": {"g": 1e-3, "mg": 1e-6, "kg": 1.0, "oz": POUND / 16, "lb": POUND},
    "angle": {"deg": DEGREE, "rad": 1.0, "mrad": 1e-3},
    "speed": {"m/s": 1.0, "km/h": 1 / 3.6, "mph": 1760 * 3 * FOOT / 3600, "ft/s": FOOT, "kn": 1852 / 3600},
    "force": {
        "N": 1.0,
        "mN": 1e-3,
        "kN": 1e3,
        "gf": 1e-3 * GRAVITY,
        "kgf": GRAVITY,
        "ozf": POUND / 16 * GRAVITY,
        "lbf": POUND * GRAVITY,
    },
    "time": {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0},
    "temperature": {"C": 1.0, "K": 1.0, "F": 5 / 9},
}
ZERO = {"C": 273.15, "K": 0.0, "F": 273.15 - 32 * 5 / 9}  # what nought on that scale is [K]
ALIASES = {
    '"': "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "foot": "ft",
    "feet": "ft",
    "yards": "yd",
    "metre": "m",
    "metres": "m",
    "meters": "m",
    "gram": "g",
    "grams": "g",
    "ounce": "oz",
    "ounces": "oz",
    "lbs": "lb",
    "pounds": "lb",
    "°": "deg",
    "degrees": "deg",
    "kmh": "km/h",
    "kph": "km/h",
    "knots": "kn",
    "kt": "kn",
    "newton": "N",
    "newtons": "N",
    "sec": "s",
    "seconds": "s",
    "°C": "C",
    "°F": "F",
}
_NUMBER = re.compile(r"\s*([+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?)\s*([^\d\s.,+-].*)?")


def parse_quantity(text: str | float, kind: Kind, *, default_unit: str, where: Where | None = None) -> float:
    """A typed quantity in SI units: metres, kilograms, radians, m/s, newtons, seconds, kelvin.

    Parameters
    ----------
    text : str or float
        What was typed: ``"12.5 in"``, ``"12,5"``, ``12.5``.
    kind : str
        length, mass, angle, speed, force, time or temperature.
    default_unit : str
        The unit of a bare number.
    where : Where, optional
        File, row and field, for the message.

    Raises
    ------
    InputError
        Not one number, not a unit, or a unit of another kind.

    Examples
    --------
    >>> round(parse_quantity("12,5", "length", default_unit="mm"), 6)
    0.0125
    >>> round(parse_quantity("12.5 in", "length", default_unit="mm"), 6)
    0.3175
    """
    number, unit = _split(text, kind, default_unit, where)
    factor = UNITS[kind].get(unit)
    if factor is None:
        owner = next((name for name, units in UNITS.items() if unit in units), None)
        raise InputError(
            what=f"not a unit of {kind}" if owner is None else f"a unit of {owner} where a {kind} belongs",
            got=f'"{text}"',
            allowed=", ".join(UNITS[kind]),
            do=f"Write the number with one of these units, for example {_example(kind, default_unit)}.",
            where=where,
        )
    return number * factor + (ZERO[unit] if kind == "temperature" else 0.0)


def _split(text: str | float, kind: Kind, default_unit: str, where: Where | None) -> tuple[float, str]:
    """The number and the unit behind it."""
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        if math.isfinite(text):
            return float(text), default_unit
    elif isinstance(text, str):
        match = _NUMBER.fullmatch(text.replace("−", "-"))
        if match and math.isfinite(number := float(match[1].replace(",", "."))):
            unit = (match[2] or default_unit).strip()
            return number, ALIASES.get(unit, unit)
    raise InputError(
        what=f"not one {kind}",
        got=f'"{text}"',
        allowed="one number with at most one decimal sign, then a unit if you like",
        do=f"Write it like {_example(kind, default_unit)}.",
        where=where,
    )


def _example(kind: Kind, unit: str) -> str:
    return {"temperature": "17 C", "angle": "4.5 deg"}.get(kind, f"12.5 {unit}")


def show_length(metres: float) -> str:
    """A size on the boat: ``620 mm (24.4 in)``."""
    return f"{_plain(metres * 1e3, 1)} mm ({_plain(metres / INCH, 1)} in)"


def show_distance(metres: float) -> str:
    """A distance on the water, feet beside metres: ``30.48 m (100 ft)``."""
    return f"{_plain(metres, 2)} m ({_plain(metres / FOOT, 1)} ft)"


def show_mass(kilograms: float) -> str:
    """A mass: ``269 g (9.49 oz)``."""
    return f"{_plain(kilograms * 1e3, 1)} g ({_plain(kilograms / POUND * 16, 2)} oz)"


def show_angle(radians: float) -> str:
    """An angle: ``3.41 deg``."""
    return f"{_plain(radians / DEGREE, 2)} deg"


def _plain(number: float, places: int) -> str:
    """At most so many places, and no idle noughts."""
    text = f"{number:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text

"""Refusing what cannot be: one short check, one plain message."""

from __future__ import annotations

from math import isfinite

from skimwright.base import Finding, InputError


def require_positive(**values: float) -> None:
    """Raise InputError for the first named value that is not a number above zero.

    Examples
    --------
    >>> require_positive(width=0.2)
    """
    for name, value in values.items():
        if not (isfinite(value) and value > 0):
            raise _refusal(name, value, "more than 0")


def require_not_negative(**values: float) -> None:
    """Raise InputError for the first named value that is below zero or not a number.

    Examples
    --------
    >>> require_not_negative(speed=0.0)
    """
    for name, value in values.items():
        if not (isfinite(value) and value >= 0):
            raise _refusal(name, value, "0 or more")


def outside(
    code: str,
    what: str,
    *,
    value: float,
    low: float = float("-inf"),
    high: float = float("inf"),
    unit: str = "",
    why: str,
    do: str,
) -> tuple[Finding, ...]:
    """One warning if ``value`` leaves the range ``low`` to ``high``, else nothing.

    Examples
    --------
    >>> outside("x", "Speed", value=3.0, high=2.0, unit="m/s", why="Untested.", do="Slow down.")[0].what
    'Speed is 3 m/s; the model was checked up to 2 m/s.'
    """
    if low <= value <= high:
        return ()
    unit = f" {unit}" if unit else ""
    if high == float("inf"):
        checked = f"from {low:g}{unit} up"
    elif low == float("-inf"):
        checked = f"up to {high:g}{unit}"
    else:
        checked = f"from {low:g} to {high:g}{unit}"
    what = f"{what} is {value:.3g}{unit}; the model was checked {checked}."
    return (Finding(code=code, severity="warning", what=what, why=why, do=do),)


def _refusal(name: str, value: float, allowed: str) -> InputError:
    words = name.replace("_", " ").capitalize()
    return InputError(what=words, got=f"{value:g}", allowed=allowed, do="Measure it again and write it in.")

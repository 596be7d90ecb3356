"""The second road to an answer: halving, adding up slices, nudging.  Slow, simple, and apart from the formulas."""

from __future__ import annotations

from collections.abc import Callable


def halved(says_more: Callable[[float], bool], *, low: float, high: float) -> float:
    """Where an answer stops being "more", found by halving the doubt two hundred times.

    Examples
    --------
    >>> round(halved(lambda x: x * x < 2, low=0, high=2), 9)
    1.414213562
    """
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if says_more(middle) else (low, middle)
    return 0.5 * (low + high)


def added_up(height: Callable[[float], float], *, start: float, end: float, slices: int = 4000) -> float:
    """Area under a curve, added up in slices by Simpson's rule.

    Examples
    --------
    >>> round(added_up(lambda x: x * x, start=0, end=3), 9)
    9.0
    """
    step = (end - start) / slices
    inner = sum((4 if i % 2 else 2) * height(start + i * step) for i in range(1, slices))
    return (height(start) + inner + height(end)) * step / 3


def nudged(value: Callable[[float], float], *, at: float, by: float) -> float:
    """How much a value changes when what it rests on is off by a little: the slope there, times the little."""
    small = 1e-5 * at
    return abs(value(at + small) - value(at - small)) / (2 * small) * by


def stepped(rate: Callable[[float], float], *, time: float, steps: int = 2000) -> float:
    """A quantity that starts at nought and grows at a rate it sets itself, followed in small steps (Runge-Kutta).

    Examples
    --------
    >>> round(stepped(lambda v: 1 - v, time=1.0), 9)
    0.632120559
    """
    value, step = 0.0, time / steps
    for _ in range(steps):
        a = rate(value)
        b = rate(value + 0.5 * step * a)
        c = rate(value + 0.5 * step * b)
        d = rate(value + step * c)
        value += step * (a + 2 * b + 2 * c + d) / 6
    return value

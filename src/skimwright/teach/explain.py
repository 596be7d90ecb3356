"""One figure of a forecast, unfolded: its working with this boat's numbers, its range, what would change it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from skimwright.base import InputError, Where
from skimwright.kit import guide
from skimwright.run import Effect
from skimwright.teach.explain_sums import FIGURES, rungs
from skimwright.teach.facts import BANDS, Band
from skimwright.teach.numbers import BLANK, Number, Value, number, worked
from skimwright.teach.sums import SAID
from skimwright.teach.told import DIGITS, Digits, Told, told_numbers
from skimwright.teach.worksheet import MEASURED, Words

MOST = 3  # things named that would change a figure [choice]
Touched = Literal["drift", "distance", "gate_time", "critical"]
TOUCHES: Mapping[str, Touched] = {  # which of an effect's numbers speaks of a figure
    "drift": "drift",
    "gate_chance": "drift",
    "distance": "distance",
    "reach": "distance",
    "gate_time": "gate_time",
    "top_speed": "gate_time",
    "blow_over": "critical",
}
SEEN: Mapping[Touched, float] = {"drift": 0.05, "distance": 0.05, "gate_time": 0.01, "critical": 0.05}  # SI


@dataclass(frozen=True, kw_only=True)
class Worked:
    """One step: why, the sum as printed, its answer."""

    key: str
    says: str
    sum: str
    answer: Number
    closes: bool  # the answer is the figure itself


@dataclass(frozen=True, kw_only=True)
class Explained:
    """One figure of one boat for one band."""

    figure: str
    band: Band
    title: str
    value: Number | None  # None: the forecast has none, and `tells` says why
    shown: str  # the figure in a sentence
    tells: str  # the idea
    steps: tuple[Worked, ...]
    range: str
    changes: tuple[str, ...]
    reading_grade: float | None  # None: no formula for this language
    word_count: int

    @property
    def reading_limit(self) -> int:
        """The band's setting."""
        return guide.GRADE[self.band]


def figure_named(word: str) -> str:
    """A figure by the name a person types.

    Raises
    ------
    InputError
        No such figure.

    Examples
    --------
    >>> figure_named("Top speed")
    'top_speed'
    """
    name = "_".join(word.casefold().replace("-", " ").split())
    if name in FIGURES:
        return name
    raise InputError(
        what="no such number to explain", got=f'"{word}"',
        allowed=", ".join(figure.replace("_", "-") for figure in FIGURES), do="Give one of these.",
        where=Where(field="NUMBER"),
    )  # fmt: skip


def explain(told: Told, figure: str, band: Band, words: Words) -> Explained:
    """One figure's working.

    Parameters
    ----------
    told : Told
    figure : str
        One of `FIGURES`.
    band : Band
    words : Words

    Raises
    ------
    ModelError
        Two ways to a step differ: nothing is told then.
    InputError
        A fault in the file of words.

    Examples
    --------
    ``explain(gravel, "mass", "Cress", words).value`` is 307 g.
    """
    numbers: dict[str, Value] = {**SAID, **told_numbers(told, band)}
    value = numbers.get(figure)
    assert value is None or isinstance(value, Number)
    steps: list[Worked] = []
    for rung in rungs(band)[figure] if value else ():
        answer = numbers[rung.ask.key] = worked(rung.ask, numbers)
        if answer is not None:
            fields = _fields(numbers, told, band, words)
            key = rung.ask.key
            steps.append(
                Worked(
                    key=key, says=said_to(band, f"step.{{band}}.{key}", words, fields),
                    sum=words.say(f"explain.sum.{key}", **fields), answer=answer, closes=rung.closes,
                )
            )  # fmt: skip
    fields = {**_fields(numbers, told, band, words), "value": str(value or BLANK)}
    sure = said_to(band, f"range.{{band}}.{figure}", words, fields) if value else ""
    tells = said_to(band, f"tell.{{band}}.{figure}", words, fields)
    shown = (
        said_to(band, f"shown.{{band}}.{figure}", words, fields)
        if value
        else words.say(f"explain.none.{figure}", **fields)
    )
    changes = _changes(told, figure, band, words) if value else ()
    text = [
        MEASURED.sub(" ", line) for line in (shown, tells, *(step.says for step in steps), sure, *changes)
    ]
    return Explained(
        figure=figure, band=band, title=words.say(f"explain.title.{figure}"), value=value, shown=shown,
        tells=tells, steps=tuple(steps), range=sure, changes=changes,
        reading_grade=guide.reading_grade(text) if words.find("about.reading") == "flesch-kincaid" else None,
        word_count=sum(len([w for w in line.split() if w[:1].isalpha()]) for line in text),
    )  # fmt: skip


def said_to(band: Band, key: str, words: Words, fields: Mapping[str, object]) -> str:
    """A sentence of `explain`; what a band has none for is said as the band below says it."""
    below = BANDS[: BANDS.index(band) + 1]
    for each in reversed(below):
        name = f"explain.{key.format(band=each)}"
        if words.has(name):
            return words.say(name, **fields)
    return words.say(f"explain.{key.format(band=BANDS[0])}", **fields)


def _fields(numbers: Mapping[str, Value], told: Told, band: Band, words: Words) -> dict[str, object]:
    drift, d = told.forecast.drift, DIGITS[band]
    side = "right" if drift is not None and drift.p50 >= 0 else "left"
    other = "left" if side == "right" else "right"
    known = {name: str(value) for name, value in numbers.items() if isinstance(value, Number)}
    return {
        **dict.fromkeys(numbers, BLANK),
        **known,
        "side": words.say(f"explain.side.{side}"),
        "other": words.say(f"explain.side.{other}"),
        "range_drift": _span_of_drift(told, d, words),
        "device": told.question.device.name,
    }


def _span_of_drift(told: Told, d: Digits, words: Words) -> str:
    drift = told.forecast.drift
    if drift is None:
        return BLANK
    ends = [
        words.say(
            f"explain.side.{'right' if end >= 0 else 'left'}_by",
            way=number(abs(end) * d.side_scale, d.side_unit, places=d.aside),
        )
        for end in (drift.p05, drift.p95)
    ]
    return words.say("explain.side.span", low=ends[0], high=ends[1])


def _changes(told: Told, figure: str, band: Band, words: Words) -> tuple[str, ...]:
    """What the boat's own measurements do to the figure, strongest first, and what else would."""
    said = []
    touched = TOUCHES.get(figure)
    if touched is not None:
        felt = [
            e
            for e in told.effects
            if math.isfinite(_of(e, touched)) and abs(_of(e, touched)) >= SEEN[touched]
        ]
        felt.sort(key=lambda effect: -abs(_of(effect, touched)))
        said = [_effect(effect, touched, DIGITS[band], words) for effect in felt[:MOST]]
    said.append(said_to(band, f"change.{{band}}.{figure}", words, _fields({}, told, band, words)))
    return tuple(said)


def _of(effect: Effect, name: Touched) -> float:
    return float(getattr(effect, name))


def _effect(effect: Effect, touched: Touched, d: Digits, words: Words) -> str:
    value = _of(effect, touched)
    way = f"explain.effect.{touched}_{'more' if value > 0 else 'less'}"
    style: dict[Touched, tuple[float, str, int]] = {
        "drift": (d.side_scale, d.side_unit, max(1, d.aside) if d.side_unit == "m" else 0),
        "distance": (1.0, "m", 1),
        "gate_time": (1.0, "s", 2),
        "critical": (1.0, "m/s", 1),
    }
    scale, unit, places = style[touched]
    cause = words.say(f"explain.cause.{effect.key}")
    return words.say(way, cause=cause, amount=number(abs(value) * scale, unit, places=places))

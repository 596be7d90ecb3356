"""A fair test planned: one change, and as many runs as this crew's own spread asks for."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from skimwright.teach.methods import halved
from skimwright.teach.numbers import Number, Sum, number, worked
from skimwright.teach.worksheet import Words

Use = Literal["clock", "tape", "side"]
USES: tuple[Use, ...] = ("clock", "tape", "side")
FEWEST = 3  # runs each way, whatever the sum says
MOST = 40  # runs each way that one day can hold [choice]
UNITS: Mapping[Use, tuple[str, int]] = {"clock": ("s", 2), "tape": ("m", 1), "side": ("m", 2)}
ONE_IN_20, FOUR_IN_5 = 1.959963985, 0.841621234  # steps of the bell curve, two-sided 5 % and one-sided 80 %


@dataclass(frozen=True, kw_only=True)
class MeasuredChange:
    """What a change should do to one thing that can be measured, and how much runs differ in it."""

    use: Use
    effect: float | None  # by the forecast, in SI; None: it cannot tell
    spread: float | None  # one standard deviation from run to run, in SI
    own_runs: int  # of the crew
    is_own: bool  # the spread is the crew's own; else its class's


@dataclass(frozen=True, kw_only=True)
class Ruler:
    """One way to measure a change."""

    use: Use
    effect: Number
    spread: Number
    runs: int | None  # each way; None: too little to be seen
    says: str


@dataclass(frozen=True, kw_only=True)
class FairTest:
    """A plan, or why there is none."""

    title: str
    clear: bool  # one change
    says: tuple[str, ...]
    rulers: tuple[Ruler, ...] = ()
    best: Ruler | None = None


def _power(runs: float, *, difference: float, spread: float) -> float:
    """Chance to tell the difference with so many runs each way, from the area under the bell curve."""
    steps = abs(difference) / (spread * math.sqrt(2.0 / runs)) - ONE_IN_20
    return 0.5 * (1.0 + math.erf(steps / math.sqrt(2.0)))


REPEATS = Sum(
    key="repeats", needs=("effect", "spread"), places=0,
    first=lambda n: 2 * ((ONE_IN_20 + FOUR_IN_5) * n["spread"] / n["effect"]) ** 2,
    again=lambda n: halved(
        lambda runs: _power(runs, difference=float(n["effect"]), spread=float(n["spread"])) < 0.8,
        low=1e-9, high=1e7,
    ),
)  # fmt: skip


def plan_fair_test(
    changes: Sequence[str],
    measured: Mapping[str, Sequence[MeasuredChange]],
    words: Words,
    *,
    minutes: float,
) -> FairTest:
    """A plan for one change; for two, why the answer would be unclear.

    Parameters
    ----------
    changes : names
        Keys of causes.
    measured : mapping
        Of each change: what it should do to each thing that can be measured.
    words : Words
    minutes : float
        One run takes. [min]

    Raises
    ------
    ModelError
        Two ways to the number of runs differ.
    """
    names = [words.say(f"experiment.change.{change}") for change in changes]
    title = words.say("experiment.fair.title")
    if len(changes) != 1:
        return FairTest(title=title, clear=False, says=_unclear(changes, names, measured, words))
    rulers = [made for each in measured[changes[0]] if (made := _ruler(each, words, minutes)) is not None]
    able = [ruler for ruler in rulers if ruler.runs is not None]
    best = min(able, key=lambda ruler: ruler.runs or 0, default=None)
    if best is None:
        last = words.say("experiment.fair.cannot_any")
    else:
        key = "best_many" if (best.runs or 0) > MOST else "best"
        last = words.say(
            f"experiment.fair.{key}", best=words.say(f"experiment.use.{best.use}"), runs=best.runs
        )
    says = (
        words.say("experiment.fair.asks", change=names[0]), *(ruler.says for ruler in rulers), last,
        words.say("experiment.fair.same"), words.say("experiment.fair.more"),
    )  # fmt: skip
    return FairTest(title=title, clear=True, says=says, rulers=tuple(rulers), best=best)


def _ruler(each: MeasuredChange, words: Words, minutes: float) -> Ruler | None:
    if each.effect is None or not each.spread:
        return None
    unit, places = UNITS[each.use]
    effect, spread = (number(abs(value), unit, places=places) for value in (each.effect, each.spread))
    use = words.say(f"experiment.use.{each.use}")
    runs = None
    if effect.exact and spread.exact:
        found = worked(REPEATS, {"effect": effect, "spread": spread})
        assert found is not None
        runs = max(FEWEST, int(found.exact))
    own = words.say(
        f"experiment.fair.spread_{'crew' if each.is_own else 'class'}", count=each.own_runs, spread=spread
    )
    if runs is None:
        says = words.say("experiment.fair.cannot", use=use)
    else:
        needs = words.say(
            f"experiment.fair.repeats{'_many' if runs > MOST else ''}",
            use=use,
            runs=runs,
            minutes=number(2 * runs * minutes, places=0),
        )
        says = f"{words.say('experiment.fair.expects', use=use, effect=effect)} {own} {needs}"
    return Ruler(use=each.use, effect=effect, spread=spread, runs=runs, says=says)


def _joined(parts: Iterable[str], words: Words) -> str:
    return f" {words.say('experiment.fair.and')} ".join(parts)


def _unclear(
    changes: Sequence[str],
    names: Sequence[str],
    measured: Mapping[str, Sequence[MeasuredChange]],
    words: Words,
) -> tuple[str, ...]:
    if not changes:
        return (words.say("experiment.fair.none"),)
    says = [
        words.say(
            "experiment.fair.two",
            count=len(changes),
            changes=_joined(names, words),
        ),
        words.say("experiment.fair.two_why"),
    ]
    times = [next((m.effect for m in measured[change] if m.use == "clock"), None) for change in changes]
    known = [time for time in times if time is not None]
    if len(known) == len(changes):
        shown = [number(time, "s", places=2) for time in known]
        total = number(sum(each.exact for each in shown), "s", places=2)
        says.append(
            words.say(
                "experiment.fair.two_sum",
                parts=_joined(map(str, shown), words),
                total=total,
            )
        )
    strongest = max(zip(times, names, strict=True), key=lambda pair: abs(pair[0] or 0.0))[1]
    says.append(words.say("experiment.fair.two_do", first=strongest))
    return tuple(says)

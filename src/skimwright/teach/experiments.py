"""Experiments with the boat: what is read, and the sums that turn readings into a result, each with a second road."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skimwright.base import InputError, Where
from skimwright.kit import guide
from skimwright.teach.explain import Worked
from skimwright.teach.facts import BANDS, Band
from skimwright.teach.methods import added_up, halved
from skimwright.teach.numbers import BLANK, Number, Sum, Value, worked
from skimwright.teach.sums import SAID
from skimwright.teach.worksheet import MEASURED, Words

Given = Any


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What is read off and written down."""

    name: str
    unit: str = ""
    low: float = 0.0  # in that unit; must be more
    high: float = 1e4
    many: bool = False  # several runs


@dataclass(frozen=True, kw_only=True)
class Experiment:
    """One experiment; its words stand in the catalogue under its key."""

    key: str
    youngest: Band
    minutes: int
    people: int
    readings: tuple[Reading, ...]
    sums: tuple[tuple[Band, Sum], ...]  # from which band on
    example: Mapping[str, str]  # invented readings, as written down


@dataclass(frozen=True, kw_only=True)
class ExperimentCard:
    """One experiment as it is printed."""

    experiment: Experiment
    band: Band
    title: str
    tells: str
    needs: tuple[str, ...]
    steps: tuple[str, ...]
    adult: tuple[str, ...]
    safety: tuple[str, ...]
    wrong: tuple[str, ...]
    readings: tuple[tuple[str, str], ...]  # what, value or a line to write on
    example: tuple[tuple[str, str], ...]
    example_steps: tuple[Worked, ...]
    result: tuple[Worked, ...]  # of the readings given; nothing while one is missing
    verdict: str
    reading_grade: float | None
    word_count: int

    @property
    def reading_limit(self) -> int:
        """The band's setting."""
        return guide.GRADE[self.band]


def _speed(key: str, way: str, time: str, places: int = 2) -> Sum:
    return Sum(
        key=key, needs=(way, time), unit="m/s", places=places, first=lambda n: n[way] / n[time],
        again=lambda n: halved(lambda v: v * float(n[time]) < float(n[way]), low=0.0, high=1e5),
    )  # fmt: skip


def _crossing(n: Given) -> tuple[float, float]:
    """Where the two plumb lines meet: by the rule for two equations with two unknowns."""
    # a line through (foot, 0) and (x, z):  z_hang * X - (x - foot) * Z = z_hang * foot
    a1, b1, c1 = n["a_high_mm"], n["a_foot_mm"] - n["a_hang_mm"], n["a_high_mm"] * n["a_foot_mm"]
    a2, b2, c2 = n["b_high_mm"], n["b_foot_mm"] - n["b_hang_mm"], n["b_high_mm"] * n["b_foot_mm"]
    whole = a1 * b2 - a2 * b1
    return (c1 * b2 - c2 * b1) / whole, (a1 * c2 - a2 * c1) / whole


def _height(n: Given) -> float:
    """The same by going up along both lines until they meet."""

    def apart(z: float) -> float:
        first = float(n["a_foot_mm"]) + float(n["a_hang_mm"] - n["a_foot_mm"]) * z / float(n["a_high_mm"])
        other = float(n["b_foot_mm"]) + float(n["b_hang_mm"] - n["b_foot_mm"]) * z / float(n["b_high_mm"])
        return first - other

    start = apart(0.0)
    return halved(lambda z: apart(z) * start > 0, low=0.0, high=1e4)


STRINGS = ("a_hang_mm", "a_high_mm", "a_foot_mm", "b_hang_mm", "b_high_mm", "b_foot_mm")
BALANCE = Sum(
    key="string_balance", needs=STRINGS, unit="mm", places=0, first=lambda n: _crossing(n)[0],
    again=lambda n: float(n["a_foot_mm"])
    + float(n["a_hang_mm"] - n["a_foot_mm"]) * _height(n) / float(n["a_high_mm"]),
)  # fmt: skip
HEIGHT = Sum(
    key="string_height", needs=STRINGS, unit="mm", places=0, first=lambda n: _crossing(n)[1], again=_height
)
MIDDLE = Sum(
    key="mid_depth", needs=("bow_mm", "stern_mm"), unit="mm", places=1,
    first=lambda n: (n["bow_mm"] + n["stern_mm"]) / 2,
    again=lambda n: n["stern_mm"] + (n["bow_mm"] - n["stern_mm"]) / 2,
)  # fmt: skip
TILT = Sum(
    key="tilt_angle", needs=("bow_mm", "stern_mm", "length_mm"), unit="°", places=1,
    first=lambda n: math.degrees(math.atan((n["bow_mm"] - n["stern_mm"]) / n["length_mm"])),
    again=lambda n: halved(
        lambda a: math.sin(math.radians(a)) * float(n["length_mm"])
        < math.cos(math.radians(a)) * float(n["bow_mm"] - n["stern_mm"]),
        low=-89.0, high=89.0,
    ),
)  # fmt: skip
RAN_OVER = Sum(
    key="missing_g", needs=("mass_g", "caught_g"), unit="g", places=0,
    first=lambda n: abs(n["mass_g"] - n["caught_g"]),
    again=lambda n: halved(
        lambda x: min(n["mass_g"], n["caught_g"]) + x < max(n["mass_g"], n["caught_g"]), low=0.0, high=1e6
    ),
)  # fmt: skip
RAN_SHARE = Sum(
    key="missing_share", needs=("missing_g", "mass_g"), unit="%", places=0,
    first=lambda n: 100 * n["missing_g"] / n["mass_g"],
    again=lambda n: halved(lambda x: x * float(n["mass_g"]) < 100 * float(n["missing_g"]), low=0.0, high=1e6),
)  # fmt: skip
LINE_PULL = Sum(
    key="line_pull", needs=("weight_g", "gravity", "kept", "parts"), unit="N", places=2,
    first=lambda n: n["weight_g"] / 1000 * n["gravity"] * n["kept"] / n["parts"],
    again=lambda n: halved(
        lambda f: f * float(n["parts"]) * 1000 < float(n["weight_g"] * n["gravity"] * n["kept"]),
        low=0.0, high=1e5,
    ),
)  # fmt: skip
TOW_FACTOR = Sum(
    key="tow_factor", needs=("line_pull", "tow_speed"), unit="N s²/m²", figures=2,
    first=lambda n: n["line_pull"] / n["tow_speed"] ** 2,
    again=lambda n: halved(lambda k: k * float(n["tow_speed"]) ** 2 < float(n["line_pull"]), low=0.0, high=1e5),
)  # fmt: skip
PUSH = Sum(
    key="stand_push", needs=("scale_g", "gravity", "scale_arm_mm", "device_arm_mm"), unit="N", places=2,
    first=lambda n: n["scale_g"] / 1000 * n["gravity"] * n["scale_arm_mm"] / n["device_arm_mm"],
    again=lambda n: halved(
        lambda f: f * float(n["device_arm_mm"]) * 1000
        < float(n["scale_g"] * n["gravity"] * n["scale_arm_mm"]), low=0.0, high=1e5,
    ),
)  # fmt: skip
LOST_SPEED = Sum(
    key="lost_speed", needs=("fast", "slow"), unit="m/s", places=2, first=lambda n: n["fast"] - n["slow"],
    again=lambda n: halved(lambda x: n["slow"] + x < n["fast"], low=-1e4, high=1e4),
)  # fmt: skip
COAST_DRAG = Sum(
    key="coast_drag", needs=("mass_kg", "fast", "slow", "between_m"), unit="N", figures=2,
    first=lambda n: n["mass_kg"] * (n["fast"] ** 2 - n["slow"] ** 2) / (2 * n["between_m"]),
    again=lambda n: added_up(
        lambda v: float(n["mass_kg"]) * v, start=float(n["slow"]), end=float(n["fast"])
    ) / float(n["between_m"]),
)  # fmt: skip
COAST_FACTOR = Sum(
    key="coast_factor", needs=("mass_kg", "fast", "slow", "between_m"), unit="N s²/m²", figures=2,
    first=lambda n: n["mass_kg"] * math.log(n["fast"] / n["slow"]) / n["between_m"],
    again=lambda n: added_up(lambda v: float(n["mass_kg"]) / v, start=float(n["slow"]), end=float(n["fast"]))
    / float(n["between_m"]),
)  # fmt: skip


def _mean(key: str, runs: str) -> Sum:
    return Sum(
        key=key, needs=(runs,), places=2, first=lambda n: math.fsum(n[runs]) / len(n[runs]),
        again=lambda n: n[runs][0] + sum(run - n[runs][0] for run in n[runs]) / len(n[runs]),
    )  # fmt: skip


def _spread(runs: tuple[float, ...]) -> float:
    mean = math.fsum(runs) / len(runs)
    return math.fsum((run - mean) ** 2 for run in runs) / (len(runs) - 1)


def _by_pairs(runs: tuple[Any, ...]) -> Any:
    count = len(runs)
    return sum((a - b) ** 2 for i, a in enumerate(runs) for b in runs[:i]) / (count * (count - 1))


CHANGE = Sum(
    key="change", needs=("mean_with", "mean_without"), places=2,
    first=lambda n: abs(n["mean_with"] - n["mean_without"]),
    again=lambda n: halved(
        lambda x: min(n["mean_with"], n["mean_without"]) + x < max(n["mean_with"], n["mean_without"]),
        low=0.0, high=1e6,
    ),
)  # fmt: skip
DOUBT = Sum(
    key="doubt", needs=("with_runs", "without_runs"), places=2,
    first=lambda n: 2 * math.sqrt(
        _spread(n["with_runs"]) / len(n["with_runs"]) + _spread(n["without_runs"]) / len(n["without_runs"])
    ),
    again=lambda n: 2 * halved(
        lambda d: d * d < float(
            _by_pairs(n["with_runs"]) / len(n["with_runs"]) + _by_pairs(n["without_runs"]) / len(n["without_runs"])
        ),
        low=0.0, high=1e6,
    ),
)  # fmt: skip
WITH_RANGE, WITHOUT_RANGE = (
    Sum(
        key=key, needs=(runs,), places=2, first=lambda n, runs=runs: max(n[runs]) - min(n[runs]),  # type: ignore[misc]
        again=lambda n, runs=runs: max(a - b for a in n[runs] for b in n[runs]),  # type: ignore[misc]
    )
    for key, runs in (("with_range", "with_runs"), ("without_range", "without_runs"))
)  # fmt: skip

MM = {"unit": "mm", "high": 3000.0}
EXPERIMENTS: dict[str, Experiment] = {
    each.key: each
    for each in (
        Experiment(
            key="two_strings", youngest="Rush", minutes=25, people=3,
            readings=tuple(Reading(name=name, unit="mm", low=-1.0, high=3000.0) for name in STRINGS),
            sums=(("Reed", BALANCE), ("Reed", HEIGHT)),
            example={"a_hang_mm": "300", "a_high_mm": "60", "a_foot_mm": "390", "b_hang_mm": "400",
                     "b_high_mm": "60", "b_foot_mm": "290"},
        ),
        Experiment(
            key="float_line", youngest="Cress", minutes=15, people=2,
            readings=(
                Reading(name="bow_mm", unit="mm", low=-100.0, high=500.0),
                Reading(name="stern_mm", unit="mm", low=-100.0, high=500.0),
                Reading(name="length_mm", unit="mm", high=3000.0),
            ),
            sums=(("Cress", MIDDLE), ("Reed", TILT)),
            example={"bow_mm": "22", "stern_mm": "6", "length_mm": "620"},
        ),
        Experiment(
            key="water_balance", youngest="Cress", minutes=20, people=3,
            readings=(Reading(name="mass_g", unit="g"), Reading(name="caught_g", unit="g")),
            sums=(("Cress", RAN_OVER), ("Rush", RAN_SHARE)),
            example={"mass_g": "269", "caught_g": "261"},
        ),
        Experiment(
            key="tow", youngest="Rush", minutes=30, people=4,
            readings=(
                Reading(name="weight_g", unit="g"), Reading(name="parts", low=0.5, high=8.0),
                Reading(name="way_m", unit="m", high=100.0), Reading(name="time_s", unit="s", high=100.0),
            ),
            sums=(("Rush", _speed("tow_speed", "way_m", "time_s")), ("Reed", LINE_PULL), ("Willow", TOW_FACTOR)),
            example={"weight_g": "270", "parts": "3", "way_m": "3.00", "time_s": "0.85"},
        ),
        Experiment(
            key="thrust_stand", youngest="Rush", minutes=25, people=3,
            readings=(
                Reading(name="scale_g", unit="g"), Reading(name="scale_arm_mm", **MM),  # type: ignore[arg-type]
                Reading(name="device_arm_mm", **MM),  # type: ignore[arg-type]
            ),
            sums=(("Rush", PUSH),),
            example={"scale_g": "194", "scale_arm_mm": "200", "device_arm_mm": "200"},
        ),
        Experiment(
            key="coast_down", youngest="Rush", minutes=30, people=5,
            readings=(
                Reading(name="mass_kg", unit="kg", high=20.0),
                Reading(name="way_1_m", unit="m", high=100.0), Reading(name="time_1_s", unit="s", high=100.0),
                Reading(name="way_2_m", unit="m", high=100.0), Reading(name="time_2_s", unit="s", high=100.0),
                Reading(name="between_m", unit="m", high=100.0),
            ),
            sums=(
                ("Rush", _speed("fast", "way_1_m", "time_1_s")), ("Rush", _speed("slow", "way_2_m", "time_2_s")),
                ("Rush", LOST_SPEED), ("Reed", COAST_DRAG), ("Willow", COAST_FACTOR),
            ),
            example={"mass_kg": "0.269", "way_1_m": "2.00", "time_1_s": "0.32", "way_2_m": "2.00",
                     "time_2_s": "0.55", "between_m": "4.00"},
        ),
        Experiment(
            key="with_without", youngest="Cress", minutes=50, people=4,
            readings=tuple(Reading(name=name, high=1e3, many=True) for name in ("with_runs", "without_runs")),
            sums=(
                ("Cress", _mean("mean_with", "with_runs")), ("Cress", _mean("mean_without", "without_runs")),
                ("Cress", CHANGE), ("Rush", WITH_RANGE), ("Rush", WITHOUT_RANGE), ("Reed", DOUBT),
            ),
            example={"with_runs": "5.31/5.42/5.28/5.50", "without_runs": "5.05/5.21/5.12/5.02"},
        ),
    )
}  # fmt: skip


def experiment_named(word: str) -> Experiment:
    """An experiment by the name a person types.

    Raises
    ------
    InputError
        No such experiment.

    Examples
    --------
    >>> experiment_named("Coast-down").minutes
    30
    """
    name = "_".join(word.casefold().replace("-", " ").split())
    if name in EXPERIMENTS:
        return EXPERIMENTS[name]
    raise InputError(
        what="no such experiment", got=f'"{word}"',
        allowed=", ".join(key.replace("_", "-") for key in EXPERIMENTS) + ", fair-test", do="Give one of these.",
        where=Where(field="NAME"),
    )  # fmt: skip


def experiment_card(
    experiment: Experiment, band: Band, words: Words, *, readings: Mapping[str, Value] | None = None
) -> ExperimentCard:
    """The card of an experiment, with a worked example, and the result of readings if they are all there.

    Parameters
    ----------
    experiment : Experiment
    band : Band
        Which sums it sees; one below the youngest sees the youngest's.
    words : Words
    readings : mapping, optional
        What was read, by name.

    Raises
    ------
    ModelError
        Two ways to a result differ.
    InputError
        A fault in the file of words, or readings that cannot belong together.
    """
    key = experiment.key
    given = dict(readings or {})
    example = {r.name: _as_written(r, experiment.example[r.name]) for r in experiment.readings}
    result = _worked(experiment, band, words, given)
    part = {name: tuple(words.lines(f"experiment.{key}.{name}"))
            for name in ("needs", "steps", "adult", "safety", "wrong")}  # fmt: skip
    tells = words.say(f"experiment.{key}.tells")
    text = [MEASURED.sub(" ", line) for line in (tells, *(line for each in part.values() for line in each))]
    return ExperimentCard(
        experiment=experiment, band=band, title=words.say(f"experiment.{key}.title"), tells=tells, **part,
        readings=tuple((words.say(f"experiment.read.{r.name}"), shown(r, given.get(r.name), words))
                       for r in experiment.readings),
        example=tuple((words.say(f"experiment.read.{r.name}"), shown(r, example[r.name], words))
                      for r in experiment.readings),
        example_steps=_worked(experiment, band, words, example), result=result,
        verdict=_verdict(key, band, result, words),
        reading_grade=guide.reading_grade(text) if words.find("about.reading") == "flesch-kincaid" else None,
        word_count=sum(len([w for w in line.split() if w[:1].isalpha()]) for line in text),
    )  # fmt: skip


def _as_written(reading: Reading, text: str) -> Value:
    if reading.many:
        return tuple(Number(text=each, unit=reading.unit) for each in text.split("/"))
    return Number(text=text, unit=reading.unit)


def shown(reading: Reading, value: Value, words: Words) -> str:
    """A reading as it stands in a table, or a line to write on."""
    if value is None:
        return f"{BLANK} {reading.unit}".strip()
    if isinstance(value, tuple):
        return f"{words.joined(each.text for each in value)} {reading.unit}".strip()
    return words.local(value)


def _worked(
    experiment: Experiment, band: Band, words: Words, given: Mapping[str, Value]
) -> tuple[Worked, ...]:
    numbers: dict[str, Value] = {**SAID, **given}
    seen = max(BANDS.index(band), BANDS.index(experiment.youngest))
    made = []
    try:
        for least, ask in experiment.sums:
            answer = numbers[ask.key] = worked(ask, numbers)
            if answer is None or BANDS.index(least) > seen:
                continue
            fields: dict[str, object] = {}
            for name, value in numbers.items():
                fields[name] = str(value) if isinstance(value, Number) else BLANK
                if isinstance(value, tuple):
                    fields |= {name: " + ".join(v.text for v in value), f"{name}_n": len(value),
                               f"{name}_most": max(value, key=lambda v: v.exact).text,
                               f"{name}_least": min(value, key=lambda v: v.exact).text}  # fmt: skip
            made.append(
                Worked(key=ask.key, says=words.say(f"experiment.why.{ask.key}"),
                       sum=words.say(f"experiment.sum.{ask.key}", **fields), answer=answer, closes=False)
            )  # fmt: skip
    except (ZeroDivisionError, ValueError) as fault:
        raise InputError(
            what="these readings cannot belong together", got=", ".join(f"{k}={v}" for k, v in given.items()),
            allowed="readings of one experiment", do="Read them again, and look at the order.",
        ) from fault  # fmt: skip
    return tuple(made)


def _verdict(key: str, band: Band, result: tuple[Worked, ...], words: Words) -> str:
    """What runs with and without a change allow to say, or that a boat that coasts cannot get faster."""
    found = {step.key: float(step.answer.text) for step in result}
    if key == "coast_down" and found.get("lost_speed", 1.0) <= 0:
        return words.say("experiment.verdict.faster")
    if key != "with_without" or "change" not in found:
        return ""
    if "doubt" in found:
        way = "told" if found["change"] > found["doubt"] else "not_told"
    elif "with_range" in found:
        way = "told" if found["change"] > max(found["with_range"], found["without_range"]) else "not_sure"
    else:
        return ""
    return words.say(f"experiment.verdict.{way}")

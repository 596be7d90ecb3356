"""What one boat will do: a thousand runs summed up as ranges, chances and what dominates them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from skimwright.base import Finding, InputError, ModelError
from skimwright.boat import AsBuilt, Kit, Spread, Thrust, outer_shell, running_form, spread, with_measured
from skimwright.physics import flotation, water
from skimwright.physics.thrust import Device
from skimwright.pond import Conditions, Gate
from skimwright.run import stepping
from skimwright.run.forces import Scene
from skimwright.run.limits import BlowOver, Straightness, blow_over, straightness
from skimwright.run.setup import run_rows, scene, strip_names, strip_rows
from skimwright.run.spread import Cause, causes, draw
from skimwright.run.stepping import HISTORY, RESULT_ROWS, RESULTS

Array = NDArray[np.float64]

RUNS = 1000
SEED = 30480
PIECE = 64  # runs one core takes at a time
CHUNK = 256  # runs between two looks at progress and stop
RECORDED = 120  # runs whose path is kept
LINES = 1000
PERIOD = 0.05  # between lines of a kept path [s]

# How a run ends.  "Through the gate" and "ran wide" are runs that came to rest after crossing the gate's line.
THROUGH, WIDE, SHORT = "through the gate", "ran wide", "stopped short"
HOOKED, BLEW_OVER, ROLLED, NOSED_IN = "hooked", "blew over", "rolled over", "nosed in"
ADRIFT = "still drifting"  # not at rest when the time was up: the wind carries it
ENDINGS = (THROUGH, WIDE, SHORT, HOOKED, BLEW_OVER, ROLLED, NOSED_IN, ADRIFT)
AT_REST = (THROUGH, WIDE, SHORT)
FEWEST = 20  # runs a range needs; fewer say too little
STEPS = tuple(0.05 * step for step in range(1, 20))  # shares at which a range is kept in full [-]


@dataclass(frozen=True, kw_only=True)
class Range:
    """A quantity over the runs that have it: 5, 50 and 95 of a hundred runs lie below these. SI."""

    p05: float
    p50: float
    p95: float
    mean: float
    steps: tuple[float, ...] = field(
        default=(), repr=False, compare=False
    )  # at STEPS; none unless made by `of`

    @classmethod
    def of(cls, values: Array) -> Range | None:
        """The range of the finite values; None when there are fewer than 20."""
        known = values[np.isfinite(values)]
        if len(known) < FEWEST:
            return None
        low, middle, high = np.quantile(known, [0.05, 0.5, 0.95])
        steps = tuple(float(value) for value in np.quantile(known, STEPS))
        return cls(p05=float(low), p50=float(middle), p95=float(high), mean=float(known.mean()), steps=steps)


@dataclass(frozen=True, kw_only=True)
class Term:
    """How much of the spread of one result goes with one cause, on its own."""

    words: str
    group: str
    key: str
    distance: float  # share of the variance of distance [-]
    drift: float  # of drift at the gate [-]


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """What a boat will do, with honest ranges."""

    runs: int
    seed: int
    gate: Gate
    distance: Range  # from the start to where it came to rest, straight, of the runs that did [m]
    gate_time: Range | None  # of the runs that crossed the gate's line [s]
    drift: Range | None  # at the gate's line, to starboard + [m]
    top_speed: Range  # [m/s]
    reaches: float  # share of runs that cross the gate's line [-]
    through_gate: float  # share that cross it between the posts, let go straight at the gate [-]
    aim: float  # turn of the launch line that sends half the runs to each side of the gate's middle [rad]
    through_aimed: float  # share that cross it between the posts when aimed so [-]
    blows_over: float  # share that blow over or roll over [-]
    endings: dict[str, float]
    blow_over: BlowOver
    straight: Straightness
    terms: tuple[Term, ...]
    terms_explained: tuple[float, float]  # how much all terms alone explain of distance, of drift [-]
    built: dict[str, Spread]
    middle: Array = field(repr=False)  # (lines, 12) history of the run with every cause at its middle
    paths: tuple[Array, ...] = field(repr=False)  # histories of kept runs
    ends: Array = field(repr=False)  # (runs, 2) where each run ended: along, to starboard [m]
    findings: tuple[Finding, ...] = ()

    @property
    def chance_half_width(self) -> float:
        """How far a chance near one half may be off because only so many runs were drawn (95 %). [-]"""
        return 1.96 * math.sqrt(0.25 / self.runs)


@dataclass(frozen=True, kw_only=True)
class Question:
    """One boat, one device, one day."""

    kit: Kit
    device: Device
    built: AsBuilt
    conditions: Conditions = field(default_factory=Conditions)
    gate: Gate = field(default_factory=Gate)
    runs: int = RUNS
    seed: int = SEED

    def __post_init__(self) -> None:
        if not 20 <= self.runs <= 200_000:
            raise InputError(
                what="The number of runs cannot be used",
                got=str(self.runs),
                allowed="20 to 200000",
                do="1000 runs give a range good to about a twentieth of its width.",
            )


@dataclass(frozen=True, kw_only=True)
class Ensemble:
    """Everything a question's runs need, ready for the stepping."""

    scene: Scene
    rows: Array  # (runs + 1, len(RUN_ROWS)); row 0 has every cause at its middle
    strips: Array
    count: int
    causes: tuple[Cause, ...]
    drawn: dict[str, Array]
    built: dict[str, Spread]
    findings: tuple[Finding, ...]


def ensemble(question: Question, *, finer: float = 1.0) -> Ensemble:
    """Draw every run of a question.

    Parameters
    ----------
    question : Question
    finer : float
        Divides the time steps.

    Raises
    ------
    InputError
        The kit cannot run, or the boat cannot float.
    """
    kit, built = question.kit, question.built
    form = running_form(kit)
    body = with_measured(kit, built)
    rest, findings = at_rest(question, body.mass, body.centre)
    spreads = spread(built, kit=kit)
    all_causes = causes(spreads, question.device)
    drawn = draw(all_causes, runs=question.runs, seed=question.seed)
    shared = scene(
        form,
        device=question.device,
        conditions=question.conditions,
        gate_distance=question.gate.distance,
        finer=finer,
    )
    rows = run_rows(drawn, body=body, line=line_of(question), conditions=question.conditions, rest=rest)
    return Ensemble(
        scene=shared,
        rows=rows,
        strips=strip_rows(form, drawn),
        count=len(strip_names(form)),
        causes=all_causes,
        drawn=drawn,
        built=spreads,
        findings=findings,
    )


def line_of(question: Question) -> Thrust:
    """Where the device pushes, or where its line pulls."""
    thrust = question.kit.thrust
    return thrust.pulled if question.device.kind == "towline" else thrust


def at_rest(
    question: Question, mass: float, centre: Array
) -> tuple[tuple[float, float, float], tuple[Finding, ...]]:
    """Sinkage of the boat's origin [m], trim and heel [rad] before it is let go; and what is odd about them."""
    dense = water.density(temperature=question.conditions.water_temperature)
    afloat = flotation.rest_attitude(
        outer_shell(question.kit), mass=mass, centre=centre, water_density=dense, heels=()
    )
    if not afloat.floats:
        raise InputError(
            what=f"Boat {question.built.boat} cannot float",
            got=f"{1000 * mass:.0f} g",
            allowed=f"less than {1000 * (mass - afloat.excess_mass):.0f} g",
            do="Weigh it again, or take off what it cannot carry.",
        )
    attitude = afloat.attitudes[0]
    return (attitude.sinkage, attitude.trim, attitude.heel), afloat.findings


def forecast(
    question: Question,
    *,
    progress: Callable[[int, int], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Forecast:
    """What this boat, as built, will do.

    Parameters
    ----------
    question : Question
    progress : called with (runs done, runs in all) now and then
    stop : asked now and then; when it says yes the runs done so far are summed up

    Raises
    ------
    InputError
        The boat cannot float, or the kit has no running surfaces.
    ModelError
        Fewer than 20 runs were done before it was stopped, or a run broke down.

    Examples
    --------
    ``forecast(Question(kit=fold_62, device=whirr_5, built=AsBuilt(boat="07"))).reaches`` is the share of runs
    that cross the line at 30.48 m.
    """
    ready = ensemble(question)
    total = len(ready.rows)
    results = np.full((total, RESULTS), np.nan)
    history = np.zeros((min(RECORDED, total), LINES, HISTORY))
    lines = np.zeros(len(history), dtype=np.int64)
    done = 0
    while done < total:
        last = min(done + CHUNK, total)
        keep = max(0, min(len(history) - done, last - done))
        stepping.run_all(
            ready.rows[done:last], ready.strips[done:last], ready.count, ready.scene, results[done:last],
            history[done : done + keep], lines[done : done + keep], PERIOD, PIECE,
        )  # fmt: skip
        done = last
        if progress:
            progress(done - 1, total - 1)
        if stop and stop():
            break
    if done < 21:
        raise ModelError(
            what="Stopped before there was enough to say",
            got=f"{done} runs",
            allowed="20 or more",
            do="Run it again and let it finish.",
        )
    return _sum_up(question, ready, results[:done], history, lines)


def column(results: Array, name: str) -> Array:
    """One column of the kernel's results, runs 1 and on."""
    return np.asarray(results[1:, RESULT_ROWS.index(name)])


def _sum_up(
    question: Question, ready: Ensemble, results: Array, history: Array, lines: NDArray[np.int64]
) -> Forecast:
    broken = column(results, "ending") == stepping.BROKE_DOWN
    if broken.any():
        raise ModelError(
            what=f"{int(broken.sum())} of {len(broken)} runs broke down in the sum",
            do="Please keep this season's files and tell the people who look after the program.",
        )
    x, y = column(results, "x"), column(results, "y")
    distance = np.hypot(x, y)
    gate_time, drift = column(results, "gate_time"), column(results, "gate_drift")
    inside = np.abs(drift) <= 0.5 * question.gate.width
    reached = np.isfinite(gate_time)
    words = _ending_words(column(results, "ending"), reached, inside)
    shares = {word: float(np.mean(words == word)) for word in ENDINGS if (words == word).any()}
    terms, explained = _terms(ready, distance, drift)
    resting = np.where(np.isin(words, AT_REST), distance, np.nan)
    range_of_distance = Range.of(resting) or Range.of(distance)
    top = Range.of(column(results, "top_speed"))
    aim, aimed = aimed_chance(drift, question.gate)
    assert range_of_distance is not None  # every run has an end
    assert top is not None
    return Forecast(
        runs=len(distance),
        seed=question.seed,
        gate=question.gate,
        distance=range_of_distance,
        gate_time=Range.of(gate_time),
        drift=Range.of(drift),
        top_speed=top,
        reaches=float(reached.mean()),
        through_gate=float((reached & inside).mean()),
        aim=aim,
        through_aimed=aimed,
        blows_over=float(np.isin(words, [BLEW_OVER, ROLLED]).mean()),
        endings=shares,
        blow_over=blow_over(ready.rows, ready.scene, running_form(question.kit), results),
        straight=straightness(ready.rows, ready.strips, ready.count, ready.scene),
        terms=terms,
        terms_explained=explained,
        built=ready.built,
        middle=history[0, : lines[0]].copy(),
        paths=tuple(history[i, : lines[i]].copy() for i in range(1, len(history)) if lines[i]),
        ends=np.stack([x, y], axis=1),
        findings=ready.findings,
    )


def aimed_chance(drift: Array, gate: Gate) -> tuple[float, float]:
    """Where to aim so that half the runs pass on each side of the gate's middle, and the chance then.

    The runs are turned as they are about the start: for the few degrees one may aim off, the wind along and across
    the boat hardly changes.
    """
    known = np.isfinite(drift)
    if known.sum() < FEWEST:
        return 0.0, float((np.abs(drift[known]) <= 0.5 * gate.width).sum() / len(drift))
    middle = float(np.median(drift[known]))
    inside = np.abs(drift[known] - middle) <= 0.5 * gate.width
    return -math.atan2(middle, gate.distance), float(inside.sum() / len(drift))


def _ending_words(codes: Array, reached: NDArray[np.bool_], inside: NDArray[np.bool_]) -> NDArray[np.str_]:
    words = np.where(reached & inside, THROUGH, np.where(reached, WIDE, SHORT)).astype("U20")
    for code, word in (
        (stepping.HOOKED, HOOKED),
        (stepping.BLEW_OVER, BLEW_OVER),
        (stepping.ROLLED, ROLLED),
        (stepping.NOSED_IN, NOSED_IN),
        (stepping.TIMED_OUT, ADRIFT),
    ):
        words[codes == code] = word
    return words


def _terms(ready: Ensemble, distance: Array, drift: Array) -> tuple[tuple[Term, ...], tuple[float, float]]:
    """Share of the variance that goes with each cause alone: the variance of the mean within slices of the cause."""
    found = []
    for cause in ready.causes:
        values = ready.drawn[cause.key][1 : len(distance) + 1]
        found.append(
            Term(
                words=cause.words,
                group=cause.group,
                key=cause.key,
                distance=first_order_share(values, distance),
                drift=first_order_share(values, drift),
            )
        )
    total = (
        float(np.clip(sum(t.distance for t in found), 0.0, 1.0)),
        float(np.clip(sum(t.drift for t in found), 0.0, 1.0)),
    )
    ranked = sorted(found, key=lambda t: -max(t.distance, t.drift))
    return tuple(t for t in ranked if max(t.distance, t.drift) >= 0.02), total


def first_order_share(cause: Array, result: Array, *, slices: int = 12) -> float:
    """Variance of the slice means of ``result`` over its variance, less what chance alone would give.

    Parameters
    ----------
    cause, result : float array (runs,)
        Runs whose result is missing are left out.
    slices : int
        Slices of equal size.

    Returns
    -------
    float, up to 1
        A little under 0 when the cause does nothing: chance is taken off.

    Holds
        About 20 runs or more a slice; with 1000 runs a share under 0.02 is not told from nothing.
        What bends within a slice is lost: under a hundredth for a straight effect, a tenth for one that waves twice.
    Source
        The correlation ratio, Pearson 1905 (from memory); the correction for chance is Kelley's
        epsilon squared, 1935 (from memory).
    """
    known = np.isfinite(result) & np.isfinite(cause)
    cause, result = cause[known], result[known]
    if len(result) < 10 * slices or np.ptp(cause) == 0 or np.var(result) == 0:
        return 0.0
    parts = np.array_split(result[np.argsort(cause, kind="stable")], slices)
    within = sum(((p - p.mean()) ** 2).sum() for p in parts) / (len(result) - slices)
    whole = ((result - result.mean()) ** 2).sum() / (len(result) - 1)
    return float(1.0 - within / whole)

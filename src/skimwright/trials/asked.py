"""Questions about figures that were written down but can hardly be so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from skimwright.base import Finding
from skimwright.trials.book import Result

FOOT = 0.3048  # [m]
FAR = 100.0  # no such boat stops farther away [m] [choice]
FASTEST, SLOWEST = 20.0, 1.0  # mean speeds to the gate that can be believed [m/s] [choice]
ODD = 1.8  # times what is usual for its kind [choice]
STRONG = 7.0  # mean wind such boats are not run in [m/s] [choice]


@dataclass(frozen=True, kw_only=True)
class Usual:
    """Middle of the runs of a kind of boat; None while fewer than three are known."""

    distance: float | None = None  # [m]
    gate_time: float | None = None  # [s]


def usual(results: Iterable[Result]) -> Usual:
    """What is usual for one kit and device."""
    known = list(results)
    distances = [r.distance for r in known if r.distance is not None]
    times = [r.gate_time for r in known if r.gate_time is not None]
    return Usual(
        distance=median(distances) if len(distances) >= 3 else None,
        gate_time=median(times) if len(times) >= 3 else None,
    )


def doubts(
    result: Result, *, known: Usual, gate: float, where: str, sure: Sequence[str] = ()
) -> tuple[Result, tuple[Finding, ...]]:
    """The result with doubtful figures left out, and a question about each.

    Parameters
    ----------
    result : Result
    known : Usual
        Of its kind of boat.
    gate : float
        Distance of its gate. [m]
    where : str
        Row or run, for the question.
    sure : names of figures whose writer put the unit behind them
        These are believed, and only asked about.

    Examples
    --------
    >>> kept, asked = doubts(Result(gate_time=50.5), known=Usual(), gate=30.48, where="row 4")
    >>> kept.gate_time, asked[0].why
    (None, 'Is it 5.05 s?')
    """
    found: dict[str, Finding] = {}
    if result.gate_time is not None and not _time_fits(result.gate_time, known, gate):
        tries = (0.1 * result.gate_time, 10 * result.gate_time)
        likely = next((t for t in tries if _time_fits(t, known, gate)), None)
        found["gate_time"] = _question(
            "time-slip", f"{result.gate_time:g} s to the gate is not like its kind.",
            f"Is it {likely:.3g} s?" if likely else "Was the watch started late?", where,
        )  # fmt: skip
    if result.distance is not None and not _distance_fits(result.distance, known):
        feet, tenth = FOOT * result.distance, 0.1 * result.distance
        why = "Was it the right boat?"
        if _distance_fits(feet, known):
            why = f"Is it {result.distance:g} ft = {feet:.1f} m?"
        elif _distance_fits(tenth, known):
            why = f"Is it {tenth:.3g} m?"
        found["distance"] = _question(
            "distance-in-feet" if "ft" in why else "distance-slip",
            f"{result.distance:g} m is not like its kind.", why, where,
        )  # fmt: skip
    elif result.distance is not None and result.gate_time is not None and result.distance < 0.95 * gate:
        found["gate_time"] = _question(
            "time-without-gate", f"It stopped after {result.distance:g} m, yet has a time at {gate:g} m.",
            "A boat that does not reach the gate has no time.", where,
        )  # fmt: skip
    if result.drift is not None and abs(result.drift) > max(result.distance or 0.0, gate):
        found["drift"] = _question(
            "drift-slip", f"{result.drift:g} m of drift is wider than the run is long.",
            f"Is it {result.drift / 10:.2g} m?", where,
        )  # fmt: skip
    if result.wind_speed is not None and result.wind_speed > STRONG:
        found["wind_speed"] = _question(
            "wind-in-km-h", f"A wind of {result.wind_speed:g} m/s is more than such boats are run in.",
            f"Is it {result.wind_speed:g} km/h = {result.wind_speed / 3.6:.1f} m/s?", where,
        )  # fmt: skip
    left_out = {name: None for name in found if name not in sure}
    return replace(result, **left_out), tuple(found.values())


def _time_fits(time: float, known: Usual, gate: float) -> bool:
    if known.gate_time is not None:
        return known.gate_time / ODD < time < known.gate_time * ODD * 1.4
    return gate / FASTEST < time < gate / SLOWEST


def _distance_fits(distance: float, known: Usual) -> bool:
    if known.distance is not None:
        return distance < ODD * known.distance
    return distance <= FAR


def _question(code: str, what: str, why: str, where: str) -> Finding:
    return Finding(
        code=code, severity="warning", what=what, why=why,
        do="It is left out until someone says: write the number with its unit behind it, or correct it.",
        where=where,
    )  # fmt: skip

"""Thrust that depends on time alone: curves, their figures, and stand recordings.

Words and cautions: docs/physics/thrust.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError, Where
from skimwright.physics.guard import require_not_negative, require_positive

Array = NDArray[np.float64]

BURN_SHARE = 0.05  # of the peak: where a burn begins and ends [Nfpa1125; second-hand]
LARGEST_BELIEVED = 60.0  # a school device above this is asked about: gram-force? [N]
SMALLEST_BELIEVED = 0.05  # below this too: kilonewtons? [N]
GRAM_FORCE = 0.00980665  # [N]

LETTERS: tuple[tuple[str, float, float], ...] = (  # printed limits of total impulse [N s]
    ("quarter A", 0.0, 0.62),
    ("half A", 0.63, 1.25),
    ("A", 1.26, 2.50),
    ("B", 2.51, 5.00),
    ("C", 5.01, 10.00),
    ("D", 10.01, 20.00),
    ("E", 20.01, 40.00),
    ("F", 40.01, 80.00),
    ("G", 80.01, 160.00),
)


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Thrust against time, straight between its points; two points at one time make a step."""

    times: tuple[float, ...]  # from the first push, not falling [s]
    forces: tuple[float, ...]  # [N]

    def __post_init__(self) -> None:
        times, forces = np.asarray(self.times), np.asarray(self.forces)
        good = len(times) >= 2 and len(times) == len(forces) and np.isfinite(times).all()
        if not (good and np.isfinite(forces).all() and (np.diff(times) >= 0).all() and times[-1] > times[0]):
            raise InputError(
                what="Thrust curve",
                got=f"{len(times)} times and {len(forces)} thrusts",
                allowed="two or more pairs, with times that do not go back",
                do="Look for a swapped or missing row.",
            )

    @property
    def total_impulse(self) -> float:
        """Area under the curve. [N s]"""
        return float(np.trapezoid(self.forces, self.times))

    @property
    def duration(self) -> float:
        """From first to last point. [s]"""
        return self.times[-1] - self.times[0]

    def impulse_until(self, time: NDArray[np.floating[Any]]) -> Array:
        """Area under the curve up to each time. [N s]"""
        t, f = np.asarray(self.times), np.asarray(self.forces)
        steps = np.diff(t)
        done = np.concatenate(([0.0], np.cumsum(0.5 * (f[1:] + f[:-1]) * steps)))
        clipped = np.clip(time, t[0], t[-1])
        i = np.clip(np.searchsorted(t, clipped, side="right") - 1, 0, len(t) - 2)
        into = clipped - t[i]
        slope = np.where(steps[i] > 0, (f[i + 1] - f[i]) / np.where(steps[i] > 0, steps[i], 1.0), 0.0)
        partial = done[i] + into * (f[i] + 0.5 * slope * into)
        return np.asarray(np.where(clipped >= t[-1], done[-1], partial), dtype=np.float64)


@dataclass(frozen=True, kw_only=True)
class CurveFigures:
    """What a thrust curve says about its device."""

    total_impulse: float  # the whole recording [N s]
    burn_time: float  # between the two points at 5 % of the peak [s]
    average_thrust: float  # impulse within the burn over burn time [N]
    peak_thrust: float  # [N]
    peak_time: float  # [s]
    letter_class: str


def letter_class(*, total_impulse: float) -> str:
    """Letter of a motor by its total impulse; each letter doubles the one before.

    Parameters
    ----------
    total_impulse : float, > 0
        Total impulse. [N s]

    Returns
    -------
    str
        ``A`` … ``G``, ``half A``, ``quarter A``, or ``above G``.

    Raises
    ------
    InputError
        The impulse is not positive.

    Holds
        Impulse rounded to the printed hundredth.
    Trust
        Exact; the letter is a size, not a permission.
    Source
        [MotorClasses; seen]; the two smallest from memory.
    Checked
        tests/published/air.csv: class_A … class_G, curve_class in tests/unit/physics/test_thrust.py.

    Examples
    --------
    >>> letter_class(total_impulse=4.6)
    'B'
    """
    letter, _, _ = _class_row(total_impulse)
    return letter


def class_limits(*, total_impulse: float) -> tuple[float, float]:
    """Printed least and greatest impulse of the class that this impulse falls in.

    Parameters
    ----------
    total_impulse : float, > 0
        Total impulse. [N s]

    Returns
    -------
    tuple of float
        Limits of the class. [N s]

    Raises
    ------
    InputError
        The impulse is not positive.

    Holds
        As `letter_class`.
    Trust
        Exact.
    Source
        [MotorClasses; seen].
    Checked
        tests/published/air.csv: class_A … class_G.

    Examples
    --------
    >>> class_limits(total_impulse=4.6)
    (2.51, 5.0)
    """
    _, least, greatest = _class_row(total_impulse)
    return least, greatest


def _class_row(total_impulse: float) -> tuple[str, float, float]:
    require_positive(total_impulse=total_impulse)
    rounded = round(total_impulse, 2)
    for row in LETTERS:
        if rounded <= row[2]:
            return row
    return "above G", LETTERS[-1][2], float("inf")


def average_thrust(*, total_impulse: float, burn_time: float) -> float:
    """Average thrust: impulse over burn time.

    Parameters
    ----------
    total_impulse : float, >= 0
        Impulse within the burn. [N s]
    burn_time : float, > 0
        Burn time. [s]

    Returns
    -------
    float
        Average thrust. [N]

    Raises
    ------
    InputError
        The impulse is negative or the time not positive.

    Holds
        Always; the answer hangs on the window: one 80 N s motor reads 59 or 65 N.
    Trust
        Label and test may differ by 20 % or 1 N, the greater [Nfpa1125, cl. 8.1.7; second-hand].
    Source
        Definition (derived).
    Checked
        tests/published/air.csv: avg_example_1p36, avg_example_1p24.

    Examples
    --------
    >>> round(average_thrust(total_impulse=80.0, burn_time=1.36))
    59
    """
    require_not_negative(total_impulse=total_impulse)
    require_positive(burn_time=burn_time)
    return total_impulse / burn_time


def measure_curve(time: Array, force: Array) -> CurveFigures:
    """Figures of a thrust recording by the 5 % rule.

    The burn begins where thrust first rises through 5 % of the peak and ends where it last
    falls through it.

    Parameters
    ----------
    time : float array (n,)
        Times, not going back. [s]
    force : float array (n,)
        Thrust at each time. [N]

    Returns
    -------
    CurveFigures
        Total impulse [N s], burn time [s], average and peak thrust [N], letter.

    Raises
    ------
    InputError
        Fewer than two points, times that go back, or no push at all.

    Holds
        Zero set before the burn; sampling fine enough to see the peak.
    Trust
        As good as the stand: student stands came within 3 % on impulse, far worse on peak.
    Source
        [Nfpa1125; second-hand], [McTague1998; seen].
    Checked
        tests/published/air.csv: curve_I, curve_tb, curve_Fav.

    Examples
    --------
    >>> found = measure_curve(np.array([0, 0.1, 0.25, 0.6, 0.7]), np.array([0, 12.0, 6, 5, 0]))
    >>> round(found.total_impulse, 3), round(found.burn_time, 3), found.letter_class
    (4.125, 0.683, 'B')
    """
    curve = Curve(times=tuple(map(float, time)), forces=tuple(map(float, force)))
    t, f = np.asarray(curve.times), np.asarray(curve.forces)
    peak = float(f.max())
    if peak <= 0 or curve.total_impulse <= 0:
        raise InputError(
            what="Thrust recording",
            got=f"a greatest thrust of {peak:g} N",
            allowed="a push above zero",
            do="Check that the stand pushes the right way round.",
        )
    begin, end = _crossings(t, f, BURN_SHARE * peak)
    within = np.diff(curve.impulse_until(np.array([begin, end])))
    total = curve.total_impulse
    return CurveFigures(
        total_impulse=total,
        burn_time=end - begin,
        average_thrust=average_thrust(total_impulse=float(within[0]), burn_time=end - begin),
        peak_thrust=peak,
        peak_time=float(t[f.argmax()]),
        letter_class=letter_class(total_impulse=total),
    )


def _crossings(t: Array, f: Array, level: float) -> tuple[float, float]:
    above = np.flatnonzero(f >= level)
    first, last = int(above[0]), int(above[-1])
    begin = t[first] if first == 0 else np.interp(level, [f[first - 1], f[first]], [t[first - 1], t[first]])
    end = (
        t[last] if last == len(t) - 1 else np.interp(-level, [-f[last], -f[last + 1]], [t[last], t[last + 1]])
    )
    return float(begin), float(end)


def motor_curve(*, total_impulse: float, burn_time: float, peak_thrust: float) -> Curve:
    """A stand-in curve for a motor known only by three figures.

    Peak for the first 15 % of the burn, then constant at whatever completes the impulse.

    Parameters
    ----------
    total_impulse : float, > 0
        Total impulse. [N s]
    burn_time : float, > 0
        Burn time. [s]
    peak_thrust : float, > 0
        Greatest thrust. [N]

    Returns
    -------
    Curve
        Thrust against time.

    Raises
    ------
    InputError
        A figure is not positive, or the peak alone gives more than the impulse, or the peak lies
        under the average.

    Holds
        Planning, until a stand recording is at hand.
    Trust
        Impulse 10 %, peak 30 % (choice).
    Source
        Ours (choice).
    Checked
        tests/unit/physics/test_thrust.py: impulse, peak and time come back.

    Examples
    --------
    >>> round(motor_curve(total_impulse=4.6, burn_time=1.2, peak_thrust=9.0).total_impulse, 9)
    4.6
    """
    require_positive(total_impulse=total_impulse, burn_time=burn_time, peak_thrust=peak_thrust)
    first = 0.15 * burn_time
    level = (total_impulse - peak_thrust * first) / (burn_time - first)
    if not 0 <= level <= peak_thrust * (1 + 1e-12):
        average = total_impulse / burn_time
        raise InputError(
            what="Motor figures do not fit together",
            got=f"{total_impulse:g} N s in {burn_time:g} s with a peak of {peak_thrust:g} N",
            allowed=f"a peak from {average:.1f} N (the average) to {average / 0.15:.1f} N",
            do="Check the three figures against the maker's sheet.",
        )
    return Curve(times=(0.0, first, first, burn_time), forces=(peak_thrust, peak_thrust, level, level))


def fading_curve(*, start_thrust: float, duration: float, total_impulse: float | None = None) -> Curve:
    """A push that fades from its start to nothing, as a gas cartridge gives.

    F = F0 (1 - t/T)^p, with p set by the impulse; no impulse given means a straight fall, p = 1.

    Parameters
    ----------
    start_thrust : float, > 0
        Thrust at the start. [N]
    duration : float, > 0
        Time to nothing. [s]
    total_impulse : float, > 0, optional
        Total impulse; half of start thrust x duration if not given. [N s]

    Returns
    -------
    Curve
        Thrust against time, 65 points.

    Raises
    ------
    InputError
        A figure is not positive, or the impulse is more than start thrust x duration.

    Holds
        A single push with its greatest thrust at the start.
    Trust
        Impulse 10 %, peak 30 % (choice).
    Source
        Ours (choice).
    Checked
        tests/unit/physics/test_thrust.py: the impulse comes back.

    Examples
    --------
    >>> round(fading_curve(start_thrust=2.6, duration=2.4).total_impulse, 3)
    3.12
    """
    require_positive(start_thrust=start_thrust, duration=duration)
    total = 0.5 * start_thrust * duration if total_impulse is None else total_impulse
    require_positive(total_impulse=total)
    power = start_thrust * duration / total - 1.0
    if power < 0:
        raise InputError(
            what="A fading push cannot give so much",
            got=f"{total:g} N s from {start_thrust:g} N over {duration:g} s",
            allowed=f"up to {start_thrust * duration:.2f} N s",
            do="Check the three figures.",
        )
    if power == 0.0:
        return Curve(times=(0.0, duration), forces=(start_thrust, start_thrust))
    left = np.linspace(1.0, 0.0, 65)
    forces = start_thrust * left**power
    forces *= total / float(np.trapezoid(forces, duration * (1.0 - left)))
    return Curve(times=tuple((duration * (1.0 - left)).tolist()), forces=tuple(forces.tolist()))


def resample(curve: Curve, dt: float) -> Array:
    """Thrust at 0, dt, 2 dt, … whose trapezoid sum keeps the impulse whatever the step.

    Each value is the mean over half a step either way, so a short peak is smeared, not missed.

    Parameters
    ----------
    curve : Curve
        Thrust against time.
    dt : float, > 0
        Step. [s]

    Returns
    -------
    float array (n,)
        Thrust, one value a step, ending in 0. [N]

    Raises
    ------
    InputError
        The step is not positive.

    Holds
        Any step; the peak is kept for steps well under the peak's own width.
    Trust
        Impulse exact to rounding.
    Source
        [ThrustSums; derived].
    Checked
        tests/unit/physics/test_thrust.py.

    Examples
    --------
    >>> resample(Curve(times=(0.0, 1.0), forces=(2.0, 2.0)), 0.5).tolist()
    [2.0, 2.0, 1.0, 0.0]
    """
    require_positive(dt=dt)
    n = int(np.ceil(curve.duration / dt)) + 2
    edges = curve.times[0] + dt * (np.arange(n + 1) - 0.5)
    forces = np.diff(curve.impulse_until(edges)) / dt
    forces[0] *= 2.0  # half a step only, from 0 on
    return np.asarray(forces, dtype=np.float64)


def read_thrust_recording(rows: Sequence[Sequence[str]], *, file: str) -> Curve:
    """A stand recording from rows already split: a heading with time_s and force_n, then numbers.

    Parameters
    ----------
    rows : sequence of sequences of str
        The file's rows, heading first; blank rows are passed over.
    file : str
        Name to use in messages.

    Returns
    -------
    Curve
        Thrust against time, from the first time on.

    Raises
    ------
    InputError
        A column is missing or in another unit, a cell is not a number, times go back, or the
        greatest thrust is hard to believe in newtons.

    Examples
    --------
    >>> rows = [["time_s", "force_n"], ["0", "0"], ["0.5", "2"]]
    >>> read_thrust_recording(rows, file="stand.csv").total_impulse
    0.5
    """
    filled = [(number, list(row)) for number, row in enumerate(rows, start=1) if any(c.strip() for c in row)]
    if len(filled) < 3:
        raise InputError(
            what="Thrust recording",
            got=f"{max(len(filled) - 1, 0)} rows of numbers",
            allowed="a heading and two rows or more",
            do="Export the recording again with all its rows.",
            where=Where(file=file),
        )
    heading = [name.strip().lower() for name in filled[0][1]]
    if "time_s" not in heading or "force_n" not in heading:
        raise _unknown_columns(heading, filled[1:], file)
    columns = heading.index("time_s"), heading.index("force_n")
    pairs = [tuple(_number(row, c, number, file, heading[c]) for c in columns) for number, row in filled[1:]]
    for (number, _), before, now in zip(filled[2:], pairs, pairs[1:], strict=False):
        if now[0] < before[0]:
            raise InputError(
                what="Time goes back",
                got=f"{now[0]:g} s after {before[0]:g} s",
                allowed="times that do not go back",
                do="Put the rows in order, or cut out the second burn.",
                where=Where(file=file, row=number, field="time_s"),
            )
    believe_newtons(max(force for _, force in pairs), where=Where(file=file, field="force_n"))
    start = pairs[0][0]
    return Curve(times=tuple(t - start for t, _ in pairs), forces=tuple(force for _, force in pairs))


def believe_newtons(peak: float, *, where: Where) -> None:
    """Ask about a greatest thrust that no school device gives: a wrong unit, most likely."""
    if SMALLEST_BELIEVED <= peak <= LARGEST_BELIEVED:
        return
    hint = (
        f"If it is gram-force, multiply by 0.00981: {peak * GRAM_FORCE:.2f} N."
        if peak > LARGEST_BELIEVED
        else "Check the unit: write newtons, not kilograms or kilonewtons."
    )
    raise InputError(
        what="Is this really in newtons? The greatest thrust is hard to believe",
        got=f"{peak:g} N",
        allowed=f"{SMALLEST_BELIEVED:g} to {LARGEST_BELIEVED:g} N",
        do=hint,
        where=where,
    )


def _unknown_columns(heading: list[str], rows: list[tuple[int, list[str]]], file: str) -> InputError:
    greatest = []
    for column, name in enumerate(heading):
        try:
            values = [float(row[column]) for _, row in rows if column < len(row)]
        except ValueError:
            continue
        if values:
            greatest.append(f"{name or 'no name'} (greatest value {max(values):g})")
    return InputError(
        what="The columns do not say time in seconds and thrust in newtons",
        got=", ".join(greatest) or ", ".join(heading),
        allowed="columns named time_s and force_n",
        do="Name the columns so; turn gram-force into newtons by multiplying by 0.00981.",
        where=Where(file=file, row=1),
    )


def _number(row: list[str], column: int, number: int, file: str, field: str) -> float:
    text = row[column].strip() if column < len(row) else ""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not np.isfinite(value):
        raise InputError(
            what="Not a number",
            got=f'"{text}"' if text else "an empty cell",
            allowed="a number with a point, such as 5.05",
            do="Mend the cell or delete the row.",
            where=Where(file=file, row=number, field=field),
        )
    return value

"""The three pictures of a boat's page: from the side on its feet, the run in time, and the water it needs."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Words, line, shape
from skimwright.boat import Kit, Part
from skimwright.desk.boats.float_boat import Floating
from skimwright.run import Forecast

Array = NDArray[np.float64]
WIDE = 180.0  # width of every picture [mm]


def side_view(kit: Kit, floating: Floating, *, name: str) -> Drawing:
    """The boat from its port side: float line, ruler with the balance point, and what each foot carries.

    Parameters
    ----------
    kit : Kit
    floating : Floating
        The boat as built, at rest and on its feet.
    name : str
    """
    length = kit.length
    scale = (WIDE - 22.0) / (length * 1e3)
    left, ground = 12.0, 44.0  # where x = 0 and the pad plane lie on the paper

    def put(x: float, z: float) -> tuple[float, float]:
        return left + x * 1e3 * scale, ground - z * 1e3 * scale

    marks = walls_and_deck(kit, put)
    marks += _float_line(floating, length, put)
    marks += _ruler(floating, length, put, ground)
    marks += _feet(kit, floating, put)
    bow_down = floating.at_rest.trim < 0
    at_rest = (
        f"At rest it lies {abs(math.degrees(floating.at_rest.trim)):.1f} deg {'bow-down' if bow_down else 'bow-up'}."
        if floating.at_rest.floats
        else "It does not float."
    )
    return Drawing(
        width=WIDE,
        height=84.0,
        marks=tuple(marks),
        title=f"{name} from the side, on its three feet",
        described=f"Balance point {floating.centre[0] * 1e3:.0f} mm from the bow. {at_rest}",
    )


def walls_and_deck(kit: Kit, put) -> list[Mark]:  # type: ignore[no-untyped-def]
    """The boat itself from the side; ``put`` takes x and z to the paper."""
    marks: list[Mark] = []
    for part in kit.parts:
        corners = np.array(part.outline)
        flat = part.place.to_boat(np.column_stack([corners, np.zeros(len(corners))]))
        upright = abs(part.place.w[1]) > 0.9
        points = [put(float(x), float(z)) for x, _, z in flat]
        if upright:
            marks.append(shape(*points, fill="white", width=0.3))
        elif part.code.startswith("DECK"):
            marks.append(_edge_on(part, put))
    return marks


def _edge_on(part: Part, put) -> Path:  # type: ignore[no-untyped-def]
    """A level part seen along its face: a thin box."""
    corners = np.array(part.outline)
    faces = [
        part.place.to_boat(np.column_stack([corners, np.full(len(corners), depth)]))
        for depth in (0.0, part.thickness)
    ]
    x, z = np.concatenate(faces)[:, 0], np.concatenate(faces)[:, 2]
    low, high = put(float(x.min()), float(z.min())), put(float(x.max()), float(z.max()))
    return shape(low, (high[0], low[1]), high, (low[0], high[1]), fill="pale", width=0.3)


def _float_line(floating: Floating, length: float, put) -> list[Mark]:  # type: ignore[no-untyped-def]
    if not floating.at_rest.floats:
        return []
    bow, stern = floating.at_rest.draft_bow, floating.at_rest.draft_stern
    slope = (stern - bow) / length
    ends = [(-0.016, bow - 0.016 * slope), (length + 0.012, stern + 0.012 * slope)]
    a, b = (put(x, z) for x, z in ends)
    return [
        line(a, b, width=0.35, line="blue", dashes=(2.4, 1.0)),
        Words(at=(b[0], b[1] - 1.2), text="water at rest", size=2.7, ink="blue", anchor="end"),
    ]


def _ruler(floating: Floating, length: float, put, ground: float) -> list[Mark]:  # type: ignore[no-untyped-def]
    base = ground + 24.0
    marks: list[Mark] = [line((put(0, 0)[0], base), (put(length, 0)[0], base), width=0.3)]
    for mm in range(0, int(length * 1e3) + 1, 10):
        x = put(mm / 1e3, 0)[0]
        tall = 2.6 if mm % 100 == 0 else 1.7 if mm % 50 == 0 else 0.9
        marks.append(line((x, base), (x, base + tall), width=0.2))
        if mm % 100 == 0:
            marks.append(Words(at=(x, base + 5.8), text=str(mm), size=2.8, anchor="middle"))
    marks.append(Words(at=(put(0, 0)[0], base + 10.0), text="mm from the bow", size=2.8))
    x = put(floating.centre[0], 0)[0]
    marks += [
        shape((x, base - 0.4), (x - 2.0, base - 4.6), (x + 2.0, base - 4.6), fill="black"),
        line((x, base - 4.6), (x, put(0, floating.centre[2])[1]), width=0.2, dashes=(0.8, 0.8)),
        Dot(at=(x, put(0, floating.centre[2])[1]), radius=1.1, fill="white", width=0.4),
        Words(
            at=(x + 3.0, base - 1.4), text=f"balance {floating.centre[0] * 1e3:.0f} mm", size=3.4, bold=True
        ),
    ]
    return marks


def _feet(kit: Kit, floating: Floating, put) -> list[Mark]:  # type: ignore[no-untyped-def]
    feet, grams = floating.feet, floating.mass * 1e3
    pad, stern = kit.contacts
    marks: list[Mark] = []
    for x, share, words in (
        (pad, feet.left + feet.right, f"pads {feet.left * grams:.0f} + {feet.right * grams:.0f} g"),
        (stern, feet.stern, f"stern {feet.stern * grams:.0f} g"),
    ):
        at, level = put(x, 0)[0], put(0, 0)[1]
        tall = 12.0 * max(0.0, share)
        marks += [
            shape(
                (at - 2.2, level + 1.0),
                (at + 2.2, level + 1.0),
                (at + 2.2, level + 1.0 + tall),
                (at - 2.2, level + 1.0 + tall),
                fill="pale",
            ),
            Words(at=(at + (3.4 if x == pad else 2.2), level + (5.0 if x == pad else 18.0)), text=words, size=3.2,
                  anchor="start" if x == pad else "end"),
        ]  # fmt: skip
    return marks


def run_history(forecast: Forecast, *, name: str) -> Drawing:
    """Speed and trim of the middle run against time."""
    middle = forecast.middle
    time, speed, trim = middle[:, 0], middle[:, 4], np.degrees(middle[:, 5])
    end = max(float(time[-1]), 1.0)
    top = _round_up(float(speed.max()) * 1.05)
    marks: list[Mark] = []
    left, right, speed_top, speed_base = 16.0, WIDE - 6.0, 6.0, 42.0
    trim_top, trim_base = 50.0, 72.0
    low, high = min(-2.0, math.floor(float(trim.min()))), max(2.0, math.ceil(float(trim.max())))

    def across(t: float) -> float:
        return left + (right - left) * t / end

    def up(value: float, a: float, b: float, base: float, height: float) -> float:
        return base - height * (value - a) / (b - a)

    marks += _axis(
        left,
        right,
        speed_top,
        speed_base,
        [(v, up(v, 0, top, speed_base, 36.0)) for v in _ticks(top)],
        "speed m/s",
    )
    marks += _axis(
        left,
        right,
        trim_top,
        trim_base,
        [(v, up(v, low, high, trim_base, 22.0)) for v in (low, 0.0, high)],
        "trim deg, bow up +",
    )
    step = 1 if end <= 12 else 5
    for second in range(0, int(end) + 1, step):
        x = across(second)
        marks += [
            line((x, trim_base), (x, trim_base + 1.4), width=0.2),
            Words(at=(x, trim_base + 5.0), text=str(second), size=2.8, anchor="middle"),
        ]
    marks.append(Words(at=(right, trim_base + 9.0), text="seconds from the start", size=2.8, anchor="end"))
    fast = [(across(t), up(v, 0, top, speed_base, 36.0)) for t, v in zip(time, speed, strict=True)]
    lean = [(across(t), up(v, low, high, trim_base, 22.0)) for t, v in zip(time, trim, strict=True)]
    marks += [Path(points=tuple(fast), width=0.6), Path(points=tuple(lean), width=0.45)]
    if forecast.gate_time and np.any(middle[:, 1] >= forecast.gate.distance):
        x = across(float(np.interp(forecast.gate.distance, middle[:, 1], time)))
        marks += [
            line((x, speed_top), (x, trim_base), width=0.3, dashes=(1.2, 1.0)),
            Words(at=(x + 1.2, speed_base - 2.0), text=f"gate, {forecast.gate.distance:.2f} m", size=2.8),
        ]
    return Drawing(
        width=WIDE, height=84.0, marks=tuple(marks), title=f"{name}: speed and trim of the middle run",
        described=f"Top speed {float(speed.max()):.1f} m/s; the run lasts {end:.0f} s.",
    )  # fmt: skip


def _axis(
    left: float, right: float, top: float, base: float, ticks: list[tuple[float, float]], words: str
) -> list[Mark]:
    marks: list[Mark] = [line((left, top), (left, base), (right, base), width=0.3)]
    for value, y in ticks:
        marks += [
            line((left - 1.2, y), (left, y), width=0.2),
            line((left, y), (right, y), width=0.1, line="pale"),
            Words(at=(left - 2.0, y + 1.0), text=f"{value:g}", size=2.8, anchor="end"),
        ]
    marks.append(Words(at=(left + 1.0, top - 1.4), text=words, size=2.8))
    return marks


def _ticks(top: float) -> list[float]:
    step = 1.0 if top <= 5 else 2.0 if top <= 10 else 5.0
    return [step * i for i in range(int(top / step) + 1)]


def _round_up(value: float) -> float:
    step = 1.0 if value <= 5 else 2.0 if value <= 10 else 5.0
    return step * math.ceil(max(value, 1.0) / step)


def strip_of_water(
    forecast: Forecast, *, name: str, flag: float | None = None, pins: Sequence[tuple[int, float, float]] = ()
) -> Drawing:
    """The water from above: where half and nine tenths of the runs pass, where they end, and the gate.

    Parameters
    ----------
    flag : float, optional
        Where the crew think it will stop, from the start. [m]
    pins : (number of the run, distance, drift at the gate's line to starboard) [m]
        Where logged runs really ended.
    """
    farthest = max([flag or 0.0, *(far for _, far, _ in pins)])
    longest = max(1.15 * forecast.distance.p95, 1.2 * forecast.gate.distance, 1.08 * farthest)
    longest = 10.0 * math.ceil(longest / 10.0) if longest > 20 else 5.0 * math.ceil(longest / 5.0)
    scale = (WIDE - 12.0) / longest
    stations = np.linspace(0.5, longest, 70)
    bands = _bands(forecast.paths, stations)
    least, most = 1.2 * forecast.gate.width, 45.0 / scale
    known_ends = forecast.ends[np.abs(forecast.ends[:, 1]) < most]
    seen = np.concatenate([bands[np.isfinite(bands)], known_ends[:, 1]])
    port = min(max(least, -1.05 * float(seen.min(initial=0.0))), most)
    starboard = min(max(least, 1.05 * float(seen.max(initial=0.0))), most)
    middle = 8.0 + port * scale
    left = 6.0

    def put(x: float, y: float) -> tuple[float, float]:
        return left + x * scale, middle + min(max(y, -port), starboard) * scale

    marks: list[Mark] = [line(put(0, 0), put(longest, 0), width=0.2, dashes=(3.0, 1.2, 0.6, 1.2))]
    known = np.isfinite(bands[0])
    for low, high, ink in ((0, 4, "pale"), (1, 3, "grey")):
        edge = [put(float(x), float(y)) for x, y in zip(stations[known], bands[low][known], strict=True)]
        back = [put(float(x), float(y)) for x, y in zip(stations[known], bands[high][known], strict=True)]
        if edge:
            points = (put(0, 0), *edge, *reversed(back))
            marks.append(
                Path(points=points, closed=True, fill=ink, line=None, opacity=0.6 if ink == "grey" else 1.0)  # type: ignore[arg-type]
            )
    if known.any():
        centre = [put(float(x), float(y)) for x, y in zip(stations[known], bands[2][known], strict=True)]
        marks.append(Path(points=(put(0, 0), *centre), width=0.5))
    for x, y in forecast.ends[: 4 * len(forecast.paths)]:
        if 0.0 <= x <= longest and -port <= y <= starboard:
            marks.append(Dot(at=put(float(x), float(y)), radius=0.35, line=None, fill="black"))
    marks += _gate(forecast, put)
    marks += [
        mark for run, far, aside in pins for mark in _pin(put, run, far, aside * far / forecast.gate.distance)
    ]
    marks += _flag(put(flag, 0.0)) if flag is not None else []
    bottom = middle + starboard * scale
    step = 10 if longest > 20 else 5
    for metre in range(0, int(longest) + 1, step):
        x = put(metre, 0)[0]
        marks += [
            line((x, bottom + 1.0), (x, bottom + 2.6), width=0.2),
            Words(at=(x, bottom + 6.2), text=f"{metre} m", size=2.8, anchor="middle"),
        ]
    marks.append(line((put(0, 0)[0], bottom + 1.0), (put(longest, 0)[0], bottom + 1.0), width=0.3))
    marks.append(Words(at=(left, 5.0), text="port", size=2.8))
    marks.append(Words(at=(left, bottom - 0.8), text="starboard", size=2.8))
    return Drawing(
        width=WIDE, height=bottom + 9.0, marks=tuple(marks), title=f"{name}: the strip of water it needs",
        described="Pale: nine runs of ten, as far as half of them get. Dark: half of the runs. Dots: where runs end. "
        f"The fan is drawn from {len(forecast.paths)} of the runs.",
    )  # fmt: skip


def _flag(at: tuple[float, float]) -> list[Mark]:
    x, y = at
    return [
        line((x, y), (x, y - 15.0), width=0.7),
        shape((x, y - 15.0), (x + 6.5, y - 12.6), (x, y - 10.2), fill="sky", width=0.4),
        Words(at=(x + 1.0, y - 16.0), text="the crew's flag", size=3.0, bold=True),
    ]


def _pin(put, run: int, far: float, aside: float) -> list[Mark]:  # type: ignore[no-untyped-def]
    x, y = put(far, aside)
    return [
        Dot(at=(x, y), radius=2.1, fill="white", width=0.7),
        Words(at=(x, y + 1.0), text=str(run), size=2.9, anchor="middle", bold=True),
    ]


def _gate(forecast: Forecast, put) -> list[Mark]:  # type: ignore[no-untyped-def]
    d, h = forecast.gate.distance, 0.5 * forecast.gate.width
    a, b = put(d, -h), put(d, h)
    posts: list[Mark] = [
        shape((x - 0.9, y - 0.9), (x + 0.9, y - 0.9), (x + 0.9, y + 0.9), (x - 0.9, y + 0.9), fill="orange")
        for x, y in (a, b)
    ]
    return [
        line(a, b, width=0.4),
        *posts,
        line(
            (a[0], a[1] - 0.9), (a[0], 6.2), width=0.15, dashes=(0.8, 0.8)
        ),  # its name stands clear of the fan
        Words(at=(a[0], 5.0), text=f"gate {forecast.gate.distance:.2f} m", size=2.8, anchor="middle"),
    ]


def _bands(paths: tuple[Array, ...], stations: Array) -> Array:
    """Drift at 5, 25, 50, 75 and 95 of a hundred of the runs, as far as half of them get; beyond, nan."""
    lines = np.full((len(paths), len(stations)), np.nan)
    for row, path in enumerate(paths):
        x = np.maximum.accumulate(path[:, 1])
        reached = stations <= x[-1]
        lines[row, reached] = np.interp(stations[reached], x, path[:, 2])
    enough = np.isfinite(lines).sum(axis=0) >= max(5, len(paths) // 2)
    bands = np.full((5, len(stations)), np.nan)
    if enough.any():
        bands[:, enough] = np.nanquantile(lines[:, enough], [0.05, 0.25, 0.5, 0.75, 0.95], axis=0)
    return bands

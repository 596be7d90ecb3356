"""A trial run tapped in with wet thumbs: what the buttons of the trial log stand for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from skimwright.base import InputError, Where, parse_quantity
from skimwright.base.drawing import Dot, Drawing, Mark, Words, line, shape
from skimwright.desk.seasons.season import Group
from skimwright.desk.seasons.words import sideways
from skimwright.trials import Run

STOPPED = "stopped"
# What is tapped, and what is written in the log; "stopped" becomes through, wide or short by its figures.
TAPPED_ENDINGS: Mapping[str, str] = {
    STOPPED: "", "hooked": "hooked", "blew over": "blew over", "hit": "hit something", "sank": "swamped",
}  # fmt: skip
GUESSES = ("through the gate", "ran wide", "stopped short", "hooked")
SIDES = (0.4, 0.8, 1.6)  # of the gate's half-width: well inside, just inside, outside [choice]


@dataclass(frozen=True, kw_only=True)
class Side:
    """One of the seven buttons for the place at the gate's line."""

    name: str  # L3 to R3
    drift: float  # to starboard + [m]


def sides(group: Group) -> tuple[Side, ...]:
    """The seven buttons, port to starboard, for a class's gate."""
    half = 0.5 * group.gate_width
    steps = [round(share * half, 1) for share in SIDES]
    port = [Side(name=f"L{n}", drift=-steps[n - 1]) for n in (3, 2, 1)]
    return (*port, Side(name="0", drift=0.0), *(Side(name=f"R{n}", drift=steps[n - 1]) for n in (1, 2, 3)))


def tens(group: Group) -> tuple[float, ...]:
    """The distances to start from: every 10 m, for a short gate every 2 m."""
    step = 10.0 if group.qualifying_distance >= 20.0 else 2.0
    return tuple(step * n for n in range(1, 9))


def tapped_cells(group: Group, *, distance: str, side: str, ending: str, time: str) -> dict[str, str]:
    """Cells of ``runs.csv`` from what was tapped.

    Parameters
    ----------
    group : Group
        Its gate gives the sides their metres and tells through from wide and short.
    distance, side, ending, time : str
        As tapped or typed; blank is not recorded.

    Raises
    ------
    InputError
        Nothing was tapped, or a word is none of the buttons'.
    """
    known = {each.name: each.drift for each in sides(group)}
    if side and side not in known:
        raise InputError(what="no such side", got=f'"{side}"', allowed=", ".join(known), do="Tap one.",
                         where=Where(field="side"))  # fmt: skip
    if ending and ending not in TAPPED_ENDINGS:
        raise InputError(what="no such ending", got=f'"{ending}"', allowed=", ".join(TAPPED_ENDINGS), do="Tap one.",
                         where=Where(field="ending"))  # fmt: skip
    if not any((distance, side, ending, time)):
        raise InputError(what="nothing was tapped", allowed="a distance, a side, an ending or a time",
                         do="Tap what you saw; leave the rest blank.")  # fmt: skip
    reached = None
    if distance:
        where = Where(field="distance_m")
        far = parse_quantity(distance, "length", default_unit="m", where=where)
        reached = far > group.qualifying_distance - 0.005  # no tape tells less
    drift = known[side] if side and reached is not False else None
    said = TAPPED_ENDINGS.get(ending, "")
    if ending == STOPPED:
        said = _at_rest(group, reached, drift)
    return {
        "distance_m": distance,
        "drift_m": "" if drift is None else f"{drift:g}",
        "ending": said,
        "gate_time_s": time,
    }


def _at_rest(group: Group, reached: bool | None, drift: float | None) -> str:
    if reached is False:
        return "stopped short"
    if drift is None:
        return ""
    return "through the gate" if abs(drift) <= 0.5 * group.gate_width else "ran wide"


def run_words(run: Run) -> str:
    """A logged run in one line."""
    r = run.result
    parts = (
        "" if r.distance is None else f"{r.distance:.1f} m",
        "" if r.gate_time is None else f"{r.gate_time:.2f} s",
        "" if r.drift is None else sideways(r.drift),
        r.ending or "",
    )
    return ", ".join(part for part in parts if part) or "no figures"


def run_track(run: Run, group: Group) -> Drawing:
    """One run from above, small: the gate, where it crossed and how far it came."""
    wide, high, left = 180.0, 30.0, 6.0
    r, gate = run.result, group.gate
    longest = max(2.0 * gate.distance, r.distance or 0.0)
    scale = (wide - 2 * left) / longest
    across = 0.5 * high / (2.0 * gate.width)
    middle = 0.5 * high

    def put(x: float, y: float) -> tuple[float, float]:
        return left + x * scale, min(max(middle + y * across, 2.0), high - 2.0)

    half = 0.5 * gate.width
    marks: list[Mark] = [
        line(put(0, 0), put(longest, 0), width=0.2, dashes=(3.0, 1.2)),
        *(
            shape(
                (x - 1.4, y - 1.4), (x + 1.4, y - 1.4), (x + 1.4, y + 1.4), (x - 1.4, y + 1.4), fill="orange"
            )
            for x, y in (put(gate.distance, -half), put(gate.distance, half))
        ),
        line(put(gate.distance, -half), put(gate.distance, half), width=0.4),
    ]
    slope = (r.drift or 0.0) / gate.distance
    if r.distance is not None:
        end = put(r.distance, slope * r.distance)
        marks += [line(put(0, 0), end, width=1.1), Dot(at=end, radius=2.0, fill="black", line=None)]
        marks.append(
            Words(at=(min(end[0] + 3.0, wide - 20.0), end[1] - 2.0 if end[1] > 8 else end[1] + 6.0),
                  text=f"{r.distance:.0f} m", size=5.0)
        )  # fmt: skip
    return Drawing(
        width=wide, height=high, marks=tuple(marks), title=f"Run {run.run}: {run_words(run)}",
        described=run_words(run),
    )  # fmt: skip

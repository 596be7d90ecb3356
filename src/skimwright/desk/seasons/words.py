"""How figures are said: a chance, a range, a side."""

from __future__ import annotations

import math

from skimwright.run import Range


def closed(device: str) -> str:
    """What is said of a device that waits for permission."""
    return (
        f"{device} stays closed until the permission sheet is complete. Model-rocket codes were not written for boats: "
        "ask the authority having jurisdiction, the water's owner, the insurer and the school in writing, and use only "
        "what the motor's maker permits. Adults fire, electrically; after a misfire disconnect and wait 60 seconds."
    )


def span(values: Range | None, places: int, unit: str) -> str:
    """``35.8 to 52.7 m``: nine runs of ten."""
    if values is None:
        return "not reached"
    return f"{values.p05:.{places}f} to {values.p95:.{places}f} {unit}"


def sideways(metres: float) -> str:
    """``3.1 m port``."""
    return f"{abs(metres):.1f} m {'starboard' if metres > 0 else 'port'}"


def sideways_span(drift: Range) -> str:
    """``8.2 m port to 0.5 m starboard``."""
    return f"{sideways(drift.p05)} to {sideways(drift.p95)}"


def share(value: float, runs: int) -> str:
    """A chance, never told finer than the runs allow."""
    least = max(3.0 / runs, 0.001)  # finer than one in a thousand no model of ours can tell
    if value < least:
        return f"under {100 * least:.1f} %"
    if value > 1.0 - least:
        return f"over {100 * (1.0 - least):.1f} %"
    if value > 0.995:
        return "over 99 %"
    return f"{100 * value:.0f} %" if value >= 0.0095 else f"{100 * value:.1f} %"


def turn(angle: float) -> str:
    """``6 deg to starboard``."""
    return f"{abs(math.degrees(angle)):.0f} deg to {'starboard' if angle > 0 else 'port'}"

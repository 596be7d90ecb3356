"""Where a gate really stands, from two tapes laid crosswise between the start and its posts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from skimwright.base import InputError
from skimwright.pond.conditions import Gate

MOST_APART = 0.1  # two diagonals may differ by so much; more, and they are taped again [m]
TAPE = 0.05  # what one tape over water's edge is good for [m], common practice, no source


@dataclass(frozen=True, kw_only=True)
class TapedGate:
    """A gate as taped."""

    distance: float  # from the middle of the start to the middle of the gate, along the launch line [m]
    aside: float  # how far its middle stands to starboard of the launch line [m]
    distance_within: float  # 95 of 100 such measurements are within this of the truth [m]
    aside_within: float  # [m]
    apart: float  # how far the two diagonals differ [m]

    @property
    def again(self) -> bool:
        """They differ by more than is allowed."""
        return self.apart > MOST_APART + 1e-9


def tape_gate(gate: Gate, *, from_port: float, from_starboard: float, start_width: float) -> TapedGate:
    """The gate's place from its two diagonals.

    Parameters
    ----------
    gate : Gate
        Its width between the posts is taken as built.
    from_port : float
        From the port start mark to the starboard post. [m]
    from_starboard : float
        From the starboard start mark to the port post. [m]
    start_width : float
        Between the start marks, square to the launch line and evenly to both sides of it. [m]

    Raises
    ------
    InputError
        No such gate can stand anywhere.

    Notes
    -----
    With half widths a and b, the gate's middle L away and s to starboard, the diagonals are
    D1^2 = L^2 + (a + b + s)^2 and D2^2 = L^2 + (a + b - s)^2 (Pythagoras); so s = (D1^2 - D2^2) / 4 (a + b).

    Examples
    --------
    >>> square = math.hypot(30.48, 5.0)
    >>> found = tape_gate(Gate(), from_port=square, from_starboard=square, start_width=5.0)
    >>> round(found.distance, 6), round(found.aside, 6), found.again
    (30.48, 0.0, False)
    """
    across = 0.5 * (gate.width + start_width)
    aside = (from_port**2 - from_starboard**2) / (4.0 * across)
    square = 0.5 * (from_port**2 + from_starboard**2) - across**2 - aside**2
    if not (start_width > 0.0 and min(from_port, from_starboard) > 0.0 and square > 0.0):
        raise InputError(
            what="these cannot be the two diagonals", got=f"{from_port:g} and {from_starboard:g} m",
            allowed=f"about {math.hypot(gate.distance, across):.2f} m each for this gate",
            do="Tape from each start mark to the post on the OTHER side.",
        )  # fmt: skip
    mean = 0.5 * (from_port + from_starboard)
    distance = math.sqrt(square)
    return TapedGate(
        distance=distance,
        aside=aside,
        distance_within=1.96 * TAPE * mean / distance / math.sqrt(2.0),
        aside_within=1.96 * TAPE * mean / across / math.sqrt(2.0),
        apart=abs(from_port - from_starboard),
    )

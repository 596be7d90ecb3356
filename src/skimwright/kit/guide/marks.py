"""Where a part's nicks and dots stand: the same on the guide, on a reprint and on a template."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from skimwright.boat import Part

Array = NDArray[np.float64]
NICK_LONG, NICK_APART = 0.004, 0.003  # [m]
DOT_APART, DOT_RADIUS, DOTS_IN_ROW = 0.0022, 0.0006, 5  # [m]


@dataclass(frozen=True, kw_only=True, eq=False)
class PartMarks:
    """In the part's own flat axes. [m]"""

    nicks: Array  # (n, 2, 2) from the edge inwards
    dots: Array  # (n, 2)


def part_marks(part: Part, *, size: float = 1.0) -> PartMarks:
    """Nicks at the middle of the longest edge, dots inward of them in rows of five.

    Parameters
    ----------
    size : float
        1 for a part at full size; more where it is drawn small, so that the marks can still be seen.

    Examples
    --------
    ``len(part_marks(fold_62.part("WALL-1 right")).nicks)`` is 2.
    """
    flat = np.array(part.outline)
    after = np.roll(flat, -1, axis=0)
    which = int(np.argmax(np.linalg.norm(after - flat, axis=1)))
    start, end = flat[which], after[which]
    along = (end - start) / np.linalg.norm(end - start)
    inward = np.array([-along[1], along[0]])
    reach = (flat - start) @ inward
    if abs(reach.min()) > reach.max():
        inward, reach = -inward, -reach
    middle = (start + end) / 2
    long = min(NICK_LONG * size, 0.3 * float(reach.max()))
    feet = [middle + along * NICK_APART * size * (n - (part.nicks - 1) / 2) for n in range(part.nicks)]
    nicks = np.array([(foot, foot + inward * long) for foot in feet]).reshape(-1, 2, 2)
    rows = -(-part.order // DOTS_IN_ROW)
    apart = min(DOT_APART * size, 0.5 * float(reach.max()) / (rows + 1))
    dots = []
    for number in range(part.order):
        row, column = divmod(number, DOTS_IN_ROW)
        in_row = min(DOTS_IN_ROW, part.order - row * DOTS_IN_ROW)
        across = apart * (column - (in_row - 1) / 2)
        dots.append(middle + along * across + inward * (long + apart * (1.2 + row)))
    return PartMarks(nicks=nicks, dots=np.array(dots).reshape(-1, 2))

"""Parts glued end for end: two measurements tell."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shapely import LineString, Polygon

from skimwright.base import Finding, InputError, MissingError
from skimwright.boat import AsBuilt, Kit

DEGREE = math.pi / 180.0
IN_FROM_END = 0.05  # where a part's height is measured, from either end [m] [choice]
WITHIN = 0.001  # what the rule may be off [m] [choice]


def turned_part(
    *, front: float, rear: float, drawn_front: float, drawn_rear: float, within: float = 0.001
) -> bool:
    """Whether a part sits end for end: its two ends measure as each other's drawing.

    Parameters
    ----------
    front, rear : float
        Measured at the two ends. [m]
    drawn_front, drawn_rear : float
        Drawn there. [m]
    within : float
        What the rule may be off. [m]
    """
    straight = max(abs(front - drawn_front), abs(rear - drawn_rear))
    swapped = max(abs(front - drawn_rear), abs(rear - drawn_front))
    return swapped <= 2.0 * within < straight


def turned_pads(kit: Kit, built: AsBuilt) -> tuple[Finding, ...]:
    """A pad whose error is twice its drawn angle the other way was glued end for end."""
    if kit.design is None or kit.design.pad_angle < 2.0 * DEGREE:
        return ()
    found = []
    for side in ("left", "right"):
        error = getattr(built, f"pad_angle_{side}")
        if error is not None and abs(error + 2.0 * kit.design.pad_angle) <= 1.0 * DEGREE:
            found.append(
                Finding(
                    code="pad-turned", severity="warning",
                    what=f"The {side} pad stands {-error / DEGREE:.1f} deg nose-down of its drawing.",
                    why=f"Drawn {kit.design.pad_angle / DEGREE:.0f} deg nose-up: was it glued end for end?",
                    do="Look for the dots on its edge; they belong to the front.",
                )
            )  # fmt: skip
    return tuple(found)


def drawn_ends(kit: Kit, code: str) -> tuple[float, float]:
    """Heights of a part 50 mm in from its front and from its rear, as drawn. [m]

    Raises
    ------
    MissingError
        The kit has no such part.
    InputError
        Its two ends are alike, so nothing measured there can tell.
    """
    part = next(
        (each for each in kit.parts if code.casefold() in (each.code.casefold(), each.name.casefold())), None
    )
    if part is None:
        raise MissingError(
            what=f"{kit.name} has no part of this name", got=f'"{code}"',
            allowed=", ".join(dict.fromkeys(each.code for each in kit.parts)), do="Write it as on the template.",
        )  # fmt: skip
    flat = Polygon(part.outline)
    left, low, right, high = flat.bounds
    front, rear = (
        flat.intersection(LineString([(x, low - 1.0), (x, high + 1.0)])).length
        for x in (left + IN_FROM_END, right - IN_FROM_END)
    )
    if abs(front - rear) <= 4.0 * WITHIN:
        raise InputError(
            what=f"the two ends of {part.code} are alike", got=f"{front * 1e3:.0f} and {rear * 1e3:.0f} mm as drawn",
            allowed="a part whose ends differ, such as WALL-1", do="Look at its nicks and dots instead.",
        )  # fmt: skip
    return front, rear


def turned_parts(kit: Kit, ends: Mapping[str, tuple[float, float]]) -> tuple[Finding, ...]:
    """Parts whose two ends measure as each other's drawing; and those that fit neither way."""
    found = []
    for code, (front, rear) in ends.items():
        drawn_front, drawn_rear = drawn_ends(kit, code)
        told = f"{code}: {front * 1e3:.0f} mm at the front, {rear * 1e3:.0f} mm at the rear, 50 mm in"
        drawn = f"drawn {drawn_front * 1e3:.0f} and {drawn_rear * 1e3:.0f} mm"
        if turned_part(front=front, rear=rear, drawn_front=drawn_front, drawn_rear=drawn_rear, within=WITHIN):
            found.append(
                Finding(
                    code="part-turned", severity="warning", what=f"{told}; {drawn}.",
                    why="That is the drawing end for end.", do="Take it off and turn it: its dots belong to the front.",
                )
            )  # fmt: skip
        elif max(abs(front - drawn_front), abs(rear - drawn_rear)) > 2.0 * WITHIN:
            found.append(
                Finding(
                    code="part-ends", severity="warning", what=f"{told}; {drawn}.",
                    why="It fits neither way round.", do="Measure again, square to the long edge; is it this part?",
                )
            )  # fmt: skip
    return tuple(found)

"""Drag of blunt things in the air, as printed tables.  Words: docs/physics/bluff.md."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_not_negative, require_positive

Shape = Literal[
    "square plate", "long plate", "plate strip", "open bowl, back to the wind", "open bowl, facing the wind",
    "cone 60 degrees", "cone 30 degrees", "flat plate (lesson)", "wedge (lesson)", "bullet (lesson)",
    "aerofoil (lesson)",
]  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One printed drag coefficient, on frontal area."""

    coefficient: float  # [-]
    source: str  # key in base/sources_air.py
    place: str
    status: str


def _matthews(coefficient: float) -> Entry:
    return Entry(coefficient=coefficient, source="Matthews", place="Fig 5.13(b), p. 95", status="seen")


def _lesson(coefficient: float) -> Entry:
    return Entry(coefficient=coefficient, source="NasaShapes", place="shape table", status="seen")


DRAG_COEFFICIENTS: dict[Shape, Entry] = {
    "square plate": _matthews(1.17),
    "long plate": _matthews(1.98),
    "plate strip": Entry(coefficient=2.202, source="Tian2014", place="as quoted", status="seen"),
    "open bowl, back to the wind": _matthews(0.34),
    "open bowl, facing the wind": _matthews(1.33),
    "cone 60 degrees": _matthews(0.51),
    "cone 30 degrees": _matthews(0.34),
    "flat plate (lesson)": _lesson(1.28),
    "wedge (lesson)": _lesson(1.14),
    "bullet (lesson)": _lesson(0.295),
    "aerofoil (lesson)": _lesson(0.045),
}

_ALONG = ((1.0, 0.91), (2.0, 0.85), (4.0, 0.87), (7.0, 0.99))  # length/diameter, coefficient
_ACROSS = ((1.0, 0.63), (2.0, 0.68), (5.0, 0.74), (10.0, 0.82), (40.0, 0.98), (np.inf, 1.20))


def drag(*, shape: Shape, dynamic_pressure: float, frontal_area: float) -> float:
    """Drag of a blunt shape from its printed coefficient.

    Parameters
    ----------
    shape : Shape
        One of the names in `DRAG_COEFFICIENTS`.
    dynamic_pressure : float, >= 0
        Half the air density times air speed squared. [Pa]
    frontal_area : float, >= 0
        Area seen from ahead. [m2]

    Returns
    -------
    float
        Drag. [N]

    Raises
    ------
    InputError
        Pressure or area is negative.

    Holds
        Sharp-edged shapes at Reynolds numbers from 1e4 up, where the coefficient stands still.
    Trust
        10 %: two printed values for the same square plate are 1.17 and 1.28.
    Source
        [Matthews, Fig 5.13(b); seen], [NasaShapes; seen], [Tian2014; second-hand].
    Checked
        tests/published/air.csv: cd_mat_sqplate … cd_plate2d.

    Examples
    --------
    >>> round(drag(shape="square plate", dynamic_pressure=61.25, frontal_area=0.01), 3)
    0.717
    """
    require_not_negative(dynamic_pressure=dynamic_pressure, frontal_area=frontal_area)
    return DRAG_COEFFICIENTS[shape].coefficient * dynamic_pressure * frontal_area


def cylinder_along(*, length_ratio: float) -> float:
    """Drag coefficient of a round tube pointing into the wind, such as a motor tube.

    Parameters
    ----------
    length_ratio : float, > 0
        Length over diameter. [-]

    Returns
    -------
    float
        Drag coefficient on the round end's area. [-]

    Raises
    ------
    InputError
        The ratio is not positive.

    Holds
        1 to 7, straight lines between the printed points, the end values outside.
    Trust
        10 %.
    Source
        [Matthews, Fig 5.13(b); seen].
    Checked
        tests/published/air.csv: cd_mat_cylax2, cd_mat_cylax4.

    Examples
    --------
    >>> cylinder_along(length_ratio=4.0)
    0.87
    """
    require_positive(length_ratio=length_ratio)
    ratios, values = zip(*_ALONG, strict=True)
    return float(np.interp(length_ratio, ratios, values))


def cylinder_across(*, length_ratio: float) -> float:
    """Drag coefficient of a round rod across the wind.

    Parameters
    ----------
    length_ratio : float, > 0
        Length over diameter; infinity for a rod between two walls. [-]

    Returns
    -------
    float
        Drag coefficient on length x diameter. [-]

    Raises
    ------
    InputError
        The ratio is not positive.

    Holds
        From 1 up; between the printed points straight in diameter over length.
    Trust
        10 %, below the sudden drop near a Reynolds number of 2e5.
    Source
        [Matthews, Fig 5.13(b); seen].
    Checked
        tests/published/air.csv: cd_mat_cylx1, cd_mat_cylx5, cd_mat_cylxinf.

    Examples
    --------
    >>> cylinder_across(length_ratio=5.0)
    0.74
    """
    if length_ratio == float("inf"):
        return _ACROSS[-1][1]
    require_positive(length_ratio=length_ratio)
    slimness = [1.0 / ratio for ratio, _ in reversed(_ACROSS)]
    return float(np.interp(1.0 / length_ratio, slimness, [value for _, value in reversed(_ACROSS)]))


def body_drag(
    *,
    dynamic_pressure: float,
    frontal_area: float,
    frontal_coefficient: float,
    skin_area: float,
    skin_coefficient: float,
) -> float:
    """Air drag of the hull box: its blunt front and back, and its skin.

    Parameters
    ----------
    dynamic_pressure : float, >= 0
        Half the air density times air speed squared. [Pa]
    frontal_area : float, >= 0
        Area seen from ahead. [m2]
    frontal_coefficient : float, >= 0
        0.8 to 1.2 for a blunt box, 0.3 to 0.6 with a wedge bow (common practice). [-]
    skin_area : float, >= 0
        Area that air rubs along. [m2]
    skin_coefficient : float, >= 0
        See `plate.friction`. [-]

    Returns
    -------
    float
        Drag. [N]

    Raises
    ------
    InputError
        A value is negative.

    Holds
        Wind from ahead within about 20 degrees.
    Trust
        20 % (judgement); learn the coefficient from tows.
    Source
        docs/physics/bluff.md; coefficients are common practice.
    Checked
        tests/unit/physics/test_bluff.py, adds up and scales.

    Examples
    --------
    >>> round(body_drag(dynamic_pressure=61.25, frontal_area=0.02, frontal_coefficient=0.5,
    ...                 skin_area=0.3, skin_coefficient=0.005), 3)
    0.704
    """
    require_not_negative(dynamic_pressure=dynamic_pressure, frontal_area=frontal_area, skin_area=skin_area)
    require_not_negative(frontal_coefficient=frontal_coefficient, skin_coefficient=skin_coefficient)
    return dynamic_pressure * (frontal_coefficient * frontal_area + skin_coefficient * skin_area)


def envelope(*, reynolds: float) -> tuple[Finding, ...]:
    """What lies outside the range of the printed coefficients.

    Examples
    --------
    >>> envelope(reynolds=1e5)
    ()
    """
    return outside(
        "bluff-small", "Reynolds number", value=reynolds, low=1e4,
        why="In slower or smaller flow the coefficients rise.", do="Ignore air drag here: it is tiny.",
    )  # fmt: skip

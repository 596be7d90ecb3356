"""The plate so short, or so wide, that water meets it the same way all along its width: solved exactly.

Weightless water, far below and far around.  The flow is mapped to its velocity plane and integrated; the
steps are in docs/physics/planing.md, section 4.
"""

from __future__ import annotations

from math import atan, cos, isfinite, log, pi, sin

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError

Floats = NDArray[np.float64]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(96)


def two_dimensional_lift(*, trim: float) -> float:
    """Lift of a plate in flow that is the same all across it; no finite plate can carry more per area.

    Parameters
    ----------
    trim : float, 0 to pi/2
        Angle between plate and level water. [rad]

    Returns
    -------
    float
        Lift over (dynamic pressure x wetted area). [-]

    Raises
    ------
    InputError
        The trim is below 0 or not under a right angle.

    Holds
        Weightless, deep, steady water; speed coefficient on the wetted length above about 10.
    Trust
        Exact for the flow described.
    Source
        [PlaningPlate; derived].
    Checked
        tests/published/water.csv: p2d_cl_2 … p2d_cl_20; tests/unit/physics/test_planing.py: pi x trim as
        the trim goes to nought.

    Examples
    --------
    >>> from math import radians
    >>> round(two_dimensional_lift(trim=radians(4)), 4)
    0.1958
    """
    if _level(trim):
        return pi * trim
    c, s = cos(trim), sin(trim)
    return 2.0 * spray_thickness_ratio(trim=trim) * (1.0 + c) / s * c


def spray_thickness_ratio(*, trim: float) -> float:
    """Thickness of the sheet of spray thrown forward, over the wetted length.

    Parameters
    ----------
    trim : float, 0 to pi/2
        Angle between plate and level water. [rad]

    Returns
    -------
    float
        Sheet thickness over the length from the trailing edge to the spray root. [-]

    Raises
    ------
    InputError
        The trim is below 0 or not under a right angle.

    Holds
        As `two_dimensional_lift`.
    Trust
        Exact for the flow described.  A sheet thinner than about 0.1 mm tears into drops.
    Source
        [PlaningPlate; derived].
    Checked
        tests/published/water.csv: p2d_spray_2 … p2d_spray_20.

    Examples
    --------
    >>> from math import radians
    >>> round(spray_thickness_ratio(trim=radians(4)), 6)
    0.003427
    """
    if _level(trim):
        return 0.25 * pi * trim**2
    c, s = cos(trim), sin(trim)
    return pi / ((1.0 + c) / (1.0 - c) - log((1.0 - c) / (2.0 * c)) + pi * s / (1.0 - c))


def two_dimensional_centre(*, trim: float) -> float:
    """Where that lift acts.

    Parameters
    ----------
    trim : float, 0 to pi/2
        Angle between plate and level water. [rad]

    Returns
    -------
    float
        Distance from the trailing edge over the wetted length. [-]

    Raises
    ------
    InputError
        The trim is below 0 or not under a right angle.

    Holds
        As `two_dimensional_lift`.
    Trust
        Exact for the flow described, by a sum of 96 terms good to 1e-6 from 1 to 60 degrees.
        Tests on real plates: 0.71 at the lower trims.
    Source
        [PlaningPlate; derived], beside [WeinsteinKapryan1953; second-hand].
    Checked
        tests/published/water.csv: p2d_cp_2 … p2d_cp_20; the measured 0.71 in
        tests/unit/physics/test_planing.py.

    Examples
    --------
    >>> from math import radians
    >>> round(two_dimensional_centre(trim=radians(4)), 4)
    0.7218
    """
    if _level(trim):
        return 0.75
    c, s = cos(trim), sin(trim)
    low, high = atan((-1.0 - c) / s), atan((1.0 - c) / s)
    turn = 0.5 * (high - low) * _NODES + 0.5 * (high + low)
    speed = c + s * np.tan(turn)  # along the plate, over the boat's; 1 at the trailing edge, -1 in the jet
    force = _force_up_to(speed, c, s) - _force_up_to(np.array(-1.0), c, s)
    moment = (
        0.5
        * (high - low)
        * np.sum(_WEIGHTS * force * 4.0 * (1.0 - speed) / ((1.0 + speed) * s * ((speed - c) ** 2 + s * s)))
    )
    whole = float(_force_up_to(np.array(1.0), c, s) - _force_up_to(np.array(-1.0), c, s))
    length = pi / ((1.0 + c) ** 2 * spray_thickness_ratio(trim=trim))
    return float(moment) / (whole * length)


def _force_up_to(speed: Floats, c: float, s: float) -> Floats:
    """Normal force from the jet up to the place where the water has this speed; a constant is left out."""
    v = speed - c
    q = v * v + s * s
    turn = np.arctan(v / s)
    ahead = (1.0 - c) ** 2 * (v / (s * s * q) + turn / s**3)
    result: Floats = ahead + 2.0 * (1.0 - c) / q - v / q + turn / s
    return result


def _level(trim: float) -> bool:
    """True so close to no trim that only the limit keeps its digits; refuses what is not a trim."""
    if not (isfinite(trim) and 0.0 <= trim < 0.5 * pi):
        raise InputError(
            what="Trim of a planing plate",
            got=f"{trim:g} rad",
            allowed="0 to under 1.57 rad, bow up",
            do="Give the angle between the plate and the water, bow up.",
        )
    return trim < 1e-5

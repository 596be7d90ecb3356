"""Degrees on the Earth to metres on a pond and back, on the WGS84 ellipsoid.

Over a pond the flat plane at its first peg is good to a millimetre; a phone's own place is good to some metres.
"""

from __future__ import annotations

import math

from skimwright.base import InputError

EQUATOR_RADIUS = 6378137.0  # WGS84 a, by definition [m]
FLATTENING = 1.0 / 298.257223563  # WGS84 f, by definition [-]
ECCENTRICITY_SQUARED = FLATTENING * (2.0 - FLATTENING)  # [-]
FARTHEST = 20_000.0  # the flat plane is used no farther from its origin [m]


def meridian_radius(*, latitude: float) -> float:
    """Radius of the north-south curve.

    Parameters
    ----------
    latitude : float
        North positive. [rad]

    Returns
    -------
    float
        [m]

    Source
        M = a (1 - e2) / (1 - e2 sin2 lat)^1.5, WGS84 constants (seen in a question-and-answer page on maps).
    Checked
        tests/published/pond.csv: pond_M00, pond_M45, pond_M60.

    Examples
    --------
    >>> round(meridian_radius(latitude=math.radians(45)), 3)
    6367381.816
    """
    bulge = 1.0 - ECCENTRICITY_SQUARED * math.sin(latitude) ** 2
    return float(EQUATOR_RADIUS * (1.0 - ECCENTRICITY_SQUARED) / bulge**1.5)


def prime_vertical_radius(*, latitude: float) -> float:
    """Radius of the east-west curve.

    Parameters
    ----------
    latitude : float
        North positive. [rad]

    Returns
    -------
    float
        [m]

    Source
        N = a / sqrt(1 - e2 sin2 lat), WGS84 constants (seen as above).
    Checked
        tests/published/pond.csv: pond_N00, pond_N45, pond_N60.

    Examples
    --------
    >>> round(prime_vertical_radius(latitude=math.radians(45)), 3)
    6388838.29
    """
    return EQUATOR_RADIUS / math.sqrt(1.0 - ECCENTRICITY_SQUARED * math.sin(latitude) ** 2)


def to_local(
    *, latitude: float, longitude: float, origin_latitude: float, origin_longitude: float
) -> tuple[float, float]:
    """Metres east and north of an origin, on the plane that touches the Earth there.

    Parameters
    ----------
    latitude, longitude : float
        Of the place, north and east positive. [rad]
    origin_latitude, origin_longitude : float
        Of the origin, peg P1. [rad]

    Returns
    -------
    east, north : float
        [m]

    Raises
    ------
    InputError
        The place lies farther than 20 km off: the two numbers were swapped, or it is another pond.

    Checked
        tests/published/pond.csv: pond_east, pond_north, to a millimetre of the exact sum over 100 m.
    """
    east = (
        (longitude - origin_longitude)
        * prime_vertical_radius(latitude=origin_latitude)
        * math.cos(origin_latitude)
    )
    north = (latitude - origin_latitude) * meridian_radius(latitude=origin_latitude)
    if math.hypot(east, north) > FARTHEST:
        raise InputError(
            what="this place is not on the pond",
            got=f"{math.hypot(east, north) / 1000:.0f} km from peg P1",
            allowed=f"up to {FARTHEST / 1000:.0f} km",
            do="Check the place of P1, and that latitude and longitude were not exchanged.",
        )
    return east, north


def to_degrees(
    *, east: float, north: float, origin_latitude: float, origin_longitude: float
) -> tuple[float, float]:
    """Latitude and longitude of a spot on the pond, in degrees: the way back of `to_local`.

    Parameters
    ----------
    east, north : float
        Of the origin. [m]
    origin_latitude, origin_longitude : float
        Of the origin. [rad]

    Returns
    -------
    latitude, longitude : float
        [deg]
    """
    latitude = origin_latitude + north / meridian_radius(latitude=origin_latitude)
    around = prime_vertical_radius(latitude=origin_latitude) * math.cos(origin_latitude)
    return math.degrees(latitude), math.degrees(origin_longitude + east / around)

"""Where the sun stands, so that nobody has to look into it."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from functools import lru_cache

from skimwright.base import InputError
from skimwright.pond.plan import Place

GLARE = math.radians(25.0)  # nobody should have to look closer to the sun than this, sideways [choice]
UPPER_EDGE = math.radians(-0.833)  # height of the centre when the edge goes down, light bent
LOW = math.radians(45.0)  # a higher sun does not stand in the way of eyes on the water [choice]
J2000 = datetime.datetime(2000, 1, 1, 12, tzinfo=datetime.UTC)


@dataclass(frozen=True, kw_only=True)
class Sun:
    """The sun as seen from one place at one moment."""

    height: float  # over the horizon, bending of light not counted [rad]
    azimuth: float  # clockwise from north, 0 to 2 pi [rad]

    def dazzles(self, looking: float) -> bool:
        """Whether it stands in the eyes of somebody who looks that way. [rad]"""
        off = abs((self.azimuth - looking + math.pi) % (2.0 * math.pi) - math.pi)
        return 0.0 < self.height < LOW and off < GLARE


def sun_at(when: datetime.datetime, *, latitude: float, longitude: float) -> Sun:
    """Where the sun stands.

    Parameters
    ----------
    when : datetime
        With its time zone.
    latitude, longitude : float
        North and east positive. [rad]

    Returns
    -------
    Sun

    Raises
    ------
    InputError
        The moment has no time zone.

    Holds
        Years 1950 to 2050; the centre of the sun, light not bent (0.5 deg at the horizon, less above).
    Trust
        0.02 deg against the example below; the page needs 1 deg.
    Source
        NOAA's solar equations after Meeus, Astronomical Algorithms, chapter 25; ten public programs give the
        same constants (seen).
    Checked
        tests/published/pond.csv: the worked example of NREL's solar position report, and Meeus's example 25.a.
    """
    if when.tzinfo is None:
        raise InputError(
            what="the time has no time zone",
            got=when.isoformat(timespec="minutes"),
            allowed="a time with its difference from UTC, such as 13:00+01:00",
            do="Write the difference behind it.",
        )
    days = (when - J2000).total_seconds() / 86400.0
    century = days / 36525.0
    longitude_of_sun, tilt = apparent_longitude(century=century), obliquity(century=century)
    declination = math.asin(math.sin(tilt) * math.sin(longitude_of_sun))
    ascension = math.atan2(math.cos(tilt) * math.sin(longitude_of_sun), math.cos(longitude_of_sun))
    sidereal = math.radians((280.46061837 + 360.98564736629 * days) % 360.0)
    hour = sidereal + longitude - ascension
    height = math.asin(
        math.sin(latitude) * math.sin(declination)
        + math.cos(latitude) * math.cos(declination) * math.cos(hour)
    )
    east = -math.cos(declination) * math.sin(hour)
    north = math.sin(declination) * math.cos(latitude) - math.cos(declination) * math.cos(hour) * math.sin(
        latitude
    )
    return Sun(height=height, azimuth=math.atan2(east, north) % (2.0 * math.pi))


def apparent_longitude(*, century: float) -> float:
    """Of the sun along the ecliptic, with aberration and the chief term of nutation.

    Parameters
    ----------
    century : float
        Since noon, 1 January 2000. [36525 days]

    Returns
    -------
    float
        0 to 2 pi. [rad]

    Source
        NOAA's solar equations; Meeus, chapter 25, as ten public programs give them alike (seen).
    Checked
        tests/published/pond.csv: pond_sun_longitude (Meeus's example 25.a).
    """
    t = century
    mean = 280.46646 + t * (36000.76983 + 0.0003032 * t)
    anomaly = math.radians(357.52911 + t * (35999.05029 - 0.0001537 * t))
    centre = (
        math.sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t))
        + math.sin(2.0 * anomaly) * (0.019993 - 0.000101 * t)
        + math.sin(3.0 * anomaly) * 0.000289
    )
    node = math.radians(125.04 - 1934.136 * t)
    return math.radians((mean + centre - 0.00569 - 0.00478 * math.sin(node)) % 360.0)


def obliquity(*, century: float) -> float:
    """Tilt of the Earth's axis, with the chief term of nutation.

    Parameters
    ----------
    century : float
        Since noon, 1 January 2000. [36525 days]

    Returns
    -------
    float
        [rad]

    Source
        NOAA's solar equations, seen alike.
    """
    t = century
    seconds = 21.448 - t * (46.815 + t * (0.00059 - 0.001813 * t))
    node = math.radians(125.04 - 1934.136 * t)
    return math.radians(23.0 + (26.0 + seconds / 60.0) / 60.0 + 0.00256 * math.cos(node))


@lru_cache(maxsize=16)
def sunset_at(date: datetime.date, place: Place) -> float | None:
    """When the sun goes down behind a level horizon.

    Parameters
    ----------
    date : date
        The day, by the clocks of the place.
    place : Place

    Returns
    -------
    float or None
        Since midnight by those clocks; None if it does not go down. [s]

    Holds
        The upper edge of the sun, light bent as at sea level: the centre stands 0.833 deg under the horizon.
    Trust
        About a minute.
    Source
        The 0.833 deg is common practice of almanacs.
    Checked
        tests/unit/pond/test_sun.py: days of equal light and dark, symmetry about noon.
    """
    zone = datetime.timezone(datetime.timedelta(hours=place.utc_offset))
    midnight = datetime.datetime.combine(date, datetime.time(), zone)

    def height(seconds: float) -> float:
        when = midnight + datetime.timedelta(seconds=seconds)
        return sun_at(when, latitude=place.latitude, longitude=place.longitude).height

    noon = max(range(0, 86_400, 300), key=height)
    low, high = float(noon), float(noon) + 43_200.0
    if not height(low) > UPPER_EDGE > height(high):
        return None
    while high - low > 1.0:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if height(middle) > UPPER_EDGE else (low, middle)
    return low

"""Rows of pond.csv whose source prints other units, or asks one number of a call that gives several."""

from __future__ import annotations

import datetime
from math import degrees, radians

from skimwright import course, pond

J2000 = datetime.datetime(2000, 1, 1, 12, tzinfo=datetime.UTC)


def _kelvin(*, fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8 + 273.15


def _fahrenheit(kelvin: float) -> float:
    return (kelvin - 273.15) * 1.8 + 32.0


# Geodesy


def meridian_radius(*, lat: float) -> float:
    return pond.meridian_radius(latitude=radians(lat))


def prime_vertical_radius(*, lat: float) -> float:
    return pond.prime_vertical_radius(latitude=radians(lat))


def degree_north(*, lat: float) -> float:
    return pond.meridian_radius(latitude=radians(lat)) * radians(1.0)


def degree_east(*, lat: float) -> float:
    east, _ = pond.to_local(
        latitude=radians(lat), longitude=radians(0.1), origin_latitude=radians(lat), origin_longitude=0.0
    )
    return 10.0 * east


def _local(lat0: float, more_north: float, more_east: float) -> tuple[float, float]:
    """A place so many degrees north and east of an origin at 93 W."""
    return pond.to_local(
        latitude=radians(lat0 + more_north),
        longitude=radians(-93.0 + more_east),
        origin_latitude=radians(lat0),
        origin_longitude=radians(-93.0),
    )


def east(**asked: float) -> float:
    return _local(**asked)[0]


def north(**asked: float) -> float:
    return _local(**asked)[1]


# Sun


def _sun(
    *, year: float, month: float, day: float, hour: float, zone: float, lat: float, lon: float
) -> pond.Sun:
    when = datetime.datetime(
        int(year), int(month), int(day), tzinfo=datetime.timezone(datetime.timedelta(hours=zone))
    ) + datetime.timedelta(hours=hour)
    return pond.sun_at(when, latitude=radians(lat), longitude=radians(lon))


def sun_height(**asked: float) -> float:
    return degrees(_sun(**asked).height)


def sun_azimuth(**asked: float) -> float:
    return degrees(_sun(**asked).azimuth)


def sun_longitude(*, julian_day: float) -> float:
    return degrees(pond.apparent_longitude(century=(julian_day - 2451545.0) / 36525.0))


# Weather


def beaufort_m_s(*, v: float) -> float:
    return float(pond.beaufort(wind=v))


def heat_index_f(*, T_F: float, RH_pct: float) -> float:
    return _fahrenheit(pond.heat_index(air_temperature=_kelvin(fahrenheit=T_F), humidity=RH_pct / 100.0))


def wbgt_f(*, WB_F: float, G_F: float, T_F: float) -> float:
    return _fahrenheit(
        pond.wet_bulb_globe(
            wet_bulb=_kelvin(fahrenheit=WB_F),
            globe=_kelvin(fahrenheit=G_F),
            air_temperature=_kelvin(fahrenheit=T_F),
        )
    )


def flash_miles(*, t_s: float) -> float:
    return pond.flash_distance(seconds=t_s) / 1609.344


def wait_minutes(*, heard_min: float) -> float:
    """Minutes past the hour at which boats may run again, thunder heard at ``heard_min``."""
    hour = datetime.datetime(2027, 5, 22, 14)
    until = pond.shelter_until([hour + datetime.timedelta(minutes=heard_min)])
    assert until is not None
    return (until - hour).total_seconds() / 60.0


def misfire_seconds(*, at_s: float) -> float:
    """Seconds at which the hold of a misfire at ``at_s`` ends."""
    hour = datetime.datetime(2027, 5, 22, 14)
    events = [
        pond.Event(at=hour, who="safety officer", what="open"),
        pond.Event(at=hour + datetime.timedelta(seconds=at_s), who="start", what="misfire"),
    ]
    state = pond.state_at(events, hour + datetime.timedelta(seconds=at_s + 1))
    assert state.not_before is not None
    return (state.not_before - hour).total_seconds()


# Stand-off


def behind_m(*, feet: float) -> float:
    return course.BEHIND * feet / 15.0


def abeam_m(*, feet: float) -> float:
    return course.ABEAM * feet / 25.0


def runs_for(*, p: float) -> float:
    return float(course.runs_for_share(share=p))

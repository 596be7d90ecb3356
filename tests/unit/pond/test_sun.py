"""The sun: known from the sky itself, beside the published example in tests/published/pond.csv."""

import datetime
import math

import pytest

from skimwright.base import InputError
from skimwright.pond import Place, Sun, sun_at, sunset_at

UTC = datetime.UTC


def at(year, month, day, hour, *, latitude, longitude=0.0):
    when = datetime.datetime(year, month, day, tzinfo=UTC) + datetime.timedelta(hours=hour)
    return sun_at(when, latitude=math.radians(latitude), longitude=math.radians(longitude))


def test_at_the_solstice_it_stands_overhead_on_the_tropic():
    highest = max(at(2024, 6, 20, hour / 60, latitude=23.436).height for hour in range(11 * 60, 13 * 60))
    assert math.degrees(highest) == pytest.approx(90.0, abs=0.2)


def test_at_the_equinox_it_rises_due_east_everywhere():
    for latitude in (-50.0, 0.0, 52.0):
        rising = min(
            (at(2024, 3, 20, m / 60, latitude=latitude) for m in range(240, 480)), key=lambda s: abs(s.height)
        )
        assert math.degrees(rising.azimuth) == pytest.approx(90.0, abs=1.0)


def test_it_stands_south_at_noon_in_the_north_and_north_in_the_south():
    assert math.degrees(at(2027, 5, 22, 11.94, latitude=52.0).azimuth) == pytest.approx(180, abs=1.5)
    assert abs(math.degrees(at(2027, 5, 22, 11.94, latitude=-40.0).azimuth) % 360) == pytest.approx(
        0, abs=1.5
    )


def test_the_night_has_no_glare():
    assert at(2027, 5, 22, 0.0, latitude=52.0).height < 0
    assert not Sun(height=-0.1, azimuth=0.0).dazzles(0.0)


@pytest.mark.parametrize(
    "off, dazzles", [(0, True), (24, True), (26, False), (-24, True), (-26, False), (180, False)]
)
def test_eyes_within_25_degrees_of_a_low_sun_are_dazzled(off, dazzles):
    sun = Sun(height=math.radians(20), azimuth=math.radians(355))
    assert sun.dazzles(math.radians(355 + off)) is dazzles


def test_a_high_sun_does_not_stand_in_the_way():
    assert not Sun(height=math.radians(50), azimuth=0.0).dazzles(0.0)


def test_a_time_without_a_zone_is_asked_for_it():
    with pytest.raises(InputError, match="no time zone"):
        sun_at(datetime.datetime(2027, 5, 22, 12), latitude=0.9, longitude=0.0)


@pytest.mark.parametrize(
    "latitude, date", [(0.0, (2027, 3, 20)), (52.0, (2027, 6, 21)), (-40.0, (2027, 6, 21))]
)
def test_it_sets_as_long_after_noon_as_the_triangle_on_the_sky_says(latitude, date):
    # cos H = (sin h - sin lat sin decl) / (cos lat cos decl): h = -0.833 deg, decl 0 and 23.436 deg by the calendar
    decl = math.radians(0.0 if date[1] == 3 else 23.436)
    lat, low = math.radians(latitude), math.radians(-0.833)
    half = math.acos((math.sin(low) - math.sin(lat) * math.sin(decl)) / (math.cos(lat) * math.cos(decl)))
    day = datetime.date(*date)
    place = Place(latitude=lat, longitude=0.0, utc_offset=0.0)
    noon = 43_200 + {3: 7.5, 6: 1.8}[date[1]] * 60  # the equation of time on these days, to half a minute
    assert sunset_at(day, place) == pytest.approx(noon + math.degrees(half) * 240, abs=90)


def test_clocks_an_hour_ahead_show_sunset_an_hour_later_and_the_midnight_sun_does_not_set():
    day, lat = datetime.date(2027, 5, 22), math.radians(52)
    plain, summer = (sunset_at(day, Place(latitude=lat, longitude=0.0, utc_offset=h)) for h in (0.0, 1.0))
    assert summer - plain == pytest.approx(3600, abs=5)
    assert sunset_at(datetime.date(2027, 6, 21), Place(latitude=math.radians(75), longitude=0.0)) is None

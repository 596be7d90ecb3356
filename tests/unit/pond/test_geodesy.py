"""Degrees to metres: against the exact sum through the Earth's centre, and there and back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from skimwright.base import InputError
from skimwright.pond import to_degrees, to_local
from skimwright.pond.geodesy import ECCENTRICITY_SQUARED, EQUATOR_RADIUS


def centred(latitude, longitude):
    """Place from the Earth's centre, on the ellipsoid. [m]"""
    n = EQUATOR_RADIUS / math.sqrt(1 - ECCENTRICITY_SQUARED * math.sin(latitude) ** 2)
    return (
        n * math.cos(latitude) * math.cos(longitude),
        n * math.cos(latitude) * math.sin(longitude),
        n * (1 - ECCENTRICITY_SQUARED) * math.sin(latitude),
    )


@given(st.floats(-70, 70), st.floats(-170, 170), st.floats(-200, 200), st.floats(-200, 200))
def test_the_plane_agrees_with_the_exact_sum_to_a_centimetre(latitude, longitude, east, north):
    lat0, lon0 = math.radians(latitude), math.radians(longitude)
    lat, lon = (
        math.radians(d)
        for d in to_degrees(east=east, north=north, origin_latitude=lat0, origin_longitude=lon0)
    )
    there, here = centred(lat, lon), centred(lat0, lon0)
    dx, dy, dz = (a - b for a, b in zip(there, here, strict=True))
    exact_east = -math.sin(lon0) * dx + math.cos(lon0) * dy
    exact_north = -math.sin(lat0) * (math.cos(lon0) * dx + math.sin(lon0) * dy) + math.cos(lat0) * dz
    assert exact_east == pytest.approx(east, abs=0.02)
    assert exact_north == pytest.approx(north, abs=0.02)


@given(st.floats(-80, 80), st.floats(-170, 170), st.floats(-500, 500), st.floats(-500, 500))
def test_there_and_back_is_where_one_was(latitude, longitude, east, north):
    origin = {"origin_latitude": math.radians(latitude), "origin_longitude": math.radians(longitude)}
    lat, lon = to_degrees(east=east, north=north, **origin)
    back = to_local(latitude=math.radians(lat), longitude=math.radians(lon), **origin)
    assert back == pytest.approx((east, north), abs=1e-6)


def test_latitude_and_longitude_exchanged_is_another_pond():
    with pytest.raises(InputError, match="exchanged"):
        to_local(
            latitude=math.radians(1.0),
            longitude=math.radians(52.0),
            origin_latitude=math.radians(52.0),
            origin_longitude=math.radians(1.0),
        )

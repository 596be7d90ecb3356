"""Wind, air, water and gate."""

import math

import pytest

from skimwright.base import InputError
from skimwright.pond import Conditions, Gate, along_and_across


def test_the_gate_stands_at_a_hundred_feet_unless_told_otherwise():
    assert Gate().distance == 30.48  # a foot is 0.3048 m by definition (1959)


@pytest.mark.parametrize(
    "wind_from, heading, along, across",
    [
        (0, 0, -3, 0),  # a headwind blows back along the line
        (180, 0, 3, 0),
        (270, 0, 0, 3),  # from port: the air moves to starboard
        (90, 0, 0, -3),
        (45, 45, -3, 0),
        (0, 90, 0, 3),  # heading east, wind from the north: from port
        (330, 0, -3 * math.cos(math.radians(30)), 1.5),
    ],
)
def test_wind_is_named_for_where_it_comes_from(wind_from, heading, along, across):
    found = along_and_across(speed=3.0, wind_from=math.radians(wind_from), heading=math.radians(heading))
    assert found == pytest.approx((along, across), abs=1e-12)


def test_a_gust_is_counted_over_the_mean():
    assert Conditions(wind_speed=2.0, wind_gust=3.0).gust_ratio == pytest.approx(0.5)
    assert Conditions(wind_speed=2.0).gust_ratio == 0.6  # not measured: a choice
    assert Conditions().gust_ratio == 0.0


@pytest.mark.parametrize(
    "wrong, say",
    [
        ({"wind_speed": -1.0}, "wind speed"),
        ({"wind_speed": 55.0}, "wind speed"),
        ({"air_temperature": 15.0}, "air temperature"),  # degrees C given for kelvin
        ({"water_temperature": 273.15 - 5}, "water temperature"),
        ({"water_temperature": math.nan}, "water temperature"),
        ({"wind_speed": 3.0, "wind_gust": 2.0}, "gust is weaker"),
    ],
)
def test_weather_that_cannot_be_is_refused_with_what_is_allowed(wrong, say):
    with pytest.raises(InputError, match=say):
        Conditions(**wrong)


@pytest.mark.parametrize(
    "wrong", [{"distance": 0.5}, {"distance": 3048.0}, {"width": 0.0}, {"width": math.inf}]
)
def test_a_gate_that_cannot_be_is_refused(wrong):
    with pytest.raises(InputError, match="gate's"):
        Gate(**wrong)

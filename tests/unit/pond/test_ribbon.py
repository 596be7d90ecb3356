"""Clear water: the demonstration pond's eight values, and line crossings worked out without the geometry library."""

import datetime
import math
import tomllib
from pathlib import Path

import numpy as np
import pytest

import skimwright
from skimwright.desk.water.pond_map import read_pond
from skimwright.pond import clear_water, course_point, distance_to

DEMO = Path(skimwright.__file__).parent / "demo_season" / "pond.toml"
START = (4.0, 2.0)
# Printed with the demonstration's pond, to 0.1 m: start (4, 2), ribbon 15 m wide [demo: invented pond, real sums].
PRINTED = {75: 61.4, 80: 62.0, 85: 62.1, 90: 62.0, 95: 91.6, 100: 80.3, 105: 67.7, 110: 56.3}


@pytest.fixture(scope="module")
def pond():
    return read_pond(tomllib.loads(DEMO.read_text("utf8")))


def test_area_by_the_surveyors_formula(pond):
    x, y = np.array(pond.outline).T
    by_hand = 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
    assert pond.area == pytest.approx(by_hand, rel=1e-12)
    assert pond.area == pytest.approx(5783, abs=0.5)
    assert pond.dry["Pudding Islet"].area == pytest.approx(73, abs=0.5)
    assert pond.closed_reeds(datetime.date(2027, 5, 22)).area == pytest.approx(389, abs=0.5)


@pytest.mark.parametrize("degrees", PRINTED)
def test_clear_metres_are_those_printed(pond, degrees):
    clear = clear_water(pond, START, math.radians(degrees), width=15.0, lines=7)
    assert clear.on_lines == pytest.approx(PRINTED[degrees], abs=0.05)
    assert clear.meets == ("Pudding Islet" if degrees <= 90 else "shore")
    assert clear.anywhere <= clear.on_lines  # a corner between two lines is never forgotten


def _crossing(begin, ahead, a, b):
    """How far along a ray an edge is met, by Cramer's rule; without end if it is not."""
    ex, ey = b[0] - a[0], b[1] - a[1]
    across = ahead[0] * ey - ahead[1] * ex
    if abs(across) < 1e-12:
        return math.inf
    along = ((a[0] - begin[0]) * ey - (a[1] - begin[1]) * ex) / across
    part = ((a[0] - begin[0]) * ahead[1] - (a[1] - begin[1]) * ahead[0]) / across
    return along if along > 0 and 0 <= part <= 1 else math.inf


@pytest.mark.parametrize("degrees", range(65, 112, 3))
def test_a_plain_formula_finds_the_same(pond, degrees):
    heading = math.radians(degrees)
    rings = [pond.outline, *pond.islets.values()]
    ahead = (math.sin(heading), math.cos(heading))
    least = math.inf
    for aside in np.linspace(-7.5, 7.5, 7):
        begin = course_point(START, heading, ahead=0.0, aside=float(aside))
        for ring in rings:
            least = min(least, *(_crossing(begin, ahead, ring[i - 1], ring[i]) for i in range(len(ring))))
    assert clear_water(pond, START, heading, width=15.0, lines=7).on_lines == pytest.approx(least, abs=1e-9)


def test_a_lane_that_begins_on_land_has_no_clear_water(pond):
    assert clear_water(pond, START, math.radians(60), width=15.0, lines=7).on_lines == 0.0


def test_the_sluice_and_the_reeds_lie_ahead_of_095(pond):
    heading = math.radians(95)
    assert distance_to(pond.kept_off, START, heading, width=15.0) == pytest.approx(91.1, abs=0.1)
    assert distance_to(pond.closed_reeds(datetime.date(2027, 5, 22)), START, heading, width=15.0) > 80
    assert distance_to(pond.closed_reeds(datetime.date(2027, 1, 5)), START, heading, width=15.0) is None


def test_reeds_are_closed_on_both_end_days(pond):
    reeds = pond.reeds[0]
    assert reeds.is_closed(reeds.closed_from)
    assert reeds.is_closed(reeds.closed_to)
    assert not reeds.is_closed(reeds.closed_to + datetime.timedelta(days=1))

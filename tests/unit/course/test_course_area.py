"""Two lines with two names; whatever the forecast says, the people line never moves nearer."""

import datetime
import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import LineString, Point

import skimwright
from skimwright.course import ABEAM, BEHIND, Fleet, LoggedRun, compare_headings, keep_clear, touching
from skimwright.course.area import hard_rule, people_posts
from skimwright.course.paths import flip_bound
from skimwright.desk.water.pond_map import read_pond
from skimwright.pond import course_point

START, EAST = (4.0, 2.0), math.radians(95.0)
COURSE = {"start": START, "heading": EAST, "lanes": 6, "spacing": 2.5}
DAY = datetime.date(2027, 5, 22)


@pytest.fixture(scope="module")
def pond():
    path = Path(skimwright.__file__).parent / "demo_season" / "pond.toml"
    return read_pond(tomllib.loads(path.read_text("utf8")))


def fleet(*, runs=400, turn=3.0, far=48.0, hooks=0, bound=0.0, heading=EAST, boats=6, seed=1):
    """Straight runs spread by their start heading; the first ``hooks`` of them go off at right angles."""
    rng = np.random.default_rng(seed)
    angle = np.radians(rng.normal(0, turn, runs))
    angle[:hooks] = math.pi / 2
    length = np.full(runs, far) + rng.normal(0, 2, runs)
    along = np.linspace(0, 1, 40)[None, :] * length[:, None]
    spots = np.stack([along * np.cos(angle)[:, None], along * np.sin(angle)[:, None]], axis=2)
    odd = np.arange(runs) < hooks
    return Fleet(
        heading=heading,
        labels=tuple(f"boat {n}" for n in range(boats)),
        groups=("Rush",) * boats,
        lengths=np.full(boats, 0.62),
        boat=np.sort(np.arange(runs) % boats),
        spots=spots,
        carried=odd,
        flipped=np.zeros(runs, bool),
        ended=spots[:, -1],
        bound=np.where(odd, bound, 0.0),
        coasting=np.zeros(runs),
        limits=np.full(boats, 12.0),
        fastest=np.full(boats, 8.0),
    )


def logged(count, **changes):
    return [LoggedRun(**{"boat": 1, "distance": 45.0, "drift": 0.5, "ending": "stopped", **changes})] * count


def test_few_logged_runs_show_only_the_hard_rule():
    assert keep_clear(fleet(), **COURSE, logged=logged(9)).computed is None
    assert keep_clear(fleet(), **COURSE, logged=logged(10)).computed is not None


@pytest.mark.parametrize("far", [5.0, 48.0, 90.0])
@pytest.mark.parametrize("hooks", [0, 10])
def test_the_area_never_gets_smaller_than_the_hard_rule(far, hooks):
    for count in (0, 9, 10, 200):
        keep = keep_clear(fleet(far=far, hooks=hooks, bound=20.0), **COURSE, logged=logged(count))
        assert keep.hard_rule.shape.difference(keep.shape).area == pytest.approx(0.0, abs=1e-6)
        if keep.computed:
            assert keep.computed.shape.difference(keep.shape).area == pytest.approx(0.0, abs=1e-6)


def test_a_short_forecast_cannot_shrink_what_was_seen():
    seen = keep_clear(fleet(far=10.0), **COURSE, logged=logged(12, distance=60.0))
    assert seen.longest == 60.0


def test_a_stray_run_moves_the_people_line():
    calm = keep_clear(fleet(), **COURSE, logged=logged(12))
    stray = keep_clear(
        fleet(), **COURSE, logged=[*logged(12), LoggedRun(boat=3, distance=70.0, drift=None, ending="hooked")]
    )
    assert calm.shape.difference(stray.shape).area == pytest.approx(0.0, abs=1e-6)
    place = Point(course_point(START, EAST, ahead=0.0, aside=65.0))
    assert not calm.shape.covers(place)
    assert stray.shape.covers(place)


def test_the_hard_rule_holds_the_borrowed_minima_on_every_side():
    area = hard_rule(START, EAST, width=15.0, longest=48.0)

    def inside(ahead, aside):
        return area.covers(Point(course_point(START, EAST, ahead=ahead, aside=aside)))

    assert pytest.approx(4.572) == BEHIND
    assert pytest.approx(7.62) == ABEAM
    assert inside(-4.5, 0)
    assert not inside(-4.7, 0)
    assert inside(0, 7.5 + 47.9)  # abeam within the longest run
    assert inside(47.9, 0)
    assert inside(95.9, 7.5 + 7.6)  # twice the longest run, straight on
    assert not inside(96.1, 0)


def test_every_end_lies_inside_the_computed_reach_and_hooks_bring_discs():
    runs = fleet(hooks=5, bound=15.0)
    area = keep_clear(runs, **COURSE, logged=logged(10)).computed.shape
    for ahead, aside in runs.ended:
        assert area.covers(Point(course_point(START, EAST, ahead=ahead, aside=aside)))
    hooked = runs.ended[0]
    beyond = course_point(START, EAST, ahead=float(hooked[0]) - 14.0, aside=float(hooked[1]))
    assert area.covers(Point(beyond))  # in every direction, backwards too


def test_a_flipped_boat_is_bounded_by_its_momentum():
    # Thrown at 45 degrees: v^2/g, and a device of 3 N s pushing a 0.3 kg boat on doubles 10 m/s.
    assert flip_bound(speed=10.0, mass=0.3, impulse=0.0) == pytest.approx(100 / 9.80665)
    assert flip_bound(speed=10.0, mass=0.3, impulse=3.0) == pytest.approx(400 / 9.80665)


def test_posts_stand_on_land_and_on_the_line(pond):
    keep = keep_clear(fleet(), **COURSE)
    posts = people_posts(keep.shape, pond.shore, spacing=10.0, inland=15.0)
    assert posts
    for post in posts:
        assert not pond.shore.covers(Point(post))
        assert keep.shape.boundary.distance(Point(post)) < 1e-6
        assert pond.shore.distance(Point(post)) < 15.1


def test_shares_agree_with_counting_by_hand(pond):
    runs = fleet(turn=8.0, far=70.0)
    heading = math.radians(85)
    found = compare_headings(pond, [runs], start=START, headings=[heading], lanes=1, spacing=0.1, day=DAY)[0]
    islet = pond.dry["Pudding Islet"]
    met = 0
    for ahead, aside in runs.ended:
        line = LineString([START, course_point(START, heading, ahead=ahead, aside=aside)])
        met += line.intersects(islet)
    assert found.islet == pytest.approx(met / runs.runs, abs=1e-12)
    assert 0.1 < found.islet < 0.9


def test_what_comes_first_counts(pond):
    """A run that would cross the islet only after the shore has met the shore."""
    through = fleet(turn=0.0, far=200.0)
    found = compare_headings(
        pond, [through], start=START, headings=[math.radians(85)], lanes=1, spacing=0.1, day=DAY
    )[0]
    assert found.islet == 1.0
    assert found.bank == 0.0
    away = compare_headings(
        pond, [through], start=START, headings=[math.radians(100)], lanes=1, spacing=0.1, day=DAY
    )[0]
    assert (away.islet, away.bank) == (0.0, 1.0)


def test_the_nearest_wind_is_used_for_each_heading(pond):
    near, other = fleet(far=5.0, heading=math.radians(90)), fleet(far=200.0, heading=math.radians(60))
    found = compare_headings(
        pond,
        [near, other],
        start=START,
        headings=[math.radians(65), math.radians(95)],
        lanes=1,
        spacing=1,
        day=DAY,
    )
    assert found[0].bank > 0.9
    assert found[1].bank == 0.0


def test_boats_that_run_straight_never_touch_and_wide_lanes_touch_less():
    straight = fleet(turn=0.0)
    assert touching(straight, lanes=6, spacings=[2.5], seed=1) == (0.0,)
    wild = touching(fleet(turn=6.0), lanes=6, spacings=[1.0, 2.5, 8.0], seed=1)
    assert wild[0] > wild[1] > wild[2]
    assert touching(straight, lanes=6, spacings=[0.3], seed=1) == (1.0,)


def test_two_boats_that_cross_between_moments_have_touched():
    runs = fleet(runs=2, boats=2, turn=0.0)
    paths = np.zeros((2, 2, 2))
    paths[0] = [(0.0, 0.0), (10.0, 4.0)]  # from the left lane to starboard, from the right lane to port
    paths[1] = [(0.0, 0.0), (10.0, -4.0)]
    runs = Fleet(**{**runs.__dict__, "spots": paths, "boat": np.array([0, 1])})
    assert touching(runs, lanes=2, spacings=[4.0], seed=1)[0] == pytest.approx(
        0.5, abs=0.1
    )  # when they drew those lanes


def test_fewer_runs_do_not_bring_the_line_nearer():
    many, few = fleet(runs=3000), fleet(runs=120)
    seen = float(np.hypot(*few.ended.T).max())
    assert few.longest > seen  # what so few runs did not show
    assert few.longest == pytest.approx(many.longest, rel=0.03)
    assert many.longest >= float(np.hypot(*many.ended.T).max())

"""From the model's runs to paths on the pond: hooks carried on, flips bounded, same seed, same paths."""

import math

import numpy as np
import pytest

from skimwright.boat import AsBuilt
from skimwright.course import Runner, fleet_paths, model_headings
from skimwright.course.paths import SPEED, STEP, TIME, TRIM, X, Y, _path, impulse_left
from skimwright.pond import Conditions
from skimwright.run import Question


def page(*, speed=6.0, turn=0.0, seconds=5.0, trim=0.05, stops=False):
    """A run at steady speed along a circle, a line every 0.05 s."""
    time = np.arange(0.0, seconds, 0.05)
    course = turn * time
    found = np.zeros((len(time), 12))
    found[:, TIME] = time
    found[1:, X] = np.cumsum(speed * 0.05 * np.cos(course[1:]))
    found[1:, Y] = np.cumsum(speed * 0.05 * np.sin(course[1:]))
    found[:, SPEED] = speed
    found[-1, TRIM] = trim
    if stops:
        found[-1, SPEED] = 0.2
    return found


def end_of(lines):
    return lines[-1, [X, Y]]


def test_a_run_that_stopped_ends_where_it_stopped(devices):
    lines = page(stops=True)
    path = _path(lines, end_of(lines), devices["whirr-5"], 0.27, 60.0)
    assert not path["carried"]
    assert not path["flipped"]
    assert path["bound"] == 0.0
    assert path["spots"][-1] == pytest.approx(end_of(lines))


def test_a_hooked_boat_goes_on_along_its_curve_as_far_as_a_straight_run(devices):
    lines = page(turn=0.25)  # a circle of 24 m
    path = _path(lines, end_of(lines), devices["whirr-5"], 0.27, 60.0)
    assert path["carried"]
    gone = np.hypot(*np.diff(path["spots"], axis=0).T).sum()
    assert gone == pytest.approx(60.0, rel=0.01)
    middle = np.array([0.0, 24.0])  # of the circle, to starboard
    assert np.hypot(*(path["spots"][5:] - middle).T) == pytest.approx(24.0, abs=0.15)
    assert path["bound"] == pytest.approx(60.0 - 29.7, abs=0.1)


def test_mirrored_hooks_are_carried_on_alike(devices):
    right, left = page(turn=0.25), page(turn=-0.25)
    a = _path(right, end_of(right), devices["whirr-5"], 0.27, 60.0)["spots"]
    b = _path(left, end_of(left), devices["whirr-5"], 0.27, 60.0)["spots"]
    assert a[:, 0] == pytest.approx(b[:, 0])
    assert a[:, 1] == pytest.approx(-b[:, 1])


def test_a_flipped_boat_is_bounded_with_the_push_it_has_left(devices):
    lines = page(seconds=3.0, trim=0.9)
    path = _path(lines, end_of(lines), devices["whirr-5"], 0.27, 60.0)
    assert path["flipped"]
    assert path["coasting"] == pytest.approx(36 / 9.80665)
    # Whirr 5: 1.9 N until 6 s; 3.05 s are left after the last line at 2.95 s.
    assert path["bound"] == pytest.approx((6.0 + 1.9 * 3.05 / 0.27) ** 2 / 9.80665, rel=1e-6)


def test_what_a_device_may_still_give(devices):
    late, early = np.zeros(12), np.zeros(12)
    late[TIME], late[X], late[SPEED] = 30.0, 50.0, 5.0
    for name in ("whirr-5", "lantern-2", "hiss", "tug"):
        assert impulse_left(devices[name], late, 0.27) == pytest.approx(0.0, abs=1e-9)
    motor = devices["lantern-2"]
    whole = motor.law.total_impulse * (1 + 3 * motor.impulse_spread)  # three spreads more than its mean
    assert impulse_left(motor, early, 0.27) == pytest.approx(whole)
    tug = devices["tug"].law
    energy = tug.steady_tension * tug.reach  # all of it into speed: m v = sqrt(2 m E)
    assert impulse_left(devices["tug"], early, 0.27) == pytest.approx(math.sqrt(2 * 0.27 * energy))


def test_the_fleet_is_the_models_own_runs_and_the_same_again(kits, devices):
    question = Question(
        kit=kits["fold-62"],
        device=devices["whirr-5"],
        built=AsBuilt(boat="7"),
        conditions=Conditions(wind_speed=2.0),
    )
    runners = [Runner(label="boat 7", group="Rush", question=question)]
    first = fleet_paths(runners, heading=1.0, runs=24)
    again = fleet_paths(runners, heading=1.0, runs=24)
    other = fleet_paths(runners, heading=1.0 + math.pi, runs=24)
    assert first.runs == 24
    assert np.array_equal(first.spots, again.spots)
    assert not np.array_equal(first.spots, other.spots)  # the wind is felt from the other side
    assert first.spots[:, 0] == pytest.approx(0.0, abs=0.01)  # the first line is written after a step or two
    stopped = ~first.carried & ~first.flipped
    assert first.ends[stopped] == pytest.approx(first.ended[stopped])
    fastest = np.hypot(*np.diff(first.spots, axis=1).transpose(2, 0, 1)).max() / STEP
    assert 4.0 < fastest < 15.0


def test_every_heading_has_runs_within_15_degrees_and_the_planned_one_its_own():
    headings = [math.radians(d) for d in range(40, 155, 5)]
    made = model_headings(headings, math.radians(95))
    assert made[0] == math.radians(95)
    assert all(min(abs(h - each) for each in made) <= math.radians(15) + 1e-9 for h in headings)
    assert len(made) <= 5

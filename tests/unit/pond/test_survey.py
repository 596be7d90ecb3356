"""Pegs and tape: places known beforehand, and circles crossed by another library."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Point

from skimwright.base import InputError
from skimwright.pond import Taped, bearings_of, crossing_error, locate, meeting
from skimwright.pond.survey import side_of

PEGS = {"P1": (0.0, 0.0), "P2": (0.0, -30.0), "P3": (-20.0, 12.0)}
SHORE = [
    (2, -9), (10, -17), (24, -23), (41, -25), (60, -24), (78, -21),
    (94, -14), (83, 37), (48, 42), (31, 39), (17, 33), (7, 24),
]  # fmt: skip
AWAY = st.floats(-60, 60)


def taped(spots, pegs, noise=0.0, steps=False, seed=1):
    """Tapes of known places."""
    rng = np.random.default_rng(seed)
    first, second = list(pegs.values())[:2]
    return [
        Taped(
            name=str(number),
            tapes={name: math.dist(spot, peg) + rng.normal(0, noise) for name, peg in pegs.items()},
            side=side_of(spot, first, second),
            step=math.dist(spot, spots[number - 2]) + rng.normal(0, noise) if steps and number > 1 else None,
        )
        for number, spot in enumerate(spots, 1)
    ]


def test_twelve_points_by_two_tapes_are_where_they_were():
    two = {name: PEGS[name] for name in ("P1", "P2")}
    spots, closure = locate(two, taped(SHORE, two))
    assert np.allclose(spots, SHORE, atol=1e-6)
    assert closure.spare == 0  # nothing checks them, and it says so
    assert closure.worst is None


def test_spare_tapes_show_how_well_they_close():
    spots, closure = locate(PEGS, taped(SHORE, PEGS, noise=0.05, steps=True))
    assert closure.spare == 12 + 11
    assert 0.03 < closure.rms < 0.08  # the noise put in, 0.05 m
    assert np.abs(np.array(spots) - SHORE).max() < 0.5


def test_one_wrong_tape_is_named():
    points = taped(SHORE, PEGS)
    wrong = points[4]
    points[4] = Taped(name=wrong.name, tapes={**wrong.tapes, "P2": wrong.tapes["P2"] + 3.0}, side=wrong.side)
    _, closure = locate(PEGS, points)
    assert closure.worst is not None
    assert closure.worst.point == "5"


@given(AWAY, AWAY, AWAY, AWAY, AWAY, AWAY)
def test_tapes_meet_where_circles_cross(x, y, ax, ay, bx, by):
    spot, a, b = (x, y), (ax, ay), (bx, by)
    assume(math.dist(a, b) >= 10.0 and crossing_error(spot, a, b) < 0.3)
    tapes = {"first_tape": math.dist(spot, a), "second_tape": math.dist(spot, b)}
    assert meeting(a, b, side=side_of(spot, a, b), **tapes) == pytest.approx(spot, abs=0.01)


def test_another_library_crosses_the_same_circles():
    found = meeting((0, 0), (0, -30), first_tape=40.0, second_tape=35.0, side="left")
    rings = [
        Point(peg).buffer(radius, quad_segs=4096).exterior for peg, radius in (((0, 0), 40), ((0, -30), 35))
    ]
    crossings = rings[0].intersection(rings[1])
    assert min(Point(found).distance(each) for each in crossings.geoms) < 0.001


def test_the_stated_error_of_a_post_is_what_wrong_tapes_bring():
    spot, a, b = (20.0, 9.0), PEGS["P1"], PEGS["P2"]
    said = crossing_error(spot, a, b)
    off = [
        math.dist(spot, meeting(a, b, first_tape=math.dist(spot, a) + i, second_tape=math.dist(spot, b) + j,
                                side=side_of(spot, a, b)))
        for i in (-0.05, 0.05) for j in (-0.05, 0.05)
    ]  # fmt: skip
    assert max(off) == pytest.approx(said, rel=0.05)


def test_a_post_in_line_with_two_pegs_takes_another():
    on_line = (0.0, -14.0)
    assert "P3" in {bearings_of(on_line, PEGS).first, bearings_of(on_line, PEGS).second}
    two = {name: PEGS[name] for name in ("P1", "P2")}
    with pytest.raises(InputError, match="Set another peg"):
        bearings_of(on_line, two)


@pytest.mark.parametrize(
    "tapes, side, words",
    [
        ({"P1": 9.0}, "left", "one tape"),
        ({"P1": 9.0, "P9": 9.0}, "left", "not there"),
        ({"P1": 9.0, "P2": 9.0}, "left", "do not meet"),
        ({"P1": 9.0, "P2": 90.0}, "left", "do not meet"),
    ],
)
def test_tapes_that_cannot_be_get_a_sentence(tapes, side, words):
    with pytest.raises(InputError, match=words):
        locate(PEGS, [Taped(name="1", tapes=tapes, side=side)])


def test_pegs_too_close_are_refused():
    with pytest.raises(InputError, match="too close"):
        meeting((0, 0), (5, 0), first_tape=5, second_tape=5, side="left")

"""A gate's place from two diagonals, against plain geometry and a general library's geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from skimwright.base import InputError
from skimwright.pond import Gate, tape_gate


@given(
    distance=st.floats(5.0, 60.0), aside=st.floats(-3.0, 3.0), width=st.floats(1.0, 8.0),
    start=st.floats(1.0, 8.0),
)  # fmt: skip
def test_a_gate_set_out_anywhere_is_found_where_it_stands(
    distance: float, aside: float, width: float, start: float
) -> None:
    """Diagonals measured by shapely between the marks and posts themselves."""
    port, starboard = Point(0.0, -start / 2), Point(0.0, start / 2)
    posts = Point(distance, aside - width / 2), Point(distance, aside + width / 2)
    found = tape_gate(
        Gate(distance=30.48, width=width), from_port=port.distance(posts[1]),
        from_starboard=starboard.distance(posts[0]), start_width=start,
    )  # fmt: skip
    assert found.distance == pytest.approx(distance, abs=1e-6)
    assert found.aside == pytest.approx(aside, abs=1e-6)


def test_the_ranges_are_those_of_many_noisy_tapes() -> None:
    """First-order propagation (JCGM 100:2008, 5.1.2) against 20,000 drawn pairs of tapes."""
    draw = np.random.default_rng(30480)
    true = math.hypot(30.48, 5.0)
    pairs = true + 0.05 * draw.standard_normal((20_000, 2))
    found = [tape_gate(Gate(), from_port=a, from_starboard=b, start_width=5.0) for a, b in pairs]
    assert 1.96 * np.std([f.distance for f in found]) == pytest.approx(found[0].distance_within, rel=0.03)
    assert 1.96 * np.std([f.aside for f in found]) == pytest.approx(found[0].aside_within, rel=0.03)


def test_diagonals_a_hand_apart_are_taped_again() -> None:
    assert not tape_gate(Gate(), from_port=30.90, from_starboard=30.80, start_width=5.0).again
    assert tape_gate(Gate(), from_port=30.91, from_starboard=30.79, start_width=5.0).again


@pytest.mark.parametrize(("one", "other", "start"), [(3.0, 30.9, 5.0), (30.9, 30.9, 0.0), (6.0, 60.0, 5.0)])
def test_what_cannot_be_two_diagonals_is_refused(one: float, other: float, start: float) -> None:
    with pytest.raises(InputError):
        tape_gate(Gate(), from_port=one, from_starboard=other, start_width=start)

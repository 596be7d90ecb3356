"""The pond's plan, and what it says of the start."""

from __future__ import annotations

from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.desk import read_season

DEMO = Path(app.__file__).parent / "demo_season"


def test_the_demonstration_pond_is_as_surveyed() -> None:
    pond = read_season(store.read_tables(DEMO)).pond
    assert pond is not None
    assert pond.area == pytest.approx(5783, abs=0.5)  # the survey's own sum, printed to the square metre
    assert {"P1", "P2"} <= set(pond.pegs)  # more pegs find the posts
    assert pond.hazards[0].keep_off == 10.0
    assert pond.reeds[0].closed_from < pond.reeds[0].closed_to


def test_water_is_inside_the_shore_and_off_the_islet() -> None:
    pond = read_season(store.read_tables(DEMO)).pond
    assert pond is not None
    assert pond.is_water((4, 2))
    assert not pond.is_water((0, -30))
    assert not pond.is_water((70, 11))

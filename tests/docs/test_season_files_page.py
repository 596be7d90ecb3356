"""docs/season-files.md names every column and every line the readers know."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.desk import read_day_plan, read_guesses, read_season
from skimwright.desk.boats.boat_list import COLUMNS
from skimwright.desk.seasons.fields import Fields

PAGE = (Path(__file__).parents[2] / "docs" / "season-files.md").read_text("utf8")
NAMED = set(re.findall(r"`\[?\[?([a-zA-Z_0-9.]+)\]?\]?`", PAGE))


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Fills with every key a reader asks a file for."""
    keys: set[str] = set()
    take = Fields._take

    def listen(self, key, default):
        keys.add(key)
        return take(self, key, default)

    monkeypatch.setattr(Fields, "_take", listen)
    return keys


def test_every_column_of_the_boat_list_is_explained() -> None:
    assert set(COLUMNS) <= NAMED


def test_every_line_of_the_season_file_is_explained(asked) -> None:
    read_season(store.read_tables(Path(app.__file__).parent / "demo_season"))
    asked |= {"wind_gust_m_s", "ripple_mm", "mass_min_g", "mass_max_g"}
    assert asked - {"groups"} <= NAMED, asked - NAMED


def test_every_line_of_the_day_plan_is_explained(asked) -> None:
    disk = app.Disk()
    read_day_plan(disk.table(disk.demo_season() / "day.toml"), date=datetime.date(2027, 5, 22))
    assert asked - {"afternoon_wind"} <= NAMED, asked - NAMED


def test_every_line_of_the_rehearsal_is_explained(asked) -> None:
    disk = app.Disk()
    read_guesses(disk.table(disk.demo_season() / "rehearsal.toml"))
    assert asked <= NAMED, asked - NAMED


def test_every_unit_named_on_the_page_is_known() -> None:
    from skimwright.base.units import UNITS

    known = {unit for units in UNITS.values() for unit in units}
    listed = PAGE.split("Known: ")[1].split(".")[0]
    assert set(re.split(r"[,\s]+", listed)) == known

"""The demonstration season's boats as facts, and the catalogue."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from skimwright import app, desk, teach

ROOM = Path(teach.__file__).parent
DEMO = Path(app.__file__).parent / "demo_season"


@pytest.fixture(scope="session")
def table():
    """Every sentence in English."""
    return tomllib.loads((ROOM / "words" / "en.toml").read_text("utf8"))


@pytest.fixture(scope="session")
def german():
    """Every sentence in German."""
    return tomllib.loads((ROOM / "words" / "de.toml").read_text("utf8"))


@pytest.fixture(scope="session")
def words(table):
    return teach.words_of(table, table)


@pytest.fixture(scope="session")
def season():
    return app.Disk().season(str(DEMO))


@pytest.fixture(scope="session")
def answered():
    """The season with its one open question answered: all 24 boats may be forecast."""
    return app.Disk().season(str(DEMO), {(20, "mass_g"): "13.5 oz"})


@pytest.fixture(scope="session")
def log(season):
    return desk.read_runs(app.Disk().runs(str(DEMO)), season)


@pytest.fixture(scope="session")
def all_lessons(season, log, table):
    """24 boats for each of four bands."""
    return {
        band: desk.make_lessons(season, log, desk.LessonAsk(group="all", band=band), words=table).lessons
        for band in teach.BANDS
    }

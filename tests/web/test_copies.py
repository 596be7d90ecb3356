"""A copy elsewhere after every report; a stick that is out is said on every page of the day."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from skimwright import app
from skimwright.web import House, Keys, workbench
from skimwright.web.copies import Copies


def wait_for(what) -> None:
    for _ in range(400):
        if what():
            return
        time.sleep(0.02)
    raise AssertionError("it never came")


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    place = tmp_path / "stick"
    place.mkdir()
    return place


def test_what_was_reported_is_in_the_last_copy(house: House, stick: Path) -> None:
    house.copies = Copies(house.files, house.path, stick, tell=lambda: None, pause=0.05)
    house.copies.open()
    wait_for(lambda: len(list(stick.glob("*.season"))) == 1)
    time.sleep(1.1)  # copies are named by the second
    house.add("diary.csv", ("time", "did"), [{"time": "now", "did": "the last thing"}], topic="race")
    wait_for(lambda: len(list(stick.glob("*.season"))) == 2)
    house.close()
    newest = max(stick.glob("*.season"))
    assert b"the last thing" in house.files.season_contents(newest).files["diary.csv"]
    assert len(house.files.season(str(newest)).boats) == 24  # and the season can be gone on with


def test_a_stick_that_is_out_is_said_on_the_page_and_one_put_in_is_used(house: House, stick: Path) -> None:
    told: list[str] = []
    house.copies = Copies(house.files, house.path, stick, tell=lambda: told.append("holds"), pause=0.05)
    stick.rmdir()
    house.copies.make()
    assert "stick" in house.copies.trouble
    with TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as browser:
        wait_for(lambda: "NO COPY IS MADE" in browser.get("/race").text)
        stick.mkdir()
        house.copies.due()
        wait_for(lambda: "Last copy" in browser.get("/race").text)
    assert len(told) >= 2


def test_a_season_file_is_copied_while_it_is_open(tmp_path: Path, stick: Path) -> None:
    folder = Path(shutil.copytree(Path(app.__file__).parent / "demo_season", tmp_path / "season"))
    files = app.Disk()
    plain, _ = files.plain_files(folder)
    from skimwright.desk import SeasonContents

    season = files.new_season(tmp_path / "our.season", SeasonContents(files=plain))
    house = House(files=files, path=season, keys=Keys())
    house.copies = Copies(files, season, stick, tell=lambda: None, pause=0.05)
    house.add("diary.csv", ("time", "did"), [{"time": "now", "did": "noted"}], topic="race")
    house.copies.make()
    assert house.copies.trouble == ""
    copy = next(stick.glob("our-*.season"))
    assert b"noted" in files.season_contents(copy).files["diary.csv"]
    house.close()

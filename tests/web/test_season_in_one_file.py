"""A season in one file is shown, written and watched as one in a folder is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import DEMO, send

from skimwright import app, desk
from skimwright.web import House, Keys, all_doors, workbench
from skimwright.web.doors import Door

IN_ADDRESSES = {
    "kit": "fold-62",
    "number": "7",
    "boats": "1",
    "verb": "shape",
    "paper": "heats",
    "code": "ABCDEFGH",
}


def opened(path: Path) -> House:
    return House(files=app.Disk(), path=path, keys=Keys(), address="http://127.0.0.1:8080")


@pytest.fixture
def one(tmp_path: Path) -> Iterator[House]:
    """The demonstration in one file."""
    disk = app.Disk()
    files, _ = disk.plain_files(DEMO)
    house = opened(disk.new_season(tmp_path / "our.season", desk.from_plain_files(files)))
    yield house
    house.close()


@pytest.fixture
def browser(one: House) -> Iterator[TestClient]:
    with TestClient(workbench(one), base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as client:
        yield client


def address(door: Door) -> str:
    return re.sub(r"\{(\w+)(:\w+)?\}", lambda m: IN_ADDRESSES.get(m[1], "x"), door.path)


def test_every_page_answers_as_it_does_from_a_folder(browser: TestClient, house: House) -> None:
    folder = TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 50000))
    for path in sorted({address(door) for door in all_doors() if door.method == "GET"}):
        mine, theirs = browser.get(path), folder.get(path)
        assert mine.status_code == theirs.status_code < 500, path
        if "text/html" in mine.headers["Content-Type"]:
            assert _bare(mine.text) == _bare(theirs.text), path


def _bare(text: str) -> str:
    """A page without what differs from one moment and one house to the next."""
    text = re.sub(r"[0-9a-f]{16,64}", "", text)
    return re.sub(r"\d\d:\d\d(:\d\d)?", "", text).replace("our.season", "season")


def test_what_is_written_is_there_and_told(browser: TestClient, one: House) -> None:
    before = one.stamp()
    assert send(browser, "/hold", reason="water").status_code == 303
    assert one.stamp() != before
    assert (
        "Boat in the water" in browser.get("/hold?whole=yes").text
        or "boat in the water" in browser.get("/hold").text
    )
    assert send(browser, "/office/phones", job="pit").status_code == 200
    assert "gave a code" in browser.get("/office/diary").text
    assert send(browser, "/scales/boats/7/take", mass_g="151.0").status_code == 303
    assert "151" in browser.get("/boats/7").text
    assert "151" in browser.get("/office/diary").text
    runs = one.rows("runs.csv")
    assert runs is not None
    for path, fields in (
        ("/water/boats/24/guess", {"guess": "skip"}), ("/water/boats/24/run", {"distance_m": "48", "ending": "floor"}),
    ):  # fmt: skip
        answer = send(browser, path, **fields)
        assert answer.status_code in (303, 422), path
    assert len(one.rows("runs.csv").rows) > len(runs.rows)  # type: ignore[union-attr]


def test_what_another_program_writes_is_seen(browser: TestClient, one: House) -> None:
    assert "marked from elsewhere" not in browser.get("/office/diary").text
    boats = one.season().boats
    before = one.stamp()
    app.Disk().change_row(one.path / "boats.csv", "boat", "07", {"mass_g": "149.5"})
    assert one.stamp() != before
    assert one.season().boats != boats
    assert "149.5" in browser.get("/boats/7").text


def test_a_file_that_goes_bad_keeps_the_last_good_table(browser: TestClient, one: House) -> None:
    assert "<table" in browser.get("/see").text
    app.Disk().write(one.path / "results.csv", 'Mina Example,"x\n')
    one.seen = None
    answer = browser.get("/see")
    assert answer.status_code == 200
    assert "cannot be read" in answer.text
    assert "<table" in answer.text
    one.path.write_bytes(b"no season at all" * 400)
    one.seen = None
    for path in ("/see", "/calls"):
        assert browser.get(path).status_code == 200, path
    answer = browser.get("/water")
    assert answer.status_code in (422, 503)
    assert "our.season" in answer.text
    assert str(one.path.parent) not in answer.text

"""The safety sheet gates the event; the year is read off the files; what is taken out is whole."""

from __future__ import annotations

import io
import re
import shutil
import zipfile
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, on_the_day, send

from skimwright import app
from skimwright.web import House, Keys, workbench


def state(page: str, what: str) -> str:
    """The word beside a line of the sheet."""
    found = re.search(rf"<strong>{re.escape(what)}</strong></th><td>.*?(OK|care|STOP)</td>", page, re.S)
    assert found, what
    return found[1]


def test_the_demonstration_may_open_and_says_what_is_left_to_do(desk_browser: TestClient) -> None:
    page = desk_browser.get("/office/safety").text
    assert "Nothing here keeps the event shut" in page
    assert state(page, "People: jobs and ratios") == "OK"
    assert "Lantern 1: SHUT" in page  # nobody uses it, so it stops nothing


@pytest.mark.parametrize(
    ("file", "old", "new", "line"),
    [
        ("limits.toml", "gust_m_s = 6.5", "", "Limits of the site"),
        ("helpers.csv", "first aider,first aider,,,\n", "", "People: jobs and ratios"),
        ("boats.csv", "Whirr 7", "Lantern 1", "Permission for each device"),
        ("day.toml", "", None, "Plan of the day and lots"),
    ],
)
def test_one_line_that_stops_keeps_the_water_shut(
    at_pond: AtPond, house: House, file: str, old: str, new: str | None, line: str
) -> None:
    on_the_day(house)
    path = house.path / file
    if new is None:
        path.unlink()
    else:
        path.write_text(path.read_text("utf8").replace(old, new), "utf8")
    director = at_pond("director")
    page = director.get("/office/safety").text
    assert "The event stays shut" in page
    assert state(page, line) == "STOP"
    refused = send(director, "/hold/open", page="/hold")
    assert refused.status_code in (409, 422)
    assert line in refused.text
    assert (
        house.rows("holds.csv") is None
        or "open" not in house.files.text(house.path / "holds.csv").splitlines()[-1]
    )


def test_the_year_has_its_fifteen_lines(desk_browser: TestClient) -> None:
    page = desk_browser.get("/office/checklist").text
    assert [int(n) for n in re.findall(r"<strong>(\d+) [A-Z]", page)] == list(range(1, 16))
    assert state(page, "12 Regatta day") == "OK"  # the demonstration's day is raced


def test_the_plain_files_come_out_whole_and_only_for_organisers(
    desk_browser: TestClient, at_pond: AtPond, house: House
) -> None:
    house.at_pond = False
    answer = send(desk_browser, "/office/take-out")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as taken:
        names = taken.namelist()
        assert taken.read("boats.csv") == (house.path / "boats.csv").read_bytes()
    assert {"season.toml", "boats.csv", "results.csv", "day.toml"} <= set(names)
    assert send(at_pond("director"), "/office/take-out").status_code == 403


def test_the_log_of_results_is_the_file_itself(desk_browser: TestClient, house: House) -> None:
    assert desk_browser.get("/office/results.csv").content == (house.path / "results.csv").read_bytes()


def test_a_folder_is_told_what_to_do_instead_of_a_copy(desk_browser: TestClient) -> None:
    answer = send(desk_browser, "/office/keep")
    assert answer.status_code == 422
    assert "folder of plain files" in answer.text


def test_a_season_file_is_copied_and_tried(tmp_path: Path) -> None:
    from skimwright import desk

    files = app.Disk()
    folder = Path(shutil.copytree(files.demo_season(), tmp_path / "plain"))
    path = files.new_season(tmp_path / "our.season", desk.from_plain_files(files.plain_files(folder)[0]))
    house = House(files=files, path=path, keys=Keys(), address="http://127.0.0.1:8080")
    with TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as client:
        answer = send(client, "/office/keep")
        assert answer.status_code == 303, answer.text
        assert list((tmp_path / "kept").glob("*.season"))
        assert client.get("/see").status_code == 200  # the day is shown from a season file too
        assert send(client, "/hold", reason="water").status_code == 303
        assert "boat in the water" in client.get("/hold").text
    house.close()

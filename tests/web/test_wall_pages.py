"""The lesson wall: crews say where they are, adults tick, the wall shows who needs one next."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send

from skimwright.web import House


def say(client: TestClient, boat: int, said: str, step: int | str):
    return send(client, f"/classroom/wall/{boat}", said=said, step=str(step))


def nexts(client: TestClient) -> list[str]:
    text = client.get("/classroom/wall?group=Rush").text
    part = text[text.index('id="next"') :]
    return [re.sub(r"<[^>]+>", " ", found).strip() for found in re.findall(r"<p class=.*?</p>", part)]


@pytest.fixture
def boats(house: House) -> list[int]:
    return [entry.number for entry in house.season().boats if entry.group == "Rush"]


def test_a_crew_goes_on_by_itself_up_to_a_stop_and_then_waits_for_an_adult(
    at_pond: AtPond, boats: list[int]
) -> None:
    crew, adult = at_pond("crew"), at_pond("inspector")
    boat = boats[0]
    assert say(crew, boat, "done", 1).status_code == 303
    assert "Step 2:" in crew.get(f"/classroom/wall/{boat}").text
    say(crew, boat, "done", 2)
    say(crew, boat, "done", 3)
    page = crew.get(f"/classroom/wall/{boat}").text
    assert "Do not go on" in page
    assert "Looked at" not in page
    refused = say(crew, boat, "ticked", 3)
    assert refused.status_code == 422
    assert "Only an adult ticks" in refused.text
    assert "waits to be looked at" in nexts(adult)[0]
    assert say(adult, boat, "ticked", 3).status_code == 303
    assert "Step 4:" in crew.get(f"/classroom/wall/{boat}").text


def test_who_is_stuck_comes_before_who_waits(at_pond: AtPond, boats: list[int]) -> None:
    crew = at_pond("crew")
    for step in (1, 2, 3):
        say(crew, boats[0], "done", step)
    say(crew, boats[1], "help", 1)
    assert [line[:2] for line in nexts(crew)[:2]] == [f"{boats[1]:02d}", f"{boats[0]:02d}"]


def test_a_mark_pressed_twice_counts_once_and_the_last_is_taken_back(
    at_pond: AtPond, boats: list[int]
) -> None:
    crew = at_pond("crew")
    assert say(crew, boats[0], "done", 1).status_code == 303
    assert "marked already" in say(crew, boats[0], "done", 1).text
    assert say(crew, boats[0], "back", 2).status_code == 303
    assert "Step 1:" in crew.get(f"/classroom/wall/{boats[0]}").text


@pytest.mark.parametrize(
    "said, step", [("", "1"), ("dance", "1"), ("done", ""), ("done", "99"), ("done", "x")]
)
def test_what_is_no_mark_is_refused_and_not_kept(
    desk_browser: TestClient, house: House, boats: list[int], said: str, step: str
) -> None:
    assert say(desk_browser, boats[0], said, step).status_code == 422
    assert house.rows("wall.csv") is None


def test_the_wall_names_boats_and_nobody_else(desk_browser: TestClient, house: House) -> None:
    text = desk_browser.get("/classroom/wall?group=Rush").text
    crews = {entry.crew for entry in house.season().boats if entry.crew}
    assert not [crew for crew in crews if crew in text]
    assert desk_browser.get("/classroom/wall?group=Moss").status_code == 404
    assert desk_browser.get("/classroom/wall/chart/Rush").content.startswith(b"%PDF-")

"""The spectators' page: small, without names of people, new with every piece of news."""

from __future__ import annotations

import re

from starlette.testclient import TestClient
from tests.web.conftest import AtPond, only_first_heats, send

from skimwright.web import House


def weight(client: TestClient, path: str) -> int:
    """The page and all that it loads, nothing packed.  [bytes]"""
    text = client.get(path).text
    loads = [path, *re.findall(r'(?:src|href)="(/(?:static/|style)[^"]*)"', text)]
    return sum(len(client.get(each).content) for each in loads)


def test_the_page_weighs_under_60_kb_with_everything_it_loads(at_pond: AtPond) -> None:
    phone = at_pond()
    assert 2000 < weight(phone, "/see") < 60_000
    assert "htmx" not in phone.get("/see").text


def test_it_has_numbers_and_names_of_boats_and_of_nobody_else(at_pond: AtPond, house: House) -> None:
    text = at_pond().get("/see").text
    boats = house.rows("boats.csv")
    assert boats is not None
    assert "Gravel" in text
    for row in boats.rows:
        assert row.cells["crew"] not in text
    assert "finish A" not in text  # nor which phone


def test_free_words_of_a_hold_are_not_shown_to_everybody(at_pond: AtPond, house: House) -> None:
    only_first_heats(house.path, 2)
    send(at_pond("pit"), "/hold", reason="other", words="Mina fell in")
    text = at_pond().get("/see").text
    assert "Racing waits" in text
    assert "Mina" not in text


def test_next_and_after_are_the_heats_that_do_not_count_yet(at_pond: AtPond, house: House) -> None:
    phone = at_pond()
    assert "Every heat is raced" in phone.get("/see").text
    only_first_heats(house.path, 2)
    house.hub.tell("season")
    text = phone.get("/see").text
    assert re.findall(r"(Next|After|Then): heat (\d+)", text) == [
        ("Next", "3"),
        ("After", "4"),
        ("Then", "5"),
    ]


def test_a_corrected_boat_is_marked(at_pond: AtPond, house: House) -> None:
    rows = house.rows("results.csv")
    assert rows is not None
    corrected = {int(row.cells["boat"]) for row in rows.rows if row.cells["event"] == "correction"}
    text = at_pond().get("/see").text
    marked = {int(n) for n in re.findall(r"<b>(\d\d)</b> [^<]*<small class=\"mark\">corrected", text)}
    assert marked == corrected != set()


def test_a_season_without_a_plan_says_so(at_pond: AtPond, house: House) -> None:
    (house.path / "day.toml").unlink()
    answer = at_pond().get("/see")
    assert answer.status_code == 200
    assert "not planned yet" in answer.text

"""Hold from any phone with a job; cleared by the director, each its own."""

from __future__ import annotations

import re

from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send

from skimwright.web import House


def lines(house: House) -> list[dict[str, str]]:
    rows = house.rows("holds.csv")
    return [dict(row.cells) for row in rows.rows] if rows else []


def bar(phone: TestClient) -> str:
    """What the bar of an open page fetches when there is news."""
    return phone.get("/hold", headers={"HX-Request": "true"}).text


def test_two_holds_need_two_clears_and_only_the_director_clears(at_pond: AtPond, house: House) -> None:
    director, pit, finish = at_pond("director"), at_pond("pit"), at_pond("finish-a")
    assert send(director, "/hold/open").status_code == 303
    assert "<strong>Go.</strong>" in bar(pit)
    send(pit, "/hold", reason="water")
    send(finish, "/hold", reason="people")
    assert "boat in the water" in bar(director)
    assert send(pit, "/hold/clear", whose="pit").status_code == 403
    send(director, "/hold/clear", whose="pit")
    assert "people too near" in bar(finish)
    send(director, "/hold/clear", whose="finish-a")
    assert "<strong>Go.</strong>" in bar(finish)
    assert [line["what"] for line in lines(house)] == ["open", "hold", "hold", "clear", "clear"]
    assert lines(house)[-1]["why"] == "cleared by director"


def test_the_same_phone_can_hold_for_two_reasons_and_a_second_tap_is_no_third(
    at_pond: AtPond, house: House
) -> None:
    pit = at_pond("pit")
    for reason in ("water", "water", "people"):
        assert send(pit, "/hold", reason=reason).status_code == 303
    assert [line["who"] for line in lines(house)] == ["pit", "pit (people too near)"]


def test_lightning_starts_its_clock_and_clearing_does_not_end_it(at_pond: AtPond, house: House) -> None:
    director = at_pond("director")
    send(director, "/hold/open")
    send(director, "/hold", reason="lightning")
    send(director, "/hold/clear", whose="director")
    assert "Not before" in bar(director)


def test_the_water_stays_shut_while_a_limit_is_empty(at_pond: AtPond, house: House) -> None:
    limits = house.path / "limits.toml"
    limits.write_text(limits.read_text("utf8").replace("gust_m_s = 6.5", ""), "utf8")
    answer = send(at_pond("director"), "/hold/open")
    assert answer.status_code == 422
    assert "gust_m_s" in answer.text
    assert lines(house) == []


def test_what_clears_nothing_and_a_reason_nobody_knows_are_refused(
    desk_browser: TestClient, house: House
) -> None:
    assert "nobody holds" in send(desk_browser, "/hold/clear", whose="pit").text.lower()
    assert send(desk_browser, "/hold", reason="bored").status_code == 422
    assert send(desk_browser, "/hold/stop", why="").status_code == 422
    assert lines(house) == []


def test_after_a_hold_a_phone_is_sent_to_its_own_page_and_never_elsewhere(at_pond: AtPond) -> None:
    pit = at_pond("pit")
    assert send(pit, "/hold", reason="water", back="/boats/7").headers["location"] == "/boats/7"
    for bad in ("//else.example", "https://else.example", "/\\else.example"):
        assert send(pit, "/hold", reason="people", back=bad).headers["location"] == "/hold"


def test_the_regatta_day_stays_shut_while_the_roster_has_a_gap(at_pond: AtPond, house: House) -> None:
    rules, today = house.path / "season.toml", house.files.today()
    days = re.sub(r"(first_day|regatta|last_day) = .*", rf"\1 = {today}", rules.read_text("utf8"))
    rules.write_text(days, "utf8")  # the regatta is today
    helpers = house.path / "helpers.csv"
    helpers.write_text(helpers.read_text("utf8").replace("first aider,first aider,,,\n", ""), "utf8")
    answer = send(at_pond("director"), "/hold/open")
    assert answer.status_code == 422
    assert "first aider" in answer.text
    assert lines(house) == []

"""The queue for late qualifying on a phone."""

from __future__ import annotations

import re

from starlette.testclient import TestClient
from tests.web.conftest import on_the_day, send

from skimwright.web import House


def order(browser: TestClient) -> list[str]:
    """Boats in the order in which they go."""
    return re.findall(r"<h2>(?:Next: )?(\d\d) ", browser.get("/race/queue").text)


def key(name: str) -> str:
    return f"queue-{name}"


def test_no_crew_has_two_tries_while_another_has_none(desk_browser: TestClient, house: House) -> None:
    on_the_day(house)
    (house.path / "results.csv").unlink()
    assert send(desk_browser, "/race/queue", boats="3 18, 21", key=key("a")).status_code == 303
    assert order(desk_browser) == ["03", "18", "21"]
    send(desk_browser, "/race/queue/tried", boat="3", ended="ran wide", key=key("b"))
    assert order(desk_browser) == ["18", "21", "03"]
    send(desk_browser, "/race/queue/tried", boat="18", ended="through", key=key("c"))
    text = desk_browser.get("/race/queue").text
    assert order(desk_browser) == ["21", "03"]
    assert "Through the gate" in text
    assert "over by" in text


def test_what_cannot_be_is_refused_in_a_sentence(desk_browser: TestClient, house: House) -> None:
    on_the_day(house)
    (house.path / "results.csv").unlink()
    for boats in ("", "three", "77"):
        refused = send(desk_browser, "/race/queue", boats=boats, key=key(f"x{boats}"))
        assert refused.status_code == 422
    send(desk_browser, "/race/queue", boats="3", key=key("d"))
    assert send(desk_browser, "/race/queue", boats="3", key=key("e")).status_code == 422
    assert send(desk_browser, "/race/queue/tried", boat="3", ended="flew", key=key("f")).status_code == 422

"""Lessons from the browser: each boat's own numbers, keys apart, every number unfolded."""

from __future__ import annotations

import io

import pypdf
import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send
from tests.web.test_every_command import answer_of

from skimwright.web import House


def words(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_two_boats_of_a_class_get_different_sheets_with_their_own_mass(desk_browser: TestClient) -> None:
    texts = [words(desk_browser.get(f"/classroom/boats/{n}/sheet.pdf").content) for n in (7, 8)]
    assert texts[0] != texts[1]
    assert "307" in texts[0]  # grams, boats.csv
    assert "266" in texts[1]


def test_the_key_is_not_on_the_sheet(desk_browser: TestClient) -> None:
    sheet = desk_browser.get("/classroom/boats/7").text
    key = desk_browser.get("/classroom/boats/7?key=yes").text
    assert sheet != key


def test_a_class_set_comes_as_two_files(desk_browser: TestClient) -> None:
    begun = send(desk_browser, "/classroom/sheets", group="Rush", band="", paper="letter")
    place = answer_of(desk_browser, begun.headers["location"])
    page = desk_browser.get(place).text
    assert "worksheets-rush.pdf" in page
    sheets = pypdf.PdfReader(io.BytesIO(desk_browser.get(f"{place}/worksheets-rush.pdf").content))
    assert (
        round(float(sheets.pages[0].mediabox.width) / 72 * 25.4, 1) == 215.9
    )  # ISO 216 has A4; Letter is 8.5 in


def test_an_unknown_group_or_paper_is_asked_about(desk_browser: TestClient) -> None:
    assert send(desk_browser, "/classroom/sheets", group="Moss").status_code == 422
    assert send(desk_browser, "/classroom/sheets", group="Rush", paper="napkin").status_code == 422
    assert desk_browser.get("/classroom/boats/7?band=Moss").status_code == 422


def test_what_somebody_made_is_not_given_to_another(at_pond: AtPond) -> None:
    one, other = at_pond("inspector"), at_pond("scales")
    begun = send(one, "/classroom/sheets", group="Rush")
    place = answer_of(one, begun.headers["location"])
    assert one.get(place).status_code == 200
    assert other.get(place).status_code == 404


def test_every_number_of_a_forecast_can_be_unfolded_at_any_age(
    desk_browser: TestClient, house: House
) -> None:
    nothing = desk_browser.get("/boats/7/numbers")  # is worked out yet
    assert nothing.status_code == 404
    assert 'href="/boats/7"' in nothing.text
    begun = send(desk_browser, "/boats/7/forecast")
    answer_of(desk_browser, begun.headers["location"])
    every = desk_browser.get("/boats/7/numbers").text
    for band in house.season().groups:
        one = desk_browser.get(f"/boats/7/numbers/gate-time?band={band}").text
        assert "How sure it is" in one
    assert "numbers/top-speed" in every
    assert desk_browser.get("/boats/7/numbers/wishes").status_code == 422


@pytest.mark.parametrize("number", [20, 99])
def test_a_boat_that_cannot_be_worked_out_says_why(desk_browser: TestClient, number: int) -> None:
    answer = desk_browser.get(f"/classroom/boats/{number}")
    assert answer.status_code in (404, 422)

"""Every command of the command line can be given from a page, and none of them reaches beyond the season."""

from __future__ import annotations

import time

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import send

from skimwright.cli import all_verbs
from skimwright.web.places.commands import NOT_HERE

HERE = [name for name in all_verbs() if name not in NOT_HERE]


def answer_of(client: TestClient, place: str) -> str:
    """Follow a piece of work to its end."""
    for _ in range(4000):  # far longer than it takes: other tests may be at work beside it
        answer = client.get(place, follow_redirects=False)
        if answer.status_code == 303:
            return answer.headers["location"]
        assert "Not taken" not in answer.text
        time.sleep(0.05)
    raise AssertionError("it never ended")


@pytest.mark.parametrize("verb", HERE)
def test_a_command_has_a_form_with_each_of_its_options(desk_browser: TestClient, verb: str) -> None:
    text = desk_browser.get(f"/office/commands/{verb}").text
    for option in all_verbs()[verb].options:
        assert f'name="{option.name}"' in text or option.flag in ("--out", "--write")


def test_what_a_command_writes_can_be_fetched(desk_browser: TestClient) -> None:
    begun = send(desk_browser, "/office/commands/permit", device="Lantern 1")
    place = answer_of(desk_browser, begun.headers["location"])
    page = desk_browser.get(place).text
    assert "Lantern 1" in page
    start = page.index(f'href="{place}/') + 6
    file = page[start : page.index('"', start)]
    fetched = desk_browser.get(file)
    assert fetched.status_code == 200
    assert fetched.headers["content-disposition"].startswith("attachment")


def test_a_list_sent_up_is_used_in_place_of_the_seasons(desk_browser: TestClient) -> None:
    key = desk_browser.get("/office/commands/points").text
    token = key[key.index('name="token" value="') + 20 :].split('"')[0]
    begun = desk_browser.post(
        "/office/commands/points",
        data={"token": token},
        files={"results": ("results.csv", b"heat,boat,place\n1,7,1\n1,8,2\n")},
        follow_redirects=False,
    )
    page = desk_browser.get(answer_of(desk_browser, begun.headers["location"])).text
    assert "400" in page  # first place of the table, A.P.B.A. 1967


@pytest.mark.parametrize("path", ["/etc/passwd", "../keys", "~/x", "a\\b"])
def test_a_page_never_names_a_file_of_this_computer(desk_browser: TestClient, path: str) -> None:
    refused = send(desk_browser, "/office/commands/shape", kit=path)
    assert refused.status_code == 422
    assert "path" in refused.text


def test_what_is_wrong_is_said_with_the_form_as_typed(desk_browser: TestClient) -> None:
    refused = send(desk_browser, "/office/commands/forecast", boat="seven")
    assert refused.status_code == 422
    assert "whole number" in refused.text
    assert 'value="seven"' in refused.text


@pytest.mark.parametrize("file", ["../../.keys", "%2e%2e/%2e%2e/season/boats.csv", "nothing.pdf"])
def test_only_the_answers_own_files_are_given_out(desk_browser: TestClient, file: str) -> None:
    begun = send(desk_browser, "/office/commands/permit", device="Lantern 1")
    place = answer_of(desk_browser, begun.headers["location"])
    assert desk_browser.get(f"{place}/{file}").status_code == 404


@pytest.mark.parametrize(
    "verb, file",
    [("results", "results.html"), ("certificates", "certificates.pdf"), ("report", "season-report.html")],
)
def test_what_goes_out_after_the_day_can_be_fetched(desk_browser: TestClient, verb: str, file: str) -> None:
    begun = send(desk_browser, f"/office/commands/{verb}")
    page = desk_browser.get(answer_of(desk_browser, begun.headers["location"])).text
    assert file in page


def test_a_place_to_write_to_is_never_typed(desk_browser: TestClient) -> None:
    for verb in HERE:
        assert 'name="out"' not in desk_browser.get(f"/office/commands/{verb}").text, verb

"""For the teacher: notes, cards with readings, a fair test, a training day; in either language."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import send
from tests.web.test_every_command import answer_of

from skimwright import desk
from skimwright.web import House


def test_every_note_is_led_to_and_shown_and_printed(desk_browser: TestClient, house: House) -> None:
    words = house.lesson_words()
    page = desk_browser.get("/classroom").text
    for each in desk.teacher_notes(words=words, first=words):
        path = f"/classroom/notes/{each.note.topic.replace('_', '-')}"
        assert path in page
        assert desk_browser.get(path).status_code == 200
        assert desk_browser.get(f"{path}?as=pdf").content.startswith(b"%PDF")


def test_a_note_in_german_is_german(desk_browser: TestClient) -> None:
    text = desk_browser.get("/classroom/notes/drift?language=de").text
    assert text != desk_browser.get("/classroom/notes/drift").text
    assert desk_browser.get("/classroom/notes/drift?language=xx").status_code == 422


def test_readings_of_a_coast_down_are_worked_out(desk_browser: TestClient) -> None:
    """Loss of speed over a way, (v1 v1 - v2 v2) / 2 s, times the mass: school mechanics, by hand.

    2.00 m in 0.32 s is 6.25 m/s, in 0.55 s 3.64 m/s; over 4.00 m that is 3.23 m/s2, and with 0.269 kg 0.87 N.
    """
    readings = {
        "mass_kg": "0.269", "way_1_m": "2.00", "time_1_s": "0.32", "way_2_m": "2.00", "time_2_s": "0.55",
        "between_m": "4.00",
    }  # fmt: skip
    text = desk_browser.get("/classroom/experiments/coast-down", params=readings).text
    assert "0.87 N" in text


def test_a_reading_that_cannot_be_is_asked_about(desk_browser: TestClient) -> None:
    refused = desk_browser.get("/classroom/experiments/float-line", params={"bow_mm": "a lot"})
    assert refused.status_code == 422
    assert "a lot" in refused.text
    assert "allowed:" in refused.text


def test_a_fair_test_changes_one_thing_and_says_how_many_runs(desk_browser: TestClient) -> None:
    assert "not worked out" in desk_browser.get("/classroom/fair-test?boat=7").text
    answer_of(desk_browser, send(desk_browser, "/boats/7/forecast").headers["location"])
    one = desk_browser.get("/classroom/fair-test?boat=7&change=mass").text
    assert "runs" in one
    assert "would not be clear" not in one
    two = desk_browser.get("/classroom/fair-test?boat=7&change=mass&change=blade_yaw").text
    assert "would not be clear" in two
    assert desk_browser.get("/classroom/fair-test?boat=7&change=luck").status_code == 422


@pytest.mark.parametrize("number", ["", "0", "one", "10000"])
def test_a_training_set_has_a_number(desk_browser: TestClient, number: str) -> None:
    assert send(desk_browser, "/classroom/training", set=number).status_code == 422


def test_a_training_day_comes_as_a_file(desk_browser: TestClient) -> None:
    begun = send(desk_browser, "/classroom/training", set="3", answers="yes")
    assert (
        "training-answers-set-3.pdf"
        in desk_browser.get(answer_of(desk_browser, begun.headers["location"])).text
    )

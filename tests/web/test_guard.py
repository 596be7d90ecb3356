"""Who gets in, and what never does.  Every door is tried, found by walking the list of doors itself."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send, token

from skimwright.web import ANYONE, JOBS, ORGANISER, House, Keys, Ticket, all_doors
from skimwright.web.doors import Door

DOORS = all_doors()


def address(door: Door) -> str:
    """An address of that door, with something in its gaps."""
    path = re.sub(r"\{\w+:int\}", "7", door.path)
    return re.sub(r"\{\w+(:path)?\}", "x", path)


def knock(client: TestClient, door: Door, key: str) -> int:
    if door.method == "GET":
        return client.get(address(door), follow_redirects=False).status_code
    return client.post(address(door), data={"token": key}, follow_redirects=False).status_code


@pytest.mark.parametrize("job", ["visitor", *JOBS])
def test_no_door_opens_to_a_job_it_is_not_for(at_pond: AtPond, job: str) -> None:
    phone = at_pond(job)
    key = token(phone)
    shut = [door for door in DOORS if job not in door.who]
    assert shut, "a job that may do everything is not a job"
    for door in shut:
        assert knock(phone, door, key) == 403, f"{door.method} {door.path} let {job} in"


def test_no_two_doors_share_an_address() -> None:
    knocks = [
        (door.method, re.sub(r"\{\w+", "{", door.path)) for door in DOORS
    ]  # a number is told from a word
    assert len(knocks) == len(set(knocks)), sorted(k for k in knocks if knocks.count(k) > 1)


def test_every_action_that_changes_something_is_for_somebody() -> None:
    open_to_all = {door.path for door in DOORS if door.method == "POST" and door.who >= ANYONE}
    assert open_to_all == {"/enter", "/leave"}


@pytest.mark.parametrize("door", [d for d in DOORS if d.method == "POST"], ids=lambda d: d.path)
def test_a_forged_form_changes_nothing(desk_browser: TestClient, house: House, door: Door) -> None:
    before = house.stamp()
    good = token(desk_browser)
    path = address(door)
    assert desk_browser.post(path, data={"x": "1"}).status_code == 403
    assert desk_browser.post(path, data={"token": "0" * 64}).status_code == 403
    assert (
        desk_browser.post(path, data={"token": good}, headers={"Origin": "http://else.example"}).status_code
        == 403
    )
    assert house.stamp() == before


def test_a_code_brings_its_job_and_no_other_and_can_be_ended(at_pond: AtPond, house: House) -> None:
    code = house.keys.new_code("finish-a", now=house.now())
    phone = at_pond()
    assert send(phone, "/enter", code=code.lower()).status_code == 303
    assert "finish-a" in phone.get("/").text
    assert phone.get("/office").status_code == 403
    assert house.keys.end_codes("finish-a") == 1
    late = at_pond()
    assert send(late, "/enter", code=code).status_code == 422


def test_a_code_of_yesterday_opens_nothing(house: House) -> None:
    code = house.keys.new_code("scales", now=0.0)
    assert house.keys.use_code(code, now=13 * 3600.0) is not None
    assert house.keys.use_code(code, now=15 * 3600.0) is None


def test_a_ticket_written_by_somebody_else_is_a_visitors(at_pond: AtPond) -> None:
    phone = at_pond()
    forged = Keys().seal(Ticket(id="x", job=ORGANISER))
    phone.cookies.set("skimwright", forged)
    assert phone.get("/office").status_code == 403


def test_the_password_makes_an_organiser_and_a_wrong_one_does_not(at_pond: AtPond, house: House) -> None:
    house.keys.set_password("three-wet-ducks")
    assert "three-wet-ducks" not in house.keys.password_hash
    assert house.keys.password_hash.startswith("$argon2id$")  # RFC 9106
    phone = at_pond()
    assert send(phone, "/enter", code="three-wet-duck").status_code == 422
    assert send(phone, "/enter", code="three-wet-ducks").status_code == 303
    assert phone.get("/office").status_code == 200


def test_guessing_codes_is_slow(at_pond: AtPond) -> None:
    phone = at_pond()
    answers = [send(phone, "/enter", code=f"GUESS{n:03d}").text for n in range(12)]
    assert "opens nothing" in answers[0]
    assert "too many" in answers[-1].lower()


def test_another_address_is_not_answered(desk_browser: TestClient) -> None:
    """Against a page elsewhere that gives its own name this computer's address."""
    assert desk_browser.get("/", headers={"Host": "rebound.example"}).status_code == 421


def test_what_is_too_large_is_refused_before_it_is_read(desk_browser: TestClient) -> None:
    key = token(desk_browser)
    huge = "x" * (7 * 1024 * 1024)
    assert desk_browser.post("/enter", data={"token": key, "code": huge}).status_code == 413
    many = {"token": key} | {f"f{n}": "1" for n in range(500)}
    assert desk_browser.post("/enter", data=many).status_code == 400


@pytest.mark.parametrize("body", [b"\xff\xfe\x00", b"token=%ZZ", b"", b"--x\r\nnot a form"])
def test_a_spoilt_body_is_refused_and_nothing_breaks(desk_browser: TestClient, body: bytes) -> None:
    for kind in ("application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain", ""):
        answer = desk_browser.post("/enter", content=body, headers={"Content-Type": kind})
        assert 400 <= answer.status_code < 500


def test_every_page_says_what_may_run_on_it(desk_browser: TestClient) -> None:
    for door in DOORS:
        if door.method == "GET" and "{" not in door.path:
            answer = desk_browser.get(door.path)
            policy = answer.headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "unsafe" not in policy
            assert not re.search(
                r"<script(?![^>]*\bsrc=)|\son\w+=|javascript:|<style|\sstyle=", answer.text
            ), door.path


def test_a_name_with_a_script_in_it_is_shown_as_text(desk_browser: TestClient, season) -> None:
    boats = season / "boats.csv"
    boats.write_text(boats.read_text("utf8").replace("Gravel", "<script>alert(1)</script>"), "utf8")
    for path in ("/", "/boats/7"):
        text = desk_browser.get(path).text
        assert "<script>alert" not in text
        assert "&lt;script&gt;" in text


def test_the_diary_says_who_gave_which_code(desk_browser: TestClient) -> None:
    send(desk_browser, "/office/phones", job="scales")
    assert "gave a code" in desk_browser.get("/office/diary").text

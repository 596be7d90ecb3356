"""Phones that have a job: the organiser sees them and can end one that is lost; a restart keeps the others in."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send, token

from skimwright.base import StoreError
from skimwright.web import COOKIE, House, Keys
from skimwright.web.safe import Pace


def come_in(phone: TestClient, house: House, job: str) -> None:
    code = house.keys.new_code(job, now=house.now())
    assert send(phone, "/enter", code=code).status_code == 303


def listed(organiser: TestClient) -> list[str]:
    """The tickets that can be ended, as the page's forms name them."""
    return re.findall(r'name="phone" value="(\w+)"', organiser.get("/office/phones").text)


def test_a_lost_phone_is_ended_at_once_and_the_other_goes_on(at_pond: AtPond, house: House) -> None:
    organiser, kept, lost = at_pond("organiser"), at_pond(), at_pond()
    come_in(kept, house, "pit")
    come_in(lost, house, "finish-a")
    key = token(lost)
    page = organiser.get("/office/phones").text
    assert "finish-a" in page[page.index("Phones that have a job") :]
    ended, other = listed(organiser)  # the latest first
    assert send(organiser, "/office/phones/lost", phone=ended).status_code == 303
    assert listed(organiser) == [other]
    assert lost.get("/race/finish").status_code == 403
    late = lost.post("/hold", data={"token": key, "reason": "water"}, headers={"X-Queue": "1"})
    assert late.status_code == 403
    assert "wrong" in late.json()
    assert kept.get("/race/pit").status_code == 200
    assert send(organiser, "/office/phones/lost", phone=ended).status_code == 422
    assert "ended a phone" in organiser.get("/office/diary").text


def test_a_job_that_was_put_down_is_not_taken_up_again_with_its_old_ticket(
    at_pond: AtPond, house: House
) -> None:
    phone = at_pond()
    come_in(phone, house, "scorer")
    old = phone.cookies[COOKIE]
    assert send(phone, "/leave").status_code == 303
    phone.cookies.set(COOKIE, old)
    assert phone.get("/race/scorer").status_code == 403


def test_the_end_of_a_phone_and_the_others_jobs_outlive_a_restart(tmp_path: Path) -> None:
    keys = Keys.at(tmp_path / ".a.keys")
    tickets = [keys.use_code(keys.new_code(job, now=0.0), now=0.0) for job in ("pit", "crew")]
    sealed = []
    for ticket in tickets:
        assert ticket is not None
        keys.came_in(ticket, now=1.0)
        sealed.append(keys.seal(ticket))
    assert tickets[0] is not None
    keys.end_phone(tickets[0].id)
    again = Keys.at(tmp_path / ".a.keys")
    assert again.unseal(sealed[0], now=2.0) is None
    assert again.unseal(sealed[1], now=2.0) == tickets[1]
    assert [phone["job"] for _, phone in again.with_jobs(now=2.0)] == ["crew"]
    assert again.with_jobs(now=1e6) == []


@pytest.mark.parametrize("text", ["", "{", "[]", '{"secret": 1}', "null"])
def test_a_spoilt_file_of_codes_is_said_in_a_sentence(tmp_path: Path, text: str) -> None:
    path = tmp_path / ".a.keys"
    path.write_text(text, "utf8")
    with pytest.raises(StoreError, match=r"\.a\.keys: the codes of the phones cannot be read"):
        Keys.at(path)


def test_codes_made_at_the_same_moment_are_all_kept(tmp_path: Path) -> None:
    keys = Keys.at(tmp_path / ".a.keys")
    with ThreadPoolExecutor(8) as pool:
        codes = list(pool.map(lambda n: keys.new_code("crew", now=float(n % 2)), range(80)))
    again = Keys.at(tmp_path / ".a.keys")
    assert all(again.use_code(code, now=2.0) for code in codes)


def test_a_crew_whose_code_names_a_boat_writes_about_that_one(at_pond: AtPond, house: House) -> None:
    organiser, phone = at_pond("organiser"), at_pond()
    assert send(organiser, "/office/phones", job="crew", boat="999").status_code == 422
    assert send(organiser, "/office/phones", job="crew", boat="x").status_code == 422
    page = send(organiser, "/office/phones", job="crew", boat="24").text
    code = re.search(r'class="big">([A-Z0-9]{8})<', page)
    assert code is not None
    send(phone, "/enter", code=code[1])
    assert phone.get("/", follow_redirects=False).headers["Location"] == "/water/boats/24"
    assert phone.get("/water/boats/7").status_code == 200  # anybody with a job may read
    before = house.stamp()
    for path in ("guess", "run", "undo"):
        assert send(phone, f"/water/boats/7/{path}", guess="wide").status_code == 403
    assert send(phone, "/classroom/wall/7", said="done", step="1").status_code == 403
    assert house.stamp() == before
    assert send(phone, "/water/boats/24/guess", guess="skip").status_code == 303
    assert send(phone, "/hold", reason="water").status_code == 303


def test_a_visitor_who_asks_without_end_is_slowed_and_the_others_are_not(
    at_pond: AtPond, house: House
) -> None:
    greedy, calm, pit = at_pond(), at_pond(), at_pond("pit")
    house.looks = Pace(most=5, seconds=60.0)
    assert [greedy.get("/enter").status_code for _ in range(7)] == [200] * 5 + [429] * 2
    assert greedy.get("/see").status_code == 200
    assert calm.get("/enter").status_code == 200
    assert all(pit.get("/race/pit").status_code == 200 for _ in range(9))

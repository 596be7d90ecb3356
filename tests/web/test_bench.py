"""The build card: a measurement a screen, a blank never a nought, an inspector's own verdict kept beside the card's."""

from __future__ import annotations

import time

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send, token

from skimwright import desk
from skimwright.web import House

BOAT = "/bench/boats/8"
FIN, TWIST, LENGTH = 9, 10, 1


def cells(house: House) -> dict[str, str]:
    rows = house.rows("boats.csv")
    return dict(next(r.cells for r in rows.rows if r.cells["boat"] == "08"))


def test_the_card_has_twelve_steps_each_with_its_own_column(house: House) -> None:
    season, entry = house.season(), house.boat(8)
    steps = desk.card_steps(season.kits[entry.kit], season.groups[entry.group])
    assert [step.number for step in steps] == list(range(1, 13))
    assert len({step.column for step in steps}) == 12
    for kit in season.kits.values():
        for step in steps:
            picture = desk.card_picture(kit, step)
            if step.faces[0]:
                assert {"A", "B"} <= {m.text for m in picture.marks if hasattr(m, "text")}, step.key


def test_a_measurement_is_written_with_a_line_in_the_diary(at_pond: AtPond, house: House) -> None:
    phone = at_pond("inspector")
    assert send(phone, f"{BOAT}/{FIN}", value="2.5").status_code == 303
    assert cells(house)["fin_yaw_deg"] == "2.5"
    last = house.rows("diary.csv").rows[-1].cells
    assert (last["thing"], last["after"], last["reason"]) == ("boat 08 fin_yaw_deg", "2.5", "build card")
    send(phone, f"{BOAT}/{FIN}", same="yes")
    assert cells(house)["fin_yaw_deg"] == "0"


@pytest.mark.parametrize(
    ("step", "typed", "says"),
    [
        (FIN, {"value": ""}, "never a nought"),
        (FIN, {"value": "200"}, "allowed"),
        (FIN, {"value": "two"}, "two"),
        (TWIST, {"front_left": "30", "front_right": "30", "rear_left": "2"}, "cannot be told"),
    ],
)
def test_what_cannot_be_is_not_written(
    at_pond: AtPond, house: House, step: int, typed: dict[str, str], says: str
) -> None:
    before = cells(house)
    page = send(at_pond("inspector"), f"{BOAT}/{step}", **typed)
    assert page.status_code == 422
    assert says in page.text
    assert cells(house) == before


def test_four_heights_become_a_twist_and_say_how_sure(at_pond: AtPond, house: House) -> None:
    phone = at_pond("inspector")
    send(phone, f"{BOAT}/{TWIST}", front_left="34", front_right="34", rear_left="4", rear_right="0")
    told = phone.get(f"{BOAT}/{TWIST}?done=yes").text
    assert float(cells(house)["floor_twist_deg"]) > 0
    assert "+-" in told


def check(phone: TestClient) -> str:
    key = token(phone)
    work = phone.post(f"{BOAT}/check", data={"token": key}, follow_redirects=False).headers["location"]
    for _ in range(600):
        if phone.get(work, follow_redirects=False).status_code == 303:
            break
        time.sleep(0.1)
    return phone.get(BOAT).text


def test_the_verdict_has_reasons_and_an_inspector_may_decide_otherwise(at_pond: AtPond, house: House) -> None:
    phone = at_pond("inspector")
    assert (
        "Work out its verdict"
        in send(phone, f"{BOAT}/override", verdict="pass", who="inspector", reason="x").text
    )
    send(phone, f"{BOAT}/{FIN}", value="4")
    page = check(phone)
    assert "<b>Mend</b>" in page
    assert "times what is allowed" in page
    assert send(phone, f"{BOAT}/override", verdict="pass", who="inspector", reason="").status_code == 422
    assert (
        send(phone, f"{BOAT}/override", verdict="pass", who="inspector", reason="measured anew").status_code
        == 303
    )
    page = phone.get(BOAT).text
    assert "<b>Pass</b>" in page
    assert "measured anew" in page
    send(phone, f"{BOAT}/override", verdict=desk.WITHDRAWN, who="inspector", reason="was wrong")
    assert "<b>Mend</b>" in phone.get(BOAT).text


def test_one_sentence_says_what_a_crooked_blade_does(at_pond: AtPond) -> None:
    phone = at_pond("inspector")
    send(phone, f"{BOAT}/{FIN}", value="2.5")
    text = phone.get(f"{BOAT}/{FIN}/effect", headers={"HX-Request": "true"}).text
    assert "starboard" in text
    assert "at the gate" in text
    assert phone.get(f"{BOAT}/13").status_code == 404

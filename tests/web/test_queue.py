"""What waited in a phone is answered in a word, dated by how long it waited, and counted once."""

from __future__ import annotations

from tests.web.conftest import AtPond, token

from skimwright import desk
from skimwright.web import House

QUEUE = {"X-Queue": "1"}


def test_the_queue_is_told_where_to_go_on_and_what_was_not_taken(at_pond: AtPond) -> None:
    pit = at_pond("pit")
    key = {"X-Form-Token": token(pit)}
    good = pit.post("/hold", data={"key": "k1", "reason": "water"}, headers=QUEUE | key)
    assert good.status_code == 200
    assert good.json()["key"] == "k1"
    assert good.json()["to"] == "/hold"
    bad = pit.post("/hold", data={"key": "k2", "reason": "bored"}, headers=QUEUE | key)
    assert bad.status_code == 422
    assert "no such reason" in bad.json()["wrong"].lower()


def test_a_role_and_a_token_hold_for_each_entry(at_pond: AtPond) -> None:
    pit = at_pond("pit")
    assert pit.post("/hold/clear", data={"key": "k"}, headers=QUEUE).status_code == 403
    late = pit.post("/hold", data={"key": "k", "reason": "water", "token": "0" * 64}, headers=QUEUE)
    assert late.status_code == 403
    assert "Nothing was changed" in late.json()["wrong"]


def test_a_run_whose_key_is_in_the_log_is_counted_once(house: House) -> None:
    season = house.season()
    log = desk.read_runs(house.rows("runs.csv"), season)
    cells = {"boat": "24", "guess": "skip", "distance_m": "48", "key": "abc"}
    first = desk.log_run(cells, log, season, now="2027-05-29T10:00:00", phone="crew")
    assert first.row is not None
    assert first.row["key"] == "abc"
    again = desk.log_run(
        cells | {"distance_m": "51"}, first.log, season, now="2027-05-29T10:09:00", phone="crew"
    )
    assert again.row is None
    assert again.event == first.event
    house.add("runs.csv", desk.RUN_COLUMNS, [first.row], topic="runs")
    read = desk.read_runs(house.rows("runs.csv"), season)
    assert desk.log_run(cells, read, season, now="2027-05-29T11:00:00", phone="crew").row is None


def test_a_part_made_anew_does_not_take_the_sentence_away(at_pond: AtPond) -> None:
    pit = at_pond("pit")
    pit.post("/hold", data={"key": "k", "reason": "water", "token": token(pit)}, headers=QUEUE)
    assert "Every phone shows it" not in pit.get("/hold", headers={"HX-Request": "true"}).text
    assert "Every phone shows it" in pit.get("/hold").text
    assert "Every phone shows it" not in pit.get("/hold").text

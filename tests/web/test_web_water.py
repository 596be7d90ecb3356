"""The trial log: the guess first, a run in few fields, counted once, taken back without a trace lost."""

from __future__ import annotations

import datetime

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond, send, token

from skimwright import desk
from skimwright.web import House

BOAT = "/water/boats/24"


def log(house: House) -> desk.RunLog:
    return desk.read_runs(house.rows("runs.csv"), house.season())


def runs(house: House) -> list[tuple[int, float | None]]:
    return [(run.run, run.result.distance) for run in log(house).book.of(24)]


def queued(phone: TestClient, path: str, **fields: str):
    return phone.post(path, data=fields, headers={"X-Queue": "1", "X-Form-Token": token(phone)})


def test_a_run_waits_for_the_guess_and_takes_its_number(at_pond: AtPond, house: House) -> None:
    crew = at_pond("crew")
    early = send(crew, f"{BOAT}/run", distance_m="48", ending="stopped")
    assert early.status_code == 422
    assert "not guessed yet" in early.text
    assert send(crew, f"{BOAT}/guess", guess="ran wide").status_code == 303
    assert "locked" in send(crew, f"{BOAT}/guess", guess="through the gate").text
    assert "ran wide" in crew.get(BOAT).text
    assert (
        send(crew, f"{BOAT}/run", tens="40", distance_m="48", side="R1", ending="stopped").status_code == 303
    )
    last = log(house).book.of(24)[-1]
    assert (last.run, last.guess) == (4, "ran wide")
    assert (last.result.distance, last.result.drift, last.result.ending) == (48.0, 1.0, "through the gate")


@pytest.mark.parametrize(
    ("distance", "side", "ending", "drift", "said"),
    [
        ("48", "R3", "stopped", 4.0, "ran wide"),
        ("48", "0", "stopped", 0.0, "through the gate"),
        ("20", "R3", "stopped", None, "stopped short"),
        ("48", "", "stopped", None, None),
        ("100 ft", "L1", "hooked", -1.0, "hooked"),
        ("", "", "sank", None, "swamped"),
    ],
)
def test_taps_become_what_is_written(
    house: House, distance: str, side: str, ending: str, drift: float | None, said: str | None
) -> None:
    entry = house.boat(24)
    cells = desk.tapped_cells(
        house.season().groups[entry.group], distance=distance, side=side, ending=ending, time=""
    )
    assert cells["ending"] == (said or "")
    assert cells["drift_m"] == ("" if drift is None else f"{drift:g}")


def test_nothing_tapped_and_a_slip_are_asked_about_and_what_was_tapped_stays(
    at_pond: AtPond, house: House
) -> None:
    crew = at_pond("crew")
    send(crew, f"{BOAT}/guess", guess="skip")
    assert "nothing was tapped" in send(crew, f"{BOAT}/run").text.lower()
    slip = send(crew, f"{BOAT}/run", distance_m="48", time="50.5", ending="stopped")
    assert slip.status_code == 422
    assert "5.05" in slip.text
    assert 'value="48"' in slip.text
    assert "no such side" in send(crew, f"{BOAT}/run", side="R9").text.lower()
    assert len(runs(house)) == 3


def test_undo_is_a_row_more_and_its_number_is_free_again(at_pond: AtPond, house: House) -> None:
    crew = at_pond("crew")
    send(crew, f"{BOAT}/guess", guess="skip")
    send(crew, f"{BOAT}/run", distance_m="4.8", ending="stopped", key="k1")
    before = len(house.rows("runs.csv").rows)
    assert (4, 4.8) in runs(house)
    assert send(crew, f"{BOAT}/undo", of="k1").status_code == 303
    assert len(house.rows("runs.csv").rows) == before + 1
    assert len(runs(house)) == 3
    assert send(crew, f"{BOAT}/undo", of="k1").status_code == 303  # sent again: no more than once
    assert len(house.rows("runs.csv").rows) == before + 1
    send(crew, f"{BOAT}/run", distance_m="48", ending="stopped")
    assert (4, 48.0) in runs(house)
    assert send(crew, f"{BOAT}/undo", of="none such").status_code == 422


def test_a_run_that_was_corrected_is_not_taken_back(at_pond: AtPond, house: House) -> None:
    crew = at_pond("crew")
    send(crew, f"{BOAT}/guess", guess="skip")
    send(crew, f"{BOAT}/run", distance_m="44", ending="stopped", key="k1")
    cells = {"boat": "24", "run": "4", "entry": "correction", "distance_m": "45", "reason": "tape read again"}
    row = desk.log_run(cells, log(house), house.season(), now="2027-05-29T11:00:00", phone="desk").row
    house.add("runs.csv", desk.RUN_COLUMNS, [row], topic="runs")
    assert "corrected since" in send(crew, f"{BOAT}/undo", of="k1").text


def test_two_phones_without_a_line_lose_and_double_nothing_though_both_log_one_boat(
    at_pond: AtPond, house: House
) -> None:
    one, other = at_pond("crew", name="crew A"), at_pond("crew", name="crew B")
    for n in range(6):
        for phone, far in ((one, 40 + n), (other, 50 + n)):
            key = f"{far}"
            waited = {"waited_s": str(600 - n)}
            sent = [
                queued(phone, f"{BOAT}/guess", guess="skip", key=f"g{key}", **waited),
                queued(
                    phone, f"{BOAT}/run", distance_m=str(far), guess_key=f"g{key}", key=f"r{key}", **waited
                ),
                queued(
                    phone, f"{BOAT}/run", distance_m=str(far), guess_key=f"g{key}", key=f"r{key}", **waited
                ),
            ]
            assert [answer.status_code for answer in sent] == [200, 200, 200], [a.text for a in sent]
    assert [d for _, d in runs(house)[3:]] == [40, 50, 41, 51, 42, 52, 43, 53, 44, 54, 45, 55]
    assert [n for n, _ in runs(house)] == list(range(1, 16))


def test_the_hour_is_when_it_was_tapped_whatever_the_phones_clock_says(at_pond: AtPond, house: House) -> None:
    crew = at_pond("crew")
    queued(crew, f"{BOAT}/guess", guess="skip", key="g")
    queued(crew, f"{BOAT}/run", distance_m="41", guess_key="g", key="a", waited_s="3600")
    queued(crew, f"{BOAT}/guess", guess="skip", key="h")
    queued(crew, f"{BOAT}/run", distance_m="42", guess_key="h", key="b", waited_s="60")
    early, late = (run.time for run in log(house).book.of(24)[-2:])
    apart = datetime.datetime.fromisoformat(late) - datetime.datetime.fromisoformat(early)
    assert 3530 <= apart.total_seconds() <= 3550


def test_a_letter_no_list_can_keep_is_refused_before_it_spoils_the_log(at_pond: AtPond, house: House) -> None:
    crew = at_pond("crew")
    answer = send(crew, f"{BOAT}/guess", guess="wide\x00")
    assert answer.status_code == 422
    assert "cannot be written" in answer.text
    assert len(runs(house)) == 3

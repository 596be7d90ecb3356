"""Two hundred acts from two phones on a bad line: none is lost, none is doubled, each phone's in its order."""

from __future__ import annotations

import random
import threading

from starlette.testclient import TestClient
from tests.web.conftest import AtPond, token

from skimwright.web import House
from skimwright.web.day import race_day
from skimwright.web.safe import Pace

ACTS = 100  # of each phone


def deliver(phone: TestClient, name: str, seed: int) -> None:
    """Send each act until an answer came through; some go twice, some answers are lost on the way back."""
    luck = random.Random(seed)
    key = {"X-Queue": "1", "X-Form-Token": token(phone, "/hold")}
    for act in range(ACTS):
        fields = {
            "boat": str(1 + act % 24),
            "mass_g": str(100 + act),
            "key": f"{name}-{act}",
            "waited_s": "3",
        }
        has_answer = False
        while not has_answer:
            fate = luck.random()
            if fate < 0.2:
                continue  # it never arrived
            for _ in range(2 if fate > 0.8 else 1):
                answer = phone.post("/race/pit/weigh", data=fields, headers=key)
                assert answer.status_code == 200, answer.text
            has_answer = luck.random() > 0.2  # else its answer was lost, and the phone sends once more


def test_two_hundred_acts_with_drops_and_doubles(at_pond: AtPond, house: House) -> None:
    house.pace = Pace(most=100_000, seconds=60.0)  # more in a minute than a person can send
    phones = {name: at_pond("pit", name=name) for name in ("pit 1", "pit 2")}
    senders = [
        threading.Thread(target=deliver, args=(phone, name, n))
        for n, (name, phone) in enumerate(phones.items())
    ]
    for sender in senders:
        sender.start()
    for sender in senders:
        sender.join(120)
    events = [event for event in race_day(house).log if event.kind == "weighed" and event.phone in phones]
    for name in phones:
        theirs = [event for event in events if event.phone == name]
        assert [event.key for event in theirs] == [f"{name}-{act}" for act in range(ACTS)]
        assert [event.said for event in theirs] == [f"{100 + act} g" for act in range(ACTS)]
    assert len(events) == 2 * ACTS

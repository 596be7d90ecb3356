"""What one phone may take of the house, and what is left when work comes to nothing."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import send, token

from skimwright.base import ConflictError, InputError
from skimwright.web import House, site
from skimwright.web.live import MOST_EACH, MOST_LISTENERS, Hub
from skimwright.web.work import MOST_EACH as MOST_WORKS
from skimwright.web.work import Bench, Work


def wait_for(work: Work) -> None:
    gate = threading.Event()
    while not work.is_over:
        gate.wait(0.01)


def test_one_phone_does_not_fill_the_queue_of_work() -> None:
    bench, gate = Bench(), threading.Event()
    try:
        for _ in range(MOST_WORKS):
            bench.begin("long", lambda work: gate.wait(20), owner="crew")
        with pytest.raises(ConflictError, match="this phone has much work waiting"):
            bench.begin("long", lambda work: None, owner="crew")
        last = bench.begin("short", lambda work: None, owner="organiser")
        gate.set()
        wait_for(last)
        assert bench.begin("again", lambda work: None, owner="crew")
    finally:
        gate.set()
        bench.close()


def test_the_folder_of_work_that_comes_to_nothing_is_gone(tmp_path: Path) -> None:
    bench = Bench()

    def fails(work: Work) -> None:
        raise InputError(what="no", do="No.")

    def stops(work: Work) -> None:
        work.stop()

    try:
        for name, do, stays in (("a", fails, False), ("b", stops, False), ("c", lambda work: None, True)):
            folder = tmp_path / name
            folder.mkdir()
            wait_for(bench.begin(name, do, owner="x", folder=folder))
            assert folder.is_dir() == stays, name
    finally:
        bench.close()


def test_what_was_sent_up_for_a_command_is_not_kept(desk_browser: TestClient, house: House) -> None:
    for text in (b"not a table", b"x = 1\n"):
        key = token(desk_browser)
        answer = desk_browser.post(
            "/office/commands/thrust",
            data={"token": key},
            files={"file": ("a.toml", text)},
            follow_redirects=False,
        )
        if answer.status_code == 303:
            wait_for(house.bench.find(answer.headers["Location"].rsplit("/", 1)[1]))
    assert not [path for path in house.scratch.rglob("*") if path.is_file()]


def test_a_word_of_a_command_is_no_switch_of_it(desk_browser: TestClient) -> None:
    answer = send(desk_browser, "/office/commands/shape", kit="--season=elsewhere")
    assert answer.status_code == 422
    assert "no path of this computer" in answer.text


def test_one_address_does_not_take_every_line_and_staff_always_gets_one() -> None:
    async def fill() -> None:
        hub = Hub()
        streams = []

        async def open_one(address: str) -> None:
            stream = hub.listen(address)
            await anext(stream)
            streams.append(stream)

        for _ in range(MOST_EACH):
            assert hub.has_room("192.0.2.9", for_staff=False)
            await open_one("192.0.2.9")
        assert not hub.has_room("192.0.2.9", for_staff=False)
        assert hub.has_room("192.0.2.10", for_staff=False)
        for n in range(MOST_LISTENERS - MOST_EACH):
            await open_one(f"198.51.100.{n % 250}")
        assert not hub.has_room("203.0.113.1", for_staff=False)
        assert hub.has_room("203.0.113.1", for_staff=True)
        for stream in streams:
            await stream.aclose()
        assert hub.listeners == 0
        assert hub.has_room("192.0.2.9", for_staff=False)

    asyncio.run(fill())


def test_closing_does_not_wait_for_work_that_hears_nothing() -> None:
    bench, gate, begun = Bench(), threading.Event(), threading.Event()

    def deaf(work: Work) -> None:
        begun.set()
        gate.wait(60)

    work = bench.begin("deaf", deaf, owner="x")
    assert begun.wait(20)
    bench.close()
    assert work.stopped()
    assert not work.is_over  # left behind, by a thread that does not hold the exit up
    assert all(each.daemon for each in threading.enumerate() if each.name == "work")
    gate.set()


def test_the_watch_goes_on_when_the_season_could_not_be_looked_at(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks = iter([(("a", 1, 1),), OSError(13, "no"), OSError(13, "no"), (("a", 1, 1),), (("a", 2, 2),)])
    told: list[str] = []

    def stamp() -> object:
        look = next(looks, None)
        if look is None:
            raise KeyError  # enough seen
        if isinstance(look, OSError):
            raise look
        return look

    monkeypatch.setattr(site, "LOOK_EVERY", 0.0)
    monkeypatch.setattr(house, "stamp", stamp)
    monkeypatch.setattr(house.hub, "tell", told.append)
    with pytest.raises(KeyError):
        asyncio.run(site._watch(house))
    assert told == ["season"] * 3  # gone, back, changed


def test_a_body_that_grows_without_saying_so_is_cut_off(desk_browser: TestClient) -> None:
    answer = desk_browser.post(
        "/enter",
        content=(b"x" * 65536 for _ in range(120)),
        headers={"Content-Type": "application/x-www-form-urlencoded"},
    )
    assert answer.status_code == 413


def test_work_for_which_there_is_no_room_says_so() -> None:
    bench = Bench()

    def full(work: Work) -> None:
        raise OSError(28, "No space left on device")

    try:
        work = bench.begin("full", full, owner="x")
        wait_for(work)
        assert work.error == "The computer could not do it: no space left on device."
    finally:
        bench.close()


def test_a_group_with_a_path_for_a_name_gets_its_worksheets(desk_browser: TestClient, house: House) -> None:
    changes = (
        ("season.toml", "[groups.Cress]", '[groups."../Cress"]'),
        ("boats.csv", ",Cress,", ",../Cress,"),
    )
    for name, was, now in changes:
        path = house.path / name
        path.write_text(path.read_text("utf8").replace(was, now), "utf8")
    answer = send(desk_browser, "/classroom/sheets", group="../Cress")
    work = house.bench.find(answer.headers["Location"].rsplit("/", 1)[1])
    wait_for(work)
    assert not work.error
    made = house.made(work.id)
    assert made is not None
    assert made.files == ("keys--cress.pdf", "worksheets--cress.pdf")

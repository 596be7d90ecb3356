from __future__ import annotations

import datetime
import re
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from skimwright import app
from skimwright.web import COOKIE, House, Keys, Ticket, workbench

DEMO = Path(app.__file__).parent / "demo_season"
MORNING = datetime.datetime.fromisoformat("2027-05-22T10:50:00+01:00")  # heat 5 of the demonstration is next
FAR = 4e12  # a ticket that does not end in a test [s]
AtPond = Callable[..., TestClient]


@pytest.fixture
def season(tmp_path: Path) -> Path:
    """A copy of the demonstration season that a test may spoil."""
    return Path(shutil.copytree(DEMO, tmp_path / "season"))


@pytest.fixture
def house(season: Path) -> Iterator[House]:
    """The season, shown to this computer only."""
    made = House(files=app.Disk(), path=season, keys=Keys(), address="http://127.0.0.1:8080")
    yield made
    made.close()


@pytest.fixture
def desk_browser(house: House) -> Iterator[TestClient]:
    """The organiser at the computer itself."""
    with TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as client:
        yield client


@pytest.fixture
def at_pond(house: House) -> Iterator[AtPond]:
    """Phones on the network: ``at_pond("finish-a")`` is one with that job."""
    house.at_pond = True
    site = workbench(house)
    opened: list[TestClient] = []

    def phone(job: str = "visitor", *, name: str = "") -> TestClient:
        client = TestClient(site, base_url="http://192.0.2.7", client=(f"192.0.2.{20 + len(opened)}", 50000))
        if job != "visitor":
            ticket = Ticket(id=f"phone{len(opened)}", job=job, name=name or job, until=FAR)
            client.cookies.set(COOKIE, house.keys.seal(ticket))
        opened.append(client.__enter__())
        return client

    yield phone
    for client in opened:
        client.__exit__(None, None, None)


def token(client: TestClient, path: str = "/") -> str:
    """The token of the forms on a page, as the browser would send it."""
    text = client.get(path).text
    start = text.index('"X-Form-Token":"') + len('"X-Form-Token":"')
    return text[start : text.index('"', start)]


def send(client: TestClient, path: str, *, page: str = "/", **fields: str):
    """Fill a form in and send it."""
    return client.post(path, data={"token": token(client, page), **fields}, follow_redirects=False)


def only_first_heats(season: Path, raced: int) -> None:
    """The demonstration's log as it stood after so many heats."""
    results = season / "results.csv"
    head, *rows = results.read_text("utf8").splitlines()
    kept = [row for row in rows if (found := re.match(r"([^,]*,){5}(\d+),", row)) and int(found[2]) <= raced]
    results.write_text("\n".join([head, *kept]) + "\n", "utf8")


def on_the_day(house: House) -> None:
    """Let the clock of this house begin on the morning of the regatta, whatever the time is here."""
    began = time.monotonic()

    def now() -> str:
        gone = datetime.timedelta(seconds=time.monotonic() - began)
        return (MORNING + gone).isoformat(timespec="seconds")

    house.files.now = now  # type: ignore[method-assign]

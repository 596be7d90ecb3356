"""The workbench in a real browser.  Skipped, in so many words, where there is no Chromium."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from skimwright import app
from skimwright.web import COOKIE, House, Keys, Ticket, workbench

DEMO = Path(app.__file__).parent / "demo_season"
CHROMIUM = shutil.which("chromium")
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-first-run", "--disable-quic",
]  # fmt: skip
AXE = (Path(__file__).parent / "axe.min.js").read_text("utf8")  # axe-core 4.14.1, MPL-2.0
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SCREENS = Path(__file__).parents[2] / ".screens"  # what the pages looked like, for people to look at
PHONE = {"width": 360, "height": 740}
Snap = Callable[[Page, str], None]


class Site:
    """A house that is being served."""

    def __init__(self, house: House) -> None:
        self.house = house
        place = socket.socket()
        place.bind(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{place.getsockname()[1]}"
        config = uvicorn.Config(workbench(house), log_level="warning", timeout_graceful_shutdown=1)
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [place]}, daemon=True)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)

    def close(self) -> None:
        self._server.should_exit = True
        self._thread.join(5)


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One browser a file of tests: while it lives its own event loop runs, and no other test may begin one."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "season"))


@pytest.fixture
def site(season: Path) -> Iterator[Site]:
    made = Site(House(files=app.Disk(), path=season, keys=Keys(), address="http://192.0.2.7:8080"))
    yield made
    made.close()


Opened = Callable[..., BrowserContext]


@pytest.fixture
def opened(chromium: Browser, site: Site) -> Iterator[Opened]:
    """``opened()`` is the organiser's browser; ``opened("finish-a", phone=True)`` a phone with that job."""
    contexts: list[BrowserContext] = []

    def open_one(job: str = "", *, phone: bool = False, script: bool = True) -> BrowserContext:
        context = chromium.new_context(
            viewport=PHONE if phone else {"width": 1280, "height": 900}, has_touch=phone,
            java_script_enabled=script, base_url=site.url,
        )  # fmt: skip
        context.set_default_timeout(20_000)
        if job:
            sealed = site.house.keys.seal(Ticket(id=f"phone{len(contexts)}", job=job, name=job, until=4e12))
            context.add_cookies([{"name": COOKIE, "value": sealed, "url": site.url}])
        contexts.append(context)
        return context

    yield open_one
    for context in contexts:
        context.close()


@pytest.fixture
def snap() -> Snap:
    """Keeps what a page looks like, for people."""

    def take(page: Page, name: str) -> None:
        SCREENS.mkdir(exist_ok=True)
        page.screenshot(path=SCREENS / f"{name}.png", full_page=True)

    return take


def faults(page: Page) -> list[str]:
    """What the accessibility rules find on the page as it stands."""
    page.evaluate(AXE)  # not as a script of the page: its policy forbids that
    found = page.evaluate("rules => axe.run({runOnly: rules})", RULES)
    return [f"{v['id']}: {v['help']} at {n['target']}" for v in found["violations"] for n in v["nodes"]]


def too_wide(page: Page) -> int:
    """How far the page can be pushed sideways.  [CSS px]"""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def small_targets(page: Page, least: int = 44) -> list[str]:
    """What can be pressed and is smaller than a thumb; links inside a sentence may be (WCAG 2.5.8, inline)."""
    return list(page.evaluate(
        """least => [...document.querySelectorAll('button, input:not([type=hidden]), select, textarea, nav a, .button')]
        .filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()])
        .filter(([e]) => !['checkbox', 'radio'].includes(e.type))
        .filter(([e, box]) => box.height < least - 0.5 || box.width < least - 0.5)
        .map(([e, box]) => `${e.tagName} ${e.textContent || e.name}: ${box.width} x ${box.height}`)""",
        least,
    ))  # fmt: skip

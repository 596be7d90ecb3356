"""Every page that needs no number in its address, and one of each that does: by rule, by width, by thumb."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page
from tests.browser.conftest import DEMO, Opened, Site, Snap, faults, small_targets, too_wide

from skimwright import app
from skimwright.web import House, Keys, all_doors

OTHERS = [
    "/race/heats/5",
    "/boats/7",
    "/boats/20",
    "/office/commands/course",
    "/classroom/boats/7",
    "/classroom/notes/drift",
    "/classroom/experiments/tow",
    "/board/fold-62",
    "/board/fold-62/sheets",
    "/board/fold-62/guide/4",
    "/classroom/wall/7",
    "/boats/7/hunch",
    "/water/boats/24",
    "/scales/boats/12",
    "/scales/boats/12/trim",
    "/bench/boats/8",
    "/bench/boats/8/10",
]
FILES = (".csv", ".zip", ".pdf", ".json")  # fetched, not looked at
PAGES = [
    door.path
    for door in all_doors()
    if door.method == "GET" and "{" not in door.path and not door.path.endswith(FILES)
] + OTHERS


def name(path: str) -> str:
    return path.strip("/").replace("/", "-") or "home"


@dataclass(frozen=True)
class Looked:
    """The same season with and without script; looking changes nothing, so all pages share it."""

    page: Page
    plain: Page


@pytest.fixture(scope="module")
def looked(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Looked]:
    season = Path(shutil.copytree(DEMO, tmp_path_factory.mktemp("every") / "season"))
    site = Site(House(files=app.Disk(), path=season, keys=Keys(), address="http://192.0.2.7:8080"))
    contexts = [
        chromium.new_context(base_url=site.url, java_script_enabled=script) for script in (True, False)
    ]
    yield Looked(*(context.new_page() for context in contexts))
    for context in contexts:
        context.close()
    site.close()


@pytest.mark.parametrize("path", PAGES)
def test_a_page_keeps_the_rules_for_everybody(looked: Looked, snap: Snap, path: str) -> None:
    """WCAG 2.2 AA by axe-core; no sideways scrolling at 360 px; 44 px for a thumb (WCAG 2.5.5); without script too."""
    page, said = looked.page, []

    def hear(message: ConsoleMessage) -> None:
        said.extend([message.text] if message.type == "error" else [])

    page.on("console", hear)
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(path)
    snap(page, f"desk-{name(path)}")
    assert not faults(page)
    page.set_viewport_size({"width": 360, "height": 740})
    snap(page, f"phone-{name(path)}")
    assert too_wide(page) <= 0
    assert not small_targets(page)
    page.remove_listener("console", hear)
    assert not said
    looked.plain.goto(path)
    assert looked.plain.locator("h1").inner_text().strip()


def test_a_forecast_from_the_book_shows_its_progress_and_then_the_boat(opened: Opened, snap: Snap) -> None:
    page = opened().new_page()
    page.goto("/boats/7")
    page.get_by_role("button", name="Work out what it will do").click()
    page.wait_for_url("**/boats/7/forecast", timeout=120_000)
    assert "m" in page.locator("main").inner_text()
    assert not faults(page)
    snap(page, "desk-forecast")
    page.set_viewport_size({"width": 360, "height": 740})
    snap(page, "phone-forecast")
    assert too_wide(page) <= 0

"""Every page that needs no number in its address, and one of each that does: by rule, by width, by thumb."""

from __future__ import annotations

import pytest
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide

from skimwright.web import all_doors

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


@pytest.mark.parametrize("path", PAGES)
def test_a_page_keeps_the_rules_for_everybody(opened: Opened, snap: Snap, path: str) -> None:
    """WCAG 2.2 AA by axe-core; no sideways scrolling at 360 px; 44 px for a thumb (WCAG 2.5.5)."""
    page = opened().new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.goto(path)
    snap(page, f"desk-{name(path)}")
    assert not faults(page)
    page.set_viewport_size({"width": 360, "height": 740})
    snap(page, f"phone-{name(path)}")
    assert too_wide(page) <= 0
    assert not small_targets(page)
    assert not said


@pytest.mark.parametrize("path", PAGES)
def test_a_page_can_be_read_without_script(opened: Opened, path: str) -> None:
    page = opened(script=False).new_page()
    page.goto(path)
    assert page.locator("h1").inner_text().strip()


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

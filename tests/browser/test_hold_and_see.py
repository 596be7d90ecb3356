"""A hold reaches every phone soon; the spectators' page keeps what it had when the line drops."""

from __future__ import annotations

import time
from pathlib import Path

from playwright.sync_api import Page, expect
from tests.browser.conftest import Opened, Site, Snap, faults, small_targets, too_wide
from tests.web.conftest import only_first_heats

SOON = 2000  # a hold must be on every phone by then (capability K6) [ms]


def hold(page: Page, reason: str) -> None:
    page.locator("summary", has_text="HOLD").click()
    page.get_by_role("button", name=reason).click()


def test_a_hold_and_its_clear_reach_a_third_phone_in_time(opened: Opened, snap: Snap) -> None:
    director, pit, start = (opened(job, phone=True).new_page() for job in ("director", "pit", "start"))
    for page in (director, pit, start):
        page.goto("/hold")
    director.get_by_role("button", name="Open the water").click()
    expect(start.locator("#hold-now")).to_contain_text("Go.", timeout=SOON)
    pressed = time.monotonic()
    hold(pit, "Boat in the water")
    expect(start.locator("#hold-now")).to_contain_text("boat in the water", timeout=SOON)
    assert time.monotonic() - pressed < SOON / 1000
    assert not faults(start)
    assert not small_targets(pit, 60)
    assert too_wide(start) <= 0
    snap(start, "phone-hold-start")
    director.goto("/hold")
    director.get_by_role("button", name="Clear this hold").click()
    expect(start.locator("#hold-now")).to_contain_text("Go.", timeout=SOON)


def test_the_spectators_page_is_live_and_keeps_the_last_time(
    opened: Opened, site: Site, season: Path, snap: Snap
) -> None:
    only_first_heats(season, 4)
    context = opened("visitor", phone=True)
    page = context.new_page()
    page.goto("/see")
    expect(page.locator("h2").first).to_contain_text("Next: heat 5")
    assert not faults(page)
    assert too_wide(page) <= 0
    snap(page, "phone-see")
    pit = opened("pit", phone=True).new_page()
    pit.goto("/hold")
    hold(pit, "People too near")
    expect(page.locator("h1")).to_contain_text("Racing waits", timeout=SOON)
    expect(page.locator("main")).to_contain_text("People too near")
    context.set_offline(True)
    page.evaluate("look()")
    expect(page.locator("#line")).to_contain_text("No line. This is how it stood at")
    expect(page.locator("h2").first).to_contain_text("Next: heat 5")
    context.set_offline(False)
    page.evaluate("look()")
    expect(page.locator("#line")).to_be_hidden()


def test_the_spectators_page_is_read_without_script(opened: Opened, season: Path) -> None:
    only_first_heats(season, 4)
    page = opened("visitor", phone=True, script=False).new_page()
    page.goto("/see")
    assert "Next: heat 5" in page.locator("main").inner_text()
    assert page.locator("meta[http-equiv=refresh]").count() == 1


def test_a_hold_without_a_line_says_what_to_do_and_is_sent_when_the_line_is_back(
    opened: Opened, snap: Snap
) -> None:
    context = opened("pit", phone=True)
    pit, start = context.new_page(), opened("start", phone=True).new_page()
    pit.goto("/hold")
    start.goto("/hold")
    context.set_offline(True)
    hold(pit, "Lightning")
    expect(pit.locator(".no-line")).to_contain_text("Whistle, and raise the flag")
    assert not faults(pit)
    snap(pit, "phone-hold-no-line")
    context.set_offline(False)
    expect(start.locator("#hold-now")).to_contain_text("lightning", timeout=4 * SOON)
    expect(pit.locator("main .said")).to_be_visible()

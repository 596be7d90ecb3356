"""One boat through its trials at the desk: guess, weigh, log three runs, and see the forecast move."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide

from skimwright.web.places import hunch


def figures(page: Page) -> str:
    return page.locator("table").first.inner_text()


def test_guess_weigh_log_three_runs_and_see_the_forecast_move(
    opened: Opened, snap: Snap, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(hunch, "RUNS", 200)  # the walk, not the figures
    page = opened("crew", phone=True).new_page()
    page.goto("/boats/7")
    page.get_by_role("link", name="Guess first, then see").click()
    assert page.locator("figure").count() == 0  # nothing is told before the guess
    page.get_by_label("from the start").fill("40")
    snap(page, "phone-hunch")
    assert not faults(page)
    assert not small_targets(page, 60)
    page.get_by_role("button", name="Lock it").click()
    page.wait_for_url("**/boats/7/hunch", timeout=120_000)
    expect(page.locator("figure").first).to_contain_text("the crew's flag")
    expect(page.locator(".next-move")).to_contain_text("Most likely wrong because")
    before = figures(page)
    snap(page, "phone-hunch-strip")
    assert not faults(page)
    assert too_wide(page) <= 0
    desk = opened().new_page()
    desk.goto("/scales/boats/7")
    desk.get_by_label("On one scale").fill("262")
    desk.get_by_role("button", name="Weigh it").click()
    desk.get_by_role("button", name="Take these into the boat's book").click()
    expect(desk.locator(".said")).to_contain_text("mass_g")
    for n, far in enumerate(("36", "37.5", "35")):
        page.goto("/water/boats/7")
        if n:
            page.get_by_role("button", name="Ran wide").click()
            expect(page.locator(".said")).to_contain_text("Locked")
        page.get_by_label("Exactly, m").fill(far)
        page.get_by_role("radio", name="L3").check()
        page.get_by_role("radio", name="Stopped").check()
        page.get_by_role("button", name="Log run").click()
        expect(page.locator(".said")).to_contain_text("is logged")
    page.goto("/boats/7/hunch")
    page.get_by_label("from the start").fill("36")
    page.get_by_role("button", name="Lock it").click()
    page.wait_for_url("**/boats/7/hunch", timeout=120_000)
    page.get_by_role("button", name="runs in").click()
    page.wait_for_url("**/boats/7/hunch", timeout=180_000)
    expect(page.get_by_text("What its runs teach")).to_be_visible()
    assert figures(page) != before
    assert "with its runs taken in" in figures(page)
    assert not faults(page)
    assert too_wide(page) <= 0
    snap(page, "phone-hunch-learned")
    page.set_viewport_size({"width": 1280, "height": 900})
    snap(page, "desk-hunch-learned")

"""Weigh a boat, take it into the book, and look for the one next change, on a phone with one job."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide


def test_weigh_take_and_trim_on_the_scales_phone(opened: Opened, snap: Snap) -> None:
    page = opened("scales", phone=True).new_page()
    page.goto("/scales")
    page.get_by_role("link", name="12").click()
    page.get_by_label("Front reading").fill("150")
    page.get_by_label("Rear reading").fill("119")
    page.get_by_label("Front wedge").fill("200")
    page.get_by_label("Rear wedge").fill("560")
    page.get_by_role("button", name="Weigh it").click()
    expect(page.locator("#result")).to_contain_text("359.3 mm")
    expect(page.locator(".next-move")).to_contain_text("Put")
    assert not faults(page)
    assert not small_targets(page, 60)
    assert too_wide(page) <= 0
    snap(page, "phone-weighed")
    page.set_viewport_size({"width": 1280, "height": 900})
    snap(page, "desk-weighed")
    page.get_by_role("button", name="Take these into the boat's book").click()
    expect(page.locator(".said")).to_contain_text("balance_x_mm")
    page.get_by_role("link", name="What should be changed next?").click()
    page.get_by_role("button", name="Look for the one next change").click()
    expect(page.get_by_text("So far:")).to_be_visible(timeout=120_000)
    snap(page, "desk-trim-work")
    page.get_by_role("button", name="Stop").click()
    page.goto("/scales/boats/12/trim")
    expect(page.locator(".next-move").first).to_be_visible()
    expect(page.get_by_text("Rough.")).to_be_visible()
    assert not faults(page)
    snap(page, "desk-trim")
    page.set_viewport_size({"width": 360, "height": 740})
    assert too_wide(page) <= 0
    snap(page, "phone-trim")

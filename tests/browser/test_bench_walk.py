"""The inspector's phone: number keys, one sentence after each measurement, on to the next."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide


def test_a_step_of_the_card_with_thumbs_and_its_sentence(opened: Opened, snap: Snap) -> None:
    page = opened("inspector", phone=True).new_page()
    page.goto("/bench")
    page.get_by_role("link", name="08").click()
    assert not faults(page)
    assert too_wide(page) <= 0
    snap(page, "phone-card")
    page.get_by_role("link", name="Measure from step 1").click()
    snap(page, "phone-step-1")
    page.get_by_role("link", name="9, blade's angle").click()
    for key in ("2", "Point", "5"):
        page.get_by_role("button", name=key, exact=True).click()
    assert not faults(page)
    assert not small_targets(page, 60)
    assert too_wide(page) <= 0
    snap(page, "phone-step-9")
    page.get_by_role("button", name="Write it").click()
    expect(page.locator("#effect")).to_contain_text("at the gate", timeout=60_000)
    snap(page, "phone-step-9-said")
    assert not faults(page)
    page.get_by_role("link", name="Next: twist of the floor").click()
    snap(page, "phone-step-10")
    page.set_viewport_size({"width": 1280, "height": 900})
    snap(page, "desk-step-10")

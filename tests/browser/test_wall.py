"""The wall on a projector, with ten crews; a phone's mark reaches it by itself."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.conftest import Opened, Site, Snap, faults, small_targets, too_wide


def test_a_mark_on_a_phone_reaches_the_projector(opened: Opened, site: Site, snap: Snap) -> None:
    boats = [entry.number for entry in site.house.season().boats if entry.group == "Rush"]
    projector = opened().new_page()
    projector.set_viewport_size({"width": 1280, "height": 720})
    projector.goto("/classroom/wall?group=Rush")
    phone = opened("crew", phone=True).new_page()
    for place, boat in enumerate(boats[:4]):
        for _ in range(place):
            phone.goto(f"/classroom/wall/{boat}")
            phone.get_by_role("button", name="Done").click()
    phone.goto(f"/classroom/wall/{boats[1]}")
    snap(phone, "phone-wall-crew")
    assert not faults(phone)
    assert too_wide(phone) <= 0
    assert not small_targets(phone, 60)
    phone.get_by_role("button", name="We are stuck").click()
    expect(projector.locator(".turns-next .first")).to_contain_text(f"{boats[1]:02d}")
    expect(projector.locator(".turns-next .first")).to_contain_text("asks for help")
    snap(projector, "projector-wall")
    assert not faults(projector)
    projector.set_viewport_size({"width": 360, "height": 740})
    assert too_wide(projector) <= 0

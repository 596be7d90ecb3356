"""The board in a browser: a number typed, the boat redrawn; by mouse, by keys, without script, on a phone."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.conftest import Opened, Snap, faults


def test_a_number_typed_redraws_the_boat_at_once(opened: Opened, snap: Snap) -> None:
    page = opened().new_page()
    page.goto("/board/fold-62")
    box = page.get_by_role("textbox", name="beam, over both sponsons")
    box.fill("300")
    page.get_by_text("280 → 300").wait_for()
    page.get_by_role("button", name="POD-1").click()
    page.locator("[aria-pressed=true]").wait_for()
    snap(page, "desk-board-changed")
    assert not faults(page)
    box.fill("130")
    page.get_by_role("alert").wait_for()
    assert "beam" in page.get_by_role("alert").inner_text()
    assert page.locator(".views figure svg").count() == 3  # the last good drawing stays
    snap(page, "desk-board-refused")
    assert not faults(page)
    box.fill("290")
    page.get_by_role("button", name="Put back: beam, over both sponsons, 280").click()
    expect(box).to_have_value("280")


def test_the_board_is_drawn_and_saved_without_script_and_by_keys_alone(opened: Opened) -> None:
    page = opened(script=False).new_page()
    page.goto("/board/fold-62")
    page.get_by_label("beam, over both sponsons").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("300")
    page.keyboard.press("Enter")
    page.get_by_text("280 → 300").wait_for()
    page.get_by_label("its name").focus()
    page.keyboard.type("Fold 62 wide")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/board/fold-62-wide")
    assert page.get_by_role("heading", level=1).inner_text() == "Fold 62 wide"
    assert page.get_by_label("beam, over both sponsons").input_value() == "300"

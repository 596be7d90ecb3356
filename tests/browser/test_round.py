"""The boat in the round, by software graphics, without any, and without script; the guide on a phone."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page, expect
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide

Array = NDArray[np.int_]


def look(page: Page) -> Array:
    """What the canvas shows, (rows, columns, 3)."""
    return np.asarray(
        Image.open(io.BytesIO(page.locator("#stage canvas").screenshot())).convert("RGB"), dtype=int
    )


def share(is_it: Array) -> float:
    return float(is_it.mean())


def orange(picture: Array) -> Array:
    red, green, blue = picture.transpose(2, 0, 1)
    return (red > 150) & (blue < 90) & (green > 80)


def test_the_boat_turns_step_by_step(opened: Opened, snap: Snap) -> None:
    page = opened().new_page()
    page.emulate_media(reduced_motion="reduce")
    page.goto("/board/fold-62/round")
    page.locator("#stage[data-drawn=yes]").wait_for(timeout=30_000)
    expect(page.locator("#turning")).to_have_text("Turn by itself")  # nobody asked for motion
    whole = look(page)
    assert share(whole.max(axis=2) < 90) > 0.002  # black edges
    assert share(whole.min(axis=2) < 250) > 0.02
    assert share(orange(whole)) == 0
    snap(page, "desk-round")
    assert not faults(page)
    page.locator("#stage").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert (look(page) != whole).any()
    page.get_by_label("Building step").fill("4")
    page.get_by_label("Apart").fill("100")
    expect(page.locator("#step-says")).to_contain_text("FLOOR-1")
    page.wait_for_timeout(300)
    assert share(orange(look(page))) > 0.01
    snap(page, "desk-round-step")


def test_the_boat_turns_on_a_phone(opened: Opened, snap: Snap) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/board/fold-62/round?step=12")
    page.locator("#stage[data-drawn=yes]").wait_for(timeout=30_000)
    page.get_by_role("button", name="Stop turning").click()
    page.get_by_role("button", name="up").click()
    page.wait_for_timeout(300)
    snap(page, "phone-round")
    assert share(orange(look(page))) > 0.003
    assert not faults(page)
    assert too_wide(page) <= 0
    assert not small_targets(page)


def test_without_graphics_the_three_views_stay(opened: Opened) -> None:
    context = opened()
    context.add_init_script("HTMLCanvasElement.prototype.getContext = () => null;")
    page = context.new_page()
    page.goto("/board/fold-62/round")
    page.locator("#stage[data-drawn=no]").wait_for(state="attached")
    page.get_by_text("This device draws no turning pictures").wait_for()
    assert page.locator("figure svg").count() == 3
    assert not faults(page)


def test_without_script_the_three_views_stay(opened: Opened) -> None:
    page = opened(script=False).new_page()
    page.goto("/board/fold-62/round")
    assert page.locator("figure svg").count() == 3
    assert page.locator("#round").is_hidden()


def test_a_guide_is_followed_on_a_phone_from_the_first_step_to_the_last(opened: Opened, snap: Snap) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/board/fold-62/guide")
    snap(page, "phone-guide")
    assert not faults(page)
    assert not small_targets(page)
    assert too_wide(page) <= 0
    page.get_by_role("link", name="Begin").click()
    stops = 0
    for number in range(1, 17):
        page.get_by_text(f"step {number} of 16").wait_for()
        stops += page.get_by_text("An adult looks").count()
        if number in (1, 4):
            snap(page, f"phone-guide-{number}")
            assert not faults(page)
            assert not small_targets(page, 60)
            assert too_wide(page) <= 0
        if number < 16:
            page.get_by_role("link", name="Next:").click()
    assert stops == 5  # capabilities C4
    page.get_by_role("link", name="The boat is built").click()
    page.locator("#stage[data-drawn=yes]").wait_for(timeout=30_000)

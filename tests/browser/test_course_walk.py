"""The course at the desk: headings compared, the map, the posts; a phone sees it too."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide

from skimwright.web.places import course


def test_headings_are_compared_and_posts_listed(
    opened: Opened, season: Path, snap: Snap, monkeypatch: pytest.MonkeyPatch
) -> None:
    boats = season / "boats.csv"
    boats.write_text("\n".join(boats.read_text("utf8").splitlines()[:4]) + "\n", "utf8")
    monkeypatch.setattr(course, "RUNS", 20)  # the walk, not the figures
    monkeypatch.setattr(course, "FAN", (0.0, 0.0873, -0.1745))
    page = opened("director", phone=True).new_page()
    page.goto("/water/course")
    assert not faults(page)
    page.get_by_label("Heading").fill("400")
    page.get_by_role("button", name="Compare the headings").click()
    expect(page.get_by_role("alert")).to_contain_text("0 to 360")
    page.get_by_label("Heading").fill("95")
    page.get_by_role("button", name="Compare the headings").click()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()
    page.wait_for_url("**/water/course", timeout=240_000)
    expect(page.locator("figure.map")).to_be_visible()
    expect(page.get_by_role("row", name="095 planned")).to_contain_text(
        "91.6"
    )  # the demonstration pond, computed
    assert not faults(page)
    assert not small_targets(page, 60)
    assert too_wide(page) <= 0
    snap(page, "phone-course")
    page.set_viewport_size({"width": 1280, "height": 900})
    snap(page, "desk-course")
    page.get_by_role("link", name="Post list with tape distances").click()
    expect(page.locator("main")).to_contain_text("m from P1")
    snap(page, "desk-posts")
    page.goto("/water/gate")
    snap(page, "desk-gate")
    assert not faults(page)

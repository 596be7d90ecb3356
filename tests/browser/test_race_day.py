"""A six-boat heat on phone-sized pages, from the call to the live table, and what goes wrong on the way."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Opened, Site, Snap, faults, small_targets, too_wide
from tests.web.conftest import on_the_day, only_first_heats

from skimwright.web.day import race_day

SOON = 2000  # [ms]
LANES = ("06", "02", "04", "05", "01", "03")  # of heat 5 of the demonstration
NEXT_LANES = ("12", "08", "10", "11", "07", "09")  # of heat 6


@pytest.fixture
def day(season: Path, site: Site) -> Path:
    """Four heats are raced, and it is the morning of the regatta."""
    on_the_day(site.house)
    only_first_heats(season, 4)
    return season


def open_and_tick(opened: Opened) -> Page:
    """The director has opened the water, the pit has ticked heats 5 and 6."""
    director, pit = opened("director").new_page(), opened("pit", phone=True).new_page()
    director.goto("/hold")
    director.get_by_role("button", name="Open the water").click()
    pit.goto("/race/pit")
    for heat in (5, 6):
        pit.get_by_role("button", name=f"All of heat {heat} are fit").click()
        expect(pit.locator(".said")).to_contain_text(f"Heat {heat} is ticked")
    director.goto("/race")
    return director


def tap(page: Page, boat: str) -> None:
    page.locator("details[open] .tile", has=page.get_by_text(boat, exact=True)).click()


def check(page: Page, snap: Snap, name: str) -> None:
    snap(page, name)
    assert not faults(page)
    assert too_wide(page) <= 0
    assert not small_targets(page, 60)


def test_a_heat_from_the_call_to_the_live_table(opened: Opened, day: Path, snap: Snap) -> None:
    director = open_and_tick(opened)
    start, one, two, marshal, visitor = (
        opened(job, phone=True).new_page() for job in ("start", "finish-a", "finish-b", "marshal", "visitor")
    )
    start.goto("/")
    visitor.goto("/see")
    snap(director, "desk-race")
    for call in ("First call", "Second call"):
        director.get_by_role("button", name=f"{call}, heat 5").click()
    expect(start.get_by_role("button", name="Heat 5 started")).to_be_visible(timeout=SOON)
    check(start, snap, "phone-start")
    start.get_by_role("button", name="Heat 5 started").click()
    expect(visitor.locator("h2").first).to_contain_text("Now: heat 5", timeout=SOON)

    one.goto("/")
    check(one, snap, "phone-finish-empty")
    for boat in ("05", "02"):
        tap(one, boat)
    one.get_by_role("button", name="Tie with the last").click()
    tap(one, "06")
    snap(one, "phone-finish-tie")
    one.get_by_role("button", name="UNDO").click()  # it was no tie
    for boat in ("06", "01", "03"):
        tap(one, boat)
    one.get_by_role("button", name="NOT FINISHED").click()
    tap(one, "04")
    check(one, snap, "phone-finish-full")
    one.get_by_role("button", name="Send heat 5").click()
    expect(one.locator("#live")).to_contain_text("waits for the other phone")

    two.goto("/")
    for boat in ("02", "05", "06", "01", "03"):
        tap(two, boat)
    two.get_by_role("button", name="NOT FINISHED").click()
    tap(two, "04")
    two.get_by_role("button", name="Send heat 5").click()
    expect(two.locator("#live")).to_contain_text("the marshal decides")
    expect(one.locator("#live")).to_contain_text("the marshal decides", timeout=SOON)
    check(one, snap, "phone-finish-differ")

    marshal.goto("/")
    check(marshal, snap, "phone-marshal")
    marshal.get_by_role("link", name="Decide heat 5").click()
    marshal.get_by_label("Why so").fill("seen from the post")
    check(marshal, snap, "phone-decide")
    marshal.get_by_role("button", name="Decide heat 5").click()
    expect(marshal.locator(".said")).to_contain_text("It counts")
    expect(visitor.locator("main")).to_contain_text("Heat 5 came in so", timeout=SOON)
    check_public(visitor, snap)

    marshal.get_by_label("Boat", exact=True).select_option(label="01 Button: 4")
    marshal.get_by_label("New").select_option("not finished")
    marshal.locator("#correct-why").fill("towed home")
    marshal.get_by_role("button", name="Correct it").click()
    check(marshal, snap, "phone-corrected")
    expect(visitor.locator("tr", has_text="01 Button").first).to_contain_text("corrected", timeout=SOON)


def check_public(page: Page, snap: Snap) -> None:
    snap(page, "phone-see-result")
    assert not faults(page)


def test_a_heat_without_script(opened: Opened, day: Path, snap: Snap) -> None:
    director = open_and_tick(opened)
    director.get_by_role("button", name="First call, heat 5").click()
    director.get_by_role("button", name="Started", exact=True).click()
    for job in ("finish-a", "finish-b"):
        page = opened(job, phone=True, script=False).new_page()
        page.goto("/")
        for place, boat in enumerate(LANES, 1):
            page.locator(f"#h5-boat_{boat}").select_option(str(place))
        snap(page, "phone-finish-plain")
        page.get_by_role("button", name="Send heat 5").click()
        assert "Heat 5 is sent" in page.locator(".said").inner_text()
    assert "equal, it counts" in page.locator("main").inner_text()
    page.locator("summary", has_text="HOLD").click()
    page.get_by_role("button", name="People too near").click()
    assert "people too near" in page.locator("#hold-now").inner_text()


def test_the_director_works_by_keyboard_alone(opened: Opened, day: Path) -> None:
    page = open_and_tick(opened)

    def go_to(name: str) -> None:
        for _ in range(80):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.textContent.trim()") == name:
                return
        raise AssertionError(f"{name} cannot be reached with Tab")

    go_to("First call, heat 5")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("Heat 5 is called")
    go_to("HOLD")
    page.keyboard.press("Enter")
    go_to("Lightning")
    page.keyboard.press("Enter")
    expect(page.locator("#hold-now")).to_contain_text("lightning")


@pytest.mark.parametrize(
    ("job", "path"),
    [
        ("pit", "/race/pit"),
        ("scorer", "/race/scorer"),
        ("announcer", "/race/announcer"),
        ("visitor", "/calls"),
    ],
)
def test_the_other_phones_of_the_day(opened: Opened, day: Path, snap: Snap, job: str, path: str) -> None:
    page = opened(job, phone=True).new_page()
    page.goto(path)
    snap(page, f"phone-{job}")
    assert not faults(page)
    assert too_wide(page) <= 0
    assert not small_targets(page, 44 if job == "visitor" else 60)


def report(page: Page, heat: int, order: tuple[str, ...]) -> None:
    for boat in order:
        page.locator("details[open] .tile", has=page.get_by_text(boat, exact=True)).click()
    page.get_by_role("button", name=f"Send heat {heat}").click()


def test_two_finish_phones_without_a_line_lose_no_heat_and_double_none(
    opened: Opened, day: Path, site: Site, snap: Snap
) -> None:
    director = open_and_tick(opened)
    contexts = [opened(job, phone=True) for job in ("finish-a", "finish-b")]
    pages = [context.new_page() for context in contexts]
    for page in pages:
        page.goto("/")
    for context in contexts:
        context.set_offline(True)
    for page in pages:
        report(page, 5, LANES)
        report(page, 6, NEXT_LANES)
        expect(page.locator(".queue")).to_contain_text("2 waiting")
    snap(pages[0], "phone-finish-no-line")
    assert len(race_day(site.house).heat(5).reports) == 0
    for context in contexts:
        context.set_offline(False)
    for page in pages:
        expect(page.locator(".queue")).to_be_hidden(timeout=10_000)
    for heat in (5, 6):
        now = race_day(site.house).heat(heat)
        assert now.counts
        assert sorted(event.phone for event in now.reports) == ["finish-a", "finish-b"]
    director.reload()
    expect(director.get_by_role("region", name="Next")).to_contain_text("heat 7")

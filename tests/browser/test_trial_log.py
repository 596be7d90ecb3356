"""The trial log in a real browser: four taps, a double tap, the hotspot gone, keys only, no script."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from tests.browser.conftest import Opened, Site, Snap, faults, small_targets, too_wide

from skimwright import desk


def runs(site: Site, boat: int) -> list:
    house = site.house
    return [r for r in desk.read_runs(house.rows("runs.csv"), house.season()).book.of(boat) if r.run > 3]


def tap(page: Page, far: int, *, side: str = "R1", ending: str = "Stopped") -> None:
    """Guess skipped, then the four taps: a ten, a side, an ending, log it; a metre more or less where need be."""
    page.get_by_role("button", name="Skip").click()
    page.get_by_role("radio", name=str(far // 10 * 10), exact=True).check()
    for _ in range(far % 10):
        page.get_by_role("button", name="One metre more").click()
    page.get_by_role("radio", name=side).check()
    page.get_by_role("radio", name=ending).check()
    page.get_by_role("button", name="Log run").click()


def test_a_run_in_four_taps_and_a_double_tap_is_one_run(opened: Opened, site: Site, snap: Snap) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/water")
    snap(page, "phone-water")
    page.get_by_role("link", name="24").click()
    snap(page, "phone-trial-guess")
    assert not faults(page)
    page.get_by_role("button", name="Through the gate").click()
    expect(page.locator("main")).to_contain_text("guess is locked: through the gate")
    expect(page.locator(".said")).to_contain_text("Locked for run 4")
    page.get_by_role("radio", name="40", exact=True).check()
    page.get_by_role("radio", name="R1").check()
    page.get_by_role("radio", name="Stopped").check()
    snap(page, "phone-trial")
    assert not faults(page)
    assert not small_targets(page, 60)
    assert too_wide(page) <= 0
    page.get_by_role("button", name="Log run").dblclick()
    expect(page.locator(".said")).to_contain_text("Run 4 is logged: 40.0 m")
    expect(page.locator(".tracks")).to_contain_text("guess: through the gate")
    snap(page, "phone-trial-after")
    assert [r.result.distance for r in runs(site, 24)] == [40.0]
    page.get_by_role("button", name="UNDO").click()
    expect(page.locator(".said")).to_contain_text("taken back")
    assert runs(site, 24) == []


def test_thirty_runs_of_two_phones_survive_the_hotspot_in_their_order(
    opened: Opened, site: Site, snap: Snap
) -> None:
    one, other = opened("crew", phone=True), opened("marshal", phone=True)
    pages = [(one, one.new_page(), 24, 40), (other, other.new_page(), 22, 50)]
    for context, page, boat, _ in pages:
        page.goto(f"/water/boats/{boat}")
        context.set_offline(True)
    for n in range(15):
        for _, page, _, first in pages:
            tap(page, first + n % 5, side=("L2", "L1", "R2")[n % 3], ending="Hooked" if n == 7 else "Stopped")
    page = pages[0][1]
    expect(page.locator(".queue")).to_contain_text("30 waiting to be sent")
    snap(page, "phone-trial-no-line")
    assert not faults(page)
    assert runs(site, 24) == runs(site, 22) == []
    for context, _, _, _ in pages:
        context.set_offline(False)
    for _, page, boat, first in pages:
        expect(page.locator(".queue")).to_be_hidden(timeout=30_000)
        found = runs(site, boat)
        assert [r.result.distance for r in found] == [first + n % 5 for n in range(15)]
        assert [r.run for r in found] == list(range(4, 19))
        assert page.locator(".queue").inner_text() == ""


def test_an_answer_that_was_lost_on_the_way_is_not_a_second_run(opened: Opened, site: Site) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/water/boats/24")
    lost: list[str] = []

    def drop(route) -> None:
        if len(lost) < 2:  # the house takes it, the phone never hears so
            lost.append(str(route.fetch().status))
            route.abort()
        else:
            route.continue_()

    page.route("**/guess", drop)
    page.get_by_role("button", name="Skip").click()
    page.get_by_role("radio", name="50", exact=True).check()
    page.get_by_role("button", name="Log run").click()
    expect(page.locator(".said")).to_contain_text("Run 4 is logged", timeout=20_000)
    assert lost == ["200", "200"]
    assert [r.result.distance for r in runs(site, 24)] == [50.0]


def test_what_waits_and_what_is_typed_outlive_the_page(opened: Opened, site: Site) -> None:
    context = opened("crew", phone=True)
    page = context.new_page()
    page.goto("/water/boats/24")
    context.set_offline(True)
    tap(page, 41)
    page.get_by_role("button", name="Skip").click()
    page.get_by_label("Exactly, m").fill("47.5")
    page.close()
    context.set_offline(False)
    page = context.new_page()
    page.goto("/water/boats/24")
    expect(page.locator(".queue")).to_be_hidden(timeout=20_000)
    page.goto("/water/boats/24")
    expect(page.get_by_label("Exactly, m")).to_have_value("47.5")
    assert [r.result.distance for r in runs(site, 24)] == [41.0]


def test_what_the_house_does_not_take_is_shown_and_goes_back_into_the_form(
    opened: Opened, site: Site
) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/water/boats/24")
    page.get_by_role("button", name="Skip").click()
    page.get_by_role("radio", name="40", exact=True).check()
    page.get_by_label("Time to the gate's line, s").fill("50.5")
    page.get_by_role("button", name="Log run").click()
    refused = page.locator(".queue")
    expect(refused).to_contain_text("5.05")
    assert not faults(page)
    page.goto("/water/boats/24")
    page.get_by_role("button", name="Back into the form").click()
    page.get_by_label("Time to the gate's line, s").fill("5.05")
    page.get_by_role("button", name="Log run").click()
    expect(page.locator(".said")).to_contain_text("Run 4 is logged: 40.0 m, 5.05 s")


def test_a_run_is_logged_with_keys_only_and_without_script(opened: Opened, site: Site) -> None:
    page = opened("crew", phone=True).new_page()
    page.goto("/water/boats/24")

    def reach(name: str) -> None:
        for _ in range(80):
            if name in page.evaluate(
                "(e => e === document.body ? '' : `${e.value || ''}|${e.textContent}`)(document.activeElement)"
            ):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"no key reaches {name}")

    reach("skip")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("Locked")
    reach("10")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")
    reach("Log run")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("Run 4 is logged: 40.0 m")
    bare = opened("crew", phone=True, script=False).new_page()
    bare.goto("/water/boats/24")
    bare.get_by_role("button", name="Skip").click()
    bare.get_by_label("Exactly, m").fill("44")
    bare.get_by_role("button", name="Log run").click()
    assert "Run 5 is logged: 44.0 m" in bare.locator(".said").inner_text()
    assert [r.result.distance for r in runs(site, 24)] == [40.0, 44.0]

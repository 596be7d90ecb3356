"""Design to printed sheets: draw, save, lay out, and hold the pages in the hand."""

from __future__ import annotations

import io

from pypdf import PdfReader
from tests.browser.conftest import Opened, Snap, faults, small_targets, too_wide


def test_from_a_changed_number_to_printed_sheets(opened: Opened, snap: Snap) -> None:
    page = opened().new_page()
    page.goto("/")
    page.get_by_role("link", name="Board").first.click()
    page.get_by_role("link", name="Fold 50").first.click()
    page.get_by_role("textbox", name="deck narrows over").fill("44")
    page.get_by_text("40 → 44").wait_for()
    page.get_by_label("its name").fill("Fold 50 soft")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/board/fold-50-soft")
    page.get_by_role("link", name="Sheets").click()
    page.get_by_role("button", name="Lay the parts out").click()
    page.wait_for_url("**/sheets?boats=1", timeout=60_000)
    page.get_by_text("1 sheet for Fold 50 soft").wait_for()
    snap(page, "desk-sheets")
    assert not faults(page)
    with page.expect_download() as waiting:
        page.get_by_role("link", name="A4 pages").click()
    file = waiting.value
    assert file.suggested_filename == "fold-50-soft-pages-a4.pdf"
    pages = PdfReader(io.BytesIO(file.path().read_bytes())).pages
    widths = {round(float(page.mediabox.width) / 72 * 25.4) for page in pages}
    assert widths <= {210, 297}  # ISO 216
    page.set_viewport_size({"width": 360, "height": 740})
    snap(page, "phone-sheets")
    assert too_wide(page) <= 0
    assert not small_targets(page)

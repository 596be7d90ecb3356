"""Sheets from the browser: laid out beside the pages, shown, and had as files."""

from __future__ import annotations

import time

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import send


@pytest.fixture
def laid(desk_browser: TestClient) -> TestClient:
    """With Fold 62 laid out."""
    begun = send(desk_browser, "/board/fold-62/sheets", boats="1", sheet="841x594")
    assert begun.status_code == 303
    for _ in range(300):
        answer = desk_browser.get(begun.headers["location"], follow_redirects=False)
        if answer.status_code == 303:
            break
        time.sleep(0.1)
    assert answer.headers["location"] == "/board/fold-62/sheets?boats=1"
    return desk_browser


def test_a_kit_is_laid_out_and_every_file_can_be_had(laid: TestClient) -> None:
    text = laid.get("/board/fold-62/sheets?boats=1").text
    assert "1 sheet for Fold 62, 1 boat" in text
    assert "78.8 % of it used" in text  # capabilities B1
    kinds = {"pdf": b"%PDF-", "svg": b"<", "dxf": b"  0"}
    files = [
        word.split('"')[0] for word in text.split('href="')[1:] if word.startswith("/board/fold-62/sheets/1/")
    ]
    files += ["/board/fold-62/labels/a4.pdf", "/board/fold-62/labels/letter.pdf"]
    assert len(files) == 9
    for path in files:
        answer = laid.get(path)
        assert answer.content.startswith(kinds[path[-3:]]), path
        assert answer.headers["content-disposition"].startswith('attachment; filename="fold-62-')
    assert laid.get("/board/fold-62/sheets/1/..%2f..%2fboats.csv").status_code == 404
    board = laid.get("/board/fold-62").text
    assert "as they lie on the sheet" in board


def test_a_layout_is_of_its_own_number_of_boats_and_of_its_own_drawing(laid: TestClient, season) -> None:
    assert laid.get("/board/fold-62/sheets/2/pages-a4.pdf").status_code == 404
    file = season / "kits" / "fold-62.toml"
    file.write_text(file.read_text("utf8").replace("beam_mm = 280", "beam_mm = 290"), "utf8")
    assert laid.get("/board/fold-62/sheets/1/pages-a4.pdf").status_code == 404


@pytest.mark.parametrize(
    "fields, says",
    [
        ({"boats": "0"}, "a whole number from 1 to 60"),
        ({"boats": ""}, "left out"),
        ({"boats": "1", "sheet": "841"}, "not a size"),
        ({"boats": "1", "sheet": "0x594"}, "the size makes no sense"),
        ({"boats": "1", "grain": "curly"}, "the stiff way is its grain"),
    ],
)
def test_bad_sheets_are_refused_at_once_and_what_was_typed_stays(
    desk_browser: TestClient, fields: dict[str, str], says: str
) -> None:
    answer = send(desk_browser, "/board/fold-62/sheets", **fields)
    assert answer.status_code == 422
    assert says in answer.text
    assert f'value="{fields.get("sheet", "841x594")}"' in answer.text


def test_a_bar_of_97_mm_is_refused_with_what_to_do(desk_browser: TestClient) -> None:
    """Capabilities B4: "reprint at actual size", and the factor."""
    short = send(desk_browser, "/board/fold-62/bar", bar="97")
    assert "factor of 0.97" in short.text
    assert "actual size" in short.text
    assert "the page is true, cut it" in send(desk_browser, "/board/fold-62/bar", bar="100").text
    assert "cannot have come out like that" in send(desk_browser, "/board/fold-62/bar", bar="9.7").text
    assert send(desk_browser, "/board/fold-62/bar", bar="").status_code == 422


def test_a_lost_part_is_printed_alone(desk_browser: TestClient) -> None:
    answer = desk_browser.get("/board/fold-62/parts/POD-1.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["content-disposition"] == 'attachment; filename="fold-62-POD-1.pdf"'
    assert desk_browser.get("/board/fold-62/parts/POD-9.pdf").status_code == 404

"""The guide on screens, and the boat in the round as data."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import numpy as np
import pytest
from starlette.testclient import TestClient
from tests.web.conftest import AtPond

from skimwright import web
from skimwright.web import House

VENDOR = Path(web.__file__).parent / "static" / "vendor"


def test_a_visitor_may_follow_the_guide_and_nothing_else_of_the_board(at_pond: AtPond) -> None:
    phone = at_pond()
    assert phone.get("/board/fold-62/guide").status_code == 200
    assert phone.get("/board/fold-62/guide/1").status_code == 200
    assert phone.get("/board/fold-62/round").status_code == 200
    assert phone.get("/board/fold-62").status_code == 403
    assert phone.get("/board/fold-62/sheets").status_code == 403
    assert phone.get("/board/fold-62/guide/a4.pdf").status_code == 403  # seconds of work for each
    assert "a4.pdf" not in phone.get("/board/fold-62/guide").text


def test_the_steps_come_from_the_kit_itself(desk_browser: TestClient, season: Path) -> None:
    before = desk_browser.get("/board/fold-62/guide/1").text.replace("\u00a0", " ")
    file = season / "kits" / "fold-62.toml"
    file.write_text(file.read_text("utf8").replace("rib_place_mm = 450", "rib_place_mm = 440"), "utf8")
    after = desk_browser.get("/board/fold-62/guide/1").text.replace("\u00a0", " ")
    edition = re.compile(r"edition (\w{6})")
    assert edition.search(before)[1] != edition.search(after)[1]  # type: ignore[index]
    assert "RIB-3 447.5" in before  # the front face: 450 less half the board
    assert "RIB-3 437.5" in after


@pytest.mark.parametrize(
    "path", ["guide/0", "guide/17", "guide/a5.pdf", "round?step=99", "round?step=x", "guide?group=Moss"]
)
def test_what_is_not_there_is_said_in_a_sentence(desk_browser: TestClient, path: str) -> None:
    answer = desk_browser.get(f"/board/fold-62/{path}")
    assert answer.status_code in (404, 422)
    assert 'role="alert"' in answer.text


def test_the_guide_on_paper_has_a_safe_name(desk_browser: TestClient) -> None:
    answer = desk_browser.get("/board/fold-62/guide/letter.pdf?group=Cress&large=yes")
    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["content-disposition"] == 'attachment; filename="fold-62-guide-cress-letter.pdf"'


def test_the_solids_are_the_parts_themselves(desk_browser: TestClient, house: House) -> None:
    """Closed skins; their volume is the flat parts' own, slots taken out."""
    data = desk_browser.get("/board/fold-62/solids.json").json()
    kit = house.season().kits["Fold 62"]
    assert {part["part"] for part in data["parts"]} == {part.name for part in kit.parts}
    assert sorted({part["step"] for part in data["parts"]}) == [step["step"] for step in data["steps"]]
    for found in data["parts"]:
        corners = np.array(found["corners_mm"]).reshape(-1, 3)
        rows = np.array(found["triangles"]).reshape(-1, 3)
        edges = np.sort(np.vstack([rows[:, [0, 1]], rows[:, [1, 2]], rows[:, [2, 0]]]), axis=1)
        _, counts = np.unique(edges, axis=0, return_counts=True)
        assert set(counts) == {2}, found["part"]  # every edge between two triangles: no hole
        part = kit.part(found["part"])
        a, b, c = corners[rows].transpose(1, 0, 2)
        volume = float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6
        slots = sum(_area(slot.outline) * min(slot.depth, part.thickness) for slot in part.slots)
        square = part.area * part.thickness - slots
        if not any(part.bevels):
            assert volume == pytest.approx(square * 1e9, rel=1e-3), found["part"]
        else:
            assert 0.9 * square * 1e9 < volume < 1.1 * square * 1e9, found["part"]


def _area(outline: tuple[tuple[float, float], ...]) -> float:
    x, y = np.array(outline).T
    return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def test_the_library_that_draws_is_the_one_that_was_built() -> None:
    says = (VENDOR / "three-VERSION.txt").read_text("utf8")
    assert "three 0.187.0" in says
    assert hashlib.sha256((VENDOR / "three-round.min.js").read_bytes()).hexdigest() in says
    assert "MIT License" in (VENDOR / "three-LICENSE.txt").read_text("utf8")

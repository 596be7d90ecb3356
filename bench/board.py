"""The board: how long an edit takes, on the server and in a browser, and what its pages weigh.

``python -m bench.board`` prints them; needs Chromium for the browser's share.
"""

from __future__ import annotations

import gzip
import re
import shutil
import statistics
import tempfile
import time
from pathlib import Path

from starlette.testclient import TestClient

from skimwright import app
from skimwright.web import House, Keys, workbench

DEMO = Path(app.__file__).parent / "demo_season"
TURNS = 15
PAGES = ("/board", "/board/fold-62", "/board/compare?before=fold-50&after=fold-74", "/board/fold-62/sheets",
         "/board/fold-62/guide", "/board/fold-62/guide/4", "/board/fold-62/round")  # fmt: skip


def main() -> None:
    """Print the figures."""
    app.keep_kernels()
    with tempfile.TemporaryDirectory() as scratch:
        season = Path(shutil.copytree(DEMO, Path(scratch) / "season"))
        house = House(files=app.Disk(), path=season, keys=Keys(), address="http://127.0.0.1:8080")
        with TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 5)) as client:
            _edits(client)
            _weights(client)
    _in_browser()


def _edits(client: TestClient) -> None:
    text = client.get("/board/fold-62").text
    token = re.findall(r'name="token" value="(\w+)"', text)[0]
    spent = []
    for turn in range(TURNS):
        data = {"token": token, "length_mm": str(625 + turn)}
        start = time.perf_counter()
        answer = client.post("/board/fold-62/look", data=data, headers={"HX-Request": "true"})
        spent.append((time.perf_counter() - start) * 1e3)
        assert answer.status_code == 200
    print(
        f"edit on the server, middle and slowest of {TURNS}: {statistics.median(spent):.0f}, {max(spent):.0f} ms"
    )
    print(f"answer to an edit: {len(answer.content) / 1e3:.1f} kB, packed {_packed(answer.content):.1f} kB")


def _packed(content: bytes) -> float:
    return len(gzip.compress(content, 6)) / 1e3


def _weights(client: TestClient) -> None:
    for path in PAGES:
        content = client.get(path).content
        loads = re.findall(r'(?:src|href)="(/(?:static/|style)[^"]*)"', content.decode("utf8"))
        if path.endswith("/round"):
            loads += ["/static/vendor/three-round.min.js", "/board/fold-62/solids.json"]
        whole = [content, *(client.get(each).content for each in loads)]
        sizes = sum(map(len, whole)) / 1e3, sum(map(_packed, whole))
        print(
            f"{path}: page {len(content) / 1e3:.0f} kB; with all it loads {sizes[0]:.0f} kB, packed {sizes[1]:.0f} kB"
        )


def _in_browser() -> None:
    from playwright.sync_api import sync_playwright
    from tests.browser.conftest import CHROMIUM, FLAGS, Site

    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        season = Path(shutil.copytree(DEMO, Path(scratch) / "season"))
        site = Site(House(files=app.Disk(), path=season, keys=Keys(), address="http://127.0.0.1:8080"))
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(f"{site.url}/board/fold-62")
        spent = [
            page.evaluate(
                """typed => new Promise(done => {
                    const start = performance.now();
                    document.addEventListener('htmx:afterSettle',
                        () => requestAnimationFrame(() => done(performance.now() - start)), {once: true});
                    const box = document.getElementById('length_mm');
                    box.value = typed;
                    box.dispatchEvent(new Event('input', {bubbles: true}));
                })""",
                str(625 + turn),
            )
            for turn in range(TURNS)
        ]
        middle = statistics.median(spent)
        print(
            f"edit in the browser, from key to picture, middle and slowest: {middle:.0f}, {max(spent):.0f} ms"
        )
        start = time.perf_counter()
        page.goto(f"{site.url}/board/fold-62/round")
        page.locator("#stage[data-drawn=yes]").wait_for(timeout=60_000)
        print(
            f"boat in the round, software graphics, to the first picture: {time.perf_counter() - start:.1f} s"
        )
        browser.close()
        site.close()


if __name__ == "__main__":
    main()

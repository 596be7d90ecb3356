"""The docs say what the code says."""

from __future__ import annotations

import importlib.util
import re
import shlex
from pathlib import Path

import pytest

from skimwright import app

ROOT = Path(__file__).parents[2]
spec = importlib.util.spec_from_file_location("build", ROOT / "docs" / "build.py")
assert spec is not None
assert spec.loader is not None
build = importlib.util.module_from_spec(spec)
spec.loader.exec_module(build)

PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
DECISIONS = sorted((ROOT / "docs" / "decisions").glob("*.md"))
PARTS_OF_A_NOTE = ("forced", "chose", "weighed", "harder", "notice")


@pytest.mark.parametrize("name", build.PAGES)
def test_a_made_page_is_not_stale(name):
    assert (ROOT / "docs" / name).read_text("utf8") == build.PAGES[name](), "run `make docs`"


def test_one_quantity_has_one_unit():
    """A name that means two units in two places is two names."""
    allowed = {"[-]"}
    assert all(unit not in allowed for unit, _ in build.quantities().values())
    assert len(build.quantities()) > 100


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_lead_somewhere(page):
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", page.read_text("utf8")):
        if not target.startswith(("http:", "https:", "mailto:")):
            assert (page.parent / target).exists(), f"{page.name} points to {target}"


@pytest.mark.parametrize("note", DECISIONS, ids=lambda p: p.stem)
def test_a_decision_note_is_whole(note):
    text = note.read_text("utf8").lower()
    assert re.search(r"20\d\d-\d\d-\d\d", text)
    assert re.search(r"proposed|accepted|replaced by", text)
    missing = [part for part in PARTS_OF_A_NOTE if part not in text]
    assert not missing, f"{note.name} does not say what {missing}"


def test_no_two_decisions_share_a_number():
    numbers = [note.name[:4] for note in DECISIONS]
    assert len(numbers) == len(set(numbers))


@pytest.mark.parametrize("page", [ROOT / "README.md", ROOT / "docs" / "start.md"], ids=lambda p: p.name)
def test_commands_shown_to_a_newcomer_work(page, capsys):
    found = re.findall(r"^(?:    )?\.venv/bin/skimwright (.+)$", page.read_text("utf8"), re.M)
    shown = [
        words for words in found if words.split()[0] != "host"
    ]  # it goes on until stopped: tests/browser
    assert shown
    for words in shown:
        words = words.replace("demo-season/season", str(ROOT / "src/skimwright/demo_season"))
        argv = shlex.split(words)
        argv += ["--runs", "40"] if argv[0] == "forecast" else []
        assert app.run(argv) == 0, (words, capsys.readouterr().err)

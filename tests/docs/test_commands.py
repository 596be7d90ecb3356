"""Every verb is in the help and in docs/cli.md, and the frame keeps its word."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from skimwright import app, cli
from skimwright.cli.help import commands_page
from skimwright.cli.verbs import all_verbs, shelved_verbs

ROOT = Path(__file__).parents[2]
VERBS = all_verbs()


@pytest.mark.parametrize("name", VERBS)
def test_every_verb_has_help_that_names_its_options(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert app.run([name, "--help"]) == 0
    page = capsys.readouterr().out
    verb = VERBS[name]
    for option in verb.options:
        assert option.flag in page
        assert option.does
    assert verb.does
    assert verb.example.startswith(name)
    assert max(map(len, page.splitlines())) <= 110


def test_the_front_page_names_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert app.run(["--help"]) == 0
    page = capsys.readouterr().out
    assert all(f"  {name} " in page for name in VERBS)


def test_the_page_of_commands_is_not_stale() -> None:
    assert (ROOT / "docs" / "cli.md").read_text("utf8") == commands_page(shelved_verbs()), (
        "make it anew: python -m skimwright.cli > docs/cli.md"
    )


def test_help_comes_without_loading_the_number_libraries() -> None:
    code = (
        "import sys; from skimwright.app import run; run(['--help']); run(['float', '--help']);"
        "slow = {'numpy', 'scipy', 'numba', 'shapely'} & set(sys.modules); sys.exit(', '.join(slow) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_front_door_offers_what_a_verb_needs() -> None:
    assert set(cli.__all__) == {
        "Answer",
        "Ask",
        "Files",
        "Option",
        "Progress",
        "Verb",
        "all_verbs",
        "parse",
        "run",
        "shelved_verbs",
        "size_mm",
        "whole",
    }


def test_json_of_docs_is_valid_everywhere_it_is_shown() -> None:
    for path in (ROOT / "docs").glob("*.md"):
        blocks = path.read_text("utf8").split("```json")[1:]
        for block in blocks:
            json.loads(block.split("```")[0])

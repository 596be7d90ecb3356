"""The demonstration kits, read from their own files."""

import copy
import json
import tomllib
from pathlib import Path

import pytest

import skimwright
from skimwright.boat import read_kit_table

KITS = Path(skimwright.__file__).parent / "demo_season" / "kits"


@pytest.fixture(scope="session")
def tables():
    """File stem to parsed table."""
    return {path.stem: tomllib.loads(path.read_text("utf8")) for path in sorted(KITS.glob("*.toml"))}


@pytest.fixture(scope="session")
def demo():
    """What the demonstration data say of each kit [demo: invented, a fixture and not evidence]."""
    return json.loads(Path(__file__).with_name("fold_kits.json").read_text("utf8"))


@pytest.fixture
def table(tables):
    """Fold 62's table, free to be spoilt."""
    return copy.deepcopy(tables["fold-62"])


@pytest.fixture
def fold(tables):
    """A kit by number, with some board or design values changed."""

    def make(number=62, *, board=None, design=None):
        table = copy.deepcopy(tables[f"fold-{number}"])
        table["board"] |= board or {}
        table["design"] |= design or {}
        return read_kit_table(table, file=f"fold-{number}.toml")

    return make


@pytest.fixture
def box_table():
    """A plain closed box of six own parts: 400 x 200 x 60 mm outside, board 5 mm."""
    lying, end = [[0, 0], [400, 0], [400, 200], [0, 200]], [[0, 0], [50, 0], [50, 200], [0, 200]]
    side = [[0, 0], [390, 0], [390, 50], [0, 50]]
    parts = [
        {"name": "BOTTOM", "outline_mm": lying, "origin_mm": [0, -100, 0]},
        {"name": "LID", "outline_mm": lying, "origin_mm": [0, -100, 55]},
        {"name": "BOW", "outline_mm": end, "origin_mm": [5, -100, 5], "turn_deg": [0, -90, 0]},
        {"name": "STERN", "outline_mm": end, "origin_mm": [400, -100, 5], "turn_deg": [0, -90, 0]},
        {"name": "PORT", "outline_mm": side, "origin_mm": [5, -95, 5], "turn_deg": [90, 0, 0]},
        {"name": "STARBOARD", "outline_mm": side, "origin_mm": [5, 100, 5], "turn_deg": [90, 0, 0]},
    ]
    return {
        "name": "Plain box",
        "form": "own",
        "board": {"thickness_mm": 5, "areal_density_g_m2": 450, "grain": "none"},
        "thrust": {"place_mm": [350, 0, 80]},
        "parts": parts,
    }


@pytest.fixture
def box(box_table):
    return read_kit_table(box_table, file="box.toml")

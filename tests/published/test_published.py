"""Printed and independently worked values, row by row: what papers, tables and proofs say our laws must give.

Each row is checked twice: the value agrees, and the check would notice a change.  Rows from memory are skipped
and counted.  What we do not compute stands in NOT_COMPUTED.md with the reason.
"""

import csv
import importlib
import inspect
from collections.abc import Iterator
from pathlib import Path

import pytest

from skimwright.base import InputError

HERE = Path(__file__).parent
COLUMNS = ["id", "call", "inputs", "expected", "unit", "tolerance", "source", "place", "status", "note"]
STATUSES = {"seen", "derived", "memory"}


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf8", newline="") as file:
        return [{**row, "file": path.name} for row in csv.DictReader(file)]


ROWS = [row for path in sorted(HERE.glob("*.csv")) for row in _read(path)]


def _call(name: str):
    package, function = name.rsplit(".", 1)
    package = package if package.startswith("adapters") else f"skimwright.{package}"
    return getattr(importlib.import_module(package), function)


def _inputs(row: dict[str, str]) -> dict[str, float]:
    pairs = (part.split("=") for part in row["inputs"].split(";") if part)
    return {key.strip(): float(value) for key, value in pairs}


def _nudged(inputs: dict[str, float], step: float) -> Iterator[dict[str, float]]:
    """Each input moved a little down, then up; nought is moved by the step itself."""
    for key, value in inputs.items():
        for factor in (1 - step, 1 + step):
            yield {**inputs, key: value * factor if value else step}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_matches_its_source(row):
    if row["status"] == "memory":
        pytest.skip("from memory: not evidence")
    call, inputs = _call(row["call"]), _inputs(row)
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    share = tolerance / max(abs(expected), 1e-12)
    assert 0 < share <= 0.05 or row["note"], "a tolerance this loose needs a note"
    value = call(**inputs)
    assert abs(value - expected) <= tolerance, f"{value!r} is not {expected} within {tolerance}"
    assert _a_nudge_shows(call, inputs, expected, tolerance, share), "no nudge of any input is noticed"


def _a_nudge_shows(call, inputs, expected, tolerance, share) -> bool:
    """True as soon as one small change of one input is caught: a check must be able to fail."""
    for moved in _nudged(inputs, min(0.6, max(0.02, 3 * share))):
        try:
            if abs(call(**moved) - expected) > tolerance:
                return True
        except InputError:
            continue
    return False


def test_rows_are_whole_and_named_once():
    ids = [row["id"] for row in ROWS]
    assert len(ids) == len(set(ids)), sorted({name for name in ids if ids.count(name) > 1})
    for row in ROWS:
        assert [key for key in row if key != "file"] == COLUMNS, f"{row['file']}: {row['id']}"
        assert row["status"] in STATUSES, row["id"]
        assert row["source"], row["id"]


def test_most_rows_are_evidence():
    evidence = [row for row in ROWS if row["status"] != "memory"]
    assert len(evidence) > 0.8 * len(ROWS)


def test_every_adapter_is_used():
    used = {row["call"] for row in ROWS}
    for path in HERE.glob("adapters*.py"):
        module = importlib.import_module(path.stem)
        own = {
            f"{path.stem}.{name}"
            for name, thing in inspect.getmembers(module, inspect.isfunction)
            if thing.__module__ == path.stem and thing.__annotations__.get("return") == "float"
            if not name.startswith("_")
        }
        assert own <= used, sorted(own - used)


def test_a_row_not_computed_is_explained_and_not_also_checked():
    told = (HERE / "NOT_COMPUTED.md").read_text(encoding="utf8")
    assert "## Water" in told
    water = told.split("## Water")[1].split("\n## ")[0]
    assert not {row["id"] for row in ROWS} & {
        word.strip("`,") for word in water.split() if word.startswith("`")
    }

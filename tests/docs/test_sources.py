"""Every model says how far it holds, where it is from and what checks it; every source is real and used."""

import ast
import doctest
import importlib
import inspect
import re
from pathlib import Path

import pytest

from skimwright.base.sources import SOURCES, cite
from skimwright.base.sources_air import SOURCES_AIR
from skimwright.base.sources_water import SOURCES_WATER

SRC = Path(__file__).parents[2] / "src" / "skimwright"
KEY = re.compile(r"\[([A-Z]\w+)(?:[,;][^\]]*)?\]")
OURS = ("Holds", "Trust", "Source", "Checked")
NOT_MODELS = {
    "guard",
    "settling",
    "device_file",
    "tunnel_march",
}  # checks, solvers, a reader: no law of their own
DEEDS = {  # not laws of nature either
    "envelope", "gas_envelope",  # compare with the range that the models state
    "joined", "clip", "require_closed",  # cut and check shapes
    "read_thrust_recording", "believe_newtons",  # read and doubt what was typed
    "permission_is_needed",  # a rule of the school
}  # fmt: skip


def _functions():
    """Public functions of the physics room, where they are written."""
    for path in sorted((SRC / "physics").glob("[!_]*.py")):
        if path.stem in NOT_MODELS:
            continue
        for node in ast.parse(path.read_text("utf8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and node.name not in DEEDS:
                yield path.stem, node.name, ast.get_docstring(node) or ""


FUNCTIONS = list(_functions())


def _section(text: str, name: str) -> str:
    """What stands under one of our headings: the indented lines after it."""
    lines = inspect.cleandoc(text).split("\n")
    body = []
    if name in lines:
        for line in lines[lines.index(name) + 1 :]:
            if line and not line.startswith(" "):
                break
            body.append(line)
    return "\n".join(body)


@pytest.mark.parametrize("file, name, text", FUNCTIONS, ids=[f"{file}.{name}" for file, name, _ in FUNCTIONS])
def test_a_model_says_how_far_to_trust_it(file, name, text):
    empty = [heading for heading in OURS if not _section(text, heading).strip()]
    assert not empty, f"{file}.{name} lacks {empty}"


@pytest.mark.parametrize("file, name, text", FUNCTIONS, ids=[f"{file}.{name}" for file, name, _ in FUNCTIONS])
def test_a_source_named_is_a_source_listed(file, name, text):
    named = {key for heading in OURS for key in KEY.findall(_section(text, heading))}
    assert named <= set(SOURCES), f"{file}.{name} names {sorted(named - set(SOURCES))}"


def test_each_listed_source_is_used():
    code = "\n".join(p.read_text("utf8") for p in SRC.rglob("*.py") if not p.stem.startswith("source"))
    unused = [key for key in SOURCES if not re.search(rf"\b{key}\b", code)]
    assert not unused


def test_no_key_stands_in_two_lists():
    assert not set(SOURCES_WATER) & set(SOURCES_AIR)


def test_each_source_can_be_cited_in_one_full_line():
    for key, source in SOURCES.items():
        line = cite(source)
        assert all((source.author, source.title, source.where, source.seen)), key
        assert not set("{\n") & set(line), key
        assert line.count("[") == line.count("]"), key


def test_no_model_stands_on_memory_without_saying_so():
    for file, name, text in FUNCTIONS:
        for key, rest in re.findall(r"\[([A-Z]\w+)([^\]]*)\]", _section(text, "Source")):
            if SOURCES[key].status == "memory":
                assert "memory" in rest, f"{file}.{name} hides that {key} is from memory"


def _checked_places():
    for file, name, text in FUNCTIONS:
        for path in re.findall(r"tests/[\w/]+\.(?:py|csv)", _section(text, "Checked")):
            yield f"{file}.{name}", path


def test_what_is_said_to_check_a_model_exists():
    root = Path(__file__).parents[2]
    assert not [(name, path) for name, path in _checked_places() if not (root / path).exists()]


def test_rows_said_to_check_a_model_exist():
    """A row's name, the start of a family's (class_A of class_A_least), or one explained in NOT_COMPUTED."""
    root = Path(__file__).parents[2] / "tests" / "published"
    ids = {line.split(",")[0] for path in root.glob("*.csv") for line in path.read_text("utf8").split("\n")}
    told = set(re.findall(r"`([\w.-]+)`", (root / "NOT_COMPUTED.md").read_text("utf8")))
    lost = []
    for file, name, text in FUNCTIONS:
        for part in re.findall(r"tests/published/\w+\.csv: ([^;]*)", _section(text, "Checked")):
            words = re.findall(r"(?<![`\w])[a-zA-Z]\w*_[\w.+]*\w(?!\w*`)", part.split("tests/")[0])
            lost += [(f"{file}.{name}", word) for word in words if not _is_row(word, ids | told)]
    assert not lost


def _is_row(word: str, ids: set[str]) -> bool:
    return word in ids or any(row.startswith(f"{word}_") for row in ids)


def test_the_door_of_planing_hands_out_all_its_laws():
    door = importlib.import_module("skimwright.physics.planing")
    behind = {name for file, name, _ in FUNCTIONS if file.startswith("planing_")}
    assert behind <= set(door.__all__)


@pytest.mark.parametrize("file", sorted({file for file, _, _ in FUNCTIONS}))
def test_the_examples_of_a_model_come_out_as_written(file):
    module = importlib.import_module(f"skimwright.physics.{file}")
    result = doctest.testmod(module, optionflags=doctest.IGNORE_EXCEPTION_DETAIL)
    assert result.failed == 0

"""The arrows between rooms, and their front doors."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SRC = Path(__file__).parents[2] / "src" / "skimwright"

FLOOR_1 = {"base", "boat", "pond"}
DESK_MAY = FLOOR_1 | {"course", "kit", "physics", "regatta", "run", "teach", "trials"}
MAY_IMPORT: dict[str, set[str]] = {
    "base": set(),
    "boat": {"base"},
    "pond": {"base"},
    "kit": {"base", "boat"},
    "physics": FLOOR_1,
    "regatta": {"base", "pond"},  # boats by number only: race day must not fall over a physics file
    "run": FLOOR_1 | {"physics"},
    "course": FLOOR_1 | {"physics", "run"},
    "trials": FLOOR_1 | {"physics", "run"},
    "teach": FLOOR_1 | {"kit", "physics", "run"},
    "desk": DESK_MAY,
    "paper": {"base", "desk"},  # desk's data classes
    "store": {"base", "desk"},
    "cli": {"base", "desk"},
    "web": {"base", "cli", "desk", "paper"},
    "packer": {"base", "kit"},  # the nesting program in a process of its own
}
BOOTSTRAP = {"app", "__init__", "__main__"}  # may import anything
DATA = {"demo_season"}  # files, no code
# Rooms whose files are doors of their own: `from skimwright.physics import thrust` and `skimwright.physics.thrust`.
DOORS = {
    ("base", "sources"),
    ("base", "drawing"),
    ("base", "page"),
    ("base", "sheet"),
    ("base", "lettering"),
    ("physics", "thrust"),
}


def imported(tree: ast.AST, depth: int) -> Iterator[tuple[list[str], int]]:
    """Each skimwright.* name a module asks for, with its line; climbing out of a room counts as a name too."""
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level >= depth > 1:
            names = ["skimwright.<climbs out of its room>"]
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            root = node.module == "skimwright"
            names = [f"skimwright.{alias.name}" for alias in node.names] if root else [node.module or ""]
        yield from ((name.split("."), node.lineno) for name in names if name.startswith("skimwright."))  # type: ignore[attr-defined]


def wrong_imports(root: Path) -> list[str]:
    """Every import that points up, across, or behind a front door."""
    wrong = []
    for path in sorted(root.rglob("*.py")):
        inside = path.relative_to(root)
        here = inside.parts[0].removesuffix(".py")
        if here in BOOTSTRAP:
            continue
        for parts, line in imported(ast.parse(path.read_text("utf8")), len(inside.parts)):
            room = parts[1]
            if room == here or room == "__version__":
                continue
            if room not in MAY_IMPORT.get(here, set()):  # a room that is not in the table fails here
                wrong.append(f"{inside}:{line} {here} may not import {room}")
            elif len(parts) > 2 and (room, parts[2]) not in DOORS:
                wrong.append(f"{inside}:{line} reaches behind the front door of {room}")
    return wrong


def test_arrows_point_down_and_use_front_doors() -> None:
    wrong = wrong_imports(SRC)
    assert not wrong, "\n".join(wrong)


def test_every_room_is_in_the_table() -> None:
    rooms = {path.name for path in SRC.iterdir() if path.is_dir() and any(path.glob("*.py"))}
    assert rooms <= set(MAY_IMPORT) | DATA


@pytest.mark.parametrize(
    "room, line",
    [
        ("base", "from skimwright.boat import Kit"),
        ("kit", "import skimwright.physics"),
        ("boat", "from skimwright import desk"),
        ("run", "from skimwright.boat.plan import Kit"),
        ("boat", "from ..base import errors"),
        ("attic", "from skimwright.base import Finding"),
        ("store", "from skimwright.physics import thrust"),
    ],
)
def test_a_planted_fault_is_caught(tmp_path: Path, room: str, line: str) -> None:
    (tmp_path / room).mkdir()
    (tmp_path / room / "planted.py").write_text(line + "\n", "utf8")
    assert len(wrong_imports(tmp_path)) == 1


def test_pure_rooms_touch_no_files_clock_network_or_environment() -> None:
    shut = {
        "os",
        "sys",
        "time",
        "pathlib",
        "socket",
        "subprocess",
        "tempfile",
        "urllib",
        "http",
        "random",
        "shutil",
    }
    wrong = []
    for room in ("base", "boat", "pond", "physics", "regatta", "run", "course", "trials", "teach", "desk"):
        for path in sorted((SRC / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text("utf8"))):
                names = []
                if isinstance(node, ast.Import):
                    names = [alias.name for alias in node.names]
                elif isinstance(node, ast.ImportFrom) and not node.level:
                    names = [node.module or ""]
                wrong += [f"{room}/{path.name}:{node.lineno} {n}" for n in names if n.split(".")[0] in shut]  # type: ignore[attr-defined]
    assert not wrong, "\n".join(wrong)

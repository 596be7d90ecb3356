"""Make the made parts of the docs anew: ``make docs``.  Tests compare them with what stands in the tree."""

from __future__ import annotations

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
SRC = ROOT / "src" / "skimwright"
MARK = "<!-- made by docs/build.py: do not edit below -->\n"
ROOMS = ("boat", "pond", "physics", "run")
UNIT = re.compile(r"^(.*)\[([^\]]+)\]\.?\s*$", re.S)


def quantities() -> dict[str, tuple[str, str]]:
    """Every number or array that a public function of the lower rooms takes: name to (unit, meaning)."""
    found: dict[str, list[tuple[str, str]]] = {}
    for room in ROOMS:
        for path in sorted((SRC / room).rglob("*.py")):
            for node in ast.parse(path.read_text("utf8")).body:
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    for name, text in _described(ast.get_docstring(node) or "").items():
                        match = UNIT.match(text)
                        if match and match[1].strip():
                            found.setdefault(name, []).append((match[2], " ".join(match[1].split())))
    return {
        name: max(texts, key=lambda t: (texts.count(t), -len(t[1]))) for name, texts in sorted(found.items())
    }


def _described(docstring: str) -> dict[str, str]:
    """Parameters of a numpydoc docstring and what is said of them."""
    part = re.search(r"Parameters\n-+\n(.*?)(?:\n\n[A-Z]|\Z)", docstring, re.S)
    if not part:
        return {}
    out: dict[str, str] = {}
    names: list[str] = []
    for line in part[1].splitlines():
        if line and not line.startswith(" "):
            names = [name.strip() for name in line.split(":")[0].split(",")]
            for name in names:
                out[name] = ""
        elif line.strip():
            for name in names:
                out[name] = f"{out[name]} {line.strip()}".strip()
    return {name: text for name, text in out.items() if text and name.isidentifier()}


def nomenclature() -> str:
    """The page of names, its lower part made anew."""
    page = (ROOT / "docs" / "nomenclature.md").read_text("utf8")
    rows = [f"| `{name}` | {unit} | {meaning} |" for name, (unit, meaning) in quantities().items()]
    table = "\n".join(["| name | unit | meaning |", "|---|---|---|", *rows])
    return page.split(MARK)[0] + MARK + "\n" + table + "\n"


def sources() -> str:
    """The page of sources."""
    from skimwright.base.sources import SOURCES, cite

    rows = [f"| `{key}` | {SOURCES[key].status} | {cite(SOURCES[key])} |" for key in sorted(SOURCES)]
    return "\n".join(
        [
            "# Sources",
            "",
            "Made by `docs/build.py` from the list in the code. *seen*: read there. *second-hand*: as another",
            "quotes it. *memory*: written down from memory; it holds up no test.",
            "",
            "| key | status | source |",
            "|---|---|---|",
            *rows,
            "",
        ]
    )


def commands() -> str:
    """The page of commands."""
    from skimwright.cli.help import commands_page
    from skimwright.cli.verbs import shelved_verbs

    return commands_page(shelved_verbs())


PAGES = {"nomenclature.md": nomenclature, "sources.md": sources, "cli.md": commands}


def main() -> None:
    for name, make in PAGES.items():
        (ROOT / "docs" / name).write_text(make(), "utf8")


if __name__ == "__main__":
    main()

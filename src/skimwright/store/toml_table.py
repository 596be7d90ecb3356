"""A TOML file as plain mappings."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from skimwright.base import InputError, Where
from skimwright.store.text import read_text


def read_table(path: Path, *, name: str = "") -> dict[str, Any]:
    """The tables of a TOML file.

    Raises
    ------
    InputError
        The file is empty, breaks off, or a line is not TOML; the line is named.
    MissingError, StoreError
        The file is not there, or will not open.
    """
    return table_of(read_text(path, name=name), name or path.name)


def table_of(text: str, file: str) -> dict[str, Any]:
    """As `read_table`, from text."""
    if not text.strip():
        raise InputError(
            what="the file is empty", do="Write it again, or copy it from a backup.", where=Where(file=file)
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _bad_line(text, str(error), file) from error


def _bad_line(text: str, message: str, file: str) -> InputError:
    """The line the reader stopped at, in the writer's own words."""
    lines = text.splitlines()
    found = re.search(r"at line (\d+)", message)
    last = max(i for i, line in enumerate(lines, 1) if line.strip())
    number = min(int(found[1]) if found else last, last)
    if ("Cannot" in message and "overwrite" in message) or ("declare" in message and "twice" in message):
        what, do = "the same name is given twice", "Keep one of them."
    elif number == last and not text.endswith("\n"):
        what, do = "the file breaks off here", "Copy the whole file again, or finish the line."
    else:
        what, do = (
            "this line cannot be read",
            'Write it as name = value; put words in "double quotes" and use a full stop as the decimal sign.',
        )
    return InputError(what=what, got=_excerpt(lines[number - 1]), do=do, where=Where(file=file, row=number))


def _excerpt(line: str) -> str:
    line = line.strip()
    return f"`{line if len(line) <= 60 else line[:57] + '...'}`"

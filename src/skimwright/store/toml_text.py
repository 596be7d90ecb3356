"""Plain tables as TOML text: words, numbers, yes and no, lists of these, and tables inside."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def toml_text(table: Mapping[str, Any]) -> str:
    """The text that `read_table` reads back.

    Examples
    --------
    >>> print(toml_text({"name": "Hiss", "law": {"times_s": [0, 1.5]}}), end="")
    name = "Hiss"
    <BLANKLINE>
    [law]
    times_s = [0, 1.5]
    """
    lines = [f"{key} = {_value(value)}" for key, value in table.items() if not isinstance(value, Mapping)]
    for key, inner in table.items():
        if isinstance(inner, Mapping):
            lines += ["", f"[{key}]", *(f"{name} = {_value(value)}" for name, value in inner.items())]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_value, value))}]"
    # A JSON text is a TOML basic string, and JSON's numbers, true and false are TOML's.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")

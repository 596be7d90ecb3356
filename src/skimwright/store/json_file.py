"""JSON files: what an earlier command wrote."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from skimwright.base import InputError, Where
from skimwright.store.text import read_text


def read_json(path: Path) -> Any:
    """What a JSON file holds.

    Raises
    ------
    InputError
        It is not JSON; the row is named.
    MissingError, StoreError
        As `read_text`.
    """
    try:
        return json.loads(read_text(path))
    except json.JSONDecodeError as error:
        raise InputError(
            what="not JSON",
            got=error.msg,
            do="Write the file again with the command that made it.",
            where=Where(file=path.name, row=error.lineno),
        ) from error

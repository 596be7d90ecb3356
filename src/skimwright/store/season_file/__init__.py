"""A season in one file: SQLite inside, its tables ours alone.

Reading needs only ``reading`` and ``inside``; ``writing`` and ``keeping`` bring the larger library with them, so they
are named here and loaded when first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from skimwright.store.season_file.reading import read_contents

if TYPE_CHECKING:
    from skimwright.store.season_file.erasing import erase
    from skimwright.store.season_file.keeping import keep_season
    from skimwright.store.season_file.writing import SeasonFile, new_season, write_files

__all__ = ["SeasonFile", "erase", "keep_season", "new_season", "read_contents", "write_files"]

_LATER = {
    "SeasonFile": "writing",
    "erase": "erasing",
    "keep_season": "keeping",
    "new_season": "writing",
    "write_files": "writing",
}


def __getattr__(name: str) -> Any:
    """A name of ``writing`` or ``keeping``, when it is first used."""
    if name in _LATER:
        return getattr(import_module(f"skimwright.store.season_file.{_LATER[name]}"), name)
    raise AttributeError(name)

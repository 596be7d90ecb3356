"""Which kit a word on the command line means."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.base import MissingError, Where
from skimwright.cli.verb import Ask, Option

if TYPE_CHECKING:
    from skimwright.desk import Kit

KIT = Option(
    flag="KIT", does='a kit file such as fold-62.toml, or the name of a kit of the season: "Fold 62"'
)


def kit_meant(ask: Ask, word: str) -> Kit:
    """The kit in that file, or of that name in the season."""
    path = Path(word)
    if ask.files.is_file(path) or path.suffix == ".toml":
        from skimwright import desk

        return desk.read_kit(ask.files.table(path), file=path.name)
    kits = ask.season().kits
    for name, kit in kits.items():
        if name.casefold() == word.casefold():
            return kit
    close = difflib.get_close_matches(word, kits, n=1, cutoff=0.4)
    raise MissingError(
        what="no kit file and no kit of the season has this name",
        got=f'"{word}"',
        allowed=", ".join(kits),
        do=f'Did you mean "{close[0]}"?' if close else "Give a file's name or one of these.",
        where=Where(field="KIT"),
    )

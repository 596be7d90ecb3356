"""The bootstrap: the only place that joins the rooms to the disk and the environment."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from skimwright.desk import Season


def run(argv: Sequence[str]) -> int:
    """Answer one command line; the exit status is returned."""
    from skimwright import cli

    return cli.run(argv, files=Disk())


class Disk:
    """The real files.  Nothing is imported before it is asked for, so that help comes at once."""

    def season(self, chosen: str | None, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
        """The season folder asked for, or the one found."""
        from skimwright import store

        return store.read_season_folder(self.season_folder(chosen), answers=answers)

    def season_folder(self, chosen: str | None) -> Path:
        """Where that season is."""
        from skimwright import store

        return store.find_season(chosen, environment=os.environ, here=Path.cwd())

    def table(self, path: Path) -> dict[str, Any]:
        """A TOML file."""
        from skimwright import store

        return store.read_table(path)

    def grid(self, path: Path) -> list[list[str]]:
        """A CSV file as bare cells, blank rows kept."""
        from skimwright import store

        return store.read_grid(path)

    def demo_season(self) -> Path:
        """The folder of the demonstration season that comes with the program."""
        return Path(__file__).parent / "demo_season"

    def is_file(self, path: Path) -> bool:
        """Whether there is such a file."""
        return path.is_file()

    def write(self, path: Path, content: str | bytes) -> Path:
        """A new file; folders are made as needed."""
        from skimwright import store

        return store.write_file(path, content)

    def write_table(self, path: Path, table: Mapping[str, Any]) -> Path:
        """A new TOML file."""
        from skimwright import store

        return store.write_file(path, store.toml_text(table))

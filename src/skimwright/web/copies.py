"""A copy of the season after every report of the day, in another place: a stick, a second disk."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from skimwright.base import SkimwrightError
from skimwright.cli import Files
from skimwright.desk import SeasonContents

PAUSE = 20.0  # between two copies at the least, so that a stick is not written without rest [s]


class Copies:
    """Copies a season beside the pages, whenever something is due.

    Parameters
    ----------
    files : Files
    season : Path
        A folder or a season file, in use.
    place : Path
        The folder for the copies.
    tell : callable
        Told when a copy was made or could not be.
    pause : float
        [s]
    """

    def __init__(
        self, files: Files, season: Path, place: Path, *, tell: Callable[[], None], pause: float = PAUSE
    ) -> None:
        self._files, self._season, self.place, self._tell, self._pause = files, season, place, tell, pause
        self.last = ""  # when the last one was made
        self.trouble = ""  # why the last one was not
        self._due, self._over = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._run, name="copies", daemon=True)

    def open(self) -> None:
        """Make the first at once: a stick that is not there is found out in the morning."""
        self._due.set()
        self._thread.start()

    def due(self) -> None:
        """Something was written that must not be lost."""
        self._due.set()

    def make(self) -> None:
        """One copy now; what goes wrong is kept as a sentence."""
        now = self._files.now()
        stamp = now[:19].replace(":", "").replace("T", "-")
        was = self.trouble
        try:
            if self._season.is_dir():
                self._from_folder(stamp)
            else:
                self._files.keep_season(self._season, self.place, stamp)
            self.last, self.trouble = now[11:16], ""
        except SkimwrightError as error:
            self.trouble = error.sentence()
        except OSError as error:
            self.trouble = f"{self.place}: {(error.strerror or 'it cannot be written').lower()}."
        if self.trouble != was:
            self._tell()

    def _from_folder(self, stamp: str) -> None:
        """The plain files of a folder, as one season file."""
        if not self.place.is_dir():
            raise OSError(0, "no such folder; is the stick in?")
        files, _ = self._files.plain_files(self._season)
        name = self.place / f"{self._season.name}-{stamp}.season"
        if not name.exists():
            self._files.new_season(name, SeasonContents(files=files))

    def _run(self) -> None:
        while True:
            self._due.wait()
            self._due.clear()
            self.make()
            if self._over.is_set():
                return
            self._over.wait(self._pause)
            if self._over.is_set() and not self._due.is_set():
                return

    def close(self) -> None:
        """Make the one that is due, if any, and end."""
        self._over.set()
        if not self._due.is_set() and not self._thread.is_alive():
            return
        self._due.set()
        if self._thread.is_alive():
            self._thread.join(5.0)

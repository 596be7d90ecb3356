"""How far a long sum has come, on standard error, for people who wait."""

from __future__ import annotations

import time
from typing import TextIO

PATIENCE = 1.0  # s before anything is said
EVERY = 0.2  # s between lines on a terminal


class Progress:
    """Says how far, at most a few times a second; silent unless somebody watches.

    Parameters
    ----------
    stream : TextIO, optional
        Where to; None says nothing.
    is_terminal : bool
        One line written over and over, instead of a line for each tenth.
    """

    def __init__(self, stream: TextIO | None = None, *, is_terminal: bool = False) -> None:
        self._stream, self._is_terminal = stream, is_terminal
        self._begun = self._last = time.monotonic()
        self._tenth, self._wide = -1, 0

    def update(self, done: float, total: float, what: str) -> None:
        """So much of so much is done: ``update(250, 1000, "runs")``."""
        now = time.monotonic()
        if self._stream is None or now - self._begun < PATIENCE or total <= 0:
            return
        line = f"{what}: {done:g} of {total:g}"
        if self._is_terminal:
            if now - self._last >= EVERY or done >= total:
                self._stream.write("\r" + line.ljust(self._wide))
                self._wide, self._last = len(line), now
        elif int(10 * done / total) != self._tenth:
            self._tenth = int(10 * done / total)
            self._stream.write(line + "\n")
        self._stream.flush()

    def say(self, sentence: str) -> None:
        """A sentence on a line of its own, at once."""
        if self._stream is not None:
            self.close()
            self._stream.write(sentence + "\n")
            self._stream.flush()

    def close(self) -> None:
        """Wipe the line."""
        if self._stream is not None and self._wide:
            self._stream.write("\r" + " " * self._wide + "\r")
            self._stream.flush()
            self._wide = 0

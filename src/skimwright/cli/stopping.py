"""Ctrl-C that ends a search and keeps what it has found."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Callable, Iterator

from skimwright.cli.verb import Ask


@contextlib.contextmanager
def stoppable(ask: Ask, *, best: str) -> Iterator[Callable[[], bool]]:
    """Ctrl-C once keeps the best so far; twice gives up."""
    heard = False

    def hear(number: int, frame: object) -> None:
        nonlocal heard
        if heard:
            raise KeyboardInterrupt
        heard = True
        ask.progress.say(f"Stopping: the best {best} so far is kept. Once more gives up.")

    try:
        before = signal.signal(signal.SIGINT, hear)
    except ValueError:  # not the main thread: nobody can press keys here
        yield lambda: False
        return
    try:
        yield lambda: heard
    finally:
        signal.signal(signal.SIGINT, before)

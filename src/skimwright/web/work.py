"""Long work beside the pages: it says how far it is, and can be stopped."""

from __future__ import annotations

import queue
import secrets
import shutil
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from skimwright.base import ConflictError, MissingError, SkimwrightError, Where

KEPT = 60  # finished pieces that can still be looked at
MOST_WAITING = 12
MOMENT = 2.0  # for work to hear that all is over [s]
MOST_EACH = 4  # begun by one phone and not over, so that no phone fills the queue


@dataclass
class Work:
    """One piece of long work."""

    id: str
    what: str  # "forecast of boat 07"
    owner: str  # the ticket that began it
    back: str = ""  # the page it was begun on
    done: float = 0.0
    total: float = 0.0
    saying: str = "waiting its turn"
    result: Any = None
    error: str = ""
    is_over: bool = False
    folder: Path | None = None  # what it writes; gone again if nothing comes of it
    _stop: threading.Event = field(default_factory=threading.Event, repr=False)

    def progress(self, done: float, total: float, saying: str = "") -> None:
        """For the function that does it."""
        self.done, self.total, self.saying = done, total, saying or self.saying

    def stopped(self) -> bool:
        """Whether somebody asked it to stop."""
        return self._stop.is_set()

    def stop(self) -> None:
        """Ask it to stop."""
        self._stop.set()

    @property
    def share(self) -> int:
        """How much of it is done.  [%]"""
        return min(100, round(100 * self.done / self.total)) if self.total else 0


class Bench:
    """Does one piece at a time: the model uses both cores by itself."""

    def __init__(self) -> None:
        self._waiting: queue.SimpleQueue[tuple[Work, Callable[[Work], Any]] | None] = queue.SimpleQueue()
        self._hand = threading.Thread(target=self._go_on, name="work", daemon=True)  # never holds the exit up
        self._works: OrderedDict[str, Work] = OrderedDict()
        self._lock = threading.Lock()

    def begin(
        self, what: str, do: Callable[[Work], Any], *, owner: str, back: str = "", folder: Path | None = None
    ) -> Work:
        """Put a piece in the queue.

        Raises
        ------
        ConflictError
            Too many are waiting; the folder is gone.
        """
        work = Work(id=secrets.token_hex(8), what=what, owner=owner, back=back, folder=folder)
        try:
            self._take(work, owner)
        except ConflictError:
            _drop(folder)
            raise
        self._waiting.put((work, do))
        return work

    def _go_on(self) -> None:
        while (piece := self._waiting.get()) is not None:
            self._do(*piece)

    def _take(self, work: Work, owner: str) -> None:
        with self._lock:
            if self._hand.ident is None:
                self._hand.start()
            if sum(not other.is_over for other in self._works.values()) >= MOST_WAITING:
                raise ConflictError(
                    what="too much work is waiting",
                    got=f"{MOST_WAITING} pieces",
                    do="Wait for one, or stop one.",
                )
            if sum(not other.is_over and other.owner == owner for other in self._works.values()) >= MOST_EACH:
                raise ConflictError(
                    what="this phone has much work waiting already", got=f"{MOST_EACH} pieces",
                    do="Wait for one, or stop one.",
                )  # fmt: skip
            self._works[work.id] = work
            over = [key for key, other in self._works.items() if other.is_over]
            for key in over[:-KEPT]:
                del self._works[key]

    def find(self, key: str) -> Work:
        """The piece of that number.

        Raises
        ------
        MissingError
            It is not known, or too old.
        """
        with self._lock:
            if key in self._works:
                return self._works[key]
        raise MissingError(what="this piece of work is no longer kept", do="Begin it again.",
                           where=Where(field="work"))  # fmt: skip

    @staticmethod
    def _do(work: Work, do: Callable[[Work], Any]) -> None:
        try:
            if not work.stopped():
                work.result = do(work)
        except SkimwrightError as error:
            work.error = error.sentence()
        except OSError as error:
            work.error = f"The computer could not do it: {(error.strerror or 'an unknown fault').lower()}."
        except Exception as fault:  # a fault of ours must not end the bench
            work.error = f"Skimwright met a fault of its own ({type(fault).__name__}) and could not answer."
        if work.error or work.stopped():
            _drop(work.folder)
        if work.stopped():
            work.result, work.error = None, "Stopped. Nothing half done was kept."
        work.is_over = True

    def close(self) -> None:
        """Stop everything; what does not hear it is left behind after a moment."""
        with self._lock:
            for work in self._works.values():
                work.stop()
        self._waiting.put(None)
        if self._hand.ident is not None:
            self._hand.join(MOMENT)


def _drop(folder: Path | None) -> None:
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)

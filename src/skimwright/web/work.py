"""Long work beside the pages: it says how far it is, and can be stopped."""

from __future__ import annotations

import secrets
import shutil
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from skimwright.base import ConflictError, MissingError, SkimwrightError, Where

KEPT = 60  # finished pieces that can still be looked at
MOST_WAITING = 12
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
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="work")
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
        self._pool.submit(self._do, work, do)
        return work

    def _take(self, work: Work, owner: str) -> None:
        with self._lock:
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
        except Exception as fault:  # a fault of ours must not end the bench
            work.error = f"Skimwright met a fault of its own ({type(fault).__name__}) and could not answer."
        if work.error or work.stopped():
            _drop(work.folder)
        if work.stopped():
            work.result, work.error = None, "Stopped. Nothing half done was kept."
        work.is_over = True

    def close(self) -> None:
        """Stop everything."""
        for work in self._works.values():
            work.stop()
        self._pool.shutdown(wait=False, cancel_futures=True)


def _drop(folder: Path | None) -> None:
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)

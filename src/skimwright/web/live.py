"""News for every page that is open: small, soon, and never at the cost of the others."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator

from skimwright.web.safe import LOCAL

MOST_LISTENERS = 600  # visitors; phones with a job come in over that
MOST_EACH = 40  # pages from one address: a browser opens six
WAITING = 32  # pieces of news a slow listener may have waiting; then it is let go, and its page connects anew
BREATH = 15.0  # a sign of life this often, so that a dead line shows [s]


class Hub:
    """Tells topics to whoever listens.  A slow listener is dropped, never waited for."""

    def __init__(self) -> None:
        self._queues: dict[asyncio.Queue[str | None], str] = {}  # whose it is
        self._loop: asyncio.AbstractEventLoop | None = None
        self._number = 0

    @property
    def listeners(self) -> int:
        """How many pages are connected."""
        return len(self._queues)

    @property
    def number(self) -> int:
        """Of the last piece of news: while it stays, nothing has changed."""
        return self._number

    def tell(self, topic: str) -> None:
        """Say that something changed; from any thread."""
        if self._loop is None:
            return
        with contextlib.suppress(RuntimeError):  # the house is closing
            self._loop.call_soon_threadsafe(self._tell, topic)

    def _tell(self, topic: str) -> None:
        self._number += 1
        message = f"id: {self._number}\nevent: {topic}\ndata: {self._number}\n\n"
        for queue in tuple(self._queues):
            try:
                queue.put_nowait(message)
            except asyncio.QueueFull:
                self._let_go(queue)

    def has_room(self, address: str, *, for_staff: bool) -> bool:
        """Whether one more page may listen; an address of this computer may have as many as it likes."""
        if address not in LOCAL and sum(each == address for each in self._queues.values()) >= MOST_EACH:
            return False
        return for_staff or len(self._queues) < MOST_LISTENERS

    async def listen(self, address: str = "") -> AsyncIterator[str]:
        """The news as a stream of server-sent events (WHATWG HTML, section 9.2)."""
        self._loop = asyncio.get_running_loop()
        queue: asyncio.Queue[str | None] = asyncio.Queue(WAITING)
        self._queues[queue] = address
        try:
            yield "retry: 2000\n\n"
            while True:
                try:
                    message = await asyncio.wait_for(queue.get(), BREATH)
                except TimeoutError:
                    message = ": still here\n\n"
                if message is None:
                    return
                yield message
        finally:
            self._queues.pop(queue, None)

    def open(self) -> None:
        """Called once the house stands, in its loop."""
        self._loop = asyncio.get_running_loop()

    def close(self) -> None:
        """Let everybody go."""
        for queue in tuple(self._queues):
            self._let_go(queue)

    def _let_go(self, queue: asyncio.Queue[str | None]) -> None:
        self._queues.pop(queue, None)
        while not queue.empty():
            queue.get_nowait()
        queue.put_nowait(None)

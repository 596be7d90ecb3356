"""What stands before every door: headers, size, speed, and whether the address is ours."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

from starlette.datastructures import MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "font-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}
LARGEST = 6 * 1024 * 1024  # of anything sent in [bytes]
LONGEST = 2000  # address, with what stands behind its question mark [bytes]
LOCAL = ("127.0.0.1", "::1", "localhost")


class Safe:
    """Headers on every answer; a body that is too large, or an address that is not ours, never gets in."""

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str] | None) -> None:
        self.app, self.hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """As ASGI 3.0."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, _with_headers(send, "no-store"))
            return
        kept = "max-age=300" if scope["path"].startswith("/static/") else "no-store"
        await self.app(scope, _bounded(receive), _with_headers(send, kept))

    def _refusal(self, scope: Scope) -> PlainTextResponse | None:
        headers = {key: value.decode("latin-1") for key, value in scope["headers"]}
        host = headers.get(b"host", "").rsplit(":", 1)[0].strip("[]").lower()
        if self.hosts is not None and host not in self.hosts:
            return PlainTextResponse("This address is not Skimwright's. Use the one it printed.", 421)
        if (
            len(scope.get("raw_path") or scope["path"]) + len(scope["query_string"]) > LONGEST
            or "\0" in scope["path"]
        ):
            return PlainTextResponse("There is no such page: this address is none of ours.", 414)
        length = headers.get(b"content-length", "0")
        if not length.isdigit() or int(length) > LARGEST:
            return PlainTextResponse(f"Too large: send up to {LARGEST // 1024 // 1024} MB.", 413)
        return None


class TooLarge(Exception):
    """More came in than was announced or allowed."""


def _bounded(receive: Receive) -> Receive:
    got = 0

    async def bounded() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        if got > LARGEST:
            raise TooLarge
        return message

    return bounded


def _with_headers(send: Send, kept: str) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", kept if message["status"] < 400 else "no-store")
        await send(message)

    return sending


class Pace:
    """So many in so many seconds for each who: guessing a code or a password must be slow.

    Parameters
    ----------
    most : int
    seconds : float
    clock : callable
    """

    def __init__(self, *, most: int, seconds: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._most, self._seconds, self._clock = most, seconds, clock
        self._seen: dict[str, deque[float]] = {}

    def is_too_fast(self, who: str) -> bool:
        """Count one more of this one's."""
        now = self._clock()
        if len(self._seen) > 5000:
            self._seen.clear()
        seen = self._seen.setdefault(who, deque(maxlen=self._most + 1))
        while seen and seen[0] < now - self._seconds:
            seen.popleft()
        seen.append(now)
        return len(seen) > self._most

"""From a season to an address that a browser can open."""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Callable
from pathlib import Path

import segno
import uvicorn

from skimwright.base import StoreError, Where
from skimwright.cli import Files
from skimwright.web.copies import Copies
from skimwright.web.house import House
from skimwright.web.jobs import Keys, make_password
from skimwright.web.site import workbench

MOST_FILES = 8192


def open_house(files: Files, path: Path, *, at_pond: bool, port: int) -> House:
    """The house for a season, with its keys beside it."""
    keys = Keys.at(path.with_name(f".{path.stem}.keys"))
    host = _address_here() if at_pond else "127.0.0.1"
    return House(files=files, path=path, keys=keys, at_pond=at_pond, address=f"http://{host}:{port}")


def serve(
    files: Files, path: Path, *, at_pond: bool, port: int, new_password: bool, copies: Path | None,
    say: Callable[[str], None],
) -> None:  # fmt: skip
    """Show a season until stopped.

    Raises
    ------
    StoreError
        The port is taken.
    """
    _many_files()
    place = _listen("0.0.0.0" if at_pond else "127.0.0.1", port)
    port = place.getsockname()[1]
    house = open_house(files, path, at_pond=at_pond, port=port)
    if copies is not None:
        house.copies = Copies(files, path, copies, tell=lambda: house.hub.tell("holds"))
    if new_password:
        house.keys.forget_password()
    _greet(house, say)
    config = uvicorn.Config(
        workbench(house), log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=2,
        timeout_keep_alive=30, proxy_headers=False,
    )  # fmt: skip
    try:
        _Server(config, house).run(sockets=[place])
    finally:
        place.close()


class _Server(uvicorn.Server):
    """Lets the pages that listen go first: the others are soon done, and nobody is cut off in a sentence."""

    def __init__(self, config: uvicorn.Config, house: House) -> None:
        super().__init__(config)
        self._house = house

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """As the server's own."""
        self._house.hub.close()
        await super().shutdown(sockets)


def _greet(house: House, say: Callable[[str], None]) -> None:
    say(f"Open {house.address} in a browser. Stop with Ctrl-C; nothing is lost.")
    if not house.at_pond:
        return
    say("Everybody on this network can open it: visitors see boat numbers, boat names, calls and results.")
    say("Whoever sits at this computer is the organiser. Phones get one job each by a code: Office, Phones.")
    if not house.keys.password_hash:
        password = make_password()
        house.keys.set_password(password)
        say(f"The organiser's password, shown this once: {password}")
    say(code_to_scan(house.address))


def code_to_scan(address: str) -> str:
    """A code a phone can read off a terminal."""
    import io

    out = io.StringIO()
    segno.make(address, error="m").terminal(out=out, compact=True)
    return out.getvalue()


def _many_files() -> None:
    """Each phone that is connected counts as an open file, and the usual 1024 of them are soon used up."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        most = MOST_FILES if hard == resource.RLIM_INFINITY else min(MOST_FILES, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, most), hard))


def _listen(host: str, port: int) -> socket.socket:
    place = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        place.bind((host, port))
        place.listen(512)  # whoever opens the address at once waits a moment
    except OSError as error:
        place.close()
        raise StoreError(
            what="this port cannot be used", got=f"{port} ({(error.strerror or '').lower()})",
            do="Another program has it, perhaps Skimwright itself: close that, or choose another with --port.",
            where=Where(field="--port"),
        ) from error  # fmt: skip
    return place


def _address_here() -> str:
    """This computer's own address on its network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for examples (RFC 5737)
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"

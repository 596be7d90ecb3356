"""A `StripPacker` that runs the packing library in a child process.

The library is compiled code fed with children's drawings: it may crash, hang or fill the memory.  In a child
it can be killed, and the program loses one strip, not the afternoon.
"""

from __future__ import annotations

import contextlib
import json
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from skimwright.kit import NestItem, PackerFailed, Placement, Strip, StripJob

WORKER = Path(__file__).with_name("worker.py")
GRACE = 3.0  # start and last words of the child, beyond its packing time [s]
POLL = 0.05  # how often `stop` is asked [s]
MM = 1000.0


class ChildPacker:
    """Packs strips with the library `spyrrow`, one child process a strip.

    Parameters
    ----------
    workers : int
        Threads of the library.  Layouts depend on it, so it does not follow the machine.
    script : Path
        The child's program; tests put a worse one here.
    """

    def __init__(self, *, workers: int = 1, script: Path = WORKER) -> None:
        self.workers, self.script = workers, script

    def pack(
        self,
        job: StripJob,
        *,
        stop: Callable[[], bool] | None = None,
        progress: Callable[[float], None] | None = None,
    ) -> Strip:
        """The best strip found; see `StripPacker`.

        Raises
        ------
        PackerFailed
            The child ended, hung or was stopped before it had any strip to show.
        """
        started = time.monotonic()
        child = subprocess.Popen(
            [sys.executable, "-I", str(self.script)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
        )
        lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        helpers = [
            threading.Thread(target=_ask, args=(child, _question(job, self.workers)), daemon=True),
            threading.Thread(target=_read, args=(child, lines), daemon=True),
        ]
        for helper in helpers:
            helper.start()
        try:
            best, ending = _listen(lines, started + job.seconds, stop, progress)
        finally:
            child.kill()
            child.wait()
            for helper in helpers:  # the pipes are broken now, so they end
                helper.join()
        if best is None:
            raise PackerFailed(
                what="The packing library gave no layout",
                got=ending,
                do="Try again; if it fails again, look for an odd outline among the parts.",
            )
        return replace(best, seconds=time.monotonic() - started)


def _question(job: StripJob, workers: int) -> str:
    return json.dumps(
        {
            "height": job.height * MM,
            "gap": job.gap * MM,
            "enough": job.enough * MM,
            "seconds": job.seconds,
            "seed": job.seed % 2**32,
            "workers": workers,
            "items": [_item(item) for item in job.items],
        }
    )


def _item(item: NestItem) -> dict[str, Any]:
    return {
        "key": item.key,
        "outline": (item.outline * MM).tolist(),
        "quantity": item.quantity,
        "turns": list(item.allowed_turns),
    }


def _listen(
    lines: queue.SimpleQueue[str | None],
    deadline: float,
    stop: Callable[[], bool] | None,
    progress: Callable[[float], None] | None,
) -> tuple[Strip | None, str]:
    """The child's best answer, and how it ended."""
    best: Strip | None = None
    while True:
        if stop and stop():
            return best, "a stop before the first layout"
        if time.monotonic() > deadline + (0 if best else GRACE):
            return best, "no layout in the time allowed"
        try:
            line = lines.get(timeout=POLL)
        except queue.Empty:
            continue
        if line is None:
            return best, "an early end of its process"
        try:
            said = json.loads(line)
            if said.get("done"):
                return best, "nothing"
            best = _strip(said)
        except (ValueError, TypeError, KeyError, AttributeError):
            return best, "words that make no sense"
        if progress:
            progress(best.width)


def _ask(child: subprocess.Popen[str], question: str) -> None:
    with contextlib.suppress(OSError):  # a child that is gone is noticed where answers are read
        assert child.stdin
        with child.stdin as pipe:
            pipe.write(question)


def _read(child: subprocess.Popen[str], lines: queue.SimpleQueue[str | None]) -> None:
    with contextlib.suppress(UnicodeDecodeError):
        assert child.stdout
        with child.stdout as pipe:
            for line in pipe:
                lines.put(line)
    lines.put(None)


def _strip(said: dict[str, Any]) -> Strip:
    return Strip(
        width=said["width"] / MM,
        placements=tuple(
            Placement(key=key, sheet=0, x=x / MM, y=y / MM, turn=turn % 360)
            for key, x, y, turn in said["placed"]
        ),
        seconds=0.0,
    )

"""A race day under load: 500 spectators with a live page, eight staff phones, a real server in a process of its own.

The load runs on the same cores as the server, so its own work is in every figure.
"""

from __future__ import annotations

import asyncio
import json
import os
import random
import re
import resource
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

import skimwright
from skimwright.web import COOKIE, Keys, Ticket

DEMO_SEASON = Path(skimwright.__file__).parent / "demo_season"
SPECTATORS = int(os.environ.get("BENCH_SPECTATORS", "500"))
JOBS = ("director", "start", "finish-a", "finish-b", "marshal", "pit", "scorer", "announcer")
HEATS, DAYS = int(os.environ.get("BENCH_HEATS", "25")), 3
GAP = float(os.environ.get("BENCH_GAP_S", "1.0"))  # between two acts of the measured day [s]
RARELY = 30.0  # a spectator's page looks by itself, news or not, every 30 to 60 s: static/see.js [s]
HOST = "192.0.2.7"  # as a phone on the network asks, though it comes by this computer's own line


@dataclass
class Line:
    """One kept-alive connection, as a browser has it."""

    port: int
    cookie: str = ""
    reader: asyncio.StreamReader | None = None
    writer: asyncio.StreamWriter | None = None

    async def ask(
        self, path: str, fields: dict[str, str] | None = None, token: str = ""
    ) -> tuple[int, bytes]:
        """One request; status and body.  A line that was closed for being idle is opened anew, as browsers do."""
        body = urlencode(fields).encode() if fields is not None else b""
        head = f"{'POST' if fields is not None else 'GET'} {path} HTTP/1.1\r\nHost: {HOST}\r\nCookie: {self.cookie}\r\n"
        if fields is not None:
            head += (
                f"Content-Type: application/x-www-form-urlencoded\r\nX-Queue: 1\r\nX-Form-Token: {token}\r\n"
            )
        request = f"{head}Content-Length: {len(body)}\r\n\r\n".encode() + body
        try:
            return await self._once(request)
        except (asyncio.IncompleteReadError, ConnectionError):
            self.writer = None
            return await self._once(request)

    async def _once(self, request: bytes) -> tuple[int, bytes]:
        if self.writer is None:
            self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
        self.writer.write(request)
        assert self.reader is not None
        answer = (await self.reader.readuntil(b"\r\n\r\n")).decode("latin-1")
        length = re.search(r"content-length: (\d+)", answer, re.I)
        return int(answer[9:12]), await self.reader.readexactly(int(length[1]) if length else 0)


@dataclass
class Seen:
    """What was measured."""

    looks: list[float] = field(default_factory=list)  # a page fetched [s]
    acts: list[float] = field(default_factory=list)  # a form answered [s]
    reached: list[float] = field(default_factory=list)  # from the tap until the last listener heard of it [s]
    refused: list[str] = field(default_factory=list)


class Listeners:
    """Everybody with an open page: hears the news, and looks again."""

    def __init__(self, port: int, seen: Seen) -> None:
        self.port, self.seen = port, seen
        self.heard: dict[int, float] = {}  # listener: when it last heard anything
        self.tasks: list[asyncio.Task[None]] = []
        self.count = 0

    async def open(self, count: int, page: str, cookie: str = "") -> None:
        """So many more pages, each with its two lines."""
        ready = [asyncio.Event() for _ in range(count)]
        for event in ready:
            self.tasks.append(asyncio.create_task(self._listen(self.count, page, cookie, event)))
            self.count += 1
        await asyncio.gather(*(event.wait() for event in ready))

    async def _listen(self, number: int, page: str, cookie: str, ready: asyncio.Event) -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        live = "/see/live" if page == "/see" else "/live"
        writer.write(f"GET {live} HTTP/1.1\r\nHost: {HOST}\r\nCookie: {cookie}\r\n\r\n".encode())
        await reader.readuntil(b"\r\n\r\n")
        ready.set()
        line, waiting = Line(self.port, cookie), None
        if page == "/see":
            self.tasks.append(asyncio.create_task(self._look_rarely(line, page)))
        while True:
            text = await reader.readline()
            if not text:
                raise ConnectionError("a listener was let go")
            if text.startswith(b"event:"):
                self.heard[number] = time.perf_counter()
                if page != "/see" and (waiting is None or waiting.done()):
                    waiting = asyncio.create_task(self._look(line, page))

    async def _look_rarely(self, line: Line, page: str) -> None:
        every = RARELY * (1.0 + random.random())
        await asyncio.sleep(random.random() * every)
        while True:
            await self._look(line, page)
            await asyncio.sleep(every)

    async def _look(self, line: Line, page: str) -> None:
        began = time.perf_counter()
        status, _ = await line.ask(page)
        self.seen.looks.append(time.perf_counter() - began)
        assert status == 200, status

    async def all_heard(self, since: float) -> float:
        """When the last of them has heard news that came after a moment. [s]"""
        while any(self.heard.get(n, 0.0) < since for n in range(self.count)):
            await asyncio.sleep(0.005)
            if time.perf_counter() > since + 20:
                raise TimeoutError("news did not reach everybody in 20 s")
        return max(self.heard.values()) - since

    def close(self) -> None:
        for task in self.tasks:
            task.cancel()


@dataclass
class Staff:
    """The phones with a job."""

    lines: dict[str, Line]
    tokens: dict[str, str]
    seen: Seen
    listeners: Listeners | None = None

    async def act(self, job: str, path: str, **fields: str) -> None:
        """One form sent; refusals are kept, never passed over."""
        began = time.perf_counter()
        status, body = await self.lines[job].ask(path, fields, self.tokens[job])
        self.seen.acts.append(time.perf_counter() - began)
        if status != 200:
            self.seen.refused.append(f"{path} {fields}: {json.loads(body).get('wrong', status)}")
        elif self.listeners is not None:
            self.seen.reached.append(await self.listeners.all_heard(began))

    async def play(self, gap: float) -> None:
        """A whole day: ticks, two calls, start, two finish phones that agree, a hold now and then."""
        await self.act("director", "/hold/open")
        for heat in range(1, HEATS + 1):
            plan: list[tuple[str, str, dict[str, str]]] = []
            boats = await self._boats(heat)
            if heat <= 4:  # then every boat has its tick
                plan.append(("pit", "/race/pit/fit", {"heat": str(heat)}))
            plan += [("director", "/race/call", {"heat": str(heat)})] * 2
            plan.append(("start", "/race/start", {"heat": str(heat)}))
            order = {
                f"boat_{boat}": str(place) for place, boat in enumerate(random.sample(boats, len(boats)), 1)
            }
            plan += [(job, "/race/finish", {"heat": str(heat)} | order) for job in ("finish-a", "finish-b")]
            if heat % 5 == 0:
                plan += [("pit", "/hold", {"reason": "water"}), ("director", "/hold/clear", {"whose": "pit"})]
            for job, path, fields in plan:
                await self.act(job, path, key=os.urandom(8).hex(), **fields)
                is_clear = (
                    path == "/hold/clear"
                )  # two holds in one second would be one: holds.csv counts seconds
                await asyncio.sleep(max(gap, 1.1) if is_clear else gap)

    async def _boats(self, heat: int) -> list[str]:
        _, page = await self.lines["director"].ask(f"/race/heats/{heat}")
        return re.findall(r"<b>(\d\d)</b>", page.decode())


def measure() -> Iterator[tuple[str, float, str]]:
    """Name, value and unit of each figure."""
    _, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (min(hard, 8192), hard))
    with (
        tempfile.TemporaryDirectory(prefix="bench-web-") as folder,
        _served(Path(folder)) as (port, keys, process),
    ):
        yield from asyncio.run(_measure(port, keys, process.pid, Path(folder) / "season"))


async def _measure(port: int, keys: Keys, pid: int, season: Path) -> list[tuple[str, float, str]]:
    seen = Seen()
    tickets = {job: Ticket(id=f"bench-{job}", job=job, name=job, until=4e12) for job in JOBS}
    cookies = {job: f"{COOKIE}={keys.seal(ticket)}" for job, ticket in tickets.items()}
    staff = Staff(
        {job: Line(port, cookie) for job, cookie in cookies.items()},
        {job: keys.form_token(ticket) for job, ticket in tickets.items()}, seen,
    )  # fmt: skip
    async with _crowd(port, seen, cookies) as crowd:
        staff.listeners = crowd
        await staff.play(GAP)
        load = _load_rows(seen, _memory(pid))
    after = []
    for _ in range(DAYS):
        _morning(season)
        async with _crowd(port, Seen(), cookies, spectators=50):
            staff.listeners, staff.seen = None, Seen()
            await staff.play(0.0)
        after.append(_memory(pid))
    rows = [(f"memory after day {n} of the soak", value, "MB") for n, value in enumerate(after, 2)]
    if seen.refused or staff.seen.refused:
        print("refused:", *(seen.refused + staff.seen.refused)[:5], sep="\n  ", file=sys.stderr)
    return [*load, *rows, ("most over first of the soak days", max(after) / after[0], "x")]


def _load_rows(seen: Seen, memory: float) -> list[tuple[str, float, str]]:
    looks, acts, reached = sorted(seen.looks), sorted(seen.acts), sorted(seen.reached)
    return [
        (f"pages fetched by {SPECTATORS} spectators and {len(JOBS)} phones", float(len(looks)), ""),
        ("page: half within", 1000 * statistics.median(looks), "ms"),
        ("page: 99 of 100 within", 1000 * looks[int(0.99 * len(looks))], "ms"),
        ("acts of the staff", float(len(acts)), ""),
        ("acts refused", float(len(seen.refused)), ""),
        ("act: half answered within", 1000 * statistics.median(acts), "ms"),
        ("act: slowest answer", 1000 * acts[-1], "ms"),
        ("news: half reached everybody within", 1000 * statistics.median(reached), "ms"),
        ("news: slowest to reach the last page", 1000 * reached[-1], "ms"),
        ("memory of the server under load", memory, "MB"),
    ]


@asynccontextmanager
async def _crowd(
    port: int, seen: Seen, cookies: dict[str, str], *, spectators: int = SPECTATORS
) -> AsyncIterator[Listeners]:
    crowd = Listeners(port, seen)
    for _ in range(0, spectators, 50):
        await crowd.open(min(50, spectators), "/see")
    for job, cookie in cookies.items():
        await crowd.open(1, "/race/finish" if job.startswith("finish") else "/hold?whole=yes", cookie)
    yield crowd
    crowd.close()


@contextmanager
def _served(folder: Path) -> Iterator[tuple[int, Keys, subprocess.Popen[bytes]]]:
    season = Path(shutil.copytree(DEMO_SEASON, folder / "season"))
    (season / "pond.toml").unlink()  # no sunset: the bench runs at night too
    plan = (season / "day.toml").read_text("utf8")
    plan = re.sub(r'opens = "[^"]*"', 'opens = "00:00"', plan)
    plan = re.sub(r'clear = "[^"]*"', 'clear = "23:59"', plan)
    (season / "day.toml").write_text(re.sub(r"afternoon_wind = .*", "", plan), "utf8")
    _morning(season)
    keys = Keys.at(season.with_name(f".{season.stem}.keys"))
    keys.set_password("bench")  # else one is made and printed
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [
        sys.executable,
        "-m",
        "skimwright",
        "host",
        "--season",
        str(season),
        "--pond",
        "--port",
        str(port),
    ]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _wait_for(port)
        yield port, keys, process
    finally:
        process.terminate()
        process.wait(20)


def _morning(season: Path) -> None:
    """Nothing has happened yet."""
    for name in ("results.csv", "holds.csv"):
        (season / name).unlink(missing_ok=True)


def _wait_for(port: int) -> None:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError("the server did not start")


def _memory(pid: int) -> float:
    """Held now. [MB]"""
    text = Path(f"/proc/{pid}/status").read_text("utf8")
    found = re.search(r"VmRSS:\s+(\d+) kB", text)
    return int(found[1]) / 1024 if found else float("nan")

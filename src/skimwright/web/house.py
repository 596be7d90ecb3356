"""The season being shown: read when it changed, written through one door, and everybody told."""

from __future__ import annotations

import contextlib
import secrets
import shutil
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.base import Finding, InputError
from skimwright.cli import Files
from skimwright.web.copies import Copies
from skimwright.web.jobs import Keys, Ticket
from skimwright.web.live import Hub
from skimwright.web.safe import Pace
from skimwright.web.work import Bench

if TYPE_CHECKING:
    from skimwright.desk import BoatForecast, Entry, Layout, Rows, Season

FIRST_LANGUAGE = "en"
DIARY = "diary.csv"
DIARY_COLUMNS = ("time", "who", "phone", "did", "thing", "before", "after", "reason")
KEPT = 200
KEPT_FILES = 40
Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, kw_only=True)
class Made:
    """What a piece of work made: words, and files to fetch."""

    title: str
    text: str
    findings: tuple[Finding, ...]
    folder: Path
    back: str
    owner: str  # the ticket that asked for it

    @property
    def files(self) -> tuple[str, ...]:
        """Their names in the folder."""
        found = (path for path in self.folder.rglob("*") if path.is_file())
        return tuple(sorted(path.relative_to(self.folder).as_posix() for path in found))


@dataclass
class House:
    """One season and the people in it."""

    files: Files
    path: Path  # the season's folder or file
    keys: Keys
    at_pond: bool = False  # open to the network, on purpose
    address: str = ""  # what a phone must type, with its port
    hub: Hub = field(default_factory=Hub)
    bench: Bench = field(default_factory=Bench)
    pace: Pace = field(default_factory=lambda: Pace(most=240, seconds=60.0))  # of forms, from each phone
    looks: Pace = field(
        default_factory=lambda: Pace(most=240, seconds=60.0)
    )  # of visitors, from each address
    guesses: Pace = field(default_factory=lambda: Pace(most=10, seconds=300.0))  # of codes, from each address
    seen: tuple[tuple[int, int], str] | None = None  # the spectators' page, and what it was made from
    last_seen: dict[str, Any] | None = None  # the last that could be read for it
    seeing: threading.Lock = field(default_factory=threading.Lock)  # one makes it, the others wait for it
    layouts: dict[str, Layout] = field(
        default_factory=dict
    )  # of sheets, as long as the drawing stays the same
    copies: Copies | None = None  # elsewhere, after every report
    told: Stamp = ()  # the files as they were when everybody was last told
    _season: tuple[Stamp, Season] | None = None
    _kept: dict[tuple[str, int], tuple[Stamp, Any]] = field(default_factory=dict)
    _made: dict[str, Made] = field(default_factory=dict)
    _scratch: Path | None = None
    _lock: threading.RLock = field(default_factory=threading.RLock)

    # reading

    def stamp(self, *, boats_only: bool = False) -> Stamp:
        """Changes whenever a file of the season does, whoever wrote it; or only those that tell what the boats are."""
        if self.path.is_dir():
            lists = "boats.csv" if boats_only else "*.csv"
            found = [p for pattern in ("*.toml", lists, "*/*.toml") for p in self.path.glob(pattern)]
        else:
            found = [self.path, self.path.with_name(self.path.name + "-wal")]
        marks = []
        for path in sorted(found):
            try:
                seen = path.stat()
            except OSError:  # it went between the two looks
                continue
            marks.append((path.name, seen.st_mtime_ns, seen.st_size))
        return tuple(marks)

    def season(self, answers: Mapping[tuple[int, str], str] | None = None) -> Season:
        """The season as it stands; with answers: as it would be with those cells."""
        if answers:
            return self.files.season(str(self.path), answers)
        with self._lock:
            stamp = self.stamp()
            if self._season is None or self._season[0] != stamp:
                self._season = (stamp, self.files.season(str(self.path)))
            return self._season[1]

    def boat(self, number: int) -> Entry:
        """One boat, whatever questions are open about it.

        Raises
        ------
        InputError
            There is no such boat.
        """
        entry = next((entry for entry in self.season().boats if entry.number == number), None)
        if entry is None:
            raise InputError(what="there is no such boat in this season", got=f"boat {number}",
                             do="Choose one from the list.")  # fmt: skip
        return entry

    def plainly(self, sentence: str) -> str:
        """The sentence without where on this computer the season is."""
        for place in (self.path.absolute(), self.path):
            sentence = sentence.replace(f"{place}/", "").replace(str(place), self.path.name)
        return sentence

    def rows(self, name: str) -> Rows | None:
        """One of the season's lists; None if it has none of that name."""
        path = self.path / name
        return self.files.rows(path) if self.files.is_file(path) else None

    def lesson_words(self, language: str = FIRST_LANGUAGE) -> dict[str, Any]:
        """The sentences of worksheets and workings in a language.

        Raises
        ------
        InputError
            There are none in it.
        """
        known = self.files.lesson_languages()
        if language not in known:
            raise InputError(what="no such language", got=f'"{language}"', allowed=", ".join(known),
                             do="Choose one from the list.")  # fmt: skip
        return self.files.table(known[language])

    # what was worked out

    def keep(self, key: tuple[str, int], result: Any, *, read_at: Stamp) -> None:
        """Keep what was worked out, for as long as the season's files stay as they are.

        `read_at` is the stamp from before they were read, so that a change meanwhile is not missed.
        """
        with self._lock:
            self._kept[key] = (read_at, result)
            while len(self._kept) > KEPT:
                self._kept.pop(next(iter(self._kept)))

    def kept(self, key: tuple[str, int], *, boats_only: bool = False) -> Any:
        """What was kept; None if it was not, or the season (or only its boats and rules) has changed since."""
        with self._lock:
            stamp, result = self._kept.get(key, ((), None))
            return result if stamp == self.stamp(boats_only=boats_only) else None

    def forecast_of(self, number: int) -> BoatForecast | None:
        """What a boat will do, if it was worked out and the boat is still what it was."""
        for page in ("forecast", "hunch"):
            found: BoatForecast | None = self.kept((page, number), boats_only=True)
            if found is not None:
                return found
        return None

    def keep_made(self, key: str, made: Made) -> None:
        """Keep an answer and the folder of its files; the oldest give way."""
        with self._lock:
            self._made[key] = made
            while len(self._made) > KEPT_FILES:
                oldest = self._made.pop(next(iter(self._made)))
                shutil.rmtree(oldest.folder, ignore_errors=True)

    def made(self, key: str) -> Made | None:
        """An answer that is still kept."""
        return self._made.get(key)

    def new_folder(self) -> Path:
        """An empty folder in `scratch`."""
        folder = self.scratch / secrets.token_hex(6)
        folder.mkdir(parents=True)
        return folder

    @property
    def scratch(self) -> Path:
        """A folder of this house alone, gone when it closes."""
        if self._scratch is None:
            self._scratch = Path(tempfile.mkdtemp(prefix="skimwright-"))
        return self._scratch

    # writing

    @contextlib.contextmanager
    def alone(self) -> Iterator[None]:
        """Nobody else writes meanwhile: read, decide, write."""
        with self._lock:
            yield

    def add(
        self, name: str, columns: Sequence[str], rows: Sequence[Mapping[str, str]], *, topic: str
    ) -> None:
        """Add rows to one of the season's lists; they are on the disk when this returns."""
        with self._lock:
            self.files.add_rows(self.path / name, columns, rows)
            self.told = self.stamp()
        if self.copies is not None:
            self.copies.due()
        self.hub.tell(topic)

    def set_cells(
        self, number: int, cells: Mapping[str, str], *, who: Ticket, reason: str = ""
    ) -> dict[str, tuple[str, str]]:
        """Write measured values of a boat; what stood there goes into the diary.

        Returns
        -------
        dict
            Column to what it was and what it is.

        Raises
        ------
        InputError
            A value cannot be read, or it raises a question; nothing was written.
        """
        with self._lock:
            entry = self.boat(number)
            proposed = self.season({(number, column): text for column, text in cells.items()})
            new = next(each for each in proposed.boats if each.number == number)
            asked = {finding.sentence() for finding in entry.findings}
            for finding in new.findings:
                if finding.severity == "stop" and finding.sentence() not in asked:
                    raise InputError(what=finding.what, do=f"{finding.why} {finding.do}".strip())
            before = self.files.change_row(self.path / "boats.csv", "boat", f"{number:02d}", cells)
            changed = {c: (before.get(c, ""), text) for c, text in cells.items() if before.get(c, "") != text}
            self.diary(
                who, "changed",
                [(f"boat {number:02d} {c}", was, now) for c, (was, now) in changed.items()], reason=reason,
            )  # fmt: skip
        self.hub.tell("boats")
        return changed

    def diary(
        self, who: Ticket, did: str, lines: Sequence[tuple[str, str, str]], *, reason: str = ""
    ) -> None:
        """Who did what, for looking it up later: thing, before, after."""
        rows = [
            dict(zip(DIARY_COLUMNS, (self.files.now(), who.job, who.name, did, *line, reason), strict=True))
            for line in lines
        ]
        if rows:
            self.files.add_rows(self.path / DIARY, DIARY_COLUMNS, rows)

    def now(self) -> float:
        """Seconds of the epoch."""
        return time.time()

    def close(self) -> None:
        """Let everybody go and stop all work."""
        self.hub.close()
        if self.copies is not None:
            self.copies.close()
        self.bench.close()
        if self._scratch is not None:
            shutil.rmtree(self._scratch, ignore_errors=True)

"""Who may do what: one job for each phone, a code to get it by, and the organiser's password.

A code is good until the evening; a phone that has scanned it carries a signed ticket.  Codes are kept as digests and
the password by a slow hash, in a file beside the season that only its owner may read.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import re
import secrets
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from itsdangerous import BadSignature, URLSafeSerializer

from skimwright.base import InputError, StoreError, Where

ORGANISER = "organiser"
VISITOR = "visitor"
# What each phone is for, in the words of the code sheet.
JOBS: Mapping[str, str] = {
    "director": "calls heats, decides, holds and clears",
    "start": "says when a heat has started",
    "finish-a": "enters the order of finish, first phone",
    "finish-b": "enters the order of finish, second phone",
    "marshal": "decides where two reports differ; corrects with a reason",
    "pit": "ticks boats fit to race, sends them to be mended or weighed",
    "inspector": "measures boats by the build card",
    "scales": "weighs and balances boats",
    "crew": "logs the trial runs of one boat",
    "scorer": "types paper sheets in, prints the points",
    "announcer": "reads out calls and results",
}
# The page a phone of that job opens on.
HOMES: Mapping[str, str] = {
    "director": "/race",
    "start": "/race/start",
    "finish-a": "/race/finish",
    "finish-b": "/race/finish",
    "marshal": "/race/marshal",
    "pit": "/race/pit",
    "scorer": "/race/scorer",
    "announcer": "/race/announcer",
    "inspector": "/bench",
    "scales": "/scales",
    "crew": "/water",
}
ANYONE = frozenset({VISITOR, *JOBS})
STAFF = frozenset(JOBS)
ORGANISERS: frozenset[str] = frozenset()  # the organiser may do everything; here nobody else
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"  # none that look alike
CODE_LENGTH = 8
HOURS = 14  # a code is good for a day at the pond
COOKIE = "skimwright"


@dataclass(frozen=True, kw_only=True)
class Ticket:
    """Who is asking."""

    id: str  # of the phone or browser
    job: str = VISITOR
    name: str = ""  # of the phone: "finish A", as it stands in the log
    until: float = 0.0  # seconds of the epoch; 0: has no end

    @property
    def says(self) -> str:
        """As written in the log."""
        return self.name or self.job

    @property
    def has_job(self) -> bool:
        """A phone with one job, neither a visitor's nor the organiser's."""
        return self.job not in (VISITOR, ORGANISER)

    @property
    def boat(self) -> int | None:
        """The one boat a crew's phone writes about, if its code was for one."""
        found = re.fullmatch(r"boat ([0-9]{1,4})", self.name) if self.job == "crew" else None
        return int(found[1]) if found else None

    @property
    def is_of_desk(self) -> bool:
        """The organiser's at the computer itself: it has no end, and is good only there."""
        return self.job == ORGANISER and not self.until

    def may(self, who: frozenset[str]) -> bool:
        """Whether a door is open to this one."""
        return self.job == ORGANISER or self.job in who


@dataclass
class Keys:
    """The secret, the password's hash and the codes given out, in one small file."""

    path: Path | None = None  # None: kept in memory only, as tests do
    secret: str = field(default_factory=lambda: secrets.token_hex(32))
    password_hash: str = ""
    codes: dict[str, dict[str, object]] = field(default_factory=dict)  # digest of the code: job, name, until
    phones: dict[str, dict[str, Any]] = field(default_factory=dict)  # ticket: job, name, at, until, ended
    _lock: threading.RLock = field(default_factory=threading.RLock, repr=False)

    @classmethod
    def at(cls, path: Path) -> Keys:
        """Those of a season, made when they are not there yet.

        Raises
        ------
        StoreError
            The file cannot be read or made.
        """
        keys = cls(path=path)
        try:
            if path.is_file():
                kept = json.loads(path.read_text("utf8"))
                keys.secret, keys.password_hash, keys.codes = kept["secret"], kept["password"], kept["codes"]
                keys.phones = kept.get("phones", {})
            else:
                keys._keep()
        except OSError as error:
            raise StoreError(
                what="the codes of the phones cannot be kept here", got=(error.strerror or "an unknown fault").lower(),
                do="Put the season into a folder you may write in.", where=Where(file=path.name),
            ) from error  # fmt: skip
        except (ValueError, KeyError, TypeError) as error:
            raise StoreError(
                what="the codes of the phones cannot be read",
                do="Move this file away; then give every phone a new code.", where=Where(file=path.name),
            ) from error  # fmt: skip
        return keys

    def _keep(self) -> None:
        if self.path is None:
            return
        kept = {
            "secret": self.secret,
            "password": self.password_hash,
            "codes": self.codes,
            "phones": self.phones,
        }
        text = json.dumps(kept)
        beside = self.path.with_name(self.path.name + ".new")
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf8") as file:
            file.write(text)
        os.replace(beside, self.path)

    # tickets

    def seal(self, ticket: Ticket) -> str:
        """A ticket as a cookie nobody else can write."""
        return URLSafeSerializer(self.secret, salt="ticket").dumps(
            {"id": ticket.id, "job": ticket.job, "name": ticket.name, "until": ticket.until}
        )

    def unseal(self, cookie: str, *, now: float) -> Ticket | None:
        """The ticket of a cookie; None if it is forged, spoilt, too old or was ended."""
        try:
            ticket = Ticket(**URLSafeSerializer(self.secret, salt="ticket").loads(cookie))
        except (BadSignature, TypeError):
            return None
        if self.phones.get(ticket.id, {}).get("ended"):
            return None
        return None if ticket.until and ticket.until < now else ticket

    def came_in(self, ticket: Ticket, *, now: float) -> None:
        """Keep that this phone has a job, so that it can be ended."""
        with self._lock:
            self.phones = {k: v for k, v in self.phones.items() if v["until"] > now}
            self.phones[ticket.id] = {
                "job": ticket.job, "name": ticket.says, "at": now, "until": ticket.until, "ended": False,
            }  # fmt: skip
            self._keep()

    def end_phone(self, key: str) -> str:
        """End one phone's ticket, whoever holds it now; the name it had.

        Raises
        ------
        InputError
            No phone of that ticket has a job.
        """
        with self._lock:
            phone = self.phones.get(key)
            if phone is None or phone["ended"]:
                raise InputError(what="this phone has no job any more", do="Look at the list again.")
            phone["ended"] = True
            self._keep()
        return str(phone["name"])

    def with_jobs(self, *, now: float) -> list[tuple[str, dict[str, Any]]]:
        """Every phone that has a job now, the latest first."""
        found = [(k, v) for k, v in self.phones.items() if v["until"] > now and not v["ended"]]
        return sorted(found, key=lambda each: -each[1]["at"])

    def form_token(self, ticket: Ticket) -> str:
        """What every form of this phone carries, so that no other site can send one."""
        return hmac.new(self.secret.encode(), f"form {ticket.id}".encode(), hashlib.sha256).hexdigest()

    # codes

    def new_code(self, job: str, *, now: float, name: str = "", hours: float = HOURS) -> str:
        """A code for one job, good until the evening; older codes of that job go on.

        Raises
        ------
        InputError
            There is no such job.
        """
        if job not in JOBS:
            raise InputError(what="no such job", got=f'"{job}"', allowed=", ".join(JOBS), do="Choose one.",
                             where=Where(field="job"))  # fmt: skip
        code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
        with self._lock:
            self.codes = {k: v for k, v in self.codes.items() if float(str(v["until"])) > now}
            self.codes[_digest(code)] = {"job": job, "name": name or job, "until": now + hours * 3600.0}
            self._keep()
        return code

    def end_codes(self, job: str) -> int:
        """End every code of a job, so that nobody else can get it; how many there were."""
        with self._lock:
            gone = [digest for digest, code in self.codes.items() if code["job"] == job]
            for digest in gone:
                del self.codes[digest]
            self._keep()
        return len(gone)

    def use_code(self, code: str, *, now: float) -> Ticket | None:
        """The ticket a code brings; None if there is no such code, or it has ended."""
        found = self.codes.get(_digest(code.strip().upper()))
        if found is None or float(str(found["until"])) < now:
            return None
        return Ticket(
            id=secrets.token_hex(8), job=str(found["job"]), name=str(found["name"]),
            until=float(str(found["until"])),
        )  # fmt: skip

    # the password

    def set_password(self, password: str) -> None:
        """Keep its hash; the password itself is kept nowhere."""
        self.password_hash = PasswordHasher().hash(password)
        self._keep()

    def forget_password(self) -> None:
        """Nobody is let in by it any more; tickets given out go on until the evening."""
        self.password_hash = ""
        self._keep()

    def is_password(self, password: str) -> bool:
        """Whether it is the organiser's."""
        with self._lock:  # one at a time: each takes 64 MB for a moment
            try:
                return bool(self.password_hash) and PasswordHasher().verify(self.password_hash, password)
            except (VerificationError, InvalidHashError):
                return False


def make_password() -> str:
    """Three groups of letters that can be read out and typed."""
    return "-".join("".join(secrets.choice(LETTERS) for _ in range(4)) for _ in range(3))


def _digest(code: str) -> str:
    return hashlib.sha256(code.encode("utf8")).hexdigest()

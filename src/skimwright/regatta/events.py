"""What happens on a race day, as it happened: events are only ever added, never changed or taken away.

A correction is a new event.  Everything the day has come to is made anew from the events, so that a restart
loses nothing and everybody can see who changed what, when and why.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal, get_args

from skimwright.base import InputError

Kind = Literal[
    "finish",  # one finish phone's order: stands when the other phone agrees
    "result",  # typed by the scorer, or from paper: stands at once
    "decision",  # the marshal's order for a heat, over everything before it
    "correction",  # one boat's result in a heat, with what it was
    "rerun",  # the heat does not count and is raced again
    "withdrawal",  # a boat races no more, from this heat on
    "protest",  # somebody objects; open until ruled on
    "ruling",  # the protest is answered and changes nothing
    "hold",  # racing stops
    "clear",  # one hold is lifted
    "lots",  # a group's lots are published: seed and mark
    "late",  # a boat enters late, from this heat on
    "call",  # a heat's crews are called, the first time or again
    "start",  # the heat was let go
    "missing",  # a crew has not come; the director chooses to wait, to skip, or not started
    "fit",  # the pit steward's tick
    "unfit",  # the tick is taken away
    "mend",  # crash, water, device moved, patch: no tick until it is weighed or marked unweighed
    "weighed",  # on the scale: its mass
    "allow",  # the director lets a boat race without its tick
    "queue",  # a crew joins the qualifying queue
    "try",  # one try at qualifying
]
KINDS: tuple[Kind, ...] = get_args(Kind)
NEEDS_REASON = {
    "decision", "correction", "rerun", "withdrawal", "protest", "ruling", "hold", "unfit", "mend", "allow",
}  # fmt: skip
NEEDS_HEAT = {"finish", "result", "decision", "correction", "rerun", "call", "start", "missing", "allow"}
NEEDS_BOAT = {"withdrawal", "late", "missing", "fit", "unfit", "mend", "weighed", "allow", "queue", "try"}
CHOICES = ("wait", "skip", "not started")  # of the director, when a crew is missing
TRIES = ("through", "ran wide", "stopped short", "turned over", "not let go")

# What a boat did, when it has no plain place; with the sailing rule book's letters.
CODES = {
    "DNC": "did not come to the start",
    "DNS": "not started",
    "OCS": "started early",
    "DNF": "not finished",
    "RET": "retired",
    "NSC": "did not run the course",
    "UFD": "disqualified for an early start",
    "BFD": "disqualified for an early start, no restart",
    "DSQ": "disqualified",
    "DNE": "disqualified, and it must count",
    "ZFP": "place with a fifth of the fleet added",
    "SCP": "place with a fifth of the fleet added",
    "DPI": "place with points added",
    "RDG": "points given in redress",
}
WORDS = {"not started": "DNS", "not finished": "DNF", "disqualified": "DSQ", "retired": "RET"} | {
    "did not start": "DNS",
    "did not finish": "DNF",
}
WITH_PLACE = {"ZFP", "SCP", "DPI"}
NEED_REASON = {"DSQ", "DNE", "UFD", "BFD", "SCP", "DPI", "RDG"}


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What one boat did in one heat: a place, a code, or nothing that can be read."""

    place: int | None = None
    code: str = ""
    points: float | None = None  # given by a jury: RDG, DPI
    is_tie: bool = False  # written "2=": the same place twice is meant
    seconds: float | None = None  # elapsed time, where it was taken [s]

    @property
    def is_unreadable(self) -> bool:
        """A blank: the boat raced, and its place is not known."""
        return self.place is None and not self.code

    def words(self) -> str:
        """``2=``, ``not finished``, ``3 ZFP``."""
        if self.is_unreadable:
            return "not readable"
        if self.place is None and self.points is None:
            return CODES[self.code]
        parts = [f"{self.place}{'=' * self.is_tie}"] if self.place is not None else []
        return " ".join([*parts, *([self.code] if self.code else []), *_given(self.points)])

    def same_as(self, other: Outcome) -> bool:
        """Whether two reports agree; the clock is left out."""
        return (self.place, self.code, self.points) == (other.place, other.code, other.points)


def _given(points: float | None) -> list[str]:
    return [] if points is None else [f"{points:g}"]


@dataclass(frozen=True, kw_only=True)
class Event:
    """One line of the log."""

    kind: Kind
    heat: int | None = None
    group: str = ""
    outcomes: Mapping[int, Outcome] = field(
        default_factory=dict
    )  # by boat: finish, result, decision, correction
    was: Mapping[int, Outcome] = field(default_factory=dict)  # a correction: what it took away
    boat: int | None = None  # withdrawal, protest
    who: str = ""
    when: float | None = None  # by the clock of that phone, since midnight [s]
    phone: str = ""
    reason: str = ""
    said: str = (
        ""  # missing: the choice; try: how it ended; lots: seed and mark; fit: unweighed; weighed, mend: mass
    )
    key: str = ""  # given by whoever sends it: the same key is counted once, however often it is sent
    row: int | None = None  # of the list it was read from, for messages

    def same_as(self, other: Event) -> bool:
        """Whether both say the same; clock and row are left out."""
        plain = {"row": None, "when": None, "key": ""}
        return replace(self, **plain) == replace(other, **plain)  # type: ignore[arg-type]

    def __post_init__(self) -> None:
        """A change without a reason is refused, and so is an event that does not say what it is about."""
        object.__setattr__(self, "outcomes", MappingProxyType(dict(self.outcomes)))
        object.__setattr__(self, "was", MappingProxyType(dict(self.was)))
        if self.kind in NEEDS_REASON and not self.reason.strip():
            raise InputError(
                what=f"a {self.kind} without a reason",
                allowed="a few words saying why",
                do="Write the reason; it stands in the log for everybody.",
            )
        if self.kind in NEEDS_HEAT and self.heat is None:
            raise InputError(what=f"a {self.kind} without a heat", do="Write the number of the heat.")
        if self.kind in NEEDS_BOAT and self.boat is None:
            raise InputError(what=f"a {self.kind} without a boat", do="Write the number of the boat.")
        self._check_said()
        for boat, outcome in self.outcomes.items():
            if outcome.code in NEED_REASON and not self.reason.strip():
                raise InputError(
                    what=f"boat {boat} is {CODES[outcome.code]} without a reason",
                    allowed="a few words saying why",
                    do="Write the reason; the crew will ask.",
                )

    def _check_said(self) -> None:
        allowed = {"missing": ("", *CHOICES), "try": TRIES, "fit": ("", "unweighed")}.get(self.kind)
        if allowed is not None and self.said not in allowed:
            raise InputError(
                what=f"no such word for {self.kind}",
                got=f'"{self.said}"',
                allowed=", ".join(word or "nothing" for word in allowed),
                do="Write one of these.",
            )
        if self.kind == "lots" and not re.fullmatch(r"[0-9]{1,9} [0-9a-f]{8}", self.said):
            raise InputError(
                what="lots are published with their seed and their mark",
                got=f'"{self.said}"',
                allowed="such as 1906 8fda9dee",
                do="Copy both from the lots.",
            )


def once(events: Iterable[Event]) -> tuple[list[Event], list[Event]]:
    """Each key counted once: the events that count, and those that use a known key for something else.

    Examples
    --------
    >>> sent = Event(kind="start", heat=3, key="p1-7")
    >>> len(once([sent, sent])[0])
    1
    """
    kept: list[Event] = []
    odd: list[Event] = []
    known: dict[str, Event] = {}
    for event in events:
        first = known.setdefault(event.key, event) if event.key else event
        if first is event:
            kept.append(event)
        elif not first.same_as(event):
            odd.append(event)
    return kept, odd


def read_outcome(text: str) -> Outcome:
    """A place, a place that is shared, or a code, as a scorer writes it.

    Raises
    ------
    InputError
        It is none of these.

    Examples
    --------
    >>> read_outcome("2=").place, read_outcome("not finished").code, read_outcome("RDG 4.5").points
    (2, 'DNF', 4.5)
    """
    said = " ".join(text.split())
    if said in ("", "?"):
        return Outcome()
    words = WORDS.get(said.casefold(), said.upper()).split()
    place = words.pop(0) if words[0].rstrip("=").isdecimal() and words[0].isascii() else ""
    code = words.pop(0) if words else ""
    given = _number(words.pop(0)) if words else None
    number = int(place.rstrip("=")) if place else None
    if (
        words
        or (code and code not in CODES)
        or (number is not None and not 1 <= number <= 999)
        or (code in WITH_PLACE) != bool(place and code)
        or (code in ("RDG", "DPI")) != (given is not None)
        or place.count("=") > 1
    ):
        raise InputError(
            what="neither a place nor a word for what happened",
            got=f'"{text}"',
            allowed="a place such as 3 or 3=, not started, not finished, disqualified, or one of "
            + ", ".join(CODES),
            do="Write one of these; leave it blank if it cannot be read.",
        )
    return Outcome(place=number, code=code, points=given, is_tie=place.endswith("="))


def _number(word: str) -> float:
    try:
        value = float(word)
    except ValueError:
        value = -1.0
    if not 0 <= value <= 10_000:
        raise InputError(
            what="not a number of points",
            got=f'"{word}"',
            allowed="0 to 10000",
            do="Write it with a full stop.",
        )
    return value

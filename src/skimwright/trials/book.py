"""The run log: events that are only ever added, and the runs they tell of.

Nothing is changed or struck out: a correction is a new event with a reason, and so is taking back a run tapped
wrongly.  Two phones that were apart are put together by taking all events of both; it makes no difference which
comes first, or how often it is done.  Runs are known by boat and run number, never by the clock, for a phone's clock
may be hours wrong.
"""

from __future__ import annotations

import datetime
import itertools
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Literal

from skimwright.base import ConflictError, Finding, InputError, MissingError
from skimwright.run import ENDINGS as RUN_ENDINGS

Kind = Literal["guess", "run", "correction", "undo"]
ENDINGS = (*RUN_ENDINGS, "swamped", "hit something")
# As the paper run log has them; T is how the qualifying sheet writes G.
ENDING_LETTERS: Mapping[str, str] = {
    "g": "through the gate", "t": "through the gate", "w": "ran wide", "s": "stopped short", "h": "hooked",
    "b": "blew over", "r": "rolled over", "n": "nosed in", "x": "hit something", "f": "swamped",
}  # fmt: skip
ORDINARY = frozenset(
    {"through the gate", "ran wide", "stopped short"}
)  # endings whose figures speak of the boat
SKIP = "skip"
NONE, SEVERAL = "none", "several"
YES, NO = "yes", "no"
UNDO = "undo-"  # before the key of a run that was tapped wrongly and is taken back
AGAIN = 60.0  # two like entries of one phone this soon after each other are one run [s] [choice]
CLOCK_OFF = 1800.0  # phones whose clocks differ by more are told apart [s] [choice]


@dataclass(frozen=True, kw_only=True)
class Result:
    """What one run brought, in SI; None is "not recorded", never nought."""

    device: str | None = None
    batch: str | None = None  # of the device: one box, one battery
    mass: float | None = None  # as run [kg]
    distance: float | None = None  # from the start to where it stopped [m]
    gate_time: float | None = None  # [s]
    drift: float | None = None  # at the gate, to starboard + [m]
    ending: str | None = None  # one of ENDINGS
    wind_speed: float | None = None  # [m/s]
    wind_from: float | None = None  # clockwise from north [rad]
    change: str | None = None  # since the run before: NONE, one change in words, or SEVERAL
    as_try: str | None = None  # whether it counts as a try at the gate: YES or NO


NAMES = tuple(item.name for item in fields(Result))
FIGURES = ("distance", "gate_time", "drift")


@dataclass(frozen=True, kw_only=True)
class Event:
    """One thing written down."""

    boat: int
    run: int  # of this boat, from 1
    kind: Kind = "run"
    phone: str = ""  # who wrote it: a phone, a sheet of paper
    tap: int = 0  # counts the entries of one phone
    time: str = ""  # what its clock said, such as 2027-03-20T10:05:00
    result: Result = Result()
    guess: str | None = None  # how the pupil thought it would end, written before; SKIP if they would not say
    reason: str = ""  # of a correction
    key: str = ""  # of this one entry, made where it was written; sent again, it is counted once

    @property
    def place(self) -> tuple[str, str, int, str]:
        """What puts the events of one run into one order on every machine."""
        return self.time, self.phone, self.tap, repr(self.result) + repr(self.guess) + self.reason


@dataclass(frozen=True, kw_only=True)
class Change:
    """One correction: what was written, what stands now, and why."""

    field: str
    old: float | str | None
    new: float | str | None
    reason: str
    who: str = ""  # the phone or person that wrote it
    time: str = ""


@dataclass(frozen=True, kw_only=True)
class Run:
    """One run as all events together tell it."""

    boat: int
    run: int
    time: str
    phones: tuple[str, ...]
    result: Result
    guess: str | None
    corrected: tuple[Change, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def label(self) -> str:
        """``boat 07, run 3``."""
        return f"boat {self.boat:02d}, run {self.run}"

    @property
    def speaks_of_the_boat(self) -> bool:
        """It ended in an ordinary way, so that its figures teach something."""
        return self.result.ending is None or self.result.ending in ORDINARY


@dataclass(frozen=True)
class Book:
    """Every event written down so far, in no order."""

    events: frozenset[Event] = frozenset()
    runs: tuple[Run, ...] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "runs", _runs(_standing(self.events)))

    def of(self, boat: int) -> tuple[Run, ...]:
        """The runs of one boat, in the order they were run."""
        return tuple(run for run in self.runs if run.boat == boat)

    def last(self, boat: int) -> int:
        """Number of its last run, 0 if it has none."""
        return max((run.run for run in self.of(boat)), default=0)

    def waiting(self, boat: int) -> Event | None:
        """A guess whose run has not been logged yet."""
        logged = {run.run for run in self.of(boat)}
        open_ones = [e for e in self.events if e.boat == boat and e.kind == "guess" and e.run not in logged]
        return min(open_ones, key=lambda e: (e.run, e.place), default=None)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the events cannot settle among themselves."""
        return (
            *itertools.chain.from_iterable(run.findings for run in self.runs),
            *_clocks(_standing(self.events)),
        )


def merge(*books: Book) -> Book:
    """One book of all events; the same whatever the order, and however often one is put in.

    Examples
    --------
    >>> one, other = Book(frozenset({Event(boat=7, run=1)})), Book(frozenset({Event(boat=7, run=2)}))
    >>> merge(one, other) == merge(other, one, one), len(merge(one, other).runs)
    (True, 2)
    """
    return Book(frozenset().union(*(book.events for book in books)))


def write_down(book: Book, event: Event) -> Book:
    """The book with one more event.

    A run entered twice with the same figures is one run: the book comes back as it was.

    Raises
    ------
    ConflictError
        The guess is already locked, or the run is already logged with other figures.
    MissingError
        A correction of a run that is not in the book.
    InputError
        A correction without a reason, or a run number below 1.
    """
    if event.run < 1:
        raise InputError(
            what="not a run number", got=str(event.run), allowed="1 or more", do="Count a boat's runs from 1."
        )
    label = f"boat {event.boat}, run {event.run}"
    before = next((run for run in book.of(event.boat) if run.run == event.run), None)
    if event.guess is not None:
        _refuse_second_guess(book, event, label)
    if event.kind == "undo":
        _refuse_late_undo(book, event, before, label)
    elif event.kind == "correction":
        _refuse_bare_correction(event, before, label)
    elif event.kind == "run" and before is not None:
        if before.result == event.result or _says_nothing_new(before.result, event.result):
            return book
        if _clash(before.result, event.result):
            raise ConflictError(
                what=f"{label} is already logged",
                got=_told(event.result),
                allowed=f"one entry: {_told(before.result)}",
                do="If it was another run give its own number; if the first entry is wrong, correct it and say why.",
            )
    return Book(book.events | {event})


def _refuse_second_guess(book: Book, event: Event, label: str) -> None:
    kept = _first_guess([e for e in _standing(book.events) if (e.boat, e.run) == (event.boat, event.run)])
    logged = any(run.run == event.run for run in book.of(event.boat))
    if kept is not None and kept.guess != event.guess:
        raise ConflictError(
            what=f"the guess for {label} is locked",
            got=f'"{event.guess}"',
            allowed=f'the guess written first, "{kept.guess}"',
            do="Leave it: a guess may be wrong, that is what it is for.",
        )
    if kept is None and logged and event.kind != "run":
        raise ConflictError(
            what=f"{label} is over, so its guess comes too late",
            got=f'"{event.guess}"',
            allowed="a guess before the run",
            do="Guess the next one.",
        )


def _refuse_bare_correction(event: Event, before: Run | None, label: str) -> None:
    if before is None:
        raise MissingError(
            what=f"{label} is not in the log", do="Give the number of a run that is, or log it as a new run."
        )
    if not event.reason.strip():
        raise InputError(
            what=f"a correction of {label} without a reason",
            allowed="a few words",
            do="Say why, for those who read the log later.",
        )


def _refuse_late_undo(book: Book, event: Event, before: Run | None, label: str) -> None:
    undone = event.key.removeprefix(UNDO)
    if not any(e.kind == "run" and e.key == undone for e in _standing(book.events)):
        raise MissingError(
            what=f"there is nothing to take back for {label}", do="Correct the run, and say why."
        )
    if before is not None and before.corrected:
        raise ConflictError(
            what=f"{label} has been corrected since",
            allowed="a run that nobody has corrected",
            do="Correct it once more, and say why.",
        )


def _first_guess(events: Iterable[Event]) -> Event | None:
    return min(
        (e for e in events if e.guess is not None), key=lambda e: (e.kind != "guess", e.place), default=None
    )


def _says_nothing_new(before: Result, after: Result) -> bool:
    return all(getattr(after, name) in (None, getattr(before, name)) for name in NAMES)


def _clash(one: Result, other: Result) -> bool:
    return any(len({getattr(one, n), getattr(other, n)} - {None}) > 1 for n in NAMES)


def _told(result: Result) -> str:
    parts = (
        f"{result.distance:.1f} m" if result.distance is not None else "",
        f"{result.gate_time:.2f} s" if result.gate_time is not None else "",
        f"{result.drift:+.1f} m of drift" if result.drift is not None else "",
        result.ending or "",
    )
    return ", ".join(part for part in parts if part) or "no figures"


# ---------------------------------------------------------------------------------------------- events to runs


def _standing(events: frozenset[Event]) -> frozenset[Event]:
    """Those that count: without the runs that were taken back, whose number is free again."""
    undone = {event.key.removeprefix(UNDO) for event in events if event.kind == "undo"}
    return frozenset(
        e for e in events if e.kind != "undo" and not (e.kind == "run" and e.key and e.key in undone)
    )


def _runs(events: frozenset[Event]) -> tuple[Run, ...]:
    found = []
    ordered = sorted(events, key=lambda e: (e.boat, e.run, e.place))
    for _, group in itertools.groupby(ordered, key=lambda e: (e.boat, e.run)):
        together = list(group)
        if any(event.kind == "run" for event in together):
            found.append(_one_run(together))
    return _once_each(found)


def _one_run(events: list[Event]) -> Run:
    entries = [event for event in events if event.kind == "run"]
    label = f"boat {entries[0].boat:02d}, run {entries[0].run}"
    values: dict[str, float | str | None] = {}
    findings = []
    for name in NAMES:
        said = {
            getattr(e.result, name): e.phone for e in reversed(entries) if getattr(e.result, name) is not None
        }
        values[name] = next(iter(said)) if len(said) == 1 else None
        if len(said) > 1:
            findings.append(_disagree(label, name, said))
    changes = []
    for event in events:
        if event.kind == "correction":
            for name in NAMES:
                new = getattr(event.result, name)
                if new is not None:
                    changes.append(
                        Change(
                            field=name,
                            old=values[name],
                            new=new,
                            reason=event.reason,
                            who=event.phone,
                            time=event.time,
                        )
                    )
                    values[name] = new
                    findings = [f for f in findings if f.code != f"phones-disagree-{name}"]
    first = _first_guess(events)
    guesses = {e.guess for e in events if e.guess is not None}
    if first is not None and len(guesses) > 1:
        findings.append(_second_guess(label, first.guess or "", guesses))
    return Run(
        boat=entries[0].boat,
        run=entries[0].run,
        time=entries[0].time,
        phones=tuple(sorted({event.phone for event in entries})),
        result=replace(Result(), **values),  # type: ignore[arg-type]
        guess=first.guess if first else None,
        corrected=tuple(changes),
        findings=tuple(findings),
    )


def _disagree(label: str, name: str, said: dict[float | str, str]) -> Finding:
    told = " and ".join(
        f"{value:g}" if isinstance(value, float) else f'"{value}"' for value in sorted(said, key=str)
    )
    return Finding(
        code=f"phones-disagree-{name}",
        severity="warning",
        what=f"Two entries give {told} for {name.replace('_', ' ')}.",
        why="Neither is taken, and their mean would be nobody's reading.",
        do="Ask both, then correct the run and say why.",
        where=label,
    )


def _second_guess(label: str, first: str, guesses: set[str]) -> Finding:
    later = ", ".join(f'"{guess}"' for guess in sorted(guesses - {first}))
    return Finding(
        code="guess-changed",
        severity="note",
        what=f"A later guess, {later}, was left aside.",
        why="A guess is locked when it is written.",
        do=f'Keep the first one, "{first}".',
        where=label,
    )


def _once_each(runs: list[Run]) -> tuple[Run, ...]:
    """A run entered twice under two numbers by one phone within a minute is one run."""
    kept: list[Run] = []
    for run in runs:
        twin = kept[-1] if kept and kept[-1].boat == run.boat else None
        if twin is not None and _same_again(twin, run):
            finding = Finding(
                code="run-logged-twice",
                severity="note",
                what=f"Run {run.run} has the figures of run {twin.run}, written within a minute.",
                why="It is counted once.",
                do="If there really were two such runs, correct the time of one.",
                where=twin.label,
            )
            kept[-1] = replace(twin, findings=(*twin.findings, finding))
        else:
            kept.append(run)
    return tuple(kept)


def _same_again(one: Run, other: Run) -> bool:
    figures = sum(getattr(one.result, name) is not None for name in FIGURES)
    if figures < 2 or one.phones != other.phones or one.result != other.result:
        return False
    apart = _apart(one.time, other.time)
    return apart is not None and abs(apart) <= AGAIN


def _apart(one: str, other: str) -> float | None:
    """Seconds from one clock reading to the other; None if they cannot be read."""
    try:
        return (datetime.datetime.fromisoformat(other) - datetime.datetime.fromisoformat(one)).total_seconds()
    except (ValueError, TypeError):
        return None


def _clocks(events: frozenset[Event]) -> tuple[Finding, ...]:
    """Phones whose clocks cannot both be right, by the runs that both wrote down."""
    by_run: dict[tuple[int, int], dict[str, str]] = {}
    for event in sorted((e for e in events if e.kind == "run"), key=lambda e: e.place, reverse=True):
        by_run.setdefault((event.boat, event.run), {})[event.phone] = event.time
    gaps: dict[tuple[str, str], list[float]] = {}
    for times in by_run.values():
        for one, other in itertools.combinations(sorted(times), 2):
            apart = _apart(times[one], times[other])
            if apart is not None:
                gaps.setdefault((one, other), []).append(apart)
    found = []
    for (one, other), seconds in sorted(gaps.items()):
        middle = sorted(seconds)[len(seconds) // 2]
        if abs(middle) > CLOCK_OFF:
            found.append(
                Finding(
                    code="clock-off",
                    severity="note",
                    what=f'The clock of "{other}" is {abs(middle) / 3600:.1f} h '
                    f'{"ahead of" if middle > 0 else "behind"} that of "{one}".',
                    why="Runs are lined up by their numbers, so nothing is lost.",
                    do="Set the clock.",
                )
            )
    return tuple(found)


# ---------------------------------------------------------------------------------------------- what changed when


def since_change(runs: tuple[Run, ...]) -> tuple[Run, ...]:
    """The runs made with the boat as she is now: those since the last change that was written down.

    A blank change box is not a change: the run counts, its cause unknown.
    """
    changed = [i for i, run in enumerate(runs) if run.result.change not in (None, NONE)]
    return runs[changed[-1] :] if changed else runs


@dataclass(frozen=True, kw_only=True)
class Credit:
    """What the runs say of one change, or why they say nothing."""

    run: int  # the first one after it
    change: str
    before: int  # runs
    after: int
    drift: (
        tuple[float, float] | None
    )  # change of mean drift, its standard deviation [m]; None: nothing is said
    says: str


def credits(runs: tuple[Run, ...], *, class_sd: float) -> tuple[Credit, ...]:
    """What each logged change did to the drift; a bundle of changes is given no credit.

    Parameters
    ----------
    runs : of one boat, in order
    class_sd : float, > 0
        Drift's spread from run to run in its class, taken while the boat has fewer than 3 runs of its own. [m]
    """
    marks = [i for i, run in enumerate(runs) if run.result.change not in (None, NONE)]
    ends = [*marks, len(runs)]
    found = []
    for order, at in enumerate(marks):
        start = marks[order - 1] if order else 0
        change = runs[at].result.change or ""
        earlier = [
            r.result.drift for r in runs[start:at] if r.result.drift is not None and r.speaks_of_the_boat
        ]
        later = [
            r.result.drift
            for r in runs[at : ends[order + 1]]
            if r.result.drift is not None and r.speaks_of_the_boat
        ]
        found.append(_credit(runs[at].run, change, earlier, later, class_sd))
    return tuple(found)


# The things a crew changes, as they are named in a change box [choice].
_THINGS = (
    r"\bblade|\bfin\b", r"\bpads?\b|\bshim", r"\d\s*g\b|\bballast|\bwashers?\b", r"\bdevice", r"\bseal|\bedges\b",
)  # fmt: skip


def is_bundle(change: str) -> bool:
    """Whether more than one thing was changed: ``several``, or words that name two things.

    Examples
    --------
    >>> is_bundle("blade toed in 1 deg and 10 g at the nose"), is_bundle("10 g, 165 mm from the bow and to port")
    (True, False)
    """
    words = change.casefold()
    return words.strip() == SEVERAL or sum(bool(re.search(thing, words)) for thing in _THINGS) > 1


def _credit(run: int, change: str, earlier: list[float], later: list[float], class_sd: float) -> Credit:
    says = ""
    drift = None
    if is_bundle(change):
        says = "Several things were changed at once, so none of them can be given the credit: change one and run it."
    elif not earlier or not later:
        says = "There is no run with a drift on both sides of it: run it twice more."
    else:
        a, b = sum(earlier) / len(earlier), sum(later) / len(later)
        own = sum((x - a) ** 2 for x in earlier) + sum((x - b) ** 2 for x in later)
        free = len(earlier) + len(later) - 2
        sd = (own / free) ** 0.5 if free >= 2 else class_sd
        error = sd * (1 / len(earlier) + 1 / len(later)) ** 0.5
        drift = (b - a, error)
        clear = abs(b - a) > 1.645 * error
        words = (
            f"{abs(b - a):.1f} m to {'starboard' if b > a else 'port'}, give or take {1.645 * error:.1f} m"
        )
        says = f"It moved the drift {words}." if clear else f"It cannot be told from chance yet: {words}."
        if free < 2:
            says += " The spread is that of its class, for there are too few runs of its own."
    return Credit(run=run, change=change, before=len(earlier), after=len(later), drift=drift, says=says)

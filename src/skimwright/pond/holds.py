"""Go, hold or stop, as a pure log of who said what and when: a correction is a new event, nothing is erased."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from skimwright.base import ConflictError, InputError
from skimwright.pond.weather import AFTER_THUNDER, MISFIRE

What = Literal["open", "hold", "clear", "thunder", "misfire", "stop"]
WHATS: tuple[What, ...] = ("open", "hold", "clear", "thunder", "misfire", "stop")
Word = Literal["go", "hold", "stop"]


@dataclass(frozen=True, kw_only=True)
class Event:
    """One thing said."""

    at: datetime.datetime
    who: str  # the job, such as "boat crew": no surname is needed
    what: What
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class State:
    """What holds at one moment."""

    word: Word
    holds: tuple[Event, ...] = ()  # those not cleared by who put them
    not_before: datetime.datetime | None = None  # clocks of thunder and misfire
    says: str = ""


def state_at(events: Sequence[Event], now: datetime.datetime) -> State:
    """Whether boats may run.

    Parameters
    ----------
    events : sequence of Event
        In any order; those after `now` are left out.
    now : datetime

    Returns
    -------
    State
        "go" only when an officer has opened the water, nobody's hold stands and every clock has run out.
        Each hold is cleared by who put it: two holds, both must clear.

    Raises
    ------
    ConflictError
        Somebody clears a hold that is not theirs.
    """
    is_open, ended = False, None
    standing: dict[str, Event] = {}
    clock: datetime.datetime | None = None
    for event in sorted((e for e in events if e.at <= now), key=lambda e: e.at):
        if event.what == "open":
            is_open, ended = True, None
        elif event.what == "stop":
            is_open, ended = False, event
        elif event.what == "hold":
            standing.setdefault(event.who, event)
        elif event.what == "clear":
            if event.who not in standing:
                raise ConflictError(
                    what=f"{event.who} clears a hold at {event.at:%H:%M}, but has none",
                    allowed=", ".join(standing) + " may clear theirs" if standing else "nobody holds",
                    do="Ask who put the hold to clear it; every hold must be cleared by its own.",
                )
            del standing[event.who]
        else:
            wait = AFTER_THUNDER if event.what == "thunder" else MISFIRE
            clock = max(clock, event.at + wait) if clock else event.at + wait
    waiting = clock is not None and now < clock
    holds = tuple(standing.values())
    if ended is not None:
        return State(
            word="stop", holds=holds, says=f"Stopped by {ended.who} at {ended.at:%H:%M}. {ended.why}".strip()
        )
    if holds or waiting or not is_open:
        return State(
            word="hold", holds=holds, not_before=clock if waiting else None,
            says=_says(holds, clock if waiting else None, is_open),
        )  # fmt: skip
    return State(word="go", says="Go. Nobody holds and every clock has run out.")


def _says(holds: tuple[Event, ...], clock: datetime.datetime | None, is_open: bool) -> str:
    parts = [f"{e.who} holds since {e.at:%H:%M}{': ' + e.why if e.why else ''}." for e in holds]
    if len(holds) > 1:
        parts.append(f"All {len(holds)} must clear.")
    if clock:
        parts.append(f"Not before {clock:%H:%M:%S}; new thunder starts the clock again.")
    if not is_open:
        parts.append("The safety officer has not opened the water.")
    return "Hold. " + " ".join(parts)


def read_event(*, at: datetime.datetime, who: str, what: str, why: str = "") -> Event:
    """An event from words.

    Raises
    ------
    InputError
        Nobody is named, or it is no such word.
    """
    if not who.strip():
        raise InputError(
            what="nobody is named", allowed="the job of who says it, such as boat crew", do="Say who it is."
        )
    for word in WHATS:
        if what.strip().casefold() == word:
            return Event(at=at, who=who.strip(), what=word, why=why.strip())
    raise InputError(what="no such word", got=f'"{what}"', allowed=", ".join(WHATS), do="Use one of these.")

"""What people do on a race day, as rows for the log: checked first, then added, never changed.

Each function looks at the day as it stands and gives the rows to add with ``files.add_rows(results.csv,
RESULT_COLUMNS, rows)``.  No rows mean that it is in the log already: a phone may send the same key again.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from skimwright.base import ConflictError, InputError, MissingError
from skimwright.desk.race.race_day import DayHeat, RaceDay
from skimwright.desk.race.results import COLUMNS
from skimwright.desk.seasons.fields import nearest
from skimwright.regatta import CHOICES, TRIES, Event, Kind, Outcome, clock, read_outcome

RESULT_COLUMNS = COLUMNS
ReportKind = Literal["finish", "result", "decision"]
LogRows = tuple[dict[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Stamp:
    """Who says it, when, from which phone."""

    at: datetime.datetime  # by the clock of the laptop that writes
    who: str = ""  # the job, such as marshal; no surname is needed
    phone: str = ""
    key: str = ""  # of this one act; sent again, it is counted once


def _row(stamp: Stamp, kind: Kind, *, part: str = "", heat: DayHeat | None = None, boat: int | None = None,
         **cells: str) -> dict[str, str]:  # fmt: skip
    typed = {
        name: _plain(name, cell) for name, cell in ({"phone": stamp.phone, "who": stamp.who} | cells).items()
    }
    return {
        "time": f"{stamp.at:%H:%M:%S}",
        "event": kind,
        "group": heat.group if heat else "",
        "heat": str(heat.number) if heat else "",
        "boat": f"{boat:02d}" if boat is not None else "",
        "key": _plain("key", f"{stamp.key}{part}") if stamp.key else "",
    } | typed


def _plain(name: str, text: str) -> str:
    """Words on one line, without signs that no list can hold.

    Raises
    ------
    InputError
        There is such a sign in them.
    """
    said = " ".join(text.split())
    if not said.isprintable():
        raise InputError(
            what=f"{name}: a sign that cannot be printed", allowed="letters, figures and punctuation on one line",
            do="Type it again; it may have come along with a copy.",
        )  # fmt: skip
    return said


def _is_known(day: RaceDay, stamp: Stamp, event: Event, *, part: str = "") -> bool:
    """Whether this very act is in the log already.

    Raises
    ------
    ConflictError
        Its key is, for something else.
    """
    key = f"{stamp.key}{part}"
    old = next((e for e in day.events if stamp.key and e.key == key), None)
    if old is None:
        return False
    same = (old.kind, old.heat, old.boat) == (event.kind, event.heat, event.boat) and all(
        outcome.same_as(old.outcomes.get(boat, Outcome())) for boat, outcome in event.outcomes.items()
    )
    if not same:
        raise ConflictError(
            what="this key was used before, for something else", got=f'"{key}"',
            allowed="a new key for each act", do="Send it again with a key of its own.",
        )  # fmt: skip
    return True


def _reason(kind: str, why: str) -> str:
    """The reason, which must be there.

    Raises
    ------
    InputError
        It is blank.
    """
    if not why.strip():
        raise InputError(
            what=f"a {kind} without a reason", allowed="a few words saying why",
            do="Write the reason; it stands in the log for everybody.",
        )  # fmt: skip
    return " ".join(why.split())


# ---------------------------------------------------------------------------------------------- the start


def publish_rows(day: RaceDay, stamp: Stamp, *, why: str = "") -> LogRows:
    """The lots of every group, published with seed and mark.

    Raises
    ------
    ConflictError
        Other lots were published, and a heat has been called or no reason is given.
    """
    was = {event.group: event.said for event in day.events if event.kind == "lots"}
    said = {group: f"{draw.seed} {draw.mark}" for group, draw in day.published.draws.items()}
    fresh = {group: each for group, each in said.items() if was.get(group) != each}
    if any(group in was for group in fresh) and (day.followed.frontier or not why.strip()):
        raise ConflictError(
            what="other lots were published already", got=", ".join(sorted(set(fresh) & set(was))),
            allowed="new lots before the first heat is called, with a reason",
            do="Keep the published ones, or say why not.",
        )  # fmt: skip
    return tuple(
        _row(stamp, "lots", part=f"/{group}") | {"group": group, "new": each, "reason": why}
        for group, each in fresh.items()
    )


def call_rows(day: RaceDay, number: int, stamp: Stamp, *, why: str = "") -> LogRows:
    """A heat is called, for the first time or again.

    Raises
    ------
    ConflictError
        Racing is on hold, the heat has been run, another comes first, a boat has no tick, it is too late.
    MissingError
        There is no such heat.
    """
    heat = day.heat(number)
    if _is_known(day, stamp, Event(kind="call", heat=number)):
        return ()
    _may_go(day, heat, "be called")
    _has_turn(day, heat, why)
    _all_ticked(day, heat)
    return (_row(stamp, "call", heat=heat, reason=why),)


def start_rows(day: RaceDay, number: int, stamp: Stamp) -> LogRows:
    """A heat was let go.

    Raises
    ------
    ConflictError
        Racing is on hold, it has been run, it was not called, a boat has no tick, a crew is missing.
    """
    heat = day.heat(number)
    if _is_known(day, stamp, Event(kind="start", heat=number)):
        return ()
    _may_go(day, heat, "start")
    if not heat.calls:
        raise ConflictError(
            what=f"heat {number} has not been called", do=f"Call it first: `skimwright call {number}`."
        )
    if heat.missing:
        raise ConflictError(
            what=f"the director has not chosen about {day.label(heat.missing[0])}, whose crew is missing",
            allowed=", ".join(CHOICES), do="Choose first.",
        )  # fmt: skip
    _all_ticked(day, heat)
    return (_row(stamp, "start", heat=heat),)


def _may_go(day: RaceDay, heat: DayHeat, act: str) -> None:
    if day.word != "go":
        raise ConflictError(
            what=f"heat {heat.number} cannot {act} now",
            got=day.says.rstrip("."),
            do="Wait for the all clear.",
        )
    if heat.state in ("on the water", "waits", "done"):
        raise ConflictError(
            what=f"heat {heat.number} has been raced", got=heat.state,
            do="Look at the number; a heat is raced again only after a re-run is ordered.",
        )  # fmt: skip
    for name, limit in day.plan.limits.items():
        if day.clock >= limit:
            raise ConflictError(
                what=f"it is {clock(day.clock)}, past the limit for {name} at {clock(limit)}",
                do="No heat starts after it; change day.toml if the site has moved it.",
            )  # fmt: skip


def _has_turn(day: RaceDay, heat: DayHeat, why: str) -> None:
    before = [n for n in day.ahead[: day.ahead.index(heat.number)] if not day.heat(n).calls]
    if before and not why.strip():
        raise ConflictError(
            what=f"heat {before[0]} comes before heat {heat.number}", allowed=f"heat {before[0]} next",
            do="Call that one, or say why this one goes first.",
        )  # fmt: skip


def _all_ticked(day: RaceDay, heat: DayHeat) -> None:
    for boat in heat.unticked:
        raise ConflictError(
            what=f"boat {day.label(boat)} has no tick", got=day.fitness[boat].why_not,
            allowed="the pit steward's tick, or the director's decision with a reason",
            do=f"Pit steward: `skimwright mend {boat} --fit`.",
        )  # fmt: skip


def missing_rows(
    day: RaceDay, number: int, boat: int, stamp: Stamp, *, choice: str = "", why: str = ""
) -> LogRows:
    """A crew has not come; with the director's choice, once it is made.

    Parameters
    ----------
    choice : str
        wait, skip, not started; blank: the director is asked.

    Raises
    ------
    InputError, ConflictError
        No such choice; the boat is not in the heat; it was not called twice; it has been raced.
    """
    if choice not in ("", *CHOICES):
        raise InputError(
            what="no such choice", got=f'"{choice}"', allowed=", ".join(CHOICES), do=nearest(choice, CHOICES)
        )
    if _is_known(day, stamp, Event(kind="missing", heat=number, boat=boat, said=choice)):
        return ()
    heat = _with_boat(day, number, boat)
    if heat.state in ("on the water", "waits", "done"):
        raise ConflictError(what=f"heat {number} has been raced", do="Add a correction.")
    if heat.calls < 2 and choice != "wait":
        raise ConflictError(
            what=f"heat {number} has been called {'once' if heat.calls else 'not yet'}",
            allowed="two calls before a crew is missing", do=f"Call it: `skimwright call {number}`.",
        )  # fmt: skip
    return (_row(stamp, "missing", heat=heat, boat=boat, new=choice, reason=why),)


def allow_rows(day: RaceDay, number: int, boat: int, stamp: Stamp, *, why: str) -> LogRows:
    """The director lets a boat race a heat without the pit steward's tick.

    Raises
    ------
    InputError, ConflictError
        No reason; the boat is not in the heat, or has its tick.
    """
    said = _reason("decision to race without a tick", why)
    if _is_known(day, stamp, Event(kind="allow", heat=number, boat=boat, reason=said)):
        return ()
    heat = _with_boat(day, number, boat)
    if day.fitness[boat].is_fit:
        raise ConflictError(what=f"boat {day.label(boat)} has its tick", do="Nothing needs deciding.")
    return (_row(stamp, "allow", heat=heat, boat=boat, reason=said),)


def _with_boat(day: RaceDay, number: int, boat: int) -> DayHeat:
    heat = day.heat(number)
    if boat not in heat.boats:
        raise InputError(
            what=f"boat {boat} does not race in heat {number}", got=_why_not_in(day, heat, boat),
            allowed=_listed(heat.boats), do="Look at the heat card.",
        )  # fmt: skip
    return heat


def _why_not_in(day: RaceDay, heat: DayHeat, boat: int) -> str:
    if boat in heat.out:
        return "withdrawn, or not started"
    theirs = [str(other.number) for other in day.heats if boat in other.boats]
    return f"a boat of heats {', '.join(theirs)}" if theirs else "a boat that is in no heat"


def _listed(boats: Sequence[int]) -> str:
    return ", ".join(f"{boat:02d}" for boat in boats)


# ---------------------------------------------------------------------------------------------- the finish


def finish_rows(
    day: RaceDay,
    number: int,
    order: Mapping[int, str],
    stamp: Stamp,
    *,
    kind: ReportKind = "finish",
    why: str = "",
    seconds: Mapping[int, float] | None = None,
) -> LogRows:
    """What every boat of a heat did.

    Parameters
    ----------
    order : mapping of int to str
        By boat: a place, a shared place (``2=``), a word or code, or blank if it cannot be read.  Boats written down
        as not started may be left out.
    kind : str
        ``finish`` by a finish phone, ``result`` typed from paper or by the scorer, ``decision`` by the marshal.
    why : str
        Needed for a decision and a disqualification.
    seconds : mapping, optional
        Elapsed times. [s]

    Raises
    ------
    InputError
        A boat that is not in the heat, one that is left out, a place twice that is not said to be shared.
    ConflictError
        This phone has reported the heat already, otherwise.
    """
    heat = day.heat(number)
    reason = _reason(kind, why) if kind == "decision" else " ".join(why.split())
    outcomes = {boat: read_outcome(text) for boat, text in order.items()}
    event = Event(kind=kind, heat=number, outcomes=outcomes, reason=reason)
    if _is_known(day, stamp, event):
        return ()
    if kind == "finish" and not stamp.phone.strip():
        raise InputError(
            what="which finish phone is it", allowed='a name for each of the two, such as "finish A"',
            do='Add --phone "finish A".',
        )  # fmt: skip
    if _is_repeat(heat, event, stamp):
        return ()
    _everybody_once(day, heat, outcomes)
    for boat in heat.out:
        if boat not in outcomes and boat in day.followed.so_far(number).not_started:
            outcomes[boat] = Outcome(code="DNS")
    cells = {boat: f"{value:g}" for boat, value in (seconds or {}).items()}
    best_first = sorted(outcomes, key=lambda b: (outcomes[b].place or 999, heat.lane_of(b)))
    return tuple(
        _row(
            stamp, kind, heat=heat, boat=boat, new=_cell(outcomes[boat]), seconds=cells.get(boat, ""),
            reason=reason,
        )
        for boat in best_first
    )  # fmt: skip


def _is_repeat(heat: DayHeat, event: Event, stamp: Stamp) -> bool:
    """Whether this phone has said the same before.

    Raises
    ------
    ConflictError
        It has said something else.
    """
    for old in heat.reports:
        same_hand = old.phone == stamp.phone and (old.who == stamp.who or event.kind == "finish")
        if old.kind != event.kind or not same_hand or event.kind == "decision":
            continue
        if all(
            outcome.same_as(old.outcomes.get(boat, Outcome())) for boat, outcome in event.outcomes.items()
        ):
            return True
        raise ConflictError(
            what=f"{stamp.phone or stamp.who or 'the scorer'} has reported heat {heat.number} already, otherwise",
            got=_order(old.outcomes),
            allowed="the marshal's decision, or a correction with a reason",
            do="What was said first stands in the log; say what is right as one of these.",
        )
    return False


def _order(outcomes: Mapping[int, Outcome]) -> str:
    best_first = sorted(outcomes, key=lambda b: (outcomes[b].place or 999, b))
    return ", ".join(f"{boat:02d} {outcomes[boat].words()}" for boat in best_first)


def _everybody_once(day: RaceDay, heat: DayHeat, outcomes: Mapping[int, Outcome]) -> None:
    for boat in outcomes:
        if boat not in heat.boats and not (boat in heat.out and outcomes[boat].code in ("DNS", "DNC")):
            raise InputError(
                what=f"boat {boat} did not race in heat {heat.number}", got=_why_not_in(day, heat, boat),
                allowed=_listed(heat.boats), do="Which boat was it? Look at the heat card.",
            )  # fmt: skip
    left = [boat for boat in heat.boats if boat not in outcomes]
    if left:
        raise InputError(
            what=f"what did {_listed(left)} do in heat {heat.number}", got="nothing",
            allowed="a place, not finished, not started, or ? if nobody saw", do="Say it for every boat.",
        )  # fmt: skip
    places = Counter(outcome.place for outcome in outcomes.values() if outcome.place is not None)
    for place, times in places.items():
        sharing = [boat for boat, outcome in outcomes.items() if outcome.place == place]
        if times > 1 and not all(outcomes[boat].is_tie for boat in sharing):
            raise InputError(
                what=f"place {place} is given to {_listed(sharing)}", allowed=f"{place}= for each if it is a tie",
                do="A tie, or a slip? Write it so.",
            )  # fmt: skip


def _cell(outcome: Outcome) -> str:
    if outcome.is_unreadable:
        return "?"
    plain = (
        outcome.place is None and outcome.points is None and outcome.code not in ("DNF", "DNS", "DSQ", "RET")
    )
    return outcome.code if plain else outcome.words()


def correct_rows(day: RaceDay, number: int, new: Mapping[int, str], stamp: Stamp, *, why: str) -> LogRows:
    """A result anew: old, new, who, when and why stand in the log.

    Raises
    ------
    InputError
        No reason; a boat that is not in the result; nothing changes.
    ConflictError
        The heat has no result yet.
    """
    heat, reason = day.heat(number), _reason("correction", why)
    rows = []
    for boat, text in new.items():
        outcome = read_outcome(text)
        if _is_known(
            day, stamp, Event(kind="correction", heat=number, outcomes={boat: outcome}, reason=reason),
            part=f"/{boat:02d}",
        ):  # fmt: skip
            continue
        if not heat.outcomes:
            raise ConflictError(
                what=f"heat {number} has no result yet", do="Report it, or let the marshal decide."
            )
        if boat not in heat.outcomes:
            raise InputError(
                what=f"boat {boat} is not in the result of heat {number}", allowed=_listed(tuple(heat.outcomes)),
                do="Look at the heat sheet.",
            )  # fmt: skip
        old = heat.outcomes[boat]
        if old.same_as(outcome) and old.is_tie == outcome.is_tie:
            raise InputError(
                what=f"boat {boat} is {old.words()} in heat {number} already",
                do="Nothing to correct; look again.",
            )
        rows.append(
            _row(
                stamp, "correction", part=f"/{boat:02d}", heat=heat, boat=boat, old=_cell(old), new=_cell(outcome),
                reason=reason,
            )
        )  # fmt: skip
    return tuple(rows)


def rerun_rows(day: RaceDay, number: int, stamp: Stamp, *, why: str) -> LogRows:
    """The director orders a heat raced again; what was reported does not count.

    Raises
    ------
    InputError, ConflictError
        No reason; it has not been raced.
    """
    heat, reason = day.heat(number), _reason("re-run", why)
    if _is_known(day, stamp, Event(kind="rerun", heat=number, reason=reason)):
        return ()
    if heat.state not in ("on the water", "waits", "done"):
        raise ConflictError(
            what=f"heat {number} has not been raced", got=heat.state, do="Look at the number."
        )
    return (_row(stamp, "rerun", heat=heat, reason=reason),)


def protest_rows(day: RaceDay, number: int, stamp: Stamp, *, why: str, boat: int | None = None) -> LogRows:
    """Somebody objects to a heat; it is open until a ruling, a correction or a decision.

    Raises
    ------
    InputError
        No reason; the boat is not in the heat.
    """
    reason = _reason("protest", why)
    if _is_known(day, stamp, Event(kind="protest", heat=number, boat=boat, reason=reason)):
        return ()
    heat = day.heat(number) if boat is None else _with_boat(day, number, boat)
    return (_row(stamp, "protest", heat=heat, boat=boat, reason=reason),)


def ruling_rows(day: RaceDay, number: int, stamp: Stamp, *, why: str) -> LogRows:
    """The protests of a heat are answered and change nothing.

    Raises
    ------
    InputError, ConflictError
        No reason; no protest is open.
    """
    heat, reason = day.heat(number), _reason("ruling", why)
    if _is_known(day, stamp, Event(kind="ruling", heat=number, reason=reason)):
        return ()
    if not heat.protests:
        raise ConflictError(what=f"no protest about heat {number} is open", do="Look at the number.")
    return (_row(stamp, "ruling", heat=heat, reason=reason),)


# ---------------------------------------------------------------------------------------------- entries and pit


def withdraw_rows(day: RaceDay, boat: int, stamp: Stamp, *, why: str) -> LogRows:
    """A boat races no more; only heats to come are drawn anew.

    Raises
    ------
    InputError, MissingError, ConflictError
        No reason; not entered; withdrawn already.
    """
    reason = _reason("withdrawal", why)
    _entered(day, boat)
    if _is_known_withdrawal(day, stamp, boat):
        return ()
    if boat in day.results.gone:
        raise ConflictError(
            what=f"boat {day.label(boat)} has withdrawn already", do="Nothing more is needed."
        )
    theirs = [n for n in day.ahead if boat in day.heat(n).boats]
    first = min(theirs, default=day.followed.frontier + 1)
    row = _row(stamp, "withdrawal", boat=boat, reason=reason)
    return (row | {"heat": str(first), "group": day.heat(first).group if first <= len(day.heats) else ""},)


def _is_known_withdrawal(day: RaceDay, stamp: Stamp, boat: int) -> bool:
    old = next((e for e in day.events if stamp.key and e.key == stamp.key), None)
    return old is not None and _is_known(
        day, stamp, Event(kind="withdrawal", heat=old.heat, boat=boat, reason="-")
    )


def late_rows(day: RaceDay, boat: int, stamp: Stamp, *, why: str = "") -> LogRows:
    """A boat enters late and takes its place in the heats to come.

    Raises
    ------
    MissingError
        It has no row in the list of entries.
    ConflictError
        It is in the lots already.
    """
    _entered(day, boat)
    if _is_known(day, stamp, Event(kind="late", boat=boat)):
        return ()
    if any(event.kind == "late" and event.boat == boat for event in day.events) or _is_in_published(
        day, boat
    ):
        raise ConflictError(
            what=f"boat {day.label(boat)} has its place in the lots already",
            do="Leave it out. A boat that withdrew stays out for the day.",
        )
    return (_row(stamp, "late", boat=boat, reason=why),)


def _is_in_published(day: RaceDay, boat: int) -> bool:
    """Whether the lots were published with this boat in them."""
    marks = {event.group: event.said.split()[1] for event in day.events if event.kind == "lots"}
    return any(
        boat in draw.boats and marks.get(group, draw.mark) == draw.mark
        for group, draw in day.published.draws.items()
    )


def _entered(day: RaceDay, boat: int) -> None:
    if boat not in day.names:
        raise MissingError(
            what=f"boat {boat} is not entered", allowed=f"a boat of {day.entries.file}",
            do="Write its row first, or look at the number.",
        )  # fmt: skip


def fit_rows(day: RaceDay, boats: Sequence[int], stamp: Stamp, *, is_unweighed: bool = False) -> LogRows:
    """The pit steward's tick.

    Parameters
    ----------
    is_unweighed : bool
        There is no scale at the pond: the heat card says so.

    Raises
    ------
    ConflictError
        A boat must be weighed first.
    """
    rows = []
    for boat in boats:
        _entered(day, boat)
        said = "unweighed" if is_unweighed else ""
        part = f"/{boat:02d}"
        if _is_known(day, stamp, Event(kind="fit", boat=boat, said=said), part=part):
            continue
        now = day.fitness[boat]
        if now.must_be_weighed and not is_unweighed:
            raise ConflictError(
                what=f"boat {day.label(boat)} must be weighed first", got=now.why_not,
                allowed="its mass, or the word that there is no scale here",
                do=f"Weigh it: `skimwright mend {boat} --mass-g M`; without a scale add --unweighed.",
            )  # fmt: skip
        rows.append(_row(stamp, "fit", part=part, boat=boat, new=said))
    return tuple(rows)


def unfit_rows(day: RaceDay, boat: int, stamp: Stamp, *, why: str) -> LogRows:
    """The tick is taken away.

    Raises
    ------
    InputError, MissingError
        No reason; not entered.
    """
    _entered(day, boat)
    reason = _reason("refusal", why)
    if _is_known(day, stamp, Event(kind="unfit", boat=boat, reason=reason)):
        return ()
    return (_row(stamp, "unfit", boat=boat, reason=reason),)


def mend_rows(day: RaceDay, boat: int, stamp: Stamp, *, why: str, patch: str = "") -> LogRows:
    """Crash, water, device moved, patch: no tick until it is weighed, or marked unweighed.

    Parameters
    ----------
    patch : str
        Its mass and place in words, such as ``6 g at 30,100``; blank if there is none.

    Raises
    ------
    InputError, MissingError
        No reason; not entered.
    """
    _entered(day, boat)
    reason = _reason("mend", why)
    if _is_known(day, stamp, Event(kind="mend", boat=boat, reason=reason)):
        return ()
    return (_row(stamp, "mend", boat=boat, new=patch, reason=reason),)


def weighed_rows(day: RaceDay, boat: int, stamp: Stamp, *, mass: float, is_fit: bool = False) -> LogRows:
    """A boat's mass as the scale at the pond shows it.

    Parameters
    ----------
    mass : float
        [kg]
    is_fit : bool
        The pit steward ticks it too.

    Raises
    ------
    MissingError
        Not entered.
    """
    _entered(day, boat)
    said = f"{mass * 1e3:.5g} g"
    if _is_known(day, stamp, Event(kind="weighed", boat=boat, said=said)):
        return ()
    rows = (_row(stamp, "weighed", boat=boat, old=day.fitness[boat].mass, new=said),)
    return (*rows, _row(stamp, "fit", part="/fit", boat=boat)) if is_fit else rows


# ---------------------------------------------------------------------------------------------- qualifying


def queue_rows(day: RaceDay, boats: Sequence[int], stamp: Stamp) -> LogRows:
    """Crews join the qualifying queue; one that comes late has its own place in it.

    Raises
    ------
    MissingError, ConflictError
        Not entered; in the queue, or through, already.
    """
    rows = []
    for boat in boats:
        _entered(day, boat)
        if _is_known(day, stamp, Event(kind="queue", boat=boat), part=f"/{boat:02d}"):
            continue
        if boat in day.queue.tries:
            raise ConflictError(
                what=f"boat {day.label(boat)} was in the queue already", do="Look at the queue's own list."
            )
        rows.append(_row(stamp, "queue", part=f"/{boat:02d}", boat=boat))
    return tuple(rows)


def try_rows(day: RaceDay, boat: int, ended: str, stamp: Stamp, *, why: str = "") -> LogRows:
    """One try at qualifying.

    Parameters
    ----------
    ended : str
        through, ran wide, stopped short, turned over, not let go.

    Raises
    ------
    InputError, MissingError, ConflictError
        No such word; not entered; through already, or no tries left.
    """
    _entered(day, boat)
    if ended not in TRIES:
        raise InputError(
            what="no such end of a try", got=f'"{ended}"', allowed=", ".join(TRIES), do=nearest(ended, TRIES)
        )
    if _is_known(day, stamp, Event(kind="try", boat=boat, said=ended)):
        return ()
    if boat in day.queue.through or boat in day.queue.out_of_tries:
        told = "is through" if boat in day.queue.through else "has had all its tries"
        raise ConflictError(what=f"boat {day.label(boat)} {told}", do="Look at the number.")
    return (_row(stamp, "try", boat=boat, new=ended, reason=why),)

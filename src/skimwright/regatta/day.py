"""What the day has come to: one pass over the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from skimwright.base import Finding
from skimwright.regatta.events import Event, Outcome, once

Outcomes = Mapping[int, Outcome]


@dataclass(frozen=True, kw_only=True)
class HeatState:
    """One heat as it stands."""

    number: int
    group: str = ""
    outcomes: Outcomes = field(default_factory=dict)  # what counts; empty while nothing does
    reports: tuple[Event, ...] = ()  # every report since the last re-run, to be shown side by side
    waits_for: str = ""  # why it does not count yet, in words; blank if it counts
    doubts: tuple[str, ...] = ()  # it counts, but somebody should look
    protests: tuple[Event, ...] = ()  # open ones
    is_decided: bool = False
    corrected: tuple[Event, ...] = ()  # corrections and decisions over a result that counted

    @property
    def counts(self) -> bool:
        """Whether it is in the standings."""
        return bool(self.outcomes) and not self.waits_for


@dataclass(frozen=True, kw_only=True)
class Day:
    """Everything the log says."""

    heats: Mapping[int, HeatState]
    gone: Mapping[int, int]  # boat: the first heat it does not race
    holds: tuple[Event, ...]  # open ones; racing waits until each is cleared
    findings: tuple[Finding, ...]


def replay(events: Iterable[Event]) -> Day:
    """The day, from its events in the order in which they were added.

    Heats count by their number, never by a clock, so it does not matter which heat was typed first, nor
    whether a phone's clock is wrong.

    Examples
    --------
    >>> first = Event(kind="result", heat=1, outcomes={7: Outcome(place=1), 8: Outcome(place=2)})
    >>> replay([first]).heats[1].counts
    True
    """
    heats: dict[int, HeatState] = {}
    gone: dict[int, int] = {}
    holds: list[Event] = []
    strays: list[Finding] = []
    times: list[tuple[int, Event]] = []
    counted, odd = once(events)
    strays += [
        _stray(event, "Its key was used before, for something else; the first is kept.") for event in odd
    ]
    for event in counted:
        if event.kind == "hold":
            holds.append(event)
        elif event.kind == "clear":
            if holds:
                holds.pop(0)
            else:
                strays.append(_stray(event, "This clears a hold, but there is none."))
        elif event.kind == "withdrawal" and event.boat is not None:
            first = event.heat or max(heats, default=0) + 1  # not said: from the next heat on
            gone[event.boat] = min(first, gone.get(event.boat, first))
        elif event.heat is not None and event.kind in APPLY:
            state = heats.get(event.heat, HeatState(number=event.heat, group=event.group))
            stray, heats[event.heat] = APPLY[event.kind](state, event)
            strays += [_stray(event, stray)] if stray else []
            if event.kind in ("finish", "result") and event.when is not None:
                times.append((event.heat, event))
    heats = {number: _look_over(heats[number], gone) for number in sorted(heats)}
    findings = [*strays, *_heat_findings(heats), *_clock_findings(times), *_hold_findings(holds)]
    return Day(
        heats=MappingProxyType(heats),
        gone=MappingProxyType(gone),
        holds=tuple(holds),
        findings=tuple(findings),
    )


# one event


def _finish(state: HeatState, event: Event) -> tuple[str, HeatState]:
    """A finish phone: the first waits, the second settles it or shows that they differ."""
    earlier = [report for report in state.reports if report.phone != event.phone]
    state = replace(state, group=state.group or event.group, reports=(*state.reports, event))
    if state.is_decided or state.outcomes:
        return _again(state, event)
    if not earlier:
        return "", replace(state, waits_for="the second finish phone; the marshal may decide without it")
    if all(_agree(report.outcomes, event.outcomes) for report in earlier):
        return "", replace(state, outcomes=event.outcomes, waits_for="")
    return "", replace(state, waits_for="the marshal: the finish phones differ")


def _result(state: HeatState, event: Event) -> tuple[str, HeatState]:
    """Typed by the scorer: it stands, unless a finish phone said otherwise; that is the marshal's to decide."""
    phones = [report for report in state.reports if report.kind == "finish"]
    state = replace(state, group=state.group or event.group, reports=(*state.reports, event))
    if state.outcomes:
        return _again(state, event)
    if not all(_agree(report.outcomes, event.outcomes) for report in phones):
        return "", replace(state, waits_for="the marshal: the reports differ")
    return "", replace(state, outcomes=event.outcomes, waits_for="")


def _again(state: HeatState, event: Event) -> tuple[str, HeatState]:
    """Reported once more: the first is kept, and a difference is shown."""
    if state.is_decided or any(_agree(event.outcomes, report.outcomes) for report in state.reports[:-1]):
        return "", state
    shown = " and ".join(
        f"{report.phone or report.who or 'the scorer'}: {order_in_words(report.outcomes)}"
        for report in state.reports
    )
    doubt = f"it was reported more than once, and not alike ({shown}); the first is kept"
    return "", replace(state, doubts=(*state.doubts, doubt))


def _decision(state: HeatState, event: Event) -> tuple[str, HeatState]:
    return "", replace(
        state,
        group=state.group or event.group,
        outcomes=event.outcomes,
        reports=(*state.reports, event),
        waits_for="",
        doubts=(),
        protests=(),
        is_decided=True,
        corrected=(*state.corrected, event) if state.counts else state.corrected,
    )


def _correction(state: HeatState, event: Event) -> tuple[str, HeatState]:
    if not state.outcomes:
        return "This corrects a heat that has no result yet; it is left out.", state
    stale = [
        f"boat {boat} was {_said(state.outcomes.get(boat))}, not {was.words()}"
        for boat, was in event.was.items()
        if not was.same_as(state.outcomes.get(boat, Outcome()))
    ]
    if stale and _by_director(state, event):
        return (
            "The director has corrected this boat already, and this correction was written from an older sheet: "
            "both are kept, the director's counts.",
            state,
        )
    new = {**state.outcomes, **event.outcomes}
    told = (
        f"The correction was written from an old sheet: {'; '.join(stale)}. It counts all the same."
        if stale
        else ""
    )
    return told, replace(
        state, outcomes=MappingProxyType(new), protests=(), corrected=(*state.corrected, event)
    )


def _by_director(state: HeatState, event: Event) -> bool:
    """Whether the director corrected one of these boats before, and somebody else does now."""
    theirs = {boat for old in state.corrected if "director" in old.who.casefold() for boat in old.outcomes}
    return "director" not in event.who.casefold() and not theirs.isdisjoint(event.outcomes)


def _rerun(state: HeatState, event: Event) -> tuple[str, HeatState]:
    waits = f"its re-run ({event.reason})"
    return "", HeatState(number=state.number, group=state.group or event.group, waits_for=waits)


def _protest(state: HeatState, event: Event) -> tuple[str, HeatState]:
    return "", replace(state, protests=(*state.protests, event))


def _ruling(state: HeatState, event: Event) -> tuple[str, HeatState]:
    stray = "" if state.protests else "This rules on a protest, but there is none."
    return stray, replace(state, protests=())


APPLY: dict[str, Callable[[HeatState, Event], tuple[str, HeatState]]] = {
    "finish": _finish,
    "result": _result,
    "decision": _decision,
    "correction": _correction,
    "rerun": _rerun,
    "protest": _protest,
    "ruling": _ruling,
}


def _agree(one: Outcomes, other: Outcomes) -> bool:
    return set(one) == set(other) and all(one[boat].same_as(other[boat]) for boat in one)


def _said(outcome: Outcome | None) -> str:
    return "not in this heat" if outcome is None else outcome.words()


def order_in_words(outcomes: Outcomes) -> str:
    """``07 1, 08 2, 09 not finished``: best first."""
    best_first = sorted(outcomes.items(), key=lambda item: (item[1].place or 999, item[1].code, item[0]))
    return ", ".join(f"{boat:02d} {outcome.words()}" for boat, outcome in best_first)


# looking over what came of it


def _look_over(state: HeatState, gone: Mapping[int, int]) -> HeatState:
    """What must be asked before the heat counts, and what should be looked at."""
    if not state.outcomes or state.waits_for:
        return state
    blank = [boat for boat, outcome in state.outcomes.items() if outcome.is_unreadable]
    if blank:
        return replace(
            state,
            waits_for=f"the place of {_boats(blank)}, which cannot be read{_only_place_left(state, blank)}",
        )
    late = [boat for boat in state.outcomes if state.number >= gone.get(boat, state.number + 1)]
    raced = [boat for boat in late if state.outcomes[boat].code not in ("DNC", "DNS")]
    if raced and not state.is_decided:
        return replace(
            state,
            waits_for=f"an answer: {_boats(raced)} had withdrawn, yet is scored here; which boat was it",
        )
    return replace(state, doubts=(*state.doubts, *_odd_places(state.outcomes)))


def _only_place_left(state: HeatState, blank: list[int]) -> str:
    taken = {outcome.place for outcome in state.outcomes.values()}
    left = [place for place in range(1, len(state.outcomes) + 1) if place not in taken]
    return f"; the only place left is {left[0]}" if len(blank) == len(left) == 1 else ""


def _odd_places(outcomes: Outcomes) -> list[str]:
    """Places shared without saying so, and places that nobody has."""
    placed = sorted((outcome.place, boat) for boat, outcome in outcomes.items() if outcome.place is not None)
    doubts = []
    places = [place for place, _ in placed]
    for place in sorted(set(places)):
        sharing = [boat for at, boat in placed if at == place]
        if len(sharing) > 1 and not any(outcomes[boat].is_tie for boat in sharing):
            doubts.append(
                f"{_boats(sharing)} have place {place} alike: a tie, or a slip? Both share it; write {place}= if meant"
            )
    out = sum(outcome.place is None for outcome in outcomes.values())
    if placed and places[-1] > len(placed) + out:
        doubts.append(
            f"place {places[-1]} among {len(outcomes)} boats: is a boat missing? Places count in order"
        )
    return doubts


def _boats(numbers: Iterable[int]) -> str:
    names = [f"{number:02d}" for number in sorted(numbers)]
    return f"boat {names[0]}" if len(names) == 1 else f"boats {', '.join(names[:-1])} and {names[-1]}"


def _stray(event: Event, what: str) -> Finding:
    heat = f"heat {event.heat}, " if event.heat is not None else ""
    place = f"row {event.row}" if event.row else event.kind
    return Finding(
        code="stray-event",
        severity="warning",
        what=what,
        do="Look at the log, and add a correction if one is needed.",
        where=f"{heat}{place}",
    )


def _heat_findings(heats: Mapping[int, HeatState]) -> list[Finding]:
    findings = []
    for number, state in heats.items():
        if state.waits_for:
            findings.append(
                Finding(
                    code="heat-held",
                    severity="stop",
                    what=f"This heat does not count yet: it waits for {state.waits_for}.",
                    why=_side_by_side(state),
                    do="Add a decision, or the result that is missing.",
                    where=f"heat {number}",
                )
            )
        for doubt in state.doubts:
            findings.append(
                Finding(
                    code="heat-doubted",
                    severity="warning",
                    what=f"{doubt[0].upper()}{doubt[1:]}.",
                    do="Ask whoever was there; add a correction or a decision if it is wrong.",
                    where=f"heat {number}",
                )
            )
        for protest in state.protests:
            findings.append(
                Finding(
                    code="protest-open",
                    severity="warning",
                    what=f"A protest is open: {protest.reason.rstrip('.')}.",
                    do="Add a ruling, a correction or a decision.",
                    where=f"heat {number}",
                )
            )
    return findings


def _side_by_side(state: HeatState) -> str:
    reports = [r for r in state.reports if r.kind in ("finish", "result")]
    if len(reports) < 2:
        return ""
    return " ".join(f"{r.phone or r.who or 'One'}: {order_in_words(r.outcomes)}." for r in reports)


def _clock_findings(times: list[tuple[int, Event]]) -> list[Finding]:
    """Two clocks that run against the order of the heats, told once for each two phones."""
    findings, told = [], set()
    latest: tuple[float, int, str] | None = None
    for number, event in sorted(times, key=lambda pair: pair[0]):
        when, phone = event.when or 0.0, event.phone or event.who or "the scorer"
        if latest and when < latest[0] - 60 and number > latest[1]:
            pair = frozenset((latest[2], phone))
            if pair not in told:
                told.add(pair)
                findings.append(
                    Finding(
                        code="clock-off",
                        severity="note",
                        what=f"By the clock of {phone} this heat came {(latest[0] - when) / 60:.0f} min before heat "
                        f"{latest[1]} by the clock of {latest[2]}.",
                        why="Heats count in the order of their numbers, so nothing is lost.",
                        do="See which of the clocks is wrong, and set it.",
                        where=f"heat {number}",
                    )
                )
        if latest is None or when > latest[0]:
            latest = (when, number, phone)
    return findings


def _hold_findings(holds: list[Event]) -> list[Finding]:
    return [
        Finding(
            code="hold-open",
            severity="stop",
            what=f"Racing is on hold: {hold.reason.rstrip('.')}.",
            do="Clear it when it is over; each hold needs its own all clear.",
        )
        for hold in holds
    ]

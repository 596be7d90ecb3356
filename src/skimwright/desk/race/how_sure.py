"""How sure the order of a day is, group by group: for organisers."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.base import Finding
from skimwright.desk.race.points import DayPoints, GroupPoints
from skimwright.desk.race.race_pace import race_paces, race_trials
from skimwright.desk.seasons.season import Season
from skimwright.desk.trials.log_run import RunLog
from skimwright.regatta import DayPlan, OrderSure, Pace, Sure, how_sure

TOO_EARLY = 2  # rounds below which nothing is said
CLEAR = 0.8  # a first place surer than this needs no run-off [choice]
ALIKE = 0.5  # below it the order says little of who is fastest [choice]


@dataclass(frozen=True, kw_only=True)
class GroupSure:
    """What the places of one group say."""

    group: str
    rounds: int
    sure: OrderSure | None  # None: too early, or a handicap
    known: dict[int, Pace]
    says: str  # one sentence

    @property
    def in_order(self) -> tuple[Sure, ...]:
        """As the points table stands; none if it is too early."""
        return self.sure.boats if self.sure else ()


def day_sureness(
    points: DayPoints,
    *,
    season: Season | None,
    log: RunLog | None,
    plan: DayPlan | None = None,
    front: int = 3,
    seed: int = 1,
) -> tuple[tuple[GroupSure, ...], tuple[Finding, ...]]:
    """How sure the order of each group is, and what to know about that.

    Parameters
    ----------
    points : DayPoints
        From `day_points`.
    season, log : optional
        Where the boats' trials are; without them boats are taken to be as far apart as boats usually are.
    plan : DayPlan, optional
        Groups that race in a session called a handicap are left out.
    front : int
        How many places are asked about.
    seed : int
        Same seed, same answer.
    """
    sessions = plan.sessions if plan else ()
    handicapped = {group for each in sessions if "handicap" in each.name.casefold() for group in each.groups}
    found = [
        _handicapped(one) if one.group in handicapped else _group(points, one, season, log, front, seed)
        for one in points.groups
    ]
    notes = [_private()]
    ran = any(pace.runs for one in found for pace in one.known.values())
    if not ran:
        notes.append(_no_trials())
    return tuple(found), tuple(notes)


def _handicapped(one: GroupPoints) -> GroupSure:
    says = "Start places were handicapped so that all have the same chance: places say nothing of speed."
    return GroupSure(group=one.group, rounds=one.standings.rounds, sure=None, known={}, says=says)


def _group(
    points: DayPoints, one: GroupPoints, season: Season | None, log: RunLog | None, front: int, seed: int
) -> GroupSure:
    boats = [row.boat for row in one.standings.rows]
    rounds = one.standings.rounds
    if rounds < TOO_EARLY or len(boats) < 2:
        says = f"Too early: {rounds} {'round counts' if rounds == 1 else 'rounds count'}, and it takes {TOO_EARLY}."
        return GroupSure(group=one.group, rounds=rounds, sure=None, known={}, says=says)
    listed = {entry.number for entry in season.boats} if season else set()
    has_trials = season is not None and set(boats) <= listed
    theirs = season if has_trials else None
    known = race_paces(theirs, log, boats)
    heats = [
        heat.outcomes
        for heat in points.day.heats.values()
        if heat.counts and (not one.group or heat.group == one.group)
    ]
    sure = how_sure(
        heats,
        known,
        points.table,
        trials=race_trials(theirs, log, boats),
        front=min(front, len(boats)),
        discards=one.standings.discards,
        seed=seed,
    )
    return GroupSure(group=one.group, rounds=rounds, sure=sure, known=known, says=_says(sure))


def _says(sure: OrderSure) -> str:
    first = sure.boats[0]
    best = max(sure.boats, key=lambda boat: boat.fastest)
    stands = f"Boat {first.boat:02d} leads and is truly the fastest with {100 * first.fastest:.0f} %"
    if first.fastest >= CLEAR:
        return f"{stands}: a run-off would hardly change it."
    if best.boat != first.boat:
        return (
            f"{stands}; more likely it is boat {best.boat:02d} ({100 * best.fastest:.0f} %). If first place must "
            "mean the fastest boat, a run-off is fair."
        )
    if first.fastest < ALIKE:
        return f"{stands}: the order of the first is mostly chance; a run-off is fair."
    return f"{stands}: likely, not certain."


def _private() -> Finding:
    return Finding(
        code="organisers-only",
        severity="note",
        what="These chances are for organisers.",
        why="No crew is helped by a table of luck.",
        do="Use them to decide on a run-off; do not post or read them out.",
    )


def _no_trials() -> Finding:
    return Finding(
        code="no-trials",
        severity="note",
        what="No trial times were found for these boats.",
        why="Boats are taken to be 8 % apart, runs to differ by 7 % and one run in ten to fail: our guess.",
        do="Say --season, so that runs.csv is taken in.",
    )

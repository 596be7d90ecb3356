"""The points table: a pure sum over the heats that count, each tie parted in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import floor
from typing import Any

from skimwright.base import Finding
from skimwright.regatta.day import Day, HeatState
from skimwright.regatta.events import WITH_PLACE, Outcome
from skimwright.regatta.points import TIE_BREAKS, PointsTable


@dataclass(frozen=True, kw_only=True)
class Score:
    """One boat's points for one race."""

    heat: int | None  # None: it was not in a heat of that round
    outcome: Outcome
    points: float
    is_dropped: bool = False


@dataclass(frozen=True, kw_only=True)
class Standing:
    """One line of the table."""

    place: int
    is_shared: bool
    boat: int
    points: float
    scores: tuple[Score, ...]  # in the order of the rounds
    tie_broken_by: str = ""  # in words; blank where no tie was

    @property
    def counted(self) -> tuple[Score, ...]:
        """What makes up the points."""
        return tuple(score for score in self.scores if not score.is_dropped)

    @property
    def dropped(self) -> tuple[Score, ...]:
        """What is left out."""
        return tuple(score for score in self.scores if score.is_dropped)


@dataclass(frozen=True, kw_only=True)
class Standings:
    """A points table, best first."""

    rows: tuple[Standing, ...]
    rounds: int
    discards: int
    findings: tuple[Finding, ...] = ()


def standings(
    day: Day,
    table: PointsTable,
    *,
    group: str | None = None,
    entries: Sequence[int] = (),
    discards: int | None = None,
) -> Standings:
    """Points and places after the heats that count.

    Parameters
    ----------
    day : Day
        From `replay`.
    table : PointsTable
        What places and codes are worth.
    group : str, optional
        Only this group's heats; all heats if None.
    entries : sequence of int
        Boats entered, if some have not raced at all: whoever is entered once is scored for every round.
    discards : int, optional
        In place of the table's own number; never so many that no race is left.

    Examples
    --------
    >>> from skimwright.regatta import POWERBOAT, Event, Outcome, replay
    >>> day = replay([Event(kind="result", heat=1, outcomes={7: Outcome(place=2), 8: Outcome(place=1)})])
    >>> [(row.place, row.boat, row.points) for row in standings(day, POWERBOAT).rows]
    [(1, 8, 400.0), (2, 7, 300.0)]
    """
    heats = [heat for heat in day.heats.values() if heat.counts and group in (None, heat.group)]
    rounds = _rounds(heats)
    boats = sorted({boat for heat in heats for boat in heat.outcomes} | set(entries))
    allowed = min(table.discards if discards is None else discards, max(0, len(rounds) - 1))
    raw: dict[int, list[Score]] = {boat: [] for boat in boats}
    for heats_of_round in rounds:
        scored = {
            boat: score
            for heat in heats_of_round
            for boat, score in score_heat(heat, table, entries=len(boats)).items()
        }
        for boat in boats:
            raw[boat].append(scored.get(boat) or _not_there(table, len(boats)))
    rows = rank({boat: drop_worst(scores, table, allowed) for boat, scores in raw.items()}, table)
    return Standings(
        rows=rows,
        rounds=len(rounds),
        discards=allowed,
        findings=tuple(_findings(rows, heats, table, len(boats))),
    )


def _rounds(heats: Iterable[HeatState]) -> list[list[HeatState]]:
    """Heats in order of number; a new round begins where a boat of this round would race again."""
    rounds: list[list[HeatState]] = []
    seen: set[int] = set()
    for heat in heats:
        if not rounds or not seen.isdisjoint(heat.outcomes):
            rounds.append([])
            seen = set()
        rounds[-1].append(heat)
        seen.update(heat.outcomes)
    return rounds


def _not_there(table: PointsTable, entries: int) -> Score:
    return Score(
        heat=None, outcome=Outcome(code="DNC"), points=table.of_code("DNC", entries=entries, starters=entries)
    )


def score_heat(heat: HeatState, table: PointsTable, *, entries: int) -> dict[int, Score]:
    """Points for each boat of a heat; who is disqualified or retires moves the worse-placed boats up."""
    starters = sum(outcome.code != "DNC" for outcome in heat.outcomes.values())
    sharing = Counter(outcome.place for outcome in heat.outcomes.values() if outcome.place is not None)
    ahead, rank_of = 0, {}
    for place in sorted(sharing):
        rank_of[place] = ahead + 1
        ahead += sharing[place]
    scores = {}
    for boat, outcome in heat.outcomes.items():
        if outcome.place is None:
            points = outcome.points
            if points is None:
                points = table.of_code(outcome.code, entries=entries, starters=starters)
        else:
            points = table.of_tie(rank_of[outcome.place], sharing[outcome.place])
            if outcome.code in WITH_PLACE:
                worst = table.of_code("DNF", entries=entries, starters=starters)
                points = _with_penalty(points, outcome, table, worst)
        scores[boat] = Score(heat=heat.number, outcome=outcome, points=points)
    return scores


def _with_penalty(points: float, outcome: Outcome, table: PointsTable, worst: float) -> float:
    """A fifth of what not finishing is worth, or the points a jury gave; never worse than not finishing."""
    if table.most_wins:
        return max(worst, points - (outcome.points or 0.0))
    more = outcome.points if outcome.points is not None else floor(0.2 * worst + 0.5)
    return max(points, min(worst, points + more))


def drop_worst(scores: Sequence[Score], table: PointsTable, discards: int) -> tuple[Score, ...]:
    """Leave out the worst; of equal ones the earliest; never one that must count."""
    sign = -1 if table.most_wins else 1
    may = [n for n, score in enumerate(scores) if score.outcome.code not in table.never_dropped]
    worst = set(sorted(may, key=lambda n: (-sign * scores[n].points, n))[:discards])
    return tuple(replace(s, is_dropped=True) if n in worst else s for n, s in enumerate(scores))


# ties


def rank(series: Mapping[int, Sequence[Score]], table: PointsTable) -> tuple[Standing, ...]:
    """Boats in order of their points, ties parted as the table says; who cannot be parted shares a place."""
    sign = -1.0 if table.most_wins else 1.0
    totals = {
        boat: round(sum(s.points for s in scores if not s.is_dropped), 6) for boat, scores in series.items()
    }
    in_order = sorted(series, key=lambda boat: (sign * totals[boat], boat))
    rows: list[Standing] = []
    for _, same in groupby(in_order, key=lambda boat: totals[boat]):
        tied = list(same)
        keys = {boat: _keys(boat, tied, series, table, is_first=not rows) for boat in tied}
        tied.sort(key=lambda boat: ([key for _, key in keys[boat]], boat))
        level = _level(tied, keys)
        begin = len(rows)
        for n, boat in enumerate(tied):
            rows.append(
                Standing(
                    place=begin + level[n] + 1,
                    is_shared=level.count(level[n]) > 1,
                    boat=boat,
                    points=totals[boat] + 0.0,
                    scores=tuple(series[boat]),
                    tie_broken_by=_in_words(n, tied, keys, table) if len(tied) > 1 else "",
                )
            )
    return tuple(rows)


Keys = list[tuple[str, tuple[float, ...]]]


def _keys(
    boat: int,
    tied: Sequence[int],
    series: Mapping[int, Sequence[Score]],
    table: PointsTable,
    *,
    is_first: bool,
) -> Keys:
    """For each rule what it looks at, so that the smaller comes first."""
    sign = -1.0 if table.most_wins else 1.0
    keys: Keys = []
    for rule in table.tie_breaks:
        scores = series[boat]
        if rule == "best-scores":
            keys.append((rule, tuple(sorted(round(sign * s.points, 6) for s in scores if not s.is_dropped))))
        elif rule == "last-race":
            keys.append((rule, tuple(round(sign * s.points, 6) for s in reversed(scores))))
        elif is_first and len(scores) == 2 and all(_has_times(series[other]) for other in tied):
            keys.append((rule, (sum(s.outcome.seconds or 0.0 for s in scores),)))
    return keys


def _has_times(scores: Sequence[Score]) -> bool:
    return all(score.outcome.seconds is not None for score in scores)


def _level(tied: Sequence[int], keys: Mapping[int, Keys]) -> list[int]:
    """For each of the tied, in their order, where those begin with whom it shares its place."""
    level = [0]
    for n in range(1, len(tied)):
        level.append(level[-1] if keys[tied[n]] == keys[tied[n - 1]] else n)
    return level


def _parted(one: Keys, other: Keys) -> tuple[str, int] | None:
    """The first rule that tells two boats apart, and where."""
    for (rule, mine), (_, theirs) in zip(one, other, strict=True):
        for n, (a, b) in enumerate(zip(mine, theirs, strict=False)):
            if a != b:
                return rule, n
    return None


def _in_words(n: int, tied: Sequence[int], keys: Mapping[int, Keys], table: PointsTable) -> str:
    """How this boat stands to the one it is compared with: the next one down, or for the last the one above."""
    boat, other = tied[n], tied[n + 1] if n + 1 < len(tied) else tied[n - 1]
    found = _parted(keys[boat], keys[other])
    if found is None:
        return f"level with {other:02d} in every race: they share the place"
    rule, where = found
    mine, theirs = dict(keys[boat])[rule], dict(keys[other])[rule]
    side = "ahead of" if n + 1 < len(tied) else "behind"
    told: Any = TIE_BREAKS
    if rule == "last-race":
        races = len(mine) - where
        seen = f"race {races}: {abs(mine[where]):g} against {abs(theirs[where]):g}"
        what = "the last race" if where == 0 else "the last race in which they differ"
        return f"{side} {other:02d} by {what} ({seen})"
    shown = [" ".join(f"{abs(value):g}" for value in values) for values in (mine, theirs)]
    return f"{side} {other:02d} by {told[rule]} ({shown[0]} against {shown[1]})"


# what the reader should know


def _findings(
    rows: Sequence[Standing], heats: Sequence[HeatState], table: PointsTable, entries: int
) -> Iterable[Finding]:
    longest = max((sum(o.place is not None for o in heat.outcomes.values()) for heat in heats), default=0)
    if table.points and longest > len(table.points):
        first = len(table.points) + 1
        yield Finding(
            code="table-short",
            severity="stop",
            what=f"The {table.name} table ends at place {len(table.points)}, and a heat has {longest} places.",
            why="The last places count nothing for now.",
            do=f"Write what places {first} to {longest} are worth in a table of your own: --table FILE.",
        )
    absent = [f"{row.boat:02d}" for row in rows if any(score.heat is None for score in row.scores)]
    if absent:
        worth = table.of_code("DNC", entries=entries, starters=entries)
        yield Finding(
            code="race-missed",
            severity="note",
            what=f"Not in a heat of every round: {', '.join(absent)}.",
            why=f"A round without a heat counts as not come to the start, {worth:g} points.",
            do="Add the missing result if it raced.",
        )
    if table.base == "entries" and heats and 2 * max(len(heat.outcomes) for heat in heats) <= entries:
        yield Finding(
            code="small-heats",
            severity="note",
            what=f"The {table.name} table was made for one fleet that races together; here heats are smaller.",
            why=f"A boat that does not finish gets {entries + 1} points, however few were in its heat.",
            do='A table of your own with base = "starters" counts the boats of each heat instead.',
        )
    penalised = {s.outcome.code for row in rows for s in row.scores} & {"ZFP", "SCP"}
    if table.most_wins and penalised:
        yield Finding(
            code="penalty-unknown",
            severity="warning",
            what=f"The {table.name} table does not say what {', '.join(sorted(penalised))} costs; the place stands.",
            do="Write DPI and the points to take off, such as 3 DPI 20.",
        )

"""Lots: who meets whom, in which heat, in which lane; and what a withdrawal or a late entry changes."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from skimwright.base import ConflictError, InputError
from skimwright.regatta.bounds import heat_sizes, least_repeats, least_repeats_after
from skimwright.regatta.chance import Chance
from skimwright.regatta.counts import Counts, count
from skimwright.regatta.designs import design_for
from skimwright.regatta.lanes import balanced_lanes, mended_lanes
from skimwright.regatta.search import HeatSets, fewer_repeats, fewest_swaps, in_good_order

SEARCHES, TRIES = 6, 4_000_000
MOST_BOATS, MOST_ROUNDS_DRAWN, MOST_LANES = 400, 40, 16


@dataclass(frozen=True, kw_only=True)
class Heat:
    """One heat: a boat, or nobody, in each lane."""

    number: int  # from 1, in the order of the day
    round: int  # from 1
    lanes: tuple[int | None, ...]

    @property
    def boats(self) -> tuple[int, ...]:
        """Those who race, from lane 1 on."""
        return tuple(boat for boat in self.lanes if boat is not None)

    def lane_of(self, boat: int) -> int:
        """From 1."""
        return self.lanes.index(boat) + 1


@dataclass(frozen=True, kw_only=True)
class Draw:
    """The lots of one group."""

    heats: tuple[Heat, ...]
    rounds: int
    lanes: int
    seed: int
    bound: int  # no draw of this shape has a lower repeat cost
    how: str  # where the meetings are from, in words

    @property
    def counts(self) -> Counts:
        """How fair it is."""
        return count(self.heats, lanes=self.lanes)

    @property
    def boats(self) -> tuple[int, ...]:
        """Everyone who races at all, in order of number."""
        return tuple(sorted({boat for heat in self.heats for boat in heat.boats}))

    @property
    def mark(self) -> str:
        """Eight letters that change if any lane of any heat does: print them, and compare."""
        text = f"{self.lanes}|" + "|".join(
            f"{heat.number}:" + ",".join(str(boat or "-") for boat in heat.lanes) for heat in self.heats
        )
        return hashlib.sha256(text.encode()).hexdigest()[:8]

    def of_round(self, number: int) -> tuple[Heat, ...]:
        """The heats of one round, in the order of the day."""
        return tuple(heat for heat in self.heats if heat.round == number)

    def changes_since(self, old: Draw) -> tuple[Change, ...]:
        """What each crew must be told, round by round in the order of the heats."""
        was, now = _places(old), _places(self)
        both = sorted({*was, *now}, key=lambda key: (key[0], now.get(key) or was.get(key) or (0, 0), key[1]))
        return tuple(
            Change(boat=boat, round=turn, was=was.get((turn, boat)), now=now.get((turn, boat)))
            for turn, boat in both
            if was.get((turn, boat)) != now.get((turn, boat))
        )


@dataclass(frozen=True, kw_only=True)
class Change:
    """What is new for one boat in one round; None is no race."""

    boat: int
    round: int
    was: tuple[int, int] | None  # heat, lane
    now: tuple[int, int] | None


@dataclass(frozen=True, kw_only=True)
class Redraw:
    """The draw as it stands now, and what changed."""

    draw: Draw
    changes: tuple[Change, ...]


def draw_lots(boats: Sequence[int], *, rounds: int, lanes: int, seed: int, tries: int = TRIES) -> Draw:
    """Draw lots: each boat races once a round.

    The boats are dealt by chance onto the places of a known design, or of a search where none is known.
    Only the seed and the numbers entered matter, not their order.

    Parameters
    ----------
    boats : sequence of int
        Numbers of the boats entered.
    rounds, lanes : int
        How often each boat races; most boats in a heat.
    seed : int
        Public; the same seed gives the same lots.
    tries : int
        Swaps looked at in each of six searches.

    Raises
    ------
    InputError
        Fewer than two boats, a boat twice, or numbers out of all reason.

    Examples
    --------
    >>> draw = draw_lots(range(1, 19), rounds=3, lanes=6, seed=1906)
    >>> draw.counts.repeats, draw.bound, draw.counts.lane_excess
    (27, 27, 0)
    """
    _check(boats, rounds, lanes)
    chance = Chance(seed)
    order = chance.shuffled(sorted(boats))
    sets, bound, how = _meetings(len(order), rounds, lanes, chance, tries)
    sets = in_good_order(sets, boats=len(order), chance=chance)
    lane_of = balanced_lanes(sets, lanes=lanes)
    dealt = chance.shuffled(range(lanes)) if len(sets[0]) > 1 else list(range(lanes))
    heats = tuple(
        Heat(
            number=number,
            round=r + 1,
            lanes=_in_lanes([order[p] for p in heat], [dealt[k] for k in took], lanes),
        )
        for number, (r, heat, took) in enumerate(_walk(sets, lane_of), 1)
    )
    return Draw(heats=heats, rounds=rounds, lanes=lanes, seed=seed, bound=bound, how=how)


def _walk(sets: HeatSets, lane_of: list[list[list[int]]]) -> Iterator[tuple[int, list[int], list[int]]]:
    for r, heats in enumerate(sets):
        for h, heat in enumerate(heats):
            yield r, heat, lane_of[r][h]


def _in_lanes(boats: Sequence[int], took: Sequence[int], lanes: int) -> tuple[int | None, ...]:
    row: list[int | None] = [None] * lanes
    for boat, lane in zip(boats, took, strict=True):
        row[lane] = boat
    return tuple(row)


def _meetings(boats: int, rounds: int, lanes: int, chance: Chance, tries: int) -> tuple[HeatSets, int, str]:
    """Rounds of heats of places, the bound, and where they are from."""
    sizes = heat_sizes(boats, lanes)
    bound = least_repeats([sizes] * rounds, boats=boats)
    if len(sizes) == 1:
        return [[list(range(boats))] for _ in range(rounds)], bound, "everyone in one heat"
    design = design_for(boats=boats, heats=len(sizes), rounds=rounds)
    if design:
        start, how = [[list(heat) for heat in heats] for heats in design.rounds], f"design: {design.name}"
    else:
        start = [_dealt(chance.shuffled(range(boats)), sizes) for _ in range(rounds)]
        how = "found by search"
    bits = [chance.bits() for _ in range(SEARCHES)]
    found = fewer_repeats(start, boats=boats, enough=bound, bits=bits, tries=tries)
    if design and found.rounds is not start:
        how += ", made better by search"
    return found.rounds, bound, how


def _dealt(deck: Sequence[int], sizes: Sequence[int]) -> list[list[int]]:
    heats, begin = [], 0
    for size in sizes:
        heats.append(list(deck[begin : begin + size]))
        begin += size
    return heats


def _check(boats: Sequence[int], rounds: int, lanes: int) -> None:
    if len(set(boats)) < len(boats):
        twice = next(boat for boat, times in Counter(boats).items() if times > 1)
        raise InputError(what=f"boat {twice} is entered twice", do="Take one of the two out.")
    for what, got, low, high in (
        ("boats entered", len(boats), 2, MOST_BOATS),
        ("rounds", rounds, 1, MOST_ROUNDS_DRAWN),
        ("lanes", lanes, 2, MOST_LANES),
    ):
        if not low <= got <= high:
            raise InputError(
                what=f"no lots can be drawn for so many {what}",
                got=str(got),
                allowed=f"{low} to {high}",
                do="Check the number.",
            )


# after the lots are published


def redraw(draw: Draw, *, raced: int, without: Sequence[int] = (), late: Sequence[int] = ()) -> Redraw:
    """The lots anew after a withdrawal or a late entry: raced heats stand, later ones are mended.

    The boat is struck out, or put into the smallest heat; heats are evened out to one boat's difference; then
    two boats change places only where that takes a repeat away.  More changes of a call board would trouble
    more crews than they help.

    Parameters
    ----------
    draw : Draw
        As published.
    raced : int
        Number of the last heat that has been raced, or called; 0 if none.
    without, late : sequences of int
        Boats that leave; boats that come.

    Raises
    ------
    InputError, ConflictError
        No such heat or boat; a late boat that is in the draw already; nobody left to race.
    """
    _check_redraw(draw, raced, without, late)
    boats = sorted({*draw.boats, *late})
    place = {boat: k for k, boat in enumerate(boats)}
    out, came = {place[b] for b in without}, [place[b] for b in late]
    stand = [
        [[place[b] for b in h.boats] for h in draw.of_round(r) if h.number <= raced] for r in _rounds(draw)
    ]
    ahead = [
        [[place[b] for b in h.boats] for h in draw.of_round(r) if h.number > raced] for r in _rounds(draw)
    ]
    ahead = [[[p for p in heat if p not in out] for heat in heats] for heats in ahead]
    mended: HeatSets = [
        _evened_out(heats, came, draw.lanes, _pairs([*stand, *ahead])) if heats else [] for heats in ahead
    ]
    whole = [[*old, *new] for old, new in zip(stand, mended, strict=True)]
    bound = least_repeats_after([heats for heats in whole if heats])
    rows = [r for r, heats in enumerate(whole) if heats]
    better = fewest_swaps([whole[r] for r in rows], boats=len(boats), raced=[len(stand[r]) for r in rows])
    for r, heats in zip(rows, better, strict=True):
        whole[r] = heats
    new = _numbered(draw, whole, boats, raced, bound)
    return Redraw(draw=new, changes=new.changes_since(draw))


def _rounds(draw: Draw) -> range:
    return range(1, draw.rounds + 1)


def _check_redraw(draw: Draw, raced: int, without: Sequence[int], late: Sequence[int]) -> None:
    if not 0 <= raced <= len(draw.heats):
        raise InputError(
            what="there is no such heat",
            got=f"heat {raced}",
            allowed=f"0 to {len(draw.heats)}",
            do="Give the number of the last heat that has been raced; 0 if none has.",
        )
    for boat in without:
        if boat not in draw.boats:
            raise InputError(
                what=f"boat {boat} is not in these lots, so it cannot leave them",
                do="Check the number and the group.",
            )
    for boat in late:
        if boat in draw.boats:
            raise ConflictError(what=f"boat {boat} has its place in these lots already", do="Leave it out.")
    if len(set(draw.boats) - set(without)) + len(late) < 2:
        raise InputError(what="fewer than two boats are left to race", do="Close the group instead.")


def _pairs(rounds: Sequence[Sequence[Sequence[int]]]) -> Counter[tuple[int, int]]:
    return Counter(pair for heats in rounds for heat in heats for pair in combinations(sorted(heat), 2))


def _evened_out(
    heats: Sequence[Sequence[int]], came: Sequence[int], lanes: int, met: Counter[tuple[int, int]]
) -> list[list[int]]:
    """Heats equal in size to one boat, with those who came; nobody is moved who need not be."""
    kept = [list(heat) for heat in heats if heat]
    loose = list(came)
    total = sum(map(len, kept)) + len(loose)
    if total == 0:
        return []
    need = len(heat_sizes(total, lanes))
    while len(kept) > need:
        smallest = min(range(len(kept)), key=lambda h: len(kept[h]))
        loose += kept.pop(smallest)
    kept += [[] for _ in range(need - len(kept))]

    def known(boat: int, heat: Sequence[int]) -> int:
        return sum(met[min(boat, other), max(boat, other)] for other in heat)

    for boat in loose:
        min(kept, key=lambda heat: (len(heat), known(boat, heat))).append(boat)
    while max(map(len, kept)) - min(map(len, kept)) > 1:
        small, large = min(kept, key=len), max(kept, key=len)
        mover = min(large, key=lambda boat: known(boat, small) - known(boat, large))
        large.remove(mover)
        small.append(mover)
    return kept


def _numbered(old: Draw, whole: HeatSets, boats: Sequence[int], raced: int, bound: int) -> Draw:
    """Lanes and numbers for the heats ahead; those raced stay to the letter."""
    stood = {r: [h for h in old.of_round(r) if h.number <= raced] for r in _rounds(old)}
    ahead = [[[boats[p] for p in heat] for heat in whole[r - 1][len(stood[r]) :]] for r in _rounds(old)]
    had = {boat: [0] * old.lanes for boat in boats}
    wish = {}
    for heat in old.heats:
        for boat in heat.boats:
            if heat.number <= raced:
                had[boat][heat.lane_of(boat) - 1] += 1
            else:
                wish[heat.round - 1, boat] = heat.lane_of(boat) - 1
    lane_of = mended_lanes(ahead, lanes=old.lanes, had=had, wish=wish)
    new = [
        Heat(number=raced + k, round=r + 1, lanes=_in_lanes(heat, took, old.lanes))
        for k, (r, heat, took) in enumerate(_walk(ahead, lane_of), 1)
    ]
    heats = tuple(heat for heat in old.heats if heat.number <= raced) + tuple(new)
    return replace(old, heats=heats, bound=bound, how=f"{old.how}; mended after heat {raced}")


def _places(draw: Draw) -> dict[tuple[int, int], tuple[int, int]]:
    return {
        (heat.round, boat): (heat.number, heat.lane_of(boat)) for heat in draw.heats for boat in heat.boats
    }

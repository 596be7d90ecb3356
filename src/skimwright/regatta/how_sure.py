"""How sure the order is: the chance that each boat truly is among the fastest, given the places of the day.

A place in a heat says only who was ahead of whom.  Each boat has an unknown usual speed; every run strays from it.
We look for all speeds that would have given these places, weighed by how well they would: thousands of regattas
run again, of which only those count that came out as this one did.  How far ahead is not known, so it is drawn
between the boat in front and the boat behind (Gibbs sampling of an order by normal strengths).

For organisers, to decide on a run-off.  Never for pupils: nobody is helped by having been unlucky.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from skimwright.base import InputError
from skimwright.regatta.events import Outcome
from skimwright.regatta.pace import APART, SPREAD, WORTH, WORTH_APART, Pace, Trials
from skimwright.regatta.points import PointsTable

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

CHAINS = 64  # days looked for side by side
WARM_UP = 80  # steps before they count
EDGE = 8.0  # how far a run can stray, in spreads
FAILS_WORTH = 10.0  # starts that what was known of failing counts for [choice]


@dataclass(frozen=True, kw_only=True)
class Sure:
    """One boat's chances, as shares."""

    boat: int
    fastest: float  # truly the fastest of all
    in_front: float  # truly among the first `front`
    again: float  # to come first if the same heats were raced once more


@dataclass(frozen=True, kw_only=True)
class OrderSure:
    """What the places of a day say of who is truly fastest."""

    boats: tuple[Sure, ...]  # as they stand in the order given
    front: int
    days: int  # looked at
    error: float  # half a 95 % range of the worst chance, from the days being so few [-]


def how_sure(
    heats: Sequence[Mapping[int, Outcome]],
    known: Mapping[int, Pace],
    table: PointsTable,
    *,
    trials: Trials | None = None,
    front: int = 3,
    discards: int = 0,
    days: int = 6400,
    seed: int = 1,
) -> OrderSure:
    """The chance that each boat is truly among the fastest.

    Parameters
    ----------
    heats : sequence of mappings
        What each boat did in each heat that counts.
    known : mapping
        By boat: what its trials said before the day; every boat of the heats must be in it.
    table : PointsTable
        For racing the day once more.
    trials : Trials, optional
        What `known` was learned from.  With it how far the boats are apart and how much their runs differ are not
        taken as known but learned along with the places, and the chances are as wide as that makes them.
    front : int
        How many places are asked about.
    discards : int
        Worst races of each boat left out, when racing the day once more.
    days : int
        How many days are looked at.
    seed : int
        Same seed, same answer.

    Raises
    ------
    InputError
        No heat, or a boat of which nothing is known.

    Notes
        A boat that did not finish says nothing of its speed, nor does a start that was lost or a
        disqualification.  Failing is taken to have nothing to do with speed.

    Checked
        tests/unit/regatta/test_how_sure.py: chances stated on 1000 invented days come true as often as stated.
    """
    boats = tuple(known)
    missing = sorted({boat for heat in heats for boat in heat} - set(boats))
    if not heats or missing:
        raise InputError(
            what="no heat to go by" if not heats else f"nothing is known of boat {missing[0]}",
            do="Give the heats that count, and a pace for each boat in them.",
        )
    rng = np.random.default_rng(seed)
    chains = min(CHAINS, days)
    place_of = {boat: n for n, boat in enumerate(boats)}
    orders = np.stack([_orders(heat, place_of, _widest(heats), rng, chains) for heat in heats], axis=1)
    before = np.array([[known[boat].mean, known[boat].doubt, known[boat].spread] for boat in boats])
    speeds = true_speeds(orders, before, keep=math.ceil(days / chains), rng=rng, trials=trials)
    behind = np.argsort(np.argsort(-speeds, axis=2), axis=2)
    first, some = (behind == 0).mean(axis=1), (behind < front).mean(axis=1)
    again = _once_more(heats, known, speeds.reshape(-1, len(boats)), table, discards, rng)
    wobble = max(float(share.std(axis=0, ddof=1).max()) for share in (first, some)) if chains > 1 else 1.0
    return OrderSure(
        boats=tuple(
            Sure(boat=b, fastest=float(f), in_front=float(s), again=float(a))
            for b, f, s, a in zip(boats, first.mean(axis=0), some.mean(axis=0), again, strict=True)
        ),
        front=front,
        days=speeds.shape[0] * speeds.shape[1],
        error=1.96 * wobble / math.sqrt(chains),
    )


def _widest(heats: Iterable[Mapping[int, Outcome]]) -> int:
    return max(len(heat) for heat in heats)


def _orders(
    heat: Mapping[int, Outcome], place_of: Mapping[int, int], wide: int, rng: np.random.Generator, chains: int
) -> Whole:
    """(chains, wide): boats as they crossed the line, then -1; boats that tied in any order."""
    crossed = [(outcome.place, place_of[boat]) for boat, outcome in heat.items() if outcome.place is not None]
    orders = np.full((chains, wide), -1)
    for row in orders:
        shuffled = sorted(crossed, key=lambda pair: (pair[0], rng.random()))
        row[: len(crossed)] = [boat for _, boat in shuffled]
    return orders


def true_speeds(
    orders: Whole, before: Array, *, keep: int, rng: np.random.Generator, trials: Trials | None = None
) -> Array:
    """Usual speeds that would have given these orders.

    Parameters
    ----------
    orders : int array (chains, heats, places)
        Boats as they crossed the line, -1 where there are no more; chains need not hold the same day.
    before : float array (boats, 3) or (chains, boats, 3)
        Mean, doubt and run-to-run spread of each boat's logarithm of speed. [-]
    keep : int
        Days to keep from each chain.
    rng : numpy Generator
    trials : Trials, optional
        Learn the group's level and spreads along with the speeds; `before` is only where the search begins.

    Returns
    -------
    float array (chains, keep, boats)
        Logarithms of speed. [-]
    """
    chains, heats, places = orders.shape
    mean, doubt, spread = np.moveaxis(np.broadcast_to(before, (chains, *before.shape[-2:])), 2, 0)
    boats = mean.shape[1]
    there = orders >= 0
    who = np.where(there, orders, 0).reshape(chains, -1)
    at = (who + boats * np.arange(chains)[:, None]).ravel()

    def of_places(values: Array) -> Array:
        return np.asarray(np.take_along_axis(values, who, axis=1).reshape(orders.shape))

    def per_boat(values: Array) -> Array:
        weights = np.where(there, values, 0.0).ravel()
        sums = np.bincount(at, weights=weights, minlength=chains * boats)
        return np.asarray(sums, dtype=np.float64).reshape(chains, boats)

    starts, speeds = per_boat(np.ones(orders.shape)), mean.copy()
    # a bound before the first and behind the last; blank places stand far behind
    ran = np.full((chains, heats, places + 2), -np.inf)
    ran[:, :, 0] = np.inf
    guess = of_places(mean) + of_places(spread) * rng.standard_normal(orders.shape)
    ran[:, :, 1:-1] = -np.sort(-np.where(there, guess, -np.inf), axis=2)
    kept = np.empty((chains, keep, boats))
    for step in range(WARM_UP + keep):
        usual, wide = of_places(speeds), of_places(spread)
        for first in (0, 1):  # every second place: they do not touch each other
            mine = slice(first, places, 2)
            ahead, behind = ran[:, :, first:places:2], ran[:, :, first + 2 : places + 2 : 2]
            drawn = _between(behind, ahead, usual[:, :, mine], wide[:, :, mine], rng)
            ran[:, :, first + 1 : places + 1 : 2] = np.where(there[:, :, mine], drawn, -np.inf)
        surety = 1.0 / doubt**2 + starts / spread**2
        pull = mean / doubt**2 + per_boat(ran[:, :, 1:-1]) / spread**2
        if trials is not None:
            surety = surety + trials.runs / (spread**2 * trials.wider)
            pull = pull + trials.runs * trials.mean / (spread**2 * trials.wider)
        speeds = pull / surety + rng.standard_normal(surety.shape) / np.sqrt(surety)
        if trials is not None:
            strayed = np.where(there, ran[:, :, 1:-1] - of_places(speeds), 0.0)
            mean, doubt, spread = _group(speeds, strayed, starts, trials, rng)
        if step >= WARM_UP:
            kept[:, step - WARM_UP] = speeds
    return kept


def _group(
    speeds: Array, strayed: Array, starts: Array, trials: Trials, rng: np.random.Generator
) -> tuple[Array, Array, Array]:
    """The group's level, how far its boats are apart, how much runs differ: each (chains, boats)."""
    chains, boats = speeds.shape

    def scale(squares: Array, free: Array | float) -> Array:
        return np.sqrt(squares / rng.chisquare(np.broadcast_to(free, (chains,))))[:, None]

    middle = speeds.mean(axis=1, keepdims=True)
    squares = ((speeds - middle) ** 2).sum(axis=1)
    apart = scale(squares + WORTH_APART * APART**2, boats - 1 + WORTH_APART)
    level = middle + apart * rng.standard_normal((chains, 1)) / math.sqrt(boats)
    tried = (trials.squares + trials.runs * (trials.mean - speeds) ** 2).sum(axis=1) / trials.wider
    runs = starts.sum(axis=1) + trials.runs.sum(axis=-1)
    spread = scale((strayed**2).sum(axis=(1, 2)) + tried + WORTH * SPREAD**2, runs + WORTH)
    wide = np.ones((1, boats))
    return level * wide, apart * wide, spread * wide


def _between(low: Array, high: Array, mean: Array, spread: Array, rng: np.random.Generator) -> Array:
    """Normal values between two bounds, by turning a share of the normal curve back into a value."""
    a, b = (np.clip((bound - mean) / spread, -EDGE, EDGE) for bound in (low, high))
    turned = a > 0  # the other tail keeps its figures
    a, b = np.where(turned, -b, a), np.where(turned, -a, b)
    from_, to = ndtr(a), ndtr(b)
    z = np.clip(ndtri(from_ + (to - from_) * rng.random(a.shape)), a, b)
    return np.asarray(mean + spread * np.where(turned, -z, z))


def _once_more(
    heats: Sequence[Mapping[int, Outcome]],
    known: Mapping[int, Pace],
    speeds: Array,
    table: PointsTable,
    discards: int,
    rng: np.random.Generator,
) -> Array:
    """Share of days on which each boat would have most points if the same heats were raced again; a tie is shared."""
    boats = tuple(known)
    place_of = {boat: n for n, boat in enumerate(boats)}
    days, sign = len(speeds), 1.0 if table.most_wins else -1.0
    points = np.full(
        (len(heats), days, len(boats)), np.nan
    )  # the more the better, whichever way the table runs
    for heat, made in zip(heats, points, strict=True):
        in_it = [boat for boat, outcome in heat.items() if outcome.code not in ("DNC", "DNS")]
        seats = [place_of[boat] for boat in in_it]
        ran = speeds[:, seats] + rng.standard_normal((days, len(seats))) * [known[b].spread for b in in_it]
        failed = rng.random((days, len(seats))) < [_fails(boat, known[boat], heats) for boat in in_it]
        place = np.argsort(np.argsort(np.where(failed, np.inf, -ran), axis=1), axis=1)
        worth = np.array([table.of_place(p + 1) or 0.0 for p in range(len(seats))])
        blank = table.of_code("DNF", entries=len(boats), starters=len(seats))
        made[:, seats] = sign * np.where(failed, blank, worth[place])
    if discards:
        points = np.sort(points, axis=0)  # worst first, races not raced last
        points[:discards] = np.where(np.isfinite(points[discards : discards + 1]), np.nan, points[:discards])
    total = np.nansum(points, axis=0)
    leads = total == total.max(axis=1, keepdims=True)
    return np.asarray((leads / leads.sum(axis=1, keepdims=True)).mean(axis=0))


def _fails(boat: int, pace: Pace, heats: Iterable[Mapping[int, Outcome]]) -> float:
    """What was known of its failing, with the day's starts taken in."""
    ran = [
        heat[boat]
        for heat in heats
        if boat in heat and (heat[boat].place or heat[boat].code in ("DNF", "RET"))
    ]
    return (sum(o.place is None for o in ran) + FAILS_WORTH * pace.fails) / (len(ran) + FAILS_WORTH)

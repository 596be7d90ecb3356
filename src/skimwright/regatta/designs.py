"""Draws with the fewest repeats possible, as mathematics has them: fields of small order and printed lists.

A design is rounds of heats of places 0, 1, 2 ...; chance deals the boats onto the places.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

Heats = tuple[tuple[int, ...], ...]
Rounds = tuple[Heats, ...]

# x^degree written in lower powers, lowest first: x^2 = x + 1, x^3 = x + 1, x^2 = -1
FIELDS = {2: (2, (0,)), 3: (3, (0,)), 5: (5, (0,)), 7: (7, (0,)), 11: (11, (0,)), 13: (13, (0,))} | {
    4: (2, (1, 1)),
    8: (2, (1, 1, 0)),
    9: (3, (2, 0)),
}

KIRKMAN = (  # fifteen in threes, each pair once: Cole 1922, solution I
    "ABC DEF GHI JKL MNO|ADG BEH CJM FKN ILO|AEO BIJ CDN FHL GKM|AIM BDL CEK FGO HJN|"
    "AFJ BKO CGL DHM EIN|AHK BGN CFI DJO ELM|ALN BFM CHO DIK EGJ"
)
PLACKETT_BURMAN = "11011100010"  # turned round and round, with a row of noughts: twelve rows
L18 = (  # boats down, rounds across, which heat
    "1111111 1222222 1333333 2112233 2223311 2331122 3121323 3232131 3313212 "
    "1133221 1211332 1322113 2123132 2231213 2312321 3132312 3213123 3321231"
)
TWENTY_FOUR = (
    "0 2 4 17 19 21|1 3 6 12 15 20|5 7 9 11 16 22|8 10 13 14 18 23//"
    "0 6 9 10 13 16|1 4 5 11 14 21|2 7 8 15 17 20|3 12 18 19 22 23//"
    "0 3 8 9 12 14|1 10 18 20 21 22|2 6 11 16 17 23|4 5 7 13 15 19//"
    "0 1 7 9 20 23|2 3 5 13 16 21|4 10 11 12 17 18|6 8 14 15 19 22"
)
THIRTY = (
    "0 2 4 7 21 24|1 3 8 12 16 20|5 9 11 15 17 27|6 10 14 18 19 28|13 22 23 25 26 29//"
    "0 2 10 11 13 20|1 5 6 21 22 26|3 4 8 9 19 23|7 16 17 18 28 29|12 14 15 24 25 27//"
    "0 9 14 16 21 23|1 2 5 19 25 29|3 6 13 24 27 28|4 10 12 17 20 26|7 8 11 15 18 22//"
    "0 8 16 19 26 27|1 10 15 23 24 29|2 3 14 17 22 28|4 5 12 13 18 21|6 7 9 11 20 25"
)


@dataclass(frozen=True, kw_only=True)
class Design:
    """Rounds of heats of places, and where they are from."""

    rounds: Rounds
    name: str


def design_for(*, boats: int, heats: int, rounds: int) -> Design | None:
    """A known design for so many boats in so many heats; None where we know of none.

    Heats one boat short are the full design with boats left out that never meet in it, so that no heat
    loses two.

    Examples
    --------
    >>> design_for(boats=42, heats=7, rounds=7).name
    'affine plane of order 7, cut to 6'
    """
    size = -(-boats // heats)
    whole = _whole_design(heats, size, rounds)
    if whole is None or len(whole.rounds) < rounds:
        return None
    kept = whole.rounds[:rounds]
    out = strangers(kept, count=heats * size - boats, boats=heats * size)
    if out is None:
        return None
    name = whole.name if not out else f"{whole.name}, {len(out)} left out"
    return Design(rounds=_without(kept, out, heats * size), name=name)


def _whole_design(heats: int, size: int, rounds: int) -> Design | None:
    printed = {
        (2, 6): ("Plackett and Burman's twelve rows", plackett_burman),
        (5, 3): ("Kirkman's fifteen", kirkman),
        (3, 6): ("orthogonal array L18", orthogonal_18),
        (4, 6): ("printed list for 24", lambda: listed(TWENTY_FOUR)),
        (5, 6): ("printed list for 30", lambda: listed(THIRTY)),
        (6, 6): ("rows, columns and signs of a square", thirty_six),
    }
    if (heats, size) in printed:
        name, make = printed[heats, size]
        return Design(rounds=make(), name=name)
    if size == 2:
        return Design(rounds=everyone_once(2 * heats), name="each meets each once")
    if heats == size and heats in FIELDS:
        return Design(rounds=affine_plane(heats), name=f"affine plane of order {heats}")
    if heats > size and heats in FIELDS:
        name = f"affine plane of order {heats}, cut to {size}"
        return Design(rounds=truncated_plane(heats, size), name=name)
    if heats >= size > 1:
        made = shifted_columns(heats, size, rounds)
        return Design(rounds=made, name="shifted columns") if made else None
    return None


# fields and planes


def field_tables(order: int) -> tuple[list[list[int]], list[list[int]]]:
    """Addition and multiplication of a field; an element is a whole number whose digits are its powers."""
    prime, taps = FIELDS[order]
    degree = len(taps)

    def digits(element: int) -> list[int]:
        return [element // prime**power % prime for power in range(degree)]

    def number(powers: Sequence[int]) -> int:
        return sum(digit % prime * prime**power for power, digit in enumerate(powers))

    def times(a: int, b: int) -> int:
        powers = [0] * (2 * degree - 1)
        for i, left in enumerate(digits(a)):
            for j, right in enumerate(digits(b)):
                powers[i + j] += left * right
        for top in range(len(powers) - 1, degree - 1, -1):
            for low, tap in enumerate(taps):
                powers[top - degree + low] += powers[top] * tap
        return number(powers[:degree])

    every = range(order)
    plus = [
        [number([i + j for i, j in zip(digits(a), digits(b), strict=True)]) for b in every] for a in every
    ]
    return plus, [[times(a, b) for b in every] for a in every]


def truncated_plane(order: int, size: int) -> Rounds:
    """The first columns of the plane; heats are its slanted lines, so that a heat has one of each column."""
    plus, times = field_tables(order)
    return tuple(
        tuple(tuple(x * order + plus[times[m][x]][b] for x in range(size)) for b in range(order))
        for m in range(order)
    )


def affine_plane(order: int) -> Rounds:
    """All lines of the plane: each pair of places meets exactly once."""
    upright = tuple(tuple(x * order + y for y in range(order)) for x in range(order))
    return (*truncated_plane(order, order), upright)


def shifted_columns(heats: int, size: int, rounds: int) -> Rounds | None:
    """As a cut plane, where no field has this order: columns moved against each other, each by its own step.

    Two rounds share no pair if the differences of their steps all differ; rows of steps are looked for one
    after another.
    """
    steps: list[tuple[int, ...]] = [(0,) * size]
    while len(steps) < rounds:
        row = next(_rows_of_steps(steps, heats, size), None)
        if row is None:
            return None
        steps.append(row)
    return tuple(
        tuple(tuple(x * heats + (row[x] + b) % heats for x in range(size)) for b in range(heats))
        for row in steps
    )


def _rows_of_steps(steps: Sequence[tuple[int, ...]], heats: int, size: int) -> Iterator[tuple[int, ...]]:
    patience = [20_000]

    def grow(row: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        patience[0] -= 1
        if len(row) == size:
            yield row
            return
        x = len(row)
        for step in range(heats):
            new = [(step - old[x]) % heats for old in steps]
            if patience[0] > 0 and all(
                (row[y] - old[y]) % heats != n for old, n in zip(steps, new, strict=True) for y in range(x)
            ):
                yield from grow((*row, step))

    return grow((0,))


# printed lists


def listed(text: str) -> Rounds:
    """Rounds parted by //, heats by |, places by blanks."""
    return tuple(
        tuple(tuple(map(int, heat.split())) for heat in line.split("|")) for line in text.split("//")
    )


def kirkman() -> Rounds:
    """Fifteen in threes, seven rounds."""
    return tuple(
        tuple(tuple(ord(c) - ord("A") for c in heat) for heat in line.split()) for line in KIRKMAN.split("|")
    )


def plackett_burman() -> Rounds:
    """Twelve in two heats of six, eleven rounds: each pair meets five times."""
    turned = [PLACKETT_BURMAN[-i:] + PLACKETT_BURMAN[:-i] for i in range(11)]
    return _by_symbol([*turned, "0" * 11])


def orthogonal_18() -> Rounds:
    """Eighteen in three heats of six, seven rounds."""
    return _by_symbol(L18.split())


def thirty_six() -> Rounds:
    """Thirty-six in six heats, three rounds; no fourth is without a repeat."""
    cells = [(x, y) for x in range(6) for y in range(6)]
    signs = [[x for x, _ in cells], [y for _, y in cells], [(x + y) % 6 for x, y in cells]]
    return tuple(
        tuple(tuple(place for place in range(36) if sign[place] == heat) for heat in range(6))
        for sign in signs
    )


def everyone_once(boats: int) -> Rounds:
    """Heats of two: one boat stays, the others walk round it."""
    walk = list(range(1, boats))
    rounds = []
    for turn in range(boats - 1):
        ring = walk[turn:] + walk[:turn]
        rounds.append(((0, ring[0]), *((ring[k], ring[-k]) for k in range(1, boats // 2))))
    return tuple(rounds)


def _by_symbol(rows: Sequence[str]) -> Rounds:
    """Boats down, rounds across; equal symbols race together."""
    return tuple(
        tuple(
            tuple(boat for boat, row in enumerate(rows) if row[turn] == symbol)
            for symbol in sorted({row[turn] for row in rows})
        )
        for turn in range(len(rows[0]))
    )


# one boat short


def strangers(rounds: Rounds, *, count: int, boats: int) -> tuple[int, ...] | None:
    """So many places of which no two ever meet, or None."""
    met = [{b} for b in range(boats)]
    for heats in rounds:
        for heat in heats:
            for boat in heat:
                met[boat].update(heat)
    patience = [50_000]

    def grow(chosen: tuple[int, ...], start: int) -> tuple[int, ...] | None:
        if len(chosen) == count:
            return chosen
        for boat in range(start, boats):
            patience[0] -= 1
            if patience[0] > 0 and not any(boat in met[other] for other in chosen):
                found = grow((*chosen, boat), boat + 1)
                if found is not None:
                    return found
        return None

    return grow((), 0)


def _without(rounds: Rounds, out: Sequence[int], boats: int) -> Rounds:
    """The rounds with places left out and the rest numbered on; larger heats first."""
    ends = [-1, *sorted(out), boats]
    kept = [place for low, high in pairwise(ends) for place in range(low + 1, high)]
    number = {place: new for new, place in enumerate(kept)}
    return tuple(
        tuple(
            sorted((tuple(number[p] for p in heat if p in number) for heat in heats), key=len, reverse=True)
        )
        for heats in rounds
    )

"""The search behind `nest_parts`: choose a set of sheets, deal the parts to them, pack, and mend.

The packing library knows only strips: parts between two rails, as short as possible.  A sheet is a strip that
must not be longer than the sheet.  So: deal the parts to sheets evenly, pack each as a strip, and move parts
from strips that came out too long to strips with room.  Sheets whose parts are the same are packed once.
"""

from __future__ import annotations

import itertools
import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from skimwright.kit.least_sheets import LeastSheets, grown_area, grown_room
from skimwright.kit.parts_on_board import (
    TOLERANCE,
    BoardSheet,
    Nest,
    NestItem,
    PackerFailed,
    Placement,
    Stop,
    Strip,
    StripJob,
    StripPacker,
    room,
    turns_that_fit,
)
from skimwright.kit.sheets import verify_nest
from skimwright.kit.shelves import Page

EASY_LOAD = 0.88  # grown part area over room that a strip usually reaches within a second or two
FIRST_SECONDS = 1.5  # given to a strip at the first try; doubled after each failure [s]
MOST_FAILURES = 5  # of one set of sheets, before it is left alone
MOST_CRASHES = 3  # of the packer, before the search is given up


@dataclass(frozen=True, kw_only=True)
class NestProgress:
    """Where the search stands."""

    best: int | None  # sheets of the best layout so far
    lower_bound: int
    trying: int  # sheets of the layout being tried
    packed: int  # of those, sheets that came out
    length: float | None  # of the strip being packed, over what would do [-]
    seconds: float  # spent packing [s]
    allowed: float  # may be spent [s]


Plan = tuple[int, ...]  # how many of each size of sheet
Group = Counter[str]  # which parts go on one sheet


class _Halted(Exception):
    """Time is up, or someone said stop."""


@dataclass(kw_only=True)
class _Deal:
    """Parts dealt to sheets, and the strips they make."""

    sizes: list[BoardSheet]
    groups: list[Group]
    strips: list[Strip | None]

    def __post_init__(self) -> None:
        self.packed = [False] * len(self.sizes)


@dataclass(kw_only=True)
class NestSearch:
    """One search: its question, its purse of seconds, and what it has learned."""

    items: Sequence[NestItem]
    sheets: Sequence[BoardSheet]
    packer: StripPacker
    margin: float  # [m]
    gap: float  # [m]
    least: LeastSheets
    seconds: float  # may be spent [s]
    seed: int
    progress: Callable[[NestProgress], None] | None
    stop: Stop | None

    best: list[Page] | None = None
    spent: float = 0.0  # [s]
    crashes: int = 0
    failures: Counter[Plan] = field(default_factory=Counter)
    known: dict[tuple[BoardSheet, frozenset[tuple[str, int]]], tuple[int, Strip | None]] = field(
        default_factory=dict
    )  # what lies on a sheet -> times packed, shortest strip

    def __post_init__(self) -> None:
        self.by_key = {item.key: item for item in self.items}
        self.area = {item.key: grown_area(item, self.gap) for item in self.items}
        self.rooms = {sheet: grown_room(sheet, self.margin, self.gap) for sheet in self.sheets}
        self.random = random.Random(self.seed)
        self.edge = (
            self.gap + TOLERANCE / 4
        )  # clear of the strip's edge, plus a hair so that exact fits do fit [m]

    # --- which sheets to try -------------------------------------------------------------------------

    def improve(self, pages: list[Page] | None) -> list[Page] | None:
        """The best layout found in time, never worse than the one given."""
        self.best = pages
        try:
            while plan := self._next_plan():
                found = self._try(plan)
                if found is None:
                    self.failures[plan] += 1
                else:
                    self.best = found
        except _Halted:
            pass
        return self.best

    def _next_plan(self) -> Plan | None:
        """The set of sheets most worth trying: least often failed, then nearest to an easy load."""
        plans = [p for p in self._better_plans() if self.failures[p] < MOST_FAILURES]
        return min(plans, key=lambda p: (self.failures[p], abs(self._load(p) - EASY_LOAD)), default=None)

    def _better_plans(self) -> list[Plan]:
        """Sets of sheets that could hold the parts and cost less board than the best so far."""
        limit = sum(size.area for size, _ in self.best) - 1e-9 if self.best else float("inf")
        ranges = [range(self._most(sheet, limit) + 1) for sheet in self.sheets]
        return [
            plan
            for plan in itertools.product(*ranges)
            if sum(plan) >= self.least.count
            and sum(n * s.area for n, s in zip(plan, self.sheets, strict=True)) < limit
            and 0.4 < self._load(plan) <= 1
        ]

    def _most(self, sheet: BoardSheet, limit: float) -> int:
        enough = (
            int(self.least.need / self.rooms[sheet] / 0.4) + 1
            if limit == float("inf")
            else limit / sheet.area
        )
        return int(min(enough, sheet.on_hand if sheet.on_hand is not None else enough))

    def _load(self, plan: Plan) -> float:
        held = sum(n * self.rooms[s] for n, s in zip(plan, self.sheets, strict=True))
        return self.least.need / held if held else float("inf")

    # --- one set of sheets ---------------------------------------------------------------------------

    def _try(self, plan: Plan) -> list[Page] | None:
        """Deal, pack, and mend; None if this set of sheets did not come out this time."""
        tries = self.failures[plan]
        deal = self._deal([s for n, s in zip(plan, self.sheets, strict=True) for _ in range(n)], tries)
        if deal is None:
            return None
        allowed = FIRST_SECONDS * 2**tries
        for i in range(len(deal.sizes)):
            self._pack(deal, i, allowed)
            if len(self._late(deal)) > 0.5 * len(deal.sizes) + 0.5:
                return None
        for _ in range(4 + 3 * len(deal.sizes)):
            late = self._late(deal)
            if not late:
                return [(z, self._on_sheet(s)) for z, s in zip(deal.sizes, deal.strips, strict=True) if s]
            self._mend(deal, late[0], allowed)
        return None

    def _deal(self, sizes: list[BoardSheet], tries: int) -> _Deal | None:
        """Largest part first, each onto the sheet with most room left; later tries shuffle."""
        deal = _Deal(sizes=sizes, groups=[Counter() for _ in sizes], strips=[None] * len(sizes))
        left = [self.rooms[size] for size in sizes]
        rank = {key: a * (1 + 0.05 * tries * self.random.uniform(-1, 1)) for key, a in self.area.items()}
        for key in sorted(self.by_key, key=lambda k: (-rank[k], k)):
            fit = [i for i, size in enumerate(sizes) if self._turns(key, size)]
            if not fit:
                return None
            for _ in range(self.by_key[key].quantity):
                into = max(fit, key=lambda i: (left[i], -i))
                deal.groups[into][key] += 1
                left[into] -= self.area[key]
        return deal

    def _late(self, deal: _Deal) -> list[int]:
        """The packed strips that came out too long, worst first."""
        over = {i: self._over(s, deal.sizes[i]) for i, s in enumerate(deal.strips) if deal.packed[i]}
        return sorted((i for i in over if over[i] > 0), key=lambda i: -over[i])

    def _mend(self, deal: _Deal, late: int, allowed: float) -> None:
        """Move or swap a part between an over-long strip and another; keep the change if it helps."""
        other, moved, back = self._change(deal, late)
        pair = (late, other)
        before = [(i, deal.groups[i], deal.strips[i]) for i in pair]
        was = sum(self._over(deal.strips[i], deal.sizes[i]) for i in pair)
        deal.groups[late] = deal.groups[late] - Counter(moved) + Counter(back)
        deal.groups[other] = deal.groups[other] + Counter(moved) - Counter(back)
        for i in reversed(pair):
            self._pack(deal, i, allowed)
        if sum(self._over(deal.strips[i], deal.sizes[i]) for i in pair) > was + TOLERANCE:
            for i, group, strip in before:
                deal.groups[i], deal.strips[i] = group, strip

    def _change(self, deal: _Deal, late: int) -> tuple[int, list[str], list[str]]:
        """Another sheet, a part to give it and perhaps one to take back, near the excess in area."""
        excess = 0.9 * min(self._over(deal.strips[late], deal.sizes[late]), 0.2) * deal.sizes[late].height
        choices = []
        for other, size in enumerate(deal.sizes):
            if other == late:
                continue
            slack = self.rooms[size] - sum(self.area[key] * n for key, n in deal.groups[other].items())
            givable = [key for key in deal.groups[late] if self._turns(key, size)]
            takable = [key for key in deal.groups[other] if self._turns(key, deal.sizes[late])]
            for moved, back in itertools.product(givable, [None, *takable]):
                shift = self.area[moved] - (self.area[back] if back else 0.0)
                if moved != back:
                    cost = abs(shift - excess) + 3 * max(0.0, shift - slack)
                    choices.append((cost, other, [moved], [back] if back else []))
        if not choices:
            return late, [], []  # only another seed can help
        choices.sort()
        return choices[min(int(self.random.expovariate(0.7)), len(choices) - 1)][1:]

    # --- one sheet -----------------------------------------------------------------------------------

    def _pack(self, deal: _Deal, i: int, allowed: float) -> None:
        """Pack the parts dealt to one sheet, unless an answer that will do is known already."""
        size, group = deal.sizes[i], deal.groups[i]
        name = (size, frozenset(group.items()))
        tries, known = self.known.get(name, (0, None))
        if not group:
            known = Strip(width=0.0, placements=(), seconds=0.0)
        elif not known or self._over(known, size) > 0:
            if self._must_halt():
                raise _Halted
            seconds = min(allowed, self.seconds - self.spent)
            strip = self._ask_packer(deal, i, seconds, self.seed + tries)
            if strip and (known is None or strip.width < known.width):
                known = strip
            self.known[name] = (tries + 1, known)
        deal.strips[i], deal.packed[i] = known, True
        self._tell(deal, None)

    def _ask_packer(self, deal: _Deal, i: int, seconds: float, seed: int) -> Strip | None:
        """One strip from the packer; None if it failed or does not hold, which is forgiven a few times."""
        size, group = deal.sizes[i], deal.groups[i]
        items = tuple(
            replace(self.by_key[key], quantity=group[key], turns=self._turns(key, size))
            for key in sorted(group)
        )
        job = StripJob(
            items=items,
            height=room(size, self.margin)[1] + 2 * self.edge,
            gap=max(0.0, self.gap - TOLERANCE / 2),
            enough=self._enough(size),
            seconds=seconds,
            seed=seed,
        )
        try:
            strip = self.packer.pack(
                job, stop=self.stop, progress=lambda width: self._tell(deal, width / job.enough)
            )
        except PackerFailed:
            if self._must_halt():
                raise _Halted from None
            strip = None
        if strip is not None:
            self.spent += strip.seconds
            if self._over(strip, size) > 0 or self._holds(strip, size, items):
                return strip
        self.crashes += 1
        if self.crashes >= MOST_CRASHES:
            raise _Halted
        return None

    def _holds(self, strip: Strip, size: BoardSheet, items: tuple[NestItem, ...]) -> bool:
        """Nothing a library says is believed unchecked."""
        nest = Nest(
            items=items,
            sheets=(size,),
            placements=self._on_sheet(strip),
            margin=self.margin,
            gap=self.gap,
            lower_bound=1,
            proof="",
        )
        return not verify_nest(nest)

    def _must_halt(self) -> bool:
        return self.spent >= self.seconds or bool(self.stop and self.stop())

    def _enough(self, size: BoardSheet) -> float:
        return room(size, self.margin)[0] + 2 * self.edge

    def _over(self, strip: Strip | None, size: BoardSheet) -> float:
        """How much too long a strip is, 0 if it fits. [m]"""
        return 10.0 if strip is None else max(0.0, strip.width - self._enough(size))

    def _on_sheet(self, strip: Strip) -> tuple[Placement, ...]:
        """Strip axes to sheet axes: parts stand a gap from the strip's edge, a margin from the sheet's."""
        shift = self.margin - self.edge
        return tuple(replace(p, x=p.x + shift, y=p.y + shift) for p in strip.placements)

    def _turns(self, key: str, size: BoardSheet) -> tuple[float, ...]:
        return turns_that_fit(self.by_key[key], size, self.margin)

    def _tell(self, deal: _Deal, length: float | None) -> None:
        if self.progress:
            self.progress(
                NestProgress(
                    best=len(self.best) if self.best else None,
                    lower_bound=self.least.count,
                    trying=len(deal.sizes),
                    packed=sum(deal.packed) - len(self._late(deal)),
                    length=length,
                    seconds=self.spent,
                    allowed=self.seconds,
                )
            )

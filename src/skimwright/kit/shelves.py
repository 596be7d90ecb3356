"""The plainest layout: boxes on shelves.  Wasteful, but it is there at once and can never fail.

It is the answer to improve on, and the answer left if the packing library breaks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from skimwright.kit.parts_on_board import (
    TOLERANCE,
    BoardSheet,
    NestItem,
    Placement,
    Stop,
    Strip,
    StripJob,
    room,
    size_turned,
    turned,
    turns_that_fit,
)


@dataclass
class _Shelf:
    y: float
    height: float
    x: float = 0.0  # where the next box starts


@dataclass
class _Page:
    """One sheet being filled, in the room inside its margin."""

    size: BoardSheet
    wide: float
    high: float
    shelves: list[_Shelf] = field(default_factory=list)
    boxes: list[tuple[NestItem, float, float, float]] = field(default_factory=list)  # item, x, y, turn

    def take(self, item: NestItem, turns: Sequence[float], gap: float) -> bool:
        """Put one part on the first shelf with room, or on a new one."""
        ways = sorted((size_turned(item, t)[::-1], t) for t in turns)  # lowest first
        for shelf in self.shelves:
            for (h, w), turn in reversed(ways):
                if h <= shelf.height + TOLERANCE and shelf.x + w <= self.wide + TOLERANCE:
                    return self._lay(item, turn, shelf, w, gap)
        y = self.shelves[-1].y + self.shelves[-1].height + gap if self.shelves else 0.0
        for (h, w), turn in ways:
            if y + h <= self.high + TOLERANCE and w <= self.wide + TOLERANCE:
                self.shelves.append(_Shelf(y, h))
                return self._lay(item, turn, self.shelves[-1], w, gap)
        return False

    def _lay(self, item: NestItem, turn: float, shelf: _Shelf, width: float, gap: float) -> bool:
        self.boxes.append((item, shelf.x, shelf.y, turn))
        shelf.x += width + gap
        return True


Page = tuple[BoardSheet, tuple[Placement, ...]]  # a sheet and what lies on it, all numbered sheet 0


def shelf_nest(
    items: Sequence[NestItem], sheets: Sequence[BoardSheet], *, margin: float, gap: float
) -> list[Page] | None:
    """Lay every part's box on shelves, tallest first; None if the sheets on hand run out."""
    left = {i: (s.on_hand if s.on_hand is not None else 10**9) for i, s in enumerate(sheets)}
    order = sorted(range(len(sheets)), key=lambda i: -sheets[i].area)
    pages: list[_Page] = []
    for item in sorted(items, key=lambda i: (-min(size_turned(i, t)[1] for t in i.allowed_turns), i.key)):
        fits = [turns_that_fit(item, s, margin) for s in sheets]
        for _ in range(item.quantity):
            if any(page.take(item, turns_that_fit(item, page.size, margin), gap) for page in pages):
                continue
            which = next((i for i in order if left[i] and fits[i]), None)
            if which is None:
                return None
            left[which] -= 1
            pages.append(_Page(sheets[which], *room(sheets[which], margin)))
            pages[-1].take(item, fits[which], gap)
    return [(page.size, _placements(page, margin)) for page in pages]


def _placements(page: _Page, offset: float) -> tuple[Placement, ...]:
    return tuple(
        Placement(key=item.key, sheet=0, x=x + offset - low[0], y=y + offset - low[1], turn=turn)
        for item, x, y, turn in page.boxes
        for low in [turned(item.outline, turn).min(axis=0)]
    )


class ShelfPacker:
    """A `StripPacker` without any library: one strip, boxes on shelves standing on its short end."""

    def pack(
        self, job: StripJob, *, stop: Stop | None = None, progress: Callable[[float], None] | None = None
    ) -> Strip:
        """Shelves run across the strip: lay them on a sheet as wide as the strip is high, then turn it."""
        long = sum(max(np.ptp(i.outline, axis=0)) * i.quantity + job.gap * i.quantity for i in job.items)
        across = [_across(item) for item in job.items]
        sheet = BoardSheet(width=job.height, height=2 * job.gap + float(long) * 2)
        pages = shelf_nest(across, [sheet], margin=job.gap, gap=job.gap)
        assert pages is not None
        laid = tuple(_quarter_back(p, job.height) for page in pages[:1] for p in page[1])
        by_key = {item.key: item for item in job.items}
        width = max(by_key[p.key].placed(x=p.x, y=p.y, turn=p.turn).bounds[2] for p in laid) + job.gap
        if progress:
            progress(width)
        return Strip(width=width, placements=laid, seconds=0.0)


def _across(item: NestItem) -> NestItem:
    """The part as it would lie if the strip were turned a quarter to the left."""
    return NestItem(
        key=item.key,
        outline=item.outline,
        quantity=item.quantity,
        turns=tuple((t + 90) % 360 for t in item.allowed_turns),
    )


def _quarter_back(p: Placement, height: float) -> Placement:
    """Turn a placement a quarter to the right, so that up becomes along."""
    return Placement(key=p.key, sheet=0, x=p.y, y=height - p.x, turn=(p.turn - 90) % 360)

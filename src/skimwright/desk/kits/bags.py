"""Bags for boats: labels, pick lists, and what the scale says."""

from __future__ import annotations

from collections.abc import Sequence

from skimwright.base.drawing import Drawing
from skimwright.boat import Board, Kit
from skimwright.desk.boats.boat_list import Entry
from skimwright.desk.seasons.season import Season
from skimwright.kit import Bag, BagFor, bag, bag_page


def bags_of_kit(
    kit: Kit, *, boats: int = 1, board: Board | None = None, paper: str = "a4", foot: str = ""
) -> tuple[Bag, tuple[Drawing, ...]]:
    """The kit's bag, and a page for each of so many boats, numbered from 1 if there are several."""
    one = bag(kit, board=board)
    whose = [BagFor(number=f"{n:02d}" if boats > 1 else "") for n in range(1, boats + 1)]
    return one, tuple(bag_page(one, who, paper=paper, foot=foot) for who in whose)  # type: ignore[arg-type]


def bags_of_season(
    season: Season, *, kits: Sequence[str] = (), board: Board | None = None, paper: str = "a4", foot: str = ""
) -> tuple[tuple[Entry, Bag, Drawing], ...]:
    """A page for each boat of the season, or of some of its kits; stopped boats too, their bags can be packed."""
    made = []
    for entry in season.boats:
        if kits and entry.kit not in kits:
            continue
        one = bag(season.kits[entry.kit], board=board)
        whose = BagFor(number=f"{entry.number:02d}", name=entry.name, group=entry.group)
        made.append((entry, one, bag_page(one, whose, paper=paper, foot=foot)))  # type: ignore[arg-type]
    return tuple(made)

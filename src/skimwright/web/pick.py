"""Choosing a boat: the same list in every place that begins with one."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skimwright.desk import Entry
    from skimwright.web.doors import Visit


def boats_by_group(visit: Visit, words: Callable[[Entry], str]) -> list[tuple[str, list[tuple[Entry, str]]]]:
    """Every boat under its group's name, with a few words about it."""
    season = visit.house.season()
    found = [
        (name, [(entry, words(entry)) for entry in season.boats if entry.group == name])
        for name in season.groups
    ]
    return [each for each in found if each[1]]

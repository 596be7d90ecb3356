"""A kit that forgives its builders, by the spread their build cards show."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from skimwright.base import MissingError, Where
from skimwright.boat import AsBuilt, Kit, Tolerances
from skimwright.desk.boats.check import drawn_value
from skimwright.desk.seasons.fields import nearest
from skimwright.desk.seasons.season import Season
from skimwright.run import Forgiven, KitNumbers, Question, forgive

CARDS = 6.0  # cards that the drawing's own tolerance counts for beside those seen [choice]
DEGREE = math.pi / 180.0
SIDES = ("", "_left", "_right")
NUMBERS: dict[str, tuple[str, str, float]] = {  # words, unit, SI of one unit
    "pad_angle": ("pads' angle", "deg", DEGREE),
    "blade_depth": ("water fin below the floor", "mm", 1e-3),
    "floor_front": ("tunnel height where the sponsons begin", "mm", 1e-3),
    "balance": ("balance point from the bow", "mm", 1e-3),
}


@dataclass(frozen=True, kw_only=True)
class ForgivingKit:
    """What would change in a drawing, and what that is worth."""

    kit: Kit
    device: str
    group: str
    cards: int  # of the season that the spread was learned from
    found: Forgiven
    before: KitNumbers
    after: KitNumbers

    @property
    def says(self) -> str:
        """One sentence, honest when there is nothing."""
        f = self.found
        worst = f"the worst tenth of builders miss the gate {100 * f.before.tail:.0f} times in a hundred"
        if not f.is_better:
            return (
                f"{self.kit.name}: leave it. As drawn {worst}; none of {f.tried} drawings was surely better."
            )
        return (
            f"{self.kit.name}: as drawn {worst}; with these numbers {100 * f.after.tail:.0f}, "
            f"{100 * f.low:.0f} to {100 * f.high:.0f} fewer on builders the search never saw."
        )


def forgive_kit(
    season: Season, name: str, *, seed: int, effort: float = 1.0,
    progress: Callable[[int, int], None] | None = None, stop: Callable[[], bool] | None = None,
) -> ForgivingKit:  # fmt: skip
    """Look for a drawing of one of the season's kits that its worst builders get through the gate.

    Parameters
    ----------
    season : Season
        Its boats of this kit give device, class and the builders' spread.
    name : str
        The kit.
    seed : int
    effort : float
        Times the usual number of builders.
    progress, stop : as in :func:`skimwright.run.forgive`

    Raises
    ------
    MissingError
        No such kit, or no boat of it in the season.
    InputError, ConflictError
        The kit is not drawn from a design alone, or cannot run.
    """
    kit = next((k for k in season.kits.values() if k.name.casefold() == name.casefold()), None)
    if kit is None:
        raise MissingError(what="no kit of this name in the season", got=f'"{name}"', allowed=", ".join(season.kits),
                           do=nearest(name, season.kits), where=Where(field="KIT"))  # fmt: skip
    boats = [entry for entry in season.boats if entry.kit == kit.name]
    if not boats:
        raise MissingError(
            what=f"no boat of this season is a {kit.name}", do="Ask about a kit somebody builds."
        )
    group, device = Counter((entry.group, entry.device) for entry in boats).most_common(1)[0][0]
    cards = [entry.built for entry in boats if entry.built.measured]
    asked = Question(
        kit=replace(kit, tolerances=seen_tolerances(kit, cards)), device=season.devices[device],
        built=AsBuilt(boat=kit.name), conditions=season.conditions, gate=season.groups[group].gate, runs=20, seed=seed,
    )  # fmt: skip
    found = forgive(asked, progress=progress, stop=stop, effort=effort)
    return ForgivingKit(
        kit=kit, device=device, group=group, cards=len(cards), found=found, before=found.before.drawing,
        after=found.after.drawing if found.is_better else found.before.drawing,
    )  # fmt: skip


def seen_tolerances(kit: Kit, cards: list[AsBuilt]) -> Tolerances:
    """The builders' spread: the drawing's tolerances drawn toward what the cards show.

    Source
        Pooled variance of the cards about the drawing, with the tolerance counting for six of them (derived).
    """
    seen = {}
    for item in fields(Tolerances):
        keys = [item.name + side for side in SIDES if hasattr(AsBuilt(boat=""), item.name + side)]
        off = [
            getattr(card, key) - drawn_value(kit, key)
            for card in cards
            for key in keys
            if getattr(card, key) is not None
        ]
        prior = getattr(kit.tolerances, item.name)
        seen[item.name] = math.sqrt((CARDS * prior**2 + sum(v**2 for v in off)) / (CARDS + len(off)))
    return Tolerances(**seen)

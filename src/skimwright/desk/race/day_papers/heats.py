"""What paper needs to know of a heat, and no more: so that it can be printed from any plan of the day, or from none."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class PaperBoat:
    """A boat in its lane."""

    boat: int
    name: str = ""
    unweighed: bool = False  # mended or wet since it was weighed
    unfit: str = ""  # why the pit steward has not ticked it; blank if it may race

    @property
    def number(self) -> str:
        """As painted: two figures at least."""
        return f"{self.boat:02d}"


@dataclass(frozen=True, kw_only=True)
class PaperHeat:
    """One heat of the day."""

    number: int  # one numbering for the whole day
    group: str = ""
    round: int | None = None
    planned: str = ""  # time of day, "10:42"
    lanes: tuple[PaperBoat | None, ...] = ()

    @property
    def race(self) -> str:
        """``Rush, round 2``."""
        return ", ".join(
            part for part in (self.group, f"round {self.round}" if self.round is not None else "") if part
        )

    def lane_of(self, boat: int) -> int | None:
        """From 1; None if it is not in this heat."""
        return next((n for n, b in enumerate(self.lanes, 1) if b is not None and b.boat == boat), None)


@dataclass(frozen=True, kw_only=True)
class PaperDay:
    """The day as paper shows it."""

    season: str
    site: str = ""
    day: str = ""  # its date, in words
    heats: tuple[PaperHeat, ...] = ()
    lanes: int = 6
    printed: str = ""  # when, and with which edition: a later sheet beats an earlier one

    @property
    def over(self) -> str:
        """The line above a page."""
        return ", ".join(part for part in (self.season, self.site, self.day) if part)

    def chosen(self, numbers: tuple[int, ...]) -> tuple[PaperHeat, ...]:
        """Those heats; all if none is named."""
        return tuple(heat for heat in self.heats if not numbers or heat.number in numbers)

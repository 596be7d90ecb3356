"""Points tables as data: what a place is worth, what a code is worth, what parts a tie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from skimwright.base import InputError

Base = Literal["fixed", "entries", "starters"]
TieBreak = Literal["elapsed-time", "best-scores", "last-race"]
TIE_BREAKS: dict[TieBreak, str] = {
    "elapsed-time": "least time over both heats",
    "best-scores": "counted scores, best first",
    "last-race": "the last race, then the one before it",
}


@dataclass(frozen=True, kw_only=True)
class PointsTable:
    """How places become points.

    `points` holds what places 1, 2, 3 ... are worth; empty, a place is worth its own number.  A code is worth
    `code_points` in a table of points; else one more than the boats entered, or than the boats that came to
    the start of that heat (who did not come gets one more than those entered all the same).
    """

    name: str
    points: tuple[float, ...] = ()
    most_wins: bool = True
    base: Base = "fixed"
    code_points: Mapping[str, float] = field(default_factory=dict)  # by code; 0 where it is not named
    discards: int = 0  # worst scores left out
    tie_breaks: tuple[TieBreak, ...] = ("best-scores", "last-race")
    never_dropped: tuple[str, ...] = ("DNE",)
    source: str = ""

    def __post_init__(self) -> None:
        """A table that contradicts itself is refused."""
        if not self.points and (self.most_wins or self.base == "fixed"):
            raise InputError(
                what="a points table without points",
                allowed="points = [10, 9, 8], best place first",
                do="Write what each place is worth.",
            )
        steps = [b - a for a, b in zip(self.points, self.points[1:], strict=False)]
        if any((step > 0) if self.most_wins else (step < 0) for step in steps):
            raise InputError(
                what="a better place is worth less than a worse one",
                got=" ".join(f"{p:g}" for p in self.points),
                do="Write the points from the best place down, or say which way wins.",
            )

    def of_place(self, place: int) -> float | None:
        """What one place is worth; None beyond the end of the table."""
        if not self.points:
            return float(place)
        return self.points[place - 1] if place <= len(self.points) else None

    def of_tie(self, place: int, boats: int) -> float:
        """Boats that share a place share what it and the places just below are worth."""
        return sum(self.of_place(place + k) or 0.0 for k in range(boats)) / boats

    def of_code(self, code: str, *, entries: int, starters: int) -> float:
        """What a code is worth in one heat."""
        if self.base == "fixed":
            return self.code_points.get(code, 0.0)
        return float((starters if self.base == "starters" and code != "DNC" else entries) + 1)


POWERBOAT = PointsTable(
    name="powerboat",
    points=(
        400,
        300,
        225,
        169,
        127,
        95,
        71,
        53,
        40,
        30,
        22,
        17,
    ),  # stored as printed: the rounding follows no rule
    most_wins=True,
    tie_breaks=("elapsed-time", "best-scores", "last-race"),
    source="A.P.B.A. heat points, 1967 Miami race programme (seen); nothing for a boat that does not finish, and "
    "better places before the last race where times do not part a tie (common practice)",
)
LOW_POINT = PointsTable(
    name="low-point",
    most_wins=False,
    base="entries",
    discards=1,
    tie_breaks=("best-scores", "last-race"),
    source="Racing Rules of Sailing, Appendix A: A2.1, A4, A6, A7, A8.1, A8.2 (seen)",
)
TABLES = {table.name: table for table in (POWERBOAT, LOW_POINT)}

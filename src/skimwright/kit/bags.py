"""What goes into a boat's bag, what it should weigh, and what a pile of weighed sheets says of the board."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

from skimwright.base import Finding, InputError, MissingError, show_mass
from skimwright.boat import Board, Kit

ALLOWED = 0.03  # a bag may be this much off what its board should weigh [-]
READS_TO = 0.001  # of the scale [kg]
SLIP = (7.0, 14.0)  # a reading this many times off has most likely a decimal point in the wrong place


@dataclass(frozen=True, kw_only=True)
class PickLine:
    """One kind of part in a bag."""

    part: str
    quantity: int
    mass: float  # each [kg]
    order: int  # dots
    sides: tuple[str, ...]  # "left", "right"; blank for a part on the middle line


@dataclass(frozen=True, kw_only=True)
class Bag:
    """A boat's parts before they are glued."""

    kit: str
    edition: str
    lines: tuple[PickLine, ...]  # in fitting order
    mass: float  # expected [kg]
    mass_sd: float  # by the board's spread from sheet to sheet [kg]

    @property
    def count(self) -> int:
        """Pieces."""
        return sum(line.quantity for line in self.lines)

    @property
    def limits(self) -> tuple[float, float]:
        """Lightest and heaviest bag that passes. [kg]"""
        return self.mass * (1 - ALLOWED), self.mass * (1 + ALLOWED)

    @property
    def unnoticed(self) -> tuple[str, ...]:
        """Parts so light that the scale cannot tell one is missing."""
        return tuple(line.part for line in self.lines if line.mass < self.mass * ALLOWED)


@dataclass(frozen=True, kw_only=True)
class WeighedSheets:
    """What a pile of weighed sheets says of the board."""

    board: Board  # with its areal density and spread from the scale
    count: int
    mean: float  # of a sheet [kg]
    sd: float  # from sheet to sheet, as seen [kg]
    findings: tuple[Finding, ...] = ()


def bag(kit: Kit, *, board: Board | None = None) -> Bag:
    """The bag of one boat.

    Parameters
    ----------
    board : Board, optional
        The board as weighed; the kit's own if not given.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    ``bag(fold_62).count`` is 23, its mass 177.2 g.
    """
    density = (board or kit.board).areal_density
    lines: dict[str, PickLine] = {}
    for part in sorted(kit.parts, key=lambda part: (part.order, part.code, part.side)):
        sides = () if part.side == "middle" else (part.side,)
        before = lines.get(part.code)
        if before:
            lines[part.code] = replace(before, quantity=before.quantity + 1, sides=(*before.sides, *sides))
        else:
            mass = part.area * density * part.thickness / kit.board.thickness
            lines[part.code] = PickLine(part=part.code, quantity=1, mass=mass, order=part.order, sides=sides)
    total = sum(line.quantity * line.mass for line in lines.values())
    spread = (board or kit.board).density_spread / density
    return Bag(
        kit=kit.name, edition=kit.edition, lines=tuple(lines.values()), mass=total, mass_sd=total * spread
    )


def check_bag(bag: Bag, *, mass: float) -> Finding | None:
    """What a weighed bag says, or None if it is within 3 %.

    Parameters
    ----------
    mass : float
        On the scale, without the bag itself. [kg]

    Raises
    ------
    InputError
        The scale shows nought, or a number no bag of this kit can have.
    """
    if not 0.3 * bag.mass < mass < 3 * bag.mass:
        guess = _slipped(mass, bag.mass)
        raise InputError(
            what=f"A bag of {bag.kit} cannot weigh that",
            got=show_mass(mass),
            allowed=f"about {show_mass(bag.mass)}",
            do=f"Is a decimal point out of place: {guess}?" if guess else "Weigh it again, without the bag.",
        )
    low, high = bag.limits
    if low <= mass <= high:
        return None
    off = mass - bag.mass
    like = [line.part for line in bag.lines if abs(line.mass - abs(off)) <= max(READS_TO, 0.03 * abs(off))]
    if off < 0:
        do = f"Count the parts; {' or '.join(like)} weighs that much." if like else "Count the parts."
    else:
        do = (
            f"Look for a second {' or '.join(like)}."
            if like
            else "Look for parts of another boat or wet board."
        )
    return Finding(
        code="bag-mass",
        severity="warning",
        what=f"The bag is {show_mass(abs(off))} {'light' if off < 0 else 'heavy'}: {show_mass(mass)} "
        f"for {show_mass(bag.mass)}, allowed {show_mass(low)} to {show_mass(high)}.",
        do=do,
        where=bag.kit,
    )


def weigh_sheets(
    board: Board, *, masses: Sequence[float], sheet: tuple[float, float] | None = None
) -> WeighedSheets:
    """The board with its areal density and spread from weighed sheets.

    The spread is that of the next sheet, not of the mean: the readings' own standard deviation s (never under
    what the scale can show), widened for a small pile to s sqrt(1 + 1/n).  A single sheet says nothing of
    spread, so the drawing's own is kept.

    Parameters
    ----------
    masses : sequence of float
        One a sheet. [kg]
    sheet : (float, float), optional
        Sides of the weighed sheets; the board's first size if not given. [m]

    Raises
    ------
    MissingError
        No sheet was weighed.
    InputError
        A reading cannot be a sheet of this board; the message asks about its decimal point.

    Examples
    --------
    Three A1 sheets of 222, 225 and 228 g make 450.4 g/m2, spread 6.9 g/m2.
    """
    if not masses:
        raise MissingError(
            what="No sheet was weighed", do="Weigh three whole sheets or more and give each mass in grams."
        )
    sides = sheet or board.sheets[0]
    area = sides[0] * sides[1]
    drawn = board.areal_density * area
    usual = statistics.median(masses) if len(masses) > 2 else drawn
    for mass in masses:
        _refuse_reading(mass, usual=usual, drawn=drawn)
    mean = statistics.fmean(masses)
    seen = statistics.stdev(masses) if len(masses) > 1 else math.nan
    if len(masses) > 1:
        within = max(seen, READS_TO / math.sqrt(12)) * math.sqrt(1 + 1 / len(masses))
        spread = within / area
    else:
        spread = board.density_spread
    weighed = replace(board, areal_density=mean / area, density_spread=spread)
    return WeighedSheets(
        board=weighed, count=len(masses), mean=mean, sd=seen, findings=_of_pile(board, weighed, len(masses))
    )


def _refuse_reading(mass: float, *, usual: float, drawn: float) -> None:
    if 0.5 * usual < mass < 2 * usual:
        return
    guess = _slipped(mass, usual) or _slipped(mass, drawn)
    raise InputError(
        what="A sheet cannot weigh that",
        got=f"{mass * 1e3:g} g",
        allowed=f"about {usual * 1e3:.0f} g, as the others or the drawing say",
        do=f"Is a decimal point out of place: {guess}?"
        if guess
        else "Weigh a whole sheet again, or leave this one out.",
    )


def _slipped(mass: float, usual: float) -> str:
    """The reading with its decimal point moved to where it makes sense; blank if it never does."""
    ratio = usual / mass if mass > 0 else 0.0
    for factor in (10.0, 0.1, 100.0, 0.01):
        if SLIP[0] / 10 <= ratio / factor <= SLIP[1] / 10:
            return f"{mass * factor * 1e3:g} g"
    return ""


def _of_pile(drawn: Board, weighed: Board, count: int) -> tuple[Finding, ...]:
    found = []
    if count < 3:
        found.append(
            Finding(
                code="few-sheets-weighed",
                severity="note",
                what=f"Only {count} sheet{'s were' if count > 1 else ' was'} weighed.",
                why="Too few to know how much sheets differ.",
                do="Weigh three or more.",
            )
        )
    off = weighed.areal_density / drawn.areal_density - 1
    if abs(off) > 0.1:
        found.append(
            Finding(
                code="board-not-as-drawn",
                severity="warning",
                what=f"The board is {abs(off) * 100:.0f} % {'heavier' if off > 0 else 'lighter'} than drawn: "
                f"{weighed.areal_density * 1e3:.0f} for {drawn.areal_density * 1e3:.0f} g/m2.",
                why="Every boat cut from it changes by as much.",
                do="Check the sheet's size and kind, then write the new areal density into the kit file.",
            )
        )
    return tuple(found)


def with_board(kit: Kit, board: Board) -> Kit:
    """The kit as it comes out of this board: mass and balance follow, the drawing and its edition do not change."""
    return replace(kit, board=board)

"""True-size drawings and cutter files of a layout, one part alone, and whether a print came out true."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.base import ConflictError, InputError, show_length
from skimwright.base.drawing import Drawing
from skimwright.boat import Kit
from skimwright.desk.kits.sheets import Layout
from skimwright.kit import (
    CutSheet,
    Template,
    blank,
    cut_sheet,
    cutting_pages,
    find_part,
    hand_order,
    sheet_template,
    single_part_nest,
    split_for_bed,
)

BAR = 0.1  # drawn length of the bar [m]
READ_WITHIN = 0.0003  # how well a ruler reads it [m]


def templates(layout: Layout, *, bar: bool = True) -> tuple[Template, ...]:
    """Each sheet at full size."""
    sheets = layout.laid()
    return tuple(
        sheet_template(
            laid,
            sheet,
            title=f"{layout.title}, sheet {number} of {len(sheets)}",
            foot=f"{layout.editions}, sheet {number} of {len(sheets)}",
            bar=bar,
        )
        for number, (laid, sheet) in enumerate(sheets, start=1)
    )


def part_templates(kit: Kit, word: str) -> tuple[Template, ...]:
    """One part, or both of a pair, each alone: for what was lost or broken.

    Raises
    ------
    MissingError
        The kit has no such part.
    """
    made = []
    for part in find_part(kit, word):
        laid, sheet = single_part_nest(blank(part, kit))
        foot = f"{kit.name} edition {kit.edition}, {part.name}"
        made.append(sheet_template(laid, sheet, title=f"{kit.name}, {part.name}", foot=foot, bar=False))
    return tuple(made)


def cutter_sheets(layout: Layout, *, bed: tuple[float, float] | None = None) -> tuple[CutSheet, ...]:
    """Each sheet for a machine; in pieces if its bed is smaller.

    Parameters
    ----------
    bed : (float, float), optional
        [m]

    Raises
    ------
    InputError
        The bed is absurdly small, or the cut wider than the gap.
    """
    sheets = layout.laid()
    made: list[CutSheet] = []
    for number, (laid, sheet) in enumerate(sheets, start=1):
        name = f"{layout.editions}, sheet {number} of {len(sheets)}"
        whole = cut_sheet(laid, sheet, name=name, gap=layout.nest.gap, kerf=layout.kerf)
        made += split_for_bed(whole, width=bed[0] * 1e3, height=bed[1] * 1e3) if bed else (whole,)
    return tuple(made)


def cutting_order(layout: Layout) -> tuple[Drawing, ...]:
    """Pages that say what to cut first."""
    sheets = layout.laid()
    return tuple(
        page
        for number, (laid, _) in enumerate(sheets, start=1)
        for page in cutting_pages(
            hand_order(laid), title=f"Cutting order, sheet {number} of {len(sheets)}", foot=layout.editions
        )
    )


@dataclass(frozen=True, kw_only=True)
class BarReading:
    """What a ruler says of the bar on a printed page."""

    reading: float  # [m]
    factor: float  # of printed over drawn [-]
    is_true: bool  # the parts may be cut
    says: str


def read_bar(kit: Kit, *, reading: float) -> BarReading:
    """Whether a page came out at its true size, and what to do if not.

    Parameters
    ----------
    reading : float
        Of the 100 mm bar. [m]

    Raises
    ------
    InputError
        No printer does that.

    Examples
    --------
    ``read_bar(fold_62, reading=0.097).factor`` is 0.97: a deck of 620 mm comes out at 601.4 mm.
    """
    if not 0.05 <= reading <= 0.2:
        raise InputError(
            what="The bar cannot have come out like that",
            got=show_length(reading),
            allowed="50 to 200 mm",
            do="Measure it again in millimetres, from end to end.",
        )
    factor = reading / BAR
    off = factor - 1
    if abs(reading - BAR) <= READ_WITHIN + 1e-9:
        says = f"The bar reads {reading * 1e3:g} mm: the page is true, cut it."
        return BarReading(reading=reading, factor=factor, is_true=True, says=says)
    size = "short" if off < 0 else "long"
    longest = kit.length
    says = (
        f"The bar reads {reading * 1e3:g} mm in place of 100: the printer changed the size by a factor of "
        f"{factor:.3g}, so every length comes out {abs(off) * 100:.2g} % {size} ({kit.name}'s {longest * 1e3:g} mm "
        f"would be {longest * factor * 1e3:.1f} mm). Do not cut these pages, and do not build with parts cut from "
        "them: board keeps its thickness, so shrunk parts do not close. Print again with the scale set to "
        '"actual size" or 100 %, "fit to page" and "shrink" off'
        f"; if the printer insists, set its scale to {100 / factor:.1f} %, and measure the bar once more."
    )
    return BarReading(reading=reading, factor=factor, is_true=False, says=says)


def refuse_other_edition(kit: Kit, printed: str) -> None:
    """Stop if pages in hand were printed from another drawing.

    Raises
    ------
    ConflictError
        The edition code on the pages is not the kit's.
    """
    if printed.strip().casefold() != kit.edition:
        raise ConflictError(
            what=f"{kit.name} was edited after these pages were printed",
            got=f'edition "{printed}" on the pages',
            allowed=f"{kit.edition}, the drawing as it is now",
            do="Print them again; do not mix parts of two editions in one boat.",
        )

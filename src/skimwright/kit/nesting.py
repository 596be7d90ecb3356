"""Lay a class's parts on as few sheets as can be found, and say how few could ever do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from skimwright.base import ModelError
from skimwright.kit.least_sheets import least_sheets, refuse_hopeless
from skimwright.kit.nest_search import NestProgress, NestSearch
from skimwright.kit.parts_on_board import BoardSheet, Nest, NestItem, Stop, StripPacker
from skimwright.kit.shelves import Page, shelf_nest


def nest_parts(
    items: Sequence[NestItem],
    sheets: Sequence[BoardSheet],
    *,
    packer: StripPacker,
    margin: float = 0.005,
    gap: float = 0.003,
    kerf: float = 0.0,
    seconds: float = 60.0,
    seed: int = 1,
    progress: Callable[[NestProgress], None] | None = None,
    stop: Stop | None = None,
) -> Nest:
    """Lay all parts on sheets, fewest first.

    The search ends when the lower bound is reached, when tighter sets of sheets have failed too often, when
    the seconds are spent, or when `stop()` says so.  The best layout found so far is always returned.

    Parameters
    ----------
    items : sequence of NestItem
        Parts with quantities; several kits and boats may be mixed.
    sheets : sequence of BoardSheet
        Sizes of board.  With more than one, the least total board area is sought.
    packer : StripPacker
        Packs one strip.
    margin, gap : float
        Kept clear along the sheet's edges and between parts. [m]
    kerf : float, at most the gap
        Width of the cut. [m]
    seconds : float
        Packing time allowed. [s]
    seed : int
        Same seed, same layout, as long as the time does not run out.

    Raises
    ------
    InputError
        The question is hopeless as asked: see `refuse_hopeless` and `least_sheets`.
    ModelError
        No layout was found on the sheets on hand.
    """
    refuse_hopeless(items, sheets, margin=margin, gap=gap, kerf=kerf)
    least = least_sheets(items, sheets, margin=margin, gap=gap)
    pages = shelf_nest(items, sheets, margin=margin, gap=gap)
    search = NestSearch(
        items=items,
        sheets=sheets,
        packer=packer,
        margin=margin,
        gap=gap,
        least=least,
        seconds=seconds,
        seed=seed,
        progress=progress,
        stop=stop,
    )
    pages = search.improve(pages)
    if pages is None:
        raise ModelError(
            what="No layout was found on the sheets on hand",
            got=f"{len(search.failures)} sets of sheets tried in {search.spent:.0f} s",
            allowed=f"at least {least.count} sheets are needed",
            do="Add a sheet, or allow more time.",
        )
    return _as_nest(pages, search)


def _as_nest(pages: list[Page], search: NestSearch) -> Nest:
    area = {item.key: item.shape.area for item in search.items}
    return Nest(
        items=tuple(search.items),
        sheets=tuple(size for size, _ in pages),
        placements=tuple(replace(p, sheet=i) for i, (_, laid) in enumerate(pages) for p in laid),
        margin=search.margin,
        gap=search.gap,
        lower_bound=search.least.count,
        proof=_proof(len(pages), search),
        use=tuple(sum(area[p.key] for p in laid) / size.area for size, laid in pages),
    )


def _proof(used: int, search: NestSearch) -> str:
    """Why no layout can use fewer than the bound, and what is not known about the sheets between."""
    least = search.least
    gap, margin = (f"{length * 1000:g} mm" for length in (search.gap, search.margin))
    said = [
        f"By area alone at least {_sheets(least.by_area)}",
        f"with the {gap} gap and {margin} margin counted, at least {least.by_room}",
    ]
    if least.by_pairs == least.count > 1:
        said.append(f"no two of {', '.join(least.apart)} can share a sheet, so at least {least.by_pairs}")
    tries = sum(n for plan, n in search.failures.items() if sum(plan) == used - 1)
    words = "; ".join(said) + f". This layout uses {used}"
    if used == least.count:
        words += ": no layout can use fewer."
    elif tries:
        words += f"; {used - 1} may or may not do: {tries} {'try' if tries == 1 else 'tries'} found no way."
    else:
        words += f"; {used - 1} may or may not do: there was no time to try."
    if len(search.sheets) > 1:
        words += " With several sizes, the least board area was sought, not the least count."
    if search.crashes:
        words += " The packing library failed, so a tighter layout may exist: try again."
    return words


def _sheets(n: int) -> str:
    return f"{n} sheet" if n == 1 else f"{n} sheets"

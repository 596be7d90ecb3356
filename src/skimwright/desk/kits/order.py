"""The order list of a class: from its boats, its nest and a file of prices."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from skimwright.base import InputError, Where
from skimwright.boat import Kit
from skimwright.desk.kits.sheets import Layout, lay_out
from skimwright.desk.seasons.season import Season
from skimwright.kit import BoardSheet, NestProgress, Order, Prices, StripPacker, class_order


def boats_of_season(season: Season) -> tuple[tuple[Kit, int], ...]:
    """Every kit of the season and how many boats are built from it."""
    counts = Counter(entry.kit for entry in season.boats)
    return tuple((kit, counts[name]) for name, kit in season.kits.items() if counts[name])


def devices_of_season(season: Season, kits: Sequence[Kit]) -> dict[str, int]:
    """How many of each device the boats of these kits carry."""
    names = {kit.name for kit in kits}
    return dict(Counter(entry.device for entry in season.boats if entry.kit in names))


def order_for(
    boats: Sequence[tuple[Kit, int]],
    *,
    packer: StripPacker,
    share_sheets: bool = False,
    sheet: tuple[float, float] | None = None,
    grain: str | None = None,
    seconds: float = 60.0,
    seed: int = 1,
    devices: Mapping[str, int] | None = None,
    ballast: float | None = None,
    disc: float = 0.005,
    prices: Prices | None = None,
    progress: Callable[[NestProgress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> tuple[Order, tuple[Layout, ...]]:
    """The order list, and the layouts its count of boards rests on.

    Parameters
    ----------
    share_sheets : bool
        Nest the whole class together; otherwise each boat is cut from sheets of its own.
    ballast, disc : float
        On each boat, and of one washer. [kg]

    Raises
    ------
    InputError
        As `lay_out` and `class_order`.
    """
    boats = [(kit, count) for kit, count in boats if count]
    class_order(
        boats, boards={}, devices=devices, ballast=ballast, disc=disc
    )  # refuse before the long search
    settings: dict[str, Any] = {"packer": packer, "sheet": sheet, "grain": grain, "seed": seed, "stop": stop}
    by_board = _by_board(boats)
    if share_sheets:
        each = [(group, 1) for group in by_board.values()]
    else:
        each = [([(kit, 1)], count) for kit, count in boats]
    boards: Counter[str] = Counter()
    layouts = []
    for group, times in each:
        layout = lay_out(group, seconds=seconds / len(each), progress=progress, **settings)
        for size in layout.nest.sheets:
            boards[_board_named(size, group[0][0])] += times
        layouts.append(layout)
    order = class_order(
        boats,
        boards=boards,
        devices=devices,
        ballast=ballast,
        disc=disc,
        prices=prices,
        own_sheets=not share_sheets,
    )
    return order, tuple(layouts)


def order_of_layout(layout: Layout) -> Order:
    """What to buy for the boats of a layout that is there already; they share its sheets.

    Raises
    ------
    InputError
        As `class_order`.
    """
    boards: Counter[str] = Counter()
    for size in layout.nest.sheets:
        boards[_board_named(size, layout.kits[0][0])] += 1
    return class_order(list(layout.kits), boards=boards, own_sheets=False)


def _board_named(size: BoardSheet, kit: Kit) -> str:
    long, short = sorted((size.width * 1e3, size.height * 1e3), reverse=True)
    return f"{long:g} x {short:g} mm, {kit.board.thickness * 1e3:g} mm thick"


def _by_board(boats: Sequence[tuple[Kit, int]]) -> dict[float, list[tuple[Kit, int]]]:
    groups: dict[float, list[tuple[Kit, int]]] = {}
    for kit, count in boats:
        groups.setdefault(round(kit.board.thickness, 6), []).append((kit, count))
    return groups


def read_prices(rows: Sequence[Sequence[str]], *, file: str) -> Prices:
    """A price list of rows ``item, price``; a row ``currency, GBP`` names the money.

    A line about a thing not in the order is left alone: one price list serves many orders.

    Raises
    ------
    InputError
        A price is not a number of nought or more; its row is named.
    """
    each: dict[str, float] = {}
    currency = ""
    for number, row in enumerate(rows, start=1):
        cells = [cell.strip() for cell in row]
        if not any(cells) or (number == 1 and cells[0].casefold() == "item"):
            continue
        where = Where(file=file, row=number)
        if len(cells) < 2:
            raise InputError(what="a price is missing", allowed="item, price", do="Write it.", where=where)
        if cells[0].casefold() == "currency":
            currency = cells[1]
            continue
        if cells[1]:
            each[cells[0].casefold()] = _price(cells[1], where)
    return Prices(currency=currency, each=each)


def prices_from_table(table: Mapping[str, Any], *, file: str) -> Prices:
    """The same from TOML: ``currency = "GBP"`` and a table ``[prices]``."""
    inner = table.get("prices", {})
    if not isinstance(inner, Mapping):
        raise InputError(
            what="not a table of prices", allowed="[prices] and lines such as board = 4.20", do="Write it so.",
            where=Where(file=file, field="prices"),
        )  # fmt: skip
    each = {
        str(name).casefold(): _price(str(value), Where(file=file, field=f"[prices] {name}"))
        for name, value in inner.items()
    }
    return Prices(currency=str(table.get("currency", "")), each=each)


def _price(text: str, where: Where) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0 <= value < 1e6:
        raise InputError(
            what="not a price",
            got=f'"{text}"',
            allowed="a number of 0 or more, without the currency",
            do="Write it as 4.20, or leave it blank if it is not known.",
            where=where,
        )
    return value

"""``skimwright order [KIT...]``: what a class must buy."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from skimwright.cli.nesting_options import (
    BOATS,
    GRAIN,
    KITS,
    PAPER,
    SECONDS,
    SEED,
    SHEET,
    kits_meant,
    nest_settings,
)
from skimwright.cli.stopping import stoppable
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb, quantity

if TYPE_CHECKING:
    from skimwright.desk import Kit, Layout, Order, Prices


def answer(ask: Ask) -> Answer:
    """Boards from the nest, everything else from the drawings; prices if there are any."""
    from skimwright import desk

    given = ask.given
    if given["kit"]:
        boats, devices = kits_meant(ask), {}
    else:
        season = ask.season()
        boats = list(desk.boats_of_season(season))
        devices = desk.devices_of_season(season, [kit for kit, _ in boats])
    prices = _prices(ask)
    with stoppable(ask, best="layout") as stop:
        order, layouts = desk.order_for(
            boats,
            share_sheets=given["share"],
            devices=devices,
            ballast=given["ballast_g"],
            disc=given["disc_g"],
            prices=prices,
            stop=stop,
            **nest_settings(ask),
        )
    files = _write(ask, order, boats)
    data = as_data(order, layouts, boats, files)
    return Answer(data=data, text=as_text(order, layouts, boats, files), plain=_plain(order))


def _prices(ask: Ask) -> Prices | None:
    from skimwright import desk

    if not ask.given["prices"]:
        return None
    path = Path(ask.given["prices"])
    if path.suffix == ".toml":
        return desk.prices_from_table(ask.files.table(path), file=path.name)
    return desk.read_prices(ask.files.grid(path), file=path.name)


def _write(ask: Ask, order: Order, boats: list[tuple[Kit, int]]) -> list[Path]:
    from skimwright import desk

    title = "Order list: " + ", ".join(f"{count} x {kit.name}" for kit, count in boats)
    foot = ", ".join(f"{kit.name} edition {kit.edition}" for kit, _ in boats)
    page = desk.order_page(order, title=title, foot=foot, paper=ask.given["paper"])
    folder = Path(ask.given["out"])
    rows = [["item", "need", "spare", "order", "unit", "price", "cost"]]
    rows += [
        [line.item, f"{line.need:g}", f"{line.spare:g}", f"{line.order:g}", line.unit,
         "" if line.price is None else f"{line.price:g}", "" if line.cost is None else f"{line.cost:.2f}"]
        for line in order.lines
    ]  # fmt: skip
    text = "".join(",".join(_cell(cell) for cell in row) + "\n" for row in rows)
    return [
        ask.files.write(folder / "order.pdf", ask.files.as_pdf([page], language="en", title=title)),
        ask.files.write(folder / "order.csv", text),
    ]


def _cell(text: str) -> str:
    quoted = text.replace('"', '""')
    return f'"{quoted}"' if any(sign in text for sign in ',"\n') else text


def as_text(
    order: Order, layouts: tuple[Layout, ...], boats: list[tuple[Kit, int]], files: list[Path]
) -> str:
    """The list, why so many boards, what is not priced, how to treat ballast."""
    rows = [
        [
            line.item,
            f"{line.need:g}",
            f"{line.spare:g}",
            f"{line.order:g}",
            line.unit,
            "no price" if line.cost is None else f"{line.cost:.2f}",
        ]
        for line in order.lines
    ]
    priced = [line for line in order.lines if line.cost is not None]
    money = [f"Together {order.total:.2f} {order.currency}".rstrip() + _unpriced(order)] if priced else []
    return "\n".join(
        [
            "For " + ", ".join(f"{count} x {kit.name}" for kit, count in boats) + ":",
            "",
            table(["what", "need", "spare", "order", "unit", f"cost {order.currency}".strip()], rows),
            "",
            *money,
            *(f"{layout.title}: {layout.nest.proof}" for layout in layouts),
            *order.notes,
            f"Written: {', '.join(map(str, files))}.",
        ]
    )


def _unpriced(order: Order) -> str:
    return f", without {', '.join(order.without_price)}." if order.without_price else "."


def as_data(
    order: Order, layouts: tuple[Layout, ...], boats: list[tuple[Kit, int]], files: list[Path]
) -> dict[str, Any]:
    """For --json."""
    return {
        "kits": [{"kit": kit.name, "edition": kit.edition, "boats": count} for kit, count in boats],
        "boats": order.boats,
        "items": [
            {
                "item": line.item,
                "need": line.need,
                "spare": line.spare,
                "order": line.order,
                "unit": line.unit,
                "price": line.price,
                "cost": line.cost,
                "why": line.why,
            }
            for line in order.lines
        ],
        "sheets": {layout.title: len(layout.nest.sheets) for layout in layouts},
        "lower_bound": {layout.title: layout.nest.lower_bound for layout in layouts},
        "total": order.total,
        "currency": order.currency,
        "without_price": list(order.without_price),
        "notes": list(order.notes),
        "files": [str(path) for path in files],
    }


def _plain(order: Order) -> str:
    return "; ".join(f"{line.item}: {line.order:g} {line.unit}" for line in order.lines)


VERB = Verb(
    name="order",
    does="what a class must buy, with spares and, if known, prices",
    tells="With kits: so many boats of each. Without: the whole season with its devices. A price file holds lines such "
    "as board,4.20 and currency,GBP; what has no price is listed all the same.",
    options=(
        KITS, BOATS,
        Option(flag="--share", does="boats share sheets: fewer boards, parts sorted after cutting"),
        Option(flag="--prices", value="FILE", does="prices, CSV or TOML"),
        Option(flag="--ballast-g", value="M", does="ballast on each boat; the kit's own unless given",
               read=quantity("mass", "g", low=0, high=5000)),
        Option(flag="--disc-g", value="M", does="mass of one washer; 5 unless given",
               read=quantity("mass", "g", low=0.1, high=1000), usual=0.005),
        SHEET, GRAIN, SECONDS, SEED, PAPER,
        Option(flag="--out", value="DIR", does="folder to write into; order unless given", usual="order"),
    ),
    example='order "Fold 62" --boats 12 --prices prices.csv',
    answer=answer,
)  # fmt: skip

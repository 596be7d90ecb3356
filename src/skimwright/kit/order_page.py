"""The order list as a page to hand to whoever buys."""

from __future__ import annotations

from skimwright.base.drawing import Drawing
from skimwright.base.sheet import MARGIN, SIZES, Paper, Sheet
from skimwright.kit.order import Order, OrderLine


def order_page(order: Order, *, title: str, foot: str = "", paper: Paper = "a4") -> Drawing:
    """Every line with need, spares and a box to tick; prices where they are known.

    Raises
    ------
    KeyError
        A paper that is not known.
    """
    sheet = Sheet(width=SIZES[paper][0], height=SIZES[paper][1])
    wide = sheet.width - 2 * MARGIN
    y = sheet.text(MARGIN, MARGIN, title, width=wide, size=7, bold=True) + 1
    y = sheet.text(MARGIN, y, f"For {order.boats} boats.", width=wide, size=4.4) + 4
    ends = {"need": 92.0, "spare": 108.0, "order": 136.0, "price": 156.0, "cost": wide}
    for head, x in ends.items():
        said = f"cost {order.currency}".strip() if head == "cost" else head
        sheet.word(MARGIN + x, y + 3, said, size=3.6, anchor="end")
    sheet.word(MARGIN + 7, y + 3, "what", size=3.6)
    y += 5
    sheet.line((MARGIN, y), (MARGIN + wide, y), width=0.4)
    for line in order.lines:
        y = _row(sheet, line, y + 1.5, wide, ends)
    missing = order.without_price
    if len(missing) < len(order.lines):
        sheet.word(MARGIN + ends["price"], y + 5, "together", size=4.2, anchor="end")
        sheet.word(MARGIN + wide, y + 5, f"{order.total:.2f}", size=4.2, bold=True, anchor="end")
        y += 8
        if missing:
            y = (
                sheet.text(
                    MARGIN, y, f"Without a price, and not counted: {', '.join(missing)}.", width=wide, size=4
                )
                + 1
            )
    y += 4
    for note in order.notes:
        y = sheet.text(MARGIN, y, note, width=wide, size=4) + 1.5
    sheet.word(MARGIN, sheet.height - MARGIN + 4, foot, size=3.2)
    return sheet.drawing(title, f"{len(order.lines)} things for {order.boats} boats.")


def _row(sheet: Sheet, line: OrderLine, y: float, wide: float, ends: dict[str, float]) -> float:
    sheet.box(MARGIN, y + 0.4, 4, 4)
    base = y + 4.1
    for head, text in (
        ("need", f"{line.need:g}"),
        ("spare", f"{line.spare:g}"),
        ("order", f"{line.order:g} {line.unit}"),
        (
            "price",
            "" if line.price is None else f"{line.price:.2f}" if line.price >= 0.1 else f"{line.price:g}",
        ),
        ("cost", "no price" if line.cost is None else f"{line.cost:.2f}"),
    ):
        sheet.word(MARGIN + ends[head], base, text, size=4.2, bold=head == "order", anchor="end")
    y = sheet.text(MARGIN + 7, y, line.item, width=70, size=4.2, bold=True)
    y = sheet.text(MARGIN + 7, y, line.why, width=wide - 7, size=3.4) + 1
    sheet.line((MARGIN, y), (MARGIN + wide, y), width=0.12)
    return y

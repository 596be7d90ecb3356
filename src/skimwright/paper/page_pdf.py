"""A `Page` of sentences, tables and drawings as a PDF to hand out: black first, as the HTML is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from skimwright.base.page import Block, Columns, Heading, Link, Notice, Page, Picture, Table, Text
from skimwright.paper.html import SAID
from skimwright.paper.pdf import compiled, drawn, quoted

SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # [mm]
MARGIN = 14.0
GAP = 7.0  # between columns [mm]
FRAME = {"ok": 0.4, "care": 0.8, "stop": 1.6, "": 0.4}  # a notice's border grows with its weight [mm]

SETTING = f"""
#set par(leading: 0.62em, spacing: 0.9em)
#set text(size: 10.5pt, fill: rgb("#1A1A1A"))
#set table(stroke: (x, y) => (bottom: if y == 0 {{ 0.6pt }} else {{ 0.3pt + rgb("#BDBDBD") }}), inset: (x: 0pt, y: 4pt))
#show table.cell.where(y: 0): set text(size: 9pt, weight: "bold")
#let over(t) = text(size: 9.5pt, t)
#let title(t) = block(below: 12pt, text(size: 22pt, weight: "bold", t))
#let head(t) = block(above: 16pt, below: 8pt, width: 100%, stroke: (top: 1.2pt), inset: (top: 5pt),
  text(size: 12.5pt, weight: "bold", t))
#let small(t) = text(size: 9pt, t)
#let said(w, word, t) = block(stroke: w, inset: 8pt, width: 100%, breakable: false,
  {{ if word != "" {{ strong(word + ". ") }}; t }})
#set page(margin: {MARGIN:g}mm)
"""


def page_pdf(
    pages: Sequence[Page], *, title: str, paper: Literal["a4", "letter"] = "a4", timestamp: int = 0
) -> bytes:
    """Each page on sheets of its own, as many as it needs; its foot and a number stand below.

    Parameters
    ----------
    pages : sequence of Page
        In order, at least one; all in the language of the first.
    title : str
        Of the document.
    paper : str
        "a4" or "letter".
    timestamp : int
        As for `pdf`.

    Raises
    ------
    ValueError
        No page was given.

    Examples
    --------
    >>> page_pdf([Page(title="Gravel", blocks=(Text(text="Runs well."),))], title="Gravel")[:5]
    b'%PDF-'
    """
    if not pages:
        raise ValueError("a document needs a page")
    width, height = SIZES[paper]
    sheet = f"#set page(width: {width:g}mm, height: {height:g}mm)\n"
    body = "\n#pagebreak(weak: true)\n".join(_page(page, width - 2 * MARGIN) for page in pages)
    return compiled(SETTING + sheet + body, title=title, timestamp=timestamp, language=pages[0].language)


def _page(page: Page, wide: float) -> str:
    foot = f'context text(size: 8.5pt, [#{quoted(page.foot)} #h(1fr) #counter(page).display("1 / 1", both: true)])'
    over = f"#over({quoted(page.over)})\n\n" if page.over else ""
    body = "\n\n".join(_block(block, wide) for block in page.blocks)
    return f"#set page(footer: {foot})\n{over}#title({quoted(page.title)})\n\n{body}\n"


def _block(block: Block, wide: float) -> str:
    match block:
        case Heading():
            return f"#head({quoted(block.text)})"
        case Text():
            return f"#small({quoted(block.text)})" if block.small else f"#{quoted(block.text)}"
        case Notice():
            frame, word = FRAME[block.state], SAID[block.state]
            return f"#said({frame:g}mm, {quoted(word)}, {quoted(block.text)})"
        case Table():
            return _table(block)
        case Picture():
            return _picture(block, wide)
        case Columns():
            each = (wide - GAP * (len(block.stacks) - 1)) / len(block.stacks)
            stacks = "".join(
                "[" + "\n\n".join(_block(b, each) for b in stack) + "]" for stack in block.stacks
            )
            return f"#grid(columns: (1fr,) * {len(block.stacks)}, column-gutter: {GAP:g}mm){stacks}"


def _table(table: Table) -> str:
    def cell(content: str | Link) -> str:
        return f"[#{quoted(content.text if isinstance(content, Link) else content)}]"

    count = len(table.head)
    sides = ", ".join("right" if column in table.numbers else "left" for column in range(count))
    head = ", ".join(cell(content) for content in table.head)
    rows = ", ".join(cell(content) for row in table.rows for content in row)
    caption = f"#small({quoted(table.caption)})\n\n" if table.caption else ""
    return (
        f"{caption}#table(columns: (auto,) * {count}, column-gutter: 5mm, align: ({sides},), "
        f"table.header({head}), {rows})"
    )


def _picture(picture: Picture, wide: float) -> str:
    drawing = picture.drawing
    share = min(1.0, wide / drawing.width) * 100
    box = f"box(width: {drawing.width:.4f}mm, height: {drawing.height:.4f}mm)[\n{drawn(drawing)}\n]"
    under = f"\n\n#small({quoted(picture.caption)})" if picture.caption else ""
    return f"#scale({share:.4f}%, origin: top + left, reflow: true, {box}){under}"

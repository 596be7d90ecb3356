"""A `Page` as one HTML file that needs nothing else: no script, nothing fetched, good on a phone and on paper."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from skimwright.base.page import (
    Block,
    Columns,
    Heading,
    Link,
    Notice,
    Page,
    Picture,
    Table,
    Text,
)
from skimwright.paper.svg import svg

STYLE = """
*{box-sizing:border-box}
html{background:#fff;color:#1A1A1A;font:18px/1.45 Helvetica,Arial,sans-serif}
body{max-width:68rem;margin:0 auto;padding:1.2rem 1.2rem 3rem}
.over{margin:0;font-size:.95rem}
h1{margin:.1rem 0 .8rem;font-size:2.3rem;line-height:1.1;letter-spacing:-.01em}
h2{margin:1.9rem 0 .5rem;padding-top:.45rem;border-top:2px solid #1A1A1A;font-size:1.15rem}
p{margin:.45rem 0;max-width:46rem}
.small{font-size:.83rem}
a{color:#0072B2}
table{border-collapse:collapse;margin:.5rem 0 .8rem;font-size:.94rem}
caption{text-align:left;padding:.2rem 0;font-size:.83rem}
th,td{text-align:left;vertical-align:top;padding:.28rem .9rem .28rem 0;border-bottom:1px solid #BDBDBD}
th{border-bottom:1.5px solid #1A1A1A;font-size:.83rem;line-height:1.2}
td.n,th.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.notice{display:flex;gap:.8rem;align-items:flex-start;margin:.8rem 0;padding:.7rem .9rem;border:2px solid #1A1A1A;
max-width:48rem;font-size:1.08rem}
.notice svg{flex:none;width:1.6rem;height:1.6rem;margin-top:.1rem}
.notice.stop{border-width:5px}
figure{margin:.7rem 0}
figure svg{display:block;width:100%;height:auto}
figcaption{font-size:.83rem;margin-top:.25rem;max-width:46rem}
.columns{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(20rem,100%),1fr));gap:0 2.4rem}
.scroll{overflow-x:auto;max-width:100%}
footer{margin-top:2.2rem;padding-top:.5rem;border-top:1px solid #1A1A1A;font-size:.83rem}
@media print{html{font-size:12px}body{padding:0;max-width:none}h2{break-after:avoid}
figure,table,.notice{break-inside:avoid}a{color:#1A1A1A;text-decoration:none}@page{size:A4;margin:14mm}}
"""

# Shape first: tick, triangle, bar.  The fill is only a help.
SIGNS = {
    "ok": '<svg viewBox="0 0 20 20" aria-hidden="true"><rect x="1" y="1" width="18" height="18" fill="#fff" '
    'stroke="#1A1A1A" stroke-width="2"/><path d="M4.5 10.5l4 4 7-9" fill="none" stroke="#0072B2" '
    'stroke-width="3"/></svg>',
    "care": '<svg viewBox="0 0 20 20" aria-hidden="true"><path d="M10 1.5L19 18.5H1z" fill="#E69F00" '
    'stroke="#1A1A1A" stroke-width="2" stroke-linejoin="round"/></svg>',
    "stop": '<svg viewBox="0 0 20 20" aria-hidden="true"><rect x="1" y="1" width="18" height="18" fill="#D55E00" '
    'stroke="#1A1A1A" stroke-width="2"/><path d="M4.5 10h11" stroke="#fff" stroke-width="4"/></svg>',
    "": "",
}
SAID = {"ok": "OK", "care": "Care", "stop": "STOP", "": ""}


def html(page: Page) -> str:
    """The page as a whole HTML file.

    Examples
    --------
    >>> "<h1>Gravel</h1>" in html(Page(title="Gravel", blocks=()))
    True
    """
    home = f'<p class="over"><a href="{escape(page.home)}">All boats</a></p>' if page.home else ""
    over = f'<p class="over">{escape(page.over)}</p>' if page.over else ""
    foot = f"<footer>{escape(page.foot)}</footer>" if page.foot else ""
    body = html_blocks(page.blocks)
    return (
        f'<!DOCTYPE html>\n<html lang="{page.language}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(page.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"{home}{over}\n<main>\n<h1>{escape(page.title)}</h1>\n{body}\n</main>\n{foot}\n</body>\n</html>\n"
    )


def html_blocks(blocks: Iterable[Block]) -> str:
    """The blocks of a page for a page that has its own head; they are styled by `STYLE`."""
    return "\n".join(_block(block) for block in blocks)


def _block(block: Block) -> str:
    match block:
        case Heading():
            return f"<h2>{escape(block.text)}</h2>"
        case Text():
            size = ' class="small"' if block.small else ""
            return f"<p{size}>{escape(block.text)}</p>"
        case Notice():
            said = f"<strong>{SAID[block.state]}.</strong> " if block.state else ""
            return f'<div class="notice {block.state}">{SIGNS[block.state]}<div>{said}{escape(block.text)}</div></div>'
        case Table():
            return _table(block)
        case Picture():
            under = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
            return f"<figure>{svg(block.drawing)}{under}</figure>"
        case Columns():
            stacks = "".join(f"<div>{''.join(_block(b) for b in stack)}</div>" for stack in block.stacks)
            return f'<div class="columns">{stacks}</div>'


def _table(table: Table) -> str:
    def cell(kind: str, column: int, content: str | Link) -> str:
        inside = (
            f'<a href="{escape(content.to)}">{escape(content.text)}</a>'
            if isinstance(content, Link)
            else escape(content)
        )
        flush = ' class="n"' if column in table.numbers else ""
        if kind == "th" and not inside:
            kind = "td"  # a heading that says nothing is none
        scope = ' scope="col"' if kind == "th" else ""
        return f"<{kind}{flush}{scope}>{inside}</{kind}>"

    caption = f"<caption>{escape(table.caption)}</caption>" if table.caption else ""
    head = "".join(cell("th", i, c) for i, c in enumerate(table.head))
    rows = "".join(f"<tr>{''.join(cell('td', i, c) for i, c in enumerate(row))}</tr>" for row in table.rows)
    named = escape(table.caption or ", ".join(head_cell for head_cell in table.head if head_cell))
    return (
        f'<div class="scroll" tabindex="0" role="group" aria-label="{named}"><table>{caption}<thead><tr>{head}</tr>'
        f"</thead><tbody>{rows}</tbody></table></div>"
    )

"""Drawings as PDF pages, true to size; the same drawings give the same bytes."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path as FilePath
from typing import Any

from skimwright.base.drawing import Dot, Drawing, Mark, Path, Words
from skimwright.paper.svg import INKS

FACE = "Andika"  # made for young readers; vendored under its own licence, see fonts/OFL.txt
FONTS = FilePath(__file__).parent / "fonts"
WIDE = 1000.0  # of the box that holds a line of words [mm]

HEAD = f"""
#set text(font: "{FACE}", fallback: false, hyphenate: false)
#let W(x, y, s, f, w, a, t, turn) = {{
  let shift = if a == left {{ 0mm }} else if a == right {{ {WIDE:g}mm }} else {{ {WIDE / 2:g}mm }}
  place(top + left, dx: x, dy: y, rotate(turn, origin: top + left,  // about the anchor, however wide the page
    move(dx: -shift, box(width: {WIDE:g}mm, align(a, par(leading: 0pt, spacing: 0pt,
      text(size: s, fill: f, weight: w, top-edge: "baseline", bottom-edge: "baseline", t)))))))
}}
#let M(..p) = curve.move(p.pos())
#let L(..p) = curve.line(p.pos())
"""


def pdf(drawings: Sequence[Drawing], *, title: str, timestamp: int = 0, language: str = "en") -> bytes:
    """One page a drawing, each page of its drawing's own size.

    Parameters
    ----------
    drawings : sequence of Drawing
        In page order, at least one.
    title : str
        Of the document.
    timestamp : int
        Seconds since 1970 to write into the file as its day; 0 writes none.  Nothing depends on the clock.
    language : str
        Two letters, for readers that speak.

    Returns
    -------
    bytes
        A PDF whose millimetres are the drawings' millimetres when it is printed at actual size.

    Raises
    ------
    ValueError
        No drawing was given.

    Examples
    --------
    >>> from skimwright.base.drawing import line
    >>> pdf([Drawing(width=100, height=50, marks=(line((0, 0), (10, 5)),), title="A line")], title="One")[:5]
    b'%PDF-'
    """
    if not drawings:
        raise ValueError("a document needs a page")
    source = "#set page(margin: 0pt)\n#set par(spacing: 0pt)\n" + "\n".join(
        _page(drawing) for drawing in drawings
    )
    return compiled(source, title=title, timestamp=timestamp, language=language)


def compiled(source: str, *, title: str, timestamp: int, language: str) -> bytes:
    """The PDF of a typesetter's text in which drawings and our own words stand."""
    import typst  # 80 MB of library, and most commands print nothing

    date = datetime.datetime.fromtimestamp(timestamp, datetime.UTC)
    day = f"datetime(year: {date.year}, month: {date.month}, day: {date.day})" if timestamp else "none"
    setting = f"#set document(title: {quoted(title)}, date: {day})\n#set text(lang: {quoted(language)})\n"
    compile_pages: Any = typst.compile  # its hints want the fonts as bytes because the text is
    made: bytes = compile_pages(
        (HEAD + setting + source).encode(),
        format="pdf",
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        timestamp=timestamp,
    )
    return made


def _page(drawing: Drawing) -> str:
    return f"#page(width: {drawing.width:.4f}mm, height: {drawing.height:.4f}mm)[\n{drawn(drawing)}\n]"


def drawn(drawing: Drawing) -> str:
    """Its marks, placed from the top left corner of whatever box they stand in."""
    marks = [piece for key, same in groupby(drawing.marks, key=_style) for piece in _run(list(same), key)]
    return "\n".join(marks)


def _style(mark: Mark) -> object:
    """Open lines of one style in a row are set as one curve: smaller and quicker."""
    if isinstance(mark, Path) and not mark.closed and not mark.fill and mark.opacity == 1.0:
        return mark.line, mark.width, mark.dashes
    return id(mark)


def _run(marks: list[Mark], style: object) -> list[str]:
    first = marks[0]
    if isinstance(style, tuple):
        assert isinstance(first, Path)
        steps = ", ".join(_steps(mark) for mark in marks if isinstance(mark, Path))
        return [f"#place(top + left, curve(stroke: {_stroke(first)}, {steps}))"]
    return [_mark(mark) for mark in marks]


def _mark(mark: Mark) -> str:
    if isinstance(mark, Words):
        x, y = mark.at
        side = {"start": "left", "middle": "center", "end": "right"}[mark.anchor]
        weight = '"bold"' if mark.bold else '"regular"'
        return (
            f"#W({x:.4f}mm, {y:.4f}mm, {mark.size:.4f}mm, {_ink(mark.ink)}, {weight}, {side}, "
            f"{quoted(mark.text)}, {mark.turn:.4f}deg)"
        )
    fill = _ink(mark.fill, mark.opacity if isinstance(mark, Path) else 1.0) if mark.fill else "none"
    if isinstance(mark, Dot):
        (x, y), r = mark.at, mark.radius
        return (
            f"#place(top + left, dx: {x - r:.4f}mm, dy: {y - r:.4f}mm, "
            f"circle(radius: {r:.4f}mm, fill: {fill}, stroke: {_stroke(mark)}))"
        )
    close = ', curve.close(mode: "straight")' if mark.closed else ""
    return f"#place(top + left, curve(stroke: {_stroke(mark)}, fill: {fill}, {_steps(mark)}{close}))"


def _steps(mark: Path) -> str:
    places = [f"{x:.4f}mm, {y:.4f}mm" for x, y in mark.points]
    return ", ".join([f"M({places[0]})", *(f"L({place})" for place in places[1:])])


def _stroke(mark: Path | Dot) -> str:
    if mark.line is None or mark.width == 0:
        return "none"
    opacity = mark.opacity if isinstance(mark, Path) else 1.0
    parts = [f"paint: {_ink(mark.line, opacity)}", f"thickness: {mark.width:.4f}mm", 'join: "round"']
    if isinstance(mark, Path) and mark.dashes:
        parts += [f"dash: ({', '.join(f'{d:.4f}mm' for d in mark.dashes)},)", 'cap: "butt"']
    elif isinstance(mark, Path) and mark.closed:
        parts.append('cap: "butt"')
    else:
        parts.append('cap: "round"')
    return f"({', '.join(parts)})"


def _ink(ink: str, opacity: float = 1.0) -> str:
    colour = f'rgb("{INKS[ink]}")'  # type: ignore[index]
    return colour if opacity == 1.0 else f"{colour}.transparentize({(1 - opacity) * 100:.0f}%)"


def quoted(text: str) -> str:
    """Any words as words, whatever signs are in them."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'

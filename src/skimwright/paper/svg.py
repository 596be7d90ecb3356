"""A `Drawing` as SVG, true to size: a millimetre on the drawing is a millimetre on paper."""

from __future__ import annotations

from html import escape

from skimwright.base.drawing import Dot, Drawing, Ink, Mark, Path, Words

# Fills go with a black edge and black words; the colours are the Okabe-Ito set, made for the colour-blind.
INKS: dict[Ink, str] = {
    "black": "#1A1A1A",
    "grey": "#6B6B6B",
    "pale": "#D9D9D9",
    "white": "#FFFFFF",
    "blue": "#0072B2",
    "vermilion": "#D55E00",
    "orange": "#E69F00",
    "sky": "#56B4E9",
}


def svg(drawing: Drawing) -> str:
    """The drawing as one SVG element.

    Returns
    -------
    str
        Width and height in mm, the same numbers in its view box; a title and a description for readers who
        cannot see it.

    Examples
    --------
    >>> from skimwright.base.drawing import line
    >>> svg(Drawing(width=10, height=5, marks=(line((0, 0), (10, 5)),), title="A line"))[:52]
    '<svg xmlns="http://www.w3.org/2000/svg" width="10mm"'
    """
    body = "".join(_mark(mark) for mark in drawing.marks)
    described = f"<desc>{escape(drawing.described)}</desc>" if drawing.described else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(drawing.width)}mm" height="{_n(drawing.height)}mm" '
        f'viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" role="img" '
        f'font-family="Helvetica, Arial, sans-serif">'
        f"<title>{escape(drawing.title)}</title>{described}{body}</svg>"
    )


def _mark(mark: Mark) -> str:
    if isinstance(mark, Words):
        return _words(mark)
    if isinstance(mark, Dot):
        x, y = mark.at
        return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(mark.radius)}" {_style(mark)}/>'
    places = " ".join(f"{_n(x)},{_n(y)}" for x, y in mark.points)
    kind = "polygon" if mark.closed else "polyline"
    return f'<{kind} points="{places}" {_style(mark)}/>'


def _style(mark: Path | Dot) -> str:
    parts = [f'fill="{INKS[mark.fill] if mark.fill else "none"}"']
    if mark.line:
        parts.append(f'stroke="{INKS[mark.line]}" stroke-width="{_n(mark.width)}" stroke-linejoin="round"')
    if isinstance(mark, Path):
        if mark.dashes:
            parts.append(f'stroke-dasharray="{" ".join(_n(d) for d in mark.dashes)}"')
        if mark.opacity < 1.0:
            parts.append(f'opacity="{_n(mark.opacity)}"')
    return " ".join(parts)


def _words(mark: Words) -> str:
    x, y = mark.at
    turn = f' transform="rotate({_n(mark.turn)} {_n(x)} {_n(y)})"' if mark.turn else ""
    bold = ' font-weight="bold"' if mark.bold else ""
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(mark.size)}" text-anchor="{mark.anchor}" '
        f'fill="{INKS[mark.ink]}"{bold}{turn}>{escape(mark.text)}</text>'
    )


def _n(value: float) -> str:
    """Up to four decimals, no trailing noughts, never minus nought."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text

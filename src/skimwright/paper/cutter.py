"""Files for laser and knife cutters: SVG and DXF, millimetres declared, one layer for each depth of cut."""

from __future__ import annotations

import io
import logging
from html import escape
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from skimwright.desk import CutLine, CutSheet, CutWord

Dxf = Literal["r2010", "r12"]
ORDER = ("MARK", "SCORE", "CUT")  # the pen first, right through last
COLOURS = {"CUT": ("#1A1A1A", 7), "SCORE": ("#0072B2", 5), "MARK": ("#D55E00", 1)}  # SVG, DXF colour number
HAIR = 0.1  # [mm]


def cutter_svg(sheet: CutSheet) -> str:
    """One sheet as SVG: y runs down from the sheet's upper edge, a group for each layer, in cutting order.

    Examples
    --------
    The first line of a file for an A1 sheet declares ``width="841mm" height="594mm"``.
    """
    groups = "\n".join(
        f'<g id="{layer}" fill="none" stroke="{COLOURS[layer][0]}" stroke-width="{HAIR}">\n{_svg_lines(sheet, layer)}'
        f"{_svg_words(sheet) if layer == 'MARK' else ''}</g>"
        for layer in ORDER
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{sheet.width:g}mm" height="{sheet.height:g}mm" '
        f'viewBox="0 0 {sheet.width:g} {sheet.height:g}">\n<title>{escape(sheet.name)}</title>\n'
        "<desc>1 unit = 1 mm. CUT goes right through, SCORE part of the way, MARK is a pen's line.</desc>\n"
        f"{groups}\n</svg>\n"
    )


def _svg_lines(sheet: CutSheet, layer: str) -> str:
    return "".join(
        f'<path d="{_svg_path(line, sheet.height)}"><title>{escape(line.what)}</title></path>\n'
        for line in sheet.lines
        if line.layer == layer
    )


def _svg_path(line: CutLine, height: float) -> str:
    places = [f"{x:.4f} {height - y:.4f}" for x, y in line.points]
    return f"M {' L '.join(places)}{' Z' if line.closed else ''}"


def _svg_words(sheet: CutSheet) -> str:
    return "".join(_svg_word(word, sheet.height) for word in sheet.words)


def _svg_word(word: CutWord, height: float) -> str:
    x, y = f"{word.at[0]:.3f}", f"{height - word.at[1]:.3f}"
    turn = f' transform="rotate({-word.turn:g} {x} {y})"' if word.turn else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{word.size:g}" font-family="sans-serif" stroke="none" '
        f'fill="{COLOURS["MARK"][0]}"{turn}>{escape(word.text)}</text>\n'
    )


def cutter_dxf(sheet: CutSheet, *, version: Dxf = "r2010") -> str:
    """One sheet as DXF: y runs up, origin at the sheet's lower left corner.

    Parameters
    ----------
    version : str
        ``"r2010"`` declares millimetres inside; ``"r12"`` is for old machines and cannot, so its file's name
        must say so.
    """
    logging.getLogger("ezdxf").setLevel(
        logging.ERROR
    )  # it warns that R12 has no units: the file's name says so
    import ezdxf  # 0.3 s of library, for the few who cut by machine
    from ezdxf import units

    document = ezdxf.new("R2010" if version == "r2010" else "R12")
    if version == "r2010":
        document.units = units.MM
        document.header["$MEASUREMENT"] = 1
    for layer in ORDER:
        document.layers.add(layer, color=COLOURS[layer][1])
    space = document.modelspace()
    for layer in ORDER:
        for line in sheet.lines:
            if line.layer != layer:
                continue
            if version == "r2010":
                space.add_lwpolyline(line.points, close=line.closed, dxfattribs={"layer": layer})
            else:
                space.add_polyline2d(line.points, close=line.closed, dxfattribs={"layer": layer})
    for word in sheet.words:
        style = {"layer": "MARK", "height": word.size * 0.7, "insert": word.at, "rotation": word.turn}
        space.add_text(word.text, dxfattribs=style)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()

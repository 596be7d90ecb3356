"""Paper and screens: drawings, pages and cut lines become SVG, PDF, HTML and cutter files.  Knows no boat."""

from skimwright.paper.cutter import cutter_dxf, cutter_svg
from skimwright.paper.html import SIGNS, STYLE, html, html_blocks
from skimwright.paper.page_pdf import page_pdf
from skimwright.paper.pdf import pdf
from skimwright.paper.svg import svg
from skimwright.paper.tiles import tiles

__all__ = [
    "SIGNS",
    "STYLE",
    "cutter_dxf",
    "cutter_svg",
    "html",
    "html_blocks",
    "page_pdf",
    "pdf",
    "svg",
    "tiles",
]

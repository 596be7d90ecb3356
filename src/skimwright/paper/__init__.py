"""Paper and screens: drawings, pages and cut lines become SVG, PDF, HTML and cutter files.  Knows no boat."""

from skimwright.paper.cutter import cutter_dxf, cutter_svg
from skimwright.paper.html import html
from skimwright.paper.page_pdf import page_pdf
from skimwright.paper.pdf import pdf
from skimwright.paper.svg import svg
from skimwright.paper.tiles import tiles

__all__ = ["cutter_dxf", "cutter_svg", "html", "page_pdf", "pdf", "svg", "tiles"]

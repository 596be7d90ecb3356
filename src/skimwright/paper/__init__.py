"""Paper and screens: plain drawings and pages become SVG and HTML.  Knows no boat."""

from skimwright.paper.html import html
from skimwright.paper.svg import svg

__all__ = ["html", "svg"]

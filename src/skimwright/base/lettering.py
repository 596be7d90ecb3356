"""How wide and high words are in the face all paper is printed in, so that lines can be broken without a printer."""

from __future__ import annotations

UNITS = 2048
# Advance widths of the printable ASCII characters from the space on, from the font files themselves.
REGULAR = (
    550, 764, 1025, 1200, 1200, 1526, 1222, 605, 795, 795, 1028, 1200, 650, 860, 640, 1000, 1200, 1200, 1200,
    1200, 1200, 1200, 1200, 1200, 1200, 1200, 640, 650, 1200, 1200, 1200, 1050, 1702, 1395, 1285, 1355, 1435,
    1160, 1150, 1420, 1475, 975, 965, 1310, 1080, 1795, 1500, 1460, 1195, 1475, 1305, 1175, 1265, 1440, 1365,
    2080, 1325, 1320, 1230, 790, 1000, 790, 850, 1274, 580, 1150, 1155, 1020, 1190, 1095, 750, 1125, 1175,
    565, 595, 1035, 565, 1685, 1185, 1140, 1170, 1130, 890, 965, 835, 1185, 1070, 1550, 1085, 1060, 1040,
    1000, 690, 1000, 1115,
)  # fmt: skip
BOLD = (
    550, 780, 1085, 1240, 1240, 1565, 1355, 625, 860, 860, 1040, 1200, 665, 895, 710, 1080, 1240, 1240, 1240,
    1240, 1240, 1240, 1240, 1240, 1240, 1240, 710, 710, 1200, 1200, 1200, 1090, 1742, 1485, 1385, 1385, 1485,
    1212, 1200, 1472, 1515, 1045, 1030, 1430, 1130, 1855, 1545, 1500, 1275, 1545, 1380, 1243, 1265, 1490,
    1465, 2135, 1365, 1364, 1250, 850, 1080, 850, 880, 1294, 640, 1256, 1215, 1022, 1265, 1110, 800, 1185,
    1235, 640, 670, 1138, 640, 1760, 1245, 1160, 1235, 1210, 995, 1035, 885, 1245, 1104, 1570, 1185, 1100,
    1060, 1040, 690, 1040, 1115,
)  # fmt: skip
HARD = "\u00a0"  # a space that never breaks a line
OTHER = 1300  # any other letter, on the safe side
FIGURE = 1460 / UNITS  # height of the lowest figure, 7, in parts of the size


def text_width(text: str, *, size: float, bold: bool = False) -> float:
    """Width of a line of text set at a size, in that size's unit."""
    table = BOLD if bold else REGULAR
    units = sum(table[ord(c) - 32] if 32 <= ord(c) < 127 else OTHER for c in text.replace(HARD, " "))
    return units / UNITS * size


def wrapped(text: str, *, width: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than a width; a single longer word stands alone."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size=size, bold=bold) > width:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines

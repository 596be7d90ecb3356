"""From a boat to things to cut, pack and buy: nesting, templates, cutting, bags, orders."""

from skimwright.kit import guide
from skimwright.kit.bags import Bag, WeighedSheets, bag, check_bag, weigh_sheets, with_board
from skimwright.kit.bags_page import BagFor, bag_page
from skimwright.kit.cutting import CutLine, CutSheet, CutWord, cut_sheet, hand_order, split_for_bed
from skimwright.kit.cutting_page import cutting_pages
from skimwright.kit.hidden_line import Body, Scene, View, part_body
from skimwright.kit.least_sheets import LeastSheets, least_sheets
from skimwright.kit.nest_search import NestProgress
from skimwright.kit.nesting import nest_parts
from skimwright.kit.order import Order, Prices, class_order
from skimwright.kit.order_page import order_page
from skimwright.kit.parts_on_board import (
    BoardSheet,
    Nest,
    NestItem,
    PackerFailed,
    Placement,
    Strip,
    StripJob,
    StripPacker,
)
from skimwright.kit.sheets import verify_nest
from skimwright.kit.shelves import ShelfPacker
from skimwright.kit.solids import part_triangles
from skimwright.kit.templates import (
    Blank,
    Laid,
    blank,
    blanks,
    find_part,
    laid_on,
    nest_items,
    part_codes,
    sheets_along_grain,
    single_part_nest,
)
from skimwright.kit.templates_drawing import Template, sheet_template

__all__ = [
    "Bag",
    "BagFor",
    "Blank",
    "BoardSheet",
    "Body",
    "CutLine",
    "CutSheet",
    "CutWord",
    "Laid",
    "LeastSheets",
    "Nest",
    "NestItem",
    "NestProgress",
    "Order",
    "PackerFailed",
    "Placement",
    "Prices",
    "Scene",
    "ShelfPacker",
    "Strip",
    "StripJob",
    "StripPacker",
    "Template",
    "View",
    "WeighedSheets",
    "bag",
    "bag_page",
    "blank",
    "blanks",
    "check_bag",
    "class_order",
    "cut_sheet",
    "cutting_pages",
    "find_part",
    "guide",
    "hand_order",
    "laid_on",
    "least_sheets",
    "nest_items",
    "nest_parts",
    "order_page",
    "part_body",
    "part_codes",
    "part_triangles",
    "sheet_template",
    "sheets_along_grain",
    "single_part_nest",
    "split_for_bed",
    "verify_nest",
    "weigh_sheets",
    "with_board",
]

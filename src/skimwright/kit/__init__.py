"""From a boat to things to cut: nesting parts on sheets of board."""

from skimwright.kit.least_sheets import LeastSheets, least_sheets
from skimwright.kit.nest_search import NestProgress
from skimwright.kit.nesting import nest_parts
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

__all__ = [
    "BoardSheet",
    "LeastSheets",
    "Nest",
    "NestItem",
    "NestProgress",
    "PackerFailed",
    "Placement",
    "ShelfPacker",
    "Strip",
    "StripJob",
    "StripPacker",
    "least_sheets",
    "nest_parts",
    "verify_nest",
]

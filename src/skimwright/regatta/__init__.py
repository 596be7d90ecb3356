"""Race day without a clock or a file: lots, heats, results as a log, points.  Boats by number only."""

from skimwright.regatta.bounds import heat_sizes, least_repeats
from skimwright.regatta.chance import Chance
from skimwright.regatta.counts import Counts, count
from skimwright.regatta.day import Day, HeatState, order_in_words, replay
from skimwright.regatta.designs import Design, design_for
from skimwright.regatta.draw import Change, Draw, Heat, Redraw, draw_lots, redraw
from skimwright.regatta.events import CODES, KINDS, Event, Kind, Outcome, read_outcome
from skimwright.regatta.points import LOW_POINT, POWERBOAT, TABLES, TIE_BREAKS, PointsTable
from skimwright.regatta.standings import Score, Standing, Standings, drop_worst, rank, standings

__all__ = [
    "CODES",
    "KINDS",
    "LOW_POINT",
    "POWERBOAT",
    "TABLES",
    "TIE_BREAKS",
    "Chance",
    "Change",
    "Counts",
    "Day",
    "Design",
    "Draw",
    "Event",
    "Heat",
    "HeatState",
    "Kind",
    "Outcome",
    "PointsTable",
    "Redraw",
    "Score",
    "Standing",
    "Standings",
    "count",
    "design_for",
    "draw_lots",
    "drop_worst",
    "heat_sizes",
    "least_repeats",
    "order_in_words",
    "rank",
    "read_outcome",
    "redraw",
    "replay",
    "standings",
]

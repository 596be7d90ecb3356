"""Race day without a clock or a file: lots, heats, results as a log, points.  Boats by number only."""

from skimwright.regatta.bounds import least_repeats
from skimwright.regatta.counts import Counts
from skimwright.regatta.day import Day, HeatState, replay
from skimwright.regatta.draw import Change, Draw, Heat, Redraw, draw_lots, redraw
from skimwright.regatta.events import CODES, KINDS, Event, Kind, Outcome, read_outcome
from skimwright.regatta.points import LOW_POINT, POWERBOAT, TABLES, TIE_BREAKS, PointsTable
from skimwright.regatta.standings import Score, Standing, Standings, standings
from skimwright.regatta.timetable import (
    DayPlan,
    PlannedHeat,
    Session,
    Slot,
    Timetable,
    check_plan,
    clock,
    timetable,
)

__all__ = [
    "CODES",
    "KINDS",
    "LOW_POINT",
    "POWERBOAT",
    "TABLES",
    "TIE_BREAKS",
    "Change",
    "Counts",
    "Day",
    "DayPlan",
    "Draw",
    "Event",
    "Heat",
    "HeatState",
    "Kind",
    "Outcome",
    "PlannedHeat",
    "PointsTable",
    "Redraw",
    "Score",
    "Session",
    "Slot",
    "Standing",
    "Standings",
    "Timetable",
    "check_plan",
    "clock",
    "draw_lots",
    "least_repeats",
    "read_outcome",
    "redraw",
    "replay",
    "standings",
    "timetable",
]

"""Race day without a clock or a file: lots, heats, results as a log, points.  Boats by number only."""

from skimwright.regatta.bounds import least_repeats
from skimwright.regatta.counts import Counts
from skimwright.regatta.day import Day, HeatState, replay
from skimwright.regatta.draw import Change, Draw, Heat, Redraw, draw_lots, redraw
from skimwright.regatta.events import (
    CHOICES,
    CODES,
    KINDS,
    NEEDS_BOAT,
    NEEDS_HEAT,
    TRIES,
    Event,
    Kind,
    Outcome,
    once,
    read_outcome,
)
from skimwright.regatta.expected import Expected, expected
from skimwright.regatta.following import Followed, HeatSoFar, LotsChange, follow
from skimwright.regatta.handicap import Allowance, Handicap, chances_to_be_first, lay_out_handicap
from skimwright.regatta.how_sure import OrderSure, Sure, how_sure
from skimwright.regatta.pace import Pace, Trials, paces, trials_of
from skimwright.regatta.pit import Fitness, fitness
from skimwright.regatta.points import LOW_POINT, POWERBOAT, TABLES, TIE_BREAKS, PointsTable
from skimwright.regatta.queue import Queue, Waiting, qualifying
from skimwright.regatta.rehearsal import (
    Guesses,
    Job,
    Rehearsal,
    Stretch,
    WhatIf,
    rehearse,
    stretches,
)
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
    "CHOICES",
    "CODES",
    "KINDS",
    "LOW_POINT",
    "NEEDS_BOAT",
    "NEEDS_HEAT",
    "POWERBOAT",
    "TABLES",
    "TIE_BREAKS",
    "TRIES",
    "Allowance",
    "Change",
    "Counts",
    "Day",
    "DayPlan",
    "Draw",
    "Event",
    "Expected",
    "Fitness",
    "Followed",
    "Guesses",
    "Handicap",
    "Heat",
    "HeatSoFar",
    "HeatState",
    "Job",
    "Kind",
    "LotsChange",
    "OrderSure",
    "Outcome",
    "Pace",
    "PlannedHeat",
    "PointsTable",
    "Queue",
    "Redraw",
    "Rehearsal",
    "Score",
    "Session",
    "Slot",
    "Standing",
    "Standings",
    "Stretch",
    "Sure",
    "Timetable",
    "Trials",
    "Waiting",
    "WhatIf",
    "chances_to_be_first",
    "check_plan",
    "clock",
    "draw_lots",
    "expected",
    "fitness",
    "follow",
    "how_sure",
    "lay_out_handicap",
    "least_repeats",
    "once",
    "paces",
    "qualifying",
    "read_outcome",
    "redraw",
    "rehearse",
    "replay",
    "standings",
    "stretches",
    "timetable",
    "trials_of",
]

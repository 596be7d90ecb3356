"""The course: every entered boat's forecast runs laid over the pond, and how near people may stand.

Below the desk, above the run model: it asks for runs, and knows shapes and chances, but no file and no season.
"""

from skimwright.course.area import (
    ABEAM,
    AHEAD,
    BEHIND,
    ENOUGH_LOGGED,
    Area,
    KeepClear,
    keep_clear,
    people_posts,
)
from skimwright.course.compare import Heading, compare_headings
from skimwright.course.paths import BATCH, STEP, Fleet, Runner, fleet_paths, model_headings
from skimwright.course.reach import LoggedRun, Reach, Tail, reach_of, runs_for_share, stated_reach, tail_of
from skimwright.course.touch import HEATS, touching

__all__ = [
    "ABEAM",
    "AHEAD",
    "BATCH",
    "BEHIND",
    "ENOUGH_LOGGED",
    "HEATS",
    "STEP",
    "Area",
    "Fleet",
    "Heading",
    "KeepClear",
    "LoggedRun",
    "Reach",
    "Runner",
    "Tail",
    "compare_headings",
    "fleet_paths",
    "keep_clear",
    "model_headings",
    "people_posts",
    "reach_of",
    "runs_for_share",
    "stated_reach",
    "tail_of",
    "touching",
]

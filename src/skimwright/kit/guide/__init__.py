"""The build guide of a kit: steps as data, in words, and as printed pages.

Steps: `build_guide`.  Words: `GuideWords`, `step_words`, `reading_level`.  Pages: `guide_pages`, `reprint_page`.
"""

from skimwright.base.sheet import Paper
from skimwright.kit.guide.cards import InspectionRow, inspection_rows, parts_named, reprint_page
from skimwright.kit.guide.frame import lift_of
from skimwright.kit.guide.marks import PartMarks, part_marks
from skimwright.kit.guide.pages import Setting, guide_pages, jobs_line
from skimwright.kit.guide.picture import StepPicture, joints_shown, other_side, step_picture
from skimwright.kit.guide.reading import flesch_kincaid, reading_grade
from skimwright.kit.guide.steps import GRADE, AgeGroup, Guide, GuideStep, adult_glues, build_guide
from skimwright.kit.guide.wording import GuideWords, StepWords, reading_level, step_words

__all__ = [
    "GRADE",
    "AgeGroup",
    "Guide",
    "GuideStep",
    "GuideWords",
    "InspectionRow",
    "Paper",
    "PartMarks",
    "Setting",
    "StepPicture",
    "StepWords",
    "adult_glues",
    "build_guide",
    "flesch_kincaid",
    "guide_pages",
    "inspection_rows",
    "jobs_line",
    "joints_shown",
    "lift_of",
    "other_side",
    "part_marks",
    "parts_named",
    "reading_grade",
    "reading_level",
    "reprint_page",
    "step_picture",
    "step_words",
]

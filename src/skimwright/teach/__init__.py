"""Lessons true for one crew's boat: worksheets from its own measurements, with keys worked out twice.

`facts_of` what is known of a boat, `make_worksheet` the sheet of an age band, `sheet_pages` and `key_pages` on paper.
`explain` unfolds one figure of a forecast into its working; `experiment_card` and `plan_fair_test` say how to find out.
`teacher_note`, `training_day` and `lesson_wall` are for the adults.
Every sentence stands in `words/`, one file a language.
"""

from skimwright.teach.experiment_page import card_pages, plan_pages
from skimwright.teach.experiments import (
    EXPERIMENTS,
    Experiment,
    ExperimentCard,
    Reading,
    experiment_card,
    experiment_named,
)
from skimwright.teach.explain import Explained, Worked, explain, figure_named
from skimwright.teach.explain_page import explain_pages
from skimwright.teach.explain_sums import FIGURES
from skimwright.teach.facts import BANDS, Band, Facts, LoggedRun, band_for_age, band_named, facts_of
from skimwright.teach.fair import FairTest, MeasuredChange, Ruler, Use, plan_fair_test
from skimwright.teach.layout import Paper
from skimwright.teach.notes import NOTES, Note, WrongIdea, all_notes, note_named, note_pages, teacher_note
from skimwright.teach.numbers import Number, Value, number
from skimwright.teach.pages import key_pages, sheet_pages
from skimwright.teach.told import Told
from skimwright.teach.training import FAULTS, Fault, TrainingBoat, TrainingDay, training_day, training_pages
from skimwright.teach.wall import (
    SAID,
    StepMark,
    Turn,
    Wall,
    WallRow,
    WallStep,
    lesson_wall,
    rota_page,
    wall_page,
    wall_steps,
)
from skimwright.teach.worksheet import (
    Question,
    Topic,
    Words,
    Worksheet,
    gaps_between,
    make_worksheet,
    words_of,
)

__all__ = [
    "BANDS",
    "EXPERIMENTS",
    "FAULTS",
    "FIGURES",
    "NOTES",
    "SAID",
    "Band",
    "Experiment",
    "ExperimentCard",
    "Explained",
    "Facts",
    "FairTest",
    "Fault",
    "LoggedRun",
    "MeasuredChange",
    "Note",
    "Number",
    "Paper",
    "Question",
    "Reading",
    "Ruler",
    "StepMark",
    "Told",
    "Topic",
    "TrainingBoat",
    "TrainingDay",
    "Turn",
    "Use",
    "Value",
    "Wall",
    "WallRow",
    "WallStep",
    "Words",
    "Worked",
    "Worksheet",
    "WrongIdea",
    "all_notes",
    "band_for_age",
    "band_named",
    "card_pages",
    "experiment_card",
    "experiment_named",
    "explain",
    "explain_pages",
    "facts_of",
    "figure_named",
    "gaps_between",
    "key_pages",
    "lesson_wall",
    "make_worksheet",
    "note_named",
    "note_pages",
    "number",
    "plan_fair_test",
    "plan_pages",
    "rota_page",
    "sheet_pages",
    "teacher_note",
    "training_day",
    "training_pages",
    "wall_page",
    "wall_steps",
    "words_of",
]

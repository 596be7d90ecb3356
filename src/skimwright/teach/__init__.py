"""Lessons true for one crew's boat: worksheets from its own measurements, with keys worked out twice.

`facts_of` what is known of a boat, `make_worksheet` the sheet of an age band, `sheet_pages` and `key_pages` on paper.
`explain` unfolds one figure of a forecast into its working.
Every sentence stands in `words/`, one file a language.
"""

from skimwright.teach.explain import Explained, Worked, explain, figure_named
from skimwright.teach.explain_page import explain_pages
from skimwright.teach.explain_sums import FIGURES
from skimwright.teach.facts import BANDS, Band, Facts, LoggedRun, band_for_age, band_named, facts_of
from skimwright.teach.layout import Paper
from skimwright.teach.pages import key_pages, sheet_pages
from skimwright.teach.told import Told
from skimwright.teach.worksheet import Question, Topic, Words, Worksheet, make_worksheet, words_of

__all__ = [
    "BANDS",
    "FIGURES",
    "Band",
    "Explained",
    "Facts",
    "LoggedRun",
    "Paper",
    "Question",
    "Told",
    "Topic",
    "Words",
    "Worked",
    "Worksheet",
    "band_for_age",
    "band_named",
    "explain",
    "explain_pages",
    "facts_of",
    "figure_named",
    "key_pages",
    "make_worksheet",
    "sheet_pages",
    "words_of",
]

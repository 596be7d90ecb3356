"""Lessons true for one crew's boat: worksheets from its own measurements, with keys worked out twice.

`facts_of` what is known of a boat, `make_worksheet` the sheet of an age band, `sheet_pages` and `key_pages` on paper.
Every sentence stands in `words/`, one file a language.
"""

from skimwright.teach.facts import BANDS, Band, Facts, LoggedRun, band_for_age, band_named, facts_of
from skimwright.teach.layout import Paper
from skimwright.teach.pages import key_pages, sheet_pages
from skimwright.teach.worksheet import Question, Topic, Worksheet, make_worksheet, words_of

__all__ = [
    "BANDS",
    "Band",
    "Facts",
    "LoggedRun",
    "Paper",
    "Question",
    "Topic",
    "Worksheet",
    "band_for_age",
    "band_named",
    "facts_of",
    "key_pages",
    "make_worksheet",
    "sheet_pages",
    "words_of",
]

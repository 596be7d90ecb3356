"""The command line: `run` takes the words typed and answers with an exit status."""

from skimwright.cli.frame import run
from skimwright.cli.nesting_options import size_mm
from skimwright.cli.parse import parse
from skimwright.cli.progress import Progress
from skimwright.cli.verb import Answer, Ask, Files, Option, Verb, whole
from skimwright.cli.verbs import all_verbs, shelved_verbs

__all__ = [
    "Answer",
    "Ask",
    "Files",
    "Option",
    "Progress",
    "Verb",
    "all_verbs",
    "parse",
    "run",
    "shelved_verbs",
    "size_mm",
    "whole",
]

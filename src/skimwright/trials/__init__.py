"""The trials book: runs logged and never lost, and what they teach of one boat."""

from skimwright.trials.asked import Usual, doubts, usual
from skimwright.trials.book import (
    ENDINGS,
    NONE,
    SEVERAL,
    SKIP,
    Book,
    Credit,
    Event,
    Kind,
    Result,
    Run,
    credits,
    merge,
    since_change,
    write_down,
)
from skimwright.trials.demonstration import SEED as DEMO_SEED
from skimwright.trials.demonstration import Invented, invent_runs
from skimwright.trials.faults import Suspect, Verdict, explain
from skimwright.trials.law import Law, Study, fit_law, study
from skimwright.trials.learn import (
    Fleet,
    Learned,
    Trial,
    carry,
    learn,
    no_fleet,
    pool,
    taught_forecast,
    trial_wind,
)
from skimwright.trials.sure import MINUTES_A_RUN, chance_in_tries, gate_chance, runs_to_tell, worth_of_runs

__all__ = [
    "DEMO_SEED",
    "ENDINGS",
    "MINUTES_A_RUN",
    "NONE",
    "SEVERAL",
    "SKIP",
    "Book",
    "Credit",
    "Event",
    "Fleet",
    "Invented",
    "Kind",
    "Law",
    "Learned",
    "Result",
    "Run",
    "Study",
    "Suspect",
    "Trial",
    "Usual",
    "Verdict",
    "carry",
    "chance_in_tries",
    "credits",
    "doubts",
    "explain",
    "fit_law",
    "gate_chance",
    "invent_runs",
    "learn",
    "merge",
    "no_fleet",
    "pool",
    "runs_to_tell",
    "since_change",
    "study",
    "taught_forecast",
    "trial_wind",
    "usual",
    "worth_of_runs",
    "write_down",
]

"""The run: six degrees of freedom from launch to the end, a thousand times, summed up as ranges.

`forecast(Question(...))` answers for one boat.  `ensemble` gives the runs before they are run, for those who
want to look inside or check the stepping against another method.  `Trials(question)` makes the same runs again with
one `Move` made; `mass_slope` says whether this boat wants to be lighter or heavier.
"""

from skimwright.run.effects import Effect, effects
from skimwright.run.forecast import (
    ENDINGS,
    RUNS,
    SEED,
    STEPS,
    Ensemble,
    Forecast,
    Question,
    Range,
    Term,
    aimed_chance,
    ensemble,
    forecast,
)
from skimwright.run.forgiving import Drawing as KitNumbers
from skimwright.run.forgiving import Forgiven, forgive
from skimwright.run.limits import BlowOver, Straightness
from skimwright.run.moves import (
    LEFT_ALONE,
    MassSlope,
    Move,
    Outcome,
    Slope,
    Trials,
    difference,
    mass_slope,
    moved,
)
from skimwright.run.spread import BUILD_WORDS, WIND_LOW, ripple_height
from skimwright.run.stepping import HISTORY_ROWS

__all__ = [
    "BUILD_WORDS",
    "ENDINGS",
    "HISTORY_ROWS",
    "LEFT_ALONE",
    "RUNS",
    "SEED",
    "STEPS",
    "WIND_LOW",
    "BlowOver",
    "Effect",
    "Ensemble",
    "Forecast",
    "Forgiven",
    "KitNumbers",
    "MassSlope",
    "Move",
    "Outcome",
    "Question",
    "Range",
    "Slope",
    "Straightness",
    "Term",
    "Trials",
    "aimed_chance",
    "difference",
    "effects",
    "ensemble",
    "forecast",
    "forgive",
    "mass_slope",
    "moved",
    "ripple_height",
]

"""The run: six degrees of freedom from launch to the end, a thousand times, summed up as ranges.

`forecast(Question(...))` answers for one boat.  `ensemble` gives the runs before they are run, for those who
want to look inside or check the stepping against another method.
"""

from skimwright.run.effects import Effect, effects
from skimwright.run.forecast import (
    ENDINGS,
    RUNS,
    SEED,
    Ensemble,
    Forecast,
    Question,
    Range,
    Term,
    ensemble,
    forecast,
)
from skimwright.run.limits import BlowOver, Straightness
from skimwright.run.spread import ripple_height

__all__ = [
    "ENDINGS",
    "RUNS",
    "SEED",
    "BlowOver",
    "Effect",
    "Ensemble",
    "Forecast",
    "Question",
    "Range",
    "Straightness",
    "Term",
    "effects",
    "ensemble",
    "forecast",
    "ripple_height",
]

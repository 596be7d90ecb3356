"""How many runs to be sure, the chance to pass, and what one more run is worth."""

from __future__ import annotations

import math

from scipy.special import ndtri

from skimwright.base import InputError

MINUTES_A_RUN = 4.0  # from the queue to the ramp again, as in the plan of the demonstration day [choice]


def _normal_below(z: float) -> float:
    return 0.5 * (1.0 + math.erf(z / math.sqrt(2.0)))


def runs_to_tell(*, difference: float, run_sd: float, power: float = 0.8, level: float = 0.05) -> float:
    """Runs each way until a difference is told from chance, four times in five.

    Parameters
    ----------
    difference : float, not 0
        What the change is thought to do, in the unit of ``run_sd``.
    run_sd : float, > 0
        One standard deviation from run to run.
    power : float
        Chance of telling it when it is there. [-]
    level : float
        Chance of telling it when it is not. [-]

    Returns
    -------
    float
        Runs each way; round to a whole number. [-]

    Raises
    ------
    InputError
        No difference, or no spread.

    Source
        Two means of equal spread: n = 2 (z_level/2 + z_power)^2 (sd / difference)^2 (derived).
    Checked
        tests/published/statistics.csv: runs_glue, runs_clock.

    Examples
    --------
    >>> round(runs_to_tell(difference=1.8, run_sd=5.0)), round(runs_to_tell(difference=0.26, run_sd=0.27))
    (121, 17)
    """
    if difference == 0.0 or not run_sd > 0.0:
        raise InputError(
            what="Nothing to tell apart",
            got=f"difference {difference:g}, spread {run_sd:g}",
            allowed="a difference that is not 0 and a spread above 0",
            do="Say how large a change would matter to you.",
        )
    steps = float(ndtri(1.0 - 0.5 * level) + ndtri(power))
    return 2.0 * (steps * run_sd / difference) ** 2


def gate_chance(*, bias: float, sd: float, half_width: float) -> float:
    """Chance that one run passes between the posts, when drift is normal. [-]

    Parameters
    ----------
    bias, sd, half_width : float
        Mean drift, its standard deviation (above nought) and half the gate, all in one unit (m or rad).

    Raises
    ------
    InputError
        The spread is not above nought.

    Source
        Area under the normal curve (derived).
    Checked
        tests/published/statistics.csv: gate_2, gate_3, gate_4, gate_6.
    """
    if not sd > 0.0:
        raise InputError(
            what="A drift without spread", got=f"{sd:g}", allowed="more than 0", do="Give its spread."
        )
    return _normal_below((half_width - bias) / sd) - _normal_below((-half_width - bias) / sd)


def chance_in_tries(*, one: float, tries: int) -> float:
    """Chance to pass at least once, if tries do not depend on each other. [-]

    Examples
    --------
    >>> round(chance_in_tries(one=0.882, tries=3), 3)
    0.998
    """
    return 1.0 - (1.0 - one) ** tries


def shrink(*, own_mean: float, own_sd: float, fleet_mean: float, fleet_sd: float) -> tuple[float, float]:
    """A boat's own mean drawn toward the fleet's, the less the surer it is of itself.

    Parameters
    ----------
    own_mean, own_sd : float
        Mean of the boat's own runs and the standard deviation of that mean.
    fleet_mean, fleet_sd : float
        Mean of all boats and the standard deviation between boats.

    Returns
    -------
    mean, sd : float
        What is believed of this boat now.

    Raises
    ------
    InputError
        A spread is not above nought.

    Source
        Two normal pieces of knowledge joined by their weights (derived).
    Checked
        tests/published/statistics.csv: shrunk_3, shrunk_1.

    Examples
    --------
    >>> round(shrink(own_mean=0, own_sd=3 / 3**0.5, fleet_mean=0, fleet_sd=2.5)[1], 2)
    1.42
    """
    if not (own_sd > 0.0 and fleet_sd > 0.0):
        raise InputError(
            what="A mean without spread",
            got=f"{own_sd:g} and {fleet_sd:g}",
            allowed="both above 0",
            do="Give both spreads.",
        )
    own, fleet = own_sd**-2, fleet_sd**-2
    return (own * own_mean + fleet * fleet_mean) / (own + fleet), (own + fleet) ** -0.5


def worth_of_runs(*, bias_sd: float, run_sd: float, half_width: float, more: int = 1) -> float:
    """Gain in the chance of passing the gate when the aim is corrected after ``more`` further runs. [-]

    Now the bias can be taken out only as well as it is known; each run makes it better known.

    Parameters
    ----------
    bias_sd, run_sd, half_width : float
        How far the bias may be off, the spread from run to run, half the gate: one unit for all.
    more : int
        Runs.

    Returns
    -------
    float, >= 0
        Share of tries. [-]

    Source
        What is expected of a corrected aim before and after the runs (derived).
    Checked
        tests/unit/trials/test_sure.py: against seasons drawn at random.
    """
    after = (bias_sd**-2 + more * run_sd**-2) ** -0.5
    now = gate_chance(bias=0.0, sd=math.hypot(bias_sd, run_sd), half_width=half_width)
    return gate_chance(bias=0.0, sd=math.hypot(after, run_sd), half_width=half_width) - now

"""From floating to planing: how far along a surface is, and what the hump costs.

Whether a weak device gets over the hump is decided here, on a guess: always show it as a range.
One page of words: docs/physics/hump.md.
"""

from __future__ import annotations

from math import degrees, pi, sqrt, tan
from typing import Literal

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_not_negative, require_positive

FLOATING_LENGTH_FROUDE, PLANING_LENGTH_FROUDE = 0.4, 1.0
FLOATING_BEAM_FROUDE, PLANING_BEAM_FROUDE = 0.5, 1.5
FLOATING_VOLUME_FROUDE, PLANING_VOLUME_FROUDE = 1.0, 3.0
STRENGTH, WEAKEST, STRONGEST = 0.25, 0.1, 0.3  # of the wave drag; nobody has measured it on such boats [-]
HALF_GROWN = 0.45  # length Froude number at which the wave drag has grown to half [-]

Regime = Literal["floating", "hump", "planing"]


def _smoothstep(*, value: float, low: float, high: float) -> float:
    """From 0 at ``low`` to 1 at ``high``, level at both ends.

    Examples
    --------
    >>> _smoothstep(value=0.5, low=0.0, high=1.0)
    0.5
    """
    share = min(1.0, max(0.0, (value - low) / (high - low)))
    return share * share * (3.0 - 2.0 * share)


def regime(*, length_froude: float, beam_froude: float, volume_froude: float) -> Regime:
    """What the boat is doing, by the majority of three rules of thumb.

    Parameters
    ----------
    length_froude, beam_froude, volume_froude : float, >= 0
        Froude numbers on hull length, on beam, and on the cube root of the displaced volume. [-]

    Returns
    -------
    "floating", "hump" or "planing"

    Raises
    ------
    InputError
        A Froude number is below zero.

    Holds
        Boats of all sizes; made for hard-chine hulls.
    Trust
        A guide only.
    Source
        [Radojcic2014, introduction; seen]: planing forms win above 0.4, 0.5, 1; full planing at 1, 1.5, 3 to 3.5.
    Checked
        tests/unit/physics/test_hump.py, at the printed limits (rad14_FnL_lo … rad14_FnV_hi).

    Examples
    --------
    >>> regime(length_froude=0.7, beam_froude=1.0, volume_froude=2.0)
    'hump'
    """
    require_not_negative(length_froude=length_froude, beam_froude=beam_froude, volume_froude=volume_froude)
    numbers = (length_froude, beam_froude, volume_froude)
    over = zip(numbers, (PLANING_LENGTH_FROUDE, PLANING_BEAM_FROUDE, PLANING_VOLUME_FROUDE), strict=True)
    under = zip(numbers, (FLOATING_LENGTH_FROUDE, FLOATING_BEAM_FROUDE, FLOATING_VOLUME_FROUDE), strict=True)
    if sum(number >= limit for number, limit in over) >= 2:
        return "planing"
    return "floating" if sum(number < limit for number, limit in under) >= 2 else "hump"


def inception_froude(*, trim: float) -> float:
    """Froude number on the wetted length at which a surface planes cleanly.

    Parameters
    ----------
    trim : float, > 0
        Trim of the surface, bow up. [rad]

    Returns
    -------
    float, 1 to 2
        The Froude number from which drag over load stays level. [-]

    Raises
    ------
    InputError
        The trim is not above zero.

    Holds
        2 deg and up.  Two readings, 2 at 2 deg and 1 from 4 deg, joined by a straight line (a choice).
    Trust
        +-0.2.
    Source
        [Savitsky1964, Fig. 15 and text; seen].
    Checked
        tests/published/water.csv: sav_inception_4, sav_inception_2.

    Examples
    --------
    >>> from math import radians
    >>> round(inception_froude(trim=radians(3)), 2)
    1.5
    """
    require_positive(trim=trim)
    return min(2.0, max(1.0, 3.0 - 0.5 * degrees(trim)))


def wave_froude(*, wave_ratio: float) -> float:
    """Froude number at which the boat's own wave is so many boats long.

    Parameters
    ----------
    wave_ratio : float, > 0
        Wave length over hull length; 1 is "hull speed". [-]

    Returns
    -------
    float
        Froude number on the hull length. [-]

    Raises
    ------
    InputError
        The ratio is not above zero.

    Holds
        Deep water: more than half a wave deep.
    Trust
        Exact for small waves.
    Source
        Deep-water waves travel at sqrt(gravity x length/(2 pi)) (derived).
    Checked
        tests/published/water.csv: hullspeed_fn.

    Examples
    --------
    >>> round(wave_froude(wave_ratio=1.0), 3)
    0.399
    """
    require_positive(wave_ratio=wave_ratio)
    return sqrt(wave_ratio / (2.0 * pi))


def residuary_ratio(*, length_froude: float, strength: float = STRENGTH) -> float:
    """Wave drag of a floating surface over the load that still floats.

    Parameters
    ----------
    length_froude : float, >= 0
        Froude number on the wetted length. [-]
    strength : float, >= 0
        What it grows to. [-]

    Returns
    -------
    float
        Drag over floating load. [-]

    Raises
    ------
    InputError
        An input is below zero.

    Holds
        Nobody knows.  The load that has begun to plane is left out of it.
    Trust
        The strength may be 0.1 to 0.3: tow the boat slowly with a spring scale and put your own in.
    Source
        [HumpGuess; memory].
    Checked
        tests/unit/physics/test_hump.py: half grown at 0.45, never falls.  No outside evidence.

    Examples
    --------
    >>> residuary_ratio(length_froude=0.45)
    0.125
    """
    require_not_negative(length_froude=length_froude, strength=strength)
    fourth = length_froude**4
    return strength * fourth / (fourth + HALF_GROWN**4)


def planing_share(*, length_froude: float) -> float:
    """How far a surface has gone from floating to planing, for its drag.

    Parameters
    ----------
    length_froude : float, >= 0
        Froude number on the wetted length. [-]

    Returns
    -------
    float, 0 to 1
        0 floating, 1 planing. [-]

    Raises
    ------
    InputError
        The Froude number is below zero.

    Holds
        A blend, not a law.
    Trust
        Drag through the hump +-35 % until tow-tested.
    Source
        Ours, between the limits of [Radojcic2014; seen] and [Savitsky1964, Fig. 15; seen].
    Checked
        tests/unit/physics/test_hump.py: both ends, no corner, never falls.

    Examples
    --------
    >>> round(planing_share(length_froude=0.7), 3)
    0.5
    """
    require_not_negative(length_froude=length_froude)
    return _smoothstep(value=length_froude, low=FLOATING_LENGTH_FROUDE, high=PLANING_LENGTH_FROUDE)


def lift_share(*, speed_coefficient: float) -> float:
    """How far a surface's lift has gone from clipped buoyancy to the planing law.

    Parameters
    ----------
    speed_coefficient : float, >= 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    float, 0 to 1
        0 buoyancy, 1 planing law. [-]

    Raises
    ------
    InputError
        The speed coefficient is below zero.

    Holds
        A blend between 0.6 and 1, where the moving plate carries a little less than its buoyancy.
    Trust
        +-35 % in between.
    Source
        Ours, between the limits in the text of [Savitsky1964; seen].
    Checked
        tests/unit/physics/test_hump.py: both ends.

    Examples
    --------
    >>> round(lift_share(speed_coefficient=0.8), 3)
    0.5
    """
    require_not_negative(speed_coefficient=speed_coefficient)
    return _smoothstep(value=speed_coefficient, low=0.6, high=1.0)


def blended_lift(*, buoyancy: float, planing_lift: float, speed_coefficient: float) -> float:
    """One upward force from rest to planing.  Never the sum of both: the planing law holds the buoyancy already.

    Parameters
    ----------
    buoyancy : float, >= 0
        Clipped buoyancy of the surface at this attitude. [N]
    planing_lift : float, >= 0
        Lift by `planing` at this attitude. [N]
    speed_coefficient : float, >= 0
        Speed over sqrt(gravity x beam). [-]

    Returns
    -------
    float
        The force. [N]

    Raises
    ------
    InputError
        An input is below zero.

    Holds
        As `lift_share`.
    Trust
        As `lift_share`.
    Source
        Ours, as `lift_share`, after [Savitsky1964; seen].
    Checked
        tests/unit/physics/test_hump.py: both ends, never above the larger.

    Examples
    --------
    >>> blended_lift(buoyancy=2.0, planing_lift=1.0, speed_coefficient=0.8)
    1.5
    """
    require_not_negative(buoyancy=buoyancy, planing_lift=planing_lift)
    share = lift_share(speed_coefficient=speed_coefficient)
    return buoyancy + share * (planing_lift - buoyancy)


def blended_drag(
    *,
    load: float,
    trim: float,
    friction_drag: float,
    floating_load: float,
    length_froude: float,
    strength: float = STRENGTH,
) -> float:
    """Drag of a surface on its way from floating to planing.

    Parameters
    ----------
    load : float, >= 0
        Whole upward force on the surface. [N]
    trim : float, >= 0
        Trim of the surface, bow up. [rad]
    friction_drag : float, >= 0
        Friction against the motion. [N]
    floating_load : float, >= 0
        The part of the load that buoyancy carries. [N]
    length_froude : float, >= 0
        Froude number on the wetted length. [-]
    strength : float, >= 0
        As in `residuary_ratio`. [-]

    Returns
    -------
    float
        Force against the motion. [N]

    Raises
    ------
    InputError
        An input is below zero.

    Holds
        Froude number 0 up.  Floating: friction and waves; planing: friction and load x tan(trim).
    Trust
        +-35 % through the hump, +-40 % below it.
    Source
        [HumpGuess; memory] below, [Savitsky1964, eq. 18; seen] above, `planing_share` between.
    Checked
        tests/unit/physics/test_hump.py: both ends.

    Examples
    --------
    >>> round(blended_drag(load=3.0, trim=0.07, friction_drag=0.2, floating_load=2.0, length_froude=0.7), 3)
    0.519
    """
    require_not_negative(load=load, trim=trim, friction_drag=friction_drag, floating_load=floating_load)
    share = planing_share(length_froude=length_froude)
    waves = floating_load * residuary_ratio(length_froude=length_froude, strength=strength)
    return share * load * tan(trim) + friction_drag + (1.0 - share) * waves


def envelope(*, length_froude: float) -> tuple[Finding, ...]:
    """Says so while a surface runs on the hump's guess.

    Examples
    --------
    >>> envelope(length_froude=1.2)
    ()
    >>> envelope(length_froude=0.5)[0].what
    'Froude number of the wetted length is 0.5; the model was checked from 1 up.'
    """
    return outside(
        "hump-guess",
        "Froude number of the wetted length",
        value=length_froude,
        low=PLANING_LENGTH_FROUDE,
        why="Drag there rests on a guess that may be off by a third.",
        do="Tow the boat slowly with a spring scale and write the pull in.",
    )

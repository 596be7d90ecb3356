"""Fins and rudders that pierce the surface: how hard they push sideways, and when air takes their grip.

Only these hold a boat straight: a level flat pad gives no side force but friction.  One page of words:
docs/physics/blade.md.
"""

from __future__ import annotations

from math import cos, degrees, pi, radians, sin, sqrt, tan

from skimwright.base import Finding, InputError
from skimwright.physics.guard import outside, require_not_negative, require_positive

CROSS_FLOW = 0.85  # of a square-edged plate [-]
ONSET = radians(10.0)  # angle at which air breaks in, 6 to 20 deg [rad]
KEPT = 0.4  # share of the side force left when ventilated, 0.3 to 0.5 [-]
HEALS = 1.0 / 3.0  # of the onset angle: below it the air is washed out again [-]


def lift_slope(*, aspect: float, sweep: float = 0.0) -> float:
    """How fast the side force of a wetted blade grows with its angle.

    Parameters
    ----------
    aspect : float, > 0
        Wetted depth over chord.  Not doubled: at speed the surface is a free tip.  Doubled only for a slow blade
        under a hull. [-]
    sweep : float
        Sweep of the quarter-chord line. [rad]

    Returns
    -------
    float
        Side force coefficient per angle, on the wetted area of one side. [1/rad]

    Raises
    ------
    InputError
        The aspect ratio is not above zero, or the sweep is a right angle or more.

    Holds
        Aspect 0.5 to 3, small angles, no air on the blade.
    Trust
        +-20 %.
    Source
        [WhickerFehlner1958; second-hand].
    Checked
        tests/published/water.csv: wf_slope_1, wf_slope_1.5, wf_slope_2, wf_slope_3.

    Examples
    --------
    >>> round(lift_slope(aspect=1.0), 3)
    1.401
    """
    require_positive(aspect=aspect)
    if not abs(sweep) < 0.5 * pi:
        raise InputError(
            what="Sweep of a blade",
            got=f"{degrees(sweep):.0f} deg",
            allowed="under 90 deg",
            do="Measure the lean of the blade's front edge again.",
        )
    lean = cos(sweep)
    return 1.8 * pi * aspect / (1.8 + lean * sqrt((aspect / lean**2) ** 2 + 4.0))


def side_coefficient(
    *, angle: float, aspect: float, sweep: float = 0.0, ventilated: bool = False, kept: float = KEPT
) -> float:
    """Side force of a blade.

    Parameters
    ----------
    angle : float
        Between blade and flow; the force has its sign. [rad]
    aspect : float, > 0
        Wetted depth over chord. [-]
    sweep : float
        Sweep of the quarter-chord line. [rad]
    ventilated : bool
        Whether air has reached the blade's low-pressure side.
    kept : float, 0 to 1
        Share of the force left then. [-]

    Returns
    -------
    float
        Side force over (dynamic pressure x wetted area of one side). [-]

    Raises
    ------
    InputError
        The aspect ratio is not above zero, or the share is below zero.

    Holds
        Up to about 15 deg wetted.
    Trust
        +-20 % wetted, a factor 2 ventilated.
    Source
        [WhickerFehlner1958; second-hand] + cross-flow of [Hoerner1965; second-hand]; loss on ventilating up to 70 %
        in [BreslinSkalak1959; second-hand], 50 to 70 % here, a choice.
    Checked
        tests/published/water.csv: pm_cl_6 … pm_cl_15, thin plates at Re 1.4e5 [PelletierMueller2000].

    Examples
    --------
    >>> round(side_coefficient(angle=radians(8), aspect=2.0), 3)
    0.357
    """
    require_not_negative(kept=kept)
    slope = lift_slope(aspect=aspect, sweep=sweep)
    wetted = slope * angle + CROSS_FLOW * sin(angle) * abs(sin(angle)) * cos(angle)
    return wetted * (kept if ventilated else 1.0)


def drag_coefficient(*, angle: float, side: float, friction: float) -> float:
    """Drag of a blade with a sharp or square front edge: its force stands square to the plate.

    Parameters
    ----------
    angle : float
        Between blade and flow. [rad]
    side : float
        Side force coefficient at that angle. [-]
    friction : float, >= 0
        Friction coefficient of one side. [-]

    Returns
    -------
    float
        Drag over (dynamic pressure x wetted area of one side). [-]

    Raises
    ------
    InputError
        Friction is below zero.

    Holds
        Thin plates up to 25 deg.
    Trust
        +-0.03.
    Source
        A plate that feels no suction at its front edge pushes square to itself (derived), as the points of
        [PelletierMueller2000; second-hand] do.
    Checked
        tests/published/water.csv: pm_cd_3 … pm_cd_15, and pm_cd_25 with the measured side force.

    Examples
    --------
    >>> round(drag_coefficient(angle=radians(10), side=0.5, friction=0.005), 3)
    0.098
    """
    require_not_negative(friction=friction)
    return side * tan(angle) + 2.0 * friction


def staying_froude(*, side: float) -> float:
    """Depth Froude number above which a blade once filled with air stays so.

    Parameters
    ----------
    side : float
        Side force coefficient; only its size counts. [-]

    Returns
    -------
    float, >= 3
        Speed over sqrt(gravity x wetted depth). [-]

    Raises
    ------
    InputError
        The coefficient is nought: a blade that does not push cannot hold air.

    Holds
        Surface-piercing struts.
    Trust
        A limit drawn through scattered tests.
    Source
        [BreslinSkalak1959; second-hand]: max(sqrt(5/CL), 3).
    Checked
        tests/published/water.csv: vent_fn_0.050, vent_fn_0.200; the floor in tests/unit/physics/test_blade.py.

    Examples
    --------
    >>> round(staying_froude(side=0.2), 6)
    5.0
    """
    require_positive(side_force_coefficient=abs(side))
    return max(sqrt(5.0 / abs(side)), 3.0)


def ventilates(
    *, angle: float, side: float, depth_froude: float, was_ventilated: bool, onset: float = ONSET
) -> bool:
    """Whether there is air on the blade now, given whether there was a moment ago.

    Parameters
    ----------
    angle : float
        Between blade and flow. [rad]
    side : float
        Side force coefficient it has at this moment. [-]
    depth_froude : float, >= 0
        Speed over sqrt(gravity x wetted depth). [-]
    was_ventilated : bool
        The state a moment ago.
    onset : float, > 0
        Angle at which air breaks in. [rad]

    Returns
    -------
    bool
        True with air on it.

    Raises
    ------
    InputError
        The onset angle is not above zero, or the Froude number is below zero.

    Holds
        Air breaks in at the onset angle and leaves below a third of it, or when the boat is too slow to keep it.
    Trust
        The onset may be 6 to 20 deg: edges, ripples and a nick decide.
    Source
        Limit of [BreslinSkalak1959; second-hand]; onset there near 20 deg on smooth struts, ours 10, a choice;
        strong memory of the flow in [Harwood2016; second-hand].
    Checked
        tests/unit/physics/test_blade.py: the loop, once round.

    Examples
    --------
    >>> ventilates(angle=radians(5), side=0.15, depth_froude=20.0, was_ventilated=False)
    False
    >>> ventilates(angle=radians(5), side=0.15, depth_froude=20.0, was_ventilated=True)
    True
    """
    require_positive(onset=onset)
    require_not_negative(depth_froude=depth_froude)
    if side == 0.0 or depth_froude <= staying_froude(side=side):
        return False
    return abs(angle) >= (onset * HEALS if was_ventilated else onset)


def force_centre(*, ventilated_share: float) -> float:
    """Where the side force acts along the chord.

    Parameters
    ----------
    ventilated_share : float, 0 to 1
        0 wetted, 1 fully ventilated. [-]

    Returns
    -------
    float
        Distance ahead of mid-chord over the chord. [-]

    Raises
    ------
    InputError
        The share is below zero.

    Holds
        Small angles, thin blades.
    Trust
        +-0.05.
    Source
        [Harwood2016, Fig. 14; second-hand]: from 1/4 to 3/16; the straight line between is ours.
    Checked
        tests/published/water.csv: vent_cp_vent.

    Examples
    --------
    >>> force_centre(ventilated_share=1.0)
    0.1875
    """
    require_not_negative(ventilated_share=ventilated_share)
    return 0.25 - 0.0625 * ventilated_share


def separated_normal(*, angle: float) -> float:
    """Force square to a plate behind which the water is quite dead: a floor under the ventilated blade.

    Parameters
    ----------
    angle : float, 0 to pi/2
        Between plate and flow. [rad]

    Returns
    -------
    float
        Force over (dynamic pressure x area). [-]

    Raises
    ------
    InputError
        The angle is below zero.

    Holds
        Wide plates, cavity at the pressure of the water around.
    Trust
        Classical, but written down from memory here.
    Source
        [Kirchhoff; memory].
    Checked
        tests/published/water.csv: kirch_10, kirch_90 (memory, not counted).

    Examples
    --------
    >>> round(separated_normal(angle=radians(10)), 2)
    0.24
    """
    require_not_negative(angle=angle)
    return 2.0 * pi * sin(angle) / (4.0 + pi * sin(angle))


def envelope(*, angle: float, aspect: float) -> tuple[Finding, ...]:
    """Where a blade leaves what is known.

    Examples
    --------
    >>> envelope(angle=radians(20), aspect=1.0)[0].what
    'Angle of the blade to the flow is 20 deg; the model was checked from -15 to 15 deg.'
    """
    return (
        *outside("blade-angle", "Angle of the blade to the flow", value=degrees(angle), low=-15.0, high=15.0,
                 unit="deg", why="Plates stall near there and the side force drops.",
                 do="Set the blade straighter."),
        *outside("blade-aspect", "Wetted depth over chord of the blade", value=aspect, low=0.5, high=3.0,
                 why="The slope was measured only there.", do="Read the drift as a rough figure."),
    )  # fmt: skip

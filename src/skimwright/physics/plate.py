"""A flat plate in the air: the deck, and every fin.  Words and picture: docs/physics/plate.md."""

from __future__ import annotations

from math import cos, degrees, pi, sin, sqrt, tan

from skimwright.base import Finding
from skimwright.physics.guard import outside, require_not_negative, require_positive

CROSSFLOW = 1.17  # drag coefficient of a square plate face-on [Matthews, Fig 5.13(b); seen]


def lift_slope(*, aspect_ratio: float) -> float:
    """How fast a plate's lift coefficient grows with its angle, near zero angle.

    Parameters
    ----------
    aspect_ratio : float, > 0
        Width squared over area. [-]

    Returns
    -------
    float
        Lift coefficient per radian. [1/rad]

    Raises
    ------
    InputError
        The aspect ratio is not positive.

    Holds
        No sweep, slow air, aspect ratio 0.3 to 6.
    Trust
        10 to 15 % against measurement.
    Source
        Helmbold and Polhamus family [Raymer, sec. 12.4.1; second-hand].
    Checked
        tests/published/air.csv: slope_1, slope_2, slope_4.

    Examples
    --------
    >>> round(lift_slope(aspect_ratio=1.0), 4)
    1.4833
    """
    require_positive(aspect_ratio=aspect_ratio)
    return 2.0 * pi * aspect_ratio / (2.0 + sqrt(aspect_ratio**2 + 4.0))


def normal_force(*, angle: float, aspect_ratio: float) -> float:
    """Force square to a plate at any angle to the wind, over dynamic pressure and area.

    Parameters
    ----------
    angle : float, -pi/2 to pi/2
        Angle between plate and wind, positive when the wind strikes the underside. [rad]
    aspect_ratio : float, > 0
        Width squared over area. [-]

    Returns
    -------
    float
        Normal-force coefficient CN, with the sign of the angle. [-]

    Raises
    ------
    InputError
        The aspect ratio is not positive.

    Holds
        Aspect ratio 0.3 to 6, all angles.  Square plates show a bump near 40 degrees that this
        misses (memory).
    Trust
        25 % from 0 to 25 degrees (judgement).
    Source
        Slope of `lift_slope` plus cross-flow (choice): a sin cos + 1.17 sin |sin|.
    Checked
        tests/published/air.csv: plate_CN_5 … plate_CN_90.

    Examples
    --------
    >>> round(normal_force(angle=pi / 4, aspect_ratio=1.0), 3)
    1.327
    """
    s = sin(angle)
    return lift_slope(aspect_ratio=aspect_ratio) * s * cos(angle) + CROSSFLOW * s * abs(s)


def lift_and_drag(*, angle: float, aspect_ratio: float) -> tuple[float, float]:
    """Lift and drag coefficients of a thin plate: the force is square to it, so D = L tan(angle).

    Parameters
    ----------
    angle : float, -pi/2 to pi/2
        Angle between plate and wind. [rad]
    aspect_ratio : float, > 0
        Width squared over area. [-]

    Returns
    -------
    tuple of float
        Lift and drag over dynamic pressure and area. [-]

    Raises
    ------
    InputError
        The aspect ratio is not positive.

    Holds
        Aspect ratio 0.4 to 9, Reynolds number 6e4 to 2e5, 0 to 90 degrees: the range of our boats.
    Trust
        D/L within 5 %; the force flutters by 10 to 20 % in free air, over 30 % near a wall.
    Source
        [Ortiz2015, abstract; seen].
    Checked
        tests/published/air.csv: plate_DL.

    Examples
    --------
    >>> lift, drag = lift_and_drag(angle=pi / 6, aspect_ratio=1.0)
    >>> round(drag / lift, 4)
    0.5774
    """
    force = normal_force(angle=angle, aspect_ratio=aspect_ratio)
    return force * cos(angle), force * sin(angle)


def centre_of_pressure(*, angle: float) -> float:
    """Where the force on a plate acts, as a share of its length behind the leading edge.

    Parameters
    ----------
    angle : float
        Angle between plate and wind. [rad]

    Returns
    -------
    float, 0.3125 to 0.5
        Place from the leading edge over length. [-]

    Raises
    ------
    InputError
        Never.

    Holds
        Long thin plates in the theory; used here for decks too.
    Trust
        From memory and unchecked: no test rests on the form itself.
    Source
        [Rayleigh1876; memory].
    Checked
        Only its two ends, tests/unit/physics/test_plate.py.

    Examples
    --------
    >>> centre_of_pressure(angle=pi / 2)
    0.5
    """
    return 0.5 - 0.75 * cos(angle) / (4.0 + pi * abs(sin(angle)))


def mirrored_aspect_ratio(*, height: float, area: float) -> float:
    """Aspect ratio of a fin that stands on a deck: the deck mirrors it, which doubles the fin.

    Parameters
    ----------
    height : float, > 0
        Exposed height of the fin. [m]
    area : float, > 0
        Exposed area, one side. [m2]

    Returns
    -------
    float
        Aspect ratio 2 h^2 / S. [-]

    Raises
    ------
    InputError
        Height or area is not positive.

    Holds
        A deck wider than the fin is high.
    Trust
        20 % on the side force to 12 degrees, 40 % beyond (judgement).
    Source
        docs/physics/plate.md (derived).
    Checked
        tests/published/air.csv: fin_side.

    Examples
    --------
    >>> round(mirrored_aspect_ratio(height=0.08, area=0.0064), 6)
    2.0
    """
    require_positive(height=height, area=area)
    return 2.0 * height**2 / area


def friction(*, reynolds: float, turbulent: bool) -> float:
    """Mean skin-friction coefficient of one side of a smooth plate along the wind.

    Parameters
    ----------
    reynolds : float, > 0
        Speed x length over kinematic viscosity. [-]
    turbulent : bool
        Rough or tripped flow; a clean small boat can be either.

    Returns
    -------
    float
        Friction over dynamic pressure and area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not positive.

    Holds
        Laminar up to 5e5, turbulent from 5e5 to 1e7; at 1e5 to 1e6 the truth lies between.
    Trust
        A factor of two stands between the two, so say which was used.
    Source
        [CengelCimbala, Table 10-4; second-hand].
    Checked
        tests/published/air.csv: cf_blasius, cf_turb.

    Examples
    --------
    >>> round(friction(reynolds=2e5, turbulent=False), 6)
    0.002969
    """
    require_positive(reynolds_number=reynolds)
    return 0.074 / float(reynolds**0.2) if turbulent else 1.328 / sqrt(reynolds)


def lift_to_drag(*, angle: float) -> float:
    """Lift over drag of a thin plate, one over tan(angle), for a first feel of what an angle costs.

    Parameters
    ----------
    angle : float, > 0
        Angle between plate and wind. [rad]

    Returns
    -------
    float
        Lift over drag, friction left out. [-]

    Raises
    ------
    InputError
        The angle is not positive.

    Holds
        As `lift_and_drag`.
    Trust
        5 %.
    Source
        [Ortiz2015, abstract; seen].
    Checked
        tests/unit/physics/test_plate.py, against `lift_and_drag`.

    Examples
    --------
    >>> round(lift_to_drag(angle=0.1), 1)
    10.0
    """
    require_positive(angle=angle)
    return 1.0 / tan(angle)


def envelope(*, angle: float, aspect_ratio: float) -> tuple[Finding, ...]:
    """What lies outside the range of the plate forms.

    Examples
    --------
    >>> envelope(angle=0.1, aspect_ratio=0.43)
    ()
    """
    require_not_negative(aspect_ratio=aspect_ratio)
    return (
        *outside("plate-angle", "Plate angle", value=abs(degrees(angle)), high=25.0, unit="degrees",
                 why="Beyond it the force is a rougher guess than 25 %.",
                 do="Read the force as an order of size."),
        *outside("plate-shape", "Width squared over area", value=aspect_ratio, low=0.3, high=6.0,
                 why="The slope was compared with tests only there.", do="Treat the lift as a guess."),
    )  # fmt: skip

"""The foam board as material: how heavy, how stiff, how hard a slap it takes.

Words: docs/physics/board.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, tan
from typing import Literal

import numpy as np

from skimwright.base import Finding
from skimwright.physics import slam
from skimwright.physics.guard import outside, require_not_negative, require_positive

PSI = 6894.757  # [Pa]
STATIC_SAFETY = 3.0  # [XpsMaker; seen]
SLAM_SAFETY = 10.0  # for loads that strike [XpsMaker; seen]


@dataclass(frozen=True, kw_only=True)
class CoreFoam:
    """Least values of one printed foam type."""

    kind: str
    extruded: bool
    density: float  # [kg/m3]
    compressive: float  # [Pa]
    flexural: float  # [Pa]


def _foam(kind: str, extruded: bool, density: float, compressive: float, flexural: float) -> CoreFoam:
    return CoreFoam(
        kind=kind, extruded=extruded, density=density, compressive=1e3 * compressive, flexural=1e3 * flexural
    )


CORE_FOAMS: tuple[CoreFoam, ...] = (  # [AstmC578; second-hand]; kg/m3, kPa, kPa
    _foam("X", True, 21, 104, 276),
    _foam("IV", True, 25, 173, 345),
    _foam("VI", True, 29, 276, 414),
    _foam("VII", True, 35, 414, 517),
    _foam("V", True, 48, 690, 690),
    _foam("XI", False, 12, 35, 70),
    _foam("I", False, 15, 69, 173),
    _foam("VIII", False, 18, 90, 208),
    _foam("II", False, 22, 104, 240),
    _foam("IX", False, 29, 173, 345),
    _foam("XIV", False, 38, 276, 414),
    _foam("XV", False, 46, 414, 517),
)

Modulus = Literal["shear modulus", "young modulus", "shear strength"]

_EPS_DENSITIES = (0.0, 15.0, 18.0, 22.0, 29.0)  # nothing, then types I, VIII, II, IX [kg/m3]
_EPS_RANGES: dict[Modulus, tuple[tuple[float, float], ...]] = {  # [EpsMaker; seen]; psi
    "shear modulus": ((280, 320), (370, 410), (460, 500), (600, 640)),
    "young modulus": ((180, 220), (250, 310), (320, 360), (460, 500)),
    "shear strength": ((18, 22), (23, 25), (26, 32), (33, 37)),
}


@dataclass(frozen=True, kw_only=True)
class BoardWeighing:
    """One published hobby weighing of paper-faced board."""

    what: str
    areal_density: float  # [kg/m2]


BOARD_WEIGHINGS: tuple[BoardWeighing, ...] = (  # [FoamWeighings; seen]
    BoardWeighing(what="economy 3/16 in sheet, 20 x 30 in, 115 g", areal_density=0.297),
    BoardWeighing(what="10 x 10 cm piece of the same family, 2.909 g", areal_density=0.291),
    BoardWeighing(what="craft-shop A1 sheet, 225 g", areal_density=0.450),
    BoardWeighing(what="heavy board, 0.39 g per square inch", areal_density=0.604),
)


def areal_density(*, mass: float, area: float) -> float:
    """Mass of board per area, from a weighed sheet or offcut.

    Parameters
    ----------
    mass : float, > 0
        Mass of the piece. [kg]
    area : float, > 0
        Its area, one side. [m2]

    Returns
    -------
    float
        Mass per area. [kg/m2]

    Raises
    ------
    InputError
        Mass or area is not positive.

    Holds
        Dry board.  One 5 mm board can weigh twice another: always weigh the real sheet.
    Trust
        As good as the scale.
    Source
        Definition; weighings in `BOARD_WEIGHINGS` [FoamWeighings; seen].
    Checked
        tests/published/air.csv: fb_econ_10cm, fb_econ_faces, fb_econ_core.

    Examples
    --------
    >>> round(areal_density(mass=0.225, area=0.841 * 0.594), 2)
    0.45
    """
    require_positive(mass=mass, area=area)
    return mass / area


def core_strength(*, density: float, extruded: bool) -> tuple[float, float]:
    """Least compressive and flexural strength of a foam core of this density.

    Parameters
    ----------
    density : float, > 0
        Density of the core alone. [kg/m3]
    extruded : bool
        True for extruded foam (smooth, closed), False for moulded beads.

    Returns
    -------
    tuple of float
        Compressive strength at 10 % squash, and flexural strength. [Pa]

    Raises
    ------
    InputError
        The density is not positive.

    Holds
        At the printed densities; straight between them (choice); below the lightest in proportion to
        density, above the heaviest the last value (choice).
    Trust
        Minimum values for building foam; board cores are like it, not the same.
    Source
        [AstmC578; second-hand].
    Checked
        tests/published/air.csv: c578_….

    Examples
    --------
    >>> core_strength(density=25.0, extruded=True)
    (173000.0, 345000.0)
    """
    require_positive(density=density)
    rows = [foam for foam in CORE_FOAMS if foam.extruded == extruded]
    at = [0.0, *(foam.density for foam in rows)]
    squash = np.interp(density, at, [0.0, *(foam.compressive for foam in rows)])
    bend = np.interp(density, at, [0.0, *(foam.flexural for foam in rows)])
    return float(squash), float(bend)


def bead_foam_range(*, density: float, quantity: Modulus) -> tuple[float, float]:
    """Range a maker gives for moulded bead foam of this density.

    Parameters
    ----------
    density : float, > 0
        Density of the foam. [kg/m3]
    quantity : Modulus
        ``shear modulus``, ``young modulus`` or ``shear strength``.

    Returns
    -------
    tuple of float
        Least and greatest. [Pa]

    Raises
    ------
    InputError
        The density is not positive.

    Holds
        15 to 29 kg/m3, straight between the printed types; lighter in proportion to density, heavier
        the last value (choice).
    Trust
        One maker's range.
    Source
        [EpsMaker; seen].
    Checked
        tests/published/air.csv: eps_….

    Examples
    --------
    >>> low, high = bead_foam_range(density=15.0, quantity="shear modulus")
    >>> round(low / 1e6, 2), round(high / 1e6, 2)
    (1.93, 2.21)
    """
    require_positive(density=density)
    lows, highs = zip((0, 0), *_EPS_RANGES[quantity], strict=True)
    return (
        PSI * float(np.interp(density, _EPS_DENSITIES, lows)),
        PSI * float(np.interp(density, _EPS_DENSITIES, highs)),
    )


def bending_stiffness(*, face_modulus: float, face: float, core: float, width: float) -> float:
    """Bending stiffness of a strip: two paper faces held apart by foam.

    Parameters
    ----------
    face_modulus : float, > 0
        Young's modulus of the paper. [Pa]
    face : float, > 0
        Thickness of one face. [m]
    core : float, > 0
        Thickness of the core. [m]
    width : float, > 0
        Width of the strip. [m]

    Returns
    -------
    float
        Stiffness D. [N m2]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Faces much stiffer than the core.
    Trust
        As the paper's modulus: 2 to 6 GPa dry, far less wet (memory).
    Source
        [AstmC393; memory], which is the second moment of two faces (derived).
    Checked
        tests/unit/physics/test_board.py: against the second moment of area.

    Examples
    --------
    >>> round(bending_stiffness(face_modulus=3e9, face=1e-4, core=4.6e-3, width=0.05), 4)
    0.1657
    """
    require_positive(face_modulus=face_modulus, face=face, core=core, width=width)
    whole = core + 2.0 * face
    return face_modulus * (whole**3 - core**3) * width / 12.0


def shear_stiffness(*, core_modulus: float, face: float, core: float, width: float) -> float:
    """Shear stiffness of a strip's core.

    Parameters
    ----------
    core_modulus : float, > 0
        Shear modulus of the foam. [Pa]
    face : float, > 0
        Thickness of one face. [m]
    core : float, > 0
        Thickness of the core. [m]
    width : float, > 0
        Width of the strip. [m]

    Returns
    -------
    float
        Stiffness U. [N]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Thin faces.
    Trust
        As the foam's modulus; shear tests in two ways differ.
    Source
        [AstmC393; memory].
    Checked
        tests/unit/physics/test_board.py: its limit for thin faces, G x area.

    Examples
    --------
    >>> round(shear_stiffness(core_modulus=2e6, face=1e-4, core=4.6e-3, width=0.05))
    480
    """
    require_positive(core_modulus=core_modulus, face=face, core=core, width=width)
    return core_modulus * (2.0 * core + 2.0 * face) ** 2 * width / (4.0 * core)


def strip_sag(*, load: float, span: float, bending: float, shear: float) -> float:
    """Sag in the middle of a strip laid on two supports and loaded in the middle.

    Parameters
    ----------
    load : float
        Load. [N]
    span : float, > 0
        Between the supports. [m]
    bending : float, > 0
        See `bending_stiffness`. [N m2]
    shear : float, > 0
        See `shear_stiffness`. [N]

    Returns
    -------
    float
        Sag. [m]

    Raises
    ------
    InputError
        Span or stiffness is not positive.

    Holds
        Small sag.
    Trust
        As the two stiffnesses.
    Source
        [AstmC393; memory].
    Checked
        tests/unit/physics/test_board.py: two spans give both stiffnesses back.

    Examples
    --------
    >>> round(1000 * strip_sag(load=2.0, span=0.20, bending=0.165672, shear=480.2), 2)
    2.22
    """
    require_positive(span=span, bending_stiffness=bending, shear_stiffness=shear)
    return load * span**3 / (48.0 * bending) + load * span / (4.0 * shear)


def stiffness_from_two_spans(
    *, load: float, short_span: float, short_sag: float, long_span: float, long_sag: float
) -> tuple[float, float]:
    """Bending and shear stiffness from two sag tests: a good exercise for pupils.

    Parameters
    ----------
    load : float, > 0
        The same load both times. [N]
    short_span, long_span : float, > 0
        Between the supports. [m]
    short_sag, long_sag : float, > 0
        Sag in the middle. [m]

    Returns
    -------
    tuple of float
        Bending stiffness [N m2] and shear stiffness [N]; infinite or negative means the two tests
        cannot tell them apart.

    Raises
    ------
    InputError
        A value is not positive, or the spans are the same.

    Holds
        Spans that differ by a factor of two or more.
    Trust
        0.1 mm of sag can move the shear part by half: repeat.
    Source
        `strip_sag` solved for its two unknowns (derived).
    Checked
        tests/unit/physics/test_board.py: there and back.

    Examples
    --------
    >>> bending, shear = stiffness_from_two_spans(load=2.0, short_span=0.1, short_sag=0.0003556,
    ...                                           long_span=0.2, long_sag=0.0022199)
    >>> round(bending, 3), round(shear)
    (0.166, 480)
    """
    require_positive(
        load=load, short_span=short_span, short_sag=short_sag, long_span=long_span, long_sag=long_sag
    )
    require_positive(difference_of_the_spans=abs(long_span - short_span))
    rows = np.array([[short_span**3 / 48.0, short_span / 4.0], [long_span**3 / 48.0, long_span / 4.0]])
    soft_bend, soft_shear = np.linalg.solve(rows, np.array([short_sag, long_sag]) / load)
    return float(1.0 / soft_bend), float(1.0 / soft_shear)


def strip_stress(*, load: float, span: float, face: float, core: float, width: float) -> tuple[float, float]:
    """Shear stress in the core and stress in the faces of a strip loaded in the middle.

    Parameters
    ----------
    load : float
        Load. [N]
    span : float, > 0
        Between the supports. [m]
    face : float, > 0
        Thickness of one face. [m]
    core : float, > 0
        Thickness of the core. [m]
    width : float, > 0
        Width of the strip. [m]

    Returns
    -------
    tuple of float
        Core shear stress and face stress. [Pa]

    Raises
    ------
    InputError
        A size is not positive.

    Holds
        Thin faces.
    Trust
        Exact statics for thin faces.
    Source
        [AstmC393; memory].
    Checked
        tests/unit/physics/test_board.py: balance of moments.

    Examples
    --------
    >>> shear, pull = strip_stress(load=2.0, span=0.2, face=1e-4, core=4.6e-3, width=0.05)
    >>> round(shear / 1e3, 2), round(pull / 1e6, 2)
    (4.26, 4.26)
    """
    require_positive(span=span, face=face, core=core, width=width)
    lever = 2.0 * core + 2.0 * face  # twice the distance between face middles
    return load / (lever * width), load * span / (2.0 * face * lever * width)


def glue_stick_mass(*, length: float, diameter: float = 0.011, density: float = 950.0) -> float:
    """Mass of a length of hot-glue stick.

    Parameters
    ----------
    length : float, >= 0
        Length used. [m]
    diameter : float, > 0, optional
        Of the stick. [m]
    density : float, > 0, optional
        Of the glue (memory). [kg/m3]

    Returns
    -------
    float
        Mass. [kg]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        11 mm sticks, 0.3 mm either way.
    Trust
        5 %, with a density from memory.
    Source
        Volume times density (derived).
    Checked
        tests/published/air.csv: glue_lin.

    Examples
    --------
    >>> round(1000 * glue_stick_mass(length=0.1), 1)
    9.0
    """
    require_not_negative(length=length)
    require_positive(diameter=diameter, density=density)
    return density * length * pi * diameter**2 / 4.0


def joint_glue_mass(*, joint_length: float, bead: float = 0.003) -> float:
    """Mass of hot glue in joints, by the length of bead.

    Parameters
    ----------
    joint_length : float, >= 0
        All joints together. [m]
    bead : float, >= 0, optional
        Glue per length of joint, 2 to 4 g a metre. [kg/m]

    Returns
    -------
    float
        Mass. [kg]

    Raises
    ------
    InputError
        A value is negative.

    Holds
        Thin, even beads; a beginner lays twice as much.
    Trust
        A factor of two.  White glue: count half its wet mass.
    Source
        Common practice.
    Checked
        tests/unit/physics/test_board.py.

    Examples
    --------
    >>> round(joint_glue_mass(joint_length=6.0), 3)
    0.018
    """
    require_not_negative(joint_length=joint_length, bead=bead)
    return joint_length * bead


def tape_mass(*, length: float, width: float = 0.048, areal_density: float = 0.045) -> float:
    """Mass of packing tape.

    Parameters
    ----------
    length : float, >= 0
        Length used. [m]
    width : float, > 0, optional
        Width of the roll. [m]
    areal_density : float, > 0, optional
        Mass per area; 44 to 51 micrometres of film and glue. [kg/m2]

    Returns
    -------
    float
        Mass. [kg]

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        Ordinary packing tape.
    Trust
        10 %.
    Source
        Thickness [TapeMaker; seen] times density (derived).
    Checked
        tests/unit/physics/test_board.py.

    Examples
    --------
    >>> round(1000 * tape_mass(length=1.0), 1)
    2.2
    """
    require_not_negative(length=length)
    require_positive(width=width, areal_density=areal_density)
    return length * width * areal_density


def wedge_slam_pressure(*, speed: float, deadrise: float, water_density: float) -> float:
    """Mean pressure when a wedge first meets the water.

    Parameters
    ----------
    speed : float
        Speed into the water. [m/s]
    deadrise : float, 0 to pi/2
        Angle of the bottom to the water. [rad]
    water_density : float, > 0
        Density of the water. [kg/m3]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        The angle or the density is not positive.

    Holds
        10 to 40 degrees; for a flat bottom it grows without bound and means nothing.
    Trust
        First contact only; splash is left out.
    Source
        [VonKarman1929; derived].
    Checked
        tests/published/air.csv: karman_10, karman_30.

    Examples
    --------
    >>> round(wedge_slam_pressure(speed=1.0, deadrise=0.349, water_density=1000.0) / 1e3, 2)
    4.32
    """
    require_positive(deadrise=deadrise, water_density=water_density)
    return 0.5 * water_density * speed**2 * pi / tan(deadrise)


def acoustic_ceiling(*, speed: float, water_density: float, sound_speed: float) -> float:
    """Pressure of a flat slap that water could give at the very most; trapped air keeps it far below.

    Parameters
    ----------
    speed : float
        Speed into the water. [m/s]
    water_density : float, > 0
        Density of the water. [kg/m3]
    sound_speed : float, > 0
        Speed of sound in it. [m/s]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        Density or speed of sound is not positive.

    Holds
        As a ceiling, never as an estimate.
    Trust
        Exact as a bound.
    Source
        [Verhagen1967, p. 1; seen].
    Checked
        tests/published/air.csv: acoustic.

    Examples
    --------
    >>> round(acoustic_ceiling(speed=1.0, water_density=998.0, sound_speed=1482.0) / 1e6, 2)
    1.48
    """
    require_positive(water_density=water_density, sound_speed=sound_speed)
    return water_density * sound_speed * abs(speed)


def slam_pressure(
    *,
    mass: float,
    speed: float,
    beam: float,
    length: float,
    water_density: float,
    contact_time: float = 0.010,
) -> float:
    """Mean pressure on a pad while it slaps down.

    Parameters
    ----------
    mass : float, > 0
        Mass that the pad stops. [kg]
    speed : float
        Speed into the water. [m/s]
    beam : float, > 0
        Width of the pad. [m]
    length : float, > 0
        Its length. [m]
    water_density : float, > 0
        Density of the water. [kg/m3]
    contact_time : float, > 0, optional
        How long the slap lasts, 5 to 20 ms (choice). [s]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        A value is not positive.

    Holds
        Flat pads.  Edges and corners take far more: that is where boats break.
    Trust
        A factor of two, from the contact time.
    Source
        `slam.landing_impulse` (derived) over a chosen time (choice).
    Checked
        tests/unit/physics/test_board.py: the worked case of docs/physics/board.md.

    Examples
    --------
    >>> round(slam_pressure(mass=0.30, speed=0.5, beam=0.04, length=0.10, water_density=1000.0))
    649
    """
    require_positive(contact_time=contact_time)
    added = slam.added_mass(density=water_density, beam=beam, length=length)
    push = slam.landing_impulse(mass=mass, speed=speed, added_mass=added)
    return push / (contact_time * beam * length)


def slam_finding(
    *, pressure: float, core_density: float, extruded: bool, safety: float = SLAM_SAFETY
) -> tuple[Finding, ...]:
    """A warning when a slap comes near the core's strength.

    Parameters
    ----------
    pressure : float, >= 0
        See `slam_pressure`. [Pa]
    core_density : float, > 0
        Density of the core. [kg/m3]
    extruded : bool
        True for extruded foam.
    safety : float, > 0, optional
        Strength wanted over pressure. [-]

    Returns
    -------
    tuple of Finding
        One warning, or nothing.

    Raises
    ------
    InputError
        A value is out of its sense.

    Holds
        As `slam_pressure`.
    Trust
        As `slam_pressure`.
    Source
        Safety factor [XpsMaker; seen], strength [AstmC578; second-hand].
    Checked
        tests/unit/physics/test_board.py.

    Examples
    --------
    >>> slam_finding(pressure=650.0, core_density=21.0, extruded=True)
    ()
    """
    require_not_negative(pressure=pressure)
    require_positive(safety=safety)
    strength, _ = core_strength(density=core_density, extruded=extruded)
    if pressure * safety <= strength:
        return ()
    return (
        Finding(
            code="pad-too-soft",
            severity="warning",
            what=f"A slap of {pressure / 1e3:.1f} kPa meets a core of {strength / 1e3:.0f} kPa.",
            why=f"For blows a foam maker advises {safety:g} times the strength.",
            do="Double the pad with a second layer, or tape its edges.",
        ),
    )


def envelope(*, areal_density: float, core_density: float) -> tuple[Finding, ...]:
    """What lies outside the boards that anyone has weighed or printed.

    Examples
    --------
    >>> envelope(areal_density=0.45, core_density=30.0)
    ()
    """
    return (
        *outside("board-mass", "Board", value=areal_density, low=0.25, high=0.70, unit="kg/m2",
                 why="No board like it was found weighed.", do="Weigh the sheet again, and check its size."),
        *outside("board-core", "Core density", value=core_density, low=12.0, high=48.0, unit="kg/m3",
                 why="Strengths are printed only there.", do="Press a thumbnail into an offcut and compare."),
    )  # fmt: skip

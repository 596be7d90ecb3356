"""The laws of the water and the air in the short form that eight runs at a time can use.

Each is the same law as the documented function named beside it in :mod:`skimwright.physics`; the tests hold the
two together.  Angles in radians, everything else SI.  Only :func:`~skimwright.run.lanes.law` functions live here.
"""
# mypy: disable-error-code="no-untyped-def"

from __future__ import annotations

import math

from skimwright.run.lanes import fabs, law, least, log2, most, pick, power, smooth, sqrt, within

DEGREE = math.pi / 180.0
STEEP = 15.0  # trim above which the lift law is held at its last supported value [deg]


@law
def wet_chord(rear, front, length):
    """Where a straight chord is under water.

    ``rear`` and ``front`` are depths of its ends (under water positive).  Returns the wet length, the distance of
    the wet part's rear end from the chord's rear end, the integral of depth along the chord [m2] and that
    integral's first moment about the rear end [m3].  Exact for a flat surface.
    """
    slope = rear - front
    safe = pick(fabs(slope) > 1e-12, slope, 1e-12)
    crossing = within(length * rear / safe, 0.0, length)
    start = pick(rear > 0.0, 0.0, pick(front > 0.0, crossing, length))
    stop = pick(front > 0.0, length, pick(rear > 0.0, crossing, 0.0))
    wet = most(stop - start, 0.0)
    a, f = most(rear, 0.0), most(front, 0.0)
    area = 0.5 * wet * (a + f)
    return wet, start, area, start * area + wet * wet * (a + 2.0 * f) / 6.0


@law
def wave_rise(still):
    """Running mean wetted length over beam from the still-water one (``planing.wave_rise``)."""
    return pick(still < 1.0, still * (1.6 - 0.3 * still), still + 0.3)


@law
def two_dimensional_lift(tau):
    """Gravity-free lift of a plate so short that the flow is two-dimensional (``planing.two_dimensional_lift``).

    A fit to the exact solution: within 0.5 % from 1 to 20 degrees.
    """
    return math.pi * tau / (1.0 + tau * (1.6 + 1.6 * tau))


@law
def two_dimensional_centre(tau):
    """Centre of pressure of that plate over its wet length, from the rear edge; a fit within 0.003."""
    return 0.7495 - tau * (0.41 - 0.35 * tau)


@law
def _steepness(tau):
    return power(within(tau / DEGREE, 1e-3, STEEP), 1.1)


@law
def lift_coefficient(angle, trim, lam, speed_coefficient):
    """Lift over (dynamic pressure x beam squared): dynamic part, gravity part (``planing.pad_lift``).

    ``angle`` is the flow's angle to the plate, ``trim`` the plate's to the water: they differ while it heaves.
    """
    safe = most(lam, 1e-6)
    root = sqrt(safe)
    short = safe * two_dimensional_lift(least(angle, STEEP * DEGREE)) / (1.0 + 2.0 * safe)
    long = 0.0120 * root * _steepness(angle)
    dynamic = long - (1.0 - smooth(safe, 0.5, 1.0)) * most(long - short, 0.0)
    gravity = (
        0.0055 * safe * safe * root * _steepness(trim) / most(speed_coefficient * speed_coefficient, 0.1)
    )
    return pick(lam > 0.0, dynamic, 0.0), pick(lam > 0.0, gravity, 0.0)


@law
def pressure_centre(tau, lam, speed_coefficient):
    """Distance of the lift from the rear edge over the mean wetted length (``planing.pad_centre``)."""
    ratio = speed_coefficient / most(lam, 1e-3)
    long = 0.75 - 1.0 / (5.21 * ratio * ratio + 2.39)
    short = two_dimensional_centre(least(tau, STEEP * DEGREE))
    share = least(2.0 * lam, 1.0)
    return pick(long > short, short + share * (long - short), long)


@law
def friction_coefficient(reynolds, mix):
    """Mean friction of a smooth plate, between laminar (mix 0) and turbulent (mix 1) (``friction.mixed``)."""
    laminar = 1.328 / sqrt(most(reynolds, 1e3))
    lines = 0.30102999566398120 * log2(most(reynolds, 1e4)) - 2.0
    return laminar + mix * (0.075 / (lines * lines) - laminar)


@law
def hump_share(froude):
    """How far a surface has gone from floating to planing, 0 to 1, by its length Froude number
    (``hump.planing_share``).
    """
    return smooth(froude, 0.4, 1.0)


@law
def wave_drag_ratio(froude, strength):
    """Wave drag over the load that still floats (``hump.residuary_ratio``)."""
    f2 = froude * froude
    f4 = f2 * f2
    return strength * f4 / (f4 + 0.04100625)  # 0.45 to the fourth


@law
def blade_slope(aspect):
    """Lift slope of a fin or rudder [1/rad] (``blade.lift_slope``)."""
    return 1.8 * math.pi * aspect / (1.8 + sqrt(aspect * aspect + 4.0))


@law
def plate_normal(sine, cosine, slope):
    """Normal force coefficient of a flat plate in the air at any angle (``plate.normal_force``)."""
    return slope * sine * cosine + 1.17 * sine * fabs(sine)


@law
def plate_centre(sine, cosine):
    """Centre of pressure of a plate over its length from the leading edge (``plate.centre_of_pressure``)."""
    return 0.5 - 0.75 * cosine / (4.0 + math.pi * fabs(sine))

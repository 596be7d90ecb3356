"""Worked examples of combining uncertainties, and the two weighings worked by hand, in the units they are told in."""

from __future__ import annotations

import math

from skimwright.desk.boats.check import twist_from_corners
from skimwright.desk.boats.weigh import TwoScales
from skimwright.desk.boats.weigh_uncertainty import combined, effective_freedom, even
from skimwright.physics.weighing import ballast_for_balance


def end_gauge_u(
    *, calibration: float, difference: float, random: float, systematic: float,
    d_alpha: float, theta: float, d_theta: float, length: float,
) -> float:  # fmt: skip
    """Standard uncertainty of an end gauge; length in nm, the two products as the guide takes them."""
    alpha_s = 11.5e-6
    slopes = [1.0, 1.0, 1.0, 1.0, length * theta, length * alpha_s]
    parts = [calibration, difference, random, systematic, even(d_alpha), even(d_theta)]
    return combined(slopes, parts)


def end_gauge_freedom(
    *,
    calibration: float,
    difference: float,
    random: float,
    systematic: float,
    expansion: float,
    temperature: float,
) -> float:
    """Degrees of freedom as the guide lists them for the six parts."""
    parts = [calibration, difference, random, systematic, expansion, temperature]
    return effective_freedom(parts, [18.0, 24.0, 5.0, 8.0, 50.0, 2.0])


def _together(rVI: float, rVphi: float, rIphi: float) -> dict[tuple[int, int], float]:
    return {(0, 1): rVI, (0, 2): rVphi, (1, 2): rIphi}


def impedance_u(
    *,
    V: float,
    A: float,
    phi: float,
    uV: float,
    uI: float,
    uphi: float,
    rVI: float,
    rVphi: float,
    rIphi: float,
) -> float:
    return combined([1 / A, -V / A**2, 0.0], [uV, uI, uphi], _together(rVI, rVphi, rIphi))


def resistance_u(
    *,
    V: float,
    A: float,
    phi: float,
    uV: float,
    uI: float,
    uphi: float,
    rVI: float,
    rVphi: float,
    rIphi: float,
) -> float:
    c, s = math.cos(phi), math.sin(phi)
    return combined([c / A, -V * c / A**2, -V * s / A], [uV, uI, uphi], _together(rVI, rVphi, rIphi))


def reactance_u(
    *,
    V: float,
    A: float,
    phi: float,
    uV: float,
    uI: float,
    uphi: float,
    rVI: float,
    rVphi: float,
    rIphi: float,
) -> float:
    c, s = math.cos(phi), math.sin(phi)
    return combined([s / A, -V * s / A**2, V * c / A], [uV, uI, uphi], _together(rVI, rVphi, rIphi))


def _scales(front_g: float, rear_g: float, front_mm: float, rear_mm: float) -> TwoScales:
    return TwoScales(
        front=front_g / 1e3, rear=rear_g / 1e3, front_place=front_mm / 1e3, rear_place=rear_mm / 1e3
    )


def two_scale_balance_mm(*, front_g: float, rear_g: float, front_mm: float, rear_mm: float) -> float:
    return 1e3 * _scales(front_g, rear_g, front_mm, rear_mm).balance.value


def two_scale_mass_g(*, front_g: float, rear_g: float) -> float:
    return 1e3 * _scales(front_g, rear_g, 200, 560).mass.value


def two_scale_within_mm(
    *, front_g: float, rear_g: float, front_mm: float, rear_mm: float, each_g: float
) -> float:
    """What the scales alone leave open, supports known exactly; the slopes are those that the weighing uses."""
    base = two_scale_balance_mm(front_g=front_g, rear_g=rear_g, front_mm=front_mm, rear_mm=rear_mm)
    step = 1e-4
    slopes = [
        (
            two_scale_balance_mm(front_g=front_g + df, rear_g=rear_g + dr, front_mm=front_mm, rear_mm=rear_mm)
            - base
        )
        / step
        for df, dr in ((step, 0.0), (0.0, step))
    ]
    return 2.0 * combined(slopes, [each_g, each_g])


def ballast_g(*, mass_g: float, balance_mm: float, target_mm: float, place_mm: float) -> float:
    return 1e3 * ballast_for_balance(
        mass=mass_g / 1e3, balance=balance_mm / 1e3, wanted=target_mm / 1e3, ballast_place=place_mm / 1e3
    )


def ballast_after_g(*, mass_g: float, balance_mm: float, target_mm: float, place_mm: float) -> float:
    return mass_g + ballast_g(mass_g=mass_g, balance_mm=balance_mm, target_mm=target_mm, place_mm=place_mm)


def twist_deg(
    *, front_left_mm: float, front_right_mm: float, rear_left_mm: float, rear_right_mm: float, apart_mm: float
) -> float:
    heights = tuple(v / 1e3 for v in (front_left_mm, front_right_mm, rear_left_mm, rear_right_mm))
    return math.degrees(twist_from_corners(heights, spacing=apart_mm / 1e3).twist)


def twist_u_deg(*, apart_mm: float, within_mm: float) -> float:
    found = twist_from_corners((0.0, 0.0, 0.0, 0.0), spacing=apart_mm / 1e3, within=within_mm / 1e3)
    return math.degrees(found.uncertainty)

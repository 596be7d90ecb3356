"""The air trap: air caught between roof, water and side walls.  Words and picture: docs/physics/tunnel.md.

Two ways to the same lift: closed forms for a flat roof (`roof_lift`, …), and a march from the rear
edge forward for a roof of any shape with leaking sides (`channel_pressures`, `tunnel_table`).
Every lift here is per dynamic pressure q of the air: lift = q x lift area.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from skimwright.base import Finding, InputError
from skimwright.physics.guard import outside, require_not_negative, require_positive
from skimwright.physics.tunnel_march import SMALLEST_GAP, march, march_poses

Array = NDArray[np.float64]

CONTRACTION = 0.61  # a jet through a slot narrows to this share of it [memory: pi/(pi + 2)]


def roof_lift(*, exit_gap: float, entry_gap: float) -> float:
    """Lift coefficient of a flat tunnel roof running close over the water, nothing leaking.

    The roof closes down toward the stern, the air under it slows, and slow air pushes up.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    entry_gap : float, >= exit_gap
        Clear height under the roof's front edge. [m]

    Returns
    -------
    float, 0 to 1
        Lift over (dynamic pressure x roof width x roof length). [-]

    Raises
    ------
    InputError
        A gap is not positive, or the roof opens toward the rear: there it sucks down
        and this form overstates the suction; `channel_pressures` limits it.

    Holds
        Gaps under about 0.1 of the roof's length [Matveev2019, sec. 1; seen].
        Outside: `envelope` returns a Finding, the number still comes.
    Trust
        Exact for the flow described.  Against measured boats: not known.
    Source
        [TunnelChannel, sec. 1; derived]; idea of [WidnallBarrows1970, abstract; seen].
    Checked
        tests/published/air.csv: ram_cl_20 … ram_cl_90.

    Examples
    --------
    >>> round(roof_lift(exit_gap=0.012, entry_gap=0.030), 3)
    0.6
    """
    return 1.0 - _gap_ratio(exit_gap, entry_gap)


def roof_centre(*, exit_gap: float, entry_gap: float) -> float:
    """Where the lift of a flat tunnel roof acts, as a share of its length behind the front edge.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    entry_gap : float, >= exit_gap
        Clear height under the roof's front edge. [m]

    Returns
    -------
    float, 1/3 to 1/2
        Centre of pressure from the front edge over roof length. [-]

    Raises
    ------
    InputError
        A gap is not positive, or the roof opens toward the rear.

    Holds
        As `roof_lift`.  Above a gap ratio of 0.98 a series takes over, for the closed form
        would subtract nearly equal numbers.
    Trust
        Exact for the flow described.
    Source
        [TunnelChannel, sec. 1; derived].
    Checked
        tests/published/air.csv: ram_xcp_20 … ram_xcp_90.

    Examples
    --------
    >>> round(roof_centre(exit_gap=0.015, entry_gap=0.030), 4)
    0.3863
    """
    r = _gap_ratio(exit_gap, entry_gap)
    e = 1.0 - r
    if e < 0.02:
        return 1.0 / 3.0 + e / 12.0 + e * e / 30.0 + e**3 / 60.0
    moment = 0.5 - (r / e) ** 2 * (log(1.0 / r) - e)
    return 1.0 - moment / e


def aerodynamic_centre(*, exit_gap: float, entry_gap: float) -> float:
    """Where extra lift appears when a flat roof is lowered or pitched: the same place for both.

    That sameness means a flat roof by itself neither steadies nor upsets the ride height;
    the running pads must do the steadying.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    entry_gap : float, >= exit_gap
        Clear height under the roof's front edge. [m]

    Returns
    -------
    float
        Distance behind the front edge over roof length. [-]

    Raises
    ------
    InputError
        A gap is not positive, or the roof opens toward the rear.

    Holds
        As `roof_lift`.
    Trust
        Exact for the flow described; tows of square wings agree in sense [Carter1961, summary; seen].
    Source
        [TunnelChannel, sec. 1; derived].
    Checked
        tests/published/air.csv: ram_xac_30, ram_xac_70, ram_xac_90.

    Examples
    --------
    >>> round(aerodynamic_centre(exit_gap=0.021, entry_gap=0.030), 3)
    0.395
    """
    r = _gap_ratio(exit_gap, entry_gap)
    e = 1.0 - r
    if e < 0.02:
        return 1.0 / 3.0 + e / 6.0 + e * e / 10.0 + e**3 / 15.0
    # m = 1/2 - f g with f = (r/e)^2 and g = ln(1/r) - e;  f' = 2 r/e^3, g' = 1 - 1/r
    slope = -(2.0 * r / e**3) * (log(1.0 / r) - e) - (r / e) ** 2 * (1.0 - 1.0 / r)
    return 1.0 + slope


def lift_slopes(*, exit_gap: float, entry_gap: float) -> tuple[float, float]:
    """How a flat roof's lift coefficient changes with ride height, and with the drop of the roof.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    entry_gap : float, >= exit_gap
        Clear height under the roof's front edge. [m]

    Returns
    -------
    tuple of float
        Change per metre of exit gap with the drop kept, and per metre of drop with the exit
        gap kept. [1/m]

    Raises
    ------
    InputError
        A gap is not positive, or the roof opens toward the rear.

    Holds
        As `roof_lift`.
    Trust
        Exact for the flow described.
    Source
        [TunnelChannel, sec. 1; derived].
    Checked
        tests/unit/physics/test_tunnel.py, against differences of `roof_lift`.

    Examples
    --------
    >>> [round(slope, 2) for slope in lift_slopes(exit_gap=0.03, entry_gap=0.06)]
    [-8.33, 8.33]
    """
    _gap_ratio(exit_gap, entry_gap)
    drop = entry_gap - exit_gap
    return -drop / entry_gap**2, exit_gap / entry_gap**2


def local_pressure(*, exit_gap: float, local_gap: float) -> float:
    """Pressure coefficient under the roof where the gap is ``local_gap``, nothing leaking.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    local_gap : float, > 0
        Clear height at the place asked for. [m]

    Returns
    -------
    float, up to 1
        Pressure above still air over dynamic pressure; below zero it sucks. [-]

    Raises
    ------
    InputError
        A gap is not positive.

    Holds
        As `roof_lift`; as suction only while the flow follows the roof.
    Trust
        Exact for the flow described.
    Source
        [TunnelChannel, sec. 1; derived].
    Checked
        tests/published/air.csv: ram_cp_local, ram_cp_diff.

    Examples
    --------
    >>> local_pressure(exit_gap=0.03, local_gap=0.06)
    0.75
    """
    require_positive(exit_gap=exit_gap, local_gap=local_gap)
    return 1.0 - (exit_gap / local_gap) ** 2


def leak_parameter(*, leak_area: float, width: float, drop: float) -> float:
    """How leaky the sides are, as one number: 0 is tight, 1 loses about two fifths of the lift.

    Parameters
    ----------
    leak_area : float, >= 0
        Open area under ONE side wall: gap x length. [m2]
    width : float, > 0
        Tunnel width between the walls. [m]
    drop : float, > 0
        Entry gap less exit gap. [m]

    Returns
    -------
    float
        Leak parameter lambda. [-]

    Raises
    ------
    InputError
        The area is negative, or the width or the drop is not positive.

    Holds
        A gap much the same all along the wall.
    Trust
        The slot's contraction, 0.61, is from memory.
    Source
        [TunnelChannel, sec. 2; derived].
    Checked
        tests/published/air.csv: leak_lambda.

    Examples
    --------
    >>> round(leak_parameter(leak_area=0.0015, width=0.20, drop=0.03), 3)
    0.305
    """
    require_not_negative(leak_area=leak_area)
    require_positive(width=width, drop=drop)
    return 2.0 * CONTRACTION * leak_area / (width * drop)


def leaky_roof(*, exit_gap: float, entry_gap: float, leak: float) -> tuple[float, float]:
    """Lift coefficient and centre of pressure of a flat roof with evenly leaking sides.

    Parameters
    ----------
    exit_gap : float, > 0
        Clear height under the roof's rear edge. [m]
    entry_gap : float, > exit_gap
        Clear height under the roof's front edge. [m]
    leak : float, >= 0
        Leak parameter, see `leak_parameter`. [-]

    Returns
    -------
    tuple of float
        Lift coefficient, and centre of pressure from the front edge over roof length. [-]

    Raises
    ------
    InputError
        A gap is not positive, the roof does not close toward the rear, or the leak is negative.

    Holds
        As `roof_lift`; exit gaps under 1.5 mm count as 1.5 mm.
    Trust
        0.001 of the printed march.  A 5 mm gap along a 0.30 m tunnel already costs an eighth
        of the lift, so the leak matters more than the equation.
    Source
        [TunnelChannel, sec. 2; derived].
    Checked
        tests/published/air.csv: leak_cl_3_1 … leak_strong, leak_xcp_3_0p25 … leak_xcp_7_3.

    Examples
    --------
    >>> lift, centre = leaky_roof(exit_gap=0.03, entry_gap=0.06, leak=1.0)
    >>> round(lift, 3), round(centre, 3)
    (0.298, 0.405)
    """
    _gap_ratio(exit_gap, entry_gap)
    require_positive(drop_of_the_roof=entry_gap - exit_gap)
    require_not_negative(leak=leak)
    side = leak * (entry_gap - exit_gap) / (2.0 * CONTRACTION)  # width 1, length 1
    gaps, sides = np.array([entry_gap, exit_gap]), np.array([side, side])
    area, moment = march(np.array([0.0, 1.0]), gaps, sides, 1.0, CONTRACTION, np.empty(2))
    return area, moment / area


def leak_factor(*, gap_ratio: float, leak: float) -> float:
    """Share of the tight roof's lift that is left when the sides leak: a fit to the march.

    Parameters
    ----------
    gap_ratio : float, 0 to 1
        Exit gap over entry gap. [-]
    leak : float, >= 0
        Leak parameter, see `leak_parameter`. [-]

    Returns
    -------
    float, 0 to 1
        Factor G on `roof_lift`. [-]

    Raises
    ------
    InputError
        The ratio or the leak is negative.

    Holds
        Gap ratio 0.2 to 0.9, leak up to 3; outside, use `leaky_roof`.
    Trust
        7.5 % of the march.
    Source
        [TunnelChannel, sec. 2; derived].
    Checked
        tests/published/air.csv: leak_fit; tests/unit/physics/test_tunnel.py against the march.

    Examples
    --------
    >>> round(leak_factor(gap_ratio=0.5, leak=1.0), 4)
    0.6116
    """
    require_not_negative(gap_ratio=gap_ratio, leak=leak)
    return 1.0 / (1.0 + (0.16 - 0.05 * gap_ratio) * leak + (1.0 - gap_ratio) * leak**2)


def ground_weight(*, mean_gap: float, roof_length: float) -> float:
    """How much of the tunnel effect is left at this height: 1 on the water, 0 far above it.

    Parameters
    ----------
    mean_gap : float, >= 0
        Mean of entry and exit gap. [m]
    roof_length : float, > 0
        Length of the roof along the boat. [m]

    Returns
    -------
    float, 0 to 1
        Weight g of the tunnel lift; the rest, 1 - g, goes to the free plate. [-]

    Raises
    ------
    InputError
        The gap is negative or the length is not positive.

    Holds
        A smooth hand-over, no more.  Strong effect ends near a quarter of the length
        [Rozhdestvensky2000, sec. 1.1.1; seen].
    Trust
        A choice, to be learned from a slow tow with a spring scale.
    Source
        Ours (choice).
    Checked
        tests/published/air.csv: model_Vcrit_trim2 … model_B_8_4, as part of the whole model.

    Examples
    --------
    >>> ground_weight(mean_gap=0.15, roof_length=0.30)
    0.5
    """
    require_not_negative(mean_gap=mean_gap)
    require_positive(roof_length=roof_length)
    return 1.0 / (1.0 + (mean_gap / (0.5 * roof_length)) ** 2)


def induced_drag_factor(*, height: float, span: float) -> float:
    """Share of a free wing's induced drag that is left near the surface.

    Parameters
    ----------
    height : float, >= 0
        Height of the plate above the water. [m]
    span : float, > 0
        Its width across the flow. [m]

    Returns
    -------
    float, 0 to 1
        Factor on the induced drag far from the water. [-]

    Raises
    ------
    InputError
        The height is negative or the span is not positive.

    Holds
        Wings without side plates; only the free-plate share of a boat.
    Trust
        Published forms differ by 40 % at a height of a tenth of the span (this one 0.72,
        another 0.52), so treat it as a hint.
    Source
        [PhillipsHunsaker2013, Eq. 5; second-hand].
    Checked
        tests/published/air.csv: ge_phillips_01.

    Examples
    --------
    >>> round(induced_drag_factor(height=0.03, span=0.30), 4)
    0.7177
    """
    require_not_negative(height=height)
    require_positive(span=span)
    return float(1.0 - np.exp(-4.01 * (2.0 * height / span) ** 0.717))


def water_dent(*, speed: float, air_density: float, water_density: float) -> float:
    """How deep air at rest would press the water down: an upper bound, for slow boats.

    Parameters
    ----------
    speed : float
        Air speed. [m/s]
    air_density : float, > 0
        Density of the air. [kg/m3]
    water_density : float, > 0
        Density of the water. [kg/m3]

    Returns
    -------
    float
        Depth of the dent. [m]

    Raises
    ------
    InputError
        A density is not positive.

    Holds
        A boat that stays in place.  Above about 4 m/s the water has no time: under 1 mm.
    Trust
        Order of magnitude.
    Source
        [TunnelChannel, sec. 4; derived].
    Checked
        tests/published/air.csv: press_dip.

    Examples
    --------
    >>> round(1000 * water_dent(speed=10.0, air_density=1.225, water_density=998.0), 2)
    6.26
    """
    require_positive(air_density=air_density, water_density=water_density)
    return 0.5 * air_density * speed**2 / (water_density * 9.80665)


def channel_pressures(*, stations: Array, gap: Array, side_gap: Array, width: float) -> Array:
    """Pressure under a roof of any shape with sides that leak by any amount.

    The air is followed from the rear edge, where its speed is known, forward to the bow.

    Parameters
    ----------
    stations : float array (n,)
        Places along the roof, rising from front to rear. [m]
    gap : float array (n,)
        Clear height under the roof at each station. [m]
    side_gap : float array (n,)
        Clear height under one side wall; the whole gap where no wall hangs. [m]
    width : float, > 0
        Tunnel width. [m]

    Returns
    -------
    float array (n,)
        Pressure coefficient at each station, from -0.5 to 1. [-]

    Raises
    ------
    InputError
        Fewer than two stations, stations that do not rise, arrays of different length, or a
        width that is not positive.

    Holds
        As `roof_lift`.  Gaps under 1.5 mm count as 1.5 mm, so a roof edge at the water gives a
        full cushion and not a division by zero.  Suction stops at -0.5, where the air lets go of
        the roof (choice); leaking inward is left out (choice).
    Trust
        Lift within 30 % for gaps under 0.1 of the length, 50 % to 0.25 (judgement).
    Source
        [TunnelChannel, sec. 2; derived].
    Checked
        tests/published/air.csv: leak_…; tests/unit/physics/test_tunnel.py against closed forms.

    Examples
    --------
    >>> x, gaps = np.array([0.0, 0.3]), np.array([0.06, 0.03])
    >>> channel_pressures(stations=x, gap=gaps, side_gap=0 * gaps, width=0.2).round(3).tolist()
    [0.75, 0.0]
    """
    pressures = np.empty(len(stations))
    march(*_arrays(stations, gap, side_gap), _positive_width(width), CONTRACTION, pressures)
    return pressures


def channel_lift(*, stations: Array, gap: Array, side_gap: Array, width: float) -> tuple[float, float]:
    """Lift area of a roof of any shape, and the place of its lift.

    Parameters
    ----------
    stations, gap, side_gap, width
        As for `channel_pressures`. [m]

    Returns
    -------
    tuple of float
        Lift over dynamic pressure [m2], and that area times the x where it acts [m3].

    Raises
    ------
    InputError
        As `channel_pressures`.

    Holds
        As `channel_pressures`.
    Trust
        As `channel_pressures`.
    Source
        [TunnelChannel, sec. 2; derived].
    Checked
        tests/published/air.csv: ram_lift.

    Examples
    --------
    >>> x, gaps = np.array([0.0, 0.3]), np.array([0.06, 0.03])
    >>> area, moment = channel_lift(stations=x, gap=gaps, side_gap=0 * gaps, width=0.2)
    >>> round(area, 5), round(moment / area / 0.3, 3)
    (0.03, 0.386)
    """
    arrays = _arrays(stations, gap, side_gap)
    area, moment = march(*arrays, _positive_width(width), CONTRACTION, np.empty(len(stations)))
    return area, moment


@dataclass(frozen=True, kw_only=True, eq=False)
class TunnelTable:
    """Tunnel lift over ride height and trim, ready to be read between its points."""

    rear_gaps: Array  # (n_gaps,) height of the roof's rear edge above the water [m]
    trims: Array  # (n_trims,) bow-up trim [rad]
    lift_area: Array  # (n_gaps, n_trims) lift over dynamic pressure [m2]
    lift_moment: Array  # (n_gaps, n_trims) lift area x the x where it acts, from the bow [m3]
    weight: Array  # (n_gaps, n_trims) ground weight g, 1 near the water; multiplies both [-]
    front: float  # x of the roof's front edge [m]
    rear: float  # x of its rear edge [m]

    @property
    def arm(self) -> Array:
        """Place of the lift from the bow, kept under the roof: where push and suction nearly cancel,
        moment over lift means nothing, so read between the points of `lift_moment` instead. [m]
        """
        lifts = np.abs(self.lift_area) > 1e-12
        place = np.where(lifts, self.lift_moment, 0.5 * (self.front + self.rear))
        return np.clip(place / np.where(lifts, self.lift_area, 1.0), self.front, self.rear)


def tunnel_table(
    *, stations: Array, roof: Array, wall: Array, width: float, rear_gaps: Array, trims: Array
) -> TunnelTable:
    """Lift of one tunnel over a grid of ride heights and trims.

    Parameters
    ----------
    stations : float array (n,)
        x of each section, rising from roof front to roof rear, boat axes. [m]
    roof : float array (n,)
        Height of the roof above the pad plane. [m]
    wall : float array (n,)
        Height of the side walls' lower edge; the roof's own height where no wall hangs. [m]
    width : float, > 0
        Tunnel width. [m]
    rear_gaps : float array (n_gaps,)
        Heights of the roof's rear edge above the water. [m]
    trims : float array (n_trims,)
        Bow-up trims. [rad]

    Returns
    -------
    TunnelTable
        Lift area [m2], its moment about the bow [m3] and the ground weight [-].  Lift is square
        to the roof; lift = q x weight x lift area.

    Raises
    ------
    InputError
        As `channel_pressures`.

    Holds
        As `channel_pressures`; the water under the boat is taken as flat.  Roof that dips into
        the water counts as the smallest gap.
    Trust
        As `channel_pressures`.
    Source
        [TunnelChannel, sec. 2; derived], `ground_weight` (choice).
    Checked
        tests/unit/physics/test_tunnel.py, pose by pose against `channel_lift`.

    Examples
    --------
    >>> x, roof = np.array([0.1, 0.4]), np.array([0.03, 0.03])
    >>> table = tunnel_table(stations=x, roof=roof, wall=0 * roof, width=0.2,
    ...                      rear_gaps=np.array([0.03]), trims=np.array([0.1]))
    >>> table.lift_area.round(4).tolist()
    [[0.0211]]
    """
    stations, roof, wall = _arrays(stations, roof, wall)
    gaps, angles = np.asarray(rear_gaps, float), np.asarray(trims, float)
    area, moment, mean_gap = march_poses(
        stations, roof, wall, _positive_width(width), CONTRACTION, gaps, angles
    )
    weight = 1.0 / (1.0 + (2.0 * mean_gap / (stations[-1] - stations[0])) ** 2)
    return TunnelTable(
        rear_gaps=gaps,
        trims=angles,
        lift_area=area,
        lift_moment=moment,
        weight=weight,
        front=float(stations[0]),
        rear=float(stations[-1]),
    )


def envelope(*, exit_gap: float, entry_gap: float, roof_length: float) -> tuple[Finding, ...]:
    """What lies outside the range of the tunnel forms.

    Examples
    --------
    >>> envelope(exit_gap=0.012, entry_gap=0.020, roof_length=0.30)
    ()
    >>> envelope(exit_gap=0.05, entry_gap=0.08, roof_length=0.30)[0].code
    'tunnel-high'
    """
    require_positive(roof_length=roof_length)
    findings = outside(
        "tunnel-high", "Clearance over roof length", value=exit_gap / roof_length, high=0.1,
        why="Above it the tunnel lifts less surely: within 50 % up to 0.25, then hardly at all.",
        do="Read the lift as a rough guide, and watch the nose in a slow tow.",
    )  # fmt: skip
    if entry_gap < exit_gap:
        gaps = f"{1000 * entry_gap:.0f} mm in front, {1000 * exit_gap:.0f} mm behind"
        what = f"The tunnel opens toward the stern: {gaps}."
        why = "Such a tunnel sucks the boat down and is less steady."
        do = "Lower the rear of the roof or raise its front."
        findings += (Finding(code="tunnel-sucks", severity="warning", what=what, why=why, do=do),)
    if exit_gap < SMALLEST_GAP:
        what = f"The exit gap is {1000 * exit_gap:.1f} mm; the model takes 1.5 mm as the least."
        do = "Treat the air as shut in, and expect ripples to close the gap."
        findings += (Finding(code="tunnel-shut", severity="note", what=what, do=do),)
    return findings


def _gap_ratio(exit_gap: float, entry_gap: float) -> float:
    if not (0 < exit_gap <= entry_gap):
        raise InputError(
            what="Tunnel roof",
            got=f"exit gap {1000 * exit_gap:.1f} mm, entry gap {1000 * entry_gap:.1f} mm",
            allowed="0 < exit gap <= entry gap",
            do="Lower the rear of the roof or raise its front.",
        )
    return exit_gap / entry_gap


def _positive_width(width: float) -> float:
    require_positive(tunnel_width=width)
    return float(width)


def _arrays(stations: Array, first: Array, second: Array) -> tuple[Array, Array, Array]:
    x, a, b = (np.ascontiguousarray(values, dtype=np.float64) for values in (stations, first, second))
    if x.ndim != 1 or len(x) < 2 or a.shape != x.shape or b.shape != x.shape or not (np.diff(x) > 0).all():
        raise InputError(
            what="Tunnel sections",
            got=f"{x.size} places, {a.size} roof heights, {b.size} wall heights",
            allowed="two or more places, rising from bow to stern, with one roof and one wall height each",
            do="Check the tunnel lines of the kit.",
        )
    return x, a, b


__all__ = [
    "CONTRACTION",
    "SMALLEST_GAP",
    "TunnelTable",
    "aerodynamic_centre",
    "channel_lift",
    "channel_pressures",
    "envelope",
    "ground_weight",
    "induced_drag_factor",
    "leak_factor",
    "leak_parameter",
    "leaky_roof",
    "lift_slopes",
    "local_pressure",
    "roof_centre",
    "roof_lift",
    "tunnel_table",
    "water_dent",
]

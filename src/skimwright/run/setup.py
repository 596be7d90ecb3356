"""From a drawn hull to the rows the kernel reads: strips of bottom, tunnel tables, device, scene."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skimwright.base import InputError
from skimwright.boat import MassProperties, Plate, RunningForm, Thrust
from skimwright.physics import air, crosswind, plate, thrust, tunnel, water
from skimwright.physics.thrust import Device
from skimwright.pond import Conditions
from skimwright.run.forces import BY_LINE, BY_SPEED, BY_TIME, RUN_ROWS, STRIP_ROWS, Scene
from skimwright.run.spread import wind_rows

Array = NDArray[np.float64]

GAUSS = 1.0 / math.sqrt(3.0)  # two strips here have the same heel stiffness as the whole width
STRIPS_ACROSS = {"floor": 2, "bow": 2}
FEET = ("pad-left", "pad-right")
GRAVITY = 9.80665  # standard [m/s2]


def strip_names(form: RunningForm) -> tuple[str, ...]:
    """The strips in the order the kernel reads them; the two pads come first."""
    ordered = sorted(form.plates, key=lambda p: (p.name not in FEET, p.name))
    return tuple(
        f"{p.name}/{i}" if STRIPS_ACROSS.get(p.name, 1) > 1 else p.name
        for p in ordered
        for i in range(STRIPS_ACROSS.get(p.name, 1))
    )


def strips(
    form: RunningForm,
    *,
    centre: Array,
    pad_angle: Array,
    pad_toe: Array,
    pad_cant: Array,
    floor_twist: Array,
) -> Array:
    """Rows of bottom strips for every run.

    Parameters
    ----------
    form : RunningForm
    centre : float array (runs, 3)
        Centre of gravity, boat axes. [m]
    pad_angle, pad_toe, pad_cant : float array (runs, 2)
        Errors of the left and right pad: nose-up, front to starboard, outer edge high. [rad]
    floor_twist : float array (runs,)
        Heel of the floor's rear edge against its front edge, to starboard. [rad]

    Returns
    -------
    float array (runs, strips x 13)
        In the order of ``STRIP_ROWS``; body axes x forward, y starboard, z down from the centre of gravity.
    """
    ordered = sorted(form.plates, key=lambda p: (p.name not in FEET, p.name))
    blocks = [
        _plate_rows(plate, centre, pad_angle, pad_toe, pad_cant, floor_twist, offset, share)
        for plate in ordered
        for offset, share in _across(plate)
    ]
    return np.ascontiguousarray(np.concatenate(blocks, axis=1))


def strip_rows(form: RunningForm, drawn: Mapping[str, Array]) -> Array:
    """:func:`strips` of every run drawn."""

    def pair(name: str) -> Array:
        return np.stack([drawn[f"{name}_left"], drawn[f"{name}_right"]], axis=1)

    return strips(
        form,
        centre=np.stack([drawn["balance_x"], drawn["balance_y"], drawn["balance_z"]], axis=1),
        pad_angle=pair("pad_angle"),
        pad_toe=pair("pad_toe"),
        pad_cant=pair("pad_cant"),
        floor_twist=drawn["floor_twist"],
    )


def _across(plate: Plate) -> list[tuple[float, float]]:
    if STRIPS_ACROSS.get(plate.name, 1) == 1:
        return [(0.0, 1.0)]
    return [(-0.5 * GAUSS * plate.beam, 0.5), (0.5 * GAUSS * plate.beam, 0.5)]


def _plate_rows(
    bottom: Plate,
    centre: Array,
    pad_angle: Array,
    pad_toe: Array,
    pad_cant: Array,
    floor_twist: Array,
    offset: float,
    share: float,
) -> Array:
    runs = len(centre)
    front = np.tile(bottom.front, (runs, 1))
    rear = np.tile(bottom.rear, (runs, 1))
    lateral = np.tile([0.0, 1.0, 0.0], (runs, 1))
    length = float(np.linalg.norm(bottom.front - bottom.rear))
    if bottom.name in FEET:
        side = FEET.index(bottom.name)
        front[:, 2] += length * np.sin(pad_angle[:, side])
        middle = 0.5 * (front[:, 1] + rear[:, 1])
        swing = 0.5 * length * np.sin(pad_toe[:, side])
        front[:, 1], rear[:, 1] = middle + swing, middle - swing
        lateral[:, 0] = np.sin(
            pad_toe[:, side]
        )  # starboard edge swings aft when the front points to starboard
        lateral[:, 2] = np.sin(pad_cant[:, side]) * (1.0 if side else -1.0)
    if bottom.name == "floor":
        rear[:, 2] -= offset * np.sin(floor_twist)
    front[:, 1] += offset
    rear[:, 1] += offset
    a = _to_body(rear, centre)
    chord = _to_body(front, centre) - a
    run = np.linalg.norm(chord, axis=1, keepdims=True)
    chord /= run
    normal = np.cross(lateral * [-1.0, 1.0, -1.0], chord)
    normal *= np.where(normal[:, 2:] > 0.0, -1.0, 1.0) / np.linalg.norm(normal, axis=1, keepdims=True)
    ones = np.ones((runs, 1))
    walls = 1.0 * share if bottom.name in ("floor",) else (0.0 if bottom.name == "bow" else 1.0)
    rows = np.concatenate(
        [a, chord, normal, run, ones * bottom.beam, ones * bottom.beam * share, ones * walls], axis=1
    )
    assert rows.shape[1] == len(STRIP_ROWS)
    return rows


def _to_body(point: Array, centre: Array) -> Array:
    return np.asarray((point - centre) * [-1.0, 1.0, -1.0])


# ---------------------------------------------------------------------------------------------- scene and runs

REAR_GAPS = np.linspace(0.0015, 0.1515, 31)
TRIMS = np.linspace(-6.0, 18.0, 25) * math.pi / 180.0
TABLE_STEP = 0.01  # thrust tables [s]


def scene(
    form: RunningForm,
    *,
    device: Device,
    conditions: Conditions,
    gate_distance: float,
    time_limit: float = 60.0,
    finer: float = 1.0,
) -> Scene:
    """What all runs of one forecast share.

    Parameters
    ----------
    form : RunningForm
    device : Device
    conditions : Conditions
    gate_distance : float, > 0
        [m]
    time_limit : float
        A run still moving then is ended. [s]
    finer : float
        Divides every time step; 2 halves them.

    Raises
    ------
    InputError
        The kit has no running surfaces, so nothing can be said of a run.
    """
    if not form.plates:
        raise InputError(
            what="This kit has no running surfaces written down",
            got="parts only",
            allowed="a three-point boat",
            do="shape and float work for it; for a forecast describe it as a three-point boat.",
        )
    warm = water.kinematic_viscosity(temperature=conditions.water_temperature)
    dense = water.density(temperature=conditions.water_temperature)
    table = _tunnel(form)
    push = _push(device)
    blade, fin, deck = form.blade, form.air_fin, form.deck
    roof = form.tunnel
    first, last = (roof.roof[0], roof.roof[-1]) if roof else (0.0, 0.0)
    front, rear = (roof.stations[0], roof.stations[-1]) if roof else (0.0, 1.0)
    return Scene(
        water_density=dense,
        viscosity=warm,
        air_density=air.moist_density(
            temperature=conditions.air_temperature, pressure=101325.0, humidity=0.6
        ),
        gravity=GRAVITY,
        **push,
        blade_x=float(blade.centre[0]) if blade else 0.0,
        blade_tip=blade.tip if blade else 0.0,
        blade_root=blade.root if blade else 0.0,
        blade_chord=blade.chord if blade else 0.0,
        fin_area=fin.area if fin else 0.0,
        fin_slope=plate.lift_slope(aspect_ratio=2.0 * fin.span**2 / fin.area) if fin else 0.0,
        fin_x=float(fin.centre[0]) if fin else 0.0,
        fin_z=float(fin.centre[2]) if fin else 0.0,
        deck_area=deck.area,
        deck_slope=plate.lift_slope(aspect_ratio=deck.beam**2 / deck.area),
        deck_length=deck.length,
        deck_beam=deck.beam,
        deck_front=deck.front,
        deck_z=deck.height,
        front_area=form.frontal_area,
        front_z=0.5 * form.deck_height,
        side_area=form.side_area,
        side_slope=crosswind.hull_slope(side_height=form.side_area / form.length, side_area=form.side_area),
        side_x=float(form.side_centre[0]),
        side_z=float(form.side_centre[2]),
        roof_area=roof.width * (rear - front) if roof else 0.0,
        roof_length=rear - front,
        roof_sine=math.sin(math.atan2(first - last, rear - front)),
        roof_rear=float(rear),
        roof_rear_z=float(last),
        roof_mid_z=0.5 * float(first + last),
        roof_mid_x=0.5 * float(front + rear),
        tunnel_lift=table[0],
        tunnel_arm=table[1],
        gap_first=float(REAR_GAPS[0]),
        gap_step=float(REAR_GAPS[1] - REAR_GAPS[0]),
        gaps=len(REAR_GAPS),
        trim_first=float(TRIMS[0]),
        trim_step=float(TRIMS[1] - TRIMS[0]),
        trims=len(TRIMS),
        gate=gate_distance,
        stop_speed=0.25,
        time_limit=time_limit,
        travel_step=0.010 / finer,
        shortest_step=0.0008 / finer,
        longest_step=0.006 / finer,
    )


def _tunnel(form: RunningForm) -> tuple[Array, Array]:
    if form.tunnel is None:
        nothing = np.zeros(len(REAR_GAPS) * len(TRIMS))
        return nothing, nothing
    roof = form.tunnel
    table = tunnel.tunnel_table(
        stations=roof.stations, roof=roof.roof, wall=roof.wall, width=roof.width,
        rear_gaps=REAR_GAPS, trims=TRIMS,
    )  # fmt: skip
    arm = roof.stations[-1] - table.arm
    # A nose-down tunnel sucks, but where no wall hangs air comes in from the sides and fills it [choice].
    hung = np.diff(roof.stations)[(roof.wall < roof.roof - 1e-6)[:-1]].sum()
    walled = float(hung / (roof.stations[-1] - roof.stations[0]))
    lift = np.where(table.lift_area < 0.0, walled, 1.0) * table.lift_area
    return np.ascontiguousarray(lift.ravel()), np.ascontiguousarray(arm.ravel())


def _push(device: Device) -> dict[str, Any]:
    """A device in the kernel's terms."""
    rest: dict[str, Any] = {
        "thrust": 0.0, "thrust_slope": 0.0, "thrust_end": 0.0, "table": np.zeros(2), "table_mass": np.zeros(2),
        "table_step": 1.0, "propellant": 0.0, "line_length": 0.0, "line_mass": 0.0,
    }  # fmt: skip
    law = device.law
    if isinstance(law, thrust.PropellerLaw):
        return rest | {
            "device": BY_SPEED,
            "thrust": law.static_thrust,
            "thrust_slope": law.thrust_lost,
            "thrust_end": law.timer,
        }
    if isinstance(law, thrust.TowlineLaw):
        return rest | {
            "device": BY_LINE,
            "thrust": law.steady_tension,
            "line_length": law.reach,
            "line_mass": law.falling_mass / law.ratio**2,
        }
    table = thrust.thrust_table(device, TABLE_STEP)
    gone = (table.mass[0] - table.mass) / device.charge if device.charge > 0 else np.zeros(len(table.mass))
    return rest | {
        "device": BY_TIME,
        "table": np.ascontiguousarray(np.append(table.force, 0.0)),
        "table_mass": np.ascontiguousarray(np.append(gone, gone[-1])),
        "table_step": TABLE_STEP,
        "propellant": device.charge,
    }


def run_rows(
    drawn: Mapping[str, Array],
    *,
    body: MassProperties,
    line: Thrust,
    conditions: Conditions,
    rest: tuple[float, float, float],
) -> Array:
    """Rows of what differs from run to run, in the kernel's order.

    Parameters
    ----------
    drawn : from :func:`~skimwright.run.spread.draw`
    body : MassProperties
        Of the boat as built; its inertia follows the drawn mass.
    line : Thrust
        Where and along which line the device pushes.
    conditions : Conditions
    rest : sinkage of the boat's origin [m], trim [rad], heel [rad]
        How it floats before it is let go.

    Returns
    -------
    float array (runs + 1, len(RUN_ROWS))
    """
    n = len(drawn["mass"])
    soaked = drawn["water_gain"] * _soaking(n)
    mass = drawn["mass"] + soaked
    scale = mass / body.mass
    xg, yg, zg = drawn["balance_x"], drawn["balance_y"], drawn["balance_z"]
    tx, ty, tz = line.place
    toe, tilt = line.toe + drawn["thrust_toe"], line.tilt + drawn["thrust_tilt"]
    sinkage, trim, heel = rest
    inertia = body.inertia
    rows: dict[str, Array | float] = {
        "mass": mass,
        "ixx": inertia[0, 0] * scale,
        "iyy": inertia[1, 1] * scale,
        "izz": inertia[2, 2] * scale,
        "ixz": -inertia[0, 2] * scale,
        "xg": xg,
        "yg": yg,
        "zg": zg,
        "thrust_scale": drawn["thrust_factor"],
        "time_scale": drawn["burn_time"],
        "thrust_x": xg - tx,
        "thrust_y": ty + drawn["device_y"] - yg,
        "thrust_z": zg - tz,
        "line_x": np.cos(tilt) * np.cos(toe),
        "line_y": np.cos(tilt) * np.sin(toe),
        "line_z": -np.sin(tilt),
        "blade_yaw": drawn["blade_yaw"],
        "start_trim": trim + drawn["start_trim"],
        "start_heel": heel + drawn["start_heel"],
        "start_z": sinkage + xg * math.sin(trim) - zg * math.cos(trim),
        **wind_rows(drawn, conditions),
    }
    same = (
        "blade_factor", "vent_angle", "vent_factor", "friction_mix", "lift_factor", "hump_strength",
        "tunnel_factor", "deck_factor", "drag_factor", "side_air_factor", "side_water_factor",
        "heave_damping", "start_speed", "start_yaw", "start_yaw_rate",
    )  # fmt: skip
    rows |= {key: drawn[key] for key in same}
    return np.ascontiguousarray(np.stack([np.broadcast_to(rows[key], n) for key in RUN_ROWS], axis=1))


def _soaking(n: int) -> Array:
    """How much of one run's water is aboard: half on average, and half for run 0."""
    return np.concatenate([[0.5], (np.arange(n - 1) + 0.5) / max(n - 1, 1)])

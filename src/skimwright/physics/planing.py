"""Flat and shallow-vee plates planing: lift, where it acts, how long they are wet, and what they cost.

Four files stand behind this door: Savitsky's laws (`planing_flat`), the exact limit for short plates
(`planing_sheet`), the rule the runs use for running pads (`planing_pad`) and a whole boat on one bottom
(`planing_hull`).  Trim is the angle of *this* surface, bow up; the wetted ratio is mean wetted length over
beam; the speed coefficient is speed over sqrt(gravity x beam).  One page of words: docs/physics/planing.md.
"""

from __future__ import annotations

from math import degrees

from skimwright.base import Finding
from skimwright.physics.guard import outside
from skimwright.physics.planing_flat import (
    GRAVITY,
    added_spray_ratio,
    bottom_speed_ratio,
    drag,
    dynamic_lift,
    flat_centre,
    flat_lift,
    flat_lift_under_vee,
    friction_drag,
    gravity_lift,
    keel_and_chine,
    spray_root_angle,
    static_lift,
    still_ratio,
    vee_lift,
    wave_rise,
)
from skimwright.physics.planing_hull import (
    Hull,
    Running,
    Thrust,
    Water,
    balance_through_centre,
    equilibrium,
    pitch_residual,
    running_at,
)
from skimwright.physics.planing_pad import (
    STEEPEST,
    PadRide,
    lift_band,
    pad_centre,
    pad_dynamic_lift,
    pad_lift,
    pad_ride,
    second_lift,
    wetted_ratio_for,
)
from skimwright.physics.planing_sheet import (
    spray_thickness_ratio,
    two_dimensional_centre,
    two_dimensional_lift,
)

__all__ = [
    "GRAVITY",
    "STEEPEST",
    "Hull",
    "PadRide",
    "Running",
    "Thrust",
    "Water",
    "added_spray_ratio",
    "balance_through_centre",
    "bottom_speed_ratio",
    "drag",
    "dynamic_lift",
    "envelope",
    "equilibrium",
    "flat_centre",
    "flat_lift",
    "flat_lift_under_vee",
    "friction_drag",
    "gravity_lift",
    "keel_and_chine",
    "lift_band",
    "pad_centre",
    "pad_dynamic_lift",
    "pad_lift",
    "pad_ride",
    "pitch_residual",
    "running_at",
    "second_lift",
    "spray_root_angle",
    "spray_thickness_ratio",
    "static_lift",
    "still_ratio",
    "two_dimensional_centre",
    "two_dimensional_lift",
    "vee_lift",
    "wave_rise",
    "wetted_ratio_for",
]


def envelope(
    *, trim: float, wetted_ratio: float, speed_coefficient: float, deadrise: float = 0.0
) -> tuple[Finding, ...]:
    """Where a planing surface leaves what was ever tested.

    Examples
    --------
    >>> from math import radians
    >>> envelope(trim=radians(1), wetted_ratio=0.8, speed_coefficient=10.0)[0].what
    'Trim of the surface is 1 deg; the model was checked from 2 to 15 deg.'
    """
    why = "The lift law was measured only there; the number still comes, with a wider band."
    return (
        *outside("planing-trim", "Trim of the surface", value=degrees(trim), low=2.0, high=15.0, unit="deg",
                 why=why, do="Check the angle of this surface on the built boat."),
        *outside("planing-wetted", "Wetted length over beam", value=wetted_ratio, low=0.5, high=4.0, why=why,
                 do="Mark the wet line after a run and compare it."),
        *outside("planing-speed", "Speed coefficient", value=speed_coefficient, low=0.6, high=25.0, why=why,
                 do="Read the lift at this speed as a rough figure."),
        *outside("planing-deadrise", "Deadrise", value=degrees(deadrise), low=0.0, high=30.0, unit="deg",
                 why=why, do="Use a flatter vee."),
    )  # fmt: skip

"""A boat as built: what was measured wins; what was not has the class's spread, never nought."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from skimwright.boat.mass import MassProperties, total_mass
from skimwright.boat.plan import DEGREE, Kit


@dataclass(frozen=True, kw_only=True)
class AsBuilt:
    """What was measured on one boat; None is "not measured", never nought."""

    boat: str
    mass: float | None = None  # ready to run, device and all [kg]
    balance_x: float | None = None  # from the bow [m]
    balance_y: float | None = None  # to starboard + [m]
    balance_z: float | None = None  # above the pad plane [m]
    pad_angle_left: float | None = None  # error against the drawing, nose-up + [rad]
    pad_angle_right: float | None = None
    pad_toe_left: float | None = None  # front to starboard + [rad]
    pad_toe_right: float | None = None
    pad_cant_left: float | None = None  # outer edge high + [rad]
    pad_cant_right: float | None = None
    blade_yaw: float | None = None  # trailing edge to starboard + [rad]
    floor_twist: float | None = None  # rear edge leaning to starboard against the front edge + [rad]
    device_y: float | None = None  # to starboard + [m]
    deck_length: float | None = None  # [m]
    water_gain: float | None = None  # per run [kg]

    @property
    def measured(self) -> tuple[str, ...]:
        """Names of what was measured."""
        return tuple(name for name in QUANTITIES if getattr(self, name) is not None)


QUANTITIES = tuple(item.name for item in fields(AsBuilt) if item.name != "boat")

# One standard deviation of a careful measurement with school tools [choice]: kitchen scale 1 g, two-scale
# balance 2 mm, angle card 0.2 deg, steel rule 0.5 mm.
MEASURED_WITHIN: dict[str, float] = {
    "mass": 0.001,
    "balance_x": 0.002,
    "balance_y": 0.001,
    "balance_z": 0.003,
    "pad_angle_left": 0.2 * DEGREE,
    "pad_angle_right": 0.2 * DEGREE,
    "pad_toe_left": 0.2 * DEGREE,
    "pad_toe_right": 0.2 * DEGREE,
    "pad_cant_left": 0.2 * DEGREE,
    "pad_cant_right": 0.2 * DEGREE,
    "blade_yaw": 0.2 * DEGREE,
    "floor_twist": 0.2 * DEGREE,
    "device_y": 0.0005,
    "deck_length": 0.0005,
    "water_gain": 0.0005,
}
USUAL_WATER_GAIN = 0.001  # per run, of a boat whose edges nobody checked [kg] [choice]


@dataclass(frozen=True, kw_only=True)
class Spread:
    """A quantity with one standard deviation."""

    mean: float
    sd: float
    measured: bool


def spread(as_built: AsBuilt, *, kit: Kit) -> dict[str, Spread]:
    """Each quantity of `AsBuilt` with its spread: measured, or as drawn with the class's tolerance.

    Returns
    -------
    dict
        Name to mean and standard deviation, in SI; the deviation is never nought.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    ``spread(AsBuilt(boat="07"), kit=fold_62)["mass"].mean`` is 0.269 kg.
    """
    drawn = total_mass(kit)
    nominal = dict(zip(("balance_x", "balance_y", "balance_z"), map(float, drawn.centre), strict=True))
    nominal |= {"mass": drawn.mass, "deck_length": kit.length, "water_gain": USUAL_WATER_GAIN}
    result: dict[str, Spread] = {}
    for name in QUANTITIES:
        value = getattr(as_built, name)
        if value is not None:
            result[name] = Spread(mean=value, sd=MEASURED_WITHIN[name], measured=True)
        else:
            wide = getattr(kit.tolerances, name.removesuffix("_left").removesuffix("_right"))
            result[name] = Spread(mean=nominal.get(name, 0.0), sd=wide, measured=False)
    return result


def with_measured(kit: Kit, as_built: AsBuilt) -> MassProperties:
    """The boat's mass, balance and inertia with what was measured in place of what was drawn.

    Measured mass scales the inertia; a measured balance moves the centre and leaves the inertia about
    it: what was left out or glued on is taken to lie as the boat's own mass does.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    ``with_measured(fold_62, AsBuilt(boat="07", mass=0.307)).mass`` is 0.307 kg.
    """
    drawn = total_mass(kit)
    mass = drawn.mass if as_built.mass is None else as_built.mass
    measured = (as_built.balance_x, as_built.balance_y, as_built.balance_z)
    centre = np.array([d if m is None else m for d, m in zip(drawn.centre, measured, strict=True)])
    return replace(drawn, mass=mass, centre=centre, inertia=drawn.inertia * (mass / drawn.mass))

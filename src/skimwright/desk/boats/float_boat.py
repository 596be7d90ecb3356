"""A boat lying still on the water, or standing on its three feet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skimwright.boat import AsBuilt, Kit, all_shells, running_form, total_mass, with_measured
from skimwright.physics import flotation, water

USUAL_WATER = 285.15  # fresh water of 12 C [K]


@dataclass(frozen=True, kw_only=True)
class Floating:
    """A boat at rest."""

    mass: float  # [kg]
    centre: tuple[float, float, float]  # balance point, boat axes [m]
    at_rest: flotation.Flotation
    feet: flotation.Feet


def float_as_built(
    kit: Kit, built: AsBuilt, *, water_temperature: float = USUAL_WATER, flooded: Sequence[str] = ()
) -> Floating:
    """A boat with what was measured on it.

    Parameters
    ----------
    water_temperature : float
        [K]
    """
    body = with_measured(kit, built)
    x, y, z = (float(value) for value in body.centre)
    return _float(kit, mass=body.mass, centre=(x, y, z), water_temperature=water_temperature, flooded=flooded)


def float_kit(
    kit: Kit,
    *,
    mass: float | None = None,
    centre: tuple[float, float, float] | None = None,
    water_temperature: float = USUAL_WATER,
    flooded: Sequence[str] = (),
) -> Floating:
    """A kit at a given mass [kg] and balance point [m]; as drawn where nothing is given.

    Raises
    ------
    InputError
        The mass or the place cannot be.
    ModelError
        No resting attitude was found.
    """
    drawn = total_mass(kit)
    x, y, z = centre if centre is not None else (float(value) for value in drawn.centre)
    return _float(
        kit,
        mass=drawn.mass if mass is None else mass,
        centre=(x, y, z),
        water_temperature=water_temperature,
        flooded=flooded,
    )


def _float(
    kit: Kit,
    *,
    mass: float,
    centre: tuple[float, float, float],
    water_temperature: float,
    flooded: Sequence[str],
) -> Floating:
    at_rest = flotation.rest_attitude(
        all_shells(kit, flooded=flooded),
        mass=mass,
        centre=np.array(centre),
        water_density=water.density(temperature=water_temperature),
        length=kit.length,
    )
    pads, stern = kit.contacts
    feet = flotation.feet_shares(
        centre_x=centre[0],
        centre_y=centre[1],
        pad_contact=pads,
        stern_contact=stern,
        pad_spread=running_form(kit).pad_spread,
    )
    return Floating(mass=mass, centre=centre, at_rest=at_rest, feet=feet)

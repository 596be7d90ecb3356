"""What the run model needs to know of a hull: its running surfaces, tunnel, deck and fins.

Boat axes: x from the bow aft, y to starboard, z up from the running-pad plane. [m]
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A flat bottom surface that can carry the boat on the water."""

    name: str  # "pad-left", "pad-right", "ramp-left", "ramp-right", "floor", "bow"
    front: Array  # (3,) middle of the front edge, boat axes [m]
    rear: Array  # (3,) middle of the rear edge, boat axes [m]
    beam: float  # width across the flow [m]


@dataclass(frozen=True, kw_only=True)
class Tunnel:
    """The air space under the hull between the sponsons, and on to the transom."""

    stations: Array  # (n,) x of each section, rising from roof front to roof rear [m]
    roof: Array  # (n,) height of the roof above the pad plane [m]
    wall: Array  # (n,) height of the side walls' lower edge; the roof's own height where no wall hangs [m]
    width: float  # between the walls [m]


@dataclass(frozen=True, kw_only=True)
class Deck:
    """The whole upper surface as a plate in the air."""

    area: float  # plan area [m2]
    beam: float  # greatest width [m]
    length: float  # [m]
    front: float  # x of its leading edge [m]
    height: float  # z of the upper face [m]


@dataclass(frozen=True, kw_only=True)
class Fin:
    """A thin upright plate: a blade in the water or a fin in the air."""

    area: float  # exposed area, one side [m2]
    span: float  # height [m]
    chord: float  # mean chord: area / span [m]
    centre: Array  # (3,) centre of the exposed area [m]
    tip: float  # z of the free end [m]
    root: float  # z of the end at the hull [m]


@dataclass(frozen=True, kw_only=True)
class RunningForm:
    """A hull as the run model sees it."""

    length: float  # overall [m]
    beam: float  # overall [m]
    deck_height: float  # [m]
    plates: tuple[Plate, ...]
    tunnel: Tunnel | None
    deck: Deck
    blade: Fin | None
    air_fin: Fin | None
    frontal_area: float  # seen from ahead [m2]
    side_area: float  # seen from the side, without fins [m2]
    side_centre: Array  # (3,) centre of the side area [m]
    pad_contact: float  # x where the front pads carry [m]
    stern_contact: float  # x where the stern carries [m]
    pad_spread: float  # distance between the two pads' middles [m]

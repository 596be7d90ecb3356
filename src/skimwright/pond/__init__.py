"""The pond: its plan and survey, the ribbon of clear water, sun, weather of the day, holds, and the gate."""

from skimwright.pond.conditions import Conditions, Gate, along_and_across
from skimwright.pond.geodesy import meridian_radius, prime_vertical_radius, to_degrees, to_local
from skimwright.pond.holds import WHATS, Event, State, read_event, state_at
from skimwright.pond.plan import Depth, Hazard, Place, PondMap, Reeds
from skimwright.pond.ribbon import Clear, clear_water, course_point, distance_to
from skimwright.pond.sun import Sun, apparent_longitude, obliquity, sun_at, sunset_at
from skimwright.pond.survey import (
    Bearings,
    Closure,
    Misfit,
    Spot,
    Taped,
    bearings_of,
    crossing_error,
    locate,
    meeting,
)
from skimwright.pond.weather import (
    COLD_WATER,
    HOT,
    WATER_TO_WATCH,
    beaufort,
    flash_distance,
    flash_is_near,
    heat_index,
    shelter_until,
    wet_bulb_globe,
)

__all__ = [
    "COLD_WATER",
    "HOT",
    "WATER_TO_WATCH",
    "WHATS",
    "Bearings",
    "Clear",
    "Closure",
    "Conditions",
    "Depth",
    "Event",
    "Gate",
    "Hazard",
    "Misfit",
    "Place",
    "PondMap",
    "Reeds",
    "Spot",
    "State",
    "Sun",
    "Taped",
    "along_and_across",
    "apparent_longitude",
    "bearings_of",
    "beaufort",
    "clear_water",
    "course_point",
    "crossing_error",
    "distance_to",
    "flash_distance",
    "flash_is_near",
    "heat_index",
    "locate",
    "meeting",
    "meridian_radius",
    "obliquity",
    "prime_vertical_radius",
    "read_event",
    "shelter_until",
    "state_at",
    "sun_at",
    "sunset_at",
    "to_degrees",
    "to_local",
    "wet_bulb_globe",
]

"""Wind by its name, heat as a body feels it, and the lightning clock.  The program reminds; the officer decides."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from skimwright.base import InputError

BEAUFORT_LOWEST = (0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)  # [m/s]
FLASH_TO_THUNDER = 30.0  # shelter when thunder follows a flash this soon [s]
AFTER_THUNDER = datetime.timedelta(minutes=30)  # from the last thunder heard
MISFIRE = datetime.timedelta(seconds=60)
HOT = 305.372  # heat index 90 F: extreme caution [K]
COLD_WATER = 288.15  # 15 C, "cold" to seafarers: a fall into it is an emergency [K]
WATER_TO_WATCH = 294.26  # 70 F: take it for dangerous all the same [K]


def beaufort(*, wind: float) -> int:
    """Force of a mean wind.

    Parameters
    ----------
    wind : float, >= 0
        Mean over ten minutes. [m/s]

    Returns
    -------
    int
        0 to 12.

    Raises
    ------
    InputError
        The wind is negative.

    Source
        The metres-a-second column of the Beaufort table (two reproductions seen); a wind between two rows, such
        as 3.35 m/s, is rounded to the table's tenth.
    Checked
        tests/published/pond.csv: both ends of every row.

    Examples
    --------
    >>> beaufort(wind=6.0)
    4
    """
    if not wind >= 0.0:
        raise InputError(
            what="this wind cannot be", got=f"{wind:g} m/s", allowed="0 m/s or more", do="Measure it again."
        )
    return sum(round(wind, 1) >= lowest for lowest in BEAUFORT_LOWEST) - 1


def heat_index(*, air_temperature: float, humidity: float) -> float:
    """How hot the air feels in the shade.

    Parameters
    ----------
    air_temperature : float
        [K]
    humidity : float, 0 to 1
        Relative. [-]

    Returns
    -------
    float
        [K]; full sun can add 8.

    Raises
    ------
    InputError
        The humidity is no share.

    Holds
        Fitted for 27 C and hotter; below, the plain form is used.
    Trust
        0.7 C as the fit's own error (memory); children feel heat sooner.
    Source
        L. Rothfusz, NWS Technical Attachment SR 90-23, 1990, with both adjustments of NOAA's page (seen).
    Checked
        tests/published/pond.csv: pond_heat_1 to pond_heat_7.
    """
    if not 0.0 <= humidity <= 1.0:
        raise InputError(
            what="this humidity cannot be",
            got=f"{100 * humidity:g} %",
            allowed="0 to 100 %",
            do="Read the relative humidity again.",
        )
    t, r = (air_temperature - 273.15) * 1.8 + 32.0, 100.0 * humidity  # the printed form is in F and %
    plain = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    felt = plain
    if 0.5 * (plain + t) >= 80.0:  # the mean decides which form holds
        felt = (
            -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 6.83783e-3 * t * t
            - 5.481717e-2 * r * r + 1.22874e-3 * t * t * r + 8.5282e-4 * t * r * r - 1.99e-6 * t * t * r * r
        )  # fmt: skip
        if r < 13.0 and 80.0 <= t <= 112.0:
            felt -= (13.0 - r) / 4.0 * math.sqrt((17.0 - abs(t - 95.0)) / 17.0)
        elif r > 85.0 and 80.0 <= t <= 87.0:
            felt += (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return (felt - 32.0) / 1.8 + 273.15


def wet_bulb_globe(*, wet_bulb: float, globe: float, air_temperature: float) -> float:
    """The heat measure that counts sun and moisture together, outdoors.

    Parameters
    ----------
    wet_bulb, globe, air_temperature : float
        [K]

    Returns
    -------
    float
        [K]

    Source
        0.7 WB + 0.2 G + 0.1 T, American Academy of Pediatrics 2000, Table 1 (seen).
    Checked
        tests/published/pond.csv: pond_wbgt.
    """
    return 0.7 * wet_bulb + 0.2 * globe + 0.1 * air_temperature


def shelter_until(thunder: Sequence[datetime.datetime]) -> datetime.datetime | None:
    """When boats may run again after thunder: half an hour after the last one, so each one restarts the clock.

    Source
        The 30-30 rule (seen on a university's page after NOAA); newer advice is shelter at any thunder, so any
        thunder heard starts it here.

    Examples
    --------
    >>> day = datetime.datetime(2027, 5, 22, 14, 31)
    >>> shelter_until([day, day.replace(minute=36)]).time()
    datetime.time(15, 6)
    """
    return max(thunder) + AFTER_THUNDER if thunder else None


def flash_is_near(*, seconds: float) -> bool:
    """Whether a flash came from so near that everybody must be under cover already."""
    return seconds <= FLASH_TO_THUNDER


def flash_distance(*, seconds: float) -> float:
    """How far off a flash was, from the seconds to its thunder.

    Parameters
    ----------
    seconds : float
        From flash to thunder. [s]

    Returns
    -------
    float
        [m]

    Source
        Five seconds a mile, as the 30-30 rule counts it (seen).
    Checked
        tests/published/pond.csv: pond_flash.
    """
    return seconds / 5.0 * 1609.344

"""Wind, air, water and gate.

Pond axes: headings clockwise from north; wind is named for where it comes FROM.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from skimwright.base import Finding, InputError

HUNDRED_FEET = 30.48  # [m], exact by definition of the foot


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """The weather and water a run meets.

    The wind is the one an officer measures or is told, at head height; the boat feels less of it
    (see the run model).
    """

    wind_speed: float = 0.0  # mean [m/s]
    wind_gust: float | None = None  # highest in ten minutes; None: not measured [m/s]
    wind_from: float = 0.0  # clockwise from north [rad]
    heading: float = 0.0  # of the launch line, clockwise from north [rad]
    air_temperature: float = 288.15  # [K]
    water_temperature: float = 288.15  # [K]
    ripple: float | None = None  # height of the ripples, crest over mean level; None: from the wind [m]

    def __post_init__(self) -> None:
        for name, value, low, high, unit in (
            ("wind speed", self.wind_speed, 0.0, 40.0, "m/s"),
            ("air temperature", self.air_temperature - 273.15, -30.0, 50.0, "C"),
            ("water temperature", self.water_temperature - 273.15, 0.0, 40.0, "C"),
        ):
            if not low <= value <= high:
                raise InputError(
                    what=f"The {name} cannot be right",
                    got=f"{value:g} {unit}",
                    allowed=f"{low:g} to {high:g} {unit}",
                    do="Write the figure in the unit its name says.",
                )
        if self.wind_gust is not None and self.wind_gust < self.wind_speed:
            raise InputError(
                what="The gust is weaker than the mean wind",
                got=f"gust {self.wind_gust:g} m/s, mean {self.wind_speed:g} m/s",
                allowed="a gust at least as strong as the mean",
                do="Were the two figures swapped? Write the mean first and the gust second.",
            )

    @property
    def gust_ratio(self) -> float:
        """How far gusts rise above the mean, as a share of it; 0.6 when no gust was measured. [-]

        The gust of 0.6 is common practice over land and small water, no source.
        """
        if self.wind_speed <= 0.0:
            return 0.0
        if self.wind_gust is None:
            return 0.6
        return self.wind_gust / self.wind_speed - 1.0


LEAST_GUST = 1.1  # gust over mean; ten minutes outdoors have more [choice]


def gust_doubts(day: Conditions) -> tuple[Finding, ...]:
    """Asks when the gust is hardly more than the mean: one of the two was written for the other."""
    if day.wind_gust is None or day.wind_speed < 1.0 or day.wind_gust >= LEAST_GUST * day.wind_speed:
        return ()
    return (
        Finding(
            code="gust-as-mean", severity="warning",
            what=f"The gust, {day.wind_gust:.1f} m/s, is hardly more than the mean, {day.wind_speed:.1f} m/s.",
            why="Outdoors the strongest gust of ten minutes is well above their mean.",
            do="Was the gust typed as the mean? Write the mean; leave the gust out if nobody measured it.",
        ),
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Gate:
    """The line a boat must cross, square to the launch line."""

    distance: float = HUNDRED_FEET  # [m]
    width: float = 5.0  # between its posts [m]

    def __post_init__(self) -> None:
        if not 1.0 <= self.distance <= 500.0:
            raise InputError(
                what="The gate's distance cannot be right",
                got=f"{self.distance:g} m",
                allowed="1 to 500 m",
                do="100 ft is 30.48 m: write the distance in metres.",
            )
        if not 0.3 <= self.width <= 100.0:
            raise InputError(
                what="The gate's width cannot be right",
                got=f"{self.width:g} m",
                allowed="0.3 to 100 m",
                do="Write the distance between the two posts in metres.",
            )


def along_and_across(*, speed: float, wind_from: float, heading: float) -> tuple[float, float]:
    """Wind as the boat on its launch line feels it.

    Parameters
    ----------
    speed : float, >= 0
        [m/s]
    wind_from, heading : float
        Clockwise from north. [rad]

    Returns
    -------
    along, across : float
        Velocity of the air along the launch line (a headwind is negative) and to starboard. [m/s]

    Examples
    --------
    >>> import math
    >>> along, across = along_and_across(speed=3.0, wind_from=0.0, heading=0.0)
    >>> round(along, 6), round(across, 6)
    (-3.0, 0.0)
    >>> along, across = along_and_across(speed=3.0, wind_from=math.radians(270), heading=0.0)
    >>> round(along, 6), round(across, 6)
    (0.0, 3.0)
    """
    off = wind_from - heading
    return -speed * math.cos(off), -speed * math.sin(off)

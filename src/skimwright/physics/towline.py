"""Falling weight on a line with a tackle.  Words: docs/physics/thrust.md."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.physics.guard import require_not_negative, require_positive

GRAVITY = 9.80665  # [m/s2]


@dataclass(frozen=True, kw_only=True)
class TowlineLaw:
    """A weight that falls and pulls the boat ``ratio`` times as far."""

    falling_mass: float  # [kg]
    ratio: float  # boat moves this many times the drop [-]
    drop: float  # how far the weight falls [m]
    pulley_pairs: float = 1.0  # each pair loses a share of the pull [-]
    loss_per_pair: float = 0.10  # common practice [-]

    def __post_init__(self) -> None:
        require_positive(falling_mass=self.falling_mass, ratio=self.ratio, drop=self.drop)
        require_not_negative(pulley_pairs=self.pulley_pairs, loss_per_pair=self.loss_per_pair)
        require_positive(pull_left_after_each_pulley_pair=1.0 - self.loss_per_pair)

    @property
    def pull(self) -> float:
        """Weight of the falling mass less pulley friction, before the tackle divides it. [N]"""
        return self.falling_mass * GRAVITY * float((1.0 - self.loss_per_pair) ** self.pulley_pairs)

    @property
    def steady_tension(self) -> float:
        """Line tension at constant speed. [N]"""
        return self.pull / self.ratio

    @property
    def reach(self) -> float:
        """How far the boat is pulled. [m]"""
        return self.drop * self.ratio


def boat_acceleration(*, law: TowlineLaw, mass: float, drag: float) -> float:
    """Acceleration of a boat pulled by a falling weight that must speed up too.

    Parameters
    ----------
    law : TowlineLaw
        Weight and tackle.
    mass : float, > 0
        Mass of the boat. [kg]
    drag : float
        Drag of the boat. [N]

    Returns
    -------
    float
        Acceleration. [m/s2]

    Raises
    ------
    InputError
        The mass is not positive.

    Holds
        A taut line without stretch; light pulleys.
    Trust
        10 %, mostly friction.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: tow_acc.

    Examples
    --------
    >>> law = TowlineLaw(falling_mass=1.0, ratio=3.0, drop=2.0, pulley_pairs=0.0)
    >>> round(boat_acceleration(law=law, mass=0.30, drag=0.5), 3)
    6.735
    """
    require_positive(mass=mass)
    k = law.ratio
    return k * (law.pull - k * drag) / (law.falling_mass + k**2 * mass)


def line_tension(*, law: TowlineLaw, mass: float, drag: float) -> float:
    """Pull of the line on the boat: drag plus what speeds the boat up.

    Parameters
    ----------
    law : TowlineLaw
        Weight and tackle.
    mass : float, > 0
        Mass of the boat. [kg]
    drag : float
        Drag of the boat. [N]

    Returns
    -------
    float, >= 0
        Tension; 0 when wind pushes the boat faster than the weight pulls. [N]

    Raises
    ------
    InputError
        The mass is not positive.

    Holds
        As `boat_acceleration`.
    Trust
        As `boat_acceleration`.
    Source
        [ThrustSums; derived].
    Checked
        tests/published/air.csv: tow_T, tow_T_steady.

    Examples
    --------
    >>> law = TowlineLaw(falling_mass=1.0, ratio=3.0, drop=2.0, pulley_pairs=0.0)
    >>> round(line_tension(law=law, mass=0.30, drag=0.5), 3)
    2.521
    """
    return max(drag + mass * boat_acceleration(law=law, mass=mass, drag=drag), 0.0)

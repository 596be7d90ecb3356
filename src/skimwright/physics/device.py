"""What pushes a boat, as one thing: its law, its masses, its spread.  Words: docs/physics/thrust.md."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skimwright.base import Finding, InputError
from skimwright.physics.gas import ceiling_impulse
from skimwright.physics.guard import require_not_negative
from skimwright.physics.propeller import PropellerLaw
from skimwright.physics.thrust_curve import Curve, class_limits, letter_class, resample
from skimwright.physics.towline import TowlineLaw

Array = NDArray[np.float64]

Kind = Literal["motor", "propeller", "gas", "towline", "curve"]
KINDS: tuple[Kind, ...] = ("motor", "propeller", "gas", "towline", "curve")

IMPULSE_SPREAD = 0.10  # one standard deviation over the mean, before a device is measured [choice]
PEAK_SPREAD = 0.30  # the same for the peak [choice]


@dataclass(frozen=True, kw_only=True)
class Device:
    """A thrust device.  ``law`` is a Curve for motor, gas and curve."""

    name: str
    kind: Kind
    law: Curve | PropellerLaw | TowlineLaw
    loaded_mass: float  # at the start [kg]
    spent_mass: float  # when the push is over [kg]
    impulse_spread: float = IMPULSE_SPREAD  # [-]
    peak_spread: float = PEAK_SPREAD  # [-]
    needs_permission: bool = False  # shut until the permission sheet is complete
    mass_leaves: Literal["evenly", "with thrust"] = "with thrust"
    note: str = ""

    def __post_init__(self) -> None:
        require_not_negative(loaded_mass=self.loaded_mass, spent_mass=self.spent_mass)
        require_not_negative(impulse_spread=self.impulse_spread, peak_spread=self.peak_spread)
        if self.spent_mass > self.loaded_mass:
            raise InputError(
                what=f"{self.name}: a spent device cannot weigh more than a loaded one",
                got=f"{1000 * self.spent_mass:g} g spent, {1000 * self.loaded_mass:g} g loaded",
                allowed="spent mass up to loaded mass",
                do="Swap the two masses, or weigh both again.",
            )

    @property
    def charge(self) -> float:
        """Mass that leaves during the push. [kg]"""
        return self.loaded_mass - self.spent_mass

    @property
    def peak_thrust(self) -> float:
        """Greatest thrust. [N]"""
        if isinstance(self.law, Curve):
            return max(self.law.forces)
        return self.law.static_thrust if isinstance(self.law, PropellerLaw) else self.law.steady_tension

    @property
    def push_time(self) -> float | None:
        """How long the push lasts; not known beforehand for a towline. [s]"""
        if isinstance(self.law, Curve):
            return self.law.duration
        return self.law.timer if isinstance(self.law, PropellerLaw) else None

    @property
    def letter_class(self) -> str | None:
        """Letter, for a motor or a recorded curve."""
        if isinstance(self.law, Curve) and self.kind in ("motor", "curve"):
            return letter_class(total_impulse=self.law.total_impulse)
        return None


@dataclass(frozen=True, kw_only=True, eq=False)
class ThrustTable:
    """Thrust and device mass at 0, dt, 2 dt, …; after the end thrust is 0 and the mass stays."""

    dt: float  # [s]
    force: Array  # (n,) [N]
    mass: Array  # (n,) [kg]


def thrust_table(device: Device, dt: float) -> ThrustTable:
    """Thrust and mass of a time-driven device, one value a step.

    Parameters
    ----------
    device : Device
        A motor, a gas cartridge or a recorded curve.
    dt : float, > 0
        Step. [s]

    Returns
    -------
    ThrustTable
        Thrust [N] and mass of the device [kg].

    Raises
    ------
    InputError
        The device is a propeller or a towline, or the step is not positive.

    Holds
        Straight lines between the values keep the impulse whatever the step.
    Trust
        As the curve.
    Source
        `resample` (derived); gas leaves in step with thrust, motor propellant evenly (choice).
    Checked
        tests/unit/physics/test_thrust.py.

    Examples
    --------
    >>> device = Device(name="x", kind="curve", law=Curve(times=(0.0, 1.0), forces=(2.0, 2.0)),
    ...                 loaded_mass=0.02, spent_mass=0.01)
    >>> thrust_table(device, 0.5).mass.round(4).tolist()
    [0.02, 0.015, 0.01, 0.01]
    """
    if not isinstance(device.law, Curve):
        raise InputError(
            what=f"{device.name}: its thrust depends on the boat, not on time alone",
            got=device.kind,
            allowed="motor, gas or curve",
            do="Ask its law for the thrust at each moment.",
        )
    force = resample(device.law, dt)
    times = dt * np.arange(len(force))
    if device.mass_leaves == "evenly":
        gone = np.minimum(times / device.law.duration, 1.0)
    else:
        gone = device.law.impulse_until(device.law.times[0] + times) / device.law.total_impulse
    return ThrustTable(dt=dt, force=force, mass=device.loaded_mass - device.charge * gone)


def envelope(device: Device) -> tuple[Finding, ...]:
    """What about a device lies outside what the model, or any published rule, speaks of.

    Examples
    --------
    >>> law = Curve(times=(0.0, 1.0), forces=(30.0, 30.0))
    >>> found = envelope(Device(name="big", kind="motor", law=law, loaded_mass=0.06, spent_mass=0.02))
    >>> [finding.code for finding in found]
    ['motor-permission', 'motor-large']
    """
    findings: list[Finding] = []
    curve = device.law if isinstance(device.law, Curve) else None
    if device.kind == "motor":
        findings.append(
            Finding(
                code="motor-permission",
                severity="warning",
                what=f"{device.name} is a solid motor; no published rocket code seen covers a boat.",
                why="Fire authority, owner of land and water, insurer, school and motor maker decide.",
                do="Get each of them to agree in writing before the box is opened; adults fire.",
            )
        )
    if curve and device.kind == "motor" and curve.total_impulse > 20.0:
        _, most = class_limits(total_impulse=20.0)
        findings.append(
            Finding(
                code="motor-large",
                severity="stop",
                what=f"{device.name} gives {curve.total_impulse:.1f} N s, more than class D ({most:g} N s).",
                why="School boats and the model end there.",
                do="Choose a smaller motor.",
            )
        )
    if curve and device.kind == "gas" and device.charge > 0:
        most = ceiling_impulse(charge=device.charge)
        if curve.total_impulse > most:
            findings.append(
                Finding(
                    code="gas-too-good",
                    severity="warning",
                    what=f"{device.name} claims {curve.total_impulse:.2f} N s; its gas gives {most:.2f}.",
                    why="One figure is wrong, or the unit is.",
                    do="Weigh the cartridge full and empty, and put it on the stand.",
                )
            )
    return tuple(findings)


def permission_is_needed(device: Device) -> bool:
    """True for every solid motor and for any device whose file says so.

    Examples
    --------
    >>> law = PropellerLaw(static_thrust=1.9, thrust_lost=0.045, timer=6.0)
    >>> permission_is_needed(Device(name="w", kind="propeller", law=law, loaded_mass=0.062, spent_mass=0.062))
    False
    """
    return device.needs_permission or device.kind == "motor"

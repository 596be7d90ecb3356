"""A minute of checking this very installation against printed and worked-out values.

A program can be whole and a machine still do its sums wrongly: another library, a broken file.  Each check
asks the real code for a number somebody else printed, or that two roads must give alike.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from skimwright.base import Finding, parse_quantity
from skimwright.boat import AsBuilt, Kit, board_mass, total_mass
from skimwright.desk.boats.float_boat import float_kit
from skimwright.physics import air, bluff, planing, plate, thrust, tunnel, water, weighing
from skimwright.run import Question, forecast

Status = Literal["seen", "derived"]


@dataclass(frozen=True, kw_only=True)
class Check:
    """One number that must come out."""

    what: str
    call: Callable[[], float]
    expected: float
    tolerance: float
    unit: str
    source: str
    status: Status
    affects: tuple[str, ...]  # what not to believe if it fails


@dataclass(frozen=True, kw_only=True)
class Checked:
    """A check with what came out."""

    check: Check
    got: float  # nan when the sum broke off
    said: str = ""  # why it broke off

    @property
    def holds(self) -> bool:
        """Within its tolerance."""
        return abs(self.got - self.check.expected) <= self.check.tolerance


RUN = ("distance", "gate time", "top speed", "drift")


def checks(kits: Mapping[str, Kit], devices: Mapping[str, thrust.Device]) -> tuple[Check, ...]:
    """Every check; some need the demonstration's ``Fold 62`` and ``Whirr 5`` among what is given."""
    kit, device = kits.get("Fold 62"), devices.get("Whirr 5")
    return (
        *_laws(),
        *(_kit_checks(kit) if kit else ()),
        *(_run_checks(kit, device) if kit and device else ()),
    )


def check_all(
    kits: Mapping[str, Kit],
    devices: Mapping[str, thrust.Device],
    *,
    progress: Callable[[float, float, str], Any] = lambda done, total, what: None,
) -> tuple[Checked, ...]:
    """Ask for each number in turn; a sum that breaks off fails its own check and no other."""
    asked = checks(kits, devices)
    found = []
    for number, check in enumerate(asked, 1):
        try:
            found.append(Checked(check=check, got=float(check.call())))
        except Exception as fault:
            found.append(Checked(check=check, got=math.nan, said=f"{type(fault).__name__}: {fault}"))
        progress(number, len(asked), "checks")
    return tuple(found)


def finding_of(checked: Checked) -> Finding:
    """What a failed check means to somebody who reads a forecast."""
    check = checked.check
    came = checked.said or f"{checked.got:.6g} {check.unit}".strip()
    return Finding(
        code="self-check-failed",
        severity="warning",
        what=f"{check.what} should be {check.expected:.6g} {check.unit}".strip()
        + f" and came out as {came}.",
        why=f"Do not believe, on this machine: {', '.join(check.affects)}.",
        do="Set the program up anew with `make clean setup`; if it stays, report it with this line.",
        where="self-check",
    )


def _laws() -> tuple[Check, ...]:
    """The laws, one printed or worked-out value each."""

    def check(
        what: str, call: Callable[[], float], expected: float, tolerance: float, unit: str, source: str,
        status: Status, *affects: str,
    ) -> Check:  # fmt: skip
        return Check(
            what=what, call=call, expected=expected, tolerance=tolerance, unit=unit, source=source,
            status=status, affects=affects,
        )  # fmt: skip

    lift = planing.flat_lift_under_vee
    return (
        check(
            "100 ft", lambda: parse_quantity("100 ft", "length", default_unit="m"), 30.48, 1e-12, "m",
            "the international foot of 1959", "derived", "gate distance",
        ),
        check(
            "13.5 oz", lambda: 1e3 * parse_quantity("13.5 oz", "mass", default_unit="g"), 382.718562, 1e-6, "g",
            "the international pound of 1959", "derived", "masses",
        ),
        check(
            "Air density at sea level", lambda: air.dry_density(temperature=288.15, pressure=101325), 1.22500, 5e-6,
            "kg/m3", "ICAO Doc 7488/3, sea level", "seen", *RUN, "blow-over limit",
        ),
        check(
            "Air viscosity at sea level", lambda: air.viscosity(temperature=288.15), 1.78938e-5, 5e-11, "Pa s",
            "US Standard Atmosphere 1976, sea level", "seen", *RUN,
        ),
        check(
            "Water density at 15 C", lambda: water.density(temperature=288.15), 999.1026, 0.001, "kg/m3",
            "ITTC Recommended Procedure 7.5-02-01-03, table 1", "seen", "floating", *RUN,
        ),
        check(
            "Lift of a flat plate under a vee bottom", lambda: lift(vee_lift=0.069, deadrise=math.radians(10)),
            0.0837, 0.00005, "", "Savitsky 1964, Marine Technology 1(1), tables 1 and 2", "seen", *RUN,
        ),
        check(
            "Lift slope of a square plate", lambda: plate.lift_slope(aspect_ratio=1), 1.483258848, 5e-10, "1/rad",
            "Raymer, Aircraft Design, sec. 12.4.1", "seen", "drift", "straightness",
        ),
        check(
            "Lift of a tunnel roof closing to a half", lambda: tunnel.roof_lift(exit_gap=0.03, entry_gap=0.06),
            0.5, 1e-9, "", "docs/physics/tunnel.md", "derived", *RUN, "blow-over limit",
        ),
        check(
            "Where that lift acts", lambda: tunnel.roof_centre(exit_gap=0.03, entry_gap=0.06), 0.3862943611,
            5e-11, "", "docs/physics/tunnel.md", "derived", "blow-over limit",
        ),
        check(
            "Drag of a cylinder twice as long as thick", lambda: bluff.cylinder_along(length_ratio=2), 0.85, 1e-4, "",
            "Matthews, Aeronautical Engineer's Data Book, fig. 5.13(b)", "seen", *RUN,
        ),
        check(
            "Average thrust of 80 N s in 1.36 s", lambda: thrust.average_thrust(total_impulse=80, burn_time=1.36),
            59, 0.5, "N", "a motor maker's note on NFPA 1125, example", "seen", "device figures",
        ),
        check(
            "Speed after a steady push", lambda: thrust.run_speed(thrust=6, drag_factor=0.05, mass=0.30, time=0.683),
            9.283186304, 5e-10, "m/s", "docs/physics/thrust.md", "derived", "worked sums in lessons",
        ),
        check(
            "Balance point from two scales",
            lambda: weighing.balance_from_two_scales(front=1.20, rear=1.80, spacing=0.50), 0.3, 1e-9, "m",
            "moments about the front rest", "derived", "weigh-in", "blow-over limit",
        ),
    )  # fmt: skip


def _kit_checks(fold: Kit) -> tuple[Check, ...]:
    """The demonstration kit, from its drawing to the water."""
    where = "the demonstration kit's weighing table"

    def displaced() -> float:
        floating = float_kit(fold, water_temperature=288.15)
        return floating.at_rest.displaced * water.density(temperature=288.15) / floating.mass

    return (
        Check(
            what="Board of Fold 62", call=lambda: board_mass(fold).mass * 1e3, expected=177.2, tolerance=0.36,
            unit="g", source=where, status="derived", affects=("masses", "floating", *RUN),
        ),
        Check(
            what="Fold 62 as drawn, ready to run", call=lambda: total_mass(fold).mass * 1e3, expected=269,
            tolerance=0.6, unit="g", source=where, status="derived", affects=("masses", "floating", *RUN),
        ),
        Check(
            what="Water pushed aside by Fold 62 over its mass", call=displaced, expected=1, tolerance=1e-6, unit="",
            source="Archimedes", status="derived", affects=("floating", "stability"),
        ),
    )  # fmt: skip


def _run_checks(kit: Kit, device: thrust.Device) -> tuple[Check, ...]:
    """The run itself: chance comes from the seed alone."""
    question = Question(kit=kit, device=device, built=AsBuilt(boat="self-check"), runs=20)

    def twice() -> float:
        return abs(forecast(question).distance.mean - forecast(question).distance.mean)

    return (
        Check(
            what="Difference between a forecast and itself", call=twice, expected=0, tolerance=0, unit="m",
            source="same seed, same answer", status="derived", affects=RUN,
        ),
    )  # fmt: skip

"""A thrust-stand recording to figures and a device file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from skimwright.base import Finding
from skimwright.physics import thrust


@dataclass(frozen=True, kw_only=True)
class Recording:
    """What a recording says, and the device made of it."""

    figures: thrust.CurveFigures
    points: int
    device: dict[str, Any]  # the table of a device file, for a person to finish
    findings: tuple[Finding, ...]


def read_recording(
    rows: Sequence[Sequence[str]],
    *,
    file: str,
    name: str,
    loaded_mass: float | None = None,
    spent_mass: float | None = None,
) -> Recording:
    """Figures of a recording whose rows are already split.

    Parameters
    ----------
    rows : sequence of sequences of str
        A heading with ``time_s`` and ``force_n``, then numbers.
    file : str
        Its name, for messages.
    name : str
        What to call the device.
    loaded_mass, spent_mass : float, optional
        Before and after the push; asked for in a finding if not given. [kg]

    Raises
    ------
    InputError
        The recording cannot be read, or does not push.
    """
    curve = thrust.read_thrust_recording(rows, file=file)
    figures = thrust.measure_curve(np.array(curve.times), np.array(curve.forces))
    device = thrust.Device(
        name=name,
        kind="curve",
        law=curve,
        loaded_mass=loaded_mass or 0.0,
        spent_mass=spent_mass if spent_mass is not None else loaded_mass or 0.0,
        needs_permission=True,
    )
    return Recording(
        figures=figures,
        points=len(curve.times),
        device=thrust.device_table(device),
        findings=(*thrust.envelope(device), *_ask_masses(loaded_mass, spent_mass, file)),
    )


def _ask_masses(loaded: float | None, spent: float | None, file: str) -> tuple[Finding, ...]:
    if loaded is not None and spent is not None:
        return ()
    return (
        Finding(
            code="device-not-weighed",
            severity="note",
            what="The device file still needs its masses.",
            why="What leaves during the push changes the boat's balance.",
            do="Weigh the device before and after, and give --loaded-g and --spent-g.",
            where=file,
        ),
    )

"""The front door to everything that pushes: ``thrust.Device``, its file, its curve, its law.

Behind it: `thrust_curve` (time-driven curves and recordings), `gas`, `propeller`, `towline`,
`straight_run` (classroom sums), `device` and `device_file`.
"""

from skimwright.physics.device import (
    IMPULSE_SPREAD,
    KINDS,
    PEAK_SPREAD,
    Device,
    Kind,
    ThrustTable,
    envelope,
    permission_is_needed,
    thrust_table,
)
from skimwright.physics.device_file import device_table, read_device_table
from skimwright.physics.gas import (
    cartridge_curve,
    ceiling_impulse,
    gas_envelope,
    mass_flow,
    saturation_pressure,
    throat_pressure,
    throat_speed,
    thrust_per_flow,
)
from skimwright.physics.propeller import PropellerLaw, propeller_thrust, shaft_power, static_thrust
from skimwright.physics.straight_run import coast_distance, run_distance, run_speed, speed_ceiling
from skimwright.physics.thrust_curve import (
    Curve,
    CurveFigures,
    average_thrust,
    class_limits,
    fading_curve,
    letter_class,
    measure_curve,
    motor_curve,
    read_thrust_recording,
    resample,
)
from skimwright.physics.towline import TowlineLaw, boat_acceleration, line_tension

__all__ = [
    "IMPULSE_SPREAD",
    "KINDS",
    "PEAK_SPREAD",
    "Curve",
    "CurveFigures",
    "Device",
    "Kind",
    "PropellerLaw",
    "ThrustTable",
    "TowlineLaw",
    "average_thrust",
    "boat_acceleration",
    "cartridge_curve",
    "ceiling_impulse",
    "class_limits",
    "coast_distance",
    "device_table",
    "envelope",
    "fading_curve",
    "gas_envelope",
    "letter_class",
    "line_tension",
    "mass_flow",
    "measure_curve",
    "motor_curve",
    "permission_is_needed",
    "propeller_thrust",
    "read_device_table",
    "read_thrust_recording",
    "resample",
    "run_distance",
    "run_speed",
    "saturation_pressure",
    "shaft_power",
    "speed_ceiling",
    "static_thrust",
    "throat_pressure",
    "throat_speed",
    "thrust_per_flow",
    "thrust_table",
]

"""Ground floor: errors, findings, units, sources, small numerics.  Imports nothing of ours."""

from skimwright.base.errors import (
    ConflictError,
    InputError,
    MissingError,
    ModelError,
    SkimwrightError,
    StoreError,
    Where,
)
from skimwright.base.findings import Finding, Severity
from skimwright.base.units import (
    Kind,
    parse_quantity,
    show_angle,
    show_distance,
    show_length,
    show_mass,
)

__all__ = [
    "ConflictError",
    "Finding",
    "InputError",
    "Kind",
    "MissingError",
    "ModelError",
    "Severity",
    "SkimwrightError",
    "StoreError",
    "Where",
    "parse_quantity",
    "show_angle",
    "show_distance",
    "show_length",
    "show_mass",
]

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

__all__ = [
    "ConflictError",
    "Finding",
    "InputError",
    "MissingError",
    "ModelError",
    "Severity",
    "SkimwrightError",
    "StoreError",
    "Where",
]

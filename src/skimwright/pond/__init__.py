"""The pond: weather and water of the day, and the gate a run must pass."""

from skimwright.pond.conditions import Conditions, Gate, along_and_across

__all__ = ["Conditions", "Gate", "along_and_across"]

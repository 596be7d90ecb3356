"""Skimwright: what this foam-board three-point boat, as built, will do on the water, and what to change."""

__version__ = "0.1.0"

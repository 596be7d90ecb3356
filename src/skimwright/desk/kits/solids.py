"""The boat in the round as plain data: every part as triangles, with the step that brings it and the way it comes."""

from __future__ import annotations

from typing import Any

import numpy as np

from skimwright.boat import total_mass
from skimwright.desk.kits.guide import MadeGuide
from skimwright.kit import guide as book
from skimwright.kit import part_triangles


def solids_as_data(made: MadeGuide) -> dict[str, Any]:
    """Parts and steps of a kit, for a picture that turns; outside units.

    Examples
    --------
    ``len(solids_as_data(made)["parts"])`` is 23 for Fold 62.
    """
    kit = made.kit
    steps = made.guide.steps
    parts = []
    for step in steps:
        for name, pull in zip(step.parts, step.pulls, strict=True):
            corners, triangles = part_triangles(kit.part(name))
            away = np.array(pull) * book.lift_of(kit, name) * 1e3
            parts.append(
                {
                    "part": name,
                    "step": step.number,
                    "away_mm": [round(float(value), 1) for value in away],
                    "corners_mm": [round(float(value), 2) for value in (corners * 1e3).ravel()],
                    "triangles": [int(value) for value in triangles.ravel()],
                }
            )
    low, high = kit.corners().min(axis=0) * 1e3, kit.corners().max(axis=0) * 1e3
    return {
        "kit": kit.name,
        "edition": kit.edition,
        "low_mm": [round(float(value), 1) for value in low],
        "high_mm": [round(float(value), 1) for value in high],
        "balance_mm": [round(float(value) * 1e3, 1) for value in total_mass(kit).centre],
        "steps": [
            {
                "step": step.number,
                "title": book.step_words(made.guide, step, made.words).title,
                "deck_down": step.deck_down,
            }
            for step in steps
        ],
        "parts": parts,
    }

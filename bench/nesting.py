"""How tightly we nest: open shapes against the best known, and our own kits against the lower bound."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import numpy as np

from skimwright.kit import BoardSheet, NestItem, StripJob, nest_parts, verify_nest
from skimwright.packer import ChildPacker

SHAPES = Path(__file__).with_name("shapes")
BEST_WIDTH = {"albano": 9692.056, "shirts": 59.392952, "swim": 5541.653, "trousers": 235.17184}
A1 = BoardSheet(width=0.841, height=0.594, name="A1")


def measure(seconds: float = 60) -> list[tuple[str, float, str]]:
    """Name, value and unit of each figure; `seconds` for each open shape, at most as much for each class."""
    rows = []
    for name in BEST_WIDTH:
        rows.append(
            (f"{name}: density over best known", share_of_best(name, seconds=seconds, workers=2), "-")
        )
    for kit in ("Fold 50", "Fold 62", "Fold 74"):
        for boats in (1, 6):
            rows += class_of_boats(kit, boats, seconds=seconds)
    return rows


def share_of_best(name: str, *, seconds: float, workers: int = 1, seed: int = 1) -> float:
    """Our density on an open shape over the best known; both fill the same height, so a ratio of widths."""
    shapes = json.loads((SHAPES / f"{name}.json").read_text("utf8"))
    scale = 1.0 / shapes["strip_height"]  # any length unit will do: one strip height is taken as a metre
    job = StripJob(
        items=tuple(_open_item(item, scale) for item in shapes["items"]),
        height=1.0,
        gap=0.0,
        enough=0.0,
        seconds=seconds,
        seed=seed,
    )
    strip = ChildPacker(workers=workers).pack(job)
    return BEST_WIDTH[name] * scale / strip.width


def _open_item(item: dict[str, Any], scale: float) -> NestItem:
    return NestItem(
        key=str(item["id"]),
        outline=np.array(item["shape"]["data"], dtype=float) * scale,
        quantity=item["demand"],
        turns=tuple(item["allowed_orientations"]),
    )


def class_of_boats(kit: str, boats: int, *, seconds: float) -> list[tuple[str, float, str]]:
    """Sheets for so many boats that share them, the bound, and the time it took."""
    parts = json.loads((SHAPES / "fold.json").read_text("utf8"))["kits"][kit]
    items = [
        NestItem(
            key=part["part"],
            outline=np.array(part["outline_mm"], dtype=float) / 1000,
            quantity=part["quantity"] * boats,
        )
        for part in parts
    ]
    started = time.perf_counter()
    nest = nest_parts(items, [A1], packer=ChildPacker(), seconds=seconds)
    took = time.perf_counter() - started
    assert not verify_nest(nest), "the nest does not hold"
    name = f"{boats} x {kit}"
    return [
        (f"{name}: A1 sheets", len(nest.sheets), f"least possible {nest.lower_bound}"),
        (f"{name}: time", took, "s"),
    ]


if __name__ == "__main__":
    for name, value, unit in measure(30):
        print(f"{name:40} {value:8.3f} {unit}")

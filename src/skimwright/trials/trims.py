"""Earlier trims of a boat by its logged changes: how each ran, what it would bring again, and the way back to it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skimwright.base import Finding
from skimwright.pond import Gate
from skimwright.trials.book import NONE, SEVERAL, Run
from skimwright.trials.gate import Kind, chance_to_pass, gate_log

GRAMS = 0.003  # a boat that weighs more or less than this from one run to the next was changed [kg] [choice]
WETTER = 3.0  # runs' worth of water that may come or dry between two weighings [choice]


@dataclass(frozen=True, kw_only=True)
class Trim:
    """The boat between two logged changes."""

    number: int  # 1 is how it first ran
    change: str  # that led to it; blank for the first
    runs: tuple[Run, ...]
    undo: tuple[str, ...]  # changes to take back to return to it, newest first; none: it is so now
    chance: float  # that its next run passes the gate, by its runs and its kind [-]
    drift: tuple[float, float] | None  # mean to starboard, and how far that may be off [m]
    distance: float | None  # [m]

    @property
    def is_bundle(self) -> bool:
        """Several things at once lie on the way back, so nobody can say what to undo."""
        return SEVERAL in self.undo


def trims_of(runs: Sequence[Run], *, gate: Gate, kind: Kind) -> tuple[Trim, ...]:
    """The trims a boat has run with, oldest first.

    Parameters
    ----------
    runs : of one boat and device, in order
    gate : Gate
    kind : Kind
        What the other boats say; a trim with few runs is drawn toward it.
    """
    marks = [i for i, run in enumerate(runs) if run.result.change not in (None, NONE)]
    starts = [0, *(i for i in marks if i > 0)]
    changes = [(runs[i].result.change or "") if i in marks else "" for i in starts]
    found = []
    for order, start in enumerate(starts):
        end = starts[order + 1] if order + 1 < len(starts) else len(runs)
        own = tuple(runs[start:end])
        ordinary = [run.result for run in own if run.speaks_of_the_boat]
        log = gate_log([run.result for run in own], gate=gate)
        drifts = [r.drift for r in ordinary if r.drift is not None]
        far = [r.distance for r in ordinary if r.distance is not None]
        sd = gate.distance * math.tan(kind.run_sd)
        found.append(
            Trim(
                number=order + 1, change=changes[order], runs=own, undo=tuple(reversed(changes[order + 1 :])),
                chance=chance_to_pass(log, kind, gate=gate, tries=1),
                drift=(float(np.mean(drifts)), 1.645 * sd / math.sqrt(len(drifts))) if drifts else None,
                distance=float(np.mean(far)) if far else None,
            )
        )  # fmt: skip
    return tuple(found) if runs else ()


def unlogged_change(runs: Sequence[Run], *, water_gain: float) -> Finding | None:
    """A boat whose mass jumped with no change written down was changed all the same.

    Parameters
    ----------
    runs : of one boat, in order
    water_gain : float
        What it soaks up in a run. [kg]
    """
    for before, after in itertools.pairwise(runs):
        if before.result.mass is None or after.result.mass is None:
            continue
        step = after.result.mass - before.result.mass
        if after.result.change in (None, NONE) and abs(step) > GRAMS + WETTER * water_gain:
            word = "more" if step > 0 else "less"
            return Finding(
                code="change-not-logged", severity="warning",
                what=f"It weighed {abs(step) * 1e3:.0f} g {word} than at run {before.run}, and no change is written.",
                why="Was ballast put on, moved or taken off?",
                do=f'`log --boat {after.boat} --run {after.run} --change "..." --correct "who said so"`; trims are '
                "compared after that.",
                where=after.label,
            )  # fmt: skip
    return None

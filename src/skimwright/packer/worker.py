"""The child process: reads one job as JSON, prints each shorter strip as a line of JSON, and ends.

Run as a script, not as a module, so that it loads the packing library and nothing else.
In:  {"height", "gap", "enough", "seconds", "seed", "workers",
      "items": [{"key", "outline", "quantity", "turns"}]} [mm, s, deg]
Out: {"width", "placed": [[key, x, y, turn], ...]} [mm, deg] once or more, then {"done": true}.
"""

from __future__ import annotations

import json
import math
import os
import sys
import threading
from typing import Any

POLL = 0.01  # [s]


def main() -> None:
    """Pack the strip asked for; leave as soon as it is short enough."""
    import spyrrow

    asked = json.load(sys.stdin)
    items = [
        spyrrow.Item(i["key"], [(x, y) for x, y in i["outline"]], i["quantity"], i["turns"])
        for i in asked["items"]
    ]
    strip = spyrrow.StripPackingInstance("strip", asked["height"], items)
    whole = asked["seconds"]  # four fifths to look for layouts, one fifth to squeeze the best
    config = spyrrow.StripPackingConfig(
        early_termination=True,
        min_items_separation=asked["gap"] or None,
        total_computation_time=None,
        exploration_time=max(1, round(0.8 * whole)),
        compression_time=max(1, round(0.2 * whole)),
        num_workers=asked.get("workers", 1),
        seed=asked["seed"],
    )
    reports, last, best = spyrrow.ProgressQueue(), [], math.inf
    solver = threading.Thread(target=lambda: last.append(strip.solve(config, reports)), daemon=True)
    solver.start()
    while True:
        solver.join(POLL)
        running = solver.is_alive()
        found = [solution for kind, solution in reports.drain() if int(kind) not in (1, 2)] + last
        for solution in found:  # in order, so that the first short enough is the same on every machine
            if solution.width < best:
                best = solution.width
                tell(
                    {
                        "width": best,
                        "placed": [[p.id, *p.translation, p.rotation] for p in solution.placed_items],
                    }
                )
            if best <= asked["enough"]:
                leave()
        if not running:
            leave() if last else os._exit(3)


def tell(answer: dict[str, Any]) -> None:
    """One line of JSON to the parent."""
    sys.stdout.write(json.dumps(answer) + "\n")
    sys.stdout.flush()


def leave() -> None:
    """End at once: the solver's threads are not waited for."""
    tell({"done": True})
    os._exit(0)


if __name__ == "__main__":
    main()

"""``skimwright selfcheck``: is this installation doing its sums right?"""

from __future__ import annotations

import math
import time

from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Verb


def answer(ask: Ask) -> Answer:
    """Every check, and what not to believe if one fails."""
    from skimwright import desk

    begun = time.monotonic()
    season = ask.files.season(str(ask.files.demo_season()))
    found = desk.check_all(season.kits, season.devices, progress=ask.progress.update)
    seconds = time.monotonic() - begun
    failed = [each for each in found if not each.holds]
    affected = sorted({name for each in failed for name in each.check.affects})
    rows = [
        [
            "ok" if each.holds else "FAILS",
            each.check.what,
            f"{each.check.expected:.8g}",
            f"{each.got:.8g}",
            each.check.unit,
            f"{each.check.status}: {each.check.source}",
        ]
        for each in found
    ]
    verdict = (
        f"All {len(found)} checks hold ({seconds:.1f} s)."
        if not failed
        else f"{len(failed)} of {len(found)} checks fail. Do not believe: {', '.join(affected)}."
    )
    data = {
        "checks": [
            {
                "what": each.check.what,
                "expected": each.check.expected,
                "got": each.got if math.isfinite(each.got) else None,
                "tolerance": each.check.tolerance,
                "unit": each.check.unit,
                "source": each.check.source,
                "status": each.check.status,
                "holds": each.holds,
                "affects": list(each.check.affects),
            }
            for each in found
        ],
        "passed": len(found) - len(failed),
        "failed": len(failed),
        "affected": affected,
        "seconds": round(seconds, 2),
        "findings": [desk.finding_of(each).as_dict() for each in failed],
    }
    text = "\n".join([table(["", "check", "expected", "came out", "unit", "from"], rows), "", verdict])
    return Answer(
        data=data,
        text=text,
        plain=verdict,
        findings=tuple(map(desk.finding_of, failed)),
        status=1 if failed else 0,
    )


VERB = Verb(
    name="selfcheck",
    does="is this installation doing its sums right?",
    tells="Asks the program for numbers that others printed or that were worked out apart from it. "
    "When one fails, the program still opens, and this says which answers not to believe. "
    "The first time, it takes some seconds to make the program ready for this machine.",
    example="selfcheck",
    answer=answer,
)

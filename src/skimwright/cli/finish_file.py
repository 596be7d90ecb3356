"""``skimwright finish --file``: heat sheets typed back in, beside what the phones said."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from skimwright.base import InputError, Where
from skimwright.cli.day_files import OpenDay, board, day_data
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask

if TYPE_CHECKING:
    from skimwright.desk import TypedBack

ALONE = ("heat", "order", "decide", "correct", "rerun", "protest", "rule")


def typed_in(ask: Ask, opened: OpenDay) -> Answer:
    """Every line beside what was known; those that say something new are added to the log."""
    from skimwright import desk

    for name in ALONE:
        if ask.given[name]:
            raise InputError(
                what="a file says which heats and boats it is about", got=f"{name} as well", allowed="--file alone",
                do="Type two commands.", where=Where(field="--file"),
            )  # fmt: skip
    path = Path(ask.given["file"])
    typed = desk.read_sheets(ask.files.rows(path), opened.day)
    rows = desk.typed_rows(typed, time=f"{opened.stamp.at:%H:%M:%S}", who=opened.stamp.who or "scorer")
    day, files = opened.add(ask, rows)
    plain = _counted(typed)
    shown = table(
        ["heat", "typed", "is", "side by side"],
        [[str(heat.heat), heat.typed, heat.says, heat.beside] for heat in typed.heats],
    )
    data = day_data(day, files) | {
        "typed": [
            {
                "heat": heat.heat,
                "typed": heat.typed,
                "says": heat.says,
                "gaps": list(heat.gaps),
                "side_by_side": heat.beside,
            }
            for heat in typed.heats
        ],
        "not_raced": list(typed.not_raced),
        "rows_added": len(rows),
        "did": plain,
    }
    return Answer(data=data, text=f"{plain}\n\n{shown}\n\n{board(day)}", plain=plain, findings=typed.findings)


def _counted(typed: TypedBack) -> str:
    count = {
        word: sum(heat.says == word for heat in typed.heats)
        for word in ("new", "the same", "not alike", "a gap")
    }
    said = [
        f"{count['new']} new",
        f"{count['the same']} known already",
        *([f"{count['not alike']} not alike: the marshal decides"] if count["not alike"] else []),
        *([f"{count['a gap']} with a gap: the heat waits"] if count["a gap"] else []),
    ]
    heats = len(typed.heats)
    return f"{heats} {'heat' if heats == 1 else 'heats'} from paper: {', '.join(said)}."

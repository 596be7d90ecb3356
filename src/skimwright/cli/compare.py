"""``skimwright compare KIT KIT``: what changed from one kit to another, and what the changes do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where
from skimwright.cli.kits import kit_meant
from skimwright.cli.table import table
from skimwright.cli.verb import Answer, Ask, Option, Verb

if TYPE_CHECKING:
    from skimwright.desk import Compared


def answer(ask: Ask) -> Answer:
    """Changed numbers, changed parts, and both boats as drawn."""
    from skimwright import desk

    words = ask.given["kits"]
    if len(words) != 2:
        raise InputError(
            what="two kits are compared", got=f"{len(words)} of them", allowed="the older, then the newer",
            do='For example: `skimwright compare "Fold 62" our-62.toml`.', where=Where(field="KITS"),
        )  # fmt: skip
    made = desk.compare_kits(*(kit_meant(ask, word) for word in words))
    names = [made.before.kit.name, made.after.kit.name]
    plain = (
        f"{names[0]} to {names[1]}: {len(made.numbers)} numbers and {len(made.parts)} kinds of part changed, "
        f"{made.same} the same"
    )
    return Answer(data=as_data(made), text=_text(made, names, plain), plain=plain)


def as_data(made: Compared) -> dict[str, Any]:
    """For --json."""
    return {
        "kits": [made.before.kit.name, made.after.kit.name],
        "numbers": [
            {"number": what, "unit": unit, "before": before, "after": after}
            for what, unit, before, after in made.numbers
        ],
        "parts": [
            {
                "part": part.part,
                "qty": list(part.quantity),
                "size_mm": list(part.size),
                "mass_added_g": round(part.mass * 1e3, 3),
                "balance_moved_mm": round(part.balance * 1e3, 3),
            }
            for part in made.parts
        ],
        "unmatched": [part.part for part in made.unmatched],
        "parts_the_same": made.same,
        "effects": [
            {"what": what, "before": before, "after": after, "difference": difference}
            for what, before, after, difference in made.effects
        ],
    }


def _text(made: Compared, names: list[str], plain: str) -> str:
    numbers = [
        [f"{what}, {unit}" if unit else what, before, after] for what, unit, before, after in made.numbers
    ]
    parts = [
        [
            part.part,
            " to ".join(map(str, part.quantity))
            if part.quantity[0] != part.quantity[1]
            else str(part.quantity[0]),
            part.size[0] or "-",
            part.size[1] or "-",
            f"{part.mass * 1e3:+.2f}",
            f"{part.balance * 1e3:+.1f}",
        ]
        for part in made.parts
    ]
    heading = ["part", "qty", *(f"{name}, mm" for name in names), "adds, g", "moves balance aft, mm"]
    only = [f"Only one of the two has {', '.join(p.part for p in made.unmatched)}."] if made.unmatched else []
    return "\n".join(
        [
            f"{plain}.",
            *(["", table(["number", *names], numbers)] if numbers else []),
            *(["", table(heading, parts)]
              if parts else []),
            "",
            table(["as drawn, ready to run", *names, "difference"], [list(row) for row in made.effects]),
            *only,
        ]
    )  # fmt: skip


VERB = Verb(
    name="compare",
    does="two kits side by side: every changed number and part, and what the changes do",
    tells="Give the older kit first. What a part's change adds is for all of its pieces together; how far it moves the "
    "board's balance point is by itself. A part that only one kit has is named.",
    options=(
        Option(flag="KITS", does="two kit files, or names of kits of the season", must=True, many=True),
    ),
    example="compare 'Fold 50' 'Fold 62'",
    answer=answer,
)

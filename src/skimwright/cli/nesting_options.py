"""What the verbs about board have in common: kits with numbers of boats, sheet sizes, patience."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from skimwright.base import InputError, Where, parse_quantity
from skimwright.cli.kits import KIT, kit_meant
from skimwright.cli.verb import Ask, Option, quantity, whole

if TYPE_CHECKING:
    from skimwright.desk import Kit, NestProgress

MOST_BOATS = 200
LENGTH = quantity("length", "mm", low=0, high=100)


def size_mm(given: str, where: Where) -> tuple[float, float]:
    """Reads ``841x594``: long side first, whichever way it was typed.  [m]"""
    words = re.split(r"[xX×]", given)
    if len(words) != 2:
        raise InputError(
            what="not a size",
            got=f'"{given}"',
            allowed="two sides in mm with an x between, such as 841x594",
            do="Write it so.",
            where=where,
        )
    a, b = (parse_quantity(word.strip(), "length", default_unit="mm", where=where) for word in words)
    if not 0.05 <= min(a, b) <= max(a, b) <= 5:
        raise InputError(
            what="the size makes no sense",
            got=f"{a * 1e3:g} x {b * 1e3:g} mm",
            allowed="50 to 5000 mm a side",
            do="Measure it and write both sides in millimetres, for example 841x594.",
            where=where,
        )
    return max(a, b), min(a, b)


def one_of(*words: str) -> Callable[[str, Where], str]:
    """Reads one of a few words."""

    def read(given: str, where: Where) -> str:
        if given.casefold() in words:
            return given.casefold()
        raise InputError(
            what="not one of these words",
            got=f'"{given}"',
            allowed=", ".join(words),
            do="Take one of them.",
            where=where,
        )

    return read


KITS = replace(KIT, many=True, does=f"{KIT.does}; =6 behind it asks for six boats")
BOATS = Option(flag="--boats", value="N", does="boats of each kit; 1 unless given",
               read=whole(low=1, high=MOST_BOATS), usual=1)  # fmt: skip
SHEET = Option(
    flag="--sheet", value="LxW", does="size of a sheet in mm; the kit's own unless given", read=size_mm
)
GRAIN = Option(flag="--grain", value="WAY", does="of the board: long, short or none; the kit's own unless given",
               read=one_of("long", "short", "none"))  # fmt: skip
MARGIN = Option(flag="--margin-mm", value="M", does="kept clear along the sheet's edges; 5 unless given",
                read=LENGTH, usual=0.005)  # fmt: skip
GAP = Option(flag="--gap-mm", value="G", does="kept clear between parts; 3 unless given",
             read=quantity("length", "mm", low=0, high=50), usual=0.003)  # fmt: skip
SECONDS = Option(flag="--seconds", value="S", does="packing time allowed; 60 unless given",
                 read=quantity("time", "s", low=0.1, high=3600), usual=60.0)  # fmt: skip
SEED = Option(flag="--seed", value="N", does="same seed, same layout; 1 unless given",
              read=whole(low=0, high=2**31), usual=1)  # fmt: skip
PAPER = Option(
    flag="--paper", value="P", does="a4 or letter; a4 unless given", read=one_of("a4", "letter"), usual="a4"
)


def kits_meant(ask: Ask) -> list[tuple[Kit, int]]:
    """Each kit named, and how many boats of it."""
    found: list[tuple[Kit, int]] = []
    for word in ask.given["kit"]:
        name, mark, count = word.rpartition("=")
        if mark and count.strip():
            boats = whole(low=1, high=MOST_BOATS)(count.strip(), Where(field=f"KIT {name}"))
            found.append((kit_meant(ask, name.strip()), boats))
        else:
            found.append((kit_meant(ask, word), ask.given["boats"]))
    return found


def nest_settings(ask: Ask) -> dict[str, Any]:
    """Options of a nest by name, for those the verb has."""
    from skimwright import desk

    given = ask.given
    settings: dict[str, Any] = {
        "packer": ask.files.packer(),
        "sheet": given["sheet"],
        "grain": desk.GRAINS[given["grain"]] if given["grain"] else None,
        "seconds": given["seconds"],
        "seed": given["seed"],
        "progress": lambda now: _tell(ask, now),
    }
    return settings


def _tell(ask: Ask, now: NestProgress) -> None:
    best = "none yet" if now.best is None else str(now.best)
    what = f"packing; best {best}, at least {now.lower_bound}, trying {now.trying}; seconds"
    ask.progress.update(round(now.seconds, 1), now.allowed, what)

"""In which order a kit's parts go together, and which of them share a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from skimwright.base import InputError
from skimwright.boat import Kit, Part
from skimwright.kit.guide.approach import pull_of

SPONSON, FINS, CRADLE, HULL = ("POD", "PAD"), ("FIN",), ("CRADLE",), "hull"
ALIKE = 4  # parts at most that one picture may add
SAME_WAY = 0.5  # cosine between the ways that the parts of one picture come


def word_of(name: str) -> str:
    """ "POD" of "POD-4 left"."""
    return name.split()[0].split("-")[0]


def sub_assembly(part: Part) -> str:
    """Which thing a part belongs to."""
    word = word_of(part.code)
    if word in SPONSON and part.side != "middle":
        return f"sponson-{part.side}"
    return {**dict.fromkeys(FINS, "fins"), **dict.fromkeys(CRADLE, "cradle")}.get(word, HULL)


def base_of(kit: Kit) -> Part:
    """The part that lies on the table first: the lowest number of dots, then the largest."""
    return min(kit.parts, key=lambda part: (part.order, -part.area))


def is_outside(part: Part, base: Part) -> bool:
    """Whether a part stands on the base's outer face, which lies on the table at first."""
    reach = np.array(part.centroid) - np.array(base.place.origin)
    return part.name != base.name and float(reach @ np.array(base.place.w)) < 0


def batches(kit: Kit) -> Iterator[tuple[Part, ...]]:
    """Parts in building order, those of one step together: like parts that come the same way."""
    base = base_of(kit)
    joined = {frozenset((joint.part_a, joint.part_b)) for joint in kit.joints}
    placed: set[str] = set()
    together: list[Part] = []
    for part in _in_order(kit, base):
        alike = [other for other in together if other.name != base.name]
        touches = {other.name for other in together if frozenset((other.name, part.name)) in joined}
        first_on_base = not alike and base.name in touches
        like_the_others = bool(alike) and (
            len(alike) < ALIKE
            and _same_action(part, alike[0], base)
            and touches <= {base.name}
            and np.dot(pull_of(part, kit, placed), pull_of(alike[0], kit, placed)) > SAME_WAY
        )
        if together and not (first_on_base or like_the_others):
            yield tuple(together)
            placed |= {other.name for other in together}
            together = []
        together.append(part)
        placed |= {other.name for other in together[:1] if other.name == base.name}
    if together:
        yield tuple(together)


def _same_action(part: Part, other: Part, base: Part) -> bool:
    """One word on the template, one sub-assembly, one side of the base."""
    return (
        word_of(part.code) == word_of(other.code)
        and sub_assembly(part) == sub_assembly(other)
        and is_outside(part, base) == is_outside(other, base)
    )


def _in_order(kit: Kit, base: Part) -> Iterator[Part]:
    """No part before those it is glued to; sub-assemblies one after another; then by dots."""
    needs: dict[str, set[str]] = {part.name: set() for part in kit.parts}
    for joint in kit.joints:
        if joint.part_a in needs and joint.part_b in needs:
            needs[joint.part_a].add(joint.part_b)
    rank = _ranks(kit.parts, base)
    left = sorted(kit.parts, key=lambda part: (part.name != base.name, rank[part.name]))
    there: set[str] = set()
    while left:
        ready = next((part for part in left if needs[part.name] <= there), None)
        if ready is None:
            waiting = ", ".join(part.name for part in left)
            raise InputError(
                what="these parts wait for one another",
                got=waiting,
                allowed="joints that begin at a part already there",
                do="Swap the two parts in one of their joints.",
            )
        there.add(ready.name)
        left.remove(ready)
        yield ready


def _ranks(parts: Sequence[Part], base: Part) -> dict[str, tuple[bool, int, str, int, str]]:
    """Inside before outside, then the sub-assembly that begins first, then dots, then name."""
    keys = {part.name: (is_outside(part, base), sub_assembly(part)) for part in parts}
    first: dict[tuple[bool, str], int] = {}
    for part in parts:
        key = keys[part.name]
        first[key] = min(first.get(key, part.order), part.order)
    return {
        part.name: (keys[part.name][0], first[keys[part.name]], keys[part.name][1], part.order, part.name)
        for part in parts
    }

"""The class table for the ramp: through the gate, not yet, tries left, and whose turn is next."""

from __future__ import annotations

from skimwright.base import show_distance
from skimwright.base.page import Block, Columns, Heading, Notice, Page, Table, Text
from skimwright.desk.seasons.season import Group
from skimwright.desk.trials.gate import AtTheGate, BoatAtGate, ClassAtGate

LETTERS = "T through the gate, W ran wide, S stopped short, O ended otherwise, ? not told yet."


def rule_words(rule: Group) -> str:
    """``30.48 m (100 ft), a gate 5 m wide, 3 tries, with Tug or Whirr 5``."""
    tries = f"{rule.tries} {'try' if rule.tries == 1 else 'tries'}"
    return (
        f"{show_distance(rule.qualifying_distance)}, a gate {rule.gate_width:g} m wide, {tries}, with "
        f"{' or '.join(rule.devices)}"
    )


def chance_words(boat: BoatAtGate) -> str:
    """The chance in what is left, never finer than a log can tell."""
    if boat.chance is None:
        return "–"
    return (
        "over 99 %"
        if boat.chance > 0.99
        else "under 1 %"
        if boat.chance < 0.01
        else f"{100 * boat.chance:.0f} %"
    )


def gate_page(found: AtTheGate, *, season: str, foot: str) -> Page:
    """A sheet to post: boat number and name only.

    Parameters
    ----------
    found : AtTheGate
    season : str
        Its name.
    foot : str
    """
    columns = [tuple(block for each in found.classes[start::2] for block in _class(each)) for start in (0, 1)]
    blocks: list[Block] = list(columns[0])
    if columns[1]:
        blocks = [Columns(stacks=tuple(columns))]
    if found.queue:
        names = ", ".join(f"{b.entry.number:02d}" for b in found.queue[:8])
        blocks += [
            Heading(text="At the ramp"),
            Text(
                text=f"Next: {names}. Whoever has had fewest tries goes first; a late crew keeps its place."
            ),
        ]
    blocks.append(Text(text=LETTERS, small=True))
    return Page(title="At the gate", over=season, blocks=tuple(blocks), foot=foot)


def _class(each: ClassAtGate) -> list[Block]:
    blocks: list[Block] = [Heading(text=each.group.name), Text(text=f"{rule_words(each.group)}.")]
    if each.question:
        return [*blocks, Notice(state="stop", text=each.question.sentence())]
    rows = tuple(
        (f"{b.entry.number:02d} {b.entry.name}", b.marks or "–", b.says, str(b.left) if not b.passed else "–")
        for b in each.boats
    )
    return [*blocks, Table(head=("boat", "tries", "so far", "left"), rows=rows, numbers=(3,))]

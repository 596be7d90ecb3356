"""The numbers of a kit file as boxes to type in: what they are called, and the file as it would be with others."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from skimwright.base import ConflictError, InputError, Where
from skimwright.boat import Kit, read_kit_table

# Group, then key of the file and what a person calls it.
GROUPS: Mapping[str, Mapping[str, str]] = {
    "Hull": {
        "length_mm": "length",
        "beam_mm": "beam, over both sponsons",
        "deck_height_mm": "deck above the pads",
        "floor_front_mm": "tunnel roof in front",
        "floor_rear_mm": "floor at the transom",
        "deck_tail_mm": "deck narrows over",
        "rib_place_mm": "free rib from the bow",
    },
    "Sponsons": {
        "pod_front_mm": "begin, from the bow",
        "pod_rear_mm": "end, from the bow",
        "pod_width_mm": "width of each",
    },
    "Running pads": {
        "pad_length_mm": "length",
        "pad_angle_deg": "nose-up angle",
        "pad_contact_mm": "pads carry, from the bow",
        "stern_contact_mm": "stern carries, from the bow",
    },
    "Board": {
        "thickness_mm": "thickness",
        "areal_density_g_m2": "mass of a square metre",
        "scale": "scale of the drawing",
    },
    "Fins": {
        "blade_place_mm": "water fin, its middle",
        "blade_chord_mm": "water fin, length",
        "blade_depth_mm": "water fin, depth",
        "blade_tab_mm": "water fin, tab",
        "fin_place_mm": "air fin, its front",
        "fin_chord_mm": "air fin, foot",
        "fin_height_mm": "air fin, height",
        "fin_seat_mm": "air fin, let in",
    },
    "Device cradle": {
        "cradle_place_mm": "its middle",
        "cradle_length_mm": "length",
        "cradle_height_mm": "height",
        "cradle_spread_mm": "between its cheeks",
    },
}
BOARD = ("thickness_mm", "areal_density_g_m2")
UNITS = {"areal_density_g_m2": "g/m2", "scale": "times"}
PLAIN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
MOST_NAME = 60


@dataclass(frozen=True, kw_only=True)
class KitNumber:
    """One box."""

    key: str  # of the file, "length_mm"
    group: str
    label: str
    unit: str
    saved: str  # as it stands in the file

    @property
    def section(self) -> str:
        """Of the file; blank for the top."""
        return "" if self.key == "scale" else "board" if self.key in BOARD else "design"


@dataclass(frozen=True, kw_only=True)
class KitChange:
    """A number that was typed over."""

    number: KitNumber
    typed: str


def kit_numbers(table: Mapping[str, Any], kit: Kit) -> tuple[KitNumber, ...]:
    """The numbers of a kit that a person may change, in groups; a boat of own parts has those of its board.

    Parameters
    ----------
    table : mapping
        The kit file as parsed.
    kit : Kit
        The same, read.

    Examples
    --------
    ``len(kit_numbers(table, fold_62))`` is 29.
    """
    found = []
    for group, labels in GROUPS.items():
        for key, label in labels.items():
            if kit.design is None and key not in BOARD:
                continue
            unit = UNITS.get(key, key.rsplit("_", 1)[-1])
            found.append(KitNumber(key=key, group=group, label=label, unit=unit, saved=_saved(table, key)))
    return tuple(found)


def _saved(table: Mapping[str, Any], key: str) -> str:
    section = table if key == "scale" else table.get("board" if key in BOARD else "design", {})
    return str(section.get(key, {"scale": 1, "floor_rear_mm": 0}.get(key, "")))


def changed_numbers(numbers: tuple[KitNumber, ...], typed: Mapping[str, str]) -> tuple[KitChange, ...]:
    """Those that were typed over with something else; ``620,0`` is ``620``."""
    found = []
    for number in numbers:
        text = typed.get(number.key, number.saved).strip()
        if text != number.saved and _value(text) != _value(number.saved):
            found.append(KitChange(number=number, typed=text))
    return tuple(found)


def _value(text: str) -> float | int | str:
    """As it is written into the file: a bare number, or words with a unit for the reader to judge."""
    if not PLAIN.fullmatch(text):
        return text
    number = float(text.replace(",", "."))
    return int(number) if number.is_integer() else number


def redrawn_kit(
    table: Mapping[str, Any], changes: tuple[KitChange, ...], *, file: str, name: str = ""
) -> Kit:
    """The kit as it would be with other numbers.

    Raises
    ------
    InputError
        As `read_kit_table`: the sentences of the command line.

    Examples
    --------
    ``redrawn_kit(table, (), file="fold-62.toml")`` is the kit as saved.
    """
    return read_kit_table(_edited(table, changes, name), file=file)


def _edited(table: Mapping[str, Any], changes: tuple[KitChange, ...], name: str) -> dict[str, Any]:
    new: dict[str, Any] = {**table, **({"name": name} if name else {})}
    for change in changes:
        key, section = change.number.key, change.number.section
        if section:
            new[section] = {**new.get(section, {}), key: _value(change.typed)}
        else:
            new[key] = _value(change.typed)
    return new


def new_kit_name(name: str, kits: Mapping[str, Kit]) -> str:
    """A name for a new kit.

    Raises
    ------
    InputError
        Blank, too long, or without a letter.
    ConflictError
        Another kit has it.
    """
    name, where = " ".join(name.split()), Where(field="name of the new kit")
    if not re.search(r"[A-Za-z0-9]", name) or len(name) > MOST_NAME:
        raise InputError(
            what="not a name for a kit", got=f'"{name[:80]}"', allowed=f"letters and digits, up to {MOST_NAME}",
            do="Call it by what is new about it: Fold 62 long.", where=where,
        )  # fmt: skip
    if any(kit_file(name) == kit_file(other) for other in kits):
        raise ConflictError(
            what="there is a kit of this name", got=f'"{name}"', allowed="a name of its own; the old kit is kept",
            do="Choose another name.", where=where,
        )  # fmt: skip
    return name


def kit_file(name: str) -> str:
    """``fold-62-long.toml`` for ``Fold 62 long``."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") + ".toml"


def kit_text(text: str, changes: tuple[KitChange, ...], *, name: str) -> str:
    """The kit file with other numbers and another name; comments and order stay as they were.

    Raises
    ------
    ConflictError
        The file is written in a way that cannot be edited line by line.
    """
    before = tomllib.loads(text)
    new = _set(text, "", "name", name)
    for change in changes:
        new = _set(new, change.number.section, change.number.key, _value(change.typed))
    new = f"# {name}: {before['name']} with other numbers.\n{new}"
    try:
        is_right = tomllib.loads(new) == _edited(before, changes, name)
    except tomllib.TOMLDecodeError:
        is_right = False
    if not is_right:
        raise ConflictError(
            what="this kit file cannot be edited here", allowed="one line for each number",
            do="Copy it, change the copy in an editor, and open it again.",
        )  # fmt: skip
    return new


def _set(text: str, section: str, key: str, value: float | int | str) -> str:
    """One line of the file with another value; a new line where there was none."""
    said = _quoted(value) if isinstance(value, str) else str(value)
    pattern = re.compile(rf"(\s*{re.escape(key)}\s*=\s*)(\"[^\"]*\"|'[^']*'|[^#\s]+)(.*)")
    lines, here, after = text.split("\n"), "", 0
    for number, row in enumerate(lines):
        head = re.match(r"\s*(\[\[?)\s*([\w.-]+)\s*\]", row)
        if head:
            here = head[2] if head[1] == "[" else f"[[{head[2]}"
        if here == section:
            found = pattern.fullmatch(row)
            if found:
                lines[number] = f"{found[1]}{said}{found[3]}"
                return "\n".join(lines)
            if head or re.match(r"\s*(name|form)\s*=", row):
                after = number + 1
    lines.insert(after, f"{key} = {said}")
    return "\n".join(lines)


def _quoted(text: str) -> str:
    clean = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else " " for c in clean) + '"'

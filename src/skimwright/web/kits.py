"""The kits of the season by the names of their files, and what was worked out for one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Any

from skimwright.base import MissingError
from skimwright.web.house import House

if TYPE_CHECKING:
    from skimwright.desk import Kit, KitNumber, Layout

KEPT = 40  # layouts of sheets


@dataclass(frozen=True, kw_only=True)
class KitHere:
    """One kit of the season."""

    slug: str  # "fold-62", as in addresses
    file: str  # "kits/fold-62.toml"
    kit: Kit
    boats: int  # built from it

    def table(self, house: House) -> Mapping[str, Any]:
        """Its file, parsed."""
        return house.files.table(house.path / self.file)

    def numbers(self, house: House) -> tuple[KitNumber, ...]:
        """Its boxes."""
        from skimwright import desk

        return desk.kit_numbers(self.table(house), self.kit)


def kits_here(house: House) -> list[KitHere]:
    """Every kit, in the order of the files."""
    season = house.season()
    return [
        KitHere(
            slug=PurePosixPath(file).stem, file=file, kit=season.kits[name],
            boats=sum(entry.kit == name for entry in season.boats),
        )
        for name, file in season.kit_files.items()
    ]  # fmt: skip


def kit_here(house: House, slug: str) -> KitHere:
    """One kit.

    Raises
    ------
    MissingError
        The season has no such kit.
    """
    for found in kits_here(house):
        if found.slug == slug:
            return found
    raise MissingError(what="there is no such kit in this season", do="Choose one on the Board.")


def slug_of(house: House, name: str) -> str:
    """The address of a kit by its name."""
    return PurePosixPath(house.season().kit_files[name]).stem


def kept_layout(house: House, kit: Kit, boats: int) -> Layout | None:
    """The last layout of so many boats of a kit, if the kit has not changed since."""
    layout = house.layouts.get(_key(kit, boats))
    return layout if layout and layout.kits[0][0].board == kit.board else None


def keep_layout(house: House, layout: Layout) -> None:
    """Keep it; the oldest give way."""
    kit, boats = layout.kits[0]
    house.layouts[_key(kit, boats)] = layout
    while len(house.layouts) > KEPT:
        house.layouts.pop(next(iter(house.layouts)))


def _key(kit: Kit, boats: int) -> str:
    return f"{kit.name}, {kit.edition}, {boats}"

"""The permission sheet: a motor or a gas cartridge stays shut until every named person has ticked and dated it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from skimwright.base import InputError
from skimwright.base.page import Block, Heading, Notice, Page, Table, Text
from skimwright.course import BEHIND
from skimwright.desk.seasons.fields import Fields, nearest
from skimwright.desk.seasons.season import Season
from skimwright.desk.seasons.words import closed
from skimwright.physics import thrust

NEEDED: tuple[tuple[str, str], ...] = (
    ("authority having jurisdiction", "fire marshal or fire service: this use, in this place, on these days"),
    ("water owner", "the land and the water, in writing"),
    ("insurer", "cover for this device in a boat, in writing; several model-boat insurers forbid it"),
    ("school", "these pupils, these adults"),
    ("maker's permitted use", "the maker's own words allow this use; who read them, and where"),
)
KINDS = ("motor", "gas")  # shut whatever the device file says
Status = Literal["in date", "missing", "not ticked", "no date", "not yet", "expired"]


@dataclass(frozen=True, kw_only=True)
class Grant:
    """One permission as written down."""

    device: str
    of: str  # one of those needed
    person: str  # by role: no surname is needed
    ticked_by: str  # blank: not ticked
    given: datetime.date | None
    until: datetime.date | None

    def status(self, day: datetime.date) -> Status:
        """What it is worth on a day; both ends count."""
        if not self.ticked_by:
            return "not ticked"
        if self.given is None or self.until is None:
            return "no date"
        if day < self.given:
            return "not yet"
        return "in date" if day <= self.until else "expired"


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One device's sheet on one day."""

    device: thrust.Device
    is_needed: bool
    rows: tuple[tuple[str, Status, Grant | None], ...]  # by what is needed

    @property
    def is_open(self) -> bool:
        """Whether the class may run it; anything less than all in date is shut."""
        return not self.is_needed or all(status == "in date" for _, status, _ in self.rows)

    @property
    def lacks(self) -> tuple[str, ...]:
        """What stands in the way: ``insurer: expired``."""
        return tuple(f"{of}: {status}" for of, status, _ in self.rows if status != "in date")


def permission_needed(device: thrust.Device) -> bool:
    """Motors and gas always; others as their file says."""
    return device.needs_permission or device.kind in KINDS


def read_grants(
    table: Mapping[str, Any], *, devices: Sequence[str], file: str = "permits.toml"
) -> tuple[Grant, ...]:
    """Permissions from their file.

    Raises
    ------
    InputError
        A device is not of this season, a permission is none of those needed, or its dates run backwards.
    """
    top = Fields(table, file=file)
    items = top.items("permits")
    top.close()
    return tuple(_grant(item, devices) for item in items)


def _grant(item: Fields, devices: Sequence[str]) -> Grant:
    device, of = item.text("device"), item.text("of")
    if device not in devices:
        raise InputError(
            what="no device of this name in this season", got=f'"{device}"', allowed=", ".join(devices),
            do=nearest(device, devices), where=item.where("device"),
        )  # fmt: skip
    names = [name for name, _ in NEEDED]
    if of not in names:
        raise InputError(
            what="no such permission", got=f'"{of}"', allowed=", ".join(names), do=nearest(of, names),
            where=item.where("of"),
        )  # fmt: skip
    grant = Grant(
        device=device,
        of=of,
        person=item.text("person", default=""),
        ticked_by=item.text("ticked_by", default=""),
        given=item.day("given") if "given" in item.names() else None,
        until=item.day("until") if "until" in item.names() else None,
    )
    item.close()
    if grant.given and grant.until and grant.until < grant.given:
        raise InputError(
            what="this permission ends before it begins", got=f"{grant.given} to {grant.until}",
            allowed="until no earlier than given", do="Correct the date that is wrong.", where=item.where("until"),
        )  # fmt: skip
    return grant


def permission_sheets(season: Season, grants: Sequence[Grant], day: datetime.date) -> tuple[Sheet, ...]:
    """Each device's sheet.  When one is written twice, the later word counts."""
    found = []
    for device in season.devices.values():
        is_needed = permission_needed(device)
        rows = []
        for of, _ in NEEDED if is_needed else ():
            written = [grant for grant in grants if grant.device == device.name and grant.of == of]
            last = written[-1] if written else None
            rows.append((of, last.status(day) if last else "missing", last))
        found.append(Sheet(device=device, is_needed=is_needed, rows=tuple(rows)))
    return tuple(found)


def sheet_page(season: Season, sheet: Sheet, day: datetime.date, *, foot: str) -> Page:
    """One device's sheet to carry round and have signed."""
    blank = "_" * 22
    device = sheet.device
    blocks: list[Block] = [
        Notice(state="ok", text=f"{device.name} may run on {day:%d %B %Y}, under the conditions below.")
        if sheet.is_open
        else Notice(
            state="stop", text=f"{device.name} stays shut on {day:%d %B %Y}. {'; '.join(sheet.lacks)}."
        ),
        Text(
            text=closed(device.name)
            if sheet.is_needed
            else "This device needs no permission sheet of its own."
        ),
        Table(
            head=("permission of", "for what", "person, by role", "ticked by", "given", "until", "stands"),
            rows=tuple(
                (
                    of,
                    dict(NEEDED)[of],
                    (grant.person if grant else "") or blank,
                    (grant.ticked_by if grant else "") or blank,
                    str(grant.given) if grant and grant.given else "_" * 10,
                    str(grant.until) if grant and grant.until else "_" * 10,
                    status,
                )
                for of, status, grant in sheet.rows
            ),
        ),
        Text(
            text="This sheet collects what others allow; it allows nothing itself. Where they ask for more than is "
            "printed here, theirs holds."
        ),
        Heading(text="When it runs"),
        *(Text(text=words) for words in _conditions(device)),
        Text(
            text=f"Borrowed minimum, not an approval: {BEHIND:.3f} m (15 ft) of stand-off for motors to class D, from "
            "a model rocket safety code (2012 text, item 5), written for a rocket that leaves upwards. A boat leaves "
            "sideways, towards people.",
            small=True,
        )
        if device.kind == "motor"
        else Text(text="", small=True),
    ]
    return Page(
        title=f"Permission sheet: {device.name}",
        over=f"{season.name}, {season.site.name}",
        blocks=tuple(blocks),
        foot=foot,
    )


def _conditions(device: thrust.Device) -> tuple[str, ...]:
    """What is done each time; seen rules and common practice, none of them a permission."""
    if device.kind == "motor":
        return (
            "An adult in charge fires it, electrically, with an interlock in series and a switch that springs back.",
            "Misfire: take out the interlock or disconnect the battery, and wait 60 seconds before anybody goes near.",
            "Never towards people. Water and an extinguisher at the start; nothing dry behind the nozzle.",
        )
    if device.kind == "gas":
        return (
            "On a guide line only, with a catch box at its end. Outdoors, cartridges out of the sun.",
            "The cartridge is held fast before it is pierced; no fingers at the jet.",
        )
    if device.kind == "propeller":
        return ("Ring guard, arming plug out until the start line, nobody in the plane of the propeller.",)
    return ("Nobody in the recoil arc of the line; a box under the weight; a weak link at the boat.",)

"""The race day for the pages: the files are read once for each change, the day is made for each moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from skimwright import desk
from skimwright.base import InputError, MissingError, Where

if TYPE_CHECKING:
    from pathlib import Path

    from skimwright.web.doors import Visit
    from skimwright.web.house import House

PLAN, ENTRIES, RESULTS, HOLDS = "day.toml", "entries.csv", "results.csv", "holds.csv"
RESULT_WORDS = ("not finished", "disqualified", "not started", "retired", "?")
TURNS = ("Next", "After", "Then")


def race_day(house: House) -> desk.RaceDay:
    """The day now.

    Raises
    ------
    MissingError
        There is no plan of the day, or no entries.
    """
    tables, tries = _tables(house)
    return desk.read_day(tables, now=desk.moment(house.files.now(), Where(field="now")), tries=tries)


def _tables(house: House) -> tuple[desk.DayTables, dict[str, int]]:
    found: tuple[desk.DayTables, dict[str, int]] | None = house.kept(("day", 0))
    if found is None:
        stamp = house.stamp()
        found = _read(house)
        house.keep(("day", 0), found, read_at=stamp)
    return found


def _read(house: House) -> tuple[desk.DayTables, dict[str, int]]:
    files, path = house.files, house.path
    for name, what, do in (
        (PLAN, "this season has no plan of the regatta day", "Write its sessions down, then open this page again."),
        (ENTRIES, "nobody is entered", "Write a row for each boat."),
    ):  # fmt: skip
        if not files.is_file(path / name):
            raise MissingError(what=what, allowed=f"a file {name}", do=do, where=Where(file=name))

    def maybe(name: str, read: Callable[[Path], Any]) -> Any:
        return read(path / name) if files.is_file(path / name) else None

    tables = desk.DayTables(
        season=files.table(path / "season.toml"), day=files.table(path / PLAN), entries=files.rows(path / ENTRIES),
        results=maybe(RESULTS, files.rows), holds=maybe(HOLDS, files.grid), pond=maybe("pond.toml", files.table),
    )  # fmt: skip
    groups = tables.season.get("groups", {})
    return tables, {
        name: group["tries"] for name, group in groups.items() if isinstance(group.get("tries"), int)
    }


def day_name(house: House) -> str:
    """The season's name, without reading the boats for it."""
    return str(_tables(house)[0].season["season"]["name"])


def points_of(day: desk.RaceDay) -> desk.DayPoints:
    """The points as they stand."""
    return desk.day_points(day.events, desk.points_tables["powerboat"], entries=day.entries)


def act(visit: Visit, make: Callable[[desk.RaceDay, desk.Stamp], Sequence[Mapping[str, str]]]) -> bool:
    """Read the day, let `make` say what is new, write it down and tell everybody.

    Returns
    -------
    bool
        Whether anything was new; sent again with its key, an act is counted once.
    """
    house = visit.house
    with house.alone():
        day = race_day(house)
        tapped = desk.moment(visit.when(), Where(field="waited_s")).astimezone(day.now.tzinfo)
        stamp = desk.Stamp(
            at=tapped, who=visit.ticket.job, phone=visit.ticket.says, key=visit.typed("key", longest=60)
        )
        rows = make(day, stamp)
        if rows:
            house.add(RESULTS, desk.RESULT_COLUMNS, rows, topic="race")
    return len(rows) > 0


# what the pages show of it


def turns(day: desk.RaceDay) -> list[tuple[str, desk.DayHeat]]:
    """Now, next and after, with their words."""
    now = [("Now", day.heat(number)) for number in day.on_water]
    return [*now, *zip(TURNS, day.next_heats(3), strict=False)][:3]


def waiting(day: desk.RaceDay) -> list[desk.DayHeat]:
    """Heats that were reported and do not count yet."""
    return [heat for heat in day.heats if heat.state == "waits"]


def raced(day: desk.RaceDay) -> list[desk.DayHeat]:
    """Heats that were reported, the latest first."""
    return [heat for heat in reversed(day.heats) if heat.state in ("waits", "done")]


def in_order(heat: desk.DayHeat) -> list[tuple[int, str]]:
    """Boats of a result in words, the best first."""
    found = sorted(heat.outcomes.items(), key=lambda item: (item[1].place or 999, item[1].code, item[0]))
    return [(boat, outcome.words()) for boat, outcome in found]


def side_by_side(heat: desk.DayHeat) -> list[tuple[int, list[str], bool]]:
    """For each boat what every report says of it, and whether they agree."""
    lines = []
    for boat in sorted({boat for report in heat.reports for boat in report.outcomes}, key=heat.lane_of):
        said = [r.outcomes[boat].words() if boat in r.outcomes else "nothing" for r in heat.reports]
        lines.append((boat, said, len(set(said)) == 1))
    return lines


def corrected_boats(day: desk.RaceDay) -> frozenset[int]:
    """Boats with a corrected result."""
    return frozenset(boat for heat in day.heats for event in heat.corrected for boat in event.outcomes)


def choices(boats: int) -> list[str]:
    """What a boat can have done in a heat of so many, for a list to choose from."""
    places = [str(place) for place in range(1, boats + 1)]
    return [*places, *(f"{place}=" for place in places[:-1]), *RESULT_WORDS]


def order_typed(visit: Visit, heat: desk.DayHeat) -> dict[int, str]:
    """What the form says of each boat of a heat; those left blank are left out."""
    said = {boat: visit.typed(f"boat_{boat:02d}", longest=40) for boat in heat.lanes if boat is not None}
    return {boat: words for boat, words in said.items() if words}


def number_typed(visit: Visit, name: str) -> int:
    """A number of a heat or a boat, from the form.

    Raises
    ------
    InputError
        It is none.
    """
    text = visit.typed(name, must=True, longest=10)
    if not (text.isascii() and text.isdecimal() and 0 < int(text) <= 9999):
        raise InputError(what=f"not a number of a {name}", got=f'"{text}"', allowed="1 to 9999",
                         do="Write its number.", where=Where(field=name))  # fmt: skip
    return int(text)

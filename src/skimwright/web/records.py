"""What the season's files say, gathered for the safety sheet and the year's checklist."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from skimwright import desk
from skimwright.base import SkimwrightError, Where
from skimwright.web.day import race_day

if TYPE_CHECKING:
    from skimwright.web.house import House


def records(house: House) -> desk.OpeningRecords:
    """Everything the two sheets are read from; what cannot be read is told there, never raised."""
    season = house.season()
    limits, no_limits = _limits(house)
    day = _day(house)
    rows = house.rows("runs.csv")
    runs = [row.cells.get("boat", "") for row in rows.rows] if rows else []
    today = desk.moment(house.files.now(), Where(field="now")).date()
    return desk.OpeningRecords(
        season=season, today=today, limits=limits, no_limits=no_limits, sheets=_sheets(house, season), day=day,
        roster=_roster(house, season), runs=tuple(int(boat) for boat in runs if boat.isdecimal()),
        is_kept=any((house.path.parent / "kept").glob("*.season")),
    )  # fmt: skip


def _limits(house: House) -> tuple[desk.SiteLimits | None, str]:
    path = house.path / "limits.toml"
    if not house.files.is_file(path):
        return None, "No limit is written down."
    try:
        return desk.read_site_limits(house.files.table(path)), ""
    except SkimwrightError as error:
        return None, error.sentence()


def _day(house: House) -> desk.RaceDay | None:
    try:
        return race_day(house)
    except SkimwrightError:
        return None


def _sheets(house: House, season: desk.Season) -> tuple[desk.PermissionSheet, ...]:
    path = house.path / "permits.toml"
    written = house.files.table(path) if house.files.is_file(path) else {}
    try:
        grants = desk.read_grants(written, devices=tuple(season.devices))
    except SkimwrightError:  # what cannot be read allows nothing
        grants = ()
    return desk.permission_sheets(season, grants, season.regatta)


def _roster(house: House, season: desk.Season) -> desk.Roster | None:
    def table(name: str) -> dict[str, Any] | None:
        path = house.path / name
        return house.files.table(path) if house.files.is_file(path) else None

    if house.rows("helpers.csv") is None:
        return None
    try:
        return desk.roster_of(season, rows=house.rows, table=table)
    except SkimwrightError:
        return None

"""A season as its files tell it: class rules, conditions, kits, devices and the boats as built."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from skimwright.base import Finding, InputError, MissingError, Where, show_distance
from skimwright.boat import Kit, read_kit_table
from skimwright.desk.boats.boat_list import Answers, Entry, read_boats
from skimwright.desk.boats.questions import checks_by_column
from skimwright.desk.seasons.fields import Fields, nearest
from skimwright.desk.seasons.tables import SeasonTables
from skimwright.desk.water.pond_map import PondMap, read_pond
from skimwright.physics import thrust
from skimwright.pond import Conditions, Gate

Thing = TypeVar("Thing")

USUAL_DISTANCE = 30.48  # 100 ft [m]
USUAL_GATE = 5.0  # [m]


@dataclass(frozen=True, kw_only=True)
class Group:
    """An age group and its class rules."""

    name: str
    age_from: int
    age_to: int
    qualifying_distance: float  # [m]
    gate_width: float  # [m]
    tries: int
    devices: tuple[str, ...]  # those allowed
    mass_min: float | None = None  # ready to run [kg]; None: no limit
    mass_max: float | None = None  # [kg]
    is_distance_sure: bool = False  # its writer put the unit behind the number

    @property
    def gate(self) -> Gate:
        """What a boat of this group must run through to qualify."""
        return Gate(distance=self.qualifying_distance, width=self.gate_width)


@dataclass(frozen=True, kw_only=True)
class Site:
    """Where it is run."""

    name: str
    start: tuple[float, float]  # east and north of peg P1 [m]
    lane_spacing: float  # [m]


@dataclass(frozen=True, kw_only=True)
class Season:
    """Everything the files say, checked."""

    name: str
    first_day: datetime.date
    last_day: datetime.date
    regatta: datetime.date
    site: Site
    groups: Mapping[str, Group]
    conditions: Conditions  # of the day, heading along the launch line
    kits: Mapping[str, Kit]
    devices: Mapping[str, thrust.Device]
    boats: tuple[Entry, ...]
    pond: PondMap | None = None  # None: no pond.toml
    keeps_forecasts: bool = False  # each forecast made is written into forecasts.csv
    season_findings: tuple[Finding, ...] = ()  # about the season itself
    kit_files: Mapping[str, str] = field(default_factory=dict)  # name of a kit: its file, "kits/fold-62.toml"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every question of the season and its boats, in the order of the files."""
        return (*self.season_findings, *(finding for entry in self.boats for finding in entry.findings))

    @property
    def ready(self) -> tuple[Entry, ...]:
        """The boats that no open question stops."""
        return tuple(entry for entry in self.boats if not entry.is_stopped)

    @property
    def stopped(self) -> tuple[Entry, ...]:
        """The boats that wait for an answer."""
        return tuple(entry for entry in self.boats if entry.is_stopped)

    def boat(self, number: int) -> Entry:
        """The boat of that number, if no open question stops it.

        Raises
        ------
        MissingError
            There is no such boat.
        InputError
            A question about it is open; the message asks it.
        """
        entry = next((entry for entry in self.boats if entry.number == number), None)
        if entry is None:
            numbers = [each.number for each in self.boats]
            raise MissingError(
                what=f"no boat {number} in this season",
                allowed=f"{len(numbers)} boats numbered {min(numbers)} to {max(numbers)}",
                do="Give the number in the first column of boats.csv.",
                where=Where(field="boat"),
            )
        for finding in entry.findings:
            if finding.severity == "stop":
                raise InputError(
                    what=f"{entry.label}: {finding.what}",
                    do=f"{finding.why} {finding.do}",
                    where=Where(file="boats.csv", row=entry.row),
                )
        return entry

    def kit_of(self, entry: Entry) -> Kit:
        """The drawing of a boat."""
        return self.kits[entry.kit]


def read_season(tables: SeasonTables, *, answers: Answers | None = None) -> Season:
    """A season from what its files say.

    Parameters
    ----------
    tables : SeasonTables
        The files as parsed.
    answers : mapping, optional
        What to read in place of a cell of ``boats.csv``: ``{(20, "mass_g"): "13.5 oz"}``.

    Returns
    -------
    Season
        Values that look wrong but can be read are questions in its findings; nothing is changed silently.

    Raises
    ------
    InputError
        Something cannot be read at all; file, row and field are named.
    """
    kits = _by_name(tables.kits, "kit", read_kit_table, lambda kit: kit.name)
    devices = _by_name(tables.devices, "device", thrust.read_device_table, lambda device: device.name)
    top = Fields(tables.season, file="season.toml")
    about, site_table, start, weather = (top.table(key) for key in ("season", "site", "start", "conditions"))
    group_tables = top.tables("groups")
    top.close()
    groups = {name: _group(name, fields, devices) for name, fields in group_tables.items()}
    if not groups:
        raise InputError(
            what="no age groups", allowed="at least one table such as [groups.Rush]", do="Write one.",
            where=top.where("groups"),
        )  # fmt: skip
    boats = read_boats(
        tables.boats,
        groups=groups,
        kits=kits,
        devices=devices,
        checks=checks_by_column(kits),
        answers=answers or {},
    )
    heading = _bearing(start, "heading_deg")
    conditions, wind_findings = _conditions(weather, heading)
    days = {key: about.day(key) for key in ("first_day", "regatta", "last_day")}
    _in_order(days, about)
    name = about.text("name")
    keeps = about.flag("keep_forecasts", default=False)
    site = _site(site_table, start)
    for fields in (about, start):
        fields.close()
    pond = None if tables.pond is None else read_pond(tables.pond)
    if pond and not pond.is_water(site.start):
        raise InputError(
            what="the start lies on land",
            got=f"east {site.start[0]:g} m, north {site.start[1]:g} m",
            allowed="a spot inside the outline of pond.toml and off its islets",
            do="Measure it again from peg P1.",
            where=start.where("east_m and north_m"),
        )
    return Season(
        name=name,
        **days,
        site=site,
        groups=groups,
        conditions=conditions,
        kits=kits,
        devices=devices,
        boats=tuple(_by_class_rules(entry, groups[entry.group], devices[entry.device]) for entry in boats),
        pond=pond,
        keeps_forecasts=keeps,
        season_findings=(*wind_findings, *_ask_course(groups)),
        kit_files=dict(zip(kits, tables.kits, strict=True)),
    )


def regatta_date(table: Mapping[str, Any]) -> datetime.date:
    """The day of the regatta, from ``season.toml`` alone.

    Raises
    ------
    InputError
        It is missing or no date.
    """
    return Fields(table, file="season.toml").table("season").day("regatta")


def _by_name(
    tables: Mapping[str, Mapping[str, Any]],
    thing: str,
    read: Callable[..., Thing],
    name_of: Callable[[Thing], str],
) -> dict[str, Thing]:
    """Each file's thing under its own name, which no two files may share."""
    found: dict[str, Thing] = {}
    files: dict[str, str] = {}
    for file, table in tables.items():
        item = read(table, file=file)
        name = name_of(item)
        if name in found:
            raise InputError(
                what=f"two {thing}s of one name",
                got=f'"{name}", also in {files[name]}',
                allowed=f"a name of its own for each {thing}",
                do="Change one of the two.",
                where=Where(file=file, field="name"),
            )
        found[name], files[name] = item, file
    return found


def _group(name: str, fields: Fields, devices: Iterable[str]) -> Group:
    allowed = fields.texts("devices", default=tuple(devices))
    for device in allowed:
        if device not in devices:
            raise InputError(
                what="no device of this name in this season",
                got=f'"{device}"',
                allowed=", ".join(devices),
                do=nearest(device, devices),
                where=fields.where("devices"),
            )
    sure = fields.has_unit("qualifying_distance_m")
    group = Group(
        name=name,
        age_from=fields.whole("age_from", low=3, high=99),
        age_to=fields.whole("age_to", low=3, high=99),
        qualifying_distance=fields.quantity(
            "qualifying_distance_m", "length", "m", low=1, high=200, default=USUAL_DISTANCE
        ),
        is_distance_sure=sure,
        gate_width=fields.quantity("gate_width_m", "length", "m", low=0.5, high=20, default=USUAL_GATE),
        tries=fields.whole("tries", low=1, high=20, default=3),
        devices=allowed,
        mass_min=fields.quantity_or_none("mass_min_g", "mass", "g", low=1, high=20_000),
        mass_max=fields.quantity_or_none("mass_max_g", "mass", "g", low=1, high=20_000),
    )
    pairs = (
        ("age_from", "age_to", group.age_from, group.age_to, ""),
        ("mass_min_g", "mass_max_g", (group.mass_min or 0) * 1e3, (group.mass_max or 1e9) * 1e3, " g"),
    )
    for low_key, high_key, low, high, unit in pairs:
        if low > high:
            raise InputError(
                what=f"the least is more than the most, {high_key}",
                got=f"{low:g}{unit} and {high:g}{unit}",
                allowed=f"{low_key} no more than {high_key}",
                do="Correct one of the two.",
                where=fields.where(low_key),
            )
    fields.close()
    return group


def _conditions(fields: Fields, heading: float) -> tuple[Conditions, tuple[Finding, ...]]:
    mean = fields.quantity("wind_mean_m_s", "speed", "m/s", low=0, high=20)
    gust = fields.quantity_or_none("wind_gust_m_s", "speed", "m/s", low=0, high=30)
    if gust is not None and gust < mean:
        raise InputError(
            what="a gust weaker than the mean wind",
            got=f"gust {gust:.3g} m/s, mean {mean:.3g} m/s",
            allowed="a gust at least as strong as the mean",
            do="Check whether the two were exchanged.",
            where=fields.where("wind_gust_m_s"),
        )
    weather = Conditions(
        wind_speed=mean,
        wind_gust=gust,
        wind_from=_bearing(fields, "wind_from_deg"),
        heading=heading,
        air_temperature=fields.quantity(
            "air_temperature_c", "temperature", "C", low=-10, high=45, default=15
        ),
        water_temperature=fields.quantity(
            "water_temperature_c", "temperature", "C", low=0, high=35, default=15
        ),
        ripple=fields.quantity_or_none("ripple_mm", "length", "mm", low=0, high=100),
    )
    fields.close()
    return weather, _ask_wind(weather)


def _ask_wind(weather: Conditions) -> tuple[Finding, ...]:
    """Questions about wind that can be read but looks like a slip."""
    mean, gust = weather.wind_speed, weather.wind_gust
    found = []
    if gust == mean > 0:
        found.append(
            Finding(
                code="gust-as-mean",
                severity="warning",
                what=f"Mean wind and gust are both {mean:g} m/s.",
                why="Was the gust written for the mean?",
                do="Read the wind for ten minutes and write the mean and the strongest gust.",
                where="season.toml, [conditions]",
            )
        )
    if mean > 7:
        found.append(
            Finding(
                code="strong-wind",
                severity="warning",
                what=f"A mean wind of {mean:.1f} m/s is more than such boats are run in.",
                why=f"Is it {mean:g} km/h = {mean / 3.6:.1f} m/s?",
                do=f'If so, write wind_mean_m_s = "{mean:g} km/h".',
                where="season.toml, [conditions]",
            )
        )
    return tuple(found)


def _bearing(fields: Fields, key: str) -> float:
    """A direction clockwise from north. [rad]"""
    return fields.quantity(key, "angle", "deg", low=0, high=360)


def _site(fields: Fields, start: Fields) -> Site:
    far = {"low": -1000.0, "high": 1000.0}
    site = Site(
        name=fields.text("name"),
        start=(
            start.quantity("east_m", "length", "m", default=0, **far),
            start.quantity("north_m", "length", "m", default=0, **far),
        ),
        lane_spacing=start.quantity("lane_spacing_m", "length", "m", low=0.5, high=20, default=2.5),
    )
    fields.close()
    return site


def _in_order(days: Mapping[str, datetime.date], fields: Fields) -> None:
    keys = list(days)
    for first, second in itertools.pairwise(keys):
        if days[first] > days[second]:
            raise InputError(
                what=f"this day comes before {first}",
                got=f"{days[second]} before {days[first]}",
                allowed=", ".join(keys) + " in this order",
                do="Correct the date that is wrong.",
                where=fields.where(second),
            )


def _ask_course(groups: Mapping[str, Group]) -> tuple[Finding, ...]:
    """Questions about class rules that can be read but look like a slip."""
    return tuple(
        Finding(
            code="distance-in-feet",
            severity="warning",
            what=f"{show_distance(group.qualifying_distance)} to qualify is more than such boats run.",
            why=f"Is it {group.qualifying_distance:g} ft = {group.qualifying_distance * 0.3048:.2f} m?",
            do=f'If so, write qualifying_distance_m = "{group.qualifying_distance:g} ft".',
            where=f"season.toml, [groups.{group.name}]",
        )
        for group in groups.values()
        if group.qualifying_distance > 60
    )


def _by_class_rules(entry: Entry, group: Group, device: thrust.Device) -> Entry:
    """The entry with what the class rules say about it."""
    said: list[tuple[str, str, str]] = []
    if entry.device not in group.devices:
        what = f"{entry.device} is not a device of {group.name}: {', '.join(group.devices)}."
        said.append(("device-not-allowed", what, "Change the device, or the class rule in season.toml."))
    elif device.needs_permission:
        what = f"{entry.device} stays shut until its permission sheet is complete."
        said.append(("device-needs-permission", what, "Ask the officer who keeps the sheet."))
    mass = entry.built.mass
    limit = f"{group.name} allows {(group.mass_min or 0) * 1e3:g} to {(group.mass_max or 20) * 1e3:g} g."
    if mass is not None and not (group.mass_min or 0) <= mass <= (group.mass_max or 20):
        said.append(
            ("mass-out-of-class", f"It weighs {mass * 1e3:.1f} g; {limit}", "Move it within the rule.")
        )
    more = (
        Finding(code=code, severity="warning", what=what, do=do, where=entry.label) for code, what, do in said
    )
    return replace(entry, findings=(*entry.findings, *more))

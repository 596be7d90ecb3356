"""``pond.toml`` and GeoJSON: the water's edge and what lies in it, in metres east and north of peg P1."""

from __future__ import annotations

import datetime
import itertools
import json
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from shapely.geometry import Polygon
from shapely.geometry.polygon import orient
from shapely.validation import explain_validity

from skimwright.base import InputError, Where
from skimwright.desk.seasons.fields import Fields
from skimwright.pond import (
    Closure,
    Depth,
    Hazard,
    Place,
    PondMap,
    Reeds,
    Taped,
    locate,
    to_degrees,
    to_local,
)

Spot = tuple[float, float]

NEAR_ENOUGH = 0.30  # spare tapes that disagree by more are questioned [m]


def read_pond(table: Mapping[str, Any], *, file: str = "pond.toml") -> PondMap:
    """A pond from its parsed file.

    The shore is given once: as corners (``[water] outline_m``), as tapes from pegs (``[[tapes]]``) or as the
    points of a phone walked round it (``[water] walked_deg``), which is good for planning only.

    Raises
    ------
    InputError
        An outline crosses itself, tapes do not meet or disagree, or a line is missing or cannot be read.
    """
    top = Fields(table, file=file)
    pegs, water, where = top.table("pegs"), top.table("water"), top.table("place")
    islets, reeds, people, hazards, depths, tapes = (
        top.items(key) for key in ("islets", "reeds", "people", "hazards", "depths", "tapes")
    )
    top.close()
    known = {name: pegs.spot(name) for name in pegs.names()}
    place = _place(where) if where.names() else None
    outline, closure, walked = _shore(water, tapes, known, place, file)
    found = PondMap(
        pegs=known,
        outline=outline,
        islets={item.text("name"): _outline(item) for item in islets},
        reeds=tuple(
            Reeds(
                name=item.text("name"),
                outline=_outline(item),
                closed_from=item.day("closed_from"),
                closed_to=item.day("closed_to"),
            )
            for item in reeds
        ),
        people={item.text("name"): (item.spot("from_m"), item.spot("to_m")) for item in people},
        hazards=tuple(
            Hazard(
                name=item.text("name"),
                at=item.spot("at_m"),
                keep_off=item.quantity("keep_off_m", "length", "m", low=0, high=1000),
            )
            for item in hazards
        ),
        depths=tuple(
            Depth(at=item.spot("at_m"), depth=item.quantity("depth_m", "length", "m", low=0, high=100))
            for item in depths
        ),
        place=place,
        for_planning_only=walked,
        closure=closure,
    )
    for fields in (water, where, *islets, *reeds, *people, *hazards, *depths):
        fields.close()
    return found


def _place(fields: Fields) -> Place:
    latitude = fields.quantity("latitude_deg", "angle", "deg", low=-90, high=90)
    longitude = fields.quantity("longitude_deg", "angle", "deg", low=-180, high=180)
    offset = fields.quantity("utc_offset_h", "time", "h", low=-14, high=14, default=0.0)
    return Place(latitude=latitude, longitude=longitude, utc_offset=offset / 3600.0)


def _shore(
    water: Fields, tapes: Sequence[Fields], pegs: Mapping[str, Spot], place: Place | None, file: str
) -> tuple[tuple[Spot, ...], Closure | None, bool]:
    """The shore by whichever way it was measured; how the tapes agree; whether a phone walked it."""
    said = [name for name in ("outline_m", "walked_deg") if name in water.names()] + (
        ["tapes"] if tapes else []
    )
    if len(said) > 1:
        raise InputError(
            what="the shore is given more than once",
            got=" and ".join(said),
            allowed="one of outline_m, walked_deg, [[tapes]]",
            do="Keep the one that was measured best.",
            where=Where(file=file),
        )
    if tapes:
        points = tuple(_taped(number, item, pegs) for number, item in enumerate(tapes, 1))
        try:
            spots, closure = locate(pegs, points)
        except InputError as error:
            raise error.at(Where(file=file, field="[[tapes]]")) from error
        worst = closure.worst
        if worst and abs(worst.off) > NEAR_ENOUGH:
            raise InputError(
                what=f"the tapes disagree at point {worst.point}",
                got=f"the tape from {worst.tape} is {abs(worst.off):.2f} m too {'long' if worst.off > 0 else 'short'}"
                if worst.tape != "step"
                else f"the step to it is {abs(worst.off):.2f} m off",
                allowed=f"{NEAR_ENOUGH:g} m",
                do="Measure that point again.",
                where=Where(file=file, field="[[tapes]]"),
            )
        return _valid(spots, Where(file=file, field="[[tapes]]")), closure, False
    if "walked_deg" in water.names():
        degrees = water.spots("walked_deg")  # latitude and longitude [deg]
        if place is None:
            raise InputError(
                what="a walked shore needs to know where peg P1 stands",
                allowed="[place] with latitude_deg and longitude_deg",
                do="Write the place of P1 as the same phone shows it.",
                where=Where(file=file, field="[place]"),
            )
        try:
            spots = tuple(_local(lat, lon, place) for lat, lon in degrees)
        except InputError as error:
            raise error.at(water.where("walked_deg")) from error
        return _valid(spots, water.where("walked_deg")), None, True
    return _outline(water), None, False


def _local(latitude: float, longitude: float, place: Place) -> Spot:
    return to_local(
        latitude=math.radians(latitude),
        longitude=math.radians(longitude),
        origin_latitude=place.latitude,
        origin_longitude=place.longitude,
    )


def _taped(number: int, item: Fields, pegs: Mapping[str, Spot]) -> Taped:
    """One ``[[tapes]]`` table: ``P1_m = 9.22``, ``P2_m = 21.1``, ``side = "left"``, perhaps ``step_m``."""
    name = item.text("name", default=str(number))
    side = item.text("side")
    if side not in ("left", "right"):
        raise InputError(
            what="not a side",
            got=f'"{side}"',
            allowed="left or right, looking from the first peg named to the second",
            do="Write one of the two.",
            where=item.where("side"),
        )
    step = item.quantity_or_none("step_m", "length", "m", low=0, high=500)
    named = [key.removesuffix("_m") for key in item.names()]
    for peg in named:
        if peg not in pegs:
            raise InputError(
                what="no peg of this name",
                got=f'"{peg}"',
                allowed=", ".join(pegs),
                do="Write a tape as P1_m = 9.22.",
                where=item.where(f"{peg}_m"),
            )
    found = {peg: item.quantity(f"{peg}_m", "length", "m", low=0, high=500) for peg in named}
    item.close()
    return Taped(name=name, tapes=found, side="left" if side == "left" else "right", step=step)


def _outline(fields: Fields) -> tuple[Spot, ...]:
    """Corners of a piece of the plan that does not cross itself."""
    return _valid(fields.spots("outline_m"), fields.where("outline_m"))


def _valid(spots: tuple[Spot, ...], where: Where) -> tuple[Spot, ...]:
    said = explain_validity(Polygon(spots)) if len(spots) >= 3 else "fewer than three corners"
    if said != "Valid Geometry":
        place = re.search(r"\[(\S+) (\S+)\]", said)
        at = f" near east {float(place[1]):.1f} m, north {float(place[2]):.1f} m" if place else ""
        raise InputError(
            what=f"the outline crosses itself{at}"
            if len(spots) >= 3
            else "the outline has fewer than three corners",
            allowed="the corners in their order along the shore",
            do="Two points are most often exchanged there: put them in order.",
            where=where,
        )
    return spots


# GeoJSON: longitude and latitude in degrees, as RFC 7946 has it; each feature says what it is in "kind".


def pond_as_geojson(pond: PondMap) -> str:
    """The pond for other programs.

    Raises
    ------
    InputError
        The pond does not say where on the Earth it is.
    """
    place = pond.place
    if place is None:
        raise InputError(
            what="the pond does not say where on the Earth it is",
            allowed="[place] with latitude_deg and longitude_deg of peg P1",
            do="Add it to pond.toml.",
        )

    def degrees(spot: Spot) -> list[float]:
        latitude, longitude = to_degrees(
            east=spot[0], north=spot[1], origin_latitude=place.latitude, origin_longitude=place.longitude
        )
        return [round(longitude, 8), round(latitude, 8)]

    def area(spots: Sequence[Spot]) -> dict[str, Any]:
        ring = list(orient(Polygon(spots)).exterior.coords)
        return {"type": "Polygon", "coordinates": [[degrees(spot) for spot in ring]]}

    def point(spot: Spot) -> dict[str, Any]:
        return {"type": "Point", "coordinates": degrees(spot)}

    features = [
        *(({"kind": "peg", "name": name}, point(spot)) for name, spot in pond.pegs.items()),
        ({"kind": "shore", "for_planning_only": pond.for_planning_only}, area(pond.outline)),
        *(({"kind": "islet", "name": name}, area(spots)) for name, spots in pond.islets.items()),
        *(
            (
                {
                    "kind": "reeds",
                    "name": each.name,
                    "closed_from": str(each.closed_from),
                    "closed_to": str(each.closed_to),
                },
                area(each.outline),
            )
            for each in pond.reeds
        ),
        *(
            (
                {"kind": "people", "name": name},
                {"type": "LineString", "coordinates": [degrees(spot) for spot in ends]},
            )
            for name, ends in pond.people.items()
        ),
        *(
            ({"kind": "hazard", "name": each.name, "keep_off_m": each.keep_off}, point(each.at))
            for each in pond.hazards
        ),
        *(({"kind": "depth", "depth_m": each.depth}, point(each.at)) for each in pond.depths),
    ]
    made = [{"type": "Feature", "properties": about, "geometry": shape} for about, shape in features]
    return json.dumps({"type": "FeatureCollection", "features": made}, indent=1) + "\n"


def read_geojson(text: str, *, file: str) -> PondMap:
    """A pond from GeoJSON, ours or another program's; always for planning only.

    A polygon of another program counts as the shore when it is the only one.  Peg P1 is the origin; without it,
    the first corner of the shore is.

    Raises
    ------
    InputError
        It is not GeoJSON, or it has no shore, or an outline crosses itself.
    """
    table, origin = _geojson_table(text, file)
    return replace(read_pond(table, file=file), for_planning_only=True, place=origin)


def _geojson_table(text: str, file: str) -> tuple[dict[str, Any], Place]:
    """What ``pond.toml`` would say, and the place of its origin."""
    features = [f for f in _features(text, file) if isinstance(f.get("geometry"), dict)]
    try:
        return _as_table(features, file)
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise InputError(
            what="a shape in this file cannot be read",
            allowed="points, lines and polygons with longitude and latitude in degrees",
            do="Draw the shore again and save it as GeoJSON.",
            where=Where(file=file),
        ) from error


def _features(text: str, file: str) -> list[dict[str, Any]]:
    try:
        top = json.loads(text)
        kind = top.get("type")
        return list(top["features"]) if kind == "FeatureCollection" else [top] if kind == "Feature" else []
    except (ValueError, AttributeError, KeyError, TypeError) as error:
        raise InputError(
            what="this is not GeoJSON",
            allowed='a "FeatureCollection"',
            do="Save the map again as GeoJSON.",
            where=Where(file=file),
        ) from error


def _as_table(features: Iterable[dict[str, Any]], file: str) -> tuple[dict[str, Any], Place]:
    kinds: dict[str, list[tuple[dict[str, Any], Any]]] = {}
    for feature in features:
        about, shape = feature.get("properties") or {}, feature["geometry"]
        usual = {"Polygon": "shore", "Point": "depth", "LineString": "people"}.get(shape["type"], "")
        kinds.setdefault(about.get("kind", usual), []).append((about, shape["coordinates"]))
    shores = kinds.get("shore", [])
    if len(shores) != 1:
        raise InputError(
            what="which polygon is the shore cannot be told" if shores else "there is no shore in this file",
            got=f"{len(shores)} polygons" if shores else "",
            allowed='one polygon, or one with the property "kind": "shore"',
            do="Mark the shore.",
            where=Where(file=file),
        )
    ring = shores[0][1][0]
    pegs = {about["name"]: at for about, at in kinds.get("peg", [])}
    first = pegs.get("P1", ring[0])
    origin = Place(latitude=math.radians(first[1]), longitude=math.radians(first[0]))

    def spot(at: Sequence[float]) -> list[float]:
        east, north = _local(float(at[1]), float(at[0]), origin)
        return [east, north]

    def corners(rings: Sequence[Sequence[Sequence[float]]]) -> list[list[float]]:
        return [spot(at) for at in rings[0][:-1]]

    def day(said: str) -> datetime.date:
        return datetime.date.fromisoformat(said)

    numbered = itertools.count(1)
    table: dict[str, Any] = {
        "pegs": {name: spot(at) for name, at in pegs.items()} or {"P1": [0.0, 0.0]},
        "water": {"outline_m": corners(shores[0][1])},
        "islets": [{"name": a["name"], "outline_m": corners(at)} for a, at in kinds.get("islet", [])],
        "reeds": [
            {
                "name": a["name"],
                "outline_m": corners(at),
                "closed_from": day(a["closed_from"]),
                "closed_to": day(a["closed_to"]),
            }
            for a, at in kinds.get("reeds", [])
        ],
        "people": [
            {"name": a.get("name") or f"place {next(numbered)}", "from_m": spot(at[0]), "to_m": spot(at[-1])}
            for a, at in kinds.get("people", [])
        ],
        "hazards": [
            {"name": a["name"], "at_m": spot(at), "keep_off_m": a["keep_off_m"]}
            for a, at in kinds.get("hazard", [])
        ],
        "depths": [
            {"at_m": spot(at), "depth_m": a["depth_m"]} for a, at in kinds.get("depth", []) if "depth_m" in a
        ],
    }
    return table, origin


__all__ = [
    "Hazard",
    "PondMap",
    "Reeds",
    "pond_as_geojson",
    "read_geojson",
    "read_pond",
]

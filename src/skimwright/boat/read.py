"""A kit file's table, as a person wrote it, to a `Kit`: every fault is said in the writer's own words."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields, replace
from typing import Any, Literal

from skimwright.base import InputError, Kind, Where, parse_quantity
from skimwright.boat.own import own_part
from skimwright.boat.plan import (
    NOT_LENGTHS,
    AddedMass,
    Board,
    Design,
    Kit,
    Part,
    Point2,
    Point3,
    Thrust,
    Tolerances,
)
from skimwright.boat.threepoint import rib_places, slopes, three_point_joints, three_point_parts

Table = Mapping[str, Any]
TOP = ("name", "form", "scale", "board", "design", "added", "thrust", "contacts", "tolerances", "parts")
UNIT_KINDS: dict[str, Kind] = {"mm": "length", "g": "mass", "deg": "angle"}
FACTOR = {"mm": 1e-3, "g": 1e-3, "deg": math.pi / 180}

# Class spread of what nobody measured, in the units of the file [choice; after the demonstration boats].
USUAL_SPREAD = {
    "pad_angle_deg": 0.6,
    "pad_toe_deg": 0.5,
    "pad_cant_deg": 0.5,
    "blade_yaw_deg": 0.7,
    "floor_twist_deg": 0.4,
    "balance_x_mm": 6.0,
    "balance_y_mm": 1.8,
    "balance_z_mm": 3.0,
    "device_y_mm": 1.0,
    "deck_length_mm": 1.5,
    "mass_g": 10.0,
    "water_gain_g": 1.5,
}


@dataclass(frozen=True)
class _Section:
    """One table of the file, with its place for messages."""

    table: Table
    title: str
    file: str

    def where(self, key: str) -> Where:
        return Where(file=self.file, field=f"{self.title} {key}".strip())

    def only(self, allowed: Iterable[str]) -> None:
        """Refuse a key that nobody reads, and guess which was meant."""
        known = list(allowed)
        for key in self.table:
            if key in known:
                continue
            near = difflib.get_close_matches(key, known, n=1)
            raise InputError(
                what="nothing is read from this key",
                got=key,
                allowed=", ".join(known),
                do=f"Did you mean {near[0]}?" if near else "Take the line out, or use one of these.",
                where=self.where(key),
            )

    def need(self, key: str, *, kind: type | tuple[type, ...], say: str) -> Any:
        """A value of the right sort."""
        value = self.table.get(key)
        if value is None:
            raise InputError(
                what="missing", allowed=say, do=f"Write {key} into the file.", where=self.where(key)
            )
        if not isinstance(value, kind) or isinstance(value, bool):
            raise InputError(
                what="not the right sort of value",
                got=f"{value!r}",
                allowed=say,
                do=f"Write {key} as {say}.",
                where=self.where(key),
            )
        return value

    def number(
        self, key: str, *, usual: float | None = None, least: float = -math.inf, most: float = math.inf
    ) -> float:
        """An SI number; the key's ending is its unit, the limits are in that unit."""
        value = self.table.get(key, usual)
        return _number(
            self.need(key, kind=(int, float, str), say="a number") if value is None else value,
            _unit(key),
            self.where(key),
            least=least,
            most=most,
        )

    def numbers(self, key: str, count: int, *, usual: Sequence[float] | None = None) -> tuple[float, ...]:
        """So many SI numbers."""
        row = self.table.get(key, usual)
        if row is None:
            row = self.need(key, kind=list, say=f"a list of {count} numbers")
        return _row(row, count, _unit(key), self.where(key))


def _unit(key: str) -> str:
    return key.rsplit("_", 1)[-1]


def _number(
    value: Any, unit: str, where: Where, *, least: float = -math.inf, most: float = math.inf
) -> float:
    """One number in SI, checked in the unit it was written in."""
    number = parse_quantity(value, UNIT_KINDS[unit], default_unit=unit, where=where)
    shown = number / FACTOR[unit]
    if not least <= shown <= most or (least == 0 and shown == 0):
        low = "more than 0" if least == 0 else f"from {least:g}"
        raise InputError(
            what="out of range",
            got=f"{shown:g} {unit}",
            allowed=f"{low} to {most:g} {unit}",
            do="Measure or read it again and correct the file.",
            where=where,
        )
    return number


def _row(row: Any, count: int, unit: str, where: Where) -> tuple[float, ...]:
    if not isinstance(row, Sequence) or isinstance(row, str) or len(row) != count:
        raise InputError(
            what="not the right number of values",
            got=f"{row!r}",
            allowed=f"a list of {count} numbers in {unit}",
            do=f"Write {count} numbers in square brackets.",
            where=where,
        )
    return tuple(_number(value, unit, where) for value in row)


def read_kit_table(table: Table, *, file: str) -> Kit:
    """A kit from the parsed table of its file.

    Lengths are in mm, masses in g, angles in deg, as the keys' endings say; a text such as
    ``"12,5"`` or ``"12.5 in"`` is understood.  ``scale`` multiplies every length of ``[design]``
    and of own parts; the board keeps its thickness.

    Parameters
    ----------
    table : mapping
        What a TOML reader made of the file.
    file : str
        The file's name, for messages.

    Raises
    ------
    InputError
        Any fault: it names the file, the field, what was got and what is allowed.

    Examples
    --------
    ``read_kit_table(tomllib.loads(text), file="fold-62.toml").area`` is 0.3937 m2.
    """
    top = _Section(table, "", file)
    top.only(TOP)
    name = top.need("name", kind=str, say="a text")
    form = top.table.get("form", "three-point")
    if form not in ("three-point", "own"):
        raise InputError(
            what="not a form we know",
            got=f"{form!r}",
            allowed='"three-point" or "own"',
            do="Choose one of the two.",
            where=top.where("form"),
        )
    scale = top.table.get("scale", 1.0)
    if isinstance(scale, bool) or not isinstance(scale, (int, float)) or not 0.1 <= scale <= 10:
        raise InputError(
            what="not a scale",
            got=f"{scale!r}",
            allowed="a number from 0.1 to 10",
            do="Write 1 for the size as drawn.",
            where=top.where("scale"),
        )
    board = _read_board(_section(top, "board"))
    design = _read_design(_section(top, "design"), board, scale) if form == "three-point" else None
    parts = _read_parts(top, board, scale, design)
    contacts = (design.pad_contact, design.stern_contact) if design else _read_contacts(top, parts)
    return Kit(
        name=name,
        form=form,
        design=design,
        board=board,
        parts=parts,
        joints=three_point_joints(design, board) if design else (),
        added=tuple(_read_added(item) for item in _items(top, "added")),
        thrust=_read_thrust(_section(top, "thrust")),
        tolerances=_read_tolerances(_section(top, "tolerances", optional=True)),
        contacts=contacts,
        scale=float(scale),
    )


def _section(top: _Section, key: str, *, optional: bool = False) -> _Section:
    table = top.table.get(key, {} if optional else None)
    if not isinstance(table, Mapping):
        raise InputError(
            what="missing" if table is None else "not a section",
            allowed=f"a section headed [{key}]",
            do=f"Add a line [{key}] and its values below it.",
            where=top.where(f"[{key}]"),
        )
    return _Section(table, f"[{key}]", top.file)


def _items(top: _Section, key: str) -> Iterable[_Section]:
    rows = top.table.get(key, [])
    if not isinstance(rows, Sequence) or not all(isinstance(row, Mapping) for row in rows):
        raise InputError(
            what="not a list of sections",
            allowed=f"sections headed [[{key}]]",
            do=f"Head each of them [[{key}]], with two brackets.",
            where=top.where(f"[[{key}]]"),
        )
    for number, row in enumerate(rows, start=1):
        yield _Section(row, f"[[{key}]] {number}", top.file)


def _read_board(part: _Section) -> Board:
    part.only(("thickness_mm", "areal_density_g_m2", "areal_density_spread_g_m2", "sheets_mm", "grain"))
    grain = part.table.get("grain", "unknown")
    grains = ("long side", "short side", "none", "unknown")
    if grain not in grains:
        raise InputError(
            what="not a grain direction",
            got=f"{grain!r}",
            allowed=", ".join(grains),
            do="Bend a sheet both ways: the stiff way is its grain.",
            where=part.where("grain"),
        )
    sheets = part.table.get("sheets_mm", [[841, 594]])
    if not isinstance(sheets, Sequence) or isinstance(sheets, str) or not sheets:
        sheets = [sheets]
    rows = [_row(row, 2, "mm", part.where("sheets_mm")) for row in sheets]
    for row in rows:
        if min(row) <= 0:
            raise InputError(
                what="a sheet without size",
                got=f"{row[0] * 1e3:g} x {row[1] * 1e3:g} mm",
                allowed="both sides more than 0 mm",
                do="Measure the sheet and write both sides.",
                where=part.where("sheets_mm"),
            )
    return Board(
        thickness=part.number("thickness_mm", least=0, most=20),
        areal_density=_density(part, "areal_density_g_m2", None, least=20, most=5000),
        density_spread=_density(part, "areal_density_spread_g_m2", 10.0, least=0, most=1000),
        sheets=tuple((max(row), min(row)) for row in rows),
        grain=grain,
    )


def _density(part: _Section, key: str, usual: float | None, *, least: float, most: float) -> float:
    """An areal density in kg/m2; only ever written in g/m2."""
    value = part.table.get(key, usual)
    value = part.need(key, kind=(int, float, str), say="a number in g/m2") if value is None else value
    try:
        return _number(value, "g", part.where(key), least=least, most=most)
    except InputError as error:
        error_range = f"a number from {least:g} to {most:g} g/m2"
        raise InputError(
            what=error.what,
            got=f"{value}",
            allowed=error_range,
            do="Weigh a whole sheet and divide by its area.",
            where=error.where,
        ) from error


def _read_design(part: _Section, board: Board, scale: float) -> Design:
    keys = {item.name: f"{item.name}_{NOT_LENGTHS.get(item.name, 'mm')}" for item in fields(Design)}
    part.only(keys.values())
    usual = {item.name: item.default for item in fields(Design) if item.default is not MISSING}
    values: dict[str, float] = {}
    for name, key in keys.items():
        least, most = (0.0, 20.0) if name in NOT_LENGTHS else (0.0, 5000.0)
        if name in usual:
            least = -most
        default = usual.get(name)
        number = part.number(
            key, usual=default if isinstance(default, float) else None, least=least, most=most
        )
        values[name] = number if name in NOT_LENGTHS else number * scale
    design = Design(**values)
    _sensible(part, design, board)
    return design


def _clash(part: _Section, first: str, second: str, got: str, allowed: str, do: str) -> InputError:
    return InputError(
        what="two sizes cannot both be so",
        got=got,
        allowed=allowed,
        do=do,
        where=part.where(f"{first} and {second}"),
    )


def _mm(length: float) -> str:
    return f"{length * 1e3:.4g} mm"


def _sensible(part: _Section, d: Design, board: Board) -> None:
    """Refuse sizes that contradict one another, naming both."""
    t = board.thickness
    if t > d.pod_width / 3:
        raise _clash(
            part,
            "thickness_mm",
            "pod_width_mm",
            f"board {_mm(t)} thick, sponsons {_mm(d.pod_width)} wide",
            "board up to a third of a sponson's width",
            "Take thinner board or wider sponsons.",
        )
    if 2 * d.pod_width + 4 * t > d.beam:
        raise _clash(
            part,
            "pod_width_mm",
            "beam_mm",
            f"two sponsons of {_mm(d.pod_width)} on a beam of {_mm(d.beam)}",
            "both sponsons and a hull of four board thicknesses within the beam",
            "The sponsons overlap: make them narrower or the boat wider.",
        )
    rising = (
        ("pod_front_mm", d.pod_front, "pod_rear_mm", d.pod_rear),
        ("pod_rear_mm", d.pod_rear, "rib_place_mm", d.rib_place),
        ("rib_place_mm", d.rib_place, "length_mm", d.length),
        ("pad_length_mm", d.pad_length, "pod_rear_mm less pod_front_mm", d.pod_rear - d.pod_front),
        ("pad_contact_mm", d.pad_contact, "stern_contact_mm", d.stern_contact),
        ("stern_contact_mm", d.stern_contact - 1e-9, "length_mm", d.length),
        ("floor_front_mm", d.floor_front, "deck_height_mm", d.deck_height - t),
        ("fin_seat_mm", d.fin_seat, "fin_height_mm", d.fin_height),
    )  # fmt: skip
    for low_key, low, high_key, high in rising:
        if low >= high:
            raise _clash(
                part,
                low_key,
                high_key,
                f"{_mm(low)} and {_mm(high)}",
                f"{low_key} less than {high_key}",
                "Correct the one that is wrong.",
            )
    _heights(part, d, t)


def _heights(part: _Section, d: Design, t: float) -> None:
    if d.pad_front_height + t >= d.floor_front:
        raise _clash(
            part,
            "pad_angle_deg",
            "floor_front_mm",
            f"the pad rises to {_mm(d.pad_front_height)}, the ramp begins at {_mm(d.floor_front)}",
            "the ramp's front at least a board's thickness above the pad's front",
            "Make the pad flatter or shorter, or the floor's front higher.",
        )
    if d.deck_tail + d.pod_rear > d.length:
        raise _clash(
            part,
            "deck_tail_mm",
            "length_mm",
            f"{_mm(d.pod_rear + d.deck_tail)} and {_mm(d.length)}",
            "the deck's tail ends before the transom",
            "Shorten the tail or lengthen the boat.",
        )
    _, ramp, _ = slopes(d, t)
    if ramp <= d.pad_angle:
        raise _clash(
            part,
            "pad_angle_deg",
            "floor_front_mm",
            "a ramp flatter than the pad behind it",
            "a ramp steeper than the pad",
            "Make the pad flatter or the floor's front higher.",
        )
    room = d.deck_height - t - d.blade_tab
    if d.floor_height(d.blade_place) > room or not d.pod_rear < d.blade_place < d.length - t:
        raise _clash(
            part,
            "blade_place_mm",
            "blade_tab_mm",
            f"{_mm(d.blade_place)} and {_mm(d.blade_tab)}",
            "between the sponsons and the transom, its tab below the deck",
            "Move the water fin or shorten its tab.",
        )
    for x in rib_places(d, t):
        if d.deck_height - 2 * t - d.floor_height(x) < 2 * t:
            raise _clash(
                part,
                "deck_height_mm",
                "floor_front_mm",
                f"{_mm(d.deck_height)} and {_mm(d.floor_front)}",
                "ribs at least two board thicknesses high",
                "Raise the deck or lower the floor.",
            )


def _read_parts(top: _Section, board: Board, scale: float, design: Design | None) -> tuple[Part, ...]:
    """The form's own parts; a [[parts]] section re-draws one of them or adds one."""
    parts = {part.name: part for part in three_point_parts(design, board)} if design else {}
    for item in _items(top, "parts"):
        item.only(("name", "outline_mm", "thickness_mm", "origin_mm", "turn_deg", "along"))
        name = item.need("name", kind=str, say="a text")
        rows = item.need("outline_mm", kind=list, say="a list of points")
        points = [_row(row, 2, "mm", item.where("outline_mm")) for row in rows]
        outline: tuple[Point2, ...] = tuple((u * scale, v * scale) for u, v in points)
        same = [part for part in parts.values() if name in (part.code, part.name)]
        if same and "origin_mm" not in item.table:
            for part in same:
                drawn = own_part(
                    code=name, outline=outline, thickness=part.thickness, where=item.where("outline_mm")
                )
                bevels = part.bevels if len(drawn.outline) == len(part.outline) else ()
                parts[part.name] = replace(part, outline=drawn.outline, bevels=bevels)
            continue
        if same:
            raise InputError(
                what="two parts of one name",
                got=name,
                allowed="a name of its own for each part",
                do="Choose another name; without origin_mm it would re-draw the part that has this name.",
                where=item.where("name"),
            )
        parts[name] = _read_own(item, name, outline, board, scale, order=len(parts) + 1)
    if not parts:
        raise InputError(
            what="no parts",
            allowed="at least one section [[parts]]",
            do="Write one section [[parts]] for each piece of board.",
            where=top.where("[[parts]]"),
        )
    return tuple(parts.values())


def _read_own(
    item: _Section, name: str, outline: tuple[Point2, ...], board: Board, scale: float, *, order: int
) -> Part:
    x, y, z = (length * scale for length in item.numbers("origin_mm", 3, usual=(0.0, 0.0, 0.0)))
    turn = item.numbers("turn_deg", 3, usual=(0.0, 0.0, 0.0))
    thickness = item.number("thickness_mm", usual=board.thickness * 1e3, least=0, most=50)
    along = item.table.get("along", "any")
    if along not in ("u", "v", "any"):
        raise InputError(
            what="not a direction of the outline",
            got=f"{along!r}",
            allowed='"u" (the first number of each point), "v" (the second) or "any"',
            do="Say which way the board's grain should run.",
            where=item.where("along"),
        )
    return own_part(
        code=name,
        outline=outline,
        thickness=thickness,
        origin=(x, y, z),
        turn=(turn[0], turn[1], turn[2]),
        order=order,
        along=_along(along),
        where=item.where("outline_mm"),
    )


def _along(text: str) -> Literal["u", "v", "any"]:
    return "u" if text == "u" else "v" if text == "v" else "any"


def _read_contacts(top: _Section, parts: Sequence[Part]) -> Point2:
    """Feet of a boat of own parts: as written, else where a scow of its length carries [choice]."""
    xs = [float(x) for part in parts for x in _corner_xs(part)]
    first, length = min(xs), max(xs) - min(xs)
    part = _section(top, "contacts", optional=True)
    part.only(("pad_mm", "stern_mm"))
    usual = [(first + share * length) * 1e3 for share in (0.41, 0.975)]
    pad, stern = part.number("pad_mm", usual=usual[0]), part.number("stern_mm", usual=usual[1])
    if pad >= stern:
        raise _clash(
            part,
            "pad_mm",
            "stern_mm",
            f"{_mm(pad)} and {_mm(stern)}",
            "pad_mm less than stern_mm",
            "Correct the one that is wrong.",
        )
    return pad, stern


def _corner_xs(part: Part) -> Iterable[float]:
    place = part.place
    for u, v in part.outline:
        for w in (0.0, part.thickness):
            yield place.origin[0] + u * place.u[0] + v * place.v[0] + w * place.w[0]


def _read_added(item: _Section) -> AddedMass:
    item.only(("what", "mass_g", "place_mm", "size_mm", "spread_out"))
    spread_out = item.table.get("spread_out", False)
    if not isinstance(spread_out, bool):
        raise InputError(
            what="neither yes nor no",
            got=f"{spread_out!r}",
            allowed="true or false",
            do="Write true for glue or paint that lies all over the boat.",
            where=item.where("spread_out"),
        )
    return AddedMass(
        what=item.need("what", kind=str, say="a text"),
        mass=item.number("mass_g", least=0, most=5000),
        place=_point(item.numbers("place_mm", 3)),
        size=_point(item.numbers("size_mm", 3, usual=(0.0, 0.0, 0.0))),
        spread_out=spread_out,
    )


def _point(row: tuple[float, ...]) -> Point3:
    return row[0], row[1], row[2]


def _read_thrust(part: _Section) -> Thrust:
    part.only(("place_mm", "toe_deg", "tilt_deg"))
    return Thrust(
        place=_point(part.numbers("place_mm", 3)),
        toe=part.number("toe_deg", usual=0.0, least=-30, most=30),
        tilt=part.number("tilt_deg", usual=0.0, least=-30, most=30),
    )


def _read_tolerances(part: _Section) -> Tolerances:
    part.only(USUAL_SPREAD)
    # Nobody builds without any error: a spread of nought is refused.
    values = {
        key.rsplit("_", 1)[0]: part.number(key, usual=usual, least=0, most=100)
        for key, usual in USUAL_SPREAD.items()
    }
    return Tolerances(**values)

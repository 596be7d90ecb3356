"""A kit file's table, as a person wrote it, to a `Kit`: every fault is said in the writer's own words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import MISSING, fields, replace
from typing import cast, get_args

from skimwright.base import InputError, Where
from skimwright.boat.own import own_part
from skimwright.boat.plan import (
    NOT_LENGTHS,
    AddedMass,
    Along,
    Board,
    Design,
    Form,
    Grain,
    Kit,
    Part,
    Point2,
    Point3,
    Thrust,
    Tolerances,
)
from skimwright.boat.section import Section, Table, to_number, to_row
from skimwright.boat.sizes import check_sizes, in_mm
from skimwright.boat.threepoint import three_point_joints, three_point_parts

FORMS, GRAINS, ALONG = get_args(Form), get_args(Grain), get_args(Along)
TOP = ("name", "form", "scale", "board", "design", "added", "thrust", "contacts", "tolerances", "parts")

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
    top = Section(table, "", file)
    top.only(TOP)
    name = top.need("name", kind=str, say="a text")
    form = top.one_of("form", FORMS, usual="three-point", do="Choose one of the two.")
    scale = top.table.get("scale", 1.0)
    if isinstance(scale, bool) or not isinstance(scale, (int, float)) or not 0.1 <= scale <= 10:
        raise InputError(
            what="not a scale",
            got=f"{scale!r}",
            allowed="a number from 0.1 to 10",
            do="Write 1 for the size as drawn.",
            where=top.where("scale"),
        )
    board = _read_board(top.section("board"))
    design = _read_design(top.section("design"), board, scale) if form == "three-point" else None
    parts = _read_parts(top, board, scale, design)
    contacts = (design.pad_contact, design.stern_contact) if design else _read_contacts(top, parts)
    return Kit(
        name=name,
        form=cast(Form, form),
        design=design,
        board=board,
        parts=parts,
        joints=three_point_joints(design, board) if design else (),
        added=tuple(_read_added(item) for item in top.items("added")),
        thrust=_read_thrust(top.section("thrust")),
        tolerances=_read_tolerances(top.section("tolerances", optional=True)),
        contacts=contacts,
        scale=float(scale),
    )


def _read_board(part: Section) -> Board:
    part.only(("thickness_mm", "areal_density_g_m2", "areal_density_spread_g_m2", "sheets_mm", "grain"))
    grain = part.one_of(
        "grain", GRAINS, usual="unknown", do="Bend a sheet both ways: the stiff way is its grain."
    )
    sheets = part.table.get("sheets_mm", [[841, 594]])
    if not isinstance(sheets, Sequence) or isinstance(sheets, str) or not sheets:
        sheets = [sheets]
    rows = [to_row(row, 2, "mm", part.where("sheets_mm")) for row in sheets]
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
        grain=cast(Grain, grain),
    )


def _density(part: Section, key: str, usual: float | None, *, least: float, most: float) -> float:
    """An areal density in kg/m2; only ever written in g/m2."""
    value = part.table.get(key, usual)
    value = part.need(key, kind=(int, float, str), say="a number in g/m2") if value is None else value
    try:
        return to_number(value, "g", part.where(key), least=least, most=most)
    except InputError as error:
        error_range = f"a number from {least:g} to {most:g} g/m2"
        raise InputError(
            what=error.what,
            got=f"{value}",
            allowed=error_range,
            do="Weigh a whole sheet and divide by its area.",
            where=error.where,
        ) from error


def _read_design(part: Section, board: Board, scale: float) -> Design:
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
    try:
        check_sizes(design, board)
    except InputError as error:
        raise error.at(Where(file=part.file)) from None
    return design


def _read_parts(top: Section, board: Board, scale: float, design: Design | None) -> tuple[Part, ...]:
    """The form's own parts; a [[parts]] section re-draws one of them or adds one."""
    parts = {part.name: part for part in three_point_parts(design, board)} if design else {}
    for item in top.items("parts"):
        item.only(("name", "outline_mm", "thickness_mm", "origin_mm", "turn_deg", "along"))
        name = item.need("name", kind=str, say="a text")
        rows = item.need("outline_mm", kind=list, say="a list of points")
        points = [to_row(row, 2, "mm", item.where("outline_mm")) for row in rows]
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
    item: Section, name: str, outline: tuple[Point2, ...], board: Board, scale: float, *, order: int
) -> Part:
    x, y, z = (length * scale for length in item.numbers("origin_mm", 3, usual=(0.0, 0.0, 0.0)))
    turn = item.numbers("turn_deg", 3, usual=(0.0, 0.0, 0.0))
    thickness = item.number("thickness_mm", usual=board.thickness * 1e3, least=0, most=50)
    along = item.one_of("along", ALONG, usual="any", do="Say which way of the outline the grain should run.")
    return own_part(
        code=name,
        outline=outline,
        thickness=thickness,
        origin=(x, y, z),
        turn=(turn[0], turn[1], turn[2]),
        order=order,
        along=cast(Along, along),
        where=item.where("outline_mm"),
    )


def _read_contacts(top: Section, parts: Sequence[Part]) -> Point2:
    """Feet of a boat of own parts: as written, else where a scow of its length carries [choice]."""
    xs = [float(x) for part in parts for x in _corner_xs(part)]
    first, length = min(xs), max(xs) - min(xs)
    part = top.section("contacts", optional=True)
    part.only(("pad_mm", "stern_mm"))
    usual = [(first + share * length) * 1e3 for share in (0.41, 0.975)]
    pad, stern = part.number("pad_mm", usual=usual[0]), part.number("stern_mm", usual=usual[1])
    if pad >= stern:
        raise InputError(
            what="the feet are in the wrong order",
            got=f"{in_mm(pad)} and {in_mm(stern)}",
            allowed="pad_mm less than stern_mm",
            do="Correct the one that is wrong.",
            where=part.where("pad_mm and stern_mm"),
        )
    return pad, stern


def _corner_xs(part: Part) -> Iterable[float]:
    place = part.place
    for u, v in part.outline:
        for w in (0.0, part.thickness):
            yield place.origin[0] + u * place.u[0] + v * place.v[0] + w * place.w[0]


def _read_added(item: Section) -> AddedMass:
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


def _read_thrust(part: Section) -> Thrust:
    part.only(("place_mm", "tow_eye_mm", "toe_deg", "tilt_deg"))
    return Thrust(
        place=_point(part.numbers("place_mm", 3)),
        tow_eye=_point(part.numbers("tow_eye_mm", 3)) if "tow_eye_mm" in part.table else None,
        toe=part.number("toe_deg", usual=0.0, least=-30, most=30),
        tilt=part.number("tilt_deg", usual=0.0, least=-30, most=30),
    )


def _read_tolerances(part: Section) -> Tolerances:
    part.only(USUAL_SPREAD)
    # Nobody builds without any error: a spread of nought is refused.
    values = {
        key.rsplit("_", 1)[0]: part.number(key, usual=usual, least=0, most=100)
        for key, usual in USUAL_SPREAD.items()
    }
    return Tolerances(**values)

"""A kit as plain data: what is drawn, before anybody cuts it.

Boat axes: x from the bow aft, y to starboard, z up from the running-pad plane.  SI throughout.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, field, fields, is_dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
DEGREE = math.pi / 180
Point2 = tuple[float, float]
Point3 = tuple[float, float, float]
Side = Literal["left", "middle", "right"]
Form = Literal["three-point", "own"]
Along = Literal["u", "v", "any"]  # a direction of a flat outline
JointKind = Literal["butt", "mitre", "slot"]  # edge on a face, two slanted edges, a tab in a cut
Grain = Literal["long side", "short side", "none", "unknown"]


@dataclass(frozen=True, kw_only=True)
class Design:
    """The numbers that make a three-point boat."""

    length: float  # bow to transom, along the deck [m]
    beam: float  # over both sponsons [m]
    deck_height: float  # upper face of the deck [m]
    pod_front: float  # x where the sponsons begin [m]
    pod_rear: float  # x where they end [m]
    pod_width: float  # each sponson outside the hull [m]
    pad_length: float  # running pad, measured along x [m]
    pad_angle: float  # pad against the pad plane, nose-up + [rad]
    floor_front: float  # height of the tunnel roof where the sponsons begin [m]
    floor_rear: float = 0.0  # height of the floor at the transom [m]
    deck_tail: float  # the deck narrows to the hull over this length behind the sponsons [m]
    rib_place: float  # x of the free rib between sponsons and transom [m]
    blade_place: float  # x of the middle of the water fin's tab [m]
    blade_chord: float  # length of the water fin's tab along the floor [m]
    blade_depth: float  # water fin below the floor [m]
    blade_tab: float  # water fin above the floor's underside [m]
    fin_place: float  # x where the air fin begins [m]
    fin_chord: float  # air fin's foot [m]
    fin_height: float  # air fin, foot to tip [m]
    fin_seat: float  # how deep its foot is let into the deck [m]
    cradle_place: float  # x of the middle of the device cradle [m]
    cradle_length: float  # [m]
    cradle_height: float  # [m]
    cradle_spread: float  # between the middles of its two cheeks [m]
    pad_contact: float  # x where the pads carry [m]
    stern_contact: float  # x where the stern carries [m]

    @property
    def hull_width(self) -> float:
        """Between the outer faces of the two walls. [m]"""
        return self.beam - 2 * self.pod_width

    @property
    def pad_front(self) -> float:
        """x where the running pad begins. [m]"""
        return self.pod_rear - self.pad_length

    @property
    def pad_front_height(self) -> float:
        """Height of the pad's front edge. [m]"""
        return self.pad_length * math.tan(self.pad_angle)

    @property
    def floor_slope(self) -> float:
        """Fall of the floor towards the transom. [m/m]"""
        return (self.floor_front - self.floor_rear) / (self.length - self.pod_front)

    def floor_height(self, x: float) -> float:
        """Height of the floor's underside, the tunnel roof. [m]"""
        return self.floor_front - self.floor_slope * (x - self.pod_front)


NOT_LENGTHS = {"pad_angle": "deg"}  # every other number of a Design is a length


@dataclass(frozen=True, kw_only=True)
class Board:
    """The sheet material."""

    thickness: float  # [m]
    areal_density: float  # [kg/m2]
    density_spread: float  # standard deviation of the areal density [kg/m2]
    sheets: tuple[Point2, ...]  # long side, short side [m]
    grain: Grain = "unknown"  # which way the stiff direction runs on a sheet

    @property
    def density(self) -> float:
        """[kg/m3]"""
        return self.areal_density / self.thickness


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a flat part stands: its corner and the boat directions of its own three axes."""

    origin: Point3  # boat place of the outline's (0, 0), on the outer face [m]
    u: Point3  # along the outline's first number
    v: Point3  # along the outline's second number
    w: Point3  # into the board from its outer face

    def to_boat(self, points: Array) -> Array:
        """Points (n, 3) given in the part's axes, in boat axes. [m]"""
        moved: Array = np.asarray(self.origin) + points @ np.array([self.u, self.v, self.w])
        return moved

    def matrix(self) -> Array:
        """The same as a 4 x 4 matrix for column vectors."""
        result = np.eye(4)
        result[:3, :3] = np.array([self.u, self.v, self.w]).T
        result[:3, 3] = self.origin
        return result


@dataclass(frozen=True, kw_only=True)
class Slot:
    """A place cut out of a part for another part to stand in."""

    outline: tuple[Point2, ...]  # flat, in the part's own axes [m]
    depth: float  # from the outer face; the board's thickness goes right through [m]
    takes: str  # code of the part that stands in it


@dataclass(frozen=True, kw_only=True)
class Part:
    """One flat piece of board.  The outline is that of its outer face, as cut."""

    code: str  # the word and number on the template, "WALL-1"
    side: Side
    outline: tuple[Point2, ...]  # flat, the last point joins the first [m]
    thickness: float  # [m]
    place: Place
    bevels: tuple[
        float, ...
    ] = ()  # how far each edge leans in from square, one an edge; empty = all square [rad]
    slots: tuple[Slot, ...] = ()
    order: int = 0  # fitting order: the number of small dots
    along: Along = "any"  # which way the board's grain should run

    @property
    def name(self) -> str:
        """Code and side: no two parts of a boat share it."""
        return self.code if self.side == "middle" else f"{self.code} {self.side}"

    @property
    def nicks(self) -> int:
        """Finger marks on the edge: one on the left part, two on the right one."""
        return {"left": 1, "middle": 0, "right": 2}[self.side]

    @property
    def area(self) -> float:
        """Of the outline as cut, slots and bevels still in. [m2]"""
        x, y = np.array(self.outline).T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2

    @property
    def centroid(self) -> Point3:
        """Middle of the flat piece, half-way through the board, in boat axes. [m]"""
        u, v = _flat_centroid(np.array(self.outline))
        middle = self.place.to_boat(np.array([[u, v, self.thickness / 2]]))[0]
        return float(middle[0]), float(middle[1]), float(middle[2])


def _flat_centroid(points: Array) -> Point2:
    x, y = (points - points[0]).T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    u = ((x + np.roll(x, -1)) @ cross) / (3 * cross.sum())
    v = ((y + np.roll(y, -1)) @ cross) / (3 * cross.sum())
    return float(points[0, 0] + u), float(points[0, 1] + v)


@dataclass(frozen=True, kw_only=True)
class Joint:
    """A line where two parts are glued."""

    part_a: str  # name of the part whose edge or tab comes
    part_b: str  # name of the part it comes to
    kind: JointKind
    start: Point3  # boat axes [m]
    end: Point3


@dataclass(frozen=True, kw_only=True)
class AddedMass:
    """Something on the boat that is not board."""

    what: str
    mass: float  # [kg]
    place: Point3  # [m]
    size: Point3 = (0.0, 0.0, 0.0)  # a box along the boat's axes; nought is a point [m]
    spread_out: bool = False  # lies all over the boat, as glue and paint do


@dataclass(frozen=True, kw_only=True)
class Thrust:
    """Where and along which line the device pushes, and where a line would pull."""

    place: Point3  # [m]
    tow_eye: Point3 | None = None  # where a line is tied; None: at the place [m]
    toe: float = 0.0  # the push turned to starboard + [rad]
    tilt: float = 0.0  # the push turned upwards + [rad]

    @property
    def pulled(self) -> Thrust:
        """The same for a device that pulls on a line."""
        return replace(self, place=self.tow_eye or self.place)


@dataclass(frozen=True, kw_only=True)
class Tolerances:
    """How far an unmeasured boat of this class may be from its drawing: one standard deviation."""

    pad_angle: float  # each pad [rad]
    pad_toe: float  # each pad [rad]
    pad_cant: float  # each pad [rad]
    blade_yaw: float  # [rad]
    floor_twist: float  # [rad]
    balance_x: float  # [m]
    balance_y: float  # [m]
    balance_z: float  # [m]
    device_y: float  # [m]
    deck_length: float  # [m]
    mass: float  # [kg]
    water_gain: float  # per run [kg]


@dataclass(frozen=True, kw_only=True)
class Kit:
    """Everything a drawing says about a boat."""

    name: str
    form: Form
    design: Design | None  # None for a boat made of own parts
    board: Board
    parts: tuple[Part, ...] = field(repr=False)
    joints: tuple[Joint, ...] = field(repr=False)
    added: tuple[AddedMass, ...]
    thrust: Thrust
    tolerances: Tolerances
    contacts: Point2  # x where pads and stern carry [m]
    scale: float = 1.0  # what the drawing's lengths were multiplied by
    edition: str = field(init=False)  # changes with any dimension of the drawing

    def __post_init__(self) -> None:
        object.__setattr__(self, "edition", _edition(self))

    @property
    def length(self) -> float:
        """[m]"""
        return self.design.length if self.design else float(np.ptp(self.corners()[:, 0]))

    @property
    def area(self) -> float:
        """Board used, as cut. [m2]"""
        return sum(part.area for part in self.parts)

    def corners(self) -> Array:
        """Every outline point of both faces, boat axes (n, 3). [m]"""
        return np.vstack([_faces(part) for part in self.parts])

    def part(self, name: str) -> Part:
        """The part of that name; KeyError if the kit has none."""
        return {part.name: part for part in self.parts}[name]


def _faces(part: Part) -> Array:
    flat = np.array(part.outline)
    outer = np.column_stack([flat, np.zeros(len(flat))])
    return part.place.to_boat(np.vstack([outer, outer + np.array([0, 0, part.thickness])]))


def _edition(kit: Kit) -> str:
    """Six hexadecimal digits of everything that a template or a build step is made from."""
    drawn = (kit.form, kit.board.thickness, kit.parts, kit.thrust)
    numbers: list[str] = []
    _flatten(drawn, numbers)
    return hashlib.sha256("|".join(numbers).encode()).hexdigest()[:6]


def _flatten(thing: object, out: list[str]) -> None:
    """Plain text of nested data, lengths to a hundred-thousandth of a millimetre."""
    if isinstance(thing, float):
        out.append(f"{thing + 0.0:.8f}".replace("-0.00000000", "0.00000000"))
    elif isinstance(thing, tuple):
        for item in thing:
            _flatten(item, out)
    elif is_dataclass(thing):
        for item in fields(thing):
            _flatten(getattr(thing, item.name), out)
    else:
        out.append(str(thing))

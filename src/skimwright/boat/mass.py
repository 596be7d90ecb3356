"""Mass, balance and turning inertia: every part as a flat prism, everything else as points and boxes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from skimwright.boat.plan import AddedMass, Array, Kit, Part


@dataclass(frozen=True, kw_only=True, eq=False)
class MassProperties:
    """What a body weighs, where it balances, how hard it is to turn."""

    mass: float  # [kg]
    centre: Array  # (3,) boat axes [m]
    inertia: Array  # (3, 3) about the centre, boat axes, products with a minus sign [kg m2]


def part_mass(part: Part, *, areal_density: float) -> MassProperties:
    """One part as a prism of its outline, as cut.

    Slots and slanted edges are not taken off: glue fills about as much [choice].

    Parameters
    ----------
    areal_density : float
        [kg/m2]

    Raises
    ------
    ZeroDivisionError
        An outline without area; `own_part` refuses those.

    Examples
    --------
    DECK-1 of Fold 62 at 0.45 kg/m2 weighs 0.0595 kg.
    """
    area, middle, moments = _flat_moments(np.array(part.outline))
    t, mass = part.thickness, area * areal_density
    spread = np.zeros((3, 3))  # mean of r r^T about the centre, part axes
    spread[:2, :2] = moments / area
    spread[2, 2] = t * t / 12
    place = part.place
    axes = np.array([place.u, place.v, place.w])
    centre = place.to_boat(np.array([[*middle, t / 2]]))[0]
    return MassProperties(mass=mass, centre=centre, inertia=mass * _turning(axes.T @ spread @ axes))


def _flat_moments(points: Array) -> tuple[float, Array, Array]:
    """Area, centroid (2,) and second moments about it (2, 2) of a polygon, exactly."""
    first = points[0]
    a, b = points - first, np.roll(points, -1, axis=0) - first
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    area = cross.sum() / 2
    centre = cross @ (a + b) / (6 * area)
    second = np.einsum("i,ij,ik->jk", cross, a, a) + np.einsum("i,ij,ik->jk", cross, b, b)
    second += np.einsum("i,ij,ik->jk", cross, a + b, a + b)
    second = second / 24 - area * np.outer(centre, centre)
    return abs(float(area)), first + centre, second * np.sign(area)


def _turning(spread: Array) -> Array:
    """Inertia per mass from the mean of r r^T."""
    result: Array = np.trace(spread) * np.eye(3) - spread
    return result


def sum_masses(items: Iterable[MassProperties]) -> MassProperties:
    """Several bodies as one.

    Raises
    ------
    ZeroDivisionError
        Nothing to add up, or no mass in it.

    Examples
    --------
    ``sum_masses([board, device]).mass`` is the sum of both.
    """
    each = [item for item in items if item.mass > 0]
    mass = sum(item.mass for item in each)
    centre = sum((item.mass * item.centre for item in each), np.zeros(3)) / mass
    inertia = np.zeros((3, 3))
    for item in each:
        away = item.centre - centre
        inertia = inertia + item.inertia + item.mass * _turning(np.outer(away, away))
    return MassProperties(mass=mass, centre=centre, inertia=inertia)


def board_mass(kit: Kit) -> MassProperties:
    """All parts, without glue, paint or device.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    ``board_mass(fold_62).mass`` is 0.1772 kg, its balance 0.2964 m from the bow.
    """
    density = kit.board.density
    return sum_masses(part_mass(part, areal_density=density * part.thickness) for part in kit.parts)


def total_mass(kit: Kit, *, extra: Sequence[AddedMass] = (), without: Sequence[str] = ()) -> MassProperties:
    """The boat as drawn, ready to run.

    Parameters
    ----------
    extra : sequence of AddedMass
        More than the kit's own list: another device, ballast.
    without : sequence of str
        Names from the kit's own list that are left off, as when another device replaces its pod.

    Raises
    ------
    ZeroDivisionError
        A kit without parts; `read_kit_table` refuses those.

    Examples
    --------
    ``total_mass(fold_62).mass`` is 0.269 kg, its balance 0.3455 m from the bow.
    """
    board = board_mass(kit)
    added = [*(item for item in kit.added if item.what not in without), *extra]
    return sum_masses([board, *(_added(item, board) for item in added)])


def _added(item: AddedMass, board: MassProperties) -> MassProperties:
    """A point, a box, or something spread over the boat as the board is."""
    square = np.square(item.size) / 12
    turning = board.inertia / board.mass if item.spread_out else _turning(np.diag(square))
    return MassProperties(mass=item.mass, centre=np.array(item.place), inertia=item.mass * turning)

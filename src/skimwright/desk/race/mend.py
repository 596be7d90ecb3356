"""What a patch does to a boat: more mass, and a balance point drawn toward it."""

from __future__ import annotations

from dataclasses import dataclass

from skimwright.base import InputError
from skimwright.desk.boats.boat_list import Entry

WORTH_A_WORD = 2.0e-3  # a balance point moved by more deserves a look at the lead [m] [choice]


@dataclass(frozen=True, kw_only=True)
class Patched:
    """A boat with its patch."""

    said: str  # for the log: "6 g at 30,100"
    mass: float  # [kg]
    balance: tuple[float, float]  # from the bow; to starboard [m]
    moved: tuple[float, float]  # aft; to starboard [m]
    says: str

    @property
    def sideways(self) -> float:
        """How far the patch drew the balance point to starboard. [m]"""
        return self.moved[1]


def patch(
    *, mass: float, balance: tuple[float, float], patch_mass: float, place: tuple[float, float]
) -> tuple[float, tuple[float, float]]:
    """Mass and balance point of a boat with a patch on it.

    Parameters
    ----------
    mass : float
        Of the boat before. [kg]
    balance : tuple of float
        From the bow and to starboard. [m]
    patch_mass : float
        [kg]
    place : tuple of float
        Of the patch, from the bow and to starboard. [m]

    Source
        Moments about a point; exact.

    Examples
    --------
    >>> mass, (x, y) = patch(mass=0.269, balance=(0.3455, 0.0), patch_mass=0.006, place=(0.030, 0.100))
    >>> round(x * 1e3, 1), round(y * 1e3, 1)
    (338.6, 2.2)
    """
    whole = mass + patch_mass
    x, y = ((mass * b + patch_mass * p) / whole for b, p in zip(balance, place, strict=True))
    return whole, (x, y)


def patch_boat(entry: Entry, *, mass: float, place: tuple[float, float]) -> Patched:
    """The boat as built, with a patch.

    Parameters
    ----------
    entry : Entry
        Of ``boats.csv``.
    mass : float
        Of the patch. [kg]
    place : tuple of float
        From the bow and to starboard. [m]

    Raises
    ------
    InputError
        The patch is no mass, or the boat was never weighed or balanced.
    """
    built = entry.built
    if not 0.0 < mass <= 0.5:
        raise InputError(what="no such patch", got=f"{mass * 1e3:g} g", allowed="more than 0 and up to 500 g",
                         do="Weigh the tape and glue that went on.")  # fmt: skip
    if built.mass is None or built.balance_x is None:
        raise InputError(
            what=f"{entry.label} was never {'weighed' if built.mass is None else 'balanced'}, so nobody can say what "
            "a patch does", allowed="mass_g and balance_x_mm in boats.csv",
            do="Weigh and balance it with the patch on.",
        )  # fmt: skip
    before = (built.balance_x, built.balance_y or 0.0)
    whole, after = patch(mass=built.mass, balance=before, patch_mass=mass, place=place)
    moved = (after[0] - before[0], after[1] - before[1])
    side = "starboard" if moved[1] >= 0 else "port"
    fore = "aft" if moved[0] >= 0 else "forward"
    advice = (
        "Balance it again." if max(abs(each) for each in moved) > WORTH_A_WORD else "Too little to matter."
    )
    return Patched(
        said=f"{mass * 1e3:g} g at {place[0] * 1e3:g},{place[1] * 1e3:g}", mass=whole, balance=after, moved=moved,
        says=f"With the patch it weighs {whole * 1e3:.1f} g; its balance point moves "
        f"{abs(moved[0]) * 1e3:.1f} mm {fore} to {after[0] * 1e3:.1f} mm, and {abs(moved[1]) * 1e3:.1f} mm to {side}. "
        f"{advice}",
    )  # fmt: skip

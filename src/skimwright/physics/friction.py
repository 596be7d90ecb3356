"""Skin friction of smooth plates: laminar, turbulent, and the mixture a small rough pad has.

One page of words: docs/physics/friction.md.
"""

from __future__ import annotations

from math import log10, sqrt

from skimwright.base import Finding, InputError
from skimwright.physics.guard import outside, require_positive

LAMINAR_FLOOR = 1e3  # below this Reynolds number the laminar value is held
TURBULENT_FLOOR = 1e4  # below this the turbulent value is held; the line itself blows up at 100
TRANSITION = 5e5  # where a clean smooth plate in quiet water turns turbulent


def blasius(*, reynolds: float) -> float:
    """Friction of a smooth plate with orderly (laminar) flow.

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero.

    Holds
        1e3 to 5e5, in quiet water on a clean plate.  Below 1e3 the value there is held.
    Trust
        2 % where the flow really is laminar; whether it is, nobody knows beforehand.
    Source
        [Blasius1908; second-hand].
    Checked
        tests/published/water.csv: blasius_1e+04 … blasius_5e+05.

    Examples
    --------
    >>> round(blasius(reynolds=1e5), 5)
    0.0042
    """
    require_positive(reynolds=reynolds)
    return 1.328 / sqrt(max(reynolds, LAMINAR_FLOOR))


def ittc(*, reynolds: float) -> float:
    """Friction of a hull with churned-up (turbulent) flow, the line every towing tank uses.

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero.

    Holds
        From 1e4 up.  Below 1e4 the value there is held: the line itself has no meaning and blows up at 100.
    Trust
        A few per cent above 1e6; at pad size 10 to 30 % above other turbulent lines.
    Source
        [Ittc1957; second-hand].
    Checked
        tests/published/water.csv: ittc57_1e+05, ittc57_1e+08.

    Examples
    --------
    >>> round(ittc(reynolds=1e6), 5)
    0.00469
    """
    require_positive(reynolds=reynolds)
    return 0.075 / (log10(max(reynolds, TURBULENT_FLOOR)) - 2.0) ** 2


def schoenherr(*, reynolds: float) -> float:
    """Turbulent friction as Savitsky used it: the root of 0.242/sqrt(C) = log10(Re C).

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero.

    Holds
        From 1e4 up; below, the value at 1e4 is held.
    Trust
        As `ittc`.  The two differ by 30 % at 1e4 and by 2 % at 1e7.
    Source
        [Schoenherr1932; second-hand].
    Checked
        tests/published/water.csv: schoenherr_1e+04 … schoenherr_1e+08, sav64_t1_r07_tau2 … tau4.

    Examples
    --------
    >>> round(schoenherr(reynolds=1e7), 6)
    0.002934
    """
    require_positive(reynolds=reynolds)
    held = max(reynolds, TURBULENT_FLOOR)
    root = 1.0 / sqrt(ittc(reynolds=held))
    for _ in range(60):  # x = 1/sqrt(C); the step below is a contraction for every Re held here
        new = (log10(held) - 2.0 * log10(root)) / 0.242
        if abs(new - root) <= 1e-14 * root:
            break
        root = new
    return 1.0 / root**2


def transitional(*, reynolds: float) -> float:
    """Smooth plate that starts laminar and turns turbulent at Re 5e5.

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero.

    Holds
        From 5e5 up.  Below, the plate has not turned yet and `blasius` is given.
    Trust
        5 % on a clean plate in quiet water.
    Source
        [WhiteFluid, eq. 7.49a; seen]: 0.031/Re^(1/7) - 1440/Re.
    Checked
        tests/published/water.csv: schl_white_1e+06, schl_white_1e+07.

    Examples
    --------
    >>> round(transitional(reynolds=1e6), 6)
    0.002867
    """
    require_positive(reynolds=reynolds)
    if reynolds < TRANSITION:
        return blasius(reynolds=reynolds)
    return float(0.031 / reynolds ** (1.0 / 7.0) - 1440.0 / reynolds)


def transitional_old(*, reynolds: float) -> float:
    """The older line for the same plate; a second opinion, never a basis.

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero.

    Holds
        From 5e5 up; below, `blasius`.
    Trust
        Its constant 1700 is from memory.
    Source
        [PrandtlSchlichting; memory]: 0.455/(log10 Re)^2.58 - 1700/Re.
    Checked
        tests/published/water.csv: prandtl_schl_1e+06 (memory, not counted);
        tests/unit/physics/test_friction.py holds it within 5 % of `transitional`.

    Examples
    --------
    >>> round(transitional_old(reynolds=1e7), 5)
    0.00283
    """
    require_positive(reynolds=reynolds)
    if reynolds < TRANSITION:
        return blasius(reynolds=reynolds)
    return float(0.455 / log10(reynolds) ** 2.58 - 1700.0 / reynolds)


def mixed(*, reynolds: float, turbulence: float = 0.5) -> float:
    """Friction of a pad that is neither quite smooth nor quite churned up.

    A smooth plate this small would be laminar; spray, paper edges and bare foam disturb it.  Glide tests
    teach the mixture.

    Parameters
    ----------
    reynolds : float, > 0
        Reynolds number of the wetted length. [-]
    turbulence : float, 0 to 1
        Share of the step from laminar to turbulent. [-]

    Returns
    -------
    float
        Mean friction coefficient on the wetted area. [-]

    Raises
    ------
    InputError
        The Reynolds number is not above zero, or the share is not 0 to 1.

    Holds
        1e4 to 4e5, where the two lines differ by 1.4 to 2.8 times.
    Trust
        The mixture itself is a guess until trials teach it: drag at a given load +-20 %, then +-10 %.
    Source
        Ours: [Blasius1908; second-hand] + turbulence x ([Ittc1957; second-hand] - Blasius); 0.5 is a choice.
    Checked
        tests/published/water.csv: blasius_5e+04 and ittc57_1e+05 hold the two ends.

    Examples
    --------
    >>> round(mixed(reynolds=1e5), 6)
    0.006266
    """
    if not 0.0 <= turbulence <= 1.0:
        raise InputError(
            what="Share of turbulent flow",
            got=f"{turbulence:g}",
            allowed="0 (smooth) to 1 (churned up)",
            do="Start from 0.5 and let the trials move it.",
        )
    laminar = blasius(reynolds=reynolds)
    return laminar + turbulence * (ittc(reynolds=reynolds) - laminar)


def envelope(*, reynolds: float) -> tuple[Finding, ...]:
    """Where the flow is slower or smaller than the friction lines know.

    Examples
    --------
    >>> envelope(reynolds=5e3)[0].what
    'Reynolds number of the wetted length is 5e+03; the model was checked from 10000 up.'
    """
    return outside(
        "friction-reynolds",
        "Reynolds number of the wetted length",
        value=reynolds,
        low=TURBULENT_FLOOR,
        why="No turbulent line holds there; the value at the edge is used.",
        do="Read the drag below walking speed as a rough figure.",
    )

"""Worked examples of handbooks put to the sheets' own sums, both ways at once, in the books' units.

A sheet's numbers are lengths in mm and masses in g; a book's metre or foot stands in for whatever unit cancels.
"""

from __future__ import annotations

from fractions import Fraction

from skimwright.base import InputError
from skimwright.teach.experiments import EXPERIMENTS
from skimwright.teach.fair import REPEATS
from skimwright.teach.methods import halved
from skimwright.teach.numbers import AGREE
from skimwright.teach.sums import SAID, SUMS


def _both(band: str, key: str, **numbers: float) -> float:
    """The unrounded answer, once both ways agree."""
    ask = next(ask for asks in SUMS[band].values() for ask in asks if ask.key == key)
    said = {name: float(value.exact) for name, value in SAID.items()}
    given = {name: {**said, **numbers}[name] for name in ask.needs}
    first = float(ask.first(given))
    again = float(ask.again({name: Fraction(repr(float(value))) for name, value in given.items()}))
    if not abs(first - again) <= AGREE * max(abs(first), abs(again)):
        raise InputError(what=f"the two ways to {key} differ", got=f"{first} and {again}", do="Look at both.")
    return first


def box_mass_t(*, L: float, B: float, d: float, rho: float) -> float:
    """The mass whose box sits at the book's draft: the sheet's depth sum solved for the mass."""
    t_to_g_mm = 1e-3 / rho  # a cubic mm of the sheet's water is 0.001 g; the book's cubic metre is rho tonnes
    return halved(
        lambda mass: _both("Reed", "depth", mass_g=mass * t_to_g_mm, length_mm=L, beam_mm=B) < d,
        low=1.0,
        high=1e5,
    )


def box_bm(*, L: float, B: float, d: float) -> float:
    depth = _both("Willow", "depth", mass_g=0.001 * L * B * d, length_mm=L, beam_mm=B)
    return _both("Willow", "stiffness", beam_mm=B, depth=depth)


def bm(*, B: float, d: float) -> float:
    return _both("Willow", "stiffness", beam_mm=B, depth=d)


def foam_draft_mm(*, L: float, B: float, m: float) -> float:
    return _both("Reed", "depth", mass_g=m * 1e3, length_mm=L * 1e3, beam_mm=B * 1e3)


def ballast_shift(*, M: float, x0: float, m: float, x1: float) -> float:
    """The sheet's disc is 20 g: the book's masses are scaled to it."""
    return _both(
        "Reed", "new_balance", mass_g=M / m * 20, balance_mm=x0 * 1e3, disc_g=20.0, stern_mm=x1 * 1e3
    ) / 1e3  # fmt: skip


def ballast_g(*, mass_g: float, balance_mm: float, target_mm: float, place_mm: float) -> float:
    """Aft of the target instead of forward: the same sum seen in a mirror."""
    return _both(
        "Willow", "lead", mass_g=mass_g, balance_mm=-balance_mm, forward_mm=target_mm - balance_mm,
        nose_mm=-place_mm,
    )  # fmt: skip


def two_supports(*, R1: float, R2: float, L: float) -> float:
    """Balance point at which the sheet gives the second support the book's share."""
    share = 100 * R2 / (R1 + R2)
    return halved(
        lambda x: _both("Reed", "stern_share", stand_mm=x * 1e3, pads_mm=0.0, stern_mm=L * 1e3) < share,
        low=1e-6 * L, high=L * (1 - 1e-6),
    )  # fmt: skip


def speed(*, distance: float, time: float) -> float:
    return _both("Willow", "speed", gate_m=distance, time_s=time)


def speed_unsure(*, distance: float, time: float, watch: float) -> float:
    return _both("Willow", "unsure", gate_m=distance, time_s=time, watch_s=watch)


def momentum_speed(*, impulse: float, mass: float) -> float:
    """Speed at which the sheet's momentum is the impulse."""
    return halved(lambda v: _both("Reed", "momentum", mass_kg=mass, speed=v) < impulse, low=1e-6, high=1e4)


def energy(*, mass: float, speed: float) -> float:
    return _both("Willow", "energy", mass_kg=mass, speed=speed)


def push_time(*, impulse: float, force: float) -> float:
    return _both("Reed", "push_for", momentum=impulse, push_n=force)


def turn_radius(*, distance: float, drift: float) -> float:
    return _both("Reed", "radius", gate_m=distance, bend_m=drift)


def roof_lift(*, exit_gap: float, entry_gap: float) -> float:
    return _both("Willow", "roof_share", gap_mm=exit_gap * 1e3, roof_rise_mm=(entry_gap - exit_gap) * 1e3)


def deviation_of_three(*, a: float, b: float, c: float) -> float:
    ask = next(ask for ask in SUMS["Willow"]["fair"] if ask.key == "deviation")
    first = float(ask.first({"runs_m": (a, b, c)}))
    again = float(ask.again({"runs_m": tuple(Fraction(repr(float(x))) for x in (a, b, c))}))
    assert abs(first - again) <= AGREE * first
    return first


def repeats(*, difference: float, run_sd: float) -> float:
    return _both("Willow", "repeats", deviation=run_sd, change_m=difference)


def _experiment(experiment: str, key: str, **readings: object) -> float:
    """The unrounded result of an experiment's sum, once both ways agree."""
    ask = next(ask for _, ask in EXPERIMENTS[experiment].sums if ask.key == key)
    said = {name: float(value.exact) for name, value in SAID.items()}
    given = {name: {**said, **readings}[name] for name in ask.needs}
    exact = {
        name: tuple(Fraction(repr(x)) for x in value) if isinstance(value, tuple) else Fraction(repr(float(value)))
        for name, value in given.items()
    }  # fmt: skip
    first, again = float(ask.first(given)), float(ask.again(exact))
    if not abs(first - again) <= AGREE * max(abs(first), abs(again)):
        raise InputError(what=f"the two ways to {key} differ", got=f"{first} and {again}", do="Look at both.")
    return first


def stopping_force(*, mass: float, speed: float, way: float) -> float:
    return _experiment("coast_down", "coast_drag", mass_kg=mass, fast=speed, slow=0.0, between_m=way)


def stopping_force_of_weight(*, weight: float, km_h: float, way: float, gravity: float) -> float:
    return stopping_force(mass=weight / gravity, speed=km_h / 3.6, way=way)


def coast_factor(*, mass: float, fast: float, slow: float, way: float) -> float:
    return _experiment("coast_down", "coast_factor", mass_kg=mass, fast=fast, slow=slow, between_m=way)


def standard_error_of_eight(
    *, a: float, b: float, c: float, d: float, e: float, f: float, g: float, h: float
) -> float:
    """The card's doubt is two of them."""
    return _experiment("with_without", "doubt", with_runs=(a, b, c, d), without_runs=(e, f, g, h)) / 2


def steady_pull(*, falling_mass: float, ratio: float) -> float:
    """Without rubbing, as in the law."""
    return _experiment(
        "tow", "line_pull", weight_g=falling_mass * 1e3, parts=ratio, kept=1.0, gravity=9.80665
    )


def lever_push(*, scale_kg: float, scale_arm: float, device_arm: float) -> float:
    return _experiment(
        "thrust_stand", "stand_push", scale_g=scale_kg * 1e3, scale_arm_mm=scale_arm * 1e3,
        device_arm_mm=device_arm * 1e3, gravity=9.80665,
    )  # fmt: skip


def two_strings_place(*, x1: float, x2: float, place: float, height: float, high: float) -> float:
    """Plumb lines through a known point, from two spots at one height: the card must find the point's place again."""
    feet = [x + (place - x) * high / (high - height) for x in (x1, x2)]
    return _experiment(
        "two_strings", "string_balance", a_hang_mm=x1, a_high_mm=high, a_foot_mm=feet[0], b_hang_mm=x2,
        b_high_mm=high, b_foot_mm=feet[1],
    )  # fmt: skip


def repeats_of_plan(*, difference: float, run_sd: float) -> float:
    first = float(REPEATS.first({"effect": difference, "spread": run_sd}))
    again = float(REPEATS.again({"effect": Fraction(repr(difference)), "spread": Fraction(repr(run_sd))}))
    assert abs(first - again) <= AGREE * first
    return first
